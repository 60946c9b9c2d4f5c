package sheets

import (
	"fmt"
	"slices"
	"strings"

	"pegpour/engine/draw"
	"pegpour/engine/draw/compose"
	"pegpour/engine/draw/pdf"
	"pegpour/engine/drawing"
	"pegpour/engine/plan"
	"pegpour/engine/tables"
	"pegpour/engine/text"
)

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
	p.add(picture{about: aboutPlan, group: groupPlan, scene: whole, title: i.say("Set-out plan"),
		mirror: i.Plan.Mirrored(), turns: true})
	for k := range p.boxes {
		p.boxes[k].Need = compose.Keep
	}
	o = i.scene()
	o.Detail, o.Pegs = true, true
	sides := i.Plan.Sides()
	for k, window := range drawing.DetailWindows(i.Plan) {
		p.add(picture{about: aboutPlan, group: groupPad, scene: drawing.SetOutScene(i.Plan, o),
			title: i.name(sides[k].Named("Pad and guide post")), mirror: i.Plan.Mirrored(), turns: true, window: window})
	}
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
		add := func(group int, s *draw.Scene) {
			if s != nil {
				title := i.name(side.Named(text.Name(s.Title)))
				p.add(picture{about: aboutDig, group: group, scene: s, title: title, mirror: side.Mirrored()})
			}
		}
		add(groupLong, drawing.SectionScene(side.Plan, i.scene()))
		add(groupFooting, drawing.FallingScene(side.Plan, i.scene()))
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
func (p *pocket) notes(told compose.Need) {
	for _, key := range [...]string{pdf.VoiceKey, p.i.zero()} {
		p.need(compose.Could, p.list(aboutFigures, "", "", []pdf.Column{{}}, [][]string{{p.i.say(key)}}))
	}
	p.out = slices.Clone(p.lost)
	for k := range p.boxes {
		if p.boxes[k].Need >= told && p.names[k] != "" {
			p.out = append(p.out, p.names[k])
		}
	}
	note := func() [][]string {
		return [][]string{{p.i.fill("Only in the large drawings: {0}.", strings.Join(p.out, "; "))}}
	}
	longest := note() // what is left out is known when all is laid
	p.need(compose.Keep, p.listOf(aboutFigures, pdf.Table{Columns: []pdf.Column{{}}, Rows: longest}, func(t *pdf.Table) {
		if t.Rows = nil; len(p.out) > 0 {
			t.Rows = note()
		}
	}))
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
