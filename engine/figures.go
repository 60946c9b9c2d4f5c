package engine

import "slices"

// figureList are the figures of a plan as they are listed.
type figureList struct {
	assumed map[string]bool // survey paths that were not measured
	edge    []string        // what the place of everything beside the drive hangs on
	figures []Figure
}

// add records a number with its reason.
func (l *figureList) add(f Figure) {
	if f.Source == "" {
		f.Source = CommonPractice
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

// figures lists every figure that a screen or a sheet shows, each with the
// formula that gave it and the numbers in it.
func (d *designed) figures() []Figure {
	// Room for what a site of this ground usually has, so that the list need
	// not be moved while it grows.
	usual := 44
	if d.plan.Ground != nil {
		usual = 64
	}
	list := figureList{assumed: d.inputs.assumedPaths, figures: make([]Figure, 0, usual),
		edge: []string{OpeningWidth, DriveRunBackEdgeGiven, DriveRunBackEdgeAlong}}
	d.explainTravel(&list)
	d.explainPanels(&list)
	d.explainLeaf(&list)
	d.explainFooting(&list)
	d.explainStrips(&list)
	d.explainPlaces(&list)
	d.explainGround(&list)
	d.explainRoom(&list)
	d.explainSupply(&list)
	d.explainStrength(&list)
	return list.figures
}

// explainTravel gives the leaf's frame and what reaches from shut to open.
func (d *designed) explainTravel(list *figureList) {
	in, p, l, leaf, edge := d.inputs, d.practice, d.layout, &d.plan.Leaf, list.edge
	list.add(Figure{ID: FigureLeafFrame, Name: "Leaf frame length", Dimension: Length, Value: leaf.Frame,
		How:   say("opening {0} + overlap at the latch post {1} + overlap at the run-back post {2}", mm(in.width), mm(p.OverlapLatch), mm(p.OverlapRunBack)).orStacked(l, "(opening {0} + overlap at the latch post {1} + overlap at the run-back post {2} + overlaps of the panels {3}) ÷ panels", mm(float64(l.panels-1)*p.PanelOverlap)),
		Rules: []string{RuleLeafOverlapLatch, RuleLeafOverlapRunBack}, Fields: []string{OpeningWidth}})
	if l.hasMotor {
		list.add(Figure{ID: FigureLeafTail, Name: "Tail past the frame", Dimension: Length, Value: leaf.Tail,
			How:   tailHow(in, p, l, leaf),
			Rules: []string{RuleLeafEngagement, RuleLeafOverlapLatch, RuleMotorLength}, Fields: edge, Source: sourceMotion})
		list.add(Figure{ID: FigureLeafRack, Name: "Rack length", Dimension: Length, Value: leaf.Rack,
			How:   say("frame {0} + tail {1}; at least travel {2} + twice the margin {3}", mm(leaf.Frame), mm(leaf.Tail), mm(leaf.Panels[drivenPanel(in)-1].Travel), mm(p.EngagementMargin)),
			Rules: []string{RuleLeafEngagement}, Fields: edge, Source: sourceMotion})
	}
	list.add(Figure{ID: FigureLeafGuideRail, Name: "Guide rail length", Dimension: Length, Value: leaf.GuideRail,
		How:   say("frame {0} + {1} past it, so that the rollers at chainage {2} still hold the shut leaf", mm(leaf.Frame), mm(leaf.RailOver), mm(leaf.RollersAt)),
		Rules: []string{RuleGuideRollerSpacing, RuleGuideBracketOffset, RuleLeafEngagement}, Fields: edge, Source: sourceMotion})
	list.add(Figure{ID: FigureLeafTravel, Name: "Travel from shut to open", Dimension: Length, Value: leaf.Travel,
		How: say("leading edge from {0} to {1}", mm(leaf.ShutAt), mm(leaf.OpenAt)), Rules: []string{RuleLeafOpenClearance}, Fields: []string{OpeningWidth}, Source: sourceMotion})
	list.add(Figure{ID: FigureLeafClearStraight, Name: "Clear opening, straight in", Dimension: Length, Value: leaf.ClearStraight,
		How: say("from the latch post to the nearest of run-back post, open leaf, guide post and motor"), Fields: edge, Source: sourceGeometry})
	list.add(Figure{ID: FigureLeafClearAlong, Name: "Clear opening, along the drive", Dimension: Length, Value: leaf.ClearAlong,
		How: say("the same corners, taken across a drive that runs in at {0} to the fence", rad(in.edgeAngle)), Fields: edge, Source: sourceGeometry})
}

// explainStrips gives the sizes of the run-back strip and of the drive strip.
func (d *designed) explainStrips(list *figureList) {
	in, p, l, t := d.inputs, d.practice, d.layout, d.treatment
	how, rules, fields := stripHow(in, p, l), []string{RuleStripStopExtra, RuleLeafStopAllowance}, []string{OpeningWidth, GateHardStop}
	list.add(Figure{ID: FigureStripEnd, Name: "Run-back strip ends at chainage", Dimension: Length, Value: l.stripEnd,
		How: how, Rules: rules, Fields: fields})
	list.add(Figure{ID: FigureStripLength, Name: "Run-back strip from the run-back post", Dimension: Length, Value: l.stripEnd - in.width,
		How: how, Rules: rules, Fields: fields})
	if d.plan.Footing == nil {
		list.add(Figure{ID: FigureStripWidth, Name: "Run-back strip width", Dimension: Length, Value: l.stripWidth,
			How: stripWidthHow(p, l), Rules: []string{RuleStripWidth}})
	}
	list.add(Figure{ID: FigureFootDepth, Name: "Depth of strip and pad", Dimension: Length, Value: l.footDepth,
		How: depthHow(in, p, l), Rules: []string{RuleStripDepth}, Fields: []string{GroundSoil, GroundDepthToFirm}})
	if t.strip {
		list.add(Figure{ID: FigureDriveStripWidth, Name: "Drive strip width", Dimension: Length, Value: l.driveWidth, How: t.how, Rules: []string{RuleDriveStripWidth}, Fields: []string{DriveSurface}})
		list.add(Figure{ID: FigureDriveStripDepth, Name: "Drive strip depth of concrete", Dimension: Length, Value: t.depth, How: t.how, Rules: []string{RuleDriveStripDepth}, Fields: []string{DriveSurface}})
	}
}

// explainPlaces gives the places of pad, guide post and motor.
func (d *designed) explainPlaces(list *figureList) {
	in, p, l, edge := d.inputs, d.practice, d.layout, list.edge
	if l.hasPad {
		near := in.runBackEdge.At(0)
		list.add(Figure{ID: FigurePadAlong, Name: "Motor pad along the fence", Dimension: Length, Value: l.padFar - near,
			How:   say("from the driveway edge at chainage {0} to {1}: {2} clear of the edge at every offset, motor and posts with {3} of concrete beyond", mm(near), mm(l.padFar), mm(p.PadAlong), mm(p.PadMargin)),
			Rules: []string{RulePadAlong, RulePadMargin, RuleMotorLength, RuleMotorGap}, Fields: append(slices.Clip(edge), GateGuide, GateMotor)})
		list.add(Figure{ID: FigurePadOut, Name: "Motor pad out from the fence", Dimension: Length, Value: l.padOut,
			How: say("at least {0}; back of motor or base plate with concrete beyond", mm(p.PadOut)), Rules: []string{RulePadOut, RulePadMargin, RuleMotorFront, RuleMotorWidth}, Fields: []string{GateCladding, GateGuide}})
	}
	if l.hasGuide {
		list.add(Figure{ID: FigureGuideSetback, Name: "Guide post back from the fence", Dimension: Length, Value: l.guide.y1,
			How: say("setback {0} + cladding on the front of the leaf {1}", mm(p.GuideSetback), mm(in.cladding)).orStacked(l, "setback {0} + cladding on the front of the leaf {1} + {2} for the panels behind the first", mm(l.shift)), Rules: []string{RuleGuideSetback}, Fields: []string{GateCladding}})
		list.add(Figure{ID: FigureGuideAt, Name: "Guide post beyond the run-back post", Dimension: Length, Value: l.guide.x1 - in.width,
			How: say("pushed along until every corner is off the drive: chainage {0} − opening {1}", mm(l.guide.x1), mm(in.width)), Rules: []string{RulePlaceEdgeGap}, Fields: edge, Source: sourceGeometry})
	}
	if l.hasHole {
		list.add(Figure{ID: FigureGuideHoleDepth, Name: "Guide post hole depth", Dimension: Length, Value: l.holeDepth,
			How: holeHow(in, p, l), Rules: []string{RuleGuideHoleDepth, RuleStripDepth}, Fields: []string{GroundSoil, GroundDepthToFirm}})
	}
	if l.hasMotor {
		list.add(Figure{ID: FigureMotorAt, Name: "Motor beyond the run-back post", Dimension: Length, Value: l.motor.x1 - in.width,
			How: say("next to the guide post or touching the drive, every corner off it: chainage {0} − opening {1}", mm(l.motor.x1), mm(in.width)), Rules: []string{RuleMotorGap, RulePlaceEdgeGap}, Fields: edge, Source: sourceGeometry})
	}
}

func (d *designed) explainRoom(list *figureList) {
	in, p, leaf := d.inputs, d.practice, &d.plan.Leaf
	list.add(Figure{ID: FigureRoomNeeded, Name: "Run-back room needed", Dimension: Length, Value: roomNeeded(in, p, leaf),
		How: roomHow(in, p, leaf), Rules: []string{RuleLeafStopAllowance}, Fields: list.edge, Source: sourceMotion})
}

// explainSupply gives what is dug, poured and carted.
func (d *designed) explainSupply(list *figureList) {
	p, q := d.practice, &d.plan.Quantities
	edge, edgeAndSoil := list.edge, append(slices.Clip(list.edge), GroundSoil)
	list.add(Figure{ID: FigureConcreteArea, Name: "Concrete in plan", Dimension: Area, Value: q.Area, How: say("all outlines together, no overlap counted twice"), Source: sourceGeometry, Fields: edge})
	list.add(Figure{ID: FigureConcreteVolume, Name: "Concrete", Dimension: Volume, Value: q.Concrete, How: say("sum of the parts"), Source: sourceGeometry, Fields: edgeAndSoil})
	list.add(Figure{ID: FigureConcreteOrder, Name: "Concrete to order", Dimension: Volume, Value: q.Order,
		How: say("{0} and {1} more for waste", mm3(q.Concrete), percent(p.ConcreteWaste)), Rules: []string{RuleConcreteWaste}, Fields: edgeAndSoil})
	list.add(Figure{ID: FigureConcreteBags, Name: "Bags of dry mix", Dimension: Count, Value: float64(q.Bags),
		How: say("{0} ÷ {1} from each bag, rounded up", mm3(q.Order), mm3(p.BagYield)), Rules: []string{RuleConcreteBagYield, RuleConcreteBagMass}})
	list.add(Figure{ID: FigureConcreteBatches, Name: "Mixer batches", Dimension: Count, Value: float64(q.Batches),
		How: say("{0} ÷ {1} a batch, rounded up", mm3(q.Order), mm3(p.MixerBatch)), Rules: []string{RuleConcreteMixerBatch}})
	list.add(Figure{ID: FigureDigBank, Name: "Digging, in the bank", Dimension: Volume, Value: q.DigBank, How: say("every part to its full depth"), Source: sourceGeometry})
	list.add(Figure{ID: FigureDigLoose, Name: "Spoil, loose", Dimension: Volume, Value: q.DigLoose, How: say("{0} × {1}", mm3(q.DigBank), ratio(p.Swell)), Rules: []string{RuleDigSwell}})
	list.add(Figure{ID: FigureDigLoads, Name: "Trailer loads", Dimension: Count, Value: float64(q.Loads), How: say("{0} ÷ {1} a load, rounded up", mm3(q.DigLoose), mm3(p.TrailerLoad)), Rules: []string{RuleDigTrailerLoad}})
}

func stripHow(in *inputs, p *Practice, l *layout) Text {
	if in.onSteel() {
		return say("the steel footing ends beyond the rear wheel of the open leaf, and under the hard stop where there is one")
	}
	if l.panels > 1 {
		share := l.stripRule - in.width
		if in.hardStop {
			share -= p.StripStopExtra
			return say("one panel's share of the opening and the panels' overlaps {0} + {1} for the hard stop, and {2} more for this leaf", mm(share), mm(p.StripStopExtra), mm(l.stripEnd-l.stripRule))
		}
		return say("one panel's share of the opening and the panels' overlaps {0}, and {1} more under the rear wheel", mm(share), mm(l.stripEnd-l.stripRule))
	}
	if in.hardStop {
		if l.stripEnd > l.stripRule {
			return say("as long as the opening {0} + {1} for the hard stop, and {2} more for the tail and the stop of this leaf", mm(in.width), mm(p.StripStopExtra), mm(l.stripEnd-l.stripRule))
		}
		return say("as long as the opening {0} + {1} for the hard stop", mm(in.width), mm(p.StripStopExtra))
	}
	if l.stripEnd > l.stripRule {
		return say("as long as the opening {0}, and {1} more under the rear wheel", mm(in.width), mm(l.stripEnd-l.stripRule))
	}
	return say("as long as the opening {0}", mm(in.width))
}

func depthHow(in *inputs, p *Practice, l *layout) Text {
	if l.footDepth > p.StripDepth {
		return say("down to firm and dry ground at {0}", mm(in.depthToFirm))
	}
	return say("{0} on firm ground", mm(p.StripDepth))
}

func holeHow(in *inputs, p *Practice, l *layout) Text {
	if l.footDepth > p.StripDepth {
		return say("{0} on firm ground + {1} that the footing goes deeper", mm(p.GuideHoleDepth), mm(l.footDepth-p.StripDepth))
	}
	return say("{0} on firm ground, from the top of the pad", mm(p.GuideHoleDepth))
}

// roomNeeded is the room along the fence behind the run-back post that the open
// leaf takes, with its tail or guide rail and the hard stop.
func roomNeeded(in *inputs, p *Practice, leaf *LeafPlan) float64 {
	need := leaf.RearOpen - in.width
	if in.hardStop {
		need += p.StopAllowance
	}
	return need
}

func roomHow(in *inputs, p *Practice, leaf *LeafPlan) Text {
	if in.hardStop {
		return say("open leaf from {0} to {1} − opening {2} + hard stop {3}", mm(leaf.OpenAt), mm(leaf.RearOpen), mm(in.width), mm(p.StopAllowance))
	}
	return say("open leaf from {0} to {1} − opening {2}", mm(leaf.OpenAt), mm(leaf.RearOpen), mm(in.width))
}
