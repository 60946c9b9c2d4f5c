package engine

import (
	"math"
	"slices"

	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/soil"
	"pegpour/engine/stages"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// figureList are the figures of a plan as they are listed.
type figureList struct {
	assumed map[string]bool // survey paths that were not measured
	edge    []string        // what the place of everything beside the drive hangs on
	figures []plan.Figure
}

// add records a number with its reason.
func (l *figureList) add(f plan.Figure) {
	if f.Source == "" {
		f.Source = practice.CommonPractice
	}
	for _, path := range f.Fields {
		if l.assumed[path] {
			f.Assumed = true
			break
		}
	}
	l.figures = append(l.figures, f)
}

const (
	sourceGeometry = "geometry of the layout"
	sourceMotion   = "geometry of the travel: rack and rail must reach from shut to open"
)

// explain gives the plan its figures and its load cases: what is told of a design and not
// asked by its checks.
func (d *designed) explain() {
	d.Plan.Strength.Cases = d.LoadCases(d.Plan.Strength)
	d.Plan.Figures = d.figures()
}

// figures lists every figure that a screen or a sheet shows, each with the
// formula that gave it and the numbers in it.
func (d *designed) figures() []plan.Figure {
	// Room for what a site of this ground usually has, so that the list need
	// not be moved while it grows.
	usual := 60
	if d.Plan.Ground != nil {
		usual = 84
	}
	list := figureList{assumed: d.Inputs.AssumedPaths, figures: make([]plan.Figure, 0, usual),
		edge: []string{survey.OpeningWidth, survey.DriveRunBackEdgeGiven, survey.DriveRunBackEdgeAlong}}
	d.explainTravel(&list)
	d.explainPanels(&list)
	d.explainLeaf(&list)
	d.explainFooting(&list)
	if d.Plan.HangsFree() {
		d.explainHanging(&list)
	} else {
		d.explainStrips(&list)
	}
	d.explainPlaces(&list)
	d.explainGround(&list)
	d.explainDig(&list)
	d.explainRoom(&list)
	d.explainSupply(&list)
	d.explainStrength(&list)
	return list.figures
}

// explainTravel gives the leaf's frame and what reaches from shut to open.
func (d *designed) explainTravel(list *figureList) {
	in, p, l, leaf, edge := d.Inputs, d.Practice, d.Layout, &d.Plan.Leaf, list.edge
	list.add(plan.Figure{ID: plan.FigureLeafFrame, Name: "Leaf frame length", Dimension: text.Length, Value: leaf.Frame,
		How: orStacked(text.Say("opening {0} + overlap at the latch post {1} + overlap at the run-back post {2}",
			text.MM(in.Width), text.MM(p.OverlapLatch), text.MM(p.OverlapRunBack)), l,
			"(opening {0} + overlap at the latch post {1} + overlap at the run-back post {2} + overlaps of the panels {3}) ÷ panels", text.MM(float64(l.Panels-1)*p.PanelOverlap)),
		Rules:  []string{practice.RuleLeafOverlapLatch, practice.RuleLeafOverlapRunBack},
		Fields: []string{survey.OpeningWidth}})
	if in.Meets {
		frame := &list.figures[len(list.figures)-1]
		frame.How = orStacked(text.Say("from where the leaves meet to the run-back post {0} − half the gap between them {1} + overlap at the run-back post {2}",
			text.MM(in.Width), text.MM(-p.OverlapLatch), text.MM(p.OverlapRunBack)), l,
			"(from where the leaves meet to the run-back post {0} − half the gap between them {1} + overlap at the run-back post {2} + overlaps of the panels {3}) ÷ panels", text.MM(float64(l.Panels-1)*p.PanelOverlap))
		frame.Rules[0] = practice.RulePairGap
		frame.Fields = append(frame.Fields, survey.PairMeets)
	}
	if l.HasMotor && !in.Hangs {
		list.add(plan.Figure{ID: plan.FigureLeafTail, Name: "Tail past the frame", Dimension: text.Length, Value: leaf.Tail,
			How:   tailHow(in, p, l, leaf),
			Rules: []string{practice.RuleLeafEngagement, practice.RuleLeafOverlapLatch, practice.RuleMotorLength}, Fields: edge,
			Source: sourceMotion})
	}
	if l.HasMotor {
		list.add(plan.Figure{ID: plan.FigureLeafRack, Name: "Rack length", Dimension: text.Length, Value: leaf.Rack,
			How: text.Say("frame {0} + tail {1}; at least travel {2} + twice the margin {3}", text.MM(leaf.Frame),
				text.MM(leaf.Tail), text.MM(leaf.Panels[stages.DrivenPanel(in)-1].Travel), text.MM(p.EngagementMargin)),
			Rules: []string{practice.RuleLeafEngagement}, Fields: edge, Source: sourceMotion})
	}
	list.add(plan.Figure{ID: plan.FigureLeafGuideRail, Name: "Guide rail length", Dimension: text.Length,
		Value: leaf.GuideRail,
		How: text.Say("frame {0} + {1} past it, so that the rollers at chainage {2} still hold the shut leaf",
			text.MM(leaf.Frame), text.MM(leaf.RailOver), text.MM(leaf.RollersAt)),
		Rules:  []string{practice.RuleGuideRollerSpacing, practice.RuleGuideBracketOffset, practice.RuleLeafEngagement},
		Fields: edge, Source: sourceMotion})
	list.add(plan.Figure{ID: plan.FigureLeafTravel, Name: "Travel from shut to open", Dimension: text.Length,
		Value: leaf.Travel,
		How:   text.Say("leading edge from {0} to {1}", text.MM(leaf.ShutAt), text.MM(leaf.OpenAt)),
		Rules: []string{practice.RuleLeafOpenClearance}, Fields: []string{survey.OpeningWidth}, Source: sourceMotion})
	clear := text.Say("from the latch post to the nearest of run-back post, open leaf, guide post and motor")
	if in.Meets {
		clear = text.Say("from where the leaves meet to the nearest of run-back post, open leaf, guide post and motor")
	}
	list.add(plan.Figure{ID: plan.FigureLeafClearStraight, Name: "Clear opening, straight in", Dimension: text.Length,
		Value: leaf.ClearStraight,
		How:   clear, Fields: edge,
		Source: sourceGeometry})
	list.add(plan.Figure{ID: plan.FigureLeafClearAlong, Name: "Clear opening, along the drive", Dimension: text.Length,
		Value: leaf.ClearAlong,
		How: text.Say("the same corners, taken across a drive that runs in at {0} to the fence",
			text.Radians(in.EdgeAngle)),
		Fields: edge, Source: sourceGeometry})
}

// explainStrips gives the sizes of the run-back strip and of the drive strip.
func (d *designed) explainStrips(list *figureList) {
	in, p, l, t := d.Inputs, d.Practice, d.Layout, d.Treatment
	how, rules, fields := stripHow(in, p, l), []string{practice.RuleStripStopExtra, practice.RuleLeafStopAllowance},
		[]string{survey.OpeningWidth, survey.GateHardStop}
	list.add(plan.Figure{ID: plan.FigureStripEnd, Name: "Run-back strip ends at chainage", Dimension: text.Length,
		Value: l.StripEnd,
		How:   how, Rules: rules, Fields: fields})
	list.add(plan.Figure{ID: plan.FigureStripLength, Name: "Run-back strip from the run-back post",
		Dimension: text.Length, Value: l.StripEnd - in.Width,
		How: how, Rules: rules, Fields: fields})
	if d.Plan.Footing == nil {
		list.add(plan.Figure{ID: plan.FigureStripWidth, Name: "Run-back strip width", Dimension: text.Length,
			Value: l.StripWidth,
			How:   stripWidthHow(p, l), Rules: []string{practice.RuleStripWidth}})
	}
	d.explainDepths(list)
	if t.Strip {
		list.add(plan.Figure{ID: plan.FigureDriveStripWidth, Name: "Drive strip width", Dimension: text.Length,
			Value: l.DriveWidth, How: t.How, Rules: []string{practice.RuleDriveStripWidth},
			Fields: []string{survey.DriveSurface}})
		list.add(plan.Figure{ID: plan.FigureDriveStripDepth, Name: "Drive strip depth of concrete", Dimension: text.Length,
			Value: t.Depth, How: t.How, Rules: []string{practice.RuleDriveStripDepth}, Fields: []string{survey.DriveSurface}})
	}
}

// explainDepths gives how deep strip and pad are: one figure where they are alike,
// the pad's own beside the strip's where its level top makes it deeper, and the
// pad's alone where there is no strip.
func (d *designed) explainDepths(list *figureList) {
	in, p, l, made := d.Inputs, d.Practice, d.Layout, d.Plan
	soil := []string{survey.GroundSoil, survey.GroundDepthToFirm}
	foot := plan.Figure{ID: plan.FigureFootDepth, Name: "Depth of strip and pad", Dimension: text.Length,
		Value: l.FootDepth, How: depthHow(in, p, l), Rules: []string{practice.RuleStripDepth}, Fields: soil}
	strip, pad := made.Strip(), made.Deepest(plan.PartPad)
	if pad == nil || math.Abs(pad.Deep()-l.FootDepth) < plan.Tolerance {
		if strip != nil || pad != nil {
			list.add(foot)
		}
		return
	}
	own := plan.Figure{ID: plan.FigurePadDepth, Name: "Depth of the motor pad", Dimension: text.Length,
		Value: pad.Deep(),
		How:   text.Say("{0} in the ground + {1} up to its level top", text.MM(l.FootDepth), text.MM(pad.Deep()-l.FootDepth)),
		Rules: []string{practice.RuleStripDepth}, Fields: append(soil, survey.GroundLevelsTaken, survey.GroundShape)}
	if strip == nil {
		own.ID = plan.FigureFootDepth
	} else {
		foot.Name = "Depth of the strip"
		list.add(foot)
	}
	list.add(own)
}

// explainPlaces gives the places of pad, guide post and motor.
func (d *designed) explainPlaces(list *figureList) {
	in, p, l, edge := d.Inputs, d.Practice, d.Layout, list.edge
	if l.HasPad {
		near := in.RunBackEdge.At(0)
		along := plan.Figure{ID: plan.FigurePadAlong, Name: "Motor pad along the fence", Dimension: text.Length,
			Value:  l.PadFar - near,
			How:    text.Say("from the driveway edge at chainage {0} to {1}: {2} clear of the edge at every offset, motor and posts with {3} of concrete beyond", text.MM(near), text.MM(l.PadFar), text.MM(p.PadAlong), text.MM(p.PadMargin)),
			Rules:  []string{practice.RulePadAlong, practice.RulePadMargin, practice.RuleMotorLength, practice.RuleMotorGap},
			Fields: append(slices.Clip(edge), survey.GateGuide, survey.GateMotor)}
		out := plan.Figure{ID: plan.FigurePadOut, Name: "Motor pad out from the fence", Dimension: text.Length,
			Value:  l.PadOut,
			How:    text.Say("at least {0}; back of motor or base plate with concrete beyond", text.MM(p.PadOut)),
			Rules:  []string{practice.RulePadOut, practice.RulePadMargin, practice.RuleMotorFront, practice.RuleMotorWidth},
			Fields: []string{survey.GateCladding, survey.GateGuide}}
		if in.Hangs {
			along.Name, out.Name = "Block under the carriages, along the fence", "Block under the carriages, out from the fence"
			along.How = text.Say("from the driveway edge at chainage {0} to {1}: {2} beyond the middle of the rear carriage", text.MM(near),
				text.MM(l.PadFar), text.MM(p.HangEdge))
			out.How = text.Say("at least {0}; back of motor or base plate with concrete beyond", text.MM(p.HangBlockWidth))
			along.Rules, out.Rules = append(along.Rules, practice.RuleHangEdge), append(out.Rules, practice.RuleHangBlockWidth)
		}
		list.add(along)
		list.add(out)
	}
	if l.HasGuide {
		list.add(plan.Figure{ID: plan.FigureGuideSetback, Name: "Guide post back from the fence", Dimension: text.Length,
			Value: l.Guide.Y1,
			How: orStacked(text.Say("setback {0} + cladding on the front of the leaf {1}", text.MM(p.GuideSetback),
				text.MM(in.Cladding)), l,
				"setback {0} + cladding on the front of the leaf {1} + {2} for the panels behind the first", text.MM(l.Shift)),
			Rules: []string{practice.RuleGuideSetback}, Fields: []string{survey.GateCladding}})
		if in.Hangs {
			setback := &list.figures[len(list.figures)-1]
			setback.How = text.Say("setback {0} + cladding on the front of the leaf {1} + {2} for the feet of the carriages",
				text.MM(p.GuideSetback), text.MM(in.Cladding), text.MM(l.TrackOffset-in.Cladding-p.TrackOffset))
			setback.Rules = append(setback.Rules, practice.RuleHangOffset)
		}
		list.add(plan.Figure{ID: plan.FigureGuideAt, Name: "Guide post beyond the run-back post", Dimension: text.Length,
			Value: l.Guide.X1 - in.Width, Before: "Guide post before the run-back post",
			How: text.Say("pushed along until every corner is off the drive: chainage {0} − opening {1}", text.MM(l.Guide.X1),
				text.MM(in.Width)), Rules: []string{practice.RulePlaceEdgeGap}, Fields: edge, Source: sourceGeometry})
	}
	if l.HasHole {
		list.add(plan.Figure{ID: plan.FigureGuideHoleDepth, Name: "Guide post hole depth", Dimension: text.Length,
			Value: d.Stand.Hole.Depth,
			How:   holeHow(p, d.Stand), Rules: []string{practice.RuleGuideHoleDepth, practice.RuleGuideHoleBy,
				practice.RuleHoleStep, practice.RuleWindSpeed, practice.RuleWindTerrain, practice.RuleWindShut,
				practice.RuleGroundFrost, practice.RuleGroundSwell},
			Fields: []string{survey.GroundSoil, survey.GroundDepthToFirm, survey.GroundClass, survey.GroundFrost,
				survey.GroundExpansive, survey.GateHeight, survey.GateInfill}})
	}
	if l.HasMotor {
		list.add(plan.Figure{ID: plan.FigureMotorAt, Name: "Motor beyond the run-back post", Dimension: text.Length,
			Value: l.Motor.X1 - in.Width, Before: "Motor before the run-back post",
			How: text.Say("next to the guide post or touching the drive, every corner off it: chainage {0} − opening {1}",
				text.MM(l.Motor.X1), text.MM(in.Width)), Rules: []string{practice.RuleMotorGap, practice.RulePlaceEdgeGap},
			Fields: edge, Source: sourceGeometry})
	}
}

func (d *designed) explainRoom(list *figureList) {
	in, p, leaf := d.Inputs, d.Practice, &d.Plan.Leaf
	list.add(plan.Figure{ID: plan.FigureRoomNeeded, Name: "Run-back room needed", Dimension: text.Length,
		Value: roomNeeded(in, p, leaf),
		How:   roomHow(in, p, leaf), Rules: []string{practice.RuleLeafStopAllowance}, Fields: list.edge,
		Source: sourceMotion})
}

// explainSupply gives what is dug, poured and carted.
func (d *designed) explainSupply(list *figureList) {
	p, q := d.Practice, &d.Plan.Quantities
	edge, edgeAndSoil := list.edge, append(slices.Clip(list.edge), survey.GroundSoil)
	list.add(plan.Figure{ID: plan.FigureConcreteArea, Name: "Concrete in plan", Dimension: text.Area, Value: q.Area,
		How: text.Say("all outlines together, no overlap counted twice"), Source: sourceGeometry, Fields: edge})
	list.add(plan.Figure{ID: plan.FigureConcreteVolume, Name: "Concrete", Dimension: text.Volume, Value: q.Concrete,
		How: text.Say("sum of the parts"), Source: sourceGeometry, Fields: edgeAndSoil})
	list.add(plan.Figure{ID: plan.FigureConcreteOrder, Name: "Concrete to order", Dimension: text.Volume, Value: q.Order,
		How:   text.Say("{0} and {1} more for waste", text.CubicMM(q.Concrete), text.Percent(p.ConcreteWaste)),
		Rules: []string{practice.RuleConcreteWaste}, Fields: edgeAndSoil})
	list.add(plan.Figure{ID: plan.FigureConcreteBags, Name: "Bags of dry mix", Dimension: text.Count,
		Value: float64(q.Bags),
		How:   text.Say("{0} ÷ {1} from each bag, rounded up", text.CubicMM(q.Order), text.CubicMM(p.BagYield)),
		Rules: []string{practice.RuleConcreteBagYield, practice.RuleConcreteBagMass}})
	list.add(plan.Figure{ID: plan.FigureConcreteBatches, Name: "Mixer batches", Dimension: text.Count,
		Value: float64(q.Batches),
		How:   text.Say("{0} ÷ {1} a batch, rounded up", text.CubicMM(q.Order), text.CubicMM(p.MixerBatch)),
		Rules: []string{practice.RuleConcreteMixerBatch}})
	list.add(plan.Figure{ID: plan.FigureDigBank, Name: "Digging, in the bank", Dimension: text.Volume, Value: q.DigBank,
		How: digHow(d.Plan), Source: sourceGeometry})
	list.add(plan.Figure{ID: plan.FigureDigLoose, Name: "Spoil, loose", Dimension: text.Volume, Value: q.DigLoose,
		How: text.Say("{0} × {1}", text.CubicMM(q.DigBank), text.Plain(p.Swell)), Rules: []string{practice.RuleDigSwell}})
	ground := []string{survey.GroundSoil, survey.GroundClass}
	list.add(plan.Figure{ID: plan.FigureDigMass, Name: "Spoil, weight at most", Dimension: text.Mass, Value: q.SpoilMass,
		How: text.Say("{0} in the bank of the heaviest moist ground of its class; dug loose it weighs the same",
			text.CubicMM(q.DigBank)), Fields: ground, Source: soil.SourceUnitWeight})
	byVolume, byMass := stages.TrailerLoads(p, q)
	how := text.Say("{0} ÷ {1} a load, rounded up: the box is full before the payload is reached",
		text.CubicMM(q.DigLoose), text.CubicMM(p.TrailerLoad))
	if byMass > byVolume {
		how = text.Say("{0} ÷ {1} of payload, rounded up: the weight decides, by volume it would be {2}",
			text.Kilograms(q.SpoilMass), text.Kilograms(p.TrailerPayload), text.Number(float64(byVolume)))
	} else if byMass == byVolume {
		how = text.Say("{0} ÷ {1} a load, rounded up; as many by weight, {2} ÷ {3}", text.CubicMM(q.DigLoose),
			text.CubicMM(p.TrailerLoad), text.Kilograms(q.SpoilMass), text.Kilograms(p.TrailerPayload))
	}
	list.add(plan.Figure{ID: plan.FigureDigLoads, Name: "Trailer loads", Dimension: text.Count, Value: float64(q.Loads),
		How: how, Rules: []string{practice.RuleDigTrailerLoad, practice.RuleDigTrailerPayload}, Fields: ground})
}

func stripHow(in *stages.Inputs, p *practice.Practice, l *stages.Layout) text.Text {
	if in.OnSteel() {
		return text.Say("the steel footing ends beyond the rear wheel of the open leaf, and under the hard stop where there is one")
	}
	if l.Panels > 1 {
		share := l.StripRule - in.Width
		if in.HardStop {
			share -= p.StripStopExtra
			return text.Say("one panel's share of the opening and the panels' overlaps {0} + {1} for the hard stop, and {2} more for this leaf", text.MM(share), text.MM(p.StripStopExtra), text.MM(l.StripEnd-l.StripRule))
		}
		return text.Say("one panel's share of the opening and the panels' overlaps {0}, and {1} more under the rear wheel",
			text.MM(share), text.MM(l.StripEnd-l.StripRule))
	}
	if in.HardStop {
		if l.StripEnd > l.StripRule {
			return text.Say("as long as the opening {0} + {1} for the hard stop, and {2} more for the tail and the stop of this leaf", text.MM(in.Width), text.MM(p.StripStopExtra), text.MM(l.StripEnd-l.StripRule))
		}
		return text.Say("as long as the opening {0} + {1} for the hard stop", text.MM(in.Width), text.MM(p.StripStopExtra))
	}
	if l.StripEnd > l.StripRule {
		return text.Say("as long as the opening {0}, and {1} more under the rear wheel", text.MM(in.Width),
			text.MM(l.StripEnd-l.StripRule))
	}
	return text.Say("as long as the opening {0}", text.MM(in.Width))
}

func depthHow(in *stages.Inputs, p *practice.Practice, l *stages.Layout) text.Text {
	if l.FootDepth > p.StripDepth {
		return text.Say("down to firm and dry ground at {0}", text.MM(in.DepthToFirm))
	}
	return text.Say("{0} on firm ground", text.MM(p.StripDepth))
}

// holeHow tells what decides the depth of the guide post's hole, and what is dug
// above the ground that counts.
func holeHow(p *practice.Practice, s *stages.GuideStand) text.Text {
	h := &s.Hole
	if h.Moves > h.Soft+h.Least && h.Depth <= h.Moves+h.Above {
		return text.Say("{0} below the ground: neither frost nor swelling clay moves what stands so deep",
			text.MM(h.Moves))
	}
	strength := s.Push != nil && h.Depth > h.Soft+h.Least+h.Above+plan.Tolerance
	above := h.Soft + h.Above
	switch {
	case strength && above > 0:
		return text.Say("{0} into firm ground by strength, more than the trade's {1}, in steps of {2}, under {3} of soft ground and of pad above the ground", text.MM(s.Push.Embedment), text.MM(h.Least), text.MM(p.HoleStep), text.MM(above))
	case strength:
		return text.Say("{0} into firm ground by strength, more than the trade's {1}, in steps of {2}",
			text.MM(s.Push.Embedment), text.MM(h.Least), text.MM(p.HoleStep))
	case above > 0:
		return text.Say("the trade's {0} into firm ground, under {1} of soft ground and of pad above the ground",
			text.MM(h.Least), text.MM(above))
	}
	return text.Say("the trade's {0} on firm ground, from the top of the pad", text.MM(h.Least))
}

// roomNeeded is the room along the fence behind the run-back post that the open
// leaf takes, with its tail or guide rail and the hard stop.
func roomNeeded(in *stages.Inputs, p *practice.Practice, leaf *plan.Leaf) float64 {
	need := leaf.RearOpen - in.Width
	if in.HardStop && !in.Hangs {
		need += p.StopAllowance
	}
	return need
}

func roomHow(in *stages.Inputs, p *practice.Practice, leaf *plan.Leaf) text.Text {
	if in.HardStop && !in.Hangs {
		return text.Say("open leaf from {0} to {1} − opening {2} + hard stop {3}", text.MM(leaf.OpenAt),
			text.MM(leaf.RearOpen), text.MM(in.Width), text.MM(p.StopAllowance))
	}
	return text.Say("open leaf from {0} to {1} − opening {2}", text.MM(leaf.OpenAt), text.MM(leaf.RearOpen),
		text.MM(in.Width))
}
