package engine

import "math"

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
func (d *designed) explainStrength(list *figureList) {
	p, plan := d.practice, d.plan
	s := plan.Strength
	first := func(f Figure) {
		f.FirstPass = true
		list.add(f)
	}
	ground := []string{GroundSoil, GroundClass}
	if r := s.Strip; r != nil {
		how := say("a wheel of {0} on {1}, as a beam on the ground: {2} at the bottom in the middle, {3} at the top near the end. A slab would be {4} wide or more; this strip is narrower.",
			newton(p.TrafficWheel), wordArg(s.Soil.Name), mpa(r.Bottom), mpa(r.Top), mm(r.Relative))
		if r.AsSlab {
			how = say("a wheel of {0} on {1}, as a slab (inside {2}, at its edge {3}, at its corner {4}) and as a beam, the worse of the two: {5} at the bottom, {6} at the top",
				newton(p.TrafficWheel), wordArg(s.Soil.Name), mpa(r.Interior), mpa(r.Edge), mpa(r.Corner), mpa(r.Bottom), mpa(r.Top))
		}
		rules := []string{RuleStrengthWheel, RuleStrengthConcrete, RuleStrengthRupture, RuleDriveStripDepth, RuleDriveStripWidth}
		first(Figure{ID: FigureStrengthStripPlain, Name: "Drive strip without mesh: part of what it may take", Dimension: Grade, Value: r.PlainUse, How: how, Rules: rules, Fields: ground, Source: sourceStrip})
		first(Figure{ID: FigureStrengthStripMesh, Name: "Drive strip with mesh: part of what it may take", Dimension: Grade, Value: math.Max(r.TopUse, math.Min(r.BarUse, r.PlainUse)),
			How:   say("the mesh takes the bottom: {0} × {1} of {2}; the concrete the top: {3} of {4} ÷ {5}", ratio(p.WheelFactor), moment(r.Sagging), moment(r.Bar), mpa(r.Top), mpa(r.Rupture), ratio(p.RuptureSafety)),
			Rules: append(rules, RuleStrengthWheelFactor, RuleMeshBars, RuleMeshBarSize, RuleMeshYield), Fields: ground, Source: sourceStrip})
		first(Figure{ID: FigureStrengthBearing, Name: "Pressure of a wheel on the ground under the strip", Dimension: Pressure, Value: r.Bearing * megapascal,
			How: bearingHow(s, r), Rules: rules, Fields: ground, Source: sourceSpread})
	}
	if g := s.Guide; g != nil {
		fields := []string{OpeningWidth, GateHeight, GateInfill, GateLatchStop}
		first(Figure{ID: FigureWindLeaf, Name: "Wind on the shut leaf", Dimension: Force, Value: g.Force,
			How:   say("{0} on a leaf of {1} by {2}, {3} of it solid", pascal(p.WindShut), mm(plan.Leaf.Frame), mm(plan.Leaf.Height), percent(g.Solidity)),
			Rules: []string{RuleWindShut}, Fields: fields, Source: sourceWind})
		first(Figure{ID: FigureWindRollers, Name: "Push on the guide rollers", Dimension: Force, Value: g.Push,
			How:   say("the greater of {0} shut in {1} and {2} moved in {3}, and the leaf's own lean", newton(g.Shut), pascal(p.WindShut), newton(g.Moving), pascal(p.WindMoving)),
			Rules: []string{RuleWindShut, RuleWindMoving}, Fields: fields, Source: sourceWind})
		if g.Use > 0 {
			first(Figure{ID: FigureStrengthPostMoment, Name: "Bending of the guide post at its foot", Dimension: Moment, Value: g.Moment,
				How: say("{0} at {1}", newton(g.Push), mm(g.Height)), Rules: []string{RuleWindShut}, Fields: fields, Source: sourcePost})
			first(Figure{ID: FigureStrengthPost, Name: "Guide post: part of what it may take", Dimension: Grade, Value: g.Use,
				How:   postHow(p, g),
				Rules: []string{RuleGuidePostSize, RuleGuidePostWall, RuleStrengthYield, RuleStrengthSteelSafety, RuleWindShut}, Fields: fields, Source: sourcePost})
		}
		if g.Embedment > 0 {
			first(Figure{ID: FigureStrengthEmbedment, Name: "Guide post into firm ground by strength", Dimension: Length, Value: g.Embedment,
				How:   holdHow(s, g),
				Rules: []string{RuleGuideHoleDepth, RuleGuideHoleSize, RuleWindShut, RuleSoilIsolatedPole}, Fields: append(fields, ground...), Source: sourceHole})
		}
		if g.Anchor.Tension > 0 || g.Anchor.Shear > 0 {
			first(Figure{ID: FigureStrengthAnchorTension, Name: "Each anchor of the base plate must hold, pulled", Dimension: Force, Value: g.Anchor.Tension,
				How:   say("{0} on a plate of {1}, the anchors {2} in from its edges. What an anchor can hold is its maker's to say, for this concrete and edge.", moment(g.Moment), mm(p.PlateSize), mm(p.AnchorInset)),
				Rules: []string{RuleGuidePlateSize, RuleAnchorInset, RuleAnchorArea}, Fields: fields, Source: sourcePlate})
			first(Figure{ID: FigureStrengthAnchorShear, Name: "Each anchor of the base plate must hold, sideways", Dimension: Force, Value: g.Anchor.Shear,
				How: say("{0} shared by {1} anchors", newton(g.Push), number(p.PlateAnchors)), Rules: []string{RuleFixingPlate}, Fields: fields, Source: sourcePlate})
		}
	}
	if s.MotorAnchor.Tension > 0 {
		first(Figure{ID: FigureStrengthMotorAnchor, Name: "Each anchor of the motor must hold, pulled", Dimension: Force, Value: s.MotorAnchor.Tension,
			How: say("thrust {0} at the pinion, {1} above the base", newton(p.MotorThrust), mm(p.PinionUsual)), Rules: []string{RuleMotorThrust, RuleMotorPinionUsual, RuleAnchorInset}, Source: sourcePlate})
	}
	if s.StopLoad > 0 {
		first(Figure{ID: FigureStrengthStop, Name: "Push on the hard stop", Dimension: Force, Value: s.StopLoad,
			How:   say("a leaf of {0} brought to rest over {1}, and the motor pushing on; {2} on each anchor", Arg{Value: plan.Leaf.Mass, Dimension: Mass}, mm(p.StopBuffer), newton(s.StopShear)),
			Rules: []string{RuleStopBuffer, RuleMotorSpeed, RuleMotorThrust, RuleFixingStop}, Fields: []string{OpeningWidth, GateHeight, GateInfill}, Source: sourceStop})
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
	return say("{0} in {1}, {2} ÷ {3}; its top gives {4}",
		moment(g.Moment), wordArg(g.Section), mpa(p.PostYield), ratio(p.SteelSafety), mm(g.Sway))
}

// holdHow tells what a floor would save where that was found.
func holdHow(s *StrengthPlan, g *GuideStrength) Text {
	if g.Floor == 0 {
		return say("{0} at {1} in {2}, with nothing but the ground to hold it. The trade's least stands where it is more.",
			newton(g.Push), mm(g.Height), wordArg(s.Soil.Name))
	}
	return say("{0} at {1} in {2}, with nothing but the ground to hold it; {3} where a floor holds it at the surface. The trade's least stands where it is more.",
		newton(g.Push), mm(g.Height), wordArg(s.Soil.Name), mm(g.Floor))
}
