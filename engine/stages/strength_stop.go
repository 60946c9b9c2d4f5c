package stages

import (
	"math"

	"pegpour/engine/motion"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/refusal"
)

// PinionHigh is the highest that the pinion may stand above the concrete, mm.
func PinionHigh(p *practice.Practice) float64 {
	return max(max(p.PinionLeast, p.PinionUsual), p.PinionMost) + p.MotorPacker
}

// motorAnchors finds what the motor's anchors must hold under its thrust at the
// pinion, screwed up as high as it goes.
func motorAnchors(p *practice.Practice) (plan.AnchorDemand, []plan.Refusal) {
	d, err := anchorDemand(p, p.MotorLength, p.MotorWidth, p.MotorAnchors, p.MotorThrust*PinionHigh(p), p.MotorThrust)
	if err != nil {
		return plan.AnchorDemand{}, notLookedAt("The motor's anchors", err, practice.PracticePath+practice.RuleMotorLength)
	}
	return d, nil
}

// Impacts finds what each stop that is fitted takes, of everything that can bring
// the leaf to it: the motor, pushing on; the grade, from the far end of the
// travel, at the low end of rolling; where there is no motor, a hand that pushes
// on, and the grade after a push. What a motor holds back it does not let run, so
// that it comes at its own speed also downhill.
//
// The stop gives way by its buffer as a linear spring does. Of panels that are
// linked the whole leaf is behind the one that meets the stop.
func Impacts(in *Inputs, p *practice.Practice, leaf *plan.Leaf, motor bool) ([]plan.Impact, []plan.Refusal) {
	var list []plan.Impact
	for _, stop := range [2]plan.MeetsStop{plan.StopShut, plan.StopOpen} {
		if stop == plan.StopShut && !in.StopsShut() || stop == plan.StopOpen && !in.HardStop {
			continue
		}
		met, err := impactsOn(stop, in, p, leaf, motor)
		if err != nil {
			return nil, notLookedAt("The leaf at its stops", err, practice.PracticePath+practice.RuleStopBuffer)
		}
		list = append(list, met...)
	}
	return list, nil
}

func impactsOn(stop plan.MeetsStop, in *Inputs, p *practice.Practice, leaf *plan.Leaf, motor bool) ([]plan.Impact,
	error) {
	low, _ := p.RollingEnds()
	number := meetsStop(stop, leaf)
	felt, err := feltAt(number, leaf)
	if err != nil {
		return nil, err
	}
	roll := rollOf(felt, leaf, low, p)
	pull, err := roll.Pull()
	if err != nil {
		return nil, err
	}
	pushedOn, run := 0.0, 0.0 // what the grade adds, and the speed it gives
	if leaf.Slope < 0 == (stop == plan.StopOpen) {
		pushedOn = pull.Holding
		if run, err = roll.RunawaySpeed(max(0, leaf.Panels[number-1].Travel)); err != nil {
			return nil, err
		}
	}
	top := p.LeafAbove + leaf.Height
	first := plan.Impact{Stop: stop, Panel: number, Height: min(p.StopHeight, top)}
	if stop == plan.StopShut {
		first.Height = min(p.HandHeight, top)
		if in.Meets {
			first.Height = min(p.PairStopHeight, top)
		}
	}
	var list []plan.Impact
	add := func(by plan.ImpactBy, speed, drive float64, at motion.Push) {
		hit := first
		hit.By, hit.Speed, hit.Drive = by, speed, drive
		if e := meet(&hit, felt, p, leaf, at); e != nil && err == nil {
			err = e
		}
		list = append(list, hit)
	}
	pushedOff := 0.0
	if motor {
		over := Geared(leaf, number, DrivenPanel(in))
		thrust := p.MotorThrust / over
		at := motion.Push{}
		if leaf.Panels[number-1].Driven {
			at = motion.Push{Force: thrust, Height: p.RackHeight}
		}
		add(plan.ByMotor, p.MotorSpeed*over, thrust+pushedOn, at)
	} else {
		over := Geared(leaf, number, 1)
		pushedOff = p.HandSpeed * over
		hand := p.HandForce / over
		add(plan.ByHand, pushedOff, hand+pushedOn, motion.Push{Force: hand, Height: p.HandHeight})
	}
	if run > 0 {
		add(plan.ByGrade, math.Hypot(run, pushedOff), pushedOn, motion.Push{})
	}
	return list, err
}

