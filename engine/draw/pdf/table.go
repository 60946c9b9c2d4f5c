package pdf

import (
	"pegpour/engine/refusal"
)

// Align of a table column.
type Align uint8

// The alignments.
const (
	AlignLeft Align = iota
	AlignRight
)

// Column of a table.
type Column struct {
	Title string
	// Share of the width, relative to the others; 0 counts as 1.
	Share float64
	Align Align
	// Tick makes an empty box to tick by hand when the cell is empty.
	Tick bool
}

// Table is a plain table that flows over pages, its head repeated.
type Table struct {
	// Heading stands above it, on the same page as its first row.
	Heading string
	// Note stands under the heading on composed pages.
	Note    string
	Columns []Column
	// Rows of cells; missing cells are empty, surplus ones an error.
	Rows [][]string
}

// ErrTable is returned for a table without columns or with a row of more cells
// than columns.
var ErrTable = error(refusal.Error("a table needs columns, and no row may have more cells than there are columns"))

const (
	tableText   = 3.4 // mm, font size
	tableStep   = 4.4 // from line to line
	cellPadX    = 1.5
	cellPadY    = 1.3
	headingText = 5.0
)

// runningPages is the state of running pages: where the next thing goes.
type runningPages struct {
	block TitleBlock
	room  area
	y     float64
}

// Flow begins a new portrait page of running text and tables; further pages
// are added as needed, each with the same block.
func (d *Document) Flow(block TitleBlock) {
	if d.err != nil {
		return
	}
	d.running = &runningPages{block: block}
	d.nextPage()
}

func (d *Document) nextPage() {
	d.page(false)
	d.running.room = d.titleBlock(d.running.block)
	d.running.y = d.running.room.y + 2
}

// need moves to a new page unless h mm are left on this one.
func (d *Document) need(h float64) {
	if d.running.y+h > d.running.room.y+d.running.room.h && d.running.y > d.running.room.y+2 {
		d.nextPage()
	}
}

func (d *Document) flowing() bool {
	if d.err == nil && d.running == nil {
		d.Flow(TitleBlock{})
	}
	return d.err == nil
}

// Heading writes a heading; it stays with at least two lines of what follows.
func (d *Document) Heading(text string) {
	if !d.flowing() {
		return
	}
	d.need(headingText*1.6 + 4*tableStep)
	d.writeHeading(text)
}

func (d *Document) writeHeading(text string) {
	d.mark(d.new("H2"))
	for _, l := range d.wrap(text, headingText, "B", d.running.room.w-4) {
		d.running.y += headingText * 1.3
		d.put(d.running.room.x+2, d.running.room.w-4, d.running.y, l, headingText, "B", false)
	}
	d.running.y += 2
}

// Paragraph writes running text.
func (d *Document) Paragraph(text string) {
	if !d.flowing() {
		return
	}
	lines := d.wrap(text, tableText, "", d.running.room.w-4)
	d.need(tableStep)
	p := d.new("P")
	for _, l := range lines {
		d.need(tableStep)
		d.mark(p)
		d.running.y += tableStep
		d.put(d.running.room.x+2, d.running.room.w-4, d.running.y, l, tableText, "", false)
	}
	d.running.y += 2
}

// List writes items, each with a dash.
func (d *Document) List(items []string) {
	if !d.flowing() {
		return
	}
	d.need(tableStep)
	list := d.new("L")
	for _, item := range items {
		one := list.child("LI")
		dash, body := one.child("Lbl"), one.child("LBody")
		for i, l := range d.wrap(item, tableText, "", d.running.room.w-9) {
			d.need(tableStep)
			d.running.y += tableStep
			x, w := d.running.room.x+2, d.running.room.w-4
			if i == 0 {
				d.mark(dash)
				d.put(x, w, d.running.y, "-", tableText, "", false)
			}
			d.mark(body)
			d.put(d.side(x, w, x+4, w-4), w-4, d.running.y, l, tableText, "", false)
		}
		d.running.y++
	}
	d.running.y++
}

// Table adds a table, over as many pages as it needs. It returns ErrTable or
// the first error of the document.
func (d *Document) Table(t Table) error {
	if !d.flowing() {
		return d.err
	}
	if len(t.Columns) == 0 {
		d.err = ErrTable
		return d.err
	}
	for _, row := range t.Rows {
		if len(row) > len(t.Columns) {
			d.err = ErrTable
			return d.err
		}
	}
	widths := t.widths(d.running.room.w - 4)
	titles := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		titles[i] = c.Title
	}
	head := d.rowHeight(titles, widths, "B")
	first := head
	if len(t.Rows) > 0 {
		first += d.rowHeight(t.Rows[0], widths, "")
	}
	if t.Heading != "" {
		d.need(headingText*1.6 + 2 + first)
		d.writeHeading(t.Heading)
	}
	d.need(first)
	whole := d.new("Table")
	d.row(t, titles, widths, head, true, whole)
	for _, cells := range t.Rows {
		h := d.rowHeight(cells, widths, "")
		if d.running.y+h > d.running.room.y+d.running.room.h {
			d.nextPage()
			d.row(t, titles, widths, head, true, nil)
		}
		d.row(t, cells, widths, h, false, whole)
	}
	d.running.y += 4
	return nil
}

func (t Table) widths(total float64) []float64 {
	sum := 0.0
	out := make([]float64, len(t.Columns))
	for i, c := range t.Columns {
		out[i] = c.Share
		if !(c.Share > 0) {
			out[i] = 1
		}
		sum += out[i]
	}
	for i := range out {
		out[i] *= total / sum
	}
	return out
}

func (d *Document) rowHeight(cells []string, widths []float64, style string) float64 {
	lines := 1
	for i, c := range cells {
		lines = max(lines, len(d.wrap(c, tableText, style, widths[i]-2*cellPadX)))
	}
	return float64(lines)*tableStep + 2*cellPadY
}

// rowOf begins a row of a table to be read; a head that is repeated belongs to none.
func (d *Document) rowOf(table *element, head bool) func(text string) {
	if table == nil {
		return func(string) { d.decoration() }
	}
	row := table.child("TR")
	return func(text string) {
		cell := row.child("TD")
		if head {
			cell.kind, cell.attributes = "TH", "/O /Table /Scope /Column"
		}
		if d.decoration(); text != "" {
			d.mark(cell)
		}
	}
}

func (d *Document) row(t Table, cells []string, widths []float64, h float64, head bool, into *element) {
	left, y, total := d.running.room.x+2, d.running.y, 0.0
	for _, w := range widths {
		total += w
	}
	from := left
	cell := d.rowOf(into, head)
	style := ""
	if head {
		style = "B"
	}
	for i, c := range t.Columns {
		text := ""
		if i < len(cells) {
			text = cells[i]
		}
		x := d.side(left, total, from, widths[i])
		cell(text)
		switch {
		case text == "" && c.Tick && !head:
			d.weight(0.35)
			d.rect(area{d.side(x, widths[i], x+cellPadX, 4), y + cellPadY, 4, 4}, "S")
		case text != "":
			ly := y + cellPadY - 0.2
			for _, l := range d.wrap(text, tableText, style, widths[i]-2*cellPadX) {
				ly += tableStep - 0.8
				d.put(x+cellPadX, widths[i]-2*cellPadX, ly, l, tableText, style, c.Align == AlignRight)
				ly += 0.8
			}
		}
		from += widths[i]
	}
	d.running.y += h
	d.weight(0.18)
	if head {
		d.weight(0.5)
	}
	d.line(left, d.running.y, left+total, d.running.y)
}
