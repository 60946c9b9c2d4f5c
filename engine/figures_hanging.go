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

// put adds a figure.
func (l *figureList) put(id string, name text.Name, of text.Dimension, value float64, firstPass bool, how text.Text,
	rules, fields []string, source string) {
	l.add(plan.Figure{ID: id, Name: name, Dimension: of, Value: value, How: how, Rules: rules, Fields: fields,
		Source: source, FirstPass: firstPass})
}

// explainHanging gives the figures of a leaf that hangs free.
func (d *designed) explainHanging(list *figureList) {
	in, p, h := d.Inputs, d.Practice, d.Plan.Leaf.Hanging
	made := []string{survey.GateHeight, survey.GateMetal, survey.GateInfill, survey.GateCladding, survey.OpeningWidth}
	beam := append(slices.Clip(made), survey.GateHangingBeamMass, survey.GateHangingBeamInertia, survey.GateHangingBeamModulus)
	list.put(plan.FigureHangingWhole, "Whole leaf with its counter part", text.Length, h.Whole, false,
		text.Say("frame {0} + counter part {1}", text.MM(h.Whole-h.Counter), text.MM(h.Counter)),
		[]string{practice.RuleHangCounter}, list.edge, sourceMotion)
	list.put(plan.FigureHangingCounter, "Counter part", text.Length, h.Counter, false,
		text.Say("rear carriage at chainage {0} + half a carriage {1} + margin {2} − opening {3} − overlap at the run-back post {4}",
			text.MM(h.Rear), text.MM(p.HangCarriage/2), text.MM(p.EngagementMargin), text.MM(in.Width), text.MM(p.OverlapRunBack)),
		[]string{practice.RuleHangCounter, practice.RuleHangCarriage, practice.RuleLeafEngagement},
		append(slices.Clip(beam), survey.GateHangingSpacing, survey.GateHangingBears), sourceMotion)
	list.put(plan.FigureHangingFront, "Front carriage beyond the run-back post", text.Length, h.Front-in.Width, false,
		text.Say("the shop's {0}, or so far that the block lies off the drive with {1} before the carriage",
			text.MM(p.HangFront), text.MM(p.HangEdge)),
		[]string{practice.RuleHangFront, practice.RuleHangEdge, practice.RulePlaceEdgeGap}, list.edge, sourceGeometry)
	list.put(plan.FigureHangingBetween, "From carriage to carriage", text.Length, h.Between, false,
		text.Say("from chainage {0} to {1}", text.MM(h.Front), text.MM(h.Rear)),
		[]string{practice.RuleHangCounter}, append(slices.Clip(list.edge), survey.GateHangingSpacing), sourceGeometry)
	if !d.Plan.Unjudged(plan.QuestionHangingUnjudged) {
		d.explainCarried(list, h, made, beam)
		d.explainBlock(list, h, made)
	}
	d.explainGap(list, h)
}

