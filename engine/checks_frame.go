package engine

import (
	"math"

	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/stages"
	"pegpour/engine/steel"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// checkFrame says whether the leaf's frame bears the wind of the site and its own
// weight, and with which sections it would.
func (d *designed) checkFrame(found *findings, engineer text.Text) {
	in, p, l, u := d.Inputs, d.Practice, d.Layout, d.Plan.Strength.Frame
	if u == nil {
		return
	}
	c := plan.Check{Question: plan.QuestionLeafFrame, Severity: plan.Sound,
		Field: practice.PracticePath + practice.RuleLeafThickness, Where: plan.PartIDs(plan.PartLeafShut),
		At: geom.Point{X: in.Width / 2, Y: l.TrackOffset}, HasMargin: true, Margin: 1 - u.Use, MarginOf: text.Use,
		Consequence: engineer,
		What: text.Say("In wind of {0} the top rail takes {1} of what it may, the bottom rail {2}, a stile {3}.",
			text.Pascals(d.Plan.Strength.Guide.Pressure), text.Used(u.TopUse), text.Used(u.BottomUse), text.Used(u.StileUse))}
	if u.Use > 1 {
		c.Severity = plan.Warning
		if u.Use > p.SteelSafety {
			c.Severity = plan.Stop
		}
		c.Consequence = text.Say("It bends and stays bent, and the leaf runs hard or leaves its rollers.")
		if u.Loose {
			c.Consequence = text.Say(d.on("Rollers alone hold the top, and the frame twists about them until it leans out of its track. A catch at the other end holds it.",
				"Rollers alone hold the top, and the frame twists about them until it leans out of its carriages. A catch at the other end holds it."))
		}
		if d.searches.search(&c) {
			d.strongerFrame(&c)
		}
	}
	found.add(c)
	if d.Plan.HangsFree() {
		return // its nose sags
	}
	if u.Sag <= u.SagMost {
		found.quietly(plan.QuestionLeafSag, practice.PracticePath+practice.RuleFrameBottomRail, u.SagMost-u.Sag, text.Length)
		return
	}
	sags := plan.Check{Question: plan.QuestionLeafSag, Severity: plan.Warning,
		Field: practice.PracticePath + practice.RuleFrameBottomRail, Where: c.Where, At: c.At, HasMargin: true,
		Margin: u.SagMost - u.Sag, MarginOf: text.Length,
		What: text.Say("Between its wheels the bottom rail sags {0} under the leaf; {1} may be.", text.Tenths(u.Sag),
			text.Tenths(u.SagMost)),
		Consequence: text.Say("The rack leaves its pinion in the middle and presses on it at the ends.")}
	q := *p
	for _, q.BottomRail = range steel.SquareSizes {
		if !d.searches.search(&sags) {
			break
		}
		if q.BottomRail <= p.BottomRail {
			continue
		}
		leaf, refused := stages.BuildLeaf(in, &q, &l.Placement, d.Plan.Leaf.Slope)
		if len(refused) > 0 {
			continue
		}
		if w, _ := stages.FrameOf(in, &q, &l.Placement, &leaf, d.Plan.Strength.Guide); w != nil && w.Sag <= w.SagMost {
			sags.Remedies = []plan.Remedy{{Words: text.Say("Take a bottom rail {0} high.", text.MM(q.BottomRail)),
				Changes: []plan.Change{{Path: sags.Field, Value: q.BottomRail}}}}
			break
		}
	}
	found.add(sags)
}

// strongerFrame adds what would do: thicker sections as the leaf is held now, and
// those that do with a catch at either end.
func (d *designed) strongerFrame(c *plan.Check) {
	in, p, l := *d.Inputs, d.Practice, d.Layout
	for _, caught := range [2]bool{false, true} {
		var changes []plan.Change
		if caught {
			if in.StopsShut() && in.OpenCatch {
				return
			}
			if !in.OpenCatch {
				changes = append(changes, plan.Change{Path: survey.GateOpenCatch, Words: survey.Yes})
			}
			if !in.StopsShut() {
				changes = append(changes, plan.Change{Path: survey.GateLatchStop, Words: survey.Yes})
			}
			in.LatchStop, in.OpenCatch = !in.Meets, true
		}
		loads, err := stages.LoadFrame(&in, p, &l.Placement, &d.Plan.Leaf, d.Plan.Strength.Guide)
		thick, wall, ok := loads.StrongerFrame(in.Metal == survey.MetalAluminium, p)
		if err != nil || !ok {
			continue
		}
		words := text.Say("Make the frame of sections {0} thick with a wall of {1}.", text.MM(thick), text.MM(wall))
		if caught {
			words = text.Say("Hold the top by a catch at both ends of its way, and make the frame of sections {0} thick with a wall of {1}.",
				words.Args...)
			if thick <= p.LeafThickness && wall <= p.FrameWall {
				words = text.Say("Hold the top by a catch at both ends of its way.")
			}
		}
		if math.Abs(thick-p.LeafThickness) > plan.Tolerance {
			changes = append(changes, plan.Change{Path: practice.PracticePath + practice.RuleLeafThickness, Value: thick})
		}
		if wall > p.FrameWall {
			changes = append(changes, plan.Change{Path: practice.PracticePath + practice.RuleFrameWall, Value: wall})
		}
		c.Remedies = append(c.Remedies, plan.Remedy{Words: words, Changes: changes})
	}
}
