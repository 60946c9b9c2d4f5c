package engine

import (
	"math"

	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// checkShape questions a shape of the ground that its own readings contradict: what was
// chosen with a look along the fence decides what is built.
func (d *designed) checkShape(found *findings) {
	in, p, l, g := d.Inputs, d.Practice, d.Layout, d.Plan.Ground
	low, high := math.Inf(1), math.Inf(-1)
	var at geom.Point
	for i := range g.Readings {
		q := &g.Readings[i]
		if q.OnDrive || q.OnSlab || q.Chainage <= in.RunBackEdge.At(q.Offset) {
			continue
		}
		low, high = min(low, q.Above), max(high, q.Above)
		at = geom.Point{X: q.Chainage, Y: q.Offset}
	}
	if low > high {
		return // nothing was read there
	}
	flat := 2 * p.SurfaceRoughness // less than that the ground is uneven anyhow
	c := plan.Check{Question: plan.QuestionGroundShape, Severity: plan.Warning, Field: survey.GroundShape,
		Where: plan.PartIDs(plan.PartRunBackStrip), At: at,
		Consequence: text.Say("What is built, and what is asked, follows from how the ground lies. Look again, or read again.")}
	shape := survey.GroundSlopes
	switch {
	case g.Shape == survey.GroundFalls && low > -flat:
		if high > l.FootDepth {
			shape = survey.GroundRises
		}
		c.What = text.Say("The ground is said to fall off the edge, but nothing that was read beyond it lies lower than the drive.")
	case g.Shape == survey.GroundRises && high < flat:
		if low < -l.FootDepth {
			shape = survey.GroundFalls
		}
		c.What = text.Say("The ground is said to rise off the edge, but nothing that was read beyond it stands higher than the drive.")
	case g.Shape == survey.GroundSlopes && high > l.FootDepth:
		shape = survey.GroundRises
		c.What = text.Say("The ground is said to slope on with the drive, but beyond the edge it was read up to {0} higher.", text.MM(high))
	default:
		found.quiet(plan.QuestionGroundShape, survey.GroundShape)
		return
	}
	words := map[string]text.Text{survey.GroundSlopes: text.Say("Take it as ground that slopes on with the drive."),
		survey.GroundRises: text.Say("Take it as ground that rises off the edge."),
		survey.GroundFalls: text.Say("Take it as ground that falls off the edge.")}
	c.Remedies = []plan.Remedy{{Words: words[shape], Changes: []plan.Change{{Path: survey.GroundShape, Words: shape}}}}
	found.add(c)
}
