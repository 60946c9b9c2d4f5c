package engine

import (
	"math"

	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/text"
)

// checkStrip looks at the drive strip under a wheel: whether it holds, its shear,
// its steel, the concrete under it and its joints.
func (d *designed) checkStrip(found *findings, engineer text.Text) {
	in, l, t := d.Inputs, d.Layout, d.Treatment
	r, ground := d.Plan.Strength.Strip, &d.Plan.Strength.Soil
	about := func(q plan.Question, rule string) plan.Check {
		return plan.Check{Question: q, Severity: plan.Sound, Field: practice.PracticePath + rule,
			Where: plan.PartIDs(plan.PartDriveStrip), At: geom.Point{X: in.Width / 2, Y: l.DriveWidth / 2}, HasMargin: true,
			Consequence: engineer}
	}
	stronger := d.strongerStrips(r)
	c := about(plan.QuestionStrengthStrip, practice.RuleDriveStripDepth)
	c.Margin, c.MarginOf = 1-r.Use, text.Use
	switch {
	case !ground.Presumed:
		c.Severity, c.HasMargin = plan.Warning, false
		c.What = text.Say("Whether the drive strip holds a wheel of {0} cannot be judged: what the ground under it bears may not be presumed ({1}). Its concrete alone takes {2} of what it may.",
			text.Newtons(r.Wheel), text.Word(ground.Name), text.Used(r.Use))
		c.Consequence = text.Say("Dig a trial pit: firm natural ground must show under the whole strip, or an engineer designs it.")
	case r.Use > 1:
		c.Severity, c.Remedies = plan.Warning, stronger
		c.What = text.Say("A wheel of {0} asks {1} of what the drive strip, {2} deep with mesh, may take: {3}.",
			text.Newtons(r.Wheel), text.Used(r.Use), text.MM(t.Depth), text.Word(stripWhy(r)))
	case r.PlainUse <= 1:
		c.What = text.Say("The drive strip, {0} deep, would not crack under a wheel of {1} even without its mesh.",
			text.MM(t.Depth), text.Newtons(r.Wheel))
	default:
		c.What = text.Say("The drive strip, {0} deep, needs its mesh: plain it would take {1} of what it may under a wheel of {2}, with mesh {3}.", text.MM(t.Depth), text.Used(r.PlainUse), text.Newtons(r.Wheel), text.Used(r.Use))
	}
	found.add(c)

	c = about(plan.QuestionStrengthShear, practice.RuleDriveStripDepth)
	if c.Margin, c.MarginOf = 1-r.ShearUse, text.Use; r.ShearUse <= 1 {
		found.quietly(c.Question, c.Field, c.Margin, c.MarginOf)
	} else {
		c.Severity, c.Remedies = plan.Warning, stronger
		c.What = text.Say("Beside a wheel the drive strip is sheared by {0}, {1} of what concrete {2} deep with this mesh may take.",
			text.Newtons(r.Shear), text.Used(r.ShearUse), text.MM(t.Depth))
		found.add(c)
	}
	d.checkStripSteel(found, about, r)
	d.checkStripJoints(found, about, r)
}

// strongerStrips are the strips that would do.
func (d *designed) strongerStrips(r *plan.StripStrength) []plan.Remedy {
	p, l, t := d.Practice, d.Layout, d.Treatment
	switch {
	case r.Use <= 1 || !d.Plan.Strength.Soil.Presumed:
		return nil
	case r.Width > 0:
		return []plan.Remedy{{Words: text.Say("Make the drive strip {0} wide and {1} deep.", text.MM(r.Width),
			text.MM(r.Depth)),
			Changes: []plan.Change{{Path: practice.PracticePath + practice.RuleDriveStripDepth, Value: r.Depth},
				{Path: practice.PracticePath + practice.RuleDriveStripWidth, Value: r.Width - l.Shift}}}}
	case r.Depth > 0:
		return []plan.Remedy{{Words: text.Say("Make the drive strip {0} deep, {1} more than the trade's.",
			text.MM(r.Depth), text.MM(r.Depth-t.Depth)),
			Changes: []plan.Change{{Path: practice.PracticePath + practice.RuleDriveStripDepth, Value: r.Depth}}}}
	}
	return []plan.Remedy{{Words: text.Say("No strip up to {0} wide and {1} deep bears it with this mesh: an engineer designs a slab for it.",
		text.MM(p.WidestStrip), text.MM(p.DeepestStrip))}}
}

