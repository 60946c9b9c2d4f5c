package engine

// figure records a number with its reason.
func (plan *Plan) figure(in *inputs, f Figure) {
	if f.Source == "" {
		f.Source = CommonPractice
	}
	for _, path := range f.Fields {
		if in.assumedPaths[path] {
			f.Assumed = true
			break
		}
	}
	plan.Figures = append(plan.Figures, f)
}

const (
	sourceGeometry = "geometry of the layout"
	sourceMotion   = "geometry of the travel: rack and rail must reach from shut to open"
)

// explain lists every figure that a screen or a sheet shows, each with the
// formula that gave it and the numbers in it.
func (d *designed) explain() {
	in, p, l, t, plan := d.inputs, d.practice, d.layout, d.treatment, d.plan
	defer plan.explainStrength(in, p, t)
	leaf, q := &plan.Leaf, &plan.Quantities
	plan.figure(in, Figure{ID: "leaf.frame", Name: "Leaf frame length", Dimension: Length, Value: leaf.Frame,
		How:   say("opening {0} + overlap at the latch post {1} + overlap at the run-back post {2}", mm(in.width), mm(p.OverlapLatch), mm(p.OverlapRunBack)).orStacked(l, "(opening {0} + overlap at the latch post {1} + overlap at the run-back post {2} + overlaps of the panels {3}) ÷ panels", mm(float64(l.panels-1)*p.PanelOverlap)),
		Rules: []string{"leaf.overlapLatch", "leaf.overlapRunBack"}, Fields: []string{"opening.width"}})
	edge := []string{"opening.width", "drive.runBackEdge.given", "drive.runBackEdge.along"}
	edgeAndSoil := append(edge, "ground.soil")
	if l.hasMotor {
		plan.figure(in, Figure{ID: "leaf.tail", Name: "Tail past the frame", Dimension: Length, Value: leaf.Tail,
			How:   tailHow(in, p, l, leaf),
			Rules: []string{"leaf.engagement", "leaf.overlapLatch", "motor.length"}, Fields: edge, Source: sourceMotion})
		plan.figure(in, Figure{ID: "leaf.rack", Name: "Rack length", Dimension: Length, Value: leaf.Rack,
			How:   say("frame {0} + tail {1}; at least travel {2} + twice the margin {3}", mm(leaf.Frame), mm(leaf.Tail), mm(leaf.Panels[drivenPanel(in)-1].Travel), mm(p.EngagementMargin)),
			Rules: []string{"leaf.engagement"}, Fields: edge, Source: sourceMotion})
	}
	plan.figure(in, Figure{ID: "leaf.guideRail", Name: "Guide rail length", Dimension: Length, Value: leaf.GuideRail,
		How:   say("frame {0} + {1} past it, so that the rollers at chainage {2} still hold the shut leaf", mm(leaf.Frame), mm(leaf.RailOver), mm(leaf.RollersAt)),
		Rules: []string{"guide.rollerSpacing", "guide.bracketOffset", "leaf.engagement"}, Fields: edge, Source: sourceMotion})
	plan.figure(in, Figure{ID: "leaf.travel", Name: "Travel from shut to open", Dimension: Length, Value: leaf.Travel,
		How: say("leading edge from {0} to {1}", mm(leaf.ShutAt), mm(leaf.OpenAt)), Rules: []string{"leaf.openClearance"}, Fields: []string{"opening.width"}, Source: sourceMotion})
	plan.figure(in, Figure{ID: "leaf.clearStraight", Name: "Clear opening, straight in", Dimension: Length, Value: leaf.ClearStraight,
		How: say("from the latch post to the nearest of run-back post, open leaf, guide post and motor"), Fields: edge, Source: sourceGeometry})
	plan.figure(in, Figure{ID: "leaf.clearAlong", Name: "Clear opening, along the drive", Dimension: Length, Value: leaf.ClearAlong,
		How: say("the same corners, taken across a drive that runs in at {0} to the fence", rad(in.edgeAngle)), Fields: edge, Source: sourceGeometry})

	plan.explainPanels(in, p, l)
	plan.explainLeaf(in, p, l)
	plan.explainFooting(in, p, l)

	plan.figure(in, Figure{ID: "strip.end", Name: "Run-back strip ends at chainage", Dimension: Length, Value: l.stripEnd,
		How: stripHow(in, p, l, leaf), Rules: []string{"strip.stopExtra", "leaf.stopAllowance"}, Fields: []string{"opening.width", "gate.hardStop"}})
	plan.figure(in, Figure{ID: "strip.length", Name: "Run-back strip from the run-back post", Dimension: Length, Value: l.stripEnd - in.width,
		How: stripHow(in, p, l, leaf), Rules: []string{"strip.stopExtra", "leaf.stopAllowance"}, Fields: []string{"opening.width", "gate.hardStop"}})
	if plan.Footing == nil {
		plan.figure(in, Figure{ID: "strip.width", Name: "Run-back strip width", Dimension: Length, Value: l.stripWidth,
			How: stripWidthHow(p, l), Rules: []string{"strip.width"}})
	}
	plan.figure(in, Figure{ID: "foot.depth", Name: "Depth of strip and pad", Dimension: Length, Value: l.footDepth,
		How: depthHow(in, p, l), Rules: []string{"strip.depth"}, Fields: []string{"ground.soil", "ground.depthToFirm"}})
	if t.strip {
		plan.figure(in, Figure{ID: "drive.stripWidth", Name: "Drive strip width", Dimension: Length, Value: l.driveWidth, How: t.how, Rules: []string{"drive.stripWidth"}, Fields: []string{"drive.surface"}})
		plan.figure(in, Figure{ID: "drive.stripDepth", Name: "Drive strip depth of concrete", Dimension: Length, Value: t.depth, How: t.how, Rules: []string{"drive.stripDepth"}, Fields: []string{"drive.surface"}})
	}
	if l.hasPad {
		near := in.runBackEdge.At(0)
		plan.figure(in, Figure{ID: "pad.along", Name: "Motor pad along the fence", Dimension: Length, Value: l.padFar - near,
			How:   say("from the driveway edge at chainage {0} to {1}: {2} clear of the edge at every offset, motor and posts with {3} of concrete beyond", mm(near), mm(l.padFar), mm(p.PadAlong), mm(p.PadMargin)),
			Rules: []string{"pad.along", "pad.margin", "motor.length", "motor.gap"}, Fields: append(edge, "gate.guide", "gate.motor")})
		plan.figure(in, Figure{ID: "pad.out", Name: "Motor pad out from the fence", Dimension: Length, Value: l.padOut,
			How: say("at least {0}; back of motor or base plate with concrete beyond", mm(p.PadOut)), Rules: []string{"pad.out", "pad.margin", "motor.front", "motor.width"}, Fields: []string{"gate.cladding", "gate.guide"}})
	}
	if l.hasGuide {
		plan.figure(in, Figure{ID: "guide.setback", Name: "Guide post back from the fence", Dimension: Length, Value: l.guide.y1,
			How: say("setback {0} + cladding on the front of the leaf {1}", mm(p.GuideSetback), mm(in.cladding)).orStacked(l, "setback {0} + cladding on the front of the leaf {1} + {2} for the panels behind the first", mm(l.shift)), Rules: []string{"guide.setback"}, Fields: []string{"gate.cladding"}})
		plan.figure(in, Figure{ID: "guide.at", Name: "Guide post beyond the run-back post", Dimension: Length, Value: l.guide.x1 - in.width,
			How: say("pushed along until every corner is off the drive: chainage {0} − opening {1}", mm(l.guide.x1), mm(in.width)), Rules: []string{"place.edgeGap"}, Fields: edge, Source: sourceGeometry})
	}
	if l.hasHole {
		plan.figure(in, Figure{ID: "guide.holeDepth", Name: "Guide post hole depth", Dimension: Length, Value: l.holeDepth,
			How: holeHow(in, p, l), Rules: []string{"guide.holeDepth", "strip.depth"}, Fields: []string{"ground.soil", "ground.depthToFirm"}})
	}
	if l.hasMotor {
		plan.figure(in, Figure{ID: "motor.at", Name: "Motor beyond the run-back post", Dimension: Length, Value: l.motor.x1 - in.width,
			How: say("next to the guide post or touching the drive, every corner off it: chainage {0} − opening {1}", mm(l.motor.x1), mm(in.width)), Rules: []string{"motor.gap", "place.edgeGap"}, Fields: edge, Source: sourceGeometry})
	}
	plan.explainGround(in, p, l)
	plan.figure(in, Figure{ID: "room.needed", Name: "Run-back room needed", Dimension: Length, Value: roomNeeded(in, p, leaf),
		How: roomHow(in, p, leaf), Rules: []string{"leaf.stopAllowance"}, Fields: edge, Source: sourceMotion})
	plan.figure(in, Figure{ID: "concrete.area", Name: "Concrete in plan", Dimension: Area, Value: q.Area, How: say("all outlines together, no overlap counted twice"), Source: sourceGeometry, Fields: edge})
	plan.figure(in, Figure{ID: "concrete.volume", Name: "Concrete", Dimension: Volume, Value: q.Concrete, How: say("sum of the parts"), Source: sourceGeometry, Fields: edgeAndSoil})
	plan.figure(in, Figure{ID: "concrete.order", Name: "Concrete to order", Dimension: Volume, Value: q.Order,
		How: say("{0} and {1} more for waste", mm3(q.Concrete), percent(p.ConcreteWaste)), Rules: []string{"concrete.waste"}, Fields: edgeAndSoil})
	plan.figure(in, Figure{ID: "concrete.bags", Name: "Bags of dry mix", Dimension: Count, Value: float64(q.Bags),
		How: say("{0} ÷ {1} from each bag, rounded up", mm3(q.Order), mm3(p.BagYield)), Rules: []string{"concrete.bagYield", "concrete.bagMass"}})
	plan.figure(in, Figure{ID: "concrete.batches", Name: "Mixer batches", Dimension: Count, Value: float64(q.Batches),
		How: say("{0} ÷ {1} a batch, rounded up", mm3(q.Order), mm3(p.MixerBatch)), Rules: []string{"concrete.mixerBatch"}})
	plan.figure(in, Figure{ID: "dig.bank", Name: "Digging, in the bank", Dimension: Volume, Value: q.DigBank, How: say("every part to its full depth"), Source: sourceGeometry})
	plan.figure(in, Figure{ID: "dig.loose", Name: "Spoil, loose", Dimension: Volume, Value: q.DigLoose, How: say("{0} × {1}", mm3(q.DigBank), ratio(p.Swell)), Rules: []string{"dig.swell"}})
	plan.figure(in, Figure{ID: "dig.loads", Name: "Trailer loads", Dimension: Count, Value: float64(q.Loads), How: say("{0} ÷ {1} a load, rounded up", mm3(q.DigLoose), mm3(p.TrailerLoad)), Rules: []string{"dig.trailerLoad"}})
}

func percent(v float64) Arg { return Arg{Value: v, Dimension: Grade} }

func stripHow(in *inputs, p *Practice, l *layout, leaf *LeafPlan) Text {
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