// meetsStop is the number of the panel that meets a stop: the first at the latch
// post, in the run-back the one that reaches farthest, of equals the slowest.
func meetsStop(stop plan.MeetsStop, leaf *plan.Leaf) int {
	number, rear := 1, math.Inf(-1)
	for i := range leaf.Panels {
		if at := leaf.Panels[i].Rear(leaf, leaf.OpenAt); stop == plan.StopOpen && at >= rear-plan.Tolerance {
			number, rear = i+1, at
		}
	}
	return number
}

// meet finds the force on a stop, what it leaves on the wheels of the panel that
// meets it, and what the anchors of the hard stop must hold. The force turns the
// panel over its leading wheel by the height of its centre above the stop, its
// weight turns it back; drive is what pushes at a height of its own, the rest of
// the hit's drive acts at the centre.
func meet(hit *plan.Impact, felt motion.Felt, p *practice.Practice, leaf *plan.Leaf, drive motion.Push) error {
	at := motion.Impact{Mass: felt.Inertia, Speed: hit.Speed, Drive: hit.Drive}
	var err error
	if hit.Force, err = at.Buffered(p.StopBuffer); err != nil {
		return err
	}
	hit.Energy = (hit.Force/2 - hit.Drive) * p.StopBuffer
	if leaf.Hanging != nil {
		return nil // carriages hold it up and down
	}
	panel := &leaf.Panels[hit.Panel-1]
	carriage := motion.Carriage{Mass: panel.Mass, At: panel.CentreAlong, Height: panel.CentreHeight,
		Wheels: [2]float64{panel.Wheels[0].At, panel.Wheels[1].At}, Grade: leaf.Slope}
	against := motion.Push{Force: -hit.Force, Height: hit.Height}
	if hit.Stop == plan.StopShut {
		against.Force, drive.Force = -against.Force, -drive.Force
	}
	loads, err := carriage.Stopped(against, drive)
	if err != nil {
		return err
	}
	hit.Wheel = loads.Least
	return nil
}

// errOneAnchor says why a stop on one anchor is not looked at.
const errOneAnchor = refusal.Error("one anchor alone has nothing to hold against")

// stopAnchors finds what each anchor of the hard stop must hold under an impact:
// its share of the force, and by the buffer's height above the foot a tension. The
// anchors stand in two rows across the ends of the foot.
func stopAnchors(p *practice.Practice, hit *plan.Impact) (plan.AnchorDemand, []plan.Refusal) {
	refuse := func(err error, field string) (plan.AnchorDemand, []plan.Refusal) {
		return plan.AnchorDemand{Shear: hit.Force / p.StopAnchors}, notLookedAt("The anchoring of the hard stop", err, practice.PracticePath+field)
	}
	if p.StopAnchors < 2 {
		return refuse(errOneAnchor, practice.RuleFixingStop)
	}
	demand, err := anchorDemand(p, p.StopLength, p.StopWidth, p.StopAnchors, hit.Force*hit.Height, hit.Force)
	if err != nil {
		return refuse(err, practice.RuleStopPlateLength)
	}
	return demand, nil
}

// stops looks at both stops and at the anchors of the hard one. On a steel footing
// the hard stop is welded to the bar, on a leaf that hangs free it sits in the beam and
// meets the front carriage: neither has anchors.
func (d *Designed) stops(s *plan.Strength) {
	in, p, l := d.Inputs, d.Practice, d.Layout
	var refused []plan.Refusal
	s.Impacts, refused = Impacts(in, p, &d.Plan.Leaf, l.HasMotor)
	s.Refused = append(s.Refused, refused...)
	hardest, _ := s.WorstImpact(plan.StopOpen)
	if hardest == nil {
		return
	}
	s.StopLoad = hardest.Force
	if in.OnSteel() || in.Hangs {
		return
	}
	for i := range s.Impacts {
		hit := &s.Impacts[i]
		if hit.Stop != plan.StopOpen {
			continue
		}
		demand, refused := stopAnchors(p, hit)
		if hit == hardest {
			s.Refused = append(s.Refused, refused...)
			s.StopShear, s.StopTension = demand.Shear, demand.Tension
		}
		hit.Shear, hit.Tension = demand.Shear, demand.Tension
	}
	if s.StopTension > 0 {
		s.StopHold, refused = d.holdOf(p, l, plan.PartHardStop, s)
		s.Refused = append(s.Refused, refused...)
	}
}
