package sheets

import (
	"strconv"
	"time"

	"pegpour/engine/draw"
	"pegpour/engine/draw/pdf"
	"pegpour/engine/handover"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// HandOver is the record of a hand-over for the shop: each test with its limit and
// what came of it, the readings, what was built in, and the signatures.
func HandOver(i Issue) ([]byte, error) {
	p, err := begin(&i, "Record of the hand-over")
	if err != nil {
		return nil, err
	}
	h := &i.Survey.Build.HandOver
	report := handover.Judge(i.Survey, i.Practice, i.Plan, i.State)
	p.Flow(i.block("Record of the hand-over", aboutLeaf))
	if report.Ready() {
		p.Paragraph(i.say("All tests passed, and both signed."))
	} else {
		p.Heading(i.say("Not ready to be handed over"))
		p.List(i.sentences(report.Missing))
	}
	var rows [][]string
	for k := range report.Tests {
		t := &report.Tests[k]
		came := i.say(t.Result.Words())
		if !t.Why.Empty() {
			came += ": " + i.sentence(t.Why)
		}
		rows = append(rows, []string{i.name(t.Name), i.sentence(t.Limit), came})
	}
	p.table("Tests, in their order", []pdf.Column{{Title: "What"}, {Title: "Limit"}, {Title: "Result", Share: 1.6}}, rows)
	rows = nil
	for _, side := range i.Plan.Sides() {
		if pull := h.Leaf(side.Latch).Pull; pull.Known() {
			rows = append(rows, []string{i.name(side.Named("By hand, motor released")), "", "", i.write(text.Newtons(pull.Size)), "", ""})
		}
	}
	for k := range h.Forces {
		f := &h.Forces[k]
		edge := text.Name("The closing edge")
		if f.Opens() {
			edge = "The opening edge"
		}
		if sides := i.Plan.Sides(); len(sides) > 1 {
			latch := f.Edge == survey.EdgeClosingLatch || f.Edge == survey.EdgeOpeningLatch
			edge = sides[map[bool]int{true: 1}[latch]].Named(edge)
		}
		value := func(v survey.Value, a text.Arg) string {
			if !v.Known() {
				return "–"
			}
			return i.write(a)
		}
		rows = append(rows, []string{i.name(edge), value(f.Gap, text.MM(f.Gap.Size)), value(f.Height, text.MM(f.Height.Size)),
			value(f.Peak, text.Newtons(f.Peak.Size)), value(f.Long, text.Plain(f.Long.Size)), value(f.Rest, text.Newtons(f.Rest.Size))})
	}
	right := func(title string) pdf.Column { return pdf.Column{Title: title, Align: pdf.AlignRight, Share: 0.8} }
	p.table("Readings of force", []pdf.Column{{Title: "Where", Share: 1.4}, right("Left open"), right("Above the drive"),
		right("At the first"), right("Seconds"), right("Remaining")}, rows)
	for k := range report.Tests {
		if t := &report.Tests[k]; t.Edge != "" && len(h.Forces) > 0 {
			p.Paragraph(i.fill("Limits: {0}", i.say(t.Source)))
			break
		}
	}
	rows = nil
	for k := range h.Parts {
		rows = append(rows, []string{h.Parts[k].What, h.Parts[k].Serial, h.Parts[k].Setting})
	}
	p.table("Built in", []pdf.Column{{Title: "What"}, {Title: "Serial number"}, {Title: "How it is set", Share: 1.5}}, rows)
	rows = nil
	for k := range h.Services {
		s := &h.Services[k]
		rows = append(rows, []string{i.Language.Date(s.On), s.What, s.By})
	}
	p.table("Services", []pdf.Column{{Title: "Day", Share: 0.6}, {Title: "What was done", Share: 1.8}, {Title: "By"}}, rows)
	p.nextService()
	p.signature("Handed over by", h.Fitter, h.FitterSign)
	p.signature("The owner", h.Owner, h.OwnerSign)
	if day, err := time.Parse(time.RFC3339, h.Signed); err == nil {
		p.Paragraph(i.fill("Signed on {0}, for state {1}.", i.Language.Date(day.Format(time.DateOnly)), short(h.SignedFor)))
	}
	return p.end()
}

func (i *Issue) sentences(all []text.Text) []string {
	out := make([]string, len(all))
	for k := range all {
		out[k] = i.sentence(all[k])
	}
	return out
}

func (p *paper) nextService() {
	if day, ok := handover.NextService(&p.i.Survey.Build.HandOver, p.i.Practice); ok {
		p.Paragraph(p.i.fill("Next service: {0}", p.i.Language.Date(day.Format(time.DateOnly))))
	}
}

// signature draws what was signed over its name.
func (p *paper) signature(what, name, sign string) {
	if name == "" && sign == "" {
		return
	}
	p.Heading(p.i.say(what))
	if !handover.Signed(sign) {
		p.Paragraph(name + " – " + p.i.say("not signed"))
		return
	}
	scene := &draw.Scene{Title: what, Desc: name}
	for n, stroke := range handover.ReadStrokes(sign) {
		points := make([]draw.Point, len(stroke))
		for k, at := range stroke {
			points[k] = draw.Pt(float64(at.X), -float64(at.Y))
		}
		if len(points) > 1 {
			scene.Add(draw.Polyline{Tag: draw.Tag{ID: "stroke-" + strconv.Itoa(n), Layer: "Signature", Role: draw.RoleOutline}, Points: points})
		}
	}
	p.keep(p.Figure(scene, pdf.Figure{Title: name, Loose: true, Height: 24}))
}

// GateBook is what the owner of a gate keeps: how to live with it, in plain words.
func GateBook(i Issue) ([]byte, error) {
	p, err := begin(&i, "Your gate: keep this page")
	if err != nil {
		return nil, err
	}
	h := &i.Survey.Build.HandOver
	block := i.block("Your gate: keep this page", aboutOwner)
	block.Units, block.Assumed = "", ""
	p.Flow(block)
	report := handover.Judge(i.Survey, i.Practice, i.Plan, i.State)
	if !report.Ready() {
		p.Paragraph(i.say("This gate is not handed over yet: do not use it under power."))
	}
	powered := false
	for k := range report.Tests {
		powered = powered || report.Tests[k].Power
	}
	p.Heading(i.say("Every day"))
	daily := []string{"Nobody stands, plays or reaches through where the gate moves; watch it until it stands still.",
		"Keep the track free of stones, leaves and snow: a leaf that jumps its track falls."}
	if i.Plan.HangsFree() {
		daily[1] = "Nobody hangs or rides on the leaf; what lies under it is cleared away: a leaf that is lifted leaves its carriages."
	}
	if powered {
		daily = append(daily, "Remotes and buttons stay out of reach of children.")
	}
	p.List(i.said(daily))
	if powered {
		p.Heading(i.say("When the power is out, or somebody is caught"))
		p.List(i.said([]string{"Turn the key of the motor's release, slide the leaf by hand, and lock the release again afterwards.",
			"You were shown this at the hand-over. The key of the release hangs where everybody in the house finds it."}))
	}
	p.Heading(i.say("Once a month"))
	monthly := []string{"Look at the stops at both ends, the rollers on top and the wheels: nothing loose, nothing worn through."}
	if i.Plan.HangsFree() {
		monthly[0] = "Look at the stops at both ends, the rollers on top, the carriages and the ramp at the latch post: nothing loose, nothing worn through."
	}
	if powered {
		monthly = append(monthly, "Hold a hand in each light beam while it closes, and a block of foam in its way: it must stop and go back.")
	}
	p.List(i.said(append(monthly, "If something does not, switch the motor off, move the gate by hand, and ring us.")))
	p.Heading(i.say("Service"))
	p.nextService()
	p.Paragraph(i.say("Stops, forces and beams are measured then, as at the hand-over. Nobody else opens the motor."))
	if powered {
		var forces []string
		for k := range report.Tests {
			if t := &report.Tests[k]; t.Power && t.Result == handover.Passed {
				forces = append(forces, i.name(t.Name)+": "+i.say(t.Result.Words()))
			}
		}
		if len(forces) > 0 {
			p.Heading(i.say("Tested at the hand-over"))
			p.List(forces)
		}
	}
	var rows [][]string
	for k := range h.Parts {
		rows = append(rows, []string{h.Parts[k].What, h.Parts[k].Serial})
	}
	p.table("Built in", []pdf.Column{{Title: "What"}, {Title: "Serial number"}}, rows)
	return p.end()
}

func (i *Issue) said(english []string) []string {
	out := make([]string, len(english))
	for k := range english {
		out[k] = i.say(english[k])
	}
	return out
}
