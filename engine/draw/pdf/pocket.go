package pdf

import (
	"math"
	"slices"
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
	d.endPage()
	d.sheets++
	d.wide, d.high = shortEdge, longEdge
	d.f.AddPage()
	d.grey(0)
	d.weight(0.7)
	d.rect(area{pocketMargin, pocketMargin, d.wide - 2*pocketMargin, d.high - 2*pocketMargin}, "S")
	d.pocketBlock(block, d.sheets, pages, true)
}

// pocketBlock is the block along the lower edge: cautions, what the page is, and the line to
// measure. It returns how high it is, and draws it where it should.
func (d *Document) pocketBlock(b TitleBlock, page, pages int, drawn bool) float64 {
	const wide = shortEdge - 2*(pocketMargin+pocketAround)
	var lines []string
	for _, c := range b.Cautions {
		for i, l := range d.wrap(c, PocketText, "", wide-4) {
			lines = append(lines, [...]string{"! ", "   "}[min(i, 1)]+l)
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
		math.Max(pocketStep, float64(len(measure))*pocketStep) + 4*gap
	if !drawn {
		return high
	}
	x, y := pocketMargin+pocketAround, d.high-pocketMargin-high
	rule := func(weight float64) {
		d.weight(weight)
		d.line(pocketMargin, y, d.wide-pocketMargin, y)
		y += gap
	}
	write := func(all []string, size, step float64, style string) {
		for _, l := range all {
			y += step
			d.text(x, y-step*0.24, l, size, style)
		}
	}
	rule(0.5)
	write(lines, PocketText, pocketStep, "")
	if len(lines) > 0 {
		y += gap / 2
		rule(0.25)
	}
	d.text(x+wide-d.width(of, pocketHeading, "B"), y+headingHigh*0.76, of, pocketHeading, "B")
	write(title, pocketHeading, headingHigh, "B")
	write(told, PocketText, pocketStep, "")
	y += gap / 2
	d.weight(0.35)
	for _, at := range [...]float64{0, 50, measuredLine} {
		d.line(x+at, y+0.6, x+at, y+3.8)
	}
	d.line(x, y+2.2, x+measuredLine, y+2.2)
	x += measuredLine + 4
	write(measure, PocketText, pocketStep, "")
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
	for _, l := range d.pocketTitle(s, title, wide) {
		y += headingHigh
		d.text(x, y-headingHigh*0.24, l, pocketHeading, "B")
	}
	ink := s.Ink()
	left, top := x+(wide-ink.Width())/2, y+inkGap
	d.sheet(s, left-ink.Min.X, top-ink.Min.Y)
	return draw.Box{Min: draw.Pt(left, top), Max: draw.Pt(left+ink.Width(), top+ink.Height())}
}

// fitted are the widths of the columns of a table: what each cell takes in one line where
// there is room for that, and no less than a figure with its unit or the longest word of the
// column; ok is false where even that has no room. Over the whole page there is always room:
// words are broken there if need be.
func (d *Document) fitted(t *Table, wide float64) (widths []float64, ok bool) {
	const whole = shortEdge - 2*(pocketMargin+pocketAround)
	if widths, ok = d.columns(t, wide, 28); ok || wide < whole-1e-6 {
		return widths, ok
	}
	if widths, ok = d.columns(t, wide, 0); !ok {
		sum := 0.0
		for _, w := range widths {
			sum += w
		}
		for k := range widths {
			widths[k] *= wide / sum
		}
	}
	return widths, true
}

// columns are the widths; figures of up to together mm are not broken at spaces.
func (d *Document) columns(t *Table, wide, together float64) (widths []float64, ok bool) {
	n := len(t.Columns)
	least, whole := make([]float64, n), make([]float64, n)
	for k := range t.Columns {
		see := func(s, style string, most bool) {
			for _, word := range strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == '\n' }) {
				// A word longer than this is broken.
				least[k] = math.Max(least[k], math.Min(30, d.width(word, PocketText, style)+2*pocketSide))
			}
			if w := d.width(s, PocketText, style) + 2*pocketSide; most && t.Columns[k].Align == AlignRight && w < together {
				least[k] = math.Max(least[k], w) // a figure stays with its unit
			}
			if most {
				whole[k] = math.Max(whole[k], d.width(s, PocketText, style)+2*pocketSide)
			}
		}
		see(t.Columns[k].Title, "B", false)
		for _, row := range t.Rows {
			if k < len(row) {
				see(row[k], "", true)
			}
		}
		if t.Columns[k].Tick {
			least[k] = math.Max(least[k], 5.5)
		}
		whole[k] = math.Max(whole[k], least[k])
	}
	low, high := 0.0, 0.0
	for k := range least {
		low, high = low+least[k], high+whole[k]
	}
	if low > wide+1e-9 {
		return least, false
	}
	share := 1.0
	if high > wide {
		share = (wide - low) / (high - low)
	}
	widest := 0
	for k := range least {
		least[k] += share * (whole[k] - least[k])
		if whole[k] > whole[widest] {
			widest = k
		}
	}
	if high < wide {
		least[widest] += wide - high
	}
	return least, true
}

