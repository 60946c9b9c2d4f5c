// Package pdf writes scenes, tables and lists to A4 pages. It stands apart
// from the drawing package so that a screen that only needs SVG does not carry
// a PDF library.
//
// Paper habits: black first, greys second, plum for measured figures only when
// asked; every page has a frame and a title block along its short edge. Equal
// input gives equal bytes: the creation date is given, never read from a
// clock.
package pdf

import (
	"bytes"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"pegpour/engine/draw"
	"pegpour/engine/refusal"
)

// ErrDate is returned for a document without a creation date.
var ErrDate = error(refusal.Error("the creation date must be given"))

// ErrNothing is returned when a document without pages is written.
var ErrNothing = error(refusal.Error("the document has no pages"))

// A4 in mm, and the frame on it: a filing margin at the left.
const (
	shortEdge   = 210.0
	longEdge    = 297.0
	marginLeft  = 15.0
	marginOther = 8.0
)

// Options of a document.
type Options struct {
	// Title and Subject are document properties, read out by screen readers.
	Title, Subject string
	// Creator names the program.
	Creator string
	// Created is the creation date; must not be zero.
	Created time.Time
	// Language of the words, "en-AU".
	Language string
	// Say translates what the pages say of themselves; nil leaves it English.
	Say func(string) string
	// Feet has the scale bars that drawings come without in feet.
	Feet bool
	// Colour prints measured figures in plum; otherwise all is black and grey.
	Colour bool
	// Plain leaves the page contents uncompressed, for tests and for reading.
	Plain bool
}

// Document builds a document of several pages. Methods may be called in any
// order; the first error is kept and returned by Bytes.
type Document struct {
	f       *fpdf.Fpdf
	ruler   *fpdf.Fpdf
	o       Options
	buf     []byte // page operators being gathered
	high    float64
	wide    float64
	running *runningPages
	err     error
	sheets  int
	laidOut []*draw.Sheet
}

// New begins a document. It returns ErrDate for a zero creation date.
func New(o Options) (*Document, error) {
	if o.Created.IsZero() {
		return nil, ErrDate
	}
	f := fpdf.New("P", "mm", "A4", "")
	created := o.Created.UTC().Truncate(time.Second)
	f.SetCreationDate(created)
	f.SetModificationDate(created)
	f.SetCatalogSort(true)
	f.SetCompression(!o.Plain)
	f.SetTitle(o.Title, true)
	f.SetSubject(o.Subject, true)
	f.SetCreator(o.Creator, true)
	f.SetAutoPageBreak(false, 0)
	f.SetMargins(0, 0, 0)
	f.SetCellMargin(0)
	if o.Language != "" {
		f.SetLang(o.Language)
	}
	f.AliasNbPages(pagesAlias)
	return &Document{f: f, ruler: fpdf.New("P", "mm", "A4", ""), o: o}, nil
}

// pagesAlias is replaced by the number of pages when the document is written.
const pagesAlias = "{#pages#}"

// Pages is the number of pages so far.
func (d *Document) Pages() int { return d.sheets }

// Laid returns the drawings of the document as they were laid out, in order.
// They must not be changed.
func (d *Document) Laid() []*draw.Sheet { return d.laidOut }

// Bytes finishes the document and returns it. It returns the first error met,
// or ErrNothing.
func (d *Document) Bytes() ([]byte, error) {
	if d.err != nil {
		return nil, d.err
	}
	if d.sheets == 0 {
		return nil, ErrNothing
	}
	d.flush()
	var out bytes.Buffer
	if err := d.f.Output(&out); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// page begins a page and draws its frame.
func (d *Document) page(landscape bool) {
	d.flush()
	d.sheets++
	d.wide, d.high = shortEdge, longEdge
	orientation := "P"
	if landscape {
		d.wide, d.high = longEdge, shortEdge
		orientation = "L"
	}
	d.f.AddPageFormat(orientation, fpdf.SizeType{Wd: shortEdge, Ht: longEdge})
	d.grey(0)
	d.weight(0.7)
	d.rect(d.frame(), "S")
}

// area is an upright rectangle on a page, mm, y down.
type area struct{ x, y, w, h float64 }

// frame is the rectangle of the frame line on the current page.
func (d *Document) frame() area {
	return area{marginLeft, marginOther, d.wide - marginLeft - marginOther, d.high - 2*marginOther}
}
