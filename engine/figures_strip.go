package engine

import (
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

const (
	sourceStrip  = "M. Hetényi, Beams on Elastic Foundation; Y. H. Huang, Pavement Analysis and Design, ch. 4 (Westergaard); ACI 318"
	sourceSpread = "Hetényi, and the load spread at 45° through the strip, the worse of the two; International Building Code table 1806.2"
	sourceShear  = "ACI 318, 22.5.5.1, and EN 1992-1-1, 6.2.2, the lesser of the two"
	sourceSteel  = "ACI 318, 7.6.1.1 and 24.4.3.2, and EN 1992-1-1, 9.2.1.1, the greater of the two"
	sourceCover  = "EN 1992-1-1, 4.4.1.3 (4) and its British annex; ACI 318, 20.5.1.3 (memory)"
	sourceJoints = "ACI 302.1R and 360R: 24 to 36 times the thickness, 18 ft at most"
)

// explainStrip lists the figures of the drive strip under a wheel.
func (d *designed) explainStrip(first func(plan.Figure)) {
	p, s, t := d.Practice, d.Plan.Strength, d.Treatment
	r := s.Strip
	section := d.Layout.DriveWidth * t.Depth
	fields := []string{survey.GroundSoil, survey.GroundClass, survey.DriveVehicle}
	how := text.Say("a wheel of {0} on {1}, alone or with the other of its axle, at any place, as a beam on the ground, whole and with its joints: {2} at the bottom under a wheel {3} from an end, {4} at the top beside one {5} from it. A slab would be {6} wide or more; this strip is narrower.",
		text.Newtons(r.Wheel), text.Word(s.Soil.Name), text.Megapascals(r.Bottom), text.MM(r.SagAt), text.Megapascals(r.Top), text.MM(r.HogAt),
		text.MM(r.Relative))
	if r.AsSlab {
		how = text.Say("a wheel of {0} on {1}, as a slab (inside {2}, at its edge {3}, at its corner {4}) and as a beam, the worse of the two: {5} at the bottom, {6} at the top",
			text.Newtons(r.Wheel), text.Word(s.Soil.Name), text.Megapascals(r.Interior), text.Megapascals(r.Edge), text.Megapascals(r.Corner), text.Megapascals(r.Bottom),
			text.Megapascals(r.Top))
	}
	wheel := practice.RuleStrengthWheel
	switch r.Vehicle {
	case survey.VehicleVan:
		wheel = practice.RuleStrengthVanWheel
	case survey.VehicleLorry:
		wheel = practice.RuleStrengthLorryWheel
	}
	rules := []string{wheel, practice.RuleStrengthConcrete, practice.RuleStrengthRupture,
		practice.RuleDriveStripDepth, practice.RuleDriveStripWidth}
	mesh := append(append([]string{}, rules...), practice.RuleStrengthWheelFactor, practice.RuleMeshBars,
		practice.RuleMeshBarSize, practice.RuleMeshYield)
	first(plan.Figure{ID: plan.FigureStrengthStripPlain, Name: "Drive strip without mesh: part of what it may take",
		Dimension: text.Use, Value: r.PlainUse, How: how, Rules: rules, Fields: fields, Source: sourceStrip})
	if s.Soil.Presumed {
		first(plan.Figure{ID: plan.FigureStrengthStripMesh, Name: "Drive strip with mesh: part of what it may take",
			Dimension: text.Use, Value: r.Use,
			How: text.Say("the greatest of four: the mesh at the bottom, {0} × {1} of {2}; the concrete at the top, {3} of {4} ÷ {5}; shear, {6}; the ground, {7}",
				text.Plain(p.WheelFactor), text.NewtonMillimetres(r.Sagging), text.NewtonMillimetres(r.Bar), text.Megapascals(r.Top), text.Megapascals(r.Rupture),
				text.Plain(p.RuptureSafety), text.Used(r.ShearUse), text.Used(r.BearingUse)),
			Rules: mesh, Fields: fields, Source: sourceStrip})
	}
	first(plan.Figure{ID: plan.FigureStrengthStripShear, Name: "Shear of the drive strip: part of what it may take",
		Dimension: text.Use, Value: r.ShearUse,
		How: text.Say("{0} × {1} beside a tyre's foot, of {2}", text.Plain(p.WheelFactor), text.Newtons(r.Shear),
			text.Newtons(r.ShearHolds)), Rules: mesh, Fields: fields, Source: sourceShear})
	first(plan.Figure{ID: plan.FigureStrengthStripSteel, Name: "Least steel along the drive strip, over its section",
		Dimension: text.Fraction, Value: r.LeastSteel / section,
		How:    text.Say("the mesh has {0}", text.Percent(r.Steel/section)),
		Rules:  []string{practice.RuleDriveSteelLeast, practice.RuleMeshBars, practice.RuleMeshBarSize},
		Source: sourceSteel})
	first(plan.Figure{ID: plan.FigureStrengthStripCover, Name: "Least concrete under the mesh of the drive strip",
		Dimension: text.Length, Value: p.CoverPrepared,
		How: text.Say("on blinding or a sheet; {0} on bare earth. This shop leaves {1}.", text.MM(p.CoverEarth),
			text.MM(p.MeshCover)),
		Rules:  []string{practice.RuleMeshCoverPrepared, practice.RuleMeshCoverEarth, practice.RuleMeshCover},
		Source: sourceCover})
	first(plan.Figure{ID: plan.FigureStrengthStripJoints, Name: "Joints of the drive strip, at most apart",
		Dimension: text.Length, Value: r.JointSpacing,
		How: text.Say("the lesser of {0} × its depth of {1} and {2}; the strip is {3} long", text.Plain(p.JointSpacing),
			text.MM(t.Depth), text.MM(p.JointMost), text.MM(r.Length)),
		Rules: []string{practice.RuleDriveJointSpacing, practice.RuleDriveJointMost}, Source: sourceJoints})
	first(plan.Figure{ID: plan.FigureStrengthBearing, Name: "Pressure of a wheel on the ground under the strip",
		Dimension: text.Pressure, Value: r.Bearing * plan.Megapascal,
		How: bearingHow(s, r), Rules: rules, Fields: fields, Source: sourceSpread})
}

func bearingHow(s *plan.Strength, r *plan.StripStrength) text.Text {
	if !s.Soil.Presumed {
		return text.Say("what {0} may take cannot be presumed: it needs a soils investigation", text.Word(s.Soil.Name))
	}
	return text.Say("{0} of the {1} that may be presumed for {2}", text.Used(r.BearingUse),
		text.Pascals(s.Soil.Bearing*plan.Megapascal), text.Word(s.Soil.Name))
}
