package sheets

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"pegpour/engine/draw"
	"pegpour/engine/draw/compose"
	"pegpour/engine/draw/pdf"
	"pegpour/engine/drawing"
	"pegpour/engine/pegs"
	"pegpour/engine/plan"
	"pegpour/engine/tables"
	"pegpour/engine/text"
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
	p := collect(base, false)
	l := p.lay()
	if slices.ContainsFunc(l.Out, func(b int) bool { return p.boxes[b].Need <= compose.Should }) {
		p = collect(base, true)
		l = p.lay()
	}
	if len(p.all) > 0 {
		return nil, p.all[0]
	}
	p.lays(l)
	return p.end()
}

// collect measures all that there is to lay; small does so at scales too that are below
// those wanted, which takes longer.
func collect(base *paper, small bool) *pocket {
	p := &pocket{paper: base, small: small}
	p.page = p.PocketPage(p.blockOf)
	boards := pegs.LayBoards(p.i.Plan, p.i.Practice)
	p.setOut()
	p.pegs(boards)
	p.sections()
	p.long()
	p.pour()
	p.watch(plan.Stop, compose.Must)
	p.assumed()
	p.checklist()
	p.strings(boards)
	p.watch(plan.Warning, compose.Should)
	p.figures()
	p.notes()
	return p
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
			p.BeginPocket(p.blockOf(topics[n+1]), l.Pages)
		}
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
	p.push(compose.Box{Topics: bitOf(about), Group: noGroup, Table: m, Sizes: [][]compose.Shape{m.Shapes()}}, 0, t.Heading,
		func(q compose.Piece) draw.Box {
			if last != nil {
				last(&t)
				q.Until = min(q.Until, len(t.Rows))
			}
			return p.DrawPocketTable(t, m, q, &p.page)
		})
	return &p.boxes[len(p.boxes)-1]
}

// setOut is the plan with pegs and the marks of the sections, and the corner by pad and
// guide post, of two leaves both.
func (p *pocket) setOut() {
	i := p.i
	o := i.scene()
	o.Pegs = true
	whole := drawing.SetOutScene(i.Plan, o)
	if i.Plan.Pair == nil { // of two leaves each side has sections in a frame of its own
		whole.Add(drawing.SectionMarks(i.Plan, drawing.CrossSections(i.Plan), o)...)
	}
	p.add(picture{about: aboutPlan, group: groupPlan, scene: whole, title: i.say("Set-out plan"), mirror: i.Plan.Mirrored(), turns: true})
	o = i.scene()
	o.Detail, o.Pegs = true, true
	sides := i.Plan.Sides()
	for k, window := range drawing.DetailWindows(i.Plan) {
		p.add(picture{about: aboutPlan, group: groupPad, scene: drawing.SetOutScene(i.Plan, o),
			title: i.name(sides[k].Named("Pad and guide post")), mirror: i.Plan.Mirrored(), turns: true, window: window})
	}
}

