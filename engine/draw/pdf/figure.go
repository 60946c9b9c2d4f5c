package pdf

import (
	"errors"
	"math"
	"strconv"

	"pegpour/engine/draw"
	"pegpour/engine/words"
)

// Figure says how a scene stands among running text.
type Figure struct {
	// Title above it; the scene's own when empty.
	Title string
	// Loose draws it not to scale, as large as width and Height allow.
	Loose bool
	// Height is the most it may take, mm; 0 is what a page has.
	Height float64
	// Ratio is n of the scale 1:n; 0 takes the largest standard one that fits.
	Ratio float64
	// Mirror, Hidden, NoDimensions and Window as in draw.View.
	Mirror       bool
	Hidden       []string
	NoDimensions bool
	Window       draw.Box
}

const captionText = 3.6 // mm, font size of the title of a figure

// Figure adds a drawing to the running text, with its title and scale above
// it, on a new page when it does not fit on this one. It returns ErrTooLarge,
// an error of draw.Layout, or the first error of the document.
func (d *Document) Figure(s *draw.Scene, f Figure) error {
	if !d.flowing() {
		return d.err
	}
	title := f.Title
	if title == "" {
		title = s.Title
	}
	if !f.Loose {
		s = d.withScaleBar(s)
	}
	const caption = captionText * 1.6
	high := d.running.room.h - 4 - caption
	if f.Height > 0 {
		high = min(high, f.Height)
	}
	sheet, err := f.layout(s, d.running.room.w-4, high)
	if err != nil {
		d.err = err
		return err
	}
	scale := d.say("not to scale")
	if !f.Loose {
		scale = words.Fill(d.say("{0} at A4"), scaleWords(sheet))
	}
	d.need(caption + sheet.Height)
	d.running.y += captionText * 1.2
	d.grey(0)
	d.mark(d.new("H2"))
	d.put(d.running.room.x+2, d.running.room.w-4, d.running.y, title, captionText, "B", false)
	d.mark(d.new("P"))
	d.put(d.running.room.x+2, d.running.room.w-4, d.running.y, scale, captionText, "", true)
	d.running.y += captionText * 0.4
	d.sheet(sheet, d.running.room.x+2, d.running.y)
	d.running.y += sheet.Height + 2
	return nil
}

// Figures adds drawings side by side, two to a row, all at one scale: the
// largest standard one at which each fits half the width. Errors as Figure.
func (d *Document) Figures(scenes []*draw.Scene, f Figure) error {
	if !d.flowing() || len(scenes) == 0 {
		return d.err
	}
	const caption = captionText * 1.6
	half := (d.running.room.w-4)/2 - 2
	ratios := draw.StandardRatios()
	if f.Ratio > 0 {
		ratios = []float64{f.Ratio}
	}
	var sheets []*draw.Sheet
	for _, ratio := range ratios {
		one := f
		one.Ratio = ratio
		sheets = sheets[:0]
		var err error
		for _, s := range scenes {
			var sheet *draw.Sheet
			if sheet, err = one.layout(d.withScaleBar(s), half, d.running.room.h-4-2*caption); err != nil {
				break
			}
			sheets = append(sheets, sheet)
		}
		if err == nil {
			break
		}
		if !errors.Is(err, ErrTooLarge) {
			d.err = err
			return err
		}
	}
	if len(sheets) < len(scenes) {
		d.err = ErrTooLarge
		return d.err
	}
	for i := 0; i < len(sheets); i += 2 {
		row := sheets[i:min(i+2, len(sheets))]
		high, lines := 0.0, 1
		var titles [2][]string
		for k, sheet := range row {
			high = max(high, sheet.Height)
			titles[k] = d.wrap(scenes[i+k].Title+", "+scaleWords(sheet), captionText, "B", half-2)
			lines = max(lines, len(titles[k]))
		}
		d.need(caption*float64(lines) + high)
		for k, sheet := range row {
			x, y := d.side(d.running.room.x+2, 2*half+4, d.running.room.x+2+float64(k)*(half+4), half), d.running.y
			d.mark(d.new("H2"))
			for _, l := range titles[k] {
				y += captionText * 1.3
				d.grey(0)
				d.put(x, half-2, y, l, captionText, "B", false)
			}
			d.sheet(sheet, x, d.running.y+caption*float64(lines)+(high-sheet.Height))
		}
		d.running.y += caption*float64(lines) + high + 2
	}
	return nil
}

func scaleWords(s *draw.Sheet) string {
	return "1:" + strconv.FormatFloat(math.Round(100/s.Scale)/100, 'f', -1, 64)
}

// layout finds the scale at which the scene fits w × h mm.
func (f Figure) layout(s *draw.Scene, w, h float64) (*draw.Sheet, error) {
	v := draw.View{Width: w, Paper: true, Mirror: f.Mirror, Hidden: f.Hidden, NoDimensions: f.NoDimensions,
		Window: f.Window, TextHeight: sheetText}
	fits := func(scale float64) (*draw.Sheet, bool, error) {
		v.Scale = scale
		sheet, err := draw.Layout(s, v)
		if err != nil {
			return nil, false, err
		}
		return sheet, sheet.Fits && sheet.Height <= h+1e-6, nil
	}
	if f.Loose {
		box := s.Bounds()
		scale := min((w-2*sheetText)/max(1, box.Width()), (h-2*sheetText)/max(1, box.Height()))
		for range 12 {
			sheet, ok, err := fits(scale)
			if err != nil || ok {
				return sheet, err
			}
			scale *= 0.92
		}
		return nil, ErrTooLarge
	}
	ratios := draw.StandardRatios()
	if f.Ratio > 0 {
		ratios = []float64{f.Ratio}
	}
	for _, ratio := range ratios {
		sheet, ok, err := fits(1 / ratio)
		if err != nil || ok {
			return sheet, err
		}
	}
	return nil, ErrTooLarge
}
