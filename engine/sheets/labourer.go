package sheets

import (
	"strconv"

	"pegpour/engine/draw"
	"pegpour/engine/draw/pdf"
	"pegpour/engine/drawing"
	"pegpour/engine/plan"
	"pegpour/engine/stages"
	"pegpour/engine/survey"
	"pegpour/engine/tables"
	"pegpour/engine/text"
)

// Large is what one sets out, digs and pours by, each drawing on a page of its own: the
// set-out plan with its pegs, the corner by the pad, pegs and diagonals, sections, pour
// list, checklist, watch-outs, what was measured and what was not, and every figure.
func Large(i Issue) ([]byte, error) {
	p, err := begin(&i, "Set-out and pour")
	if err != nil {
		return nil, err
	}
	p.setOut()
	p.pegs()
	p.boards()
	p.sections()
	p.long()
	p.pour()
	p.checklist()
	p.watch()
	p.measured()
	return p.end()
}

// setOut is the plan with pegs and the marks of the sections, and the corner
// by pad and guide post.
func (p *paper) setOut() {
	i := p.i
	o := i.scene()
	o.Pegs = true
	whole := drawing.SetOutScene(i.Plan, o)
	if i.Plan.Pair == nil { // of two leaves each side has sections in a frame of its own
		whole.Add(drawing.SectionMarks(i.Plan, drawing.CrossSections(i.Plan), o)...)
	}
	p.plan(whole, i.block("Set-out plan", aboutPlan), draw.Box{})

	o = i.scene()
	o.Detail, o.Pegs = true, true
	sides := i.Plan.Sides()
	for k, window := range drawing.DetailWindows(i.Plan) {
		p.plan(drawing.SetOutScene(i.Plan, o), i.sideBlock("Pad and guide post", aboutPlan, &sides[k]), window)
	}
}

// pegs lists them with the tapes that fix each, and the diagonals.
func (p *paper) pegs() {
	i := p.i
	p.Flow(i.block("Pegs and diagonals", aboutPlan))
	var rows [][]string
	for _, g := range i.Plan.Pegs {
		set := ""
		if i.Done[g.Number] {
			set = i.say("stands")
		}
		rows = append(rows, []string{strconv.Itoa(g.Number), i.name(g.Name), i.length(g.Chainage),
			i.beyond(g.Chainage - i.Plan.Opening), i.length(g.Offset), i.length(g.FromLatch), i.length(g.FromRunBack), set})
	}
	right := pdf.AlignRight
	p.table("Pegs, in the order one walks",
		[]pdf.Column{{Title: "Peg¦narrow column of numbers", Share: 0.6}, {Title: "Of", Share: 1.9},
			{Title: "Along from latch post", Align: right}, {Title: "Along from run-back post", Align: right, Share: 1.1},
			{Title: "Out from back of posts", Align: right}, {Title: "Tape from latch post", Align: right},
			{Title: "Tape from run-back post", Align: right, Share: 1.1},
			{Title: "Set¦narrow column of ticks", Share: 0.7, Tick: true}}, rows)
	p.Paragraph(i.say("Along the back of the posts, out square to it. Both tapes start at the back inner corner of their post: where they meet, the peg stands."))
	rows = nil
	for _, d := range i.Plan.Diagonals {
		rows = append(rows, []string{strconv.Itoa(d.From) + " - " + strconv.Itoa(d.To), i.length(d.Length), ""})
	}
	p.table("Diagonals to check by",
		[]pdf.Column{{Title: "From peg to peg"}, {Title: "Straight", Align: right},
			{Title: "Agrees", Share: 0.6, Tick: true}}, rows)
}

// beyond is a stretch along the fence from the run-back post; before the post it is
// said so, with no minus.
func (i *Issue) beyond(v float64) string {
	if v <= -plan.Tolerance {
		return i.fill("{0} before it", i.length(-v))
	}
	return i.length(max(0, v))
}

// sections are the cuts across the strip.
func (p *paper) sections() {
	i := p.i
	p.Flow(i.block("Cross sections", aboutDig))
	for _, side := range i.Plan.Sides() {
		if side.Name != "" {
			p.Heading(i.name(side.Name))
		}
		var scenes []*draw.Scene
		for _, cut := range drawing.CrossSections(side.Plan) {
			scenes = append(scenes, drawing.CrossSectionScene(side.Plan, i.Practice, cut, i.scene()))
		}
		p.keep(p.Figures(scenes, pdf.Figure{}))
	}
	p.Paragraph(i.say(i.zero()))
}

