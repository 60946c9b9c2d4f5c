package sheets

import (
	"slices"

	"pegpour/engine/draw"
	"pegpour/engine/draw/compose"
	"pegpour/engine/draw/pdf"
	"pegpour/engine/pegs"
	"pegpour/engine/plan"
)

// The most sides of A4 that the labourer carries.
const mostSides = 4

// No side is less full than this: the part of what is between frame and block that drawings
// with their lettering and tables with their rows take.
const leastFull = 2.0 / 3

// Groups of drawings that are at one scale; where there is too little room the last of them
// goes below the scale that is wanted first.
const (
	groupPlan = iota
	groupPad
	groupLong
	groupFooting
	groupSection
	groupStrings
	noGroup = -1
)

// ladder are the ratios at which drawings of a group are issued, from small to large, all of
// them of ISO 5455; wanted is the smallest that a labourer likes to read.
type ladder struct {
	ratios []float64
	wanted float64
}

var ladders = [...]ladder{
	groupPlan:    {[]float64{500, 200, 100, 50, 20}, 100},
	groupPad:     {[]float64{100, 50, 20, 10}, 20},
	groupSection: {[]float64{100, 50, 20, 10}, 20},
	groupLong:    {[]float64{500, 200, 100, 50, 20}, 100},
	groupFooting: {[]float64{500, 200, 100, 50, 20}, 100},
	groupStrings: {[]float64{500, 200, 100, 50}, 100},
}

// pocket is a composed document in the making.
type pocket struct {
	*paper
	page   compose.Page
	boxes  []compose.Box
	wanted []int
	draw   []func(compose.Piece) draw.Box // and where on the page it was
	names  []string                       // of boxes
	out    []string                       // the names of those that found no room
	lost   []string                       // and of those that are too large for any page
	small  bool                           // whether drawings go below the scales wanted
}

// Pocket is what one sets out, digs and pours by, on as few sides of A4 as hold it: for a
// simple site both sides of one, four at most. What finds no room there is named at the end
// and stands in the large drawings.
func Pocket(i Issue) ([]byte, error) {
	base, err := begin(&i, "Set-out and pour")
	if err != nil {
		return nil, err
	}
	p := collect(base, false, compose.Should)
	l := p.lay()
	if p.lacks(&l, compose.Should) {
		p = collect(base, true, compose.Should)
		l = p.lay()
	}
	if p.lacks(&l, compose.Must) { // all the more has to be told
		p = collect(base, true, compose.Must)
		l = p.lay()
	}
	if len(p.all) > 0 {
		return nil, p.all[0]
	}
	p.lays(l)
	return p.end()
}

// collect measures all that there is to lay; small does so at scales too that are below
// those wanted, which takes longer. There is room to tell the names of what is needed as
// little as told or less.
func collect(base *paper, small bool, told compose.Need) *pocket {
	p := &pocket{paper: base, small: small}
	p.page = p.PocketPage(p.blockOf)
	boards := pegs.LayBoards(p.i.Plan, p.i.Practice)
	p.setOut()
	p.pegs(boards)
	p.sections()
	p.long()
	p.pour()
	p.watch(plan.Stop, compose.Keep)
	p.assumed()
	p.checklist()
	p.strings(boards)
	p.watch(plan.Warning, compose.Should)
	p.figures()
	p.notes(told)
	return p
}

// lacks reports whether something is left out that is needed so much.
func (p *pocket) lacks(l *compose.Layout, need compose.Need) bool {
	return slices.ContainsFunc(l.Out, func(b int) bool { return p.boxes[b].Need <= need })
}

func (p *pocket) lay() compose.Layout {
	return compose.Lay(p.boxes, p.wanted, &p.page, mostSides, leastFull)
}

// lays draws all boxes in their places.
func (p *pocket) lays(l compose.Layout) {
	p.out = p.lost
	for _, b := range l.Out {
		if p.names[b] != "" {
			p.out = append(p.out, p.names[b])
		}
	}
	topics := make([]uint, l.Pages)
	for _, q := range l.Pieces {
		topics[q.Page] |= p.boxes[q.Box].Topics
	}
	n := -1
	var drawn []draw.Box
	for _, q := range l.Pieces {
		for ; n < q.Page; n++ {
			p.Read((n + 1) * (len(p.boxes) + 1))
			p.BeginPocket(p.blockOf(topics[n+1]), l.Pages)
		}
		p.Read(q.Page*(len(p.boxes)+1) + 1 + q.Box) // boxes of a page in the order of the work
		drawn = append(drawn, p.draw[q.Box](q))
	}
	if p.i.composed != nil {
		p.i.composed(p, l, drawn)
	}
}

// blockTopics are the topics by their bits.
var blockTopics = [...]topic{aboutPlan, aboutDig, aboutPour, aboutFigures}

func bitOf(about topic) uint { return 1 << slices.Index(blockTopics[:], about) }