func (d *designed) explainCarried(list *figureList, h *plan.Hanging, made, beam []string) {
	p := d.Practice
	shut, open := &h.Carried[0], &h.Carried[len(h.Carried)-1]
	list.put(plan.FigureHangingFrontCarries, "Front carriage carries, leaf shut", text.Force, shut.Front, true,
		text.Say("{0} × ({1} from it to the leaf's centre + {2} between the carriages) ÷ {2}; {3} once open",
			text.Newtons(h.Weight), text.MM(h.Centre), text.MM(h.Between), text.Newtons(open.Front)),
		[]string{practice.RuleHangFront}, beam, sourceCarriages)
	list.put(plan.FigureHangingRearCarries, "Rear carriage carries, leaf shut", text.Force, shut.Rear, true,
		text.Say("{0} − {1}; below nothing it holds the beam down; {2} once open",
			text.Newtons(h.Weight), text.Newtons(shut.Front), text.Newtons(open.Rear)),
		[]string{practice.RuleHangFront}, beam, sourceCarriages)
	list.put(plan.FigureHangingMoment, "Bending of the beam over the front carriage", text.Moment, h.Moment, true,
		text.Say("the leaf's weight over {0}, evenly spread, with half a stile at the nose: q·L²/2 + P·L; {1} in {2} of {3} cm³",
			text.MM(h.Over), text.Megapascals(h.Stress), text.Word(h.Beam.Section), text.Plain(h.Beam.Modulus/1e3)),
		[]string{practice.RuleHangBeamHeight, practice.RuleHangBeamWidth, practice.RuleHangBeamWall},
		beam, sourceOverhang)
	list.put(plan.FigureHangingSag, "Nose sags before it is caught", text.SmallLength, h.Sag, true,
		text.Say("q·L⁴/8EI + P·L³/3EI + L·M·s/3EI with L {0}, s {1}, I {2} cm⁴ and P {3} of half a stile at the nose: the beam alone bends, before the carriages and between them; the block that turns adds {4}, play {5}, and the catch lifts {6}",
			text.MM(h.Over), text.MM(h.Between), text.Plain(h.Beam.Inertia/1e4), text.Newtons(h.End), text.Tenths(h.Tilt),
			text.Tenths(h.Play), text.Tenths(h.Ramp)),
		[]string{practice.RuleHangBeamHeight, practice.RuleHangBeamWidth, practice.RuleHangBeamWall, practice.RuleHangPlay, practice.RuleHangRamp},
		beam, sourceOverhang)
	if h.Tilts {
		list.put(plan.FigureHangingTilt, "Nose goes down as the block turns on its ground", text.SmallLength, h.Tilt, true,
			text.Say("the leaf's weight {0}, its centre {1} before the front carriage, on springs of {2} N/mm³ under the block: M/(k·B·L³/12), out to the nose",
				text.Newtons(h.Weight), text.MM(h.Centre), text.Plain(d.Inputs.Bearing.Firm.SubgradeModulus.Low)),
			[]string{practice.RuleHangBlockWidth, practice.RuleHangEdge, practice.RuleHangFront},
			append(slices.Clip(beam), survey.GroundSoil, survey.GroundClass), "rigid body on springs")
	}
	list.put(plan.FigureHangingPresses, "Carriages press together, over the leaf's weight", text.Ratio, h.Presses(), false,
		text.Say("at the place of its way where that is most: so much harder the leaf rolls than on wheels"),
		[]string{practice.RuleHangRolling}, made, sourceCarriages)
	list.put(plan.FigureHangingSideways, "Wind on both carriages together, sideways", text.Force, h.Block.Sideways, true,
		text.Say("the most of shut in its catch, moved in wind of {0}, and open and left", text.Pascals(p.WindMoving)),
		[]string{practice.RuleWindSpeed, practice.RuleWindTerrain, practice.RuleWindShut, practice.RuleWindMoving},
		append(slices.Clip(made), survey.GateLatchStop, survey.GateOpenCatch), "statics; wind on the leaf")
}

