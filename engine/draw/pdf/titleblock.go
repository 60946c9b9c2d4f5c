package pdf

import (
	"strconv"

	"pegpour/engine/words"
)

// TitleBlock is what stands along the short edge of a page. Empty fields are
// left out, except those that a drawing must not be without: title, date,
// revision and who measured show a dash.
type TitleBlock struct {
	// Site is where; Client for whom.
	Site, Client string
	// Title of the drawing; the scene's own when empty.
	Title string
	// Date, Revision and MeasuredBy as they shall read.
	Date, Revision, MeasuredBy string
	// Firm is who issues the drawing.
	Firm string
	// Units of the figures on the page; left out when empty.
	Units string
	// Cautions that belong to what is drawn, one sentence each.
	Cautions []string
	// Assumed says in one sentence what was assumed and not measured.
	Assumed string

	scale string
	key   string // how to read the figures, one line
	title *element
}

// VoiceKey says how the figures of a page are to be read, where any of them
// was assumed or measured.
const VoiceKey = "Figures: heavier dimension lines are measured, light ones worked out; ~ with slanted figures and dashed lines is assumed, not measured."

const (
	blockText    = 3.0 // mm, font size of values
	blockName    = 2.2 // of the names above them
	blockStep    = 3.7 // between lines of cautions
	blockPad     = 1.6
	cellHigh     = 8.6
	columnWide   = 56.0 // of the block on landscape pages
	roomAround   = 2.0
	cautionWord  = "Cautions"
	missingField = "-"
	titleName    = "Drawing"
)

type cell struct {
	name, value string
	share       float64 // of the width, on portrait pages
}

func (d *Document) say(english string) string {
	if d.o.Say != nil {
		return d.o.Say(english)
	}
	return english
}

// rows of the block, from the top.
func (b TitleBlock) rows(page string) [][]cell {
	must := func(s string) string {
		if s == "" {
			return missingField
		}
		return s
	}
	first := []cell{{titleName, must(b.Title), 0.46}, {"Site", must(b.Site), 0.54}}
	second := []cell{{"Date", must(b.Date), 0.17}, {"Revision", must(b.Revision), 0.13}, {"Scale", must(b.scale), 0.2},
		{"Measured by", must(b.MeasuredBy), 0.3}, {"Page", page, 0.2}}
	if b.Units != "" {
		second = append(second[:2], append([]cell{{"Units", b.Units, 0.15}}, second[2:]...)...)
	}
	rows := [][]cell{first}
	if b.Client != "" || b.Firm != "" {
		var extra []cell
		if b.Client != "" {
			extra = append(extra, cell{"For", b.Client, 0.5})
		}
		if b.Firm != "" {
			extra = append(extra, cell{"By", b.Firm, 0.5})
		}
		rows = append(rows, extra)
	}
	return append(rows, second)
}

// blockSize is the room that the block takes: its height on portrait pages, its
// width on landscape ones.
func (d *Document) blockSize(b TitleBlock) float64 {
	if d.wide > d.high {
		return columnWide
	}
	h := float64(len(b.rows(""))) * cellHigh
	if lines := d.cautions(b, d.frame().w-2*blockPad); len(lines) > 0 {
		h += float64(len(lines))*blockStep + 2*blockPad + blockName
	}
	return h
}

// cautionLine is a line of a sentence of the block.
type cautionLine struct{ line, of string }

func (d *Document) cautions(b TitleBlock, w float64) (lines []cautionLine) {
	for _, c := range b.Cautions {
		for i, l := range d.wrap(c, blockText, "", w-3) {
			lines = append(lines, cautionLine{[...]string{"! ", "   "}[min(i, 1)] + l, c})
		}
	}
	for _, s := range [...]string{b.Assumed, b.key} {
		if s != "" {
			for _, l := range d.wrap(s, blockText, "", w) {
				lines = append(lines, cautionLine{l, s})
			}
		}
	}
	return lines
}

// drawingRoom is what the frame leaves beside the block on a page of the
// current size.
func (d *Document) drawingRoom(b TitleBlock) area {
	a := d.frame()
	size := d.blockSize(b)
	if d.wide > d.high {
		a.w -= size
	} else {
		a.h -= size
	}
	return area{a.x + roomAround, a.y + roomAround, a.w - 2*roomAround, a.h - 2*roomAround}
}