// pegs lists them with the tapes that fix each, and the diagonals; of those under a string
// how far down the concrete is, and the bottom of the dig.
func (p *pocket) pegs(b *pegs.Boards) {
	i := p.i
	corners := map[string]*pegs.Corner{}
	for k := range b.Corners {
		corners[b.Corners[k].Key] = &b.Corners[k]
	}
	right := pdf.AlignRight
	columns := []pdf.Column{{Title: "Peg¦narrow column of numbers"}, {Title: "Of"}, {Title: "Along¦column: from the latch post", Align: right},
		{Title: "Beyond¦column: from the run-back post", Align: right}, {Title: "Out¦column: from the back of the posts", Align: right},
		{Title: "Latch tape", Align: right}, {Title: "Run-back tape", Align: right}}
	note := i.say("Along: from the latch post, on the back of the posts; beyond: from the run-back post; out: square to it. Both tapes start at the back inner corner of their post: where they meet, the peg stands.")
	if len(corners) > 0 {
		columns = append(columns, pdf.Column{Title: "Strings"}, pdf.Column{Title: "Level¦column: of the concrete", Align: right},
			pdf.Column{Title: "Down¦column: from the string", Align: right}, pdf.Column{Title: "Dig¦column: from the string", Align: right})
		note += " " + i.say("Level: of the concrete; down: from the string to it; dig: from the string to the bottom.") + " " + i.sentence(b.Words())
	}
	columns = append(columns, pdf.Column{Title: "Set¦narrow column of ticks", Tick: true})
	marks := pegs.Marks(i.Plan, i.Practice)
	var rows [][]string
	for k, g := range i.Plan.Pegs {
		beyond := "" // only where it is nearer than the latch post on the way
		if g.Chainage > i.Plan.Opening-plan.Tolerance {
			beyond = i.beyond(g.Chainage - i.Plan.Opening)
		}
		row := []string{strconv.Itoa(g.Number), i.name(g.Name), i.length(g.Chainage), beyond, i.length(g.Offset), i.length(g.FromLatch),
			i.length(g.FromRunBack)}
		if c := corners[marks[k].Key]; c != nil {
			row = append(row, i.sentence(b.Over(c)), i.length(c.Level), i.length(c.Down), i.length(c.Bottom))
		}
		for len(row) < len(columns)-1 {
			row = append(row, "")
		}
		set := ""
		if i.Done[g.Number] {
			set = i.say("stands")
		}
		rows = append(rows, append(row, set))
	}
	p.list(aboutPlan, "Pegs, in the order one walks", note, columns, rows)
	rows = nil
	for _, d := range i.Plan.Diagonals {
		rows = append(rows, []string{strconv.Itoa(d.From) + " - " + strconv.Itoa(d.To), i.length(d.Length), ""})
	}
	p.list(aboutPlan, "Diagonals to check by", "", []pdf.Column{{Title: "Pegs"}, {Title: "Straight", Align: right},
		{Title: "Agrees", Tick: true}}, rows)
}

// sections are the cuts across the strip that differ. Of one that is drawn as another was, of
// the other leaf, the title alone is added there.
func (p *pocket) sections() {
	i := p.i
	var all []picture
	seen := map[string]int{} // what is drawn, and which it was
	for _, side := range i.Plan.Sides() {
		for _, cut := range drawing.CrossSections(side.Plan) {
			scene := drawing.CrossSectionScene(side.Plan, i.Practice, cut, i.scene())
			title := i.name(side.Named(text.Name(scene.Title)))
			what := fmt.Sprint(scene.Elements)
			if same, ok := seen[what]; ok {
				all[same].title += "; " + title
				continue
			}
			seen[what] = len(all)
			all = append(all, picture{about: aboutDig, group: groupSection, scene: scene, title: title})
		}
	}
	for _, q := range all {
		p.add(q)
	}
}

// long are the sections along the track with its levels, and the steel footing, where the
// site has them.
func (p *pocket) long() {
	i := p.i
	for _, side := range i.Plan.Sides() {
		if s := drawing.SectionScene(side.Plan, i.scene()); s != nil {
			p.add(picture{about: aboutDig, group: groupLong, scene: s, title: i.name(side.Named(text.Name(s.Title))), mirror: side.Mirrored()})
		}
		if s := drawing.FallingScene(side.Plan, i.scene()); s != nil {
			p.add(picture{about: aboutDig, group: groupFooting, scene: s, title: i.name(side.Named(text.Name(s.Title))), mirror: side.Mirrored()})
		}
	}
	if heading, columns, rows := i.levels(); len(rows) > 0 {
		p.list(aboutDig, heading, "", columns, rows)
	}
	for _, side := range i.Plan.Sides() {
		if heading, columns, rows := i.postsOf(&side); len(rows) > 0 {
			p.list(aboutDig, i.name(side.Named(text.Name(heading))), "", columns, rows)
		}
	}
}

