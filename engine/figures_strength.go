package engine

import (
	"math"
	"slices"

	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/stages"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

const (
	sourcePost    = "cantilever; AISC 360 allowable stress"
	sourceHole    = "International Building Code 1807.3.2.1, equation 18-1, and table 1806.2"
	sourceLean    = "cantilever; rigid post on springs of the ground after B. B. Broms (memory), stiffness after K. Terzaghi (memory)"
	sourceAnchors = "ACI 318-19, chapter 17"
	sourcePlate   = "O. W. Blodgett, Design of Welded Structures, section 3.3 (memory): rigid plate, anchors in tension only"
	sourceFrame   = "statics of each rail and stile; twist of hollow sections by EN 10219-2 annex B (memory), added by von Mises"
)

// explainStrength lists the figures of the first pass.
func (d *designed) explainStrength(list *figureList) {
	p, made := d.Practice, d.Plan
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
		fields := []string{survey.OpeningWidth, survey.GateHeight, survey.GateInfill, survey.GateLatchStop,
			survey.GateOpenCatch}
		winds := []string{practice.RuleWindSpeed, practice.RuleWindTerrain, practice.RuleWindShut}
		first(plan.Figure{ID: plan.FigureWindLeaf, Name: "Wind on the shut leaf", Dimension: text.Force, Value: g.Force,
			How: text.Say("{0} on a leaf of {1} by {2}, {3} of it solid; {4}", text.Pascals(g.Pressure), text.MM(made.Leaf.Frame),
				text.MM(made.Leaf.Height), text.Percent(g.Solidity), text.List(pressureHow(p))),
			Rules: winds, Fields: fields, Source: stages.SourceWind})
		first(plan.Figure{ID: plan.FigureWindRollers, Name: "Push on the guide rollers", Dimension: text.Force, Value: g.Push,
			How: text.Say("the greatest of {0} shut and {1} open and left, both in {2}, {3} moved in {4} and {5} of a person who leans on it, and the leaf's own lean",
				text.Newtons(g.Shut), text.Newtons(g.Open), text.Pascals(g.Pressure), text.Newtons(g.Moving), text.Pascals(p.WindMoving),
				text.Newtons(g.Lean)),
			Rules: append(slices.Clip(winds), practice.RuleWindMoving), Fields: fields, Source: stages.SourceWind})
		if g.Use > 0 {
			first(plan.Figure{ID: plan.FigureStrengthPostMoment, Name: "Bending of the guide post at its foot",
				Dimension: text.Moment, Value: g.Moment,
				How: text.Say("{0} at {1}", text.Newtons(g.Push), text.MM(g.Height)), Rules: winds,
				Fields: fields, Source: sourcePost})
			first(plan.Figure{ID: plan.FigureStrengthPost, Name: "Guide post: part of what it may take",
				Dimension: text.Use, Value: g.Use,
				How: postHow(p, g),
				Rules: append(slices.Clip(winds), practice.RuleGuidePostSize, practice.RuleGuidePostWall,
					practice.RuleStrengthYield, practice.RuleStrengthSteelSafety), Fields: fields, Source: sourcePost})
		}
		if g.Sway > 0 && g.Gives > 0 {
			first(plan.Figure{ID: plan.FigureStrengthMovement, Name: "Rollers move in the wind of the site",
				Dimension: text.Length, Value: g.Sway + g.Gives,
				How: text.Say("{0} in the post as a cantilever, {1} as it leans in the ground, {2} deep", text.MM(g.Sway),
					text.MM(g.Gives), text.MM(g.In)),
				Rules:  append(slices.Clip(winds), practice.RuleGuidePostSize, practice.RuleGuidePostWall, practice.RuleGuideLean),
				Fields: append(slices.Clip(fields), ground...), Source: sourceLean})
		}
		if g.Embedment > 0 {
			first(plan.Figure{ID: plan.FigureStrengthEmbedment, Name: "Guide post into firm ground by strength",
				Dimension: text.Length, Value: g.Embedment,
				How: holdHow(s, g),
				Rules: append(slices.Clip(winds), practice.RuleGuideHoleDepth, practice.RuleGuideHoleSize,
					practice.RuleSoilIsolatedPole), Fields: append(fields, ground...), Source: sourceHole})
		}
		if g.Anchor.Tension > 0 || g.Anchor.Shear > 0 {
			first(plan.Figure{ID: plan.FigureStrengthAnchorTension, Name: "Each anchor of the base plate must hold, pulled",
				Dimension: text.Force, Value: g.Anchor.Tension,
				How:   text.Say("{0} on a plate of {1}, the anchors {2} in from its edges", text.NewtonMillimetres(g.Moment), text.MM(p.PlateSize), text.MM(p.AnchorInset)),
				Rules: []string{practice.RuleGuidePlateSize, practice.RuleAnchorInset, practice.RuleAnchorArea}, Fields: fields,
				Source: sourcePlate})
			first(plan.Figure{ID: plan.FigureStrengthAnchorShear, Name: "Each anchor of the base plate must hold, sideways",
				Dimension: text.Force, Value: g.Anchor.Shear,
				How:   text.Say("{0} shared by {1} anchors", text.Newtons(g.Push), text.Number(p.PlateAnchors)),
				Rules: []string{practice.RuleFixingPlate}, Fields: fields, Source: sourcePlate})
		}
	}
	d.explainFrame(first)
	if s.MotorAnchor.Tension > 0 {
		first(plan.Figure{ID: plan.FigureStrengthMotorAnchor, Name: "Each anchor of the motor must hold, pulled",
			Dimension: text.Force, Value: s.MotorAnchor.Tension,
			How: text.Say("thrust {0} at the pinion, {1} above the concrete", text.Newtons(p.MotorThrust),
				text.MM(stages.PinionHigh(p))),
			Rules: []string{practice.RuleMotorThrust, practice.RuleMotorPinionMost, practice.RuleMotorPacker,
				practice.RuleAnchorInset},
			Source: sourcePlate})
	}
	d.explainStops(first)
	hold := func(id string, name text.Name, h *plan.AnchorHold, rules ...string) {
		if h.Use > 0 {
			first(plan.Figure{ID: id, Name: name, Dimension: text.Use, Value: h.Use,
				How: text.Say("{0}: {1} on {2} of them, {3} allowed; pull and push sideways are counted together",
					text.Word(h.Mode), text.Newtons(h.Demand), text.Number(float64(h.Anchors)), text.Newtons(h.Allowable)),
				Rules: append(rules, practice.RuleAnchorKind, practice.RuleAnchorDepth, practice.RuleAnchorClass,
					practice.RuleAnchorArea, practice.RuleAnchorInset, practice.RuleStrengthConcrete, practice.RuleStripDepth),
				Source: sourceAnchors})
		}
	}
	if s.Guide != nil {
		hold(plan.FigureStrengthPlateHold, "Anchors of the base plate: part of what they may take", &s.Guide.Hold,
			practice.RuleGuidePlateSize, practice.RuleGuidePlateMargin)
	}
	hold(plan.FigureStrengthMotorHold, "Anchors of the motor: part of what they may take", &s.MotorHold,
		practice.RuleMotorThrust, practice.RulePadMargin)
	d.explainCarriageHolds(list)
	hold(plan.FigureStrengthStopHold, "Anchors of the hard stop: part of what they may take", &s.StopHold,
		practice.RuleStopBuffer, practice.RuleStripWidth)
}