// stripWhy says which part of a strip decides.
func stripWhy(r *plan.StripStrength) text.Name {
	switch r.Use {
	case r.TopUse:
		return "it cracks at the top, beside the wheel"
	case r.BearingUse:
		return "it presses too hard on the ground"
	case r.ShearUse:
		return "it shears beside the wheel"
	}
	if r.Steel < r.LeastSteel {
		return "it cracks at the bottom, and has too little mesh to count"
	}
	return "it cracks at the bottom, and its mesh is too weak"
}

// checkStripSteel compares the mesh with the least that counts, and the concrete
// under it with what keeps it from rusting.
func (d *designed) checkStripSteel(found *findings, about func(plan.Question, string) plan.Check,
	r *plan.StripStrength) {
	p := d.Practice
	section := d.Layout.DriveWidth * d.Treatment.Depth
	c := about(plan.QuestionStrengthSteel, practice.RuleMeshBars)
	if c.Margin, c.MarginOf = (r.Steel-r.LeastSteel)/section, text.Fraction; c.Margin >= 0 {
		found.quietly(c.Question, c.Field, c.Margin, c.MarginOf)
	} else {
		c.Severity = plan.Warning
		c.What = text.Say("The mesh is {0} of the drive strip's section, and {1} are wanted: with less it breaks as soon as it cracks, and the mesh counts for nothing.",
			text.Percent(r.Steel/section), text.Percent(r.LeastSteel/section))
		if wires := math.Ceil(r.LeastSteel/(r.Steel/p.MeshBars) - 1e-9); wires <= practice.MostOf(practice.RuleMeshBars) {
			c.Remedies = []plan.Remedy{{Words: text.Say("Lay mesh with {0} long wires.", text.Number(wires)),
				Changes: []plan.Change{{Path: practice.PracticePath + practice.RuleMeshBars, Value: wires}}}}
		}
		found.add(c)
	}
	c = about(plan.QuestionStrengthCover, practice.RuleMeshCover)
	c.Margin, c.MarginOf = p.MeshCover-p.CoverPrepared, text.Length
	switch {
	case p.MeshCover >= p.CoverEarth:
		found.quietly(c.Question, c.Field, c.Margin, c.MarginOf)
		return
	case c.Margin < 0:
		c.Severity = plan.Warning
		c.What = text.Say("There is {0} of concrete under the mesh; {1} are wanted on blinding or a sheet, {2} on bare earth.",
			text.MM(p.MeshCover), text.MM(p.CoverPrepared), text.MM(p.CoverEarth))
		c.Consequence = text.Say("The mesh rusts and bursts the concrete.")
		c.Remedies = []plan.Remedy{{Words: text.Say("Lay the mesh {0} up, on blinding or a sheet.",
			text.MM(p.CoverPrepared)),
			Changes: []plan.Change{{Path: practice.PracticePath + practice.RuleMeshCover, Value: p.CoverPrepared}}}}
	default:
		c.What = text.Say("Pour the drive strip on blinding or a sheet: with {0} of concrete under the mesh it does not do on bare earth, which asks for {1}.",
			text.MM(p.MeshCover), text.MM(p.CoverEarth))
		if r.EarthUse > 0 && r.Use <= 1 && d.Plan.Strength.Soil.Presumed {
			c.What = text.Say("Pour the drive strip on blinding or a sheet: with {0} of concrete under the mesh it does not do on bare earth, which asks for {1} and would leave it {2} used.",
				text.MM(p.MeshCover), text.MM(p.CoverEarth), text.Used(r.EarthUse))
		}
	}
	found.add(c)
}

// checkStripJoints says how many joints the drive strip takes.
func (d *designed) checkStripJoints(found *findings, about func(plan.Question, string) plan.Check,
	r *plan.StripStrength) {
	c := about(plan.QuestionStrengthJoints, practice.RuleDriveJointSpacing)
	if c.Margin, c.MarginOf = r.JointSpacing-r.Length, text.Length; r.Joints == 0 {
		found.quietly(c.Question, c.Field, c.Margin, c.MarginOf)
		return
	}
	c.Severity = plan.Warning
	c.What = text.Counted(r.Joints,
		"The drive strip is {1} long, and plain or meshed concrete so deep cracks by itself beyond {2}: saw one joint across it, where no wheel stands, with the mesh running through.",
		"The drive strip is {1} long, and plain or meshed concrete so deep cracks by itself beyond {2}: saw {0} joints across it, where no wheel stands, with the mesh running through.",
		text.MM(r.Length), text.MM(r.JointSpacing))
	c.Consequence = text.Say("Saw a quarter of the depth the next day. Without joints it cracks where it likes, and the mesh keeps the crack shut.")
	found.add(c)
}