// zero is how the cross sections are read.
func (i *Issue) zero() string {
	if i.Plan.HangsFree() {
		return "The street is on the left of each section. Level 0 is the drive's surface, or its plane carried on, under the leaf. Existing surfaces are drawn without their thickness being measured."
	}
	return "The street is on the left of each section. Level 0 is the finished surface at the track. Existing surfaces are drawn without their thickness being measured."
}

// pour is what to dig, pour and bring.
func (p *paper) pour() {
	i := p.i
	p.Flow(i.block("Dig and pour", aboutPour))
	right := pdf.AlignRight
	p.table("Concrete by part",
		[]pdf.Column{{Title: "Part", Share: 1.3}, {Title: "Concrete deep", Align: right, Share: 0.8},
			{Title: "How it was worked out", Share: 2.4}, {Title: "Volume", Align: right}}, i.concrete())
	p.figures("Dig and supply", pourFigures[:]...)
	p.table("To bring", []pdf.Column{{Title: "What", Share: 2}, {Title: "How much", Align: pdf.AlignRight, Share: 1.4},
		{Title: "On the trailer", Share: 0.7, Tick: true}}, i.bring())
}

// pourFigures are what is asked for while digging and ordering.
var pourFigures = [...]string{"foot.depth", "pad.depth", "guide.holeDepth", "drive.stripDepth", "concrete.bags",
	"concrete.batches", "dig.bank", "dig.loose", "dig.mass", "dig.loads", "hanging.level", "hanging.blockTop", "hanging.gap"}

// concrete has a row for each part that is poured: what, how deep, how it was worked out,
// how much.
func (i *Issue) concrete() [][]string {
	q := &i.Plan.Quantities
	volume := func(v float64) string { return i.write(text.Arg{Value: v, Dimension: text.Volume}) }
	var rows [][]string
	for k := range q.Parts {
		part := &q.Parts[k]
		rows = append(rows, []string{i.name(part.Name), i.length(part.Depth), i.sentence(part.How), volume(part.Volume)})
	}
	return append(rows, []string{i.say("Together"), "", "", volume(q.Concrete)},
		[]string{i.say("To order, with waste"), "", "", volume(q.Order)})
}

// figures lists figures with their reasons.
func (p *paper) figures(heading string, ids ...string) {
	p.table(heading, []pdf.Column{{Title: "What", Share: 1.2}, {Title: "Figure", Align: pdf.AlignRight, Share: 0.7},
		{Title: "How it was worked out", Share: 2}}, p.i.figureRows(ids...))
}

// figureRows has a row for each figure: what, how much, how it was worked out.
func (i *Issue) figureRows(ids ...string) [][]string {
	var rows [][]string
	for _, id := range ids {
		for _, own := range [...]string{id, stages.SideID(id, true)} { // of two leaves the other has its own
			if f, ok := i.Plan.Figure(own); ok {
				name, value := f.Told()
				rows = append(rows, []string{i.name(name), i.mark(f.Assumed) + i.write(value), i.sentence(f.How)})
			}
		}
	}
	return rows
}

func (i *Issue) mark(assumed bool) string {
	if assumed {
		return "~"
	}
	return ""
}

// bring has a row for all that goes on the trailer besides concrete.
func (i *Issue) bring() [][]string {
	q := &i.Plan.Quantities
	var rows [][]string
	row := func(name, amount string) { rows = append(rows, []string{name, amount, ""}) }
	add := func(there bool, name, amount string) {
		if there {
			row(i.say(name), amount)
		}
	}
	withUnit := func(v float64) string { return i.write(text.Arg{Value: v, Dimension: text.Length}) }
	add(q.Mesh > 0, "Trench mesh", withUnit(q.Mesh)+", "+strconv.Itoa(q.MeshSheets)+" x "+withUnit(i.Practice.MeshSheet))
	add(q.SawCut > 0, "Saw cut", withUnit(q.SawCut))
	add(q.PaversLifted > 0, "Pavers to lift", i.write(text.Arg{Value: q.PaversLifted, Dimension: text.Area}))
	add(q.Tinted > 0, "Tinted to match", i.write(text.Arg{Value: q.Tinted, Dimension: text.Volume}))
	add(q.Form > 0, "Edge form, where the ground does not hold", withUnit(q.Form))
	add(q.Track > 0, "Track", withUnit(q.Track))
	add(q.Fixings > 0, "Track fixings", strconv.Itoa(q.Fixings))
	add(q.Anchors > 0, "Anchors", strconv.Itoa(q.Anchors))
	for k := range i.Plan.Conduits {
		row(i.fill("Conduit: {0}", i.name(i.Plan.Conduits[k].For)), withUnit(i.Plan.Conduits[k].Length))
	}
	return rows
}