// explainFrame gives how hard the leaf's frame is worked, and how far it sags.
func (d *designed) explainFrame(add func(plan.Figure)) {
	u := d.Plan.Strength.Frame
	if u == nil {
		return
	}
	rules := []string{practice.RuleWindSpeed, practice.RuleWindTerrain, practice.RuleWindShut, practice.RuleLeafThickness,
		practice.RuleFrameWall, practice.RuleStrengthYield, practice.RuleStrengthSteelSafety, practice.RuleFrameAluminium}
	fields := []string{survey.OpeningWidth, survey.GateHeight, survey.GateInfill, survey.GateLatchStop,
		survey.GateOpenCatch, survey.GateMetal}
	how := "{0} in wind of {1}, shut and open, the worse: a beam between rollers and catch, or twisted where rollers alone hold the top"
	for _, m := range [...]struct {
		id      string
		name    text.Name
		use     float64
		section text.Name
		rule    string
	}{{plan.FigureLeafTopRail, "Top rail: part of what it may take", u.TopUse, u.Rail, practice.RuleFrameRail},
		{plan.FigureLeafBottomRail, "Bottom rail: part of what it may take", u.BottomUse, u.Bottom, practice.RuleFrameBottomRail},
		{plan.FigureLeafStile, "Stile: part of what it may take", u.StileUse, u.Rail, practice.RuleFrameBay}} {
		add(plan.Figure{ID: m.id, Name: m.name, Dimension: text.Use, Value: m.use,
			How:   text.Say(how, text.Word(m.section), text.Pascals(d.Plan.Strength.Guide.Pressure)),
			Rules: append(slices.Clip(rules), m.rule), Fields: fields, Source: sourceFrame})
	}
	if d.Plan.HangsFree() {
		return
	}
	add(plan.Figure{ID: plan.FigureLeafSag, Name: "Sag of the bottom rail under the leaf", Dimension: text.SmallLength,
		Value: u.Sag, How: text.Say("{0} between the wheels under the heaviest panel, no help from stiles; {1} may be",
			text.Word(u.Bottom), text.Tenths(u.SagMost)), Rules: []string{practice.RuleFrameBottomRail, practice.RuleFrameWall,
			practice.RuleFrameSagOver}, Fields: fields, Source: sourceFrame})
}

