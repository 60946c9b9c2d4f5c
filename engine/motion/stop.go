package motion

import (
	"math"

	"pegpour/engine/refusal"
)

// Impact is a leaf that runs onto a stop.
type Impact struct {
	Mass  float64 // kg, 1 to 20 000
	Speed float64 // mm/s, 0 to 20 000
	// Drive is what keeps pushing while it stops: motor thrust, the pull of a
	// grade, N, 0 to 1e5.
	Drive float64
}

// StopResult is what a stop must take.
type StopResult struct {
	Energy   float64 // N·mm, of the moving leaf
	Peak     float64 // N, greatest force on the stop
	Mean     float64 // N, over the stopping way
	Distance float64 // mm of stopping way
	Seconds  float64 // s until it stands
}

func (i Impact) check() error {
	return refusal.First(
		refusal.Allow("mass", i.Mass, 1, 20000, "kg"),
		refusal.Allow("speed", i.Speed, 0, 20000, "mm/s"),
		refusal.Allow("drive", i.Drive, 0, 1e5, "N"),
	)
}

// energy in N·mm: kg·(mm/s)² is 1e-3 N·mm.
func (i Impact) energy() float64 { return i.Mass * i.Speed * i.Speed / 2 / 1000 }

// Springy returns what a stop of a stiffness (N/mm) takes.
//
//	½k·x² = ½m·v² + F_d·x;  F = k·x
//
// Without drive F = v·√(k·m).
//
// Source: energy. Checked: testdata/references/motion.json, stop-*.
func (i Impact) Springy(stiffness float64) (StopResult, error) {
	if err := i.check(); err != nil {
		return StopResult{}, err
	}
	if err := refusal.First(refusal.Allow("stiffness of the stop", stiffness, 0.1, 1e6, "N/mm")); err != nil {
		return StopResult{}, err
	}
	e := i.energy()
	x := (i.Drive + math.Sqrt(i.Drive*i.Drive+2*stiffness*e)) / stiffness
	r := StopResult{Energy: e, Peak: stiffness * x, Distance: x, Mean: stiffness * x / 2}
	// Swing about the rest position x0 = F_d/k: from −x0 to the far end.
	pace := math.Sqrt(stiffness * 1000 / i.Mass)
	if i.Speed > 0 {
		rest := i.Drive / stiffness
		r.Seconds = (math.Pi/2 + math.Atan2(rest*pace, i.Speed)) / pace
	}
	return r, nil
}

// Within returns what a stop takes that brings the leaf to rest within a
// distance (mm) with an even force, as a damper or a crushing buffer does.
//
//	F = m·v²/(2s) + F_d
//
// A springy stop of the same way has twice this peak.
func (i Impact) Within(distance float64) (StopResult, error) {
	if err := i.check(); err != nil {
		return StopResult{}, err
	}
	if err := refusal.First(refusal.Allow("stopping way", distance, 0.1, 5000, "mm")); err != nil {
		return StopResult{}, err
	}
	r := StopResult{Energy: i.energy(), Distance: distance}
	r.Mean = r.Energy/distance + i.Drive
	r.Peak = r.Mean
	if i.Speed > 0 {
		r.Seconds = 2 * distance / i.Speed
	}
	return r, nil
}

// Buffered returns the greatest force (N) on a stop whose spring gives way by a
// distance (mm, 0.1 to 5000) while it brings the leaf to rest. What the drive
// does on the way goes into the spring as well, so that it counts twice: a leaf
// that only leans on a spring with all its drive presses with the drive, and one
// that is let go on it with twice that.
//
//	½·F·s = ½·m·v² + F_d·s;  F = m·v²/s + 2·F_d
//
// Source: energy of a linear spring. Checked: the tests hold it against Springy
// of the stiffness F/s, against steps in time, and against Within, the least that
// any stop of this way takes.
func (i Impact) Buffered(distance float64) (float64, error) {
	if err := i.check(); err != nil {
		return 0, err
	}
	if err := refusal.First(refusal.Allow("stopping way", distance, 0.1, 5000, "mm")); err != nil {
		return 0, err
	}
	return 2 * (i.energy()/distance + i.Drive), nil
}

// GivingWay returns how far (mm) a springy stop must give way so that the force
// on it stays within a peak (N): the other way round of Buffered.
//
//	s = m·v²/(F − 2·F_d)
//
// The peak is above twice the drive and 1e6 N at most; at or below twice the
// drive no way is long enough.
//
// Source: energy of a linear spring. Checked: the tests turn it round.
func (i Impact) GivingWay(peak float64) (float64, error) {
	if err := i.check(); err != nil {
		return 0, err
	}
	if err := refusal.First(refusal.Allow("peak force", peak, 2*i.Drive+1, 1e6, "N")); err != nil {
		return 0, err
	}
	return 2 * i.energy() / (peak - 2*i.Drive), nil
}