// explainCarriageHolds gives how hard the anchors of both carriages are worked, and by what.
func (d *designed) explainCarriageHolds(list *figureList) {
	holds := d.Plan.Strength.Carriages
	for i := range holds {
		h := &holds[i]
		if h.Use == 0 {
			continue
		}
		id, name := plan.FigureStrengthFrontHold, text.Name("Anchors of the front carriage: part of what they may take")
		if i == 1 {
			id, name = plan.FigureStrengthRearHold, "Anchors of the rear carriage: part of what they may take"
		}
		says := "{0}: {1} on {2} of them, {3} allowed; pulled up with {4} and pushed sideways with {5} at {6} above the block, the leaf {7} of its way open"
		if h.Along {
			says = "{0}: {1} on {2} of them, {3} allowed; pulled up with {4} and pushed along the fence with {5} at {6} above the block, the leaf {7} of its way open"
		}
		beam := d.Plan.Leaf.Hanging.Under + d.Plan.Leaf.Hanging.Beam.Height/2
		list.put(id, name, text.Use, h.Use, true,
			text.Say(says, text.Word(h.Mode), text.Newtons(h.Demand), text.Number(float64(h.Anchors)), text.Newtons(h.Allowable),
				text.Newtons(h.Lift), text.Newtons(h.Push), text.MM(beam), text.MM(h.Travelled)),
			[]string{practice.RuleHangAnchors, practice.RuleHangAnchorDepth, practice.RuleHangFoot, practice.RuleHangCarriage,
				practice.RuleHangOffset, practice.RuleHangEdge, practice.RuleHangAnchorKind, practice.RuleAnchorClass, practice.RuleAnchorArea,
				practice.RuleAnchorInset, practice.RuleStrengthConcrete, practice.RuleWindSpeed, practice.RuleWindMoving,
				practice.RuleMotorThrust, practice.RuleStopBuffer},
			[]string{survey.GateHeight, survey.GateInfill, survey.OpeningWidth, survey.GateLatchStop}, sourceAnchors)
	}
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
		list.put(plan.FigurePadDepth, "Block under the carriages, depth", text.Length, pad.Deep(), false,
			how,
			rules, append(slices.Clip(ground), survey.GroundLevelsTaken, survey.GroundShape), "")
	}
	list.put(plan.FigureHangingBlock, "Block under the carriages, weight", text.Mass, b.Weight/motion.Gravity, true,
		text.Say("{0} along the fence where it is shortest × {1} out × {2} deep of concrete",
			text.MM(b.Length), text.MM(b.Width), text.MM(b.Deep)),
		rules, ground, sourceBlock)
	list.put(plan.FigureHangingHolds, "Block holds over what tips it, the least", text.Ratio, b.Holds(), true,
		text.Say("{0} about its end at the drive, {1} about its far end, {2} across: leaf shut and open, motor, stop and wind",
			factor(b.AtDrive), factor(b.AtFar), factor(b.Across)),
		rules, ground, sourceBlock)
	if b.May > 0 {
		list.put(plan.FigureHangingPressure, "Pressure under the block, the most", text.Stress, b.Pressure, true,
			text.Say("a wedge where the load is off the middle third; {0} may be presumed of the ground",
				text.Megapascals(b.May)),
			rules, ground, sourceBlock)
	}
}

func (d *designed) explainGap(list *figureList, h *plan.Hanging) {
	levels := []string{survey.GroundShape, survey.GroundLevelsTaken, survey.GateHangingClearance}
	list.put(plan.FigureHangingLevel, "Level of the leaf's underside", text.Length, h.Level, false,
		text.Say("highest place of the drive under it {0} + clearance {1}",
			text.MM(h.Level-h.Clearance), text.MM(h.Clearance)),
		[]string{practice.RuleHangClearance}, levels, sourceGeometry)
	list.put(plan.FigureHangingBlockTop, "Level of the top of the block", text.Length, h.BlockTop, false,
		text.Say("the leaf's underside {0} − {1} for the carriages", text.MM(h.Level), text.MM(h.Under)),
		[]string{practice.RuleHangUnder}, levels, sourceGeometry)
	list.put(plan.FigureHangingGap, "Gap under the shut leaf, the widest", text.Length, h.Widest.Gap, false,
		text.Say("at chainage {0}, where the drive lies at {1}", text.MM(h.Widest.Chainage), text.MM(h.Widest.Ground)),
		[]string{practice.RuleHangGap}, levels, sourceGeometry)
	if h.Dig > 0 {
		p := d.Practice
		list.put(plan.FigureHangingDig, "Dig under the open leaf, in the bank", text.Volume, h.Dig, false,
			text.Say("ground above {0}, which is {1} under the leaf, from the run-back post to {1} beyond the open leaf at chainage {2}, without the block",
				text.MM(h.Level-p.HangOver), text.MM(p.HangOver), text.MM(d.Plan.Leaf.RearOpen)),
			[]string{practice.RuleHangOver}, levels, "difference of two surfaces over triangles")
	}
}

// digHow says what is dug.
func digHow(p *plan.Plan) text.Text {
	for _, side := range p.Sides() {
		if h := side.Leaf.Hanging; h != nil && h.Dig > 0 {
			return text.Say("every part to its full depth, and the ground that an open leaf would run into")
		}
	}
	return text.Say("every part to its full depth")
}
