package engine

import (
	"math"
	"strconv"

	"pegpour/engine/motion"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/stages"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

const (
	sourceStatics = "statics of a rigid leaf on two wheels"
	sourceClosing = "energy of a spring of 500 N/mm; EN 12453, 5.1.1 and annex A"
)

// explainLeaf gives the figures of the leaf's make and its motion.
func (d *designed) explainLeaf(list *figureList) {
	in, p, l, whole := d.Inputs, d.Practice, d.Layout, d.Plan
	leaf, m := &whole.Leaf, &whole.Leaf.Motion
	made := []string{survey.GateHeight, survey.GateMetal, survey.GateInfill, survey.GateCladding, survey.OpeningWidth}
	list.add(plan.Figure{ID: plan.FigureLeafMass, Name: "Mass of the leaf", Dimension: text.Mass, Value: leaf.Mass,
		How: d.massHow(), Rules: []string{practice.RuleFrameRail, practice.RuleFrameBottomRail, practice.RuleFrameWall,
			practice.RuleLeafThickness, "mass." + massRule(in.Infill), practice.RuleMassGuideRail, practice.RuleMassRack,
			practice.RuleMassWheel}, Fields: made, Source: "sections × density, infill × mass of a square metre"})
	lies := "moments of all members; it lies {0} above the foot of the track"
	if leaf.Hanging != nil {
		lies = "moments of all members; it lies {0} above the block"
	}
	for i := range leaf.Panels {
		panel := &leaf.Panels[i]
		id, of := "", func(one, each string) text.Name { return text.Name(one) }
		if n := strconv.Itoa(panel.Number); len(leaf.Panels) > 1 {
			id, of = n+".", func(one, each string) text.Name { return text.Numbered(each, panel.Number) }
		}
		list.add(plan.Figure{ID: "leaf." + id + "centre",
			Name:      of("Centre of gravity from the leading edge", "Centre of gravity from the leading edge, panel {0}"),
			Dimension: text.Length, Value: panel.CentreAlong,
			How:    text.Say(lies, text.MM(panel.CentreHeight)),
			Fields: made, Source: sourceStatics})
		for k, name := range [2]text.Name{of("Front wheel carries", "Front wheel carries, panel {0}"),
			of("Rear wheel carries", "Rear wheel carries, panel {0}")} {
			if whole.Unjudged(plan.QuestionWheelsUnjudged) || leaf.Hanging != nil {
				break
			}
			w := panel.Wheels[k]
			list.add(plan.Figure{ID: "leaf." + id + "wheel." + strconv.Itoa(k+1), Name: name, Dimension: text.Force,
				Value: w.Standing,
				How: text.Say("standing, {0} from the leading edge; between {1} and {2} when driven or pushed", text.MM(w.At),
					text.Newtons(w.Least), text.Newtons(w.Most)),
				Rules: []string{practice.RuleLeafWheelInset, practice.RuleMotorThrust, practice.RuleMotionHandForce}, Fields: made,
				Source: sourceStatics})
		}
	}
	if math.Abs(leaf.Rise) >= 1 {
		list.add(plan.Figure{ID: plan.FigureLeafRise, Name: "Rise of the leaf over its length, towards the run-back",
			Dimension: text.Length, Value: leaf.Rise,
			How:    text.Say("frame {0} × the track's grade {1}", text.MM(leaf.Frame), text.Percent(math.Tan(leaf.Slope))),
			Fields: []string{survey.GroundShape}, Source: sourceGeometry})
		list.add(plan.Figure{ID: plan.FigureLeafCutOff, Name: "Ends cut off square by", Dimension: text.AngleOf,
			Value: math.Abs(leaf.Slope),
			How:   text.Say("the slope of the track: stiles plumb, rails along it"), Fields: []string{survey.GroundShape},
			Source: sourceGeometry})
		list.add(plan.Figure{ID: plan.FigureLeafGuideRailCut, Name: "Guide rail, cut length", Dimension: text.Length,
			Value:  leaf.GuideRailCut,
			How:    text.Say("{0} along the fence ÷ cos {1}", text.MM(leaf.GuideRail), text.Radians(math.Abs(leaf.Slope))),
			Fields: []string{survey.GroundShape}, Source: sourceGeometry})
		if l.HasMotor {
			list.add(plan.Figure{ID: plan.FigureLeafRackCut, Name: "Rack, cut length", Dimension: text.Length,
				Value:  leaf.RackCut,
				How:    text.Say("{0} along the fence ÷ cos {1}", text.MM(leaf.Rack), text.Radians(math.Abs(leaf.Slope))),
				Fields: []string{survey.GroundShape}, Source: sourceGeometry})
		}
	}
	if whole.Unjudged(plan.QuestionMotionUnjudged) {
		return
	}
	low, high := p.RollingEnds()
	high *= leaf.Hanging.Presses()
	list.add(plan.Figure{ID: plan.FigureMotionHand, Name: "Force to move it by hand", Dimension: text.Force, Value: m.Hand,
		How: text.Say("rolling {0} of the weight of {1}, {2} times it to set off, {3} of the weight along the slope, uphill, and the guide rollers, which wind of {4} presses on the rail; {5} in still air",
			text.Plain(high), text.Kilograms(leaf.Mass), text.Plain(p.StartFactor), text.Newtons(math.Abs(m.Downhill)),
			text.Pascals(p.WindMoving), text.Newtons(m.HandStill)),
		Rules: []string{practice.RuleMotionRolling, practice.RuleMotionStart, practice.RuleGuideFriction,
			practice.RuleWindMoving, practice.RuleMotionHandForce, practice.RuleMotionReleasedForce},
		Fields: append(made, survey.GatePanels), Source: stages.SourceIncline})
	if m.Runaway {
		list.add(plan.Figure{ID: plan.FigureMotionSpeed, Name: "Way in one second at the stop, run away", Dimension: text.Length,
			Value: m.Speed,
			How: text.Say("released at the far end of {0} on {1}, rolling {2} of the weight", text.MM(leaf.Travel),
				text.Percent(math.Abs(math.Tan(leaf.Slope))), text.Plain(low)),
			Rules: []string{practice.RuleMotionRollingLow}, Fields: []string{survey.GroundShape, survey.OpeningWidth},
			Source: stages.SourceIncline})
	}
	if l.HasMotor {
		list.add(plan.Figure{ID: plan.FigureMotionThrust, Name: "Thrust asked of the motor", Dimension: text.Force,
			Value: m.Thrust,
			How: text.Say("{0} × {1}: the greater of setting off and of steady {2} + getting up to speed {3}; in it {4} of rollers rubbing in wind of {5}",
				text.Plain(p.MotorMargin), text.Newtons(m.Pull), text.Newtons(max(m.Opening, m.Shutting)),
				text.Newtons(m.Start), text.Newtons(m.Rubbing), text.Pascals(p.WindMoving)),
			Rules: []string{practice.RuleMotorMargin, practice.RuleMotionRolling, practice.RuleMotionStart,
				practice.RuleGuideFriction, practice.RuleWindMoving, practice.RuleMotorSpeed, practice.RuleMotorStartTime},
			Fields: append(made, survey.GatePanels), Source: stages.SourceIncline})
		list.add(plan.Figure{ID: plan.FigureMotionClosing, Name: "Force on what stands in the way, at the first",
			Dimension: text.Force, Value: m.StalledPeak, FirstPass: true,
			How: text.Say("the leaf at {0} a second on a spring of {1} N/mm, the motor pushing on; {2} going on",
				text.MM(p.MotorSpeed*stages.Geared(leaf, 1, stages.DrivenPanel(in))), text.Plain(motion.ClosingGauge), text.Newtons(m.Stalled)),
			Rules:  []string{practice.RuleMotorThrust, practice.RuleMotorSpeed, practice.RuleMotionRollingLow},
			Fields: append(made, survey.GatePanels), Source: sourceClosing})
	}
}

func massRule(infill string) string {
	switch infill {
	case survey.InfillBoards, survey.InfillSheet, survey.InfillMesh:
		return infill
	}
	return "battens"
}

// massHow lists the members with their masses, the rest as what they leave.
func (d *designed) massHow() text.Text {
	plan := d.Plan
	members := make([]text.Text, 0, len(plan.Leaf.Members)+1)
	rest := plan.Leaf.Mass
	for i := range plan.Leaf.Members {
		m := &plan.Leaf.Members[i]
		members = append(members, text.Say("{0} {1}", text.Word(m.Mark), text.Kilograms(m.Mass)))
		rest -= m.Mass
	}
	if rest > 0.005 {
		members = append(members, text.Say(d.on("wheels and infill {0}", "infill {0}"), text.Kilograms(rest)))
	}
	return text.Say("{0}", text.List(members...))
}
