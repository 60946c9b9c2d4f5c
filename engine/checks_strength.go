package engine

import (
	"math"

	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/stages"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// checkStrength compares what strength asks for with the trade's sizes: where
// it asks for less they stand, where it asks for more it says how much and why.
func (d *designed) checkStrength(found *findings) {
	in, l, s := d.Inputs, d.Layout, d.Plan.Strength
	engineer := text.Say("A first pass, not a design: local codes and a licensed engineer decide.")
	if s.Strip != nil {
		d.checkStrip(found, engineer)
	}
	if g := s.Guide; g != nil && l.HasGuide {
		d.checkPost(found, g, engineer)
	}
	d.checkGatePosts(found, engineer)
	d.checkAnchors(found, engineer)
	d.checkFrame(found, engineer)
	for _, r := range s.Refused {
		found.add(plan.Check{Question: plan.QuestionStrengthRefused, Severity: plan.Warning, Field: r.Field,
			Where: []string{}, At: geom.Point{X: in.Width, Y: l.TrackOffset}, What: r.Words, Consequence: engineer})
	}
}

func (d *designed) checkPost(found *findings, g *plan.GuideStrength, engineer text.Text) {
	p, l := d.Practice, d.Layout
	at := l.Guide.Middle()
	if g.Use > 0 {
		c := plan.Check{Question: plan.QuestionStrengthPost, Severity: plan.Sound,
			Field: practice.PracticePath + practice.RuleGuidePostSize, Where: plan.PartIDs(plan.PartGuidePost), At: at,
			HasMargin: true, Margin: 1 - g.Use, MarginOf: text.Use, Consequence: engineer,
			What: text.Say("The guide post takes {0} of what it may in wind of {1}.", text.Used(g.Use), text.Pascals(g.Pressure))}
		if g.Use > 1 {
			c.Severity = plan.Warning
			if g.Use > p.SteelSafety {
				c.Severity = plan.Stop
				c.Consequence = text.Say("It bends over in such a wind, and the leaf falls.")
			}
			c.What = text.Say("Wind of {0} pushes {1} on the rollers, {2} above its foot: {3} of what the guide post {4} may take.", text.Pascals(g.Pressure), text.Newtons(g.Push), text.MM(g.Height), text.Used(g.Use), text.Word(g.Section))
			if g.Stronger > 0 {
				changes := []plan.Change{{Path: practice.PracticePath + practice.RuleGuidePostSize, Value: g.Stronger}}
				if p.PostWall < p.StrongerWall {
					changes = append(changes,
						plan.Change{Path: practice.PracticePath + practice.RuleGuidePostWall, Value: p.StrongerWall})
				}
				c.Remedies = append(c.Remedies,
					plan.Remedy{Words: text.Say("Take a guide post of {0} square.", text.MM(g.Stronger)), Changes: changes})
			}
			if held := d.Stand.Caught; held < g.Push && g.Use*held <= g.Push {
				c.Remedies = append(c.Remedies, openCatchRemedy())
			}
		}
		found.add(c)
	}
	if g.Sway > 0 && (g.Gives > 0 || l.HasPlate) {
		found.add(d.checkMovement(g, at, engineer))
	}
	if g.Embedment > 0 {
		found.add(d.checkHole(g, at, engineer))
	}
	if l.HasPlate && g.Tipping > 0 {
		found.add(d.checkTipping(g, at, engineer))
	}
}

// canBeDug says whether a hole of a size (mm) that holds a push (N) at a height
// (mm) can be dug by hand.
func (d *designed) canBeDug(push, height, size float64) bool {
	p := *d.Practice
	p.GuideHoleSize = size
	post, refused := stages.PostInHole(&p, &d.Stand.Bearing, d.Stand.Away, push, height)
	h := &d.Stand.Hole
	return len(refused) == 0 &&
		math.Ceil(max(h.Soft+max(h.Least, post.Embedment), h.Moves)/p.HoleStep)*p.HoleStep <= p.FootEmbedMost
}

// openCatchRemedy takes from the rollers what the wind asks of an open leaf.
func openCatchRemedy() plan.Remedy {
	return plan.Remedy{Words: text.Say("Hold the top of the open leaf by a catch at its rear, on a post of its own."),
		Changes: []plan.Change{{Path: survey.GateOpenCatch, Words: survey.Yes}}}
}

// checkMovement says whether post and ground together hold the rollers where the
// leaf stays on its track.
func (d *designed) checkMovement(g *plan.GuideStrength, at geom.Point, engineer text.Text) plan.Check {
	moves, may := g.Sway+g.Gives, g.Height/d.Practice.GuideLean
	c := plan.Check{Question: plan.QuestionStrengthMovement, Severity: plan.Sound,
		Field: practice.PracticePath + practice.RuleGuidePostSize, Where: plan.PartIDs(plan.PartGuidePost), At: at,
		HasMargin: true, Margin: may - moves, MarginOf: text.Length, Consequence: engineer,
		What: text.Say("In wind of {0} the rollers move {1}: {2} in the post, {3} in the ground. {4} may be.", text.Pascals(g.Pressure),
			text.MM(moves), text.MM(g.Sway), text.MM(g.Gives), text.MM(may))}
	if moves > may {
		c.Severity = plan.Warning
		c.Consequence = text.Say(d.on("The leaf leans with them, and may leave its track or its rollers: a stiffer post, a deeper hole or a catch at the rear holds it.",
			"The leaf leans with them, and may leave its rollers: a stiffer post, a deeper hole or a catch at the rear holds it."))
	}
	return c
}

// checkHole says whether the guide post stands as deep as the wind asks, and
// whether such a hole can be dug.
func (d *designed) checkHole(g *plan.GuideStrength, at geom.Point, engineer text.Text) plan.Check {
	p, h := d.Practice, &d.Stand.Hole
	c := plan.Check{Question: plan.QuestionStrengthEmbedment, Severity: plan.Sound,
		Field: practice.PracticePath + practice.RuleGuideHoleDepth, Where: plan.PartIDs(plan.PartPostHole), At: at,
		HasMargin: true, Margin: g.In - g.Embedment, MarginOf: text.Length, Consequence: engineer,
		What: text.Say("The guide post stands {0} in firm ground; wind of {1} asks for {2}.", text.MM(g.In),
			text.Pascals(g.Pressure), text.MM(g.Embedment))}
	switch {
	case g.Embedment > g.In+plan.Tolerance:
		c.Severity = plan.Warning
		c.What = text.Say("Wind of {0} asks for {1} of guide post in firm ground and there is {2}, by the shop's own judgement: {3} more.",
			text.Pascals(g.Pressure), text.MM(g.Embedment), text.MM(g.In), text.MM(g.Embedment-g.In))
		c.Remedies = []plan.Remedy{{Words: text.Say("Dig the hole as deep as strength asks."),
			Changes: []plan.Change{{Path: practice.PracticePath + practice.RuleGuideHoleBy, Value: 1}}}}
	case h.Depth-h.Above > p.FootEmbedMost+plan.Tolerance: // what stands above the ground is not dug
		c.Severity = plan.Warning
		c.HasMargin, c.Margin, c.Field = true, p.FootEmbedMost-(h.Depth-h.Above), practice.PracticePath+practice.RuleGuideHoleSize
		c.What = text.Say("The guide post needs a hole {0} deep, {1} of it in firm ground, in wind of {2}; {3} can be dug by hand.",
			text.MM(h.Depth), text.MM(g.In), text.Pascals(g.Pressure), text.MM(p.FootEmbedMost))
		if h.Moves > h.Soft+max(h.Least, g.Embedment) {
			c.What = text.Say("The guide post needs a hole {0} deep to stand below what frost or swelling clay moves; {1} can be dug by hand.",
				text.MM(h.Depth), text.MM(p.FootEmbedMost))
		}
		c.Consequence = text.Say("An auger digs it, or a wider hole needs less depth. Shallower, the post leans and the leaf leaves its rollers.")
		if held := d.Stand.Caught; held < g.Push && d.canBeDug(held, g.Height, p.GuideHoleSize) {
			c.Remedies = append(c.Remedies, openCatchRemedy())
		}
		for wide := p.GuideHoleSize + p.WiderHole; wide <= practice.MostOf(practice.RuleGuideHoleSize); wide += p.WiderHole {
			if d.canBeDug(g.Push, g.Height, wide) {
				c.Remedies = append(c.Remedies, plan.Remedy{Words: text.Say("Dig a hole of {0}.", text.MM(wide)),
					Changes: []plan.Change{{Path: practice.PracticePath + practice.RuleGuideHoleSize, Value: wide}}})
				break
			}
		}
	}
	return c
}

// checkTipping says whether pad and strip hold the post on its base plate by
// their weight.
func (d *designed) checkTipping(g *plan.GuideStrength, at geom.Point, engineer text.Text) plan.Check {
	p := d.Practice
	factor := g.PadTips / g.Tipping
	c := plan.Check{Question: plan.QuestionStrengthPad, Severity: plan.Sound, Field: survey.GateGuide,
		Where: plan.PartIDs(plan.PartPad, plan.PartBasePlate), At: at, HasMargin: true, Margin: factor - p.PadTipping,
		MarginOf: text.Ratio, Consequence: engineer,
		What: text.Say(d.on("The weight of pad and strip holds {0} times what wind of {1} asks about their underside; {2} times are wanted.",
			"The weight of the block holds {0} times what wind of {1} asks about its underside; {2} times are wanted."),
			text.Plain(factor), text.Pascals(g.Pressure), text.Plain(p.PadTipping))}
	if factor < p.PadTipping {
		c.Severity = plan.Warning
		c.What = text.Say(d.on("Wind of {0} tips the post's base plate with {1} about the underside of the pad; the weight of pad and strip holds {2}, {3} times that, and {4} times are wanted.",
			"Wind of {0} tips the post's base plate with {1} about the underside of the block; its weight holds {2}, {3} times that, and {4} times are wanted."),
			text.Pascals(g.Pressure), text.NewtonMillimetres(g.Tipping), text.NewtonMillimetres(g.PadTips), text.Plain(factor), text.Plain(p.PadTipping))
		c.Remedies = []plan.Remedy{{Words: text.Say("Cast the guide post in: the ground then holds it."),
			Changes: []plan.Change{{Path: survey.GateGuide, Words: survey.GuideCastIn}}}}
	}
	if factor < 1 {
		c.Severity = plan.Stop
		c.Consequence = text.Say("The pad tips out of the ground with the post on it, and the leaf falls.")
	}
	return c
}
