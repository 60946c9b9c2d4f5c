package sheets

import (
	"math"
	"strconv"

	"pegpour/engine/draw/pdf"
	"pegpour/engine/drawing"
	"pegpour/engine/plan"
	"pegpour/engine/tables"
	"pegpour/engine/text"
)

// Supplier is what to deliver: amounts, no prices unless wanted.
func Supplier(i Issue) ([]byte, error) {
	p, err := begin(&i, "Quantities")
	if err != nil {
		return nil, err
	}
	block := i.block("Quantities for delivery", aboutFigures)
	p.Flow(block)
	q := &i.Plan.Quantities
	p.Heading(i.say("Concrete"))
	if q.ReadyMix {
		p.Paragraph(i.sentence(worded("Ready-mix {0}, ordered with waste. In place: {1}.", volume(q.Order),
			volume(q.Concrete))))
	} else {
		p.Paragraph(i.sentence(worded("{0} bags of dry mix of {1} make {2}, with waste. In place: {3}.",
			count(float64(q.Bags)), text.Arg{Value: i.Practice.BagMass, Dimension: text.Mass}, volume(q.Order),
			volume(q.Concrete))))
	}
	var rows [][]string
	amounts := tables.Quantities(i.Plan)[1:]
	for k, row := range tables.English(amounts) {
		if len(row) < 3 || row[2] == "money" || empty(row[1]) {
			continue
		}
		rows = append(rows, []string{i.name(amounts[k][0]), i.Language.Number(row[1]), i.say(row[2])})
	}
	p.table("Amounts", []pdf.Column{{Title: "Item", Share: 2}, {Title: "Amount", Align: pdf.AlignRight},
		{Title: "Unit", Share: 0.7}}, rows)
	p.prices()
	p.Paragraph(i.say("Please deliver where a barrow can follow the fence line; the drive stays free for the dig."))
	return p.end()
}

// empty tells an amount of nothing.
func empty(amount string) bool {
	v, err := strconv.ParseFloat(amount, 64)
	return err == nil && v == 0
}

func worded(format string, args ...text.Arg) text.Text {
	return text.Text{Format: format, Args: args}
}

func volume(v float64) text.Arg { return text.Arg{Value: v, Dimension: text.Volume} }
func count(v float64) text.Arg  { return text.Arg{Value: v, Dimension: text.Count} }

func (i *Issue) money(v float64) string {
	s := i.Language.Number(strconv.FormatFloat(v, 'f', 2, 64))
	if i.Currency != "" {
		return i.Currency + " " + s
	}
	return s
}

// prices lists what has a rate, where prices are wanted.
func (p *paper) prices() {
	i := p.i
	q := &i.Plan.Quantities
	if !i.Prices || q.Cost <= 0 {
		return
	}
	var rows [][]string
	for k := range q.Lines {
		if l := &q.Lines[k]; l.Rate > 0 {
			rows = append(rows, []string{i.name(l.Name), i.money(l.Cost)})
		}
	}
	rows = append(rows, []string{i.say("Sum of what is priced"), i.money(q.Cost)})
	p.table("Price basis", []pdf.Column{{Title: "Item", Share: 2}, {Title: "Price", Align: pdf.AlignRight}}, rows)
}

// SteelShop is what to weld and cut: the leaf with its lengths, the posts, the
// track.
func SteelShop(i Issue) ([]byte, error) {
	p, err := begin(&i, "Steel")
	if err != nil {
		return nil, err
	}
	p.leafElevation()
	heading, h := "Leaf, track and posts", i.Plan.Leaf.Hanging
	if h != nil {
		heading = "Leaf, carriages and posts"
	}
	p.Flow(i.block(heading, aboutLeaf))
	p.standing()
	for _, side := range i.Plan.Sides() {
		p.leafSizes(&side)
	}
	p.figures("How they were worked out", "leaf.frame", "leaf.tail", "leaf.rack", "leaf.guideRail", "leaf.travel",
		"hanging.whole", "hanging.counter", "hanging.between", "hanging.frontCarries", "hanging.rearCarries", "hanging.moment", "hanging.sag")
	p.cutList()
	p.Paragraph(i.say("Opening and levels were measured on site; nothing is cut before the opening is taped once more at the height of the leaf."))
	return p.end()
}

