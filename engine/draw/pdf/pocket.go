package pdf

import (
	"strconv"
	"strings"

	"pegpour/engine/draw"
	"pegpour/engine/draw/compose"
	"pegpour/engine/words"
)

// The composed page: many drawings and tables on one, for a pocket. Its lettering is 2.5 mm
// high at least, the least nominal size but one of ISO 3098-1 (recalled): that is the height
// of a capital, and a capital of this face is 0.718 of the font size.
const (
	// PocketText is the font size of the lettering in mm, and the least on the page.
	PocketText    = 3.5
	pocketHeading = 4.2
	pocketStep    = 4.2 // from line to line
	pocketPad     = 0.4 // above and below a row's text
	pocketSide    = 1.2 // beside a cell's text
	pocketMargin  = 6.5 // from the edge of the paper to the frame
	pocketAround  = 1.5 // from the frame to what stands in it
	pocketGutter  = 3.5
	measuredLine  = 100.0
	headingHigh   = pocketHeading * 1.35
	inkGap        = 0.6 // around a drawing: half of the heaviest line
)

// PocketPage is what the composed pages of a document have in common; a page that is about
// some topics carries the block that block gives for them.
func (d *Document) PocketPage(block func(topics uint) TitleBlock) compose.Page {
	const in = 2 * (pocketMargin + pocketAround)
	known := map[uint]float64{}
	return compose.Page{Width: shortEdge - in, Gutter: pocketGutter, Height: func(topics uint) float64 {
		if _, ok := known[topics]; !ok {
			known[topics] = longEdge - in - d.pocketBlock(block(topics), 0, 0, false)
		}
		return known[topics]
	}}
}

// BeginPocket begins a composed page with its block.
func (d *Document) BeginPocket(block TitleBlock, pages int) {
	if d.err != nil {
		return
	}
	d.running = nil
	d.beginPage(shortEdge, longEdge)
	d.grey(0)
	d.weight(0.7)
	d.rect(area{pocketMargin, pocketMargin, d.wide - 2*pocketMargin, d.high - 2*pocketMargin}, "S")
	d.pocketBlock(block, len(d.sheets), pages, true)
}

// pocketBlock is the block along the lower edge: cautions, what the page is, and the line to
// measure. It returns how high it is, and draws it where it should.
func (d *Document) pocketBlock(b TitleBlock, page, pages int, drawn bool) float64 {
	const wide = shortEdge - 2*(pocketMargin+pocketAround)
	var lines []cautionLine
	for _, c := range b.Cautions {
		for i, l := range d.wrap(c, PocketText, "", wide-4) {
			lines = append(lines, cautionLine{[...]string{"! ", "   "}[min(i, 1)] + l, c})
		}
	}
	of := words.Fill(d.say("{0} of {1}"), strconv.Itoa(page), strconv.Itoa(pages))
	title := d.wrap(b.Title+": "+b.Site, pocketHeading, "B", wide-20)
	title = d.shortened(title, 2, pocketHeading, wide-20)
	var facts []string
	fact := func(name, value string) {
		if value != "" {
			facts = append(facts, name+" "+Apart(d.shortened([]string{value}, 1, PocketText, 60)[0]))
		}
	}
	fact(d.say("Date"), b.Date)
	fact(d.say("Revision"), b.Revision)
	fact(d.say("Units"), b.Units)
	fact(d.say("Measured by"), b.MeasuredBy)
	fact(d.say("For"), b.Client)
	fact(d.say("By"), b.Firm)
	told := d.shortened(d.wrap(strings.Join(facts, "   "), PocketText, "", wide), 2, PocketText, wide)
	measure := d.wrap(d.say("100 mm: measure it. Print at actual size."), PocketText, "", wide-measuredLine-4)
	const gap = 1.2
	high := float64(len(lines)+len(told))*pocketStep + float64(len(title))*headingHigh +
		max(pocketStep, float64(len(measure))*pocketStep) + 4*gap
	if !drawn {
		return high
	}
	x, y := pocketMargin+pocketAround, d.high-pocketMargin-high
	rule := func(weight float64) {
		d.weight(weight)
		d.line(pocketMargin, y, d.wide-pocketMargin, y)
		y += gap
	}
	write := func(kind string, all []string, x, wide, size, step float64, style string) {
		d.told(kind, strings.Join(all, " "))
		for _, l := range all {
			y += step
			d.put(x, wide, y-step*0.24, l, size, style, false)
		}
	}
	name := d.new("H1") // is read before the cautions
	rule(0.5)
	for n, l := range lines {
		if n == 0 || lines[n-1].of != l.of {
			d.told("P", l.of)
		}
		y += pocketStep
		d.put(x, wide, y-pocketStep*0.24, l.line, PocketText, "", false)
	}
	if len(lines) > 0 {
		y += gap / 2
		rule(0.25)
	}
	d.decoration()
	d.put(x, wide, y+headingHigh*0.76, of, pocketHeading, "B", true)
	if page == 1 {
		d.mark(name)
	}
	for _, l := range title {
		y += headingHigh
		d.put(x, wide, y-headingHigh*0.24, l, pocketHeading, "B", false)
	}
	write("P", told, x, wide, PocketText, pocketStep, "")
	y += gap / 2
	d.weight(0.35)
	left := d.side(x, wide, x, measuredLine)
	for _, at := range [...]float64{0, 50, measuredLine} {
		d.line(left+at, y+0.6, left+at, y+3.8)
	}
	d.line(left, y+2.2, left+measuredLine, y+2.2)
	rest := wide - measuredLine - 4
	write("P", measure, d.side(x, wide, x+measuredLine+4, rest), rest, PocketText, pocketStep, "")
	return high
}

// shortened keeps so many lines, the last ending in dots where more is left out.
func (d *Document) shortened(lines []string, most int, size, wide float64) []string {
	if len(lines) <= most && (most > 1 || d.width(lines[0], size, "B") <= wide) {
		return lines
	}
	lines = lines[:most]
	last := []rune(lines[most-1])
	for len(last) > 0 && d.width(string(last)+"...", size, "B") > wide {
		last = last[:len(last)-1]
	}
	lines[most-1] = string(last) + "..."
	return lines
}

// PocketDrawing is how high a drawing with its title stands in a width.
func (d *Document) PocketDrawing(s *draw.Sheet, title string, wide float64) float64 {
	return float64(len(d.pocketTitle(s, title, wide)))*headingHigh + 2*inkGap + s.Ink().Height()
}

func (d *Document) pocketTitle(s *draw.Sheet, title string, wide float64) []string {
	return d.wrap(title+", "+scaleWords(s), pocketHeading, "B", wide)
}

// DrawPocket draws what PocketDrawing measured, with its corner at x, y of what is inside
// the frame, and returns where on the page the drawing is.
func (d *Document) DrawPocket(s *draw.Sheet, title string, x, y, wide float64) draw.Box {
	x, y = x+pocketMargin+pocketAround, y+pocketMargin+pocketAround
	d.grey(0)
	d.mark(d.new("H2"))
	for _, l := range d.pocketTitle(s, title, wide) {
		y += headingHigh
		d.put(x, wide, y-headingHigh*0.24, l, pocketHeading, "B", false)
	}
	ink := s.Ink()
	left, top := x+(wide-ink.Width())/2, y+inkGap
	d.sheet(s, left-ink.Min.X, top-ink.Min.Y)
	return draw.Box{Min: draw.Pt(left, top), Max: draw.Pt(left+ink.Width(), top+ink.Height())}
}
