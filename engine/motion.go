package engine

import (
	"math"

	"pegpour/engine/motion"
)

// loads finds the wheel loads of the panel: standing, held on the grade at the
// rack or by hand; got up to speed or stopped by the motor either way; pushed by
// a hand either way; and, on its own, stalled: the motor's whole thrust against
// something in the way at the height of a hand. What a force has left beyond
// the weight's part along the track speeds the panel up, and its inertia acts at
// the centre of gravity.
//
// Chainages and plumb heights become places along and square to the track.
func (b *leafBuilder) loads() {
	panel, p := b.panel, b.p
	at := b.wheels()
	for i := range panel.Wheels {
		panel.Wheels[i] = WheelLoad{At: at[i], Least: math.Inf(1), Most: math.Inf(-1)}
	}
	weight := panel.Mass * motion.Gravity
	part := [1]motion.Part{{Mass: panel.Mass, At: panel.CentreAlong/b.cos + panel.CentreHeight*b.sin, Height: panel.CentreHeight * b.cos}}
	wheels := [2]float64{at[0] / b.cos, at[1] / b.cos}
	reckon := func(force, height, against float64) (motion.WheelLoads, error) {
		pushes := [2]motion.Push{{Force: force, Height: height * b.cos}, {Force: weight*b.sin - force, Height: against * b.cos}}
		return motion.Wheels(part[:], wheels[:], b.leaf.Slope, pushes[:])
	}
	see := func(force, height float64, standing bool) {
		r, err := reckon(force, height, panel.CentreHeight)
		for i := range panel.Wheels {
			w := &panel.Wheels[i]
			load := 0.0
			if err == nil {
				load = r.Loads[i]
			}
			if standing {
				w.Standing = load
			}
			w.Most, w.Least = math.Max(w.Most, load), math.Min(w.Least, load)
		}
	}
	see(weight*b.sin, b.holdHeight(), true)
	if panel.Driven {
		hurry := panel.Mass * p.MotorSpeed / 1000 / p.StartTime
		see(weight*b.sin+hurry, p.RackHeight, false)
		see(weight*b.sin-hurry, p.RackHeight, false)
	}
	see(p.HandForce, p.HandHeight, false)
	see(-p.HandForce, p.HandHeight, false)
	for i := range panel.Wheels {
		panel.Wheels[i].Stalled = panel.Wheels[i].Least
	}
	for _, thrust := range [2]float64{p.MotorThrust, -p.MotorThrust} {
		if r, err := reckon(thrust, p.RackHeight, p.HandHeight); err == nil && panel.Driven {
			for i := range panel.Wheels {
				panel.Wheels[i].Stalled = math.Min(panel.Wheels[i].Stalled, r.Loads[i])
			}
		}
	}
	panel.RollerPush = -weight * panel.CentreOffset / (p.LeafAbove + b.leaf.Height)
}

// holdHeight is the height at which a standing panel is held on a grade.
func (b *leafBuilder) holdHeight() float64 {
	if b.panel.Driven {
		return b.p.RackHeight
	}
	return b.p.HandHeight
}

// moveLeaf finds the forces of the motion, and proves the motion.
func (plan *Plan) moveLeaf(in *inputs, p *Practice, l *layout) {
	plan.Leaf.Motion = plan.forces(in, p, l)
	plan.proveMotion(in, p, l)
}

func (plan *Plan) forces(in *inputs, p *Practice, l *layout) MotionPlan {
	leaf := &plan.Leaf
	var m MotionPlan
	// What the panels together weigh at the one that is pushed: by virtual work
	// each panel's force counts by its travel over that panel's, its inertia by
	// the square of it.
	at := func(pushed int) (weighs, inertia float64) {
		travel := leaf.Panels[pushed-1].Travel
		for i := range leaf.Panels {
			panel := &leaf.Panels[i]
			ratio := 1.0
			if travel > 0 && i != pushed-1 {
				ratio = panel.Travel / travel
			}
			weighs += panel.Mass * ratio
			inertia += panel.Mass * ratio * ratio
		}
		return weighs, inertia
	}
	roll := func(mass float64) (motion.Roll, motion.Pull) {
		r := motion.Roll{Mass: mass, Grade: leaf.Slope, Resistance: p.Rolling, Start: p.StartFactor}
		pull, _ := r.Pull()
		return r, pull
	}
	byHand, _ := at(1)
	first, hand := roll(byHand)
	m.Hand, m.Runaway, m.Opens = hand.Greatest, hand.Runaway, hand.GradeForce < 0
	m.Speed, _ = first.RunawaySpeed(leaf.Travel)
	pushed := 1
	if l.hasMotor {
		pushed = drivenPanel(in, l)
	}
	weighs, inertia := at(pushed)
	_, pull := roll(weighs)
	m.Rolling, m.Downhill, m.Opening, m.Shutting = pull.RollForce, pull.GradeForce, pull.Forward, pull.Backward
	if l.hasMotor {
		m.Start, _ = motion.Roll{Mass: inertia, Grade: leaf.Slope, Resistance: p.Rolling, Start: p.StartFactor}.Accelerating(p.MotorSpeed, p.StartTime)
		m.Pull = math.Max(pull.Greatest, math.Max(pull.Forward, pull.Backward)+m.Start)
		m.Thrust = p.MotorMargin * m.Pull
	}
	return m
}
