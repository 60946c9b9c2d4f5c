// Package pdf writes scenes, tables and lists to A4 pages. It stands apart
// from the drawing package so that a screen that only needs SVG does not carry
// it.
//
// Paper habits: black first, greys second, plum for measured figures only when
// asked; every page has a frame and a title block along its short edge. Equal
// input gives equal bytes: the creation date is given, never read from a
// clock.
//
// Every document is one that can be kept: PDF/A-2b (ISO 19005-2), with its lettering in it, and
// one that can be read aloud: each mark on a page belongs to an element of a tree in reading
// order (ISO 32000-1, 14.7 and 14.8) or is said to be decoration. The library that wrote
// documents before has neither tags nor a place for them, and weighs more than what stands here.
package pdf

import (
	"time"

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
	// Language of the words, "en-AU", and whether it is written from the right.
	Language  string
	FromRight bool
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
	o             Options
	fromRight     bool
	regular, bold *face
	sheets        []*sheetOfPaper
	buf           []byte // operators of the page begun last
	shadow        bool   // whether anything on it lets through what it lies on
	later         []laterText
	high          float64
	wide          float64
	tree          tree
	titled        string          // the title that was read out last
	said          map[string]bool // what of the blocks was read out
	tables        map[any]*element
	running       *runningPages
	err           error
	laidOut       []*draw.Sheet
	without       []rune // letters that are boxes on this page
}

// sheetOfPaper is a page as it is written.
type sheetOfPaper struct {
	wide, high float64
	content    []byte
	shadow     bool
	marks      []*element // whose each numbered piece of content is
}

// laterText is a text with the number of pages in it, which is known at the end.
type laterText struct {
	page, at int // where in which page's content
	x, w, y  float64
	size     float64
	s, style string
	atEnd    bool
}

// New begins a document. It returns ErrDate for a zero creation date.
func New(o Options) (*Document, error) {
	if o.Created.IsZero() {
		return nil, ErrDate
	}
	o.Created = o.Created.UTC().Truncate(time.Second)
	o.Title, o.Subject, o.Creator = read(o.Title), read(o.Subject), read(o.Creator)
	d := &Document{o: o, fromRight: o.FromRight, regular: newFace("R", regularFace), bold: newFace("B", boldFace),
		said: map[string]bool{}, tables: map[any]*element{}}
	d.tree.root = &element{kind: "Document"}
	d.tree.in = d.tree.root
	return d, nil
}

// pagesAlias is replaced by the number of pages when the document is written.
const pagesAlias = "{#pages#}"

// Pages is the number of pages so far.
func (d *Document) Pages() int { return len(d.sheets) }

// Laid returns the drawings of the document as they were laid out, in order.
// They must not be changed.
func (d *Document) Laid() []*draw.Sheet { return d.laidOut }

// Bytes finishes the document and returns it. It returns the first error met,
// or ErrNothing.
func (d *Document) Bytes() ([]byte, error) {
	if d.err != nil {
		return nil, d.err
	}
	if len(d.sheets) == 0 {
		return nil, ErrNothing
	}
	d.endPage()
	d.fillIn()
	return d.write(), nil
}

// endPage ends the page begun last.
func (d *Document) endPage() {
	d.noteLacking()
	if len(d.sheets) == 0 {
		return
	}
	d.endMark()
	p := d.sheets[len(d.sheets)-1]
	p.content, p.shadow = d.buf, d.shadow
	d.buf, d.shadow = nil, false
}

// beginPage begins a page: all on it is decoration until something is marked.
func (d *Document) beginPage(wide, high float64) {
	d.endPage()
	d.wide, d.high = wide, high
	d.sheets = append(d.sheets, &sheetOfPaper{wide: wide, high: high})
	d.num(100 / larger)
	d.op("Tz")
	d.decoration()
}

// page begins a page and draws its frame.
func (d *Document) page(landscape bool) {
	if landscape {
		d.beginPage(longEdge, shortEdge)
	} else {
		d.beginPage(shortEdge, longEdge)
	}
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
