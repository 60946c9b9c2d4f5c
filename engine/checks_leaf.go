package engine

import (
	"math"

	"pegpour/engine/geom"
)

// checkLeaf says whether the leaf can be built, carried, moved and held.
func (d *designed) checkLeaf(found *findings) {
	in, p, l, plan := d.inputs, d.practice, d.layout, d.plan
	d.checkWheels(found)
	d.checkUpright(found)
	d.checkGraded(found)
	d.checkForces(found)
	leaf := &plan.Leaf
	if !leaf.SectionMissing {
		found.quiet(QuestionLeafSection, PracticePath+RuleFrameWall)
	} else {
		found.add(Check{Question: QuestionLeafSection, Severity: Warning, Field: PracticePath + RuleFrameWall, Where: PartIDs(PartLeafShut), At: geom.Point{X: in.width / 2, Y: l.trackOffset},
			What:        say("No hollow section has these sides with a wall of {0}: masses are of one with sharp corners.", mm(p.FrameWall)),
			Consequence: say("The merchant will not have it.")})
	}
	if between := leaf.Height*math.Cos(leaf.Slope) - (p.RailHeight + p.BottomRail); between > 0 {
		found.quietly(QuestionLeafRails, GateHeight, between, Length)
	} else {
		found.add(Check{Question: QuestionLeafRails, Severity: Stop, Field: GateHeight, Where: PartIDs(PartLeafShut), At: geom.Point{X: in.width / 2, Y: l.trackOffset},
			What: say("The rails alone are as high as the leaf of {0}.", mm(leaf.Height)), Consequence: say("There is no room for stiles between them.")})
	}
}

func (d *designed) checkWheels(found *findings) {
	p, plan := d.practice, d.plan
	if plan.unjudged(QuestionWheelsUnjudged) {
		return
	}
	leaf := &plan.Leaf
	least, stalled, most, panel, at := math.Inf(1), math.Inf(1), 0.0, 1, 0.0
	for i := range leaf.Panels {
		for _, w := range leaf.Panels[i].Wheels {
			most, stalled = math.Max(most, w.Most), math.Min(stalled, w.Stalled)
			if w.Least < least {
				least, panel, at = w.Least, leaf.Panels[i].Number, w.At
			}
		}
	}
	c := Check{Question: QuestionLeafWheels, Severity: Sound, Where: PartIDs(PartLeafShut), At: geom.Point{X: leaf.Panels[panel-1].ShutAt + at, Y: leaf.Panels[panel-1].TrackOffset},
		HasMargin: true, Margin: least, MarginOf: Force,
		What: say("Wheels carry between {0} and {1}, however the leaf is driven or pushed.", newton(least), newton(most))}
	if least <= 0 {
		c.Severity, c.Field = Stop, PracticePath+RuleLeafWheelInset
		c.What = say("A wheel lifts off the track: it is short of {0} to stay down.", newton(-least))
		c.Consequence = say("The leaf tips over its other wheel, and out of its guide.")
		c.Remedies = []Remedy{{Words: say("Set the wheels {0} from the ends of the leaf.", mm(p.WheelsOut)), Changes: []Change{{Path: PracticePath + RuleLeafWheelInset, Value: p.WheelsOut}}}}
	} else if stalled <= 0 {
		c.Severity, c.Margin, c.Field = Warning, stalled, PracticePath+RuleMotorThrust
		c.What = say("When the driven leaf meets something at the height of a hand and the motor pushes on with {0}, a wheel lifts off the track.", newton(p.MotorThrust))
		c.Consequence = say("The leaf tips in its guide. Limit the motor's force, and fit safety edges that stop it at once.")
	}
	found.add(c)
}

