package engine

import (
	"math"

	"pegpour/engine/geom"
)

const (
	sourceStrip  = "M. Hetényi, Beams on Elastic Foundation; Y. H. Huang, Pavement Analysis and Design, ch. 4 (Westergaard); ACI 318"
	sourceWind   = "EN 1991-1-4, 7.4 and statics; ASCE 7-16 table 29.4-2 for open leaves"
	sourcePost   = "cantilever; AISC 360 allowable stress"
	sourceHole   = "International Building Code 1807.3.2.1, equation 18-1, and table 1806.2"
	sourcePlate  = "O. W. Blodgett, Design of Welded Structures, section 3.3 (memory): rigid plate, anchors in tension only"
	sourceStop   = "energy of the leaf taken up evenly: F = m·v²/d"
	sourceSpread = "Hetényi, and the load spread at 45° through the strip, the worse of the two; International Building Code table 1806.2"
)

// explainStrength lists the figures of the first pass.
func (plan *Plan) explainStrength(in *inputs, p *Practice, t *driveTreatment) {
	s := plan.Strength
	first := func(f Figure) {
		f.FirstPass = true
		plan.figure(in, f)
	}
	ground := []string{"ground.soil", "ground.class"}
	if r := s.Strip; r != nil {
		how := say("a wheel of {0} on {1}, as a beam on the ground: {2} at the bottom in the middle, {3} at the top near the end. A slab would be {4} wide or more; this strip is narrower.",
			newton(p.TrafficWheel), wordArg(s.Soil.Name), mpa(r.Bottom), mpa(r.Top), mm(r.Relative))
		if r.AsSlab {
			how = say("a wheel of {0} on {1}, as a slab (inside {2}, at its edge {3}, at its corner {4}) and as a beam, the worse of the two: {5} at the bottom, {6} at the top",
				newton(p.TrafficWheel), wordArg(s.Soil.Name), mpa(r.Interior), mpa(r.Edge), mpa(r.Corner), mpa(r.Bottom), mpa(r.Top))
		}
		rules := []string{"strength.wheel", "strength.concrete", "strength.rupture", "drive.stripDepth", "drive.stripWidth"}
		first(Figure{ID: "strength.stripPlain", Name: "Drive strip without mesh: part of what it may take", Dimension: Grade, Value: r.PlainUse, How: how, Rules: rules, Fields: ground, Source: sourceStrip})
		first(Figure{ID: "strength.stripMesh", Name: "Drive strip with mesh: part of what it may take", Dimension: Grade, Value: math.Max(r.TopUse, math.Min(r.BarUse, r.PlainUse)),
			How:   say("the mesh takes the bottom: {0} × {1} of {2}; the concrete the top: {3} of {4} ÷ {5}", ratio(p.WheelFactor), moment(r.Sagging), moment(r.Bar), mpa(r.Top), mpa(r.Rupture), ratio(p.RuptureSafety)),
			Rules: append(rules, "strength.wheelFactor", "mesh.bars", "mesh.barSize", "mesh.yield"), Fields: ground, Source: sourceStrip})
		first(Figure{ID: "strength.bearing", Name: "Pressure of a wheel on the ground under the strip", Dimension: Pressure, Value: r.Bearing * megapascal,
			How: bearingHow(s, r), Rules: rules, Fields: ground, Source: sourceSpread})
	}
	if g := s.Guide; g != nil {
		fields := []string{"opening.width", "gate.height", "gate.infill", "gate.latchStop"}
		first(Figure{ID: "wind.leaf", Name: "Wind on the shut leaf", Dimension: Force, Value: g.Force,
			How:   say("{0} on a leaf of {1} by {2}, {3} of it solid", pascal(p.WindShut), mm(plan.Leaf.Frame), mm(plan.Leaf.Height), percent(g.Solidity)),
			Rules: []string{"wind.shut"}, Fields: fields, Source: sourceWind})
		first(Figure{ID: "wind.rollers", Name: "Push on the guide rollers", Dimension: Force, Value: g.Push,
			How:   say("the greater of {0} shut in {1} and {2} moved in {3}, and the leaf's own lean", newton(g.Shut), pascal(p.WindShut), newton(g.Moving), pascal(p.WindMoving)),
			Rules: []string{"wind.shut", "wind.moving"}, Fields: fields, Source: sourceWind})
		if g.Use > 0 {
			first(Figure{ID: "strength.postMoment", Name: "Bending of the guide post at its foot", Dimension: Moment, Value: g.Moment,
				How: say("{0} at {1}", newton(g.Push), mm(g.Height)), Rules: []string{"wind.shut"}, Fields: fields, Source: sourcePost})
			first(Figure{ID: "strength.post", Name: "Guide post: part of what it may take", Dimension: Grade, Value: g.Use,
				How:   postHow(p, g),
				Rules: []string{"guide.postSize", "guide.postWall", "strength.yield", "strength.steelSafety", "wind.shut"}, Fields: fields, Source: sourcePost})
		}
		if g.Embedment > 0 {
			first(Figure{ID: "strength.embedment", Name: "Guide post into firm ground by strength", Dimension: Length, Value: g.Embedment,
				How:   holdHow(s, g),
				Rules: []string{"guide.holeDepth", "guide.holeSize", "wind.shut", "soil.isolatedPole"}, Fields: append(fields, ground...), Source: sourceHole})
		}
		if g.Anchor.Tension > 0 || g.Anchor.Shear > 0 {
			first(Figure{ID: "strength.anchorTension", Name: "Each anchor of the base plate must hold, pulled", Dimension: Force, Value: g.Anchor.Tension,
				How:   say("{0} on a plate of {1}, the anchors {2} in from its edges. What an anchor can hold is its maker's to say, for this concrete and edge.", moment(g.Moment), mm(p.PlateSize), mm(p.AnchorInset)),
				Rules: []string{"guide.plateSize", "anchor.inset", "anchor.area"}, Fields: fields, Source: sourcePlate})
			first(Figure{ID: "strength.anchorShear", Name: "Each anchor of the base plate must hold, sideways", Dimension: Force, Value: g.Anchor.Shear,
				How: say("{0} shared by {1} anchors", newton(g.Push), number(p.PlateAnchors)), Rules: []string{"fixing.plate"}, Fields: fields, Source: sourcePlate})
		}
	}
	if s.MotorAnchor.Tension > 0 {
		first(Figure{ID: "strength.motorAnchor", Name: "Each anchor of the motor must hold, pulled", Dimension: Force, Value: s.MotorAnchor.Tension,
			How: say("thrust {0} at the pinion, {1} above the base", newton(p.MotorThrust), mm(p.PinionUsual)), Rules: []string{"motor.thrust", "motor.pinionUsual", "anchor.inset"}, Source: sourcePlate})
	}
	if s.StopLoad > 0 {
		first(Figure{ID: "strength.stop", Name: "Push on the hard stop", Dimension: Force, Value: s.StopLoad,
			How:   say("a leaf of {0} brought to rest over {1}, and the motor pushing on; {2} on each anchor", Arg{Value: plan.Leaf.Mass, Dimension: Mass}, mm(p.StopBuffer), newton(s.StopShear)),
			Rules: []string{"stop.buffer", "motor.speed", "motor.thrust", "fixing.stop"}, Fields: []string{"opening.width", "gate.height", "gate.infill"}, Source: sourceStop})
	}
}