// titleBlock draws the block of the current page and returns the room beside
// it.
func (d *Document) titleBlock(b TitleBlock) area {
	page := words.Fill(d.say("{0} of {1}"), strconv.Itoa(len(d.sheets)), pagesAlias)
	a, size := d.frame(), d.blockSize(b)
	d.grey(0)
	if d.titled != b.Title {
		d.titled, b.title = b.Title, d.new("H1")
	}
	if d.wide > d.high {
		d.columnBlock(b, page, area{a.x + a.w - size, a.y, size, a.h})
	} else {
		d.rowBlock(b, page, area{a.x, a.y + a.h - size, a.w, size})
	}
	return d.drawingRoom(b)
}

func (d *Document) rowBlock(b TitleBlock, page string, a area) {
	d.weight(0.5)
	d.line(a.x, a.y, a.x+a.w, a.y)
	y := a.y
	if lines := d.cautions(b, a.w-2*blockPad); len(lines) > 0 {
		y = d.cautionLines(d.say(b.heading()), lines, area{a.x, y, a.w, 0})
	}
	d.weight(0.25)
	for i, row := range b.rows(page) {
		if i > 0 || y > a.y {
			d.line(a.x, y, a.x+a.w, y)
		}
		total := 0.0
		for _, c := range row {
			total += c.share
		}
		x := a.x
		for j, c := range row {
			w := a.w * c.share / total
			if j > 0 {
				at := d.side(a.x, a.w, x, 0)
				d.weight(0.25)
				d.line(at, y, at, y+cellHigh)
			}
			d.cell(c, area{d.side(a.x, a.w, x, w), y, w, cellHigh}, b.title)
			x += w
		}
		y += cellHigh
	}
}

func (d *Document) columnBlock(b TitleBlock, page string, a area) {
	d.weight(0.5)
	d.line(a.x, a.y, a.x, a.y+a.h)
	var cells []cell
	for _, row := range b.rows(page) {
		cells = append(cells, row...)
	}
	y := a.y + a.h - float64(len(cells))*(cellHigh+blockStep)
	if lines := d.cautions(b, a.w-2*blockPad); len(lines) > 0 {
		d.cautionLines(d.say(b.heading()), lines, a)
	}
	for _, c := range cells {
		d.weight(0.25)
		d.line(a.x, y, a.x+a.w, y)
		d.cell(c, area{a.x, y, a.w, cellHigh + blockStep}, b.title)
		y += cellHigh + blockStep
	}
}

func (b TitleBlock) heading() string {
	if len(b.Cautions) > 0 {
		return cautionWord
	}
	return ""
}

// cautionLines writes the cautions from y down and returns where they end.
func (d *Document) cautionLines(word string, lines []cautionLine, a area) float64 {
	x, w, y := a.x+blockPad, a.w-2*blockPad, a.y+blockPad+blockName
	if word != "" {
		d.told("P", word)
		d.put(x, w, y, word, blockName, "", false)
	}
	for i, l := range lines {
		if i == 0 || lines[i-1].of != l.of {
			d.told("P", l.of)
		}
		y += blockStep
		d.put(x, w, y, l.line, blockText, "", false)
	}
	return y + blockPad
}

// cell writes a name and its value, the value wrapped or shortened to fit.
// The drawing's name is the heading of its page.
func (d *Document) cell(c cell, a area, title *element) {
	x, w := a.x+blockPad, a.w-2*blockPad
	if c.name == "Page" || c.name == titleName {
		d.decoration()
	} else {
		d.told("P", c.name+c.value)
	}
	d.put(x, w, a.y+blockName+0.6, d.say(c.name), blockName, "", false)
	if c.name == titleName && title != nil {
		d.mark(title)
	}
	lines := d.wrap(c.value, blockText, "B", a.w-2*blockPad)
	room := max(1, int((a.h-blockName-1.4)/blockStep))
	if c.name == "Page" {
		lines = []string{c.value} // its width is known only at the end
	}
	if len(lines) > room {
		lines = lines[:room]
		last := []rune(lines[room-1])
		for len(last) > 0 && d.width(string(last)+"...", blockText, "B") > a.w-2*blockPad {
			last = last[:len(last)-1]
		}
		lines[room-1] = string(last) + "..."
	}
	y := a.y + blockName + 0.6
	for _, l := range lines {
		y += blockStep
		d.put(x, w, y, l, blockText, "B", false)
	}
}
