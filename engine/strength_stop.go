package engine

import "math"

// motorAnchors finds what the motor's anchors must hold under its thrust at the
// pinion.
func motorAnchors(p *Practice) (AnchorDemand, []Refusal) {
	d, err := anchorDemand(p, p.MotorLength, p.MotorWidth, p.MotorAnchors, p.MotorThrust*p.PinionUsual, p.MotorThrust)
	if err != nil {
		return AnchorDemand{}, notLookedAt("The motor's anchors", err, "practice.motor.length")
	}
	return d, nil
}

// loadOfStop finds what the hard stop must take, and each of its anchors, N.
//
// A buffer that gives way evenly brings a mass m at a speed v to rest over d
// with at most F = m·v²/d, twice the mean; a motor goes on pushing. The leaf
// comes at the greater of the motor's speed and that of its running away; with
// neither it is pushed by hand.
func loadOfStop(p *Practice, leaf *LeafPlan, motor bool) (load, shear float64) {
	thrust, speed := 0.0, 0.0
	if motor {
		thrust, speed = p.MotorThrust, p.MotorSpeed
	}
	if m := &leaf.Motion; m.Runaway && m.Opens {
		speed = math.Max(speed, m.Speed)
	}
	if speed == 0 {
		speed = p.HandSpeed
	}
	metres := speed / 1000
	load = leaf.Mass*metres*metres/(p.StopBuffer/1000) + thrust
	return load, load / math.Max(1, p.StopAnchors)
}
