package engine

import (
	"math"

	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

func mpa(v float64) text.Arg    { return text.Arg{Value: v, Dimension: text.Stress} }
func moment(v float64) text.Arg { return text.Arg{Value: v, Dimension: text.Moment} }
func pascal(v float64) text.Arg { return text.Arg{Value: v, Dimension: text.Pressure} }

// checkStrength compares what strength asks for with the trade's sizes: where
// it asks for less they stand, where it asks for more it says how much and why.
func (d *designed) checkStrength(found *findings) {
	in, l, s := d.inputs, d.layout, d.plan.Strength
	engineer := text.Say("A first pass, not a design: local codes and a licensed engineer decide.")
	if s.Strip != nil {
		d.checkStrip(found, engineer)
	}
	if g := s.Guide; g != nil && l.hasGuide {
		d.checkPost(found, g, engineer)
	}
	for _, r := range s.Refused {
		found.add(plan.Check{Question: plan.QuestionStrengthRefused, Severity: plan.Warning, Field: r.Field,
			Where: []string{}, At: geom.Point{X: in.width, Y: l.trackOffset}, What: r.Words, Consequence: engineer})
	}
}

func (d *designed) checkPost(found *findings, g *plan.GuideStrength, engineer text.Text) {
	p, l := d.practice, d.layout
	at := l.guide.Middle()
	if g.Use > 0 {
		c := plan.Check{Question: plan.QuestionStrengthPost, Severity: plan.Sound,
			Field: practice.PracticePath + practice.RuleGuidePostSize, Where: plan.PartIDs(plan.PartGuidePost), At: at,
			HasMargin: true, Margin: 1 - g.Use, MarginOf: text.Fraction, Consequence: engineer,
			What: text.Say("The guide post takes {0} of what it may in wind of {1}.", text.Percent(g.Use), pascal(p.WindShut))}
		if g.Use > 1 {
			c.Severity = plan.Warning
			c.What = text.Say("Wind of {0} pushes {1} on the rollers, {2} above its foot: {3} of what the guide post {4} may take.", pascal(p.WindShut), text.Newtons(g.Push), text.MM(g.Height), text.Percent(g.Use), text.Word(g.Section))
			if g.Stronger > 0 {
				changes := []plan.Change{{Path: practice.PracticePath + practice.RuleGuidePostSize, Value: g.Stronger}}
				if p.PostWall < p.StrongerWall {
					changes = append(changes,
						plan.Change{Path: practice.PracticePath + practice.RuleGuidePostWall, Value: p.StrongerWall})
				}
				c.Remedies = append(c.Remedies,
					plan.Remedy{Words: text.Say("Take a guide post of {0} square.", text.MM(g.Stronger)), Changes: changes})
			}
		}
		found.add(c)
	}
	if g.Embedment > 0 {
		c := plan.Check{Question: plan.QuestionStrengthEmbedment, Severity: plan.Sound,
			Field: practice.PracticePath + practice.RuleGuideHoleDepth, Where: plan.PartIDs(plan.PartPostHole), At: at,
			HasMargin: true, Margin: g.In - g.Embedment, MarginOf: text.Length, Consequence: engineer,
			What: text.Say("The guide post stands {0} in firm ground; strength asks for {1}. The trade's depth stands.",
				text.MM(g.In), text.MM(g.Embedment))}
		if g.Embedment > g.In+plan.Tolerance {
			c.Severity = plan.Warning
			more := math.Ceil((g.Embedment-g.In)/p.HoleStep) * p.HoleStep
			c.What = text.Say("Wind of {0} asks for {1} of guide post in firm ground and there is {2}: {3} more.",
				pascal(p.WindShut), text.MM(g.Embedment), text.MM(g.In), text.MM(g.Embedment-g.In))
			c.Remedies = append(c.Remedies,
				plan.Remedy{Words: text.Say("Dig the guide post's hole {0} deeper.", text.MM(more)),
					Changes: []plan.Change{{Path: practice.PracticePath + practice.RuleGuideHoleDepth,
						Value: p.GuideHoleDepth + more}}})
		}
		found.add(c)
	}
	if l.hasPlate && g.Moment > 0 {
		c := plan.Check{Question: plan.QuestionStrengthPad, Severity: plan.Sound, Field: survey.GateGuide,
			Where: plan.PartIDs(plan.PartPad, plan.PartBasePlate), At: at, HasMargin: true, Margin: g.PadTips - g.Moment,
			MarginOf: text.Moment, Consequence: engineer,
			What: text.Say("The weight of pad and strip holds the base plate's post in wind of {0}.", pascal(p.WindShut))}
		if g.PadTips < g.Moment {
			c.Severity = plan.Warning
			c.What = text.Say("Wind of {0} tips the post's base plate with {1}; the weight of pad and strip holds {2}, and the ground around them an unknown part of the rest.", pascal(p.WindShut), moment(g.Moment), moment(g.PadTips))
			c.Remedies = append(c.Remedies,
				plan.Remedy{Words: text.Say("Cast the guide post in: the ground then holds it."),
					Changes: []plan.Change{{Path: survey.GateGuide, Words: survey.GuideCastIn}}})
		}
		found.add(c)
	}
}
