package engine

import (
	"math"

	"pegpour/engine/motion"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
)

// motorAnchors finds what the motor's anchors must hold under its thrust at the
// pinion.
func motorAnchors(p *practice.Practice) (plan.AnchorDemand, []plan.Refusal) {
	d, err := anchorDemand(p, p.MotorLength, p.MotorWidth, p.MotorAnchors, p.MotorThrust*p.PinionUsual, p.MotorThrust)
	if err != nil {
		return plan.AnchorDemand{}, notLookedAt("The motor's anchors", err, practice.PracticePath+practice.RuleMotorLength)
	}
	return d, nil
}

// loadOfStop finds what the hard stop must take, and each of its anchors, N. A
// motor goes on pushing. The leaf comes at the greater of the motor's speed and
// that of its running away; with neither it is pushed by hand.
func loadOfStop(p *practice.Practice, leaf *plan.Leaf, motor bool) (load, shear float64, refused []plan.Refusal) {
	at := motion.Impact{Mass: leaf.Mass}
	if motor {
		at.Drive, at.Speed = p.MotorThrust, p.MotorSpeed
	}
	if m := &leaf.Motion; m.Runaway && m.Opens {
		at.Speed = math.Max(at.Speed, m.Speed)
	}
	if at.Speed == 0 {
		at.Speed = p.HandSpeed
	}
	load, err := at.Buffered(p.StopBuffer)
	if err != nil {
		return 0, 0, notLookedAt("The hard stop", err, practice.PracticePath+practice.RuleStopBuffer)
	}
	return load, load / p.StopAnchors, nil
}
