package pdf

import (
	"slices"
	"strings"

	"pegpour/engine/draw"
	"pegpour/engine/draw/compose"
)

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
			for _, word := range strings.Fields(s) {
				// A word longer than this is broken.
				least[k] = max(least[k], min(30, d.width(word, PocketText, style)+2*pocketSide))
			}
			if w := d.width(s, PocketText, style) + 2*pocketSide; most && t.Columns[k].Align == AlignRight && w < together {
				least[k] = max(least[k], w) // a figure stays with its unit
			}
			if most {
				whole[k] = max(whole[k], d.width(s, PocketText, style)+2*pocketSide)
			}
		}
		see(t.Columns[k].Title, "B", false)
		for _, row := range t.Rows {
			if k < len(row) {
				see(row[k], "", true)
			}
		}
		if t.Columns[k].Tick {
			least[k] = max(least[k], 5.5)
		}
		whole[k] = max(whole[k], least[k])
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
		note := float64(len(d.pocketNote(&t, wide))) * pocketStep
		m.First = slices.Insert(m.First, 0, above+note)
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
func (d *Document) DrawPocketTable(t Table, m *compose.Table, piece compose.Piece,
	page *compose.Page) (drawn draw.Box) {
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
	d.decoration()
	if piece.From == 0 {
		d.mark(d.new("H2"))
	}
	for n, l := range d.pocketAbove(&t, wide) {
		if n == 0 && piece.From > 0 {
			l = "... " + l
		}
		y += headingHigh
		d.put(x, wide, y-headingHigh*0.24, l, pocketHeading, "B", false)
	}
	if piece.From == 0 {
		d.mark(d.new("P"))
		for _, l := range d.pocketNote(&t, wide) {
			y += pocketStep
			d.put(x, wide, y-pocketStep*0.24, l, PocketText, "", false)
		}
	}
	// Where it goes on it is read as one.
	whole := d.tables[m]
	if whole == nil {
		whole = d.new("Table")
		d.tables[m] = whole
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
		left := d.side(x, float64(parts)*(wide+pocketGutter)-pocketGutter, x+float64(n)*(wide+pocketGutter), wide)
		if headed {
			head := whole
			if len(whole.kids) > 0 {
				head = nil
			}
			y = d.pocketCells(&t, titles, widths, left, y, "B", head)
		}
		for _, cells := range t.Rows[from:until] {
			y = d.pocketCells(&t, cells, widths, left, y, "", whole)
		}
		drawn.Grow(draw.Pt(left+wide, y))
	}
	return drawn
}

// pocketCells draws a row and returns where it ends.
func (d *Document) pocketCells(t *Table, cells []string, widths []float64, left, y float64, style string,
	into *element) float64 {
	high, total, from := d.pocketRow(cells, widths, style), 0.0, left
	for _, w := range widths {
		total += w
	}
	cell := d.rowOf(into, style != "")
	for k, c := range t.Columns {
		text := ""
		if k < len(cells) {
			text = cells[k]
		}
		x := d.side(left, total, from, widths[k])
		cell(text)
		switch {
		case text == "" && c.Tick && style == "":
			d.weight(0.35)
			d.rect(area{d.side(x, widths[k], x+pocketSide, 3.5), y + pocketPad + 0.4, 3.5, 3.5}, "S")
		case text != "":
			for n, l := range d.wrap(text, PocketText, style, widths[k]-2*pocketSide+1e-6) {
				d.put(x+pocketSide, widths[k]-2*pocketSide, y+pocketPad+(float64(n)+0.76)*pocketStep, l, PocketText, style,
					c.Align == AlignRight)
			}
		}
		from += widths[k]
	}
	y += high
	d.weight(0.13)
	if style != "" {
		d.weight(0.35)
	}
	d.line(left, y, left+total, y)
	return y
}
