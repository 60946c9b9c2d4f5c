package engine

import (
	"math"

	"pegpour/engine/motion"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
)

// loads finds the wheel loads of the panel: standing, held on the grade at the
// rack or by hand; got up to speed or stopped by the motor either way; pushed by
// a hand either way; and, on its own, stalled: the motor's whole thrust against
// something in the way at the height of a hand. What a force has left beyond
// the weight's part along the track speeds the panel up, and its inertia acts at
// the centre of gravity.
//
// Chainages and plumb heights become places along and square to the track. What
// a formula refuses is the error, and no load stands for it.
func (b *leafBuilder) loads() error {
	panel, p := b.panel, b.p
	at := b.wheels()
	wheel := [2]plan.WheelLoad{}
	for i := range wheel {
		wheel[i] = plan.WheelLoad{At: at[i], Least: math.Inf(1), Most: math.Inf(-1)}
		panel.Wheels[i] = plan.WheelLoad{At: at[i]}
	}
	weight := panel.Mass * motion.Gravity
	part := [1]motion.Part{{Mass: panel.Mass, At: panel.CentreAlong/b.cos + panel.CentreHeight*b.sin, Height: panel.CentreHeight * b.cos}}
	wheels := [2]float64{at[0] / b.cos, at[1] / b.cos}
	loadsUnder := func(force, height, against float64) (motion.WheelLoads, error) {
		pushes := [2]motion.Push{{Force: force, Height: height * b.cos}, {Force: weight*b.sin - force, Height: against * b.cos}}
		return motion.Wheels(part[:], wheels[:], b.leaf.Slope, pushes[:])
	}
	var refused error
	load := func(force, height float64, standing bool) {
		r, err := loadsUnder(force, height, panel.CentreHeight)
		if err != nil {
			refused = err
			return
		}
		for i := range wheel {
			w, load := &wheel[i], r.Loads[i]
			if standing {
				w.Standing = load
			}
			w.Most, w.Least = math.Max(w.Most, load), math.Min(w.Least, load)
		}
	}
	load(weight*b.sin, b.holdHeight(), true)
	if panel.Driven {
		hurry := panel.Mass * p.MotorSpeed / 1000 / p.StartTime
		load(weight*b.sin+hurry, p.RackHeight, false)
		load(weight*b.sin-hurry, p.RackHeight, false)
	}
	load(p.HandForce, p.HandHeight, false)
	load(-p.HandForce, p.HandHeight, false)
	for i := range wheel {
		wheel[i].Stalled = wheel[i].Least
	}
	if panel.Driven {
		for _, thrust := range [2]float64{p.MotorThrust, -p.MotorThrust} {
			r, err := loadsUnder(thrust, p.RackHeight, p.HandHeight)
			if err != nil {
				refused = err
				continue
			}
			for i := range wheel {
				wheel[i].Stalled = math.Min(wheel[i].Stalled, r.Loads[i])
			}
		}
	}
	panel.RollerPush = -weight * panel.CentreOffset / (p.LeafAbove + b.leaf.Height)
	if refused == nil {
		panel.Wheels = wheel
	}
	return refused
}

// holdHeight is the height at which a standing panel is held on a grade.
func (b *leafBuilder) holdHeight() float64 {
	if b.panel.Driven {
		return b.p.RackHeight
	}
	return b.p.HandHeight
}

// forcesOf finds the forces that it takes to move the leaf. Where a formula
// refuses them there are none, and a refusal says so; that the leaf runs away is
// said nonetheless.
func forcesOf(in *inputs, p *practice.Practice, hasMotor bool, leaf *plan.Leaf) (plan.Motion, []plan.Refusal) {
	m, err := forces(in, p, hasMotor, leaf)
	if err != nil {
		m = plan.Motion{Runaway: m.Runaway, Opens: m.Opens}
	}
	return m, plan.AppendRefusal(nil, plan.QuestionMotionUnjudged, plan.Stop, "The forces that move the leaf", err, practice.PracticePath+practice.RuleMotionRolling)
}

func forces(in *inputs, p *practice.Practice, hasMotor bool, leaf *plan.Leaf) (m plan.Motion, err error) {
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
	roll := func(mass float64) motion.Roll {
		return motion.Roll{Mass: mass, Grade: leaf.Slope, Resistance: p.Rolling, Start: p.StartFactor}
	}
	byHand, _ := at(1)
	first := roll(byHand)
	hand, err := first.Pull()
	if err != nil {
		return m, err
	}
	m.Hand, m.Runaway, m.Opens = hand.Greatest, hand.Runaway, hand.GradeForce < 0
	if m.Runaway {
		// A leaf that cannot travel has no way on which to run away.
		if m.Speed, err = first.RunawaySpeed(math.Max(0, leaf.Travel)); err != nil {
			return m, err
		}
	}
	pushed := 1
	if hasMotor {
		pushed = drivenPanel(in)
	}
	weighs, inertia := at(pushed)
	pull, err := roll(weighs).Pull()
	if err != nil {
		return m, err
	}
	m.Rolling, m.Downhill, m.Opening, m.Shutting = pull.RollForce, pull.GradeForce, pull.Forward, pull.Backward
	if hasMotor {
		if m.Start, err = roll(inertia).Accelerating(p.MotorSpeed, p.StartTime); err != nil {
			return m, err
		}
		m.Pull = math.Max(pull.Greatest, math.Max(pull.Forward, pull.Backward)+m.Start)
		m.Thrust = p.MotorMargin * m.Pull
	}
	return m, nil
}
