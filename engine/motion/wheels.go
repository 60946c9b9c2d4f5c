package motion

import (
	"math"

	"pegpour/engine/refusal"
)

// Part is a mass of a leaf at its own centre of gravity.
type Part struct {
	Mass   float64 // kg, 0 to 20 000
	At     float64 // mm along the leaf
	Height float64 // mm above the track
}

// Push is a force on the leaf along u at a height above the track, such as a
// motor at the rack or a stop at an end.
type Push struct {
	Force  float64 // N, positive along u
	Height float64 // mm
}

// WheelLoads is what the wheels of a leaf carry.
type WheelLoads struct {
	Mass    float64   // kg
	Centre  float64   // mm along the leaf, of all parts
	Height  float64   // mm above the track, of all parts
	Loads   []float64 // N square to the track, as the wheels were given; negative would lift
	Most    float64   // N
	Least   float64   // N
	Lifts   bool      // whether any wheel would lift: the loads then do not hold
	Unheld  float64   // N along the track that Pushes leave over, which a wheel or the drive takes at track level
	Balance float64   // mm of the load's line inside the outermost wheels; negative: it tips over one
}

// Limits of WheelLoads.
const (
	MaxParts  = 1000
	MaxWheels = 12
)

// Wheels returns the loads on the wheels of a rigid leaf at places along it
// (mm, two or more, rising), on a track of a grade (rad).
//
//	ΣR = m·g·cos θ;  ΣR·x = m·g·(x_g·cos θ − h_g·sin θ) + ΣF·h
//
// Two wheels are statics. More than two are taken as equally stiff on a straight
// track: loads lie on a straight line; a track that is not straight makes them
// differ more. Forces along the track that are not among the pushes act at the
// track.
//
// Source: statics. Checked: testdata/references/motion.json, wheels-*.
func Wheels(parts []Part, wheels []float64, grade float64, pushes []Push) (WheelLoads, error) {
	if err := checkWheels(parts, wheels, grade, pushes); err != nil {
		return WheelLoads{}, err
	}
	var out WheelLoads
	for _, p := range parts {
		out.Mass += p.Mass
		out.Centre += p.Mass * p.At
		out.Height += p.Mass * p.Height
	}
	if err := refusal.First(refusal.Allow("mass of all parts", out.Mass, 0.001, 20000, "kg")); err != nil {
		return WheelLoads{}, err
	}
	out.Centre /= out.Mass
	out.Height /= out.Mass
	weight := out.Mass * Gravity
	square, along := weight*math.Cos(grade), weight*math.Sin(grade)
	moment := square*out.Centre - along*out.Height
	out.Unheld = along
	for _, p := range pushes {
		moment += p.Force * p.Height
		out.Unheld -= p.Force
	}
	line := moment / square // where the load meets the track
	n := float64(len(wheels))
	middle, spread := 0.0, 0.0
	for _, x := range wheels {
		middle += x / n
	}
	for _, x := range wheels {
		spread += (x - middle) * (x - middle)
	}
	out.Loads = make([]float64, len(wheels))
	out.Most, out.Least = math.Inf(-1), math.Inf(1)
	for i, x := range wheels {
		r := square * (1/n + (line-middle)*(x-middle)/spread)
		out.Loads[i] = r
		out.Most, out.Least = max(out.Most, r), min(out.Least, r)
	}
	out.Lifts = out.Least < 0
	out.Balance = min(line-wheels[0], wheels[len(wheels)-1]-line)
	return out, nil
}

func checkWheels(parts []Part, wheels []float64, grade float64, pushes []Push) error {
	if err := refusal.First(
		refusal.Allow("number of parts", float64(len(parts)), 1, MaxParts, ""),
		refusal.Allow("number of wheels", float64(len(wheels)), 2, MaxWheels, ""),
		refusal.Allow("number of pushes", float64(len(pushes)), 0, MaxWheels, ""),
		refusal.Allow("grade", grade, -steepest, steepest, "rad"),
	); err != nil {
		return err
	}
	for _, p := range parts {
		if err := refusal.First(
			refusal.Allow("mass of a part", p.Mass, 0, 20000, "kg"),
			refusal.Allow("place of a part", p.At, -50000, 50000, "mm"),
			refusal.Allow("height of a part", p.Height, -5000, 20000, "mm"),
		); err != nil {
			return err
		}
	}
	for i, x := range wheels {
		low := -50000.0
		if i > 0 {
			low = wheels[i-1] + 20
		}
		if err := refusal.First(refusal.Allow("place of a wheel", x, low, 50000, "mm")); err != nil {
			return err
		}
	}
	for _, p := range pushes {
		if err := refusal.First(
			refusal.Allow("push", p.Force, -1e6, 1e6, "N"),
			refusal.Allow("height of a push", p.Height, -5000, 20000, "mm"),
		); err != nil {
			return err
		}
	}
	return nil
}