// checkUpright reports the proof of motion and what holds the leaf upright.
func (d *designed) checkUpright(found *findings) {
	in, p, l, plan := d.inputs, d.practice, d.layout, d.plan
	proof := &plan.Leaf.Proof
	at := geom.Point{X: proof.FewFrom, Y: l.trackOffset}
	c := Check{Question: QuestionMotionUpright, Severity: Sound, Where: PartIDs(PartLeafShut), At: at,
		What: say("At every point of the travel at least {0} parts hold the leaf upright.", number(float64(proof.LeastHolders)))}
	switch {
	case proof.LeastHolders == 1:
		c.Severity, c.Field = Warning, PracticePath+RuleGuideRollerSpacing
		c.What = say("With the leading edge between chainage {0} and {1} only one part holds the leaf upright.", mm(proof.FewFrom), mm(proof.FewTo))
		c.Consequence = say("If that part comes loose the leaf falls. People have been killed by falling gates.")
		if p.RollerSpacing < 1 {
			c.Remedies = []Remedy{{Words: say("Fit two pairs of rollers, {0} apart.", mm(p.RollerPairs)), Changes: []Change{{Path: PracticePath + RuleGuideRollerSpacing, Value: p.RollerPairs}}}}
		}
	case proof.LeastHolders < 1:
		c.Severity, c.Field = Stop, PracticePath+RuleLeafEngagement
		c.What = say("With the leading edge between chainage {0} and {1} nothing holds the leaf upright.", mm(proof.FewFrom), mm(proof.FewTo))
		c.Consequence = say("The leaf falls. People have been killed by falling gates.")
	}
	found.add(c)
	if in.latchStop {
		found.quiet(QuestionMotionLatchStop, GateLatchStop)
	} else {
		found.add(Check{Question: QuestionMotionLatchStop, Severity: Warning, Field: GateLatchStop, Where: PartIDs(PartLeafShut), At: geom.Point{Y: l.trackOffset},
			What:        say("No catch or stop at the latch post."),
			Consequence: say("A leaf that runs on past the post leaves its rollers and falls."),
			Remedies:    []Remedy{{Words: say("Fit a catch that stops and holds the leaf."), Changes: []Change{{Path: GateLatchStop, Words: Yes}}}}})
	}
	for i := range proof.Items {
		item := &proof.Items[i]
		q, field := proofQuestion(item.ID)
		if q == "" {
			continue // room, stops and what stands in the way have checks of their own
		}
		if item.Holds {
			found.quietly(q, field, item.Margin, Length)
			continue
		}
		short := -item.Margin
		k := Check{Question: q, Severity: Stop, Field: field, Where: PartIDs(PartLeafOpen), At: geom.Point{X: plan.Leaf.OpenAt, Y: l.trackOffset}, HasMargin: true, Margin: item.Margin, MarginOf: Length}
		switch q {
		case QuestionProofPinion:
			k.What = say("The pinion reaches past the end of the rack by {0}.", mm(short))
			k.Consequence = say("The motor turns and the leaf stands still.")
		case QuestionProofRollers, QuestionProofCarrier:
			k.What = say("The guide rail does not reach far enough into its rollers: {0} too short.", mm(short))
			k.Consequence = say("The leaf drops out of what holds it.")
		case QuestionProofWheels:
			k.What = say("A wheel runs {0} past the end of the track.", mm(short))
			k.Consequence = say("The leaf drops off its track.")
			if inset := math.Ceil(p.WheelInset + short); inset < plan.Leaf.Frame/2 {
				k.Remedies = []Remedy{{Words: say("Set the wheels {0} from the ends of the leaf.", mm(inset)), Changes: []Change{{Path: PracticePath + RuleLeafWheelInset, Value: inset}}}}
			}
		}
		found.add(k)
	}
	if proof.Agrees {
		found.quiet(QuestionProofDisagrees, "")
	} else {
		found.add(Check{Question: QuestionProofDisagrees, Severity: Stop, Where: PartIDs(PartLeafOpen), At: at,
			What:        say("Two ways of proving the motion do not agree: do not build from this plan, and report it."),
			Consequence: say("One of the two is wrong.")})
	}
}

// proofQuestion is the question of an item of the proof of motion and the field
// at which it stands; none for an item that has a check elsewhere.
func proofQuestion(item string) (q Question, field string) {
	switch item {
	case "pinion":
		return QuestionProofPinion, PracticePath + RuleLeafEngagement
	case "rollers":
		return QuestionProofRollers, PracticePath + RuleLeafEngagement
	case "carrier":
		return QuestionProofCarrier, PracticePath + RuleLeafEngagement
	case "wheels":
		return QuestionProofWheels, PracticePath + RuleLeafWheelInset
	}
	return "", ""
}

// checkGraded says what a grade does to the leaf.
func (d *designed) checkGraded(found *findings) {
	in, l, plan := d.inputs, d.layout, d.plan
	leaf := &plan.Leaf
	if math.Abs(leaf.Rise) < 1 {
		found.quiet(QuestionLeafRaked, GroundShape)
		return
	}
	raked := say("The leaf is raked, {0} higher at its rear end: stiles plumb, rails along the track, every end cut {1} off square.", mm(math.Abs(leaf.Rise)), rad(math.Abs(leaf.Slope)))
	if leaf.Rise < 0 {
		raked = say("The leaf is raked, {0} lower at its rear end: stiles plumb, rails along the track, every end cut {1} off square.", raked.Args...)
	}
	found.add(Check{Question: QuestionLeafRaked, Severity: Warning, Field: GroundShape, Where: PartIDs(PartLeafShut), At: geom.Point{X: in.width / 2, Y: l.trackOffset},
		What:        raked,
		Consequence: say("A square leaf on this track stands {0} open at one end, top or bottom.", mm(math.Abs(leaf.Rise)))})
}