func bearingHow(s *StrengthPlan, r *StripStrength) Text {
	if !s.Soil.Presumed {
		return say("what {0} may take cannot be presumed: it needs a soils investigation", wordArg(s.Soil.Name))
	}
	return say("{0} of the {1} that may be presumed for {2}", percent(r.BearingUse), pascal(s.Soil.Bearing*megapascal), wordArg(s.Soil.Name))
}

// postHow tells how far the post gives way where that was found.
func postHow(p *Practice, g *GuideStrength) Text {
	if g.Sway == 0 {
		return say("{0} in {1}, {2} ÷ {3}", moment(g.Moment), wordArg(g.Section), mpa(p.PostYield), ratio(p.SteelSafety))
	}
	return say("{0} in {1}, {2} ÷ {3}; its top gives {4}", moment(g.Moment), wordArg(g.Section), mpa(p.PostYield), ratio(p.SteelSafety), mm(g.Sway))
}

// holdHow tells what a floor would save where that was found.
func holdHow(s *StrengthPlan, g *GuideStrength) Text {
	if g.Floor == 0 {
		return say("{0} at {1} in {2}, with nothing but the ground to hold it. The trade's least stands where it is more.", newton(g.Push), mm(g.Height), wordArg(s.Soil.Name))
	}
	return say("{0} at {1} in {2}, with nothing but the ground to hold it; {3} where a floor holds it at the surface. The trade's least stands where it is more.", newton(g.Push), mm(g.Height), wordArg(s.Soil.Name), mm(g.Floor))
}

func mpa(v float64) Arg    { return Arg{Value: v, Dimension: Stress} }
func moment(v float64) Arg { return Arg{Value: v, Dimension: Moment} }
func pascal(v float64) Arg { return Arg{Value: v, Dimension: Pressure} }