// leafSizes are the sizes of one leaf, its track and its post.
func (p *paper) leafSizes(side *plan.Side) {
	i, leaf, h := p.i, &side.Leaf, side.Leaf.Hanging
	rows := [][]string{}
	add := func(name string, v float64, note string) {
		if v > 0 {
			rows = append(rows, []string{i.say(name), i.length(v), i.say(note)})
		}
	}
	add("Leaf frame length", leaf.Frame, "outside")
	add("Leaf height", leaf.Height, "outside")
	add("Thickness of frame and cladding", leaf.Thickness, "")
	if h != nil {
		add("Counter part behind the frame", h.Counter, "beam and brace")
		add("From carriage to carriage", h.Between, "middle to middle")
		add("Front carriage from the leading edge, leaf shut", h.Over, "")
		add("Beam's underside above the block", h.Under, "packing")
	} else {
		add("Bottom rail past the frame", leaf.Tail, "tail, to the motor")
	}
	add("Guide rail, whole length", leaf.GuideRail, "along the top")
	add("Guide rail past the frame", leaf.RailOver, "")
	if side.Has(plan.PartMotor) {
		add("Rack, whole length", leaf.Rack, "")
	}
	if h == nil {
		add("Wheel in from each end", i.Practice.WheelInset, "")
	}
	add("Between the guide rollers", i.Practice.RollerSpacing, "")
	add("Track", side.Quantities.Track, "cut and drilled")
	if post, ok := side.Part(plan.PartGuidePost, 1); ok {
		low, high := post.Ring.Bounds()
		add("Guide post section", high.X-low.X, "square hollow")
		if hole := side.Deepest(plan.PartPostHole); hole != nil {
			add("Guide post into the ground, at most", hole.Deep(), "the hole's depth")
		}
		if plate, ok := side.Part(plan.PartBasePlate, 1); ok {
			low, high := plate.Ring.Bounds()
			add("Base plate", high.X-low.X, "square, four holes")
		}
	}
	heading := "Sizes"
	if side.Name != "" {
		p.Heading(i.name(side.Named("Sizes")))
		heading = ""
	}
	p.table(heading, []pdf.Column{{Title: "What", Share: 1.6}, {Title: "Size", Align: pdf.AlignRight, Share: 0.7},
		{Title: "Note", Share: 1.2}}, rows)
}

// standing says whether the sheet was made of what was poured, and what changed.
func (p *paper) standing() {
	i := p.i
	if i.Poured == nil {
		p.Heading(i.say("As planned"))
		p.Paragraph(i.say("Made of the plan. What is poured is measured first and this sheet printed again before anything is cut."))
		return
	}
	p.Heading(i.say("As poured"))
	if !i.Poured.Problem.Empty() {
		p.Paragraph(i.sentence(i.Poured.Problem))
	}
	if len(i.Poured.Changes) == 0 {
		p.Paragraph(i.say("Made of what was measured after the pour. No size differs from the plan by more than a tape can tell."))
		return
	}
	p.Paragraph(i.say("Made of what was measured after the pour. These sizes are not those of the plan:"))
	var rows [][]string
	for k := range i.Poured.Changes {
		c := &i.Poured.Changes[k]
		size := func(v float64, none bool) string {
			if none {
				return "–"
			}
			if c.Dimension == text.Length {
				return i.length(v)
			}
			return i.write(text.Arg{Value: v, Dimension: c.Dimension})
		}
		name, sign := i.name(c.Name), ""
		if c.Detail != "" {
			name += " " + i.name(c.Detail)
		}
		if c.Difference() > 0 {
			sign = "+"
		}
		rows = append(rows, []string{name, size(c.Planned, c.Added), size(c.Poured, c.Gone), sign + size(c.Difference(), false)})
	}
	right := pdf.AlignRight
	p.table("What changed", []pdf.Column{{Title: "What", Share: 2}, {Title: "Planned", Align: right},
		{Title: "As poured", Align: right}, {Title: "Difference", Align: right}}, rows)
}

// ownerWrite writes lengths in metres where the trade's are in millimetres: an
// owner thinks in metres.
func (i *Issue) ownerWrite(a text.Arg) string {
	if a.Dimension == text.Length && i.Units == unitMillimetres {
		return i.Language.Number(strconv.FormatFloat(math.Round(a.Value/10)/100, 'f', -1, 64)) + " m"
	}
	return i.write(a)
}

// How the title block names the units.
const (
	unitMillimetres = "mm"
	unitFeet        = "ft in"
)

// Owner is one page in plain words: the gate in its place, seen from the street
// and from above, and what the owner asks. It has no price unless wanted.
func Owner(i Issue) ([]byte, error) {
	p, err := begin(&i, "Your gate")
	if err != nil {
		return nil, err
	}
	block := i.block("Your gate", aboutOwner)
	block.Units, block.Assumed = "", ""
	p.Flow(block)
	o := drawing.OwnerOptions{Open: 0.35, Figures: true, Say: i.say, Write: i.ownerWrite}
	view, err := drawing.OwnerViewScene(i.Plan, o)
	if err != nil {
		return nil, err
	}
	mirror := i.Plan.Mirrored()
	p.keep(p.Figure(view, pdf.Figure{Title: i.say("From the street, partly open"), Loose: true, Height: 84,
		Mirror: mirror}))
	o.Open = 1
	p.keep(p.Figure(drawing.OwnerPlanScene(i.Plan, o),
		pdf.Figure{Title: i.say("From above, open"), Loose: true, Height: 76, Mirror: mirror}))
	var facts []string
	for _, t := range drawing.OwnerFacts(i.Plan) {
		facts = append(facts, t.In(i.form, i.ownerWrite))
	}
	p.List(facts)
	if i.Prices && i.Plan.Quantities.Cost > 0 {
		p.Paragraph(i.fill("Price of the work on the ground, as far as it is worked out: {0}",
			i.money(i.Plan.Quantities.Cost)))
	}
	return p.end()
}
