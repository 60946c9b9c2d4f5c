package engine

import (
	"math"

	"pegpour/engine/geom"
)

func mpa(v float64) Arg    { return Arg{Value: v, Dimension: Stress} }
func moment(v float64) Arg { return Arg{Value: v, Dimension: Moment} }
func pascal(v float64) Arg { return Arg{Value: v, Dimension: Pressure} }

// checkStrength compares what strength asks for with the trade's sizes: where
// it asks for less they stand, where it asks for more it says how much and why.
func (d *designed) checkStrength(found *findings) {
	in, p, l, t, plan := d.inputs, d.practice, d.layout, d.treatment, d.plan
	s := plan.Strength
	engineer := say("A first pass, not a design: local codes and a licensed engineer decide.")
	if r := s.Strip; r != nil {
		at := geom.Point{X: in.width / 2, Y: l.driveWidth / 2}
		worst := stripWorst(r)
		c := Check{Question: QuestionStrengthStrip, Severity: Sound, Field: PracticePath + RuleDriveStripDepth, Where: PartIDs(PartDriveStrip), At: at, HasMargin: true, Margin: 1 - worst, MarginOf: Grade, Consequence: engineer,
			What: say("The drive strip, {0} deep with mesh, takes {1} of what it may under a wheel of {2}.", mm(t.depth), percent(worst), newton(p.TrafficWheel))}
		if r.PlainUse <= 1 && worst <= 1 {
			c.What = say("The drive strip, {0} deep, would not crack under a wheel of {1} even without its mesh.", mm(t.depth), newton(p.TrafficWheel))
		} else if worst <= 1 {
			c.What = say("The drive strip, {0} deep, needs its mesh: plain it would take {1} of what it may under a wheel of {2}, with mesh {3}.", mm(t.depth), percent(r.PlainUse), newton(p.TrafficWheel), percent(worst))
		}
		if worst > 1 {
			c.Severity = Warning
			c.What = say("A wheel of {0} asks {1} of what the drive strip, {2} deep with mesh, may take: {3}.", newton(p.TrafficWheel), percent(worst), mm(t.depth), wordArg(stripWhy(r)))
			if r.Width > 0 {
				c.Remedies = append(c.Remedies, Remedy{Words: say("Make the drive strip {0} wide and {1} deep.", mm(r.Width), mm(r.Depth)),
					Changes: []Change{{Path: PracticePath + RuleDriveStripDepth, Value: r.Depth}, {Path: PracticePath + RuleDriveStripWidth, Value: r.Width - l.shift}}})
			} else if r.Depth > 0 {
				c.Remedies = append(c.Remedies, Remedy{Words: say("Make the drive strip {0} deep, {1} more than the trade's.", mm(r.Depth), mm(r.Depth-t.depth)),
					Changes: []Change{{Path: PracticePath + RuleDriveStripDepth, Value: r.Depth}}})
			}
		}
		found.add(c)
	}
	if g := s.Guide; g != nil && l.hasGuide {
		d.checkPost(found, g, engineer)
	}
	for _, r := range s.Refused {
		found.add(Check{Question: QuestionStrengthRefused, Severity: Warning, Field: r.Field, Where: []string{}, At: geom.Point{X: in.width, Y: l.trackOffset}, What: r.Words, Consequence: engineer})
	}
}

// stripWhy says which part of a strip decides.
func stripWhy(r *StripStrength) string {
	switch stripWorst(r) {
	case r.TopUse:
		return "it cracks at the top, near its end"
	case r.BearingUse:
		return "it presses too hard on the ground"
	}
	return "it cracks at the bottom, and its mesh is too weak"
}

func (d *designed) checkPost(found *findings, g *GuideStrength, engineer Text) {
	p, l := d.practice, d.layout
	at := l.guide.middle()
	if g.Use > 0 {
		c := Check{Question: QuestionStrengthPost, Severity: Sound, Field: PracticePath + RuleGuidePostSize, Where: PartIDs(PartGuidePost), At: at, HasMargin: true, Margin: 1 - g.Use, MarginOf: Grade, Consequence: engineer,
			What: say("The guide post takes {0} of what it may in wind of {1}.", percent(g.Use), pascal(p.WindShut))}
		if g.Use > 1 {
			c.Severity = Warning
			c.What = say("Wind of {0} pushes {1} on the rollers, {2} above its foot: {3} of what the guide post {4} may take.", pascal(p.WindShut), newton(g.Push), mm(g.Height), percent(g.Use), wordArg(g.Section))
			if g.Stronger > 0 {
				changes := []Change{{Path: PracticePath + RuleGuidePostSize, Value: g.Stronger}}
				if p.PostWall < p.StrongerWall {
					changes = append(changes, Change{Path: PracticePath + RuleGuidePostWall, Value: p.StrongerWall})
				}
				c.Remedies = append(c.Remedies, Remedy{Words: say("Take a guide post of {0} square.", mm(g.Stronger)), Changes: changes})
			}
		}
		found.add(c)
	}
	if g.Embedment > 0 {
		c := Check{Question: QuestionStrengthEmbedment, Severity: Sound, Field: PracticePath + RuleGuideHoleDepth, Where: PartIDs(PartPostHole), At: at, HasMargin: true, Margin: g.In - g.Embedment, MarginOf: Length, Consequence: engineer,
			What: say("The guide post stands {0} in firm ground; strength asks for {1}. The trade's depth stands.", mm(g.In), mm(g.Embedment))}
		if g.Embedment > g.In+tolerance {
			c.Severity = Warning
			more := math.Ceil((g.Embedment-g.In)/p.HoleStep) * p.HoleStep
			c.What = say("Wind of {0} asks for {1} of guide post in firm ground and there is {2}: {3} more.", pascal(p.WindShut), mm(g.Embedment), mm(g.In), mm(g.Embedment-g.In))
			c.Remedies = append(c.Remedies, Remedy{Words: say("Dig the guide post's hole {0} deeper.", mm(more)), Changes: []Change{{Path: PracticePath + RuleGuideHoleDepth, Value: p.GuideHoleDepth + more}}})
		}
		found.add(c)
	}
	if l.hasPlate && g.Moment > 0 {
		c := Check{Question: QuestionStrengthPad, Severity: Sound, Field: GateGuide, Where: PartIDs(PartPad, PartBasePlate), At: at, HasMargin: true, Margin: g.PadTips - g.Moment, MarginOf: Moment, Consequence: engineer,
			What: say("The weight of pad and strip holds the base plate's post in wind of {0}.", pascal(p.WindShut))}
		if g.PadTips < g.Moment {
			c.Severity = Warning
			c.What = say("Wind of {0} tips the post's base plate with {1}; the weight of pad and strip holds {2}, and the ground around them an unknown part of the rest.", pascal(p.WindShut), moment(g.Moment), moment(g.PadTips))
			c.Remedies = append(c.Remedies, Remedy{Words: say("Cast the guide post in: the ground then holds it."), Changes: []Change{{Path: GateGuide, Words: GuideCastIn}}})
		}
		found.add(c)
	}
}
