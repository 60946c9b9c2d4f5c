package steel

import (
	"pegpour/engine/refusal"
)

// Kipping is a flat bar on edge that its load can tip over sideways.
type Kipping struct {
	Height    float64 // mm, on edge, 1 to 1000
	Thickness float64 // mm, 0.5 to Height
	// Length is the length over which nothing holds the bar sideways, mm, 1 to
	// 20 000. Of a bar that stands out from its last hold, twice its length.
	Length float64
	// Above is how far above the middle of the height the load acts, mm, 0 to 1000.
	Above      float64
	Elasticity float64 // MPa, 1000 to 1e6
	Yield      float64 // MPa, 100 to 1000
	Safety     float64 // factor on the strength, 1 to 5
}

// KippingResult is what a bar on edge holds.
type KippingResult struct {
	Elastic   float64 // N·mm, at which a bar without faults kips
	Strength  float64 // N·mm, with faults; at most the plastic moment
	Allowable float64 // N·mm, Strength/Safety
	Slender   float64 // L·h/t²
}

// Strength returns the bending moment a flat bar on edge holds before it tips
// over sideways, for the same moment all along: the worst case.
//
//	M_cr = 1.9·E·t²/(L·h)·W·(1 − 1.74·a/L·√(E·I/(G·I_t)))
//	n = L·h/t²: n ≤ 0.08E/f_y: M = M_pl = 1.5·f_y·W
//	  n ≤ 1.9E/f_y: M = (1.52 − 0.274·n·f_y/E)·f_y·W ≤ M_pl;  beyond: M = M_cr
//
// The load above the middle lessens every strength in the same proportion. √ is
// 0.806 for steel.
//
// Source: AISC 360, F11.1 and F11.2; Timoshenko and Gere, Theory of Elastic
// Stability, 6.2 and 6.3 for the load's height, the greatest of their factors
// (both memory). Checked: testdata/references/steel.json, kipping-*, and
// π/L·√(E·I·G·I_t).
func (k Kipping) Strength() (KippingResult, error) {
	if err := refusal.First(
		refusal.Allow("height", k.Height, 1, largestSide, "mm"),
		refusal.Allow("thickness", k.Thickness, leastWall, k.Height, "mm"),
		refusal.Allow("length", k.Length, 1, 20000, "mm"),
		refusal.Allow("load's height above the middle", k.Above, 0, 1000, "mm"),
		refusal.Allow("modulus of elasticity", k.Elasticity, 1000, 1e6, "MPa"),
		refusal.Allow("yield strength", k.Yield, 100, 1000, "MPa"),
		refusal.Allow("safety factor", k.Safety, 1, 5, ""),
	); err != nil {
		return KippingResult{}, err
	}
	h, t, l := k.Height, k.Thickness, k.Length
	part := max(0, 1-1.74*k.Above/l*0.806)
	modulus := t * h * h / 6
	r := KippingResult{Slender: l * h / (t * t)}
	r.Elastic = 1.9 * k.Elasticity / r.Slender * modulus * part
	most := 1.5 * k.Yield * modulus
	switch limit := k.Elasticity / k.Yield; {
	case r.Slender <= 0.08*limit:
		r.Strength = most * part
	case r.Slender <= 1.9*limit:
		r.Strength = min(most, (1.52-0.274*r.Slender/limit)*k.Yield*modulus) * part
	default:
		r.Strength = min(most, r.Elastic)
	}
	r.Allowable = r.Strength / k.Safety
	return r, nil
}