// checklist is the pour day, with what is ticked already.
func (p *paper) checklist() {
	i := p.i
	for _, stage := range tables.PourChecklist(i.Plan, i.Practice) {
		p.table(stage.Name, []pdf.Column{{Title: "Done", Share: 0.12, Tick: true}, {Title: "What"}}, i.stageRows(&stage))
	}
}

// stageRows has a row for each item of a part of the pour day.
func (i *Issue) stageRows(stage *tables.ChecklistStage) [][]string {
	var rows [][]string
	for _, item := range stage.Items {
		done := ""
		if i.Ticks[item.Tick()] {
			done = i.say("done")
		}
		rows = append(rows, []string{done, i.sentence(item.Words)})
	}
	return rows
}

// watch lists what says stop or mind, with its remedies.
func (p *paper) watch() {
	p.table("Watch-outs", []pdf.Column{{Title: "", Share: 0.12}, {Title: "What and what to do"}},
		p.i.watchOuts(true, plan.Stop, plan.Warning))
}

// watchOuts has a row for each check of these severities; in full with the consequence of
// what is to be minded and with remedies.
func (i *Issue) watchOuts(full bool, severities ...plan.Severity) [][]string {
	var rows [][]string
	for _, severity := range severities {
		for k := range i.Plan.Checks {
			c := &i.Plan.Checks[k]
			if c.Severity != severity {
				continue
			}
			words := i.sentence(c.What)
			if !c.Consequence.Empty() && (full || severity == plan.Stop) {
				words += " " + i.sentence(c.Consequence)
			}
			for _, r := range c.Remedies {
				if !full {
					break
				}
				words += "\n" + i.fill("Remedy: {0}", i.sentence(r.Words))
			}
			name := "Mind"
			if severity == plan.Stop {
				name = "Stop"
			}
			rows = append(rows, []string{i.say(name), words})
		}
	}
	return rows
}

// signed reports whether a field is of what somebody signed, which is no reading: a
// signature, or what was agreed of the price.
func signed(f *survey.Field) bool {
	return f.Group == survey.GroupQuote || f.Path == survey.HandOverFitterSign || f.Path == survey.HandOverOwnerSign
}

// measured lists every reading with the way it was taken, and what was assumed.
func (p *paper) measured() {
	i := p.i
	p.Flow(i.block("What was measured", aboutFigures))
	columns := func() []pdf.Column {
		return []pdf.Column{{Title: "What", Share: 2}, {Title: "Value", Align: pdf.AlignRight, Share: 1.3},
			{Title: "Taken by", Share: 0.7}}
	}
	p.table("Measured and decided", columns(), i.measuredRows())
	p.table("Assumed, not measured: check on site", columns(), i.assumedRows())
	p.table("Every figure worked out", []pdf.Column{{Title: "What", Share: 2}, {Title: "Figure", Align: pdf.AlignRight}},
		i.everyFigure())
}

// measuredRows has a row for each reading and decision: what, its value, how it was taken.
func (i *Issue) measuredRows() [][]string {
	var rows [][]string
	for _, f := range survey.Fields(i.Survey) {
		if !f.Answered(i.Survey) || f.Group == survey.GroupSite || signed(&f) {
			continue
		}
		if f.Numeric() {
			v := f.Value(i.Survey)
			rows = append(rows, []string{i.name(f.Name), i.write(text.Arg{Value: v.Size, Dimension: f.Dimension}),
				i.say(f.MethodWords(v.How))})
			continue
		}
		rows = append(rows, []string{i.name(f.Name), i.name(i.choiceWords(f)), ""})
	}
	return rows
}

// assumedRows has a row for each value that was assumed.
func (i *Issue) assumedRows() [][]string {
	var rows [][]string
	for k := range i.Plan.Assumed {
		a := &i.Plan.Assumed[k]
		rows = append(rows, []string{i.name(a.Name), i.assumedValue(a), i.say("assumed")})
	}
	return rows
}

// everyFigure has a row for each figure that was worked out.
func (i *Issue) everyFigure() [][]string {
	var rows [][]string
	for k := range i.Plan.Figures {
		f := &i.Plan.Figures[k]
		name, value := f.Told()
		rows = append(rows, []string{i.name(name), i.mark(f.Assumed) + i.write(value)})
	}
	return rows
}

// choiceWords is a choice in words, or what was typed.
func (i *Issue) choiceWords(f survey.Field) text.Name {
	w := f.Words(i.Survey)
	for _, o := range f.Options {
		if o.Value == w {
			return text.Name(o.Words)
		}
	}
	return text.TypedName(w)
}
