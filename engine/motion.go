package engine

import (
	"cmp"
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
// What a formula refuses is the error, and no load stands for it.
func (b *leafBuilder) loads() error {
	panel, p := b.panel, b.p
	at := b.wheels()
	wheel := [2]plan.WheelLoad{}
	for i := range wheel {
		wheel[i] = plan.WheelLoad{At: at[i], Least: math.Inf(1), Most: math.Inf(-1)}
		panel.Wheels[i] = plan.WheelLoad{At: at[i]}
	}
	along := panel.Mass * motion.Gravity * b.sin // the weight's part along the track
	carriage := motion.Carriage{Mass: panel.Mass, At: panel.CentreAlong, Height: panel.CentreHeight, Wheels: at,
		Grade: b.leaf.Slope}
	var refused error
	load := func(force, height float64, standing bool) {
		r, err := carriage.Pushed(force, height, panel.CentreHeight)
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
	load(along, b.holdHeight(), true)
	if panel.Driven {
		starting, err := rollOf(panel.Mass, b.leaf, p).Accelerating(p.MotorSpeed, p.StartTime)
		if err != nil {
			refused = err
		}
		load(along+starting, p.RackHeight, false)
		load(along-starting, p.RackHeight, false)
	}
	load(p.HandForce, p.HandHeight, false)
	load(-p.HandForce, p.HandHeight, false)
	for i := range wheel {
		wheel[i].Stalled = wheel[i].Least
	}
	if panel.Driven {
		for _, thrust := range [2]float64{p.MotorThrust, -p.MotorThrust} {
			r, err := carriage.Pushed(thrust, p.RackHeight, p.HandHeight)
			if err != nil {
				refused = err
				continue
			}
			for i := range wheel {
				wheel[i].Stalled = math.Min(wheel[i].Stalled, r.Loads[i])
			}
		}
	}
	if refused == nil {
		panel.Wheels = wheel
	}
	push, err := motion.UprightPush(panel.Mass, panel.CentreOffset, p.LeafAbove+b.leaf.Height)
	panel.RollerPush = push
	return cmp.Or(refused, err)
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
	return m, plan.AppendRefusal(nil, plan.QuestionMotionUnjudged, plan.Stop, "The forces that move the leaf", err,
		practice.PracticePath+practice.RuleMotionRolling)
}

// rollOf is a mass on the track of a leaf.
func rollOf(mass float64, leaf *plan.Leaf, p *practice.Practice) motion.Roll {
	return motion.Roll{Mass: mass, Grade: leaf.Slope, Resistance: p.Rolling, Start: p.StartFactor}
}

// leastTravel is what a panel that is pushed must travel for the others to be
// geared to it, mm: less is none.
const leastTravel = 1

// feltAt is the mass of all panels that is felt at the one of a number. Where
// that one has no way to travel all are felt as one piece.
func feltAt(number int, leaf *plan.Leaf) (motion.Felt, error) {
	var room [motion.MaxGeared]motion.Geared
	geared := room[:0]
	for i := range leaf.Panels {
		panel := &leaf.Panels[i]
		geared = append(geared, motion.Geared{Mass: panel.Mass, Travel: panel.Travel})
	}
	if leaf.Panels[number-1].Travel < leastTravel {
		for i := range geared {
			geared[i].Travel = leastTravel
		}
	}
	return motion.FeltAt(number-1, geared)
}

func forces(in *inputs, p *practice.Practice, hasMotor bool, leaf *plan.Leaf) (m plan.Motion, err error) {
	byHand, err := feltAt(1, leaf)
	if err != nil {
		return m, err
	}
	first := rollOf(byHand.Weighs, leaf, p)
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
	felt, err := feltAt(pushed, leaf)
	if err != nil {
		return m, err
	}
	pull, err := rollOf(felt.Weighs, leaf, p).Pull()
	if err != nil {
		return m, err
	}
	m.Rolling, m.Downhill, m.Opening, m.Shutting = pull.RollForce, pull.GradeForce, pull.Forward, pull.Backward
	if hasMotor {
		if m.Start, err = rollOf(felt.Inertia, leaf, p).Accelerating(p.MotorSpeed, p.StartTime); err != nil {
			return m, err
		}
		m.Pull = math.Max(pull.Greatest, math.Max(pull.Forward, pull.Backward)+m.Start)
		m.Thrust = p.MotorMargin * m.Pull
	}
	return m, nil
}
