package engine

import (
	"math"
	"strconv"
)

const (
	sourceStatics = "statics of a rigid leaf on two wheels"
	sourceIncline = "force on an inclined plane with rolling resistance: any textbook of mechanics"
)

// explainLeaf gives the figures of the leaf's make and its motion.
func (d *designed) explainLeaf(list *figureList) {
	in, p, l, plan := d.inputs, d.practice, d.layout, d.plan
	leaf, m := &plan.Leaf, &plan.Leaf.Motion
	made := []string{GateHeight, GateMetal, GateInfill, GateCladding, OpeningWidth}
	list.add(Figure{ID: FigureLeafMass, Name: "Mass of the leaf", Dimension: Mass, Value: leaf.Mass,
		How: d.massHow(), Rules: []string{RuleFrameRail, RuleFrameBottomRail, RuleFrameWall, RuleLeafThickness, "mass." + massRule(in.infill), RuleMassGuideRail, RuleMassRack, RuleMassWheel}, Fields: made, Source: "sections × density, infill × mass of a square metre"})
	for i := range leaf.Panels {
		panel := &leaf.Panels[i]
		id, of := "", func(one, each string) string { return one }
		if n := strconv.Itoa(panel.Number); len(leaf.Panels) > 1 {
			id, of = n+".", func(one, each string) string { return Fill(each, n) }
		}
		list.add(Figure{ID: "leaf." + id + "centre", Name: of("Centre of gravity from the leading edge", "Centre of gravity from the leading edge, panel {0}"), Dimension: Length, Value: panel.CentreAlong,
			How: say("moments of all members; it lies {0} above the foot of the track", mm(panel.CentreHeight)), Fields: made, Source: sourceStatics})
		for k, name := range [2]string{of("Front wheel carries", "Front wheel carries, panel {0}"), of("Rear wheel carries", "Rear wheel carries, panel {0}")} {
			if plan.unjudged(QuestionWheelsUnjudged) {
				break
			}
			w := panel.Wheels[k]
			list.add(Figure{ID: "leaf." + id + "wheel." + strconv.Itoa(k+1), Name: name, Dimension: Force, Value: w.Standing,
				How: say("standing, {0} from the leading edge; between {1} and {2} when driven or pushed", mm(w.At), newton(w.Least), newton(w.Most)), Rules: []string{RuleLeafWheelInset, RuleMotorThrust, RuleMotionHandForce}, Fields: made, Source: sourceStatics})
		}
	}
	if math.Abs(leaf.Rise) >= 1 {
		list.add(Figure{ID: FigureLeafRise, Name: "Rise of the leaf over its length, towards the run-back", Dimension: Length, Value: leaf.Rise,
			How: say("frame {0} × the track's grade {1}", mm(leaf.Frame), percent(math.Tan(leaf.Slope))), Fields: []string{GroundShape}, Source: sourceGeometry})
		list.add(Figure{ID: FigureLeafCutOff, Name: "Ends cut off square by", Dimension: AngleOf, Value: math.Abs(leaf.Slope),
			How: say("the slope of the track: stiles plumb, rails along it"), Fields: []string{GroundShape}, Source: sourceGeometry})
		list.add(Figure{ID: FigureLeafGuideRailCut, Name: "Guide rail, cut length", Dimension: Length, Value: leaf.GuideRailCut,
			How: say("{0} along the fence ÷ cos {1}", mm(leaf.GuideRail), rad(math.Abs(leaf.Slope))), Fields: []string{GroundShape}, Source: sourceGeometry})
		if l.hasMotor {
			list.add(Figure{ID: FigureLeafRackCut, Name: "Rack, cut length", Dimension: Length, Value: leaf.RackCut,
				How: say("{0} along the fence ÷ cos {1}", mm(leaf.Rack), rad(math.Abs(leaf.Slope))), Fields: []string{GroundShape}, Source: sourceGeometry})
		}
	}
	if plan.unjudged(QuestionMotionUnjudged) {
		return
	}
	list.add(Figure{ID: FigureMotionHand, Name: "Force to move it by hand", Dimension: Force, Value: m.Hand,
		How:   say("rolling {0} of the weight of {1}, {2} times it to set off, and {3} of the weight along the slope, uphill", ratio(p.Rolling), kilograms(leaf.Mass), ratio(p.StartFactor), newton(math.Abs(m.Downhill))),
		Rules: []string{RuleMotionRolling, RuleMotionStart, RuleMotionHandForce}, Fields: append(made, GatePanels), Source: sourceIncline})
	if l.hasMotor {
		list.add(Figure{ID: FigureMotionThrust, Name: "Thrust asked of the motor", Dimension: Force, Value: m.Thrust,
			How:   say("{0} × {1}: the greater of setting off and of steady {2} + getting up to speed {3}", ratio(p.MotorMargin), newton(m.Pull), newton(math.Max(m.Opening, m.Shutting)), newton(m.Start)),
			Rules: []string{RuleMotorMargin, RuleMotionRolling, RuleMotionStart, RuleMotorSpeed, RuleMotorStartTime}, Fields: append(made, GatePanels), Source: sourceIncline})
	}
}

func massRule(infill string) string {
	switch infill {
	case InfillBoards, InfillSheet, InfillMesh:
		return infill
	}
	return "battens"
}

// massHow lists the members with their masses, the rest as what they leave.
func (d *designed) massHow() Text {
	plan := d.plan
	members := make([]Text, 0, len(plan.Leaf.Members)+1)
	rest := plan.Leaf.Mass
	for i := range plan.Leaf.Members {
		m := &plan.Leaf.Members[i]
		members = append(members, say("{0} {1}", wordArg(m.Mark), kilograms(m.Mass)))
		rest -= m.Mass
	}
	if rest > 0.005 {
		members = append(members, say("wheels and infill {0}", kilograms(rest)))
	}
	return say("{0}", listArg(members...))
}
