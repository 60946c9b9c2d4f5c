package engine

import (
	"math"

	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// shallowest finds of the strips and pads poured on the ground the one that goes
// down least, and how deep, mm; nil where none is poured.
func (d *designed) shallowest() (part *plan.Outline, deep float64) {
	drop := 0.0
	if f := d.Plan.Footing; f != nil {
		drop = f.PadDrop
	}
	for i := range d.Plan.Outlines {
		o := &d.Plan.Outlines[i]
		down := o.Depth
		switch o.Kind {
		case plan.PartPad:
			down -= drop // that is above the lowest ground
		case plan.PartDriveStrip, plan.PartLatchStrip, plan.PartRunBackStrip:
		default:
			continue
		}
		if part == nil || down < deep {
			part, deep = o, down
		}
	}
	return part, deep
}

// checkFrost says what the frost lifts. Posts and walls go below it; strips and
// pads are as deep as the trade pours them.
func (d *designed) checkFrost(found *findings) {
	p, b := d.Practice, &d.Inputs.Bearing
	part, deep := d.shallowest()
	c := plan.Check{Question: plan.QuestionGroundFrost, Severity: plan.Warning, Field: survey.GroundFrost,
		Where: []string{}, At: geom.Point{X: d.Inputs.Width}, HasMargin: true, MarginOf: text.Length}
	switch {
	case b.Frost > p.FootEmbedMost+plan.Tolerance && (d.hasHoles() || part != nil):
		c.Severity, c.Margin = plan.Stop, p.FootEmbedMost-b.Frost
		c.What = text.Say("Frost goes {0} into the ground, and {1} can be dug by hand: what is drawn here is no answer to it.",
			text.MM(b.Frost), text.MM(p.FootEmbedMost))
		c.Consequence = text.Say("An engineer who knows the ground there says on what the gate stands.")
	case part == nil || deep >= b.Frost-plan.Tolerance:
		if b.Frost > 0 {
			found.quiet(plan.QuestionGroundFrost, survey.GroundFrost)
		}
		return
	default:
		c.Where, c.At, c.Margin = []string{part.ID}, part.Ring.Centroid(), deep-b.Frost
		c.What = text.Say("Frost goes {0} into the ground, and the concrete of {1} only {2}: the ground under it lifts when it freezes.",
			text.MM(b.Frost), text.Word(part.Name), text.MM(deep))
		c.Consequence = text.Say(d.on("The track leaves its grade and the pinion its rack. Usual answers: a drained bed of gravel down to the frost's depth, insulation under and beside the concrete, or deeper concrete.",
			"The nose of the leaf goes up and down and the pinion leaves its rack. The answer is a deeper block."))
		if deeper := math.Ceil(b.Frost/p.HoleStep) * p.HoleStep; deeper <= p.DeepestStrip && !d.Inputs.Hangs {
			changes := []plan.Change{{Path: practice.PracticePath + practice.RuleStripDepth, Value: deeper}}
			if d.Treatment.Strip {
				changes = append(changes, plan.Change{Path: practice.PracticePath + practice.RuleDriveStripDepth, Value: deeper})
			}
			c.Remedies = []plan.Remedy{{Words: text.Say("Pour strips and pad {0} deep.", text.MM(deeper)), Changes: changes}}
		}
	}
	found.add(c)
}

// hasHoles reports whether anything stands in holes of the ground.
func (d *designed) hasHoles() bool {
	g := d.Plan.Ground
	return d.Layout.HasHole || d.Plan.Footing != nil || g != nil && g.Rising != nil
}

// checkExpansive says what clay does that swells when wet and shrinks when dry.
func (d *designed) checkExpansive(found *findings) {
	in, p := d.Inputs, d.Practice
	if !in.MayBeClay {
		return
	}
	part, deep := d.shallowest()
	c := plan.Check{Question: plan.QuestionGroundExpansive, Severity: plan.Warning, Field: survey.GroundExpansive,
		Where: []string{}, At: geom.Point{X: in.Width},
		What: text.Say("Nobody knows whether the clay swells when wet and shrinks when dry; if it does, it moves down to {0}.",
			text.MM(p.SwellDepth)),
		Consequence: text.Say(d.on("It lifts a shallow strip off its grade. Look for wide cracks in dry weather and ask the neighbours; a soil test tells.",
			"It lifts a shallow block, and the nose of the leaf with it. Look for wide cracks in dry weather and ask the neighbours; a soil test tells."))}
	switch {
	case in.Expansive == survey.No:
		found.quiet(plan.QuestionGroundExpansive, survey.GroundExpansive)
		return
	case in.Expansive != survey.Yes:
	case part != nil && deep < p.SwellDepth-plan.Tolerance:
		c.Severity, c.HasMargin, c.Margin, c.MarginOf = plan.Stop, true, deep-p.SwellDepth, text.Length
		c.Where, c.At = []string{part.ID}, part.Ring.Centroid()
		c.What = text.Say("The clay swells and shrinks down to {0}, and the concrete of {1} goes only {2} deep.",
			text.MM(p.SwellDepth), text.Word(part.Name), text.MM(deep))
		c.Consequence = text.Say(d.on("It lifts off its grade and drops again, season by season. An engineer says on what the track stands: deeper, on piers, or on ground that is exchanged. Keep trees and leaking gutters away.",
			"It lifts and drops again, season by season, and the nose of the leaf with it. An engineer says on what the block stands: deeper, on piers, or on ground that is exchanged. Keep trees and leaking gutters away."))
	default:
		c.What = text.Say("The clay swells and shrinks: all that carries goes down to {0}.", text.MM(p.SwellDepth))
		c.Consequence = text.Say("Near trees it moves far deeper: an engineer says how deep.")
	}
	found.add(c)
}
