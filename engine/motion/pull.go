package motion

import (
	"math"

	"pegpour/engine/refusal"
)

// Roll is a leaf on its track.
type Roll struct {
	Mass       float64 // kg, 1 to 20 000
	Grade      float64 // rad, positive where the track rises with u, within 45°
	Resistance float64 // rolling resistance, force over wheel load, 0 to 0.5
	// Start multiplies Resistance for the first movement, 1 to 5.
	Start float64
	// Inertia is what Mass resists with when it speeds up, kg; 0: as much as Mass.
	// Leaves that move together have one of their own: see FeltAt.
	Inertia float64
	// Side is what rubs whether the leaf is heavy or not, such as guide rollers
	// that the wind presses on, N, 0 to 1e6. It is no part of Resistance, and does
	// not grow at the start.
	Side float64
}

// Pull is what it takes to move and to hold a leaf.
type Pull struct {
	GradeForce   float64 // N, weight along the track, m·g·sin θ; positive: it rolls against u
	RollForce    float64 // N, rolling resistance, m·g·c·cos θ
	Side         float64 // N, as given
	Forward      float64 // N to keep it moving along u; negative: it must be held back
	Backward     float64 // N to keep it moving against u; negative: it must be held back
	ForwardStart float64 // N to set it moving along u
	BackStart    float64 // N to set it moving against u
	Greatest     float64 // N, the greatest of the four as a push
	// Runaway says that it rolls by itself once moving: m·g·sin|θ| > m·g·c·cos θ +
	// F_s. The start does not count: a knock sets it moving.
	Runaway bool
	// Holding is the least force that keeps a runaway leaf from rolling on, N; 0
	// when it stays.
	Holding float64
}

func (r Roll) check() error {
	return refusal.First(
		refusal.Allow("mass", r.Mass, 1, 20000, "kg"),
		refusal.Allow("grade", r.Grade, -steepest, steepest, "rad"),
		refusal.Allow("rolling resistance", r.Resistance, 0, 0.5, ""),
		refusal.Allow("start factor", r.Start, 1, 5, ""),
		refusal.Allow("inertia", r.Inertia, 0, 1e6, "kg"),
		refusal.Allow("side friction", r.Side, 0, 1e6, "N"),
	)
}

// inertia is what the leaf resists with when it speeds up, kg.
func (r Roll) inertia() float64 {
	if r.Inertia == 0 {
		return r.Mass
	}
	return r.Inertia
}

// Pull returns the forces to move the leaf both ways and whether it runs away.
//
//	F = m·g·(c·cos θ + sin θ) + F_s uphill, m·g·(c·cos θ − sin θ) + F_s downhill
//
// Source: statics. Checked: testdata/references/motion.json, incline-*.
func (r Roll) Pull() (Pull, error) {
	if err := r.check(); err != nil {
		return Pull{}, err
	}
	weight := r.Mass * Gravity
	p := Pull{GradeForce: weight * math.Sin(r.Grade), RollForce: weight * r.Resistance * math.Cos(r.Grade),
		Side: r.Side}
	moving, start := p.RollForce+p.Side, p.RollForce*r.Start+p.Side
	p.Forward, p.Backward = moving+p.GradeForce, moving-p.GradeForce
	p.ForwardStart, p.BackStart = start+p.GradeForce, start-p.GradeForce
	p.Greatest = max(max(p.Forward, p.Backward), max(p.ForwardStart, p.BackStart))
	if left := math.Abs(p.GradeForce) - moving; left > 0 {
		p.Runaway, p.Holding = true, left
	}
	return p, nil
}

// RunawaySpeed returns the speed (mm/s) that a leaf released at rest has after
// rolling a distance (mm); 0 when it does not run away.
//
//	v = √(2·F_h·L/m_i);  F_h = m·g·(sin|θ| − c·cos θ) − F_s
//
// Source: energy. Checked: testdata/references/motion.json, incline-speed; the
// tests hold it against steps in time.
func (r Roll) RunawaySpeed(distance float64) (float64, error) {
	p, err := r.Pull()
	if err != nil {
		return 0, err
	}
	if err := refusal.First(refusal.Allow("distance", distance, 0, 100000, "mm")); err != nil {
		return 0, err
	}
	return math.Sqrt(2 * p.Holding / r.inertia() * 1000 * distance), nil
}

// Accelerating returns the force (N) that brings the leaf to a speed (mm/s) in
// a time (s), beside what keeps it moving.
//
//	F = m_i·v/t
func (r Roll) Accelerating(speed, seconds float64) (float64, error) {
	if err := r.check(); err != nil {
		return 0, err
	}
	if err := refusal.First(
		refusal.Allow("speed", speed, 0, 5000, "mm/s"),
		refusal.Allow("time", seconds, 0.01, 100, "s"),
	); err != nil {
		return 0, err
	}
	return r.inertia() * speed / 1000 / seconds, nil
}

// HandLimit is a greatest force for moving a leaf by hand.
type HandLimit struct {
	Key, Name string
	Force     float64 // N
	Source    string
}

// HandLimits returns the named limits of hand force, the strictest first.
func HandLimits() []HandLimit {
	return []HandLimit{
		{"private", "Home, moved by one person", 150, "EN 12604, manual operation, private use (memory)"},
		{"commercial", "Industrial or commercial, moved by one person", 260,
			"EN 12604, manual operation, industrial and commercial use (memory)"},
	}
}

// Limits of the force of a power-driven leaf on a person between closing edges:
// a peak, its length, and what may remain.
//
// Source: EN 12453, as printed in a trade journal of doors and gates, summer
// 2016 (read). An installer must measure it; no calculation shows it.
const (
	ClosingForcePeak    = 400  // N
	ClosingForceSeconds = 0.75 // s, by then at most
	ClosingForceRest    = 150  // N
	ClosingForceEnd     = 25   // N after five seconds
)

// ClosingGauge is the stiffness of the instrument with which the force at a
// closing edge is measured, N/mm.
//
// Source: EN 12453:2001, 5.1.1: a spring ratio of 500 N/mm ± 50 N/mm, as a maker
// of such instruments prints it (read).
const ClosingGauge = 500

// Margin is how a capacity stands against what is needed.
type Margin struct {
	Needed   float64 // N, with the reserve
	Capacity float64 // N
	Spare    float64 // N, negative when it falls short
	Use      float64 // Needed over Capacity; above 1 fails
}

// ThrustMargin returns how a motor's thrust (N) or a hand-force limit stands
// against a pull (N) with a reserve factor of 1 to 5. A negative pull, a leaf
// that must be held back, counts by its size: the drive must hold it too.
func ThrustMargin(pull, capacity, reserve float64) (Margin, error) {
	if err := refusal.First(
		refusal.Allow("pull", pull, -1e6, 1e6, "N"),
		refusal.Allow("thrust", capacity, 1, 1e6, "N"),
		refusal.Allow("reserve factor", reserve, 1, 5, ""),
	); err != nil {
		return Margin{}, err
	}
	needed := math.Abs(pull) * reserve
	return Margin{Needed: needed, Capacity: capacity, Spare: capacity - needed, Use: needed / capacity}, nil
}