// explainStops gives what the stops take, and the anchors of the hard one.
func (d *designed) explainStops(add func(plan.Figure)) {
	p, s := d.Practice, d.Plan.Strength
	rules := []string{practice.RuleStopBuffer, practice.RuleMotorSpeed, practice.RuleMotorThrust,
		practice.RuleMotionRollingLow, practice.RuleStrengthHandSpeed}
	fields := []string{survey.OpeningWidth, survey.GateHeight, survey.GateInfill, survey.GroundShape}
	how := func(hit *plan.Impact) text.Text {
		says := "a leaf of {0} at {1} a second, driven, brought to rest by a spring over {2}, and {3} pushing on"
		switch hit.By {
		case plan.ByGrade:
			says = "a leaf of {0} at {1} a second, run away, brought to rest by a spring over {2}, and {3} pushing on"
		case plan.ByHand:
			says = "a leaf of {0} at {1} a second, pushed by hand, brought to rest by a spring over {2}, and {3} pushing on"
		}
		return text.Say(says, text.Kilograms(d.Plan.Leaf.Mass), text.MM(hit.Speed), text.MM(p.StopBuffer),
			text.Newtons(hit.Drive))
	}
	if hit, _ := s.WorstImpact(plan.StopOpen); hit != nil {
		add(plan.Figure{ID: plan.FigureStrengthStop, Name: "Push on the hard stop", Dimension: text.Force, Value: hit.Force,
			How: how(hit), Rules: append(rules, practice.RuleFixingStop), Fields: fields, Source: stages.SourceStop})
		if hit.Tension > 0 {
			add(plan.Figure{ID: plan.FigureStrengthStopAnchor, Name: "Each anchor of the hard stop must hold, pulled",
				Dimension: text.Force, Value: hit.Tension,
				How: text.Say("{0} at {1} above a foot of {2}, the anchors {3} in from its ends; {4} on each sideways",
					text.Newtons(hit.Force), text.MM(hit.Height), text.MM(p.StopLength), text.MM(p.AnchorInset),
					text.Newtons(hit.Shear)),
				Rules: append(rules, practice.RuleStopHeight, practice.RuleStopPlateLength, practice.RuleStopPlateWidth,
					practice.RuleAnchorInset, practice.RuleAnchorArea, practice.RuleFixingStop), Fields: fields,
				Source: sourcePlate})
		}
	}
	if hit, _ := s.WorstImpact(plan.StopShut); hit != nil {
		name := text.Name("Push on the stop at the latch post")
		if d.Inputs.Meets {
			name = "Push on the stop in the drive"
		}
		add(plan.Figure{ID: plan.FigureStrengthStopLatch, Name: name, Dimension: text.Force,
			Value: hit.Force, How: how(hit), Rules: append(rules, practice.RuleMotionHandHeight), Fields: fields,
			Source: stages.SourceStop})
	}
}

// pressureHow tells where the pressure of the wind comes from.
func pressureHow(p *practice.Practice) text.Text {
	if p.WindShut > 0 {
		return text.Say("the pressure as the shop entered it")
	}
	return text.Say("the pressure from {0} m/s over terrain {1} at the top of the leaf", text.Plain(p.WindSpeed),
		text.Number(math.Round(p.WindTerrain)))
}

// postHow tells how far the post gives way where that was found.
func postHow(p *practice.Practice, g *plan.GuideStrength) text.Text {
	if g.Sway == 0 {
		return text.Say("{0} in {1}, {2} ÷ {3}", text.NewtonMillimetres(g.Moment), text.Word(g.Section), text.Megapascals(p.PostYield),
			text.Plain(p.SteelSafety))
	}
	return text.Say("{0} in {1}, {2} ÷ {3}; its top gives {4}",
		text.NewtonMillimetres(g.Moment), text.Word(g.Section), text.Megapascals(p.PostYield), text.Plain(p.SteelSafety), text.MM(g.Sway))
}

// holdHow tells what a floor would save where that was found.
func holdHow(s *plan.Strength, g *plan.GuideStrength) text.Text {
	if g.Floor == 0 {
		return text.Say("{0} at {1} in {2}, with nothing but the ground to hold it. The trade's depth stands where it is more.",
			text.Newtons(g.Push), text.MM(g.Height), text.Word(s.Soil.Name))
	}
	return text.Say("{0} at {1} in {2}, with nothing but the ground to hold it; {3} where a floor holds it at the surface. The trade's depth stands where it is more.",
		text.Newtons(g.Push), text.MM(g.Height), text.Word(s.Soil.Name), text.MM(g.Floor))
}