// blockOf is the block of a page about these topics: with the cautions of each.
func (p *pocket) blockOf(topics uint) pdf.TitleBlock {
	b := p.i.block("Set-out and pour", aboutFigures)
	b.Cautions = nil
	for k := range p.i.Plan.Cautions {
		c := &p.i.Plan.Cautions[k]
		about, listed := cautionTopics[c.Code]
		if !listed || slices.ContainsFunc(about, func(t topic) bool {
			return slices.Contains(blockTopics[:], t) && topics&bitOf(t) != 0
		}) {
			b.Cautions = append(b.Cautions, p.i.sentence(c.Words))
		}
	}
	return b
}

// picture is a scene for the page.
type picture struct {
	about         topic
	group         int
	scene         *draw.Scene
	title         string // the scene's own when empty
	mirror, turns bool
	window        draw.Box
}

// add measures a scene at each scale of its group, from the one wanted up; at those below
// too where they are asked for, or where the one wanted is too large for any page.
func (p *pocket) add(s picture) {
	if s.scene == nil {
		return
	}
	if s.title == "" {
		s.title = s.scene.Title
	}
	ratios := ladders[s.group].ratios
	from := slices.Index(ratios, ladders[s.group].wanted)
	box := compose.Box{Topics: bitOf(s.about), Group: s.group}
	var sheets [][]*draw.Sheet
	measure := func(ratios []float64) {
		for _, ratio := range ratios {
			shapes, drawn := p.measure(&s, ratio)
			if len(shapes) > 0 {
				box.Sizes, sheets = append(box.Sizes, shapes), append(sheets, drawn)
			} else if len(sheets) > 0 {
				return // nor do larger ones fit
			}
		}
	}
	if p.small {
		measure(ratios[:from])
	}
	wanted := len(sheets)
	measure(ratios[from:])
	if len(sheets) == 0 {
		measure(ratios[:from])
	}
	if len(sheets) == 0 {
		p.lost = append(p.lost, s.title)
		return
	}
	p.push(box, min(wanted, len(sheets)-1), s.title, func(q compose.Piece) draw.Box {
		return p.DrawPocket(sheets[q.Size][q.Shape.Mark], s.title, p.page.Left(q.Column), q.Y, p.page.Across(q.Shape.Columns))
	})
}

// measure lays a scene out at a scale, turned too where it may be: none where it is too
// large for the page.
func (p *pocket) measure(s *picture, ratio float64) (shapes []compose.Shape, drawn []*draw.Sheet) {
	v := draw.View{Width: p.page.Width, Paper: true, Scale: 1 / ratio, Mirror: s.mirror, Window: s.window,
		TextHeight: pdf.PocketText, Margin: 0.5}
	if !s.turns {
		v.Width /= 2 // texts beside it are broken sooner
	}
	for _, v.Turn = range [...]bool{false, true} {
		if v.Turn && !s.turns {
			break
		}
		sheet, err := draw.Layout(s.scene, v)
		if err != nil {
			p.keep(err)
			return nil, nil
		}
		c := max(3, p.page.ColumnsFor(sheet.Ink().Width()+1.2))
		if c > compose.Columns {
			continue
		}
		if high := p.PocketDrawing(sheet, s.title, p.page.Across(c)); high <= p.page.Height(bitOf(s.about)) {
			shapes = append(shapes, compose.Shape{Columns: c, Height: high, Mark: len(drawn)})
			drawn = append(drawn, sheet)
		}
	}
	return shapes, drawn
}

func (p *pocket) push(b compose.Box, wanted int, name string, draw func(compose.Piece) draw.Box) {
	b.Need = compose.Must
	p.boxes, p.wanted = append(p.boxes, b), append(p.wanted, wanted)
	p.names, p.draw = append(p.names, name), append(p.draw, draw)
}

// list is a table for the page. Columns and heading are said; the note was said before.
func (p *pocket) list(about topic, heading, note string, columns []pdf.Column, rows [][]string) *compose.Box {
	if len(rows) == 0 {
		return nil
	}
	for k := range columns {
		columns[k].Title = p.i.say(columns[k].Title)
	}
	return p.listOf(about, pdf.Table{Heading: p.i.say(heading), Note: note, Columns: columns, Rows: rows}, nil)
}

// listOf takes a table that is said; last may change it, to no larger one, before it is drawn.
func (p *pocket) listOf(about topic, t pdf.Table, last func(*pdf.Table)) *compose.Box {
	m := p.PocketTable(t, &p.page)
	if m == nil {
		p.keep(pdf.ErrTooLarge)
		return nil
	}
	box := compose.Box{Topics: bitOf(about), Group: noGroup, Table: m, Sizes: [][]compose.Shape{m.Shapes()}}
	p.push(box, 0, t.Heading, func(q compose.Piece) draw.Box {
		if last != nil {
			last(&t)
			q.Until = min(q.Until, len(t.Rows))
		}
		return p.DrawPocketTable(t, m, q, &p.page)
	})
	return &p.boxes[len(p.boxes)-1]
}
