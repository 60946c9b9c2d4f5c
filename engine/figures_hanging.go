package engine

import (
	"math"
	"slices"

	"pegpour/engine/motion"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

const (
	sourceCarriages = "statics of a body in two carriages"
	sourceOverhang  = "AISC Manual of Steel Construction, beam overhanging one support (memory)"
	sourceBlock     = "overturning and pressure as of a gravity wall"
)

// explainHanging gives the figures of a leaf that hangs free.
func (d *designed) explainHanging(list *figureList) {
	in, p, h := d.Inputs, d.Practice, d.Plan.Leaf.Hanging
	made := []string{survey.GateHeight, survey.GateMetal, survey.GateInfill, survey.GateCladding, survey.OpeningWidth}
	beam := append(slices.Clip(made), survey.GateHangingBeamMass, survey.GateHangingBeamInertia, survey.GateHangingBeamModulus)
	list.add(plan.Figure{ID: plan.FigureHangingWhole, Name: "Whole leaf with its counter part", Dimension: text.Length,
		Value: h.Whole, How: text.Say("frame {0} + counter part {1}", text.MM(h.Whole-h.Counter), text.MM(h.Counter)),
		Rules: []string{practice.RuleHangCounter}, Fields: list.edge, Source: sourceMotion})
	list.add(plan.Figure{ID: plan.FigureHangingCounter, Name: "Counter part", Dimension: text.Length, Value: h.Counter,
		How: text.Say("rear carriage at chainage {0} + half a carriage {1} + margin {2} − opening {3} − overlap at the run-back post {4}",
			text.MM(h.Rear), text.MM(p.HangCarriage/2), text.MM(p.EngagementMargin), text.MM(in.Width), text.MM(p.OverlapRunBack)),
		Rules:  []string{practice.RuleHangCounter, practice.RuleHangCarriage, practice.RuleLeafEngagement},
		Fields: append(slices.Clip(beam), survey.GateHangingSpacing, survey.GateHangingBears), Source: sourceMotion})
	list.add(plan.Figure{ID: plan.FigureHangingFront, Name: "Front carriage beyond the run-back post", Dimension: text.Length,
		Value: h.Front - in.Width,
		How: text.Say("the shop's {0}, or so far that the block lies off the drive with {1} before the carriage", text.MM(p.HangFront),
			text.MM(p.HangEdge)),
		Rules: []string{practice.RuleHangFront, practice.RuleHangEdge, practice.RulePlaceEdgeGap}, Fields: list.edge,
		Source: sourceGeometry})
	list.add(plan.Figure{ID: plan.FigureHangingBetween, Name: "From carriage to carriage", Dimension: text.Length,
		Value: h.Between, How: text.Say("from chainage {0} to {1}", text.MM(h.Front), text.MM(h.Rear)),
		Rules: []string{practice.RuleHangCounter}, Fields: append(slices.Clip(list.edge), survey.GateHangingSpacing),
		Source: sourceGeometry})
	if !d.Plan.Unjudged(plan.QuestionHangingUnjudged) {
		d.explainCarried(list, h, made, beam)
		d.explainBlock(list, h, made)
	}
	d.explainGap(list, h)
}

func (d *designed) explainCarried(list *figureList, h *plan.Hanging, made, beam []string) {
	p := d.Practice
	shut, open := &h.Carried[0], &h.Carried[len(h.Carried)-1]
	list.add(plan.Figure{ID: plan.FigureHangingFrontCarries, Name: "Front carriage carries, leaf shut", Dimension: text.Force,
		Value: shut.Front, FirstPass: true,
		How: text.Say("{0} × ({1} from it to the leaf's centre + {2} between the carriages) ÷ {2}; {3} once open",
			text.Newtons(h.Weight), text.MM(h.Centre), text.MM(h.Between), text.Newtons(open.Front)),
		Rules: []string{practice.RuleHangFront}, Fields: beam, Source: sourceCarriages})
	list.add(plan.Figure{ID: plan.FigureHangingRearCarries, Name: "Rear carriage carries, leaf shut", Dimension: text.Force,
		Value: shut.Rear, FirstPass: true,
		How: text.Say("{0} − {1}; below nothing it holds the beam down; {2} once open", text.Newtons(h.Weight),
			text.Newtons(shut.Front), text.Newtons(open.Rear)),
		Rules: []string{practice.RuleHangFront}, Fields: beam, Source: sourceCarriages})
	list.add(plan.Figure{ID: plan.FigureHangingMoment, Name: "Bending of the beam over the front carriage",
		Dimension: text.Moment, Value: h.Moment, FirstPass: true,
		How: text.Say("the leaf's weight over {0}, evenly spread: q·L²/2; {1} in {2} of {3} cm³", text.MM(h.Over),
			text.Megapascals(h.Stress), text.Word(h.Beam.Section), text.Plain(h.Beam.Modulus/1e3)),
		Rules: []string{practice.RuleHangBeamHeight, practice.RuleHangBeamWidth, practice.RuleHangBeamWall}, Fields: beam,
		Source: sourceOverhang})
	list.add(plan.Figure{ID: plan.FigureHangingSag, Name: "Nose sags before it is caught", Dimension: text.SmallLength,
		Value: h.Sag, FirstPass: true,
		How: text.Say("q·L⁴/8EI + L·M·s/3EI with L {0}, s {1} and I {2} cm⁴, of the beam alone; play adds {3}, the catch lifts {4}",
			text.MM(h.Over), text.MM(h.Between), text.Plain(h.Beam.Inertia/1e4), text.Tenths(h.Play), text.Tenths(h.Ramp)),
		Rules: []string{practice.RuleHangBeamHeight, practice.RuleHangBeamWidth, practice.RuleHangBeamWall,
			practice.RuleHangPlay, practice.RuleHangRamp}, Fields: beam, Source: sourceOverhang})
	list.add(plan.Figure{ID: plan.FigureHangingPresses, Name: "Carriages press together, over the leaf's weight",
		Dimension: text.Ratio, Value: h.Presses(),
		How:   text.Say("at the place of its way where that is most: so much harder the leaf rolls than on wheels"),
		Rules: []string{practice.RuleHangRolling}, Fields: made, Source: sourceCarriages})
	list.add(plan.Figure{ID: plan.FigureHangingSideways, Name: "Wind on both carriages together, sideways",
		Dimension: text.Force, Value: h.Block.Sideways, FirstPass: true,
		How:    text.Say("the most of shut in its catch, moved in wind of {0}, and open and left", text.Pascals(p.WindMoving)),
		Rules:  []string{practice.RuleWindSpeed, practice.RuleWindTerrain, practice.RuleWindShut, practice.RuleWindMoving},
		Fields: append(slices.Clip(made), survey.GateLatchStop, survey.GateOpenCatch), Source: "statics; wind on the leaf"})
}

func (d *designed) explainBlock(list *figureList, h *plan.Hanging, made []string) {
	p, b := d.Practice, &h.Block
	ground := append(slices.Clip(made), survey.GroundSoil, survey.GroundClass, survey.GroundDepthToFirm)
	rules := []string{practice.RuleHangBlockWidth, practice.RuleHangBlockDepth, practice.RuleHangTipping, practice.RuleHangSliding}
	how := text.Say("the shop's least {0}, in steps of {1}", text.MM(p.HangBlockDepth), text.MM(p.HoleStep))
	if d.Layout.FootDepth > p.HangBlockDepth+plan.Tolerance {
		how = text.Say("down to firm ground and below frost: {0}", text.MM(d.Layout.FootDepth))
	}
	if b.Deeper {
		how = text.Say("in steps of {0} until its weight holds {1} times what tips it, and the ground {2} times what pushes it",
			text.MM(p.HoleStep), text.Plain(p.HangTipping), text.Plain(p.HangSliding))
	}
	if pad := d.Plan.Deepest(plan.PartPad); pad != nil {
		if more := pad.Deep() - d.Layout.FootDepth; math.Abs(more) >= plan.Tolerance {
			how = text.Say("{0}: {1} in the ground at its lowest, and {2} more up to its level top", text.List(how),
				text.MM(d.Layout.FootDepth), text.MM(more))
		}
		list.add(plan.Figure{ID: plan.FigurePadDepth, Name: "Block under the carriages, depth", Dimension: text.Length,
			Value: pad.Deep(), How: how, Rules: rules,
			Fields: append(slices.Clip(ground), survey.GroundLevelsTaken, survey.GroundShape)})
	}
	list.add(plan.Figure{ID: plan.FigureHangingBlock, Name: "Block under the carriages, weight", Dimension: text.Mass,
		Value: b.Weight / motion.Gravity, FirstPass: true,
		How: text.Say("{0} along the fence where it is shortest × {1} out × {2} deep of concrete", text.MM(b.Length),
			text.MM(b.Width), text.MM(b.Deep)), Rules: rules, Fields: ground, Source: sourceBlock})
	list.add(plan.Figure{ID: plan.FigureHangingHolds, Name: "Block holds over what tips it, the least", Dimension: text.Ratio,
		Value: b.Holds(), FirstPass: true,
		How: text.Say("{0} about its end at the drive, {1} about its far end, {2} across: leaf shut and open, motor, stop and wind",
			factor(b.AtDrive), factor(b.AtFar), factor(b.Across)), Rules: rules, Fields: ground, Source: sourceBlock})
	if b.May > 0 {
		list.add(plan.Figure{ID: plan.FigureHangingPressure, Name: "Pressure under the block, the most", Dimension: text.Stress,
			Value: b.Pressure, FirstPass: true,
			How:   text.Say("a wedge where the load is off the middle third; {0} may be presumed of the ground", text.Megapascals(b.May)),
			Rules: rules, Fields: ground, Source: sourceBlock})
	}
}

func (d *designed) explainGap(list *figureList, h *plan.Hanging) {
	levels := []string{survey.GroundShape, survey.GroundLevelsTaken, survey.GateHangingClearance}
	list.add(plan.Figure{ID: plan.FigureHangingLevel, Name: "Level of the leaf's underside", Dimension: text.Length,
		Value: h.Level, How: text.Say("highest place of the drive under it {0} + clearance {1}", text.MM(h.Level-h.Clearance),
			text.MM(h.Clearance)), Rules: []string{practice.RuleHangClearance}, Fields: levels, Source: sourceGeometry})
	list.add(plan.Figure{ID: plan.FigureHangingBlockTop, Name: "Level of the top of the block", Dimension: text.Length,
		Value: h.BlockTop, How: text.Say("the leaf's underside {0} − {1} for the carriages", text.MM(h.Level), text.MM(h.Under)),
		Rules: []string{practice.RuleHangUnder}, Fields: levels, Source: sourceGeometry})
	list.add(plan.Figure{ID: plan.FigureHangingGap, Name: "Gap under the shut leaf, the widest", Dimension: text.Length,
		Value: h.Widest.Gap, How: text.Say("at chainage {0}, where the drive lies at {1}", text.MM(h.Widest.Chainage),
			text.MM(h.Widest.Ground)), Rules: []string{practice.RuleHangGap}, Fields: levels, Source: sourceGeometry})
}
