package engine

import (
	"math"

	"pegpour/engine/geom"
	"pegpour/engine/motion"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// checkRunaway says whether the leaf rolls by itself once nothing holds it: on the
// grade of the track, at the low end of its rolling, without what it takes to set
// off.
func (d *designed) checkRunaway(found *findings) {
	in, p, l, made := d.Inputs, d.Practice, d.Layout, d.Plan
	m := &made.Leaf.Motion
	low, _ := p.RollingEnds()
	slope := math.Abs(math.Tan(made.Leaf.Slope))
	c := plan.Check{Question: plan.QuestionMotionRunaway, Severity: plan.Sound, Field: survey.GroundShape,
		Where: plan.PartIDs(plan.PartLeafOpen), At: geom.Point{X: made.Leaf.ShutAt, Y: l.TrackOffset}, HasMargin: true,
		Margin: low - slope, MarginOf: text.Grade}
	switch {
	case m.Runaway:
		found.caution(plan.Caution{Code: "runaway", Where: plan.PartIDs(plan.PartLeafShut, plan.PartLeafOpen),
			Words: text.Say("On this slope the leaf can run away when nothing holds it: chain or wedge it whenever motor or stop is off, and stand uphill of it.")})
		c.Severity = plan.Warning
		c.Consequence = text.Say("It has the weight of {0} behind it. Chain it before the motor is released.",
			text.Kilograms(made.Leaf.Mass))
		rolls, stopped := "Released, the leaf can roll shut by itself: the track slopes {0}, and on a clean one {1} is enough. It then meets the stop at {2} a second; {3} hold it.", in.StopsShut()
		if m.Opens {
			rolls, stopped = "Released, the leaf can roll open by itself: the track slopes {0}, and on a clean one {1} is enough. It then meets the stop at {2} a second; {3} hold it.", in.HardStop
		}
		if !stopped {
			c.Severity = plan.Stop
			rolls = "Released, the leaf can roll away by itself: the track slopes {0}, and on a clean one {1} is enough. It comes to the end of its travel at {2} a second, where no stop is fitted; {3} hold it."
		}
		c.What = text.Say(rolls, text.Percent(slope), text.Percent(low), text.MM(m.Speed), text.Newtons(m.Held))
		if made.Unjudged(plan.QuestionMotionUnjudged) {
			c.What = text.Say("Released, the leaf can roll away by itself: the track slopes {0}, and on a clean one {1} is enough.",
				text.Percent(slope), text.Percent(low))
		}
	case !made.HangsFree() && made.Ground != nil && made.Ground.Known() && made.Ground.Track.GradeKnown:
		c.What = text.Say("Released, the leaf stays where it is: the track slopes {0}, and it takes more than {1} for it to roll.",
			text.Percent(slope), text.Percent(low))
	default:
		found.quietly(c.Question, c.Field, c.Margin, c.MarginOf)
		return
	}
	found.add(c)
}

// checkForces compares pulls with what a hand and the motor may be asked for.
func (d *designed) checkForces(found *findings) {
	p, l, made := d.Practice, d.Layout, d.Plan
	if made.Unjudged(plan.QuestionMotionUnjudged) {
		return
	}
	d.checkHand(found)
	if !l.HasMotor {
		return
	}
	m := &made.Leaf.Motion
	asked := []text.Arg{text.Newtons(m.ThrustStill), text.Newtons(m.Thrust), text.Pascals(p.WindMoving),
		text.Newtons(p.MotorThrust)}
	c := plan.Check{Question: plan.QuestionMotionThrust, Severity: plan.Sound, Where: plan.PartIDs(plan.PartMotor),
		At: l.Motor.Middle(), HasMargin: true, Margin: p.MotorThrust - m.Thrust, MarginOf: text.Force,
		What: text.Say("The motor is asked for {0} in still air and {1} in wind of {2}, margin included, and gives {3}. In more wind it is not run.", asked...)}
	if m.Thrust > p.MotorThrust {
		c.Severity, c.Field = plan.Warning, practice.PracticePath+practice.RuleMotorThrust
		c.What = text.Say("The motor is asked for {0} in still air and {1} in wind of {2}, margin included, and gives {3}: too weak for the wind.", asked...)
		c.Consequence = text.Say("It stalls in the wind. Run it in less, or its force limit must be set higher.")
		if m.ThrustStill > p.MotorThrust {
			c.Severity = plan.Stop
			c.What = text.Say("The motor is asked for {0} in still air and {1} in wind of {2}, margin included, and gives {3}: too weak.", asked...)
			c.Consequence = text.Say(
				"It stalls, or its force limit must be set so high that it no longer protects anyone.")
			if m.Runaway {
				c.Consequence = text.Say(
					"It stalls on the way uphill, or its force limit must be set so high that it no longer protects anyone.")
			}
		}
		if want := math.Ceil(m.Thrust/p.ThrustStep) * p.ThrustStep; want <= practice.MostOf(practice.RuleMotorThrust) {
			c.Remedies = []plan.Remedy{{Words: text.Say("Fit a motor of {0} or more.", text.Newtons(want)),
				Changes: []plan.Change{{Path: practice.PracticePath + practice.RuleMotorThrust, Value: want}}}}
		}
	}
	found.add(c)
	d.checkClosing(found)
}

// checkHand compares what the leaf asks of a hand with what a hand may be asked
// for: less where it is always moved by hand than where only a power cut makes it
// so.
func (d *designed) checkHand(found *findings) {
	in, p, l, made := d.Inputs, d.Practice, d.Layout, d.Plan
	m := &made.Leaf.Motion
	most, rule := p.HandForce, practice.RuleMotionHandForce
	if l.HasMotor {
		most, rule = max(most, p.ReleasedForce), practice.RuleMotionReleasedForce
	}
	asked := []text.Arg{text.Kilograms(made.Leaf.Mass), text.Newtons(m.HandStill), text.Newtons(m.Hand),
		text.Pascals(p.WindMoving), text.Newtons(most)}
	hand := plan.Check{Question: plan.QuestionMotionHand, Severity: plan.Sound, Where: plan.PartIDs(plan.PartLeafShut),
		At: geom.Point{X: made.Leaf.ShutAt, Y: l.TrackOffset}, HasMargin: true, Margin: most - m.Hand, MarginOf: text.Force,
		What: text.Say("By hand the leaf of {0} asks for {1} in still air and {2} in wind of {3}; {4} may be asked.", asked...)}
	if m.Hand > most {
		hand.Severity, hand.Field = plan.Warning, practice.PracticePath+rule
		hand.What = text.Say("By hand the leaf of {0} asks for {1} in still air and {2} in wind of {3}, more than the {4} that may be asked.", asked...)
		hand.Consequence = text.Say("In such wind one person cannot move it.")
		if m.HandStill > most {
			hand.Consequence = text.Say("In a power cut one person cannot move it.")
			if !l.HasMotor {
				hand.Severity = plan.Stop
			}
		}
		if !l.HasMotor {
			hand.Remedies = append(hand.Remedies, plan.Remedy{Words: text.Say("Drive it by a motor.")})
		}
		if in.Infill != survey.InfillMesh && in.Infill != survey.InfillOpen {
			hand.Remedies = append(hand.Remedies, plan.Remedy{Words: text.Say("Fill the frame with something lighter.")})
		}
		if in.Metal == survey.MetalSteel {
			hand.Remedies = append(hand.Remedies,
				plan.Remedy{Words: text.Say("Make the frame of aluminium."),
					Changes: []plan.Change{{Path: survey.GateMetal, Words: survey.MetalAluminium}}})
		}
	}
	found.add(hand)
}

// checkClosing compares what the leaf does to who stands in its way with what may
// be done to a person. No calculation shows that a gate is safe: where it is above,
// the check says what is then needed, and who decides.
func (d *designed) checkClosing(found *findings) {
	made := d.Plan
	m := &made.Leaf.Motion
	margin := min(motion.ClosingForcePeak-m.StalledPeak, motion.ClosingForceRest-m.Stalled)
	c := plan.Check{Question: plan.QuestionMotionClosing, Severity: plan.Sound, Where: plan.PartIDs(plan.PartLeafShut),
		Field: practice.PracticePath + practice.RuleMotorThrust,
		At:    geom.Point{X: made.Leaf.ShutAt, Y: d.Layout.TrackOffset}, HasMargin: true, Margin: margin, MarginOf: text.Force,
		What: text.Say("The driven leaf hits what stands in its way with {0} and then pushes with {1}; a person may bear {2} at the first and {3} from {4} seconds on. It must be measured before handing over.",
			closingArgs(m)...)}
	if margin < 0 {
		c.Severity = plan.Warning
		c.What = text.Say("The driven leaf hits what stands in its way with {0} and then pushes with {1}; a person may bear {2} at the first and {3} from {4} seconds on.",
			closingArgs(m)...)
		c.Consequence = text.Say(
			"It crushes. A drive whose force is limited, safety edges on both ends that give way by {0} or more and stop it at once, and light beams are needed; who is licensed for it chooses them by EN 12453 or the local standard, and measures the forces before handing over.",
			text.MM(m.EdgeWay))
	}
	found.add(c)
}

func closingArgs(m *plan.Motion) []text.Arg {
	return []text.Arg{text.Newtons(m.StalledPeak), text.Newtons(m.Stalled), text.Newtons(motion.ClosingForcePeak),
		text.Newtons(motion.ClosingForceRest), text.Plain(motion.ClosingForceSeconds)}
}
