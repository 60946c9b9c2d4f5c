package stages

import (
	"cmp"
	"math"

	"pegpour/engine/motion"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/refusal"
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
	if b.in.Hangs {
		var err error
		panel.RollerPush, err = motion.UprightPush(panel.Mass, panel.CentreOffset, p.LeafAbove+b.leaf.Height)
		return err
	}
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
			w.Most, w.Least = max(w.Most, load), min(w.Least, load)
		}
	}
	load(along, b.holdHeight(), true)
	if panel.Driven {
		starting, err := motion.Roll{Mass: panel.Mass, Start: 1}.Accelerating(p.MotorSpeed, p.StartTime)
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
				wheel[i].Stalled = min(wheel[i].Stalled, r.Loads[i])
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

// ForcesOf finds the forces that it takes to move the leaf. Where a formula
// refuses them there are none, and a refusal says so; that the leaf runs away is
// said nonetheless.
func ForcesOf(in *Inputs, p *practice.Practice, hasMotor bool, leaf *plan.Leaf, blown *LeafWind) (plan.Motion,
	[]plan.Refusal) {
	m, err := forces(in, p, hasMotor, leaf, blown)
	if err != nil {
		m = plan.Motion{Runaway: m.Runaway, Opens: m.Opens}
	}
	return m, plan.AppendRefusal(nil, plan.QuestionMotionUnjudged, plan.Stop, "The forces that move the leaf", err,
		practice.PracticePath+practice.RuleMotionRolling)
}

// rollOf is what is felt of a leaf on its track, by a rolling resistance.
func rollOf(felt motion.Felt, leaf *plan.Leaf, resistance float64, p *practice.Practice) motion.Roll {
	return motion.Roll{Mass: felt.Weighs, Inertia: felt.Inertia, Grade: leaf.Slope, Resistance: resistance,
		Start: p.StartFactor}
}

// leastTravel is what a panel that is pushed must travel for the others to be
// geared to it, mm: less is none.
const leastTravel = 1

// travels are how far each panel goes, mm, for what is felt at the one of a
// number. Where that one has no way to travel all go as one piece.
func travels(number int, leaf *plan.Leaf) (ways [motion.MaxGeared]float64) {
	for i := range leaf.Panels {
		ways[i] = leaf.Panels[i].Travel
		if leaf.Panels[number-1].Travel < leastTravel {
			ways[i] = leastTravel
		}
	}
	return ways
}

// feltAt is the mass of all panels that is felt at the one of a number.
func feltAt(number int, leaf *plan.Leaf) (motion.Felt, error) {
	var room [motion.MaxGeared]motion.Geared
	geared := room[:0]
	ways := travels(number, leaf)
	for i := range leaf.Panels {
		geared = append(geared, motion.Geared{Mass: leaf.Panels[i].Mass, Travel: ways[i]})
	}
	return motion.FeltAt(number-1, geared)
}

// rubbing finds what the guide rollers rub with at the first panel while the leaf
// is moved, N: in still air, where only the leaf's own lean presses on them, and
// in the wind in which it is still moved.
//
//	F = μ·N·(Σ s_i/n)/s_1
//
// N is the push on the rollers at the run-back post. They hold the last panel and
// see it pass by its whole travel. Of n equal panels each one's rollers on the
// next take their part of N, i/n, and see the difference of two travels pass; by
// virtual work the sum of all is N over the mean of the travels.
func rubbing(p *practice.Practice, leaf *plan.Leaf, blown *LeafWind) (still, windy float64, err error) {
	switch {
	case blown.err != nil:
		return 0, 0, refusedWind
	case blown.push == nil:
		return 0, 0, nil
	}
	lean, way := 0.0, 0.0
	ways := travels(1, leaf)
	for i := range leaf.Panels {
		lean += math.Abs(leaf.Panels[i].RollerPush)
		way += ways[i] / float64(len(leaf.Panels))
	}
	over := p.GuideFriction * way / ways[0]
	return over * lean, over * (lean + math.Abs(blown.push.Moving)), nil
}

// refusedWind says that what the rollers rub with is not known.
const refusedWind = refusal.Error("the wind on the leaf is not known")

func forces(in *Inputs, p *practice.Practice, hasMotor bool, leaf *plan.Leaf, blown *LeafWind) (m plan.Motion,
	err error) {
	low, high := p.RollingEnds()
	m.Runaway, m.Opens = math.Abs(math.Tan(leaf.Slope)) > low, leaf.Slope < 0
	byHand, err := feltAt(1, leaf)
	if err != nil {
		return m, err
	}
	// Released: at the low end, and without the start, since a knock sets it going.
	free, err := rollOf(byHand, leaf, low, p).Pull()
	if err != nil {
		return m, err
	}
	m.Runaway, m.Held = free.Runaway, free.Holding
	if m.Runaway {
		// A leaf that cannot travel has no way on which to run away.
		if m.Speed, err = rollOf(byHand, leaf, low, p).RunawaySpeed(max(0, leaf.Travel)); err != nil {
			return m, err
		}
	}
	// Moved: at the high end, against what the rollers rub with.
	still, windy, err := rubbing(p, leaf, blown)
	if err != nil {
		return m, err
	}
	high *= leaf.Hanging.Presses()
	pushed := rollOf(byHand, leaf, high, p)
	pushed.Side = still
	hand, err := pushed.Pull()
	if err != nil {
		return m, err
	}
	m.HandStill = hand.Greatest
	m.Hand = m.HandStill + windy - still
	at := 1
	if hasMotor {
		at = DrivenPanel(in)
	}
	felt, err := feltAt(at, leaf)
	if err != nil {
		return m, err
	}
	driven := rollOf(felt, leaf, high, p)
	driven.Side = windy * Geared(leaf, 1, at)
	pull, err := driven.Pull()
	if err != nil {
		return m, err
	}
	m.Rolling, m.RollingLow, m.Rubbing = pull.RollForce, pull.RollForce*low/high, pull.Side
	m.Downhill, m.Opening, m.Shutting = pull.GradeForce, pull.Forward, pull.Backward
	if hasMotor {
		if m.Start, err = driven.Accelerating(p.MotorSpeed, p.StartTime); err != nil {
			return m, err
		}
		m.Pull = max(pull.Greatest, max(pull.Forward, pull.Backward)+m.Start)
		m.Thrust = p.MotorMargin * m.Pull
		m.ThrustStill = p.MotorMargin * (m.Pull - (windy-still)*Geared(leaf, 1, at))
		err = closing(in, p, leaf, &m)
	}
	return m, err
}

// Geared is how far one panel goes over another, by their numbers.
func Geared(leaf *plan.Leaf, one, over int) float64 {
	ways := travels(over, leaf)
	return ways[one-1] / ways[over-1]
}

// closing finds what the motor does at the closing edges, those of the first
// panel: it pushes on with its thrust, and with what the grade adds, and before
// that the leaf's own pace is stopped by what is in the way. That is measured on
// a spring of a given stiffness; an edge that stops the motor, whose force is then
// limited to what may remain, must give way far enough for the rest.
func closing(in *Inputs, p *practice.Practice, leaf *plan.Leaf, m *plan.Motion) error {
	met, err := meeting(in, p, leaf, 1)
	if err != nil {
		return err
	}
	met.Drive += m.Held
	m.Stalled = met.Drive
	stopped, err := met.Springy(motion.ClosingGauge)
	if err != nil {
		return err
	}
	m.StalledPeak = stopped.Peak
	met.Drive = motion.ClosingForceRest
	m.EdgeWay, err = met.GivingWay(motion.ClosingForcePeak)
	return err
}

// meeting is the whole leaf as it runs onto something with the panel of a number,
// at the motor's speed and with its thrust behind it.
func meeting(in *Inputs, p *practice.Practice, leaf *plan.Leaf, number int) (motion.Impact, error) {
	felt, err := feltAt(number, leaf)
	over := Geared(leaf, number, DrivenPanel(in))
	return motion.Impact{Mass: felt.Inertia, Speed: p.MotorSpeed * over, Drive: p.MotorThrust / over}, err
}