// checkForces compares pulls with what a hand and the motor may be asked for.
func (d *designed) checkForces(found *findings) {
	in, p, l, plan := d.inputs, d.practice, d.layout, d.plan
	if plan.Leaf.Motion.Runaway {
		found.caution(Caution{Code: "runaway", Where: PartIDs(PartLeafShut, PartLeafOpen),
			Words: say("The track slopes so much that the leaf runs away when nothing holds it: chain or wedge it whenever motor or stop is off, and stand uphill of it.")})
	}
	if plan.unjudged(QuestionMotionUnjudged) {
		return
	}
	m := &plan.Leaf.Motion
	at := geom.Point{X: plan.Leaf.ShutAt, Y: l.trackOffset}
	hand := Check{Question: QuestionMotionHand, Severity: Sound, Where: PartIDs(PartLeafShut), At: at, HasMargin: true, Margin: p.HandForce - m.Hand, MarginOf: Force,
		What: say("By hand the leaf of {0} asks for {1}; {2} may be asked.", kilograms(plan.Leaf.Mass), newton(m.Hand), newton(p.HandForce))}
	if m.Hand > p.HandForce {
		hand.Severity, hand.Field = Warning, PracticePath+RuleMotionHandForce
		hand.What = say("By hand the leaf of {0} asks for {1}, more than the {2} that may be asked.", kilograms(plan.Leaf.Mass), newton(m.Hand), newton(p.HandForce))
		hand.Consequence = say("In a power cut one person cannot move it.")
		if !l.hasMotor {
			hand.Severity = Stop
			hand.Remedies = append(hand.Remedies, Remedy{Words: say("Drive it by a motor.")})
		}
		if in.infill != InfillMesh && in.infill != InfillOpen {
			hand.Remedies = append(hand.Remedies, Remedy{Words: say("Fill the frame with something lighter.")})
		}
		if in.metal == MetalSteel {
			hand.Remedies = append(hand.Remedies, Remedy{Words: say("Make the frame of aluminium."), Changes: []Change{{Path: GateMetal, Words: MetalAluminium}}})
		}
	}
	found.add(hand)
	if l.hasMotor {
		c := Check{Question: QuestionMotionThrust, Severity: Sound, Where: PartIDs(PartMotor), At: l.motor.middle(), HasMargin: true, Margin: p.MotorThrust - m.Thrust, MarginOf: Force,
			What: say("The motor is asked for {0}, margin included, and gives {1}.", newton(m.Thrust), newton(p.MotorThrust))}
		if m.Thrust > p.MotorThrust {
			c.Severity, c.Field = Stop, PracticePath+RuleMotorThrust
			c.What = say("The motor is asked for {0}, margin included, and gives {1}: too weak.", newton(m.Thrust), newton(p.MotorThrust))
			c.Consequence = say("It stalls on the way uphill, or its force limit must be set so high that it no longer protects anyone.")
			if want := math.Ceil(m.Thrust/p.ThrustStep) * p.ThrustStep; want <= ruleMost(RuleMotorThrust) {
				c.Remedies = []Remedy{{Words: say("Fit a motor of {0} or more.", newton(want)), Changes: []Change{{Path: PracticePath + RuleMotorThrust, Value: want}}}}
			}
		}
		found.add(c)
	}
	if !m.Runaway {
		found.quietly(QuestionMotionRunaway, GroundShape, m.Rolling-math.Abs(m.Downhill), Force)
	} else {
		rolls := "Released, the leaf rolls shut by itself and hits the stop at {0} a second."
		if m.Opens {
			rolls = "Released, the leaf rolls open by itself and hits the stop at {0} a second."
		}
		found.add(Check{Question: QuestionMotionRunaway, Severity: Warning, Field: GroundShape, Where: PartIDs(PartLeafOpen), At: at, HasMargin: true, Margin: m.Rolling - math.Abs(m.Downhill), MarginOf: Force,
			What:        say(rolls, mm(m.Speed)),
			Consequence: say("It has the weight of {0} behind it. Chain it before the motor is released.", kilograms(plan.Leaf.Mass))})
	}
}