// checkStrength compares what strength asks for with the trade's sizes: where
// it asks for less they stand, where it asks for more it says how much and why.
func (plan *Plan) checkStrength(in *inputs, p *Practice, l *layout, t *driveTreatment) {
	s := plan.Strength
	engineer := say("A first pass, not a design: local codes and a licensed engineer decide.")
	if r := s.Strip; r != nil {
		at := geom.Point{X: in.width / 2, Y: l.driveWidth / 2}
		worst := stripWorst(r)
		c := Check{Code: "strength.strip", Severity: Sound, Field: "practice.drive.stripDepth", Where: []string{"driveStrip"}, At: at, HasMargin: true, Margin: 1 - worst, MarginOf: Grade, Consequence: engineer,
			What: say("The drive strip, {0} deep with mesh, takes {1} of what it may under a wheel of {2}.", mm(t.depth), percent(worst), newton(p.TrafficWheel))}
		if r.PlainUse <= 1 && worst <= 1 {
			c.What = say("The drive strip, {0} deep, would not crack under a wheel of {1} even without its mesh.", mm(t.depth), newton(p.TrafficWheel))
		} else if worst <= 1 {
			c.What = say("The drive strip, {0} deep, needs its mesh: plain it would take {1} of what it may under a wheel of {2}, with mesh {3}.", mm(t.depth), percent(r.PlainUse), newton(p.TrafficWheel), percent(worst))
		}
		if worst > 1 {
			c.Severity = Mind
			c.What = say("A wheel of {0} asks {1} of what the drive strip, {2} deep with mesh, may take: {3}.", newton(p.TrafficWheel), percent(worst), mm(t.depth), wordArg(stripWhy(r)))
			if r.Width > 0 {
				c.Remedies = append(c.Remedies, Remedy{Words: say("Make the drive strip {0} wide and {1} deep.", mm(r.Width), mm(r.Depth)),
					Changes: []Change{{Path: "practice.drive.stripDepth", Value: r.Depth}, {Path: "practice.drive.stripWidth", Value: r.Width - l.shift}}})
			} else if r.Depth > 0 {
				c.Remedies = append(c.Remedies, Remedy{Words: say("Make the drive strip {0} deep, {1} more than the trade's.", mm(r.Depth), mm(r.Depth-t.depth)),
					Changes: []Change{{Path: "practice.drive.stripDepth", Value: r.Depth}}})
			}
		}
		plan.add(c)
	}
	if g := s.Guide; g != nil && l.hasGuide {
		plan.checkPost(p, l, g, engineer)
	}
	for _, r := range s.Refused {
		plan.add(Check{Code: "strength.refused", Severity: Mind, Field: r.Field, Where: []string{}, At: geom.Point{X: in.width, Y: l.trackOffset}, What: r.Words, Consequence: engineer})
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

func (plan *Plan) checkPost(p *Practice, l *layout, g *GuideStrength, engineer Text) {
	at := l.guide.middle()
	if g.Use > 0 {
		c := Check{Code: "strength.post", Severity: Sound, Field: "practice.guide.postSize", Where: []string{"guide"}, At: at, HasMargin: true, Margin: 1 - g.Use, MarginOf: Grade, Consequence: engineer,
			What: say("The guide post takes {0} of what it may in wind of {1}.", percent(g.Use), pascal(p.WindShut))}
		if g.Use > 1 {
			c.Severity = Mind
			c.What = say("Wind of {0} pushes {1} on the rollers, {2} above its foot: {3} of what the guide post {4} may take.", pascal(p.WindShut), newton(g.Push), mm(g.Height), percent(g.Use), wordArg(g.Section))
			if g.Stronger > 0 {
				changes := []Change{{Path: "practice.guide.postSize", Value: g.Stronger}}
				if p.PostWall < p.StrongerWall {
					changes = append(changes, Change{Path: "practice.guide.postWall", Value: p.StrongerWall})
				}
				c.Remedies = append(c.Remedies, Remedy{Words: say("Take a guide post of {0} square.", mm(g.Stronger)), Changes: changes})
			}
		}
		plan.add(c)
	}
	if g.Embedment > 0 {
		c := Check{Code: "strength.embedment", Severity: Sound, Field: "practice.guide.holeDepth", Where: []string{"hole"}, At: at, HasMargin: true, Margin: g.In - g.Embedment, MarginOf: Length, Consequence: engineer,
			What: say("The guide post stands {0} in firm ground; strength asks for {1}. The trade's depth stands.", mm(g.In), mm(g.Embedment))}
		if g.Embedment > g.In+tolerance {
			c.Severity = Mind
			more := math.Ceil((g.Embedment-g.In)/p.HoleStep) * p.HoleStep
			c.What = say("Wind of {0} asks for {1} of guide post in firm ground and there is {2}: {3} more.", pascal(p.WindShut), mm(g.Embedment), mm(g.In), mm(g.Embedment-g.In))
			c.Remedies = append(c.Remedies, Remedy{Words: say("Dig the guide post's hole {0} deeper.", mm(more)), Changes: []Change{{Path: "practice.guide.holeDepth", Value: p.GuideHoleDepth + more}}})
		}
		plan.add(c)
	}
	if l.hasPlate && g.Moment > 0 {
		c := Check{Code: "strength.pad", Severity: Sound, Field: "gate.guide", Where: []string{"pad", "plate"}, At: at, HasMargin: true, Margin: g.PadTips - g.Moment, MarginOf: Moment, Consequence: engineer,
			What: say("The weight of pad and strip holds the base plate's post in wind of {0}.", pascal(p.WindShut))}
		if g.PadTips < g.Moment {
			c.Severity = Mind
			c.What = say("Wind of {0} tips the post's base plate with {1}; the weight of pad and strip holds {2}, and the ground around them an unknown part of the rest.", pascal(p.WindShut), moment(g.Moment), moment(g.PadTips))
			c.Remedies = append(c.Remedies, Remedy{Words: say("Cast the guide post in: the ground then holds it."), Changes: []Change{{Path: "gate.guide", Words: GuideCastIn}}})
		}
		plan.add(c)
	}
}