// PocketTable measures a table for the page at each number of columns that suits it; nil
// where it has no rows or is wider than the page. Widths at which it gets more than half as
// high again as it need be do not suit a table with a head, nor do those wider than its
// words need.
func (d *Document) PocketTable(t Table, page *compose.Page) *compose.Table {
	for _, row := range t.Rows {
		if len(row) > len(t.Columns) {
			d.err = ErrTable
			return nil
		}
	}
	if len(t.Rows) == 0 {
		return nil
	}
	m := &compose.Table{}
	_, headed := t.titles()
	high := 0.0
	for c := compose.Columns; c > 0; c-- {
		wide := page.Across(c)
		widths, ok := d.fitted(&t, wide)
		if !ok || wide < 34 {
			break
		}
		rows, sum, single := make([]float64, len(t.Rows)), 0.0, true
		for k, cells := range t.Rows {
			rows[k] = d.pocketRow(cells, widths, "")
			sum += rows[k]
			single = single && rows[k] < 2*pocketStep
		}
		if high == 0 {
			high = sum
		}
		if headed && sum > 1.5*high {
			break
		}
		if single { // what is wider only spreads it
			m.Most, m.First, m.Again, m.Rows = c, nil, nil, nil
		}
		head := d.pocketHead(&t, widths)
		above := head + float64(len(d.pocketAbove(&t, wide)))*headingHigh
		m.Least, m.Most = c, max(m.Most, c)
		m.First = slices.Insert(m.First, 0, above+float64(len(d.pocketNote(&t, wide)))*pocketStep)
		m.Again = slices.Insert(m.Again, 0, above)
		m.Rows = slices.Insert(m.Rows, 0, rows)
	}
	if m.Least == 0 {
		return nil
	}
	return m
}

func (d *Document) pocketAbove(t *Table, wide float64) []string {
	if t.Heading == "" {
		return nil
	}
	return d.wrap(t.Heading, pocketHeading, "B", wide-6) // where it goes on it begins with dots
}

func (d *Document) pocketNote(t *Table, wide float64) []string {
	if t.Note == "" {
		return nil
	}
	return d.wrap(t.Note, PocketText, "", wide)
}

// pocketHead is how high the head of a table is: nothing where no column has a title.
func (d *Document) pocketHead(t *Table, widths []float64) float64 {
	titles, any := t.titles()
	if !any {
		return 0
	}
	return d.pocketRow(titles, widths, "B")
}

func (t *Table) titles() (titles []string, any bool) {
	for _, c := range t.Columns {
		titles = append(titles, c.Title)
		any = any || c.Title != ""
	}
	return titles, any
}

func (d *Document) pocketRow(cells []string, widths []float64, style string) float64 {
	lines := 1
	for k, c := range cells {
		lines = max(lines, len(d.wrap(c, PocketText, style, widths[k]-2*pocketSide+1e-6)))
	}
	return float64(lines)*pocketStep + 2*pocketPad
}

// DrawPocketTable draws a piece of a table that PocketTable measured, and returns where on
// the page it is.
func (d *Document) DrawPocketTable(t Table, m *compose.Table, piece compose.Piece, page *compose.Page) (drawn draw.Box) {
	x, y := page.Left(piece.Column)+pocketMargin+pocketAround, piece.Y+pocketMargin+pocketAround
	d.grey(0)
	parts := max(1, piece.Shape.Parts)
	c := piece.Shape.Columns / parts
	wide := page.Across(c)
	widths, ok := d.fitted(&t, wide)
	if !ok {
		return draw.Box{}
	}
	drawn = draw.Box{Min: draw.Pt(x, y), Max: draw.Pt(x, y)}
	for n, l := range d.pocketAbove(&t, wide) {
		if n == 0 && piece.From > 0 {
			l = "... " + l
		}
		y += headingHigh
		d.text(x, y-headingHigh*0.24, l, pocketHeading, "B")
	}
	if piece.From == 0 {
		for _, l := range d.pocketNote(&t, wide) {
			y += pocketStep
			d.text(x, y-pocketStep*0.24, l, PocketText, "")
		}
	}
	starts := []int{piece.From}
	if parts > 1 {
		starts = m.Breaks(c, parts, piece.Shape.Height)
	}
	titles, headed := t.titles()
	top := y
	for n, from := range starts {
		until := piece.Until
		if n+1 < len(starts) {
			until = starts[n+1]
		}
		y = top
		left := x + float64(n)*(wide+pocketGutter)
		if headed {
			y = d.pocketCells(&t, titles, widths, left, y, "B")
		}
		for _, cells := range t.Rows[from:until] {
			y = d.pocketCells(&t, cells, widths, left, y, "")
		}
		drawn.Grow(draw.Pt(left+wide, y))
	}
	return drawn
}

// pocketCells draws a row and returns where it ends.
func (d *Document) pocketCells(t *Table, cells []string, widths []float64, x, y float64, style string) float64 {
	high, left := d.pocketRow(cells, widths, style), x
	for k, c := range t.Columns {
		text := ""
		if k < len(cells) {
			text = cells[k]
		}
		switch {
		case text == "" && c.Tick && style == "":
			d.weight(0.35)
			d.rect(area{x + pocketSide, y + pocketPad + 0.4, 3.5, 3.5}, "S")
		case text != "":
			for n, l := range d.wrap(text, PocketText, style, widths[k]-2*pocketSide+1e-6) {
				at := x + pocketSide
				if c.Align == AlignRight {
					at = x + widths[k] - pocketSide - d.width(l, PocketText, style)
				}
				d.text(at, y+pocketPad+(float64(n)+0.76)*pocketStep, l, PocketText, style)
			}
		}
		x += widths[k]
	}
	y += high
	d.weight(0.13)
	if style != "" {
		d.weight(0.35)
	}
	d.line(left, y, x, y)
	return y
}
