package engine

import (
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

const (
	sourceWind  = "EN 1991-1-4, 7.4 and statics; ASCE 7-16 table 29.4-2 for open leaves"
	sourcePost  = "cantilever; AISC 360 allowable stress"
	sourceHole  = "International Building Code 1807.3.2.1, equation 18-1, and table 1806.2"
	sourcePlate = "O. W. Blodgett, Design of Welded Structures, section 3.3 (memory): rigid plate, anchors in tension only"
	sourceStop  = "energy of the leaf taken up evenly: F = m·v²/d"
)

// explainStrength lists the figures of the first pass.
func (d *designed) explainStrength(list *figureList) {
	p, made := d.practice, d.plan
	s := made.Strength
	first := func(f plan.Figure) {
		f.FirstPass = true
		list.add(f)
	}
	ground := []string{survey.GroundSoil, survey.GroundClass}
	if s.Strip != nil {
		d.explainStrip(first)
	}
	if g := s.Guide; g != nil {
		fields := []string{survey.OpeningWidth, survey.GateHeight, survey.GateInfill, survey.GateLatchStop}
		first(plan.Figure{ID: plan.FigureWindLeaf, Name: "Wind on the shut leaf", Dimension: text.Force, Value: g.Force,
			How: text.Say("{0} on a leaf of {1} by {2}, {3} of it solid", pascal(p.WindShut), text.MM(made.Leaf.Frame),
				text.MM(made.Leaf.Height), text.Percent(g.Solidity)),
			Rules: []string{practice.RuleWindShut}, Fields: fields, Source: sourceWind})
		first(plan.Figure{ID: plan.FigureWindRollers, Name: "Push on the guide rollers", Dimension: text.Force, Value: g.Push,
			How: text.Say("the greater of {0} shut in {1} and {2} moved in {3}, and the leaf's own lean",
				text.Newtons(g.Shut), pascal(p.WindShut), text.Newtons(g.Moving), pascal(p.WindMoving)),
			Rules: []string{practice.RuleWindShut, practice.RuleWindMoving}, Fields: fields, Source: sourceWind})
		if g.Use > 0 {
			first(plan.Figure{ID: plan.FigureStrengthPostMoment, Name: "Bending of the guide post at its foot",
				Dimension: text.Moment, Value: g.Moment,
				How: text.Say("{0} at {1}", text.Newtons(g.Push), text.MM(g.Height)), Rules: []string{practice.RuleWindShut},
				Fields: fields, Source: sourcePost})
			first(plan.Figure{ID: plan.FigureStrengthPost, Name: "Guide post: part of what it may take",
				Dimension: text.Fraction, Value: g.Use,
				How: postHow(p, g),
				Rules: []string{practice.RuleGuidePostSize, practice.RuleGuidePostWall, practice.RuleStrengthYield,
					practice.RuleStrengthSteelSafety, practice.RuleWindShut}, Fields: fields, Source: sourcePost})
		}
		if g.Embedment > 0 {
			first(plan.Figure{ID: plan.FigureStrengthEmbedment, Name: "Guide post into firm ground by strength",
				Dimension: text.Length, Value: g.Embedment,
				How: holdHow(s, g),
				Rules: []string{practice.RuleGuideHoleDepth, practice.RuleGuideHoleSize, practice.RuleWindShut,
					practice.RuleSoilIsolatedPole}, Fields: append(fields, ground...), Source: sourceHole})
		}
		if g.Anchor.Tension > 0 || g.Anchor.Shear > 0 {
			first(plan.Figure{ID: plan.FigureStrengthAnchorTension, Name: "Each anchor of the base plate must hold, pulled",
				Dimension: text.Force, Value: g.Anchor.Tension,
				How:   text.Say("{0} on a plate of {1}, the anchors {2} in from its edges. What an anchor can hold is its maker's to say, for this concrete and edge.", moment(g.Moment), text.MM(p.PlateSize), text.MM(p.AnchorInset)),
				Rules: []string{practice.RuleGuidePlateSize, practice.RuleAnchorInset, practice.RuleAnchorArea}, Fields: fields,
				Source: sourcePlate})
			first(plan.Figure{ID: plan.FigureStrengthAnchorShear, Name: "Each anchor of the base plate must hold, sideways",
				Dimension: text.Force, Value: g.Anchor.Shear,
				How:   text.Say("{0} shared by {1} anchors", text.Newtons(g.Push), text.Number(p.PlateAnchors)),
				Rules: []string{practice.RuleFixingPlate}, Fields: fields, Source: sourcePlate})
		}
	}
	if s.MotorAnchor.Tension > 0 {
		first(plan.Figure{ID: plan.FigureStrengthMotorAnchor, Name: "Each anchor of the motor must hold, pulled",
			Dimension: text.Force, Value: s.MotorAnchor.Tension,
			How: text.Say("thrust {0} at the pinion, {1} above the base", text.Newtons(p.MotorThrust),
				text.MM(p.PinionUsual)),
			Rules:  []string{practice.RuleMotorThrust, practice.RuleMotorPinionUsual, practice.RuleAnchorInset},
			Source: sourcePlate})
	}
	if s.StopLoad > 0 {
		first(plan.Figure{ID: plan.FigureStrengthStop, Name: "Push on the hard stop", Dimension: text.Force,
			Value: s.StopLoad,
			How: text.Say("a leaf of {0} brought to rest over {1}, and the motor pushing on; {2} on each anchor",
				text.Arg{Value: made.Leaf.Mass, Dimension: text.Mass}, text.MM(p.StopBuffer), text.Newtons(s.StopShear)),
			Rules: []string{practice.RuleStopBuffer, practice.RuleMotorSpeed, practice.RuleMotorThrust,
				practice.RuleFixingStop}, Fields: []string{survey.OpeningWidth, survey.GateHeight, survey.GateInfill},
			Source: sourceStop})
	}
}

// postHow tells how far the post gives way where that was found.
func postHow(p *practice.Practice, g *plan.GuideStrength) text.Text {
	if g.Sway == 0 {
		return text.Say("{0} in {1}, {2} ÷ {3}", moment(g.Moment), text.Word(g.Section), mpa(p.PostYield),
			text.Plain(p.SteelSafety))
	}
	return text.Say("{0} in {1}, {2} ÷ {3}; its top gives {4}",
		moment(g.Moment), text.Word(g.Section), mpa(p.PostYield), text.Plain(p.SteelSafety), text.MM(g.Sway))
}

// holdHow tells what a floor would save where that was found.
func holdHow(s *plan.Strength, g *plan.GuideStrength) text.Text {
	if g.Floor == 0 {
		return text.Say("{0} at {1} in {2}, with nothing but the ground to hold it. The trade's least stands where it is more.",
			text.Newtons(g.Push), text.MM(g.Height), text.Word(s.Soil.Name))
	}
	return text.Say("{0} at {1} in {2}, with nothing but the ground to hold it; {3} where a floor holds it at the surface. The trade's least stands where it is more.",
		text.Newtons(g.Push), text.MM(g.Height), text.Word(s.Soil.Name), text.MM(g.Floor))
}
