package sheets

import (
	"pegpour/engine/draw/pdf"
	"pegpour/engine/plan"
	"pegpour/engine/text"
)

// Engineer is what an engineer who is asked needs: the load cases with what they
// ask of each place, what was worked out of strength, what could not be judged,
// and what the ground was taken for.
func Engineer(i Issue) ([]byte, error) {
	p, err := begin(&i, "Load cases")
	if err != nil {
		return nil, err
	}
	p.Flow(i.block("Load cases", aboutLeaf))
	p.Paragraph(i.say(plan.LoadCaseConvention))
	for _, side := range i.Plan.Sides() {
		p.cases(&side)
	}
	var figures []string
	for k := range i.Plan.Figures {
		if i.Plan.Figures[k].FirstPass {
			figures = append(figures, i.Plan.Figures[k].ID)
		}
	}
	p.figures("First pass at strength", figures...)
	var refused []string
	for _, side := range i.Plan.Sides() {
		if side.Strength == nil {
			continue
		}
		for k := range side.Strength.Refused {
			refused = append(refused, i.sentence(side.Said(side.Strength.Refused[k].Words)))
		}
	}
	if m := i.Plan.Pair; m != nil {
		for k := range m.Meeting.Refused {
			refused = append(refused, i.sentence(m.Meeting.Refused[k].Words))
		}
	}
	if len(refused) > 0 {
		p.Heading(i.say("What could not be judged"))
		p.List(refused)
	}
	p.Paragraph(i.say("A first pass, not a design: local codes and a licensed engineer decide."))
	return p.end()
}

// cases are the load cases of one leaf, with what the ground was taken for.
func (p *paper) cases(side *plan.Side) {
	i, strength := p.i, side.Strength
	if strength == nil {
		strength = &plan.Strength{}
	}
	if side.Name != "" {
		p.Heading(i.name(side.Name))
	}
	ground := "The ground is taken for {0}, as it was named on site."
	if !strength.Soil.Known {
		ground = "The ground is taken for {0}: nobody named it on site."
	}
	p.Paragraph(i.fill(ground, i.name(strength.Soil.Name)))
	for k := range strength.Cases {
		c := &strength.Cases[k]
		p.Heading(i.name(c.Name))
		p.Paragraph(i.sentence(c.What))
		rows := make([][]string, 0, len(c.Loads)+len(c.Forces))
		add := func(forces []plan.CaseForce, side string) {
			for _, f := range forces {
				rows = append(rows, []string{i.name(f.Name), i.write(text.Newtons(f.Force)), i.say(side)})
			}
		}
		add(c.Loads, "acts on the leaf")
		add(c.Forces, "is asked of what holds it")
		p.table("", []pdf.Column{{Title: "What", Share: 1.6}, {Title: "Force", Align: pdf.AlignRight, Share: 0.7},
			{Title: "Which way", Share: 1.2}}, rows)
		p.Paragraph(i.fill("Source: {0}", i.say(c.Source)))
	}
}