// pour is what to dig, pour and bring.
func (p *pocket) pour() {
	i := p.i
	right := pdf.AlignRight
	var rows [][]string
	for _, row := range i.concrete() {
		rows = append(rows, []string{row[0], row[1], row[3]})
	}
	p.list(aboutPour, "Concrete by part", "", []pdf.Column{{Title: "Part"}, {Title: "Concrete deep", Align: right},
		{Title: "Volume", Align: right}}, rows)
	rows = nil
	for _, row := range i.figureRows(pourFigures[:]...) {
		rows = append(rows, row[:2])
	}
	p.list(aboutPour, "Dig and supply", "", []pdf.Column{{Title: "What"}, {Title: "Figure", Align: right}}, rows)
	p.list(aboutPour, "To bring", "", []pdf.Column{{Title: "What"}, {Title: "How much", Align: right},
		{Title: "On the trailer", Tick: true}}, i.bring())
}

// watch lists what says stop or mind; remedies are for who plans.
func (p *pocket) watch(severity plan.Severity, n compose.Need) {
	var rows [][]string
	for _, row := range p.i.watchOuts(false, severity) {
		rows = append(rows, row[1:])
	}
	heading := "Mind"
	if severity == plan.Stop {
		heading = "Stop"
	}
	p.need(n, p.list(aboutFigures, heading, "", []pdf.Column{{}}, rows))
}

// checklist is the pour day.
func (p *pocket) checklist() {
	i := p.i
	for _, stage := range tables.PourChecklist(i.Plan, i.Practice) {
		p.need(compose.Should, p.list(aboutPour, stage.Name, "", []pdf.Column{{Tick: true}, {}}, i.stageRows(&stage)))
	}
}

// figures are what was read and worked out.
func (p *pocket) figures() {
	i := p.i
	what := []pdf.Column{{Title: "What"}, {Title: "Value", Align: pdf.AlignRight}}
	p.need(compose.May, p.list(aboutFigures, "Measured and decided", "",
		append(slices.Clone(what), pdf.Column{Title: "Taken by"}), i.measuredRows()))
	p.need(compose.May, p.list(aboutFigures, "Every figure worked out", "", what, i.everyFigure()))
}

func (p *pocket) need(n compose.Need, b *compose.Box) {
	if b != nil {
		b.Need = n
	}
}

// notes say how the drawings are read, and what found no room.
func (p *pocket) notes() {
	zero := "The street is on the left of each section. Level 0 is the finished surface at the track. Existing surfaces are drawn without their thickness being measured."
	if p.i.Plan.HangsFree() {
		zero = "The street is on the left of each section. Level 0 is the drive's surface, or its plane carried on, under the leaf. Existing surfaces are drawn without their thickness being measured."
	}
	for _, key := range [...]string{pdf.VoiceKey, zero} {
		p.need(compose.Could, p.list(aboutFigures, "", "", []pdf.Column{{}}, [][]string{{p.i.say(key)}}))
	}
	p.out = slices.Clone(p.lost)
	for k := range p.boxes {
		if p.boxes[k].Need != compose.Must && p.names[k] != "" {
			p.out = append(p.out, p.names[k])
		}
	}
	note := func() [][]string {
		return [][]string{{p.i.fill("Only in the large drawings: {0}.", strings.Join(p.out, "; "))}}
	}
	longest := note() // what is left out is known when all is laid
	p.listOf(aboutFigures, pdf.Table{Columns: []pdf.Column{{}}, Rows: longest}, func(t *pdf.Table) {
		if t.Rows = nil; len(p.out) > 0 {
			t.Rows = note()
		}
	})
}

// assumed is what was not measured.
func (p *pocket) assumed() {
	var rows [][]string
	for _, row := range p.i.assumedRows() {
		rows = append(rows, row[:2])
	}
	p.list(aboutFigures, "Assumed, not measured: check on site", "",
		[]pdf.Column{{Title: "What"}, {Title: "Value", Align: pdf.AlignRight}}, rows)
}
