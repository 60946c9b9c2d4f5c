package steel

import (
	"math"

	"pegpour/engine/refusal"
)

// Bent says how a member is bent, for how much an axial force enlarges it.
type Bent int

// The ways of bending.
const (
	// BentAlong is the same moment all along, as a load off the axis gives: the
	// most enlarged of all, and the safe one where the way is not known.
	BentAlong Bent = iota
	// BentEvenly is a uniform load between pinned ends.
	BentEvenly
	// BentAtPoint is a force at the middle between pinned ends, or at the free end
	// of a cantilever.
	BentAtPoint
)

// Amplifier returns how much an axial force enlarges the greatest moment; ratio
// is the force over the critical load, 0 to less than 1.
//
//	u = π/2·√ratio; along: 1/cos u;  evenly: 2(1/cos u − 1)/u²;  at a point: tan u/u
//
// The usual 1/(1 − ratio) is below the first by up to a fifth, below the second
// by up to 3 %, above the third.
//
// Source: S. Timoshenko and J. Gere, Theory of Elastic Stability, 1.3 to 1.6
// (memory). Checked: testdata/references/steel.json, amplifier-*.
func Amplifier(bent Bent, ratio float64) (float64, error) {
	if err := refusal.First(
		refusal.Allow("way of bending", float64(bent), float64(BentAlong), float64(BentAtPoint), ""),
		refusal.Allow("axial force over critical load", ratio, 0, 1-1e-9, ""),
	); err != nil {
		return 0, err
	}
	u := math.Pi / 2 * math.Sqrt(ratio)
	cos := math.Cos(u)
	switch {
	case bent == BentAlong:
		return 1 / cos, nil
	case u < 1e-3: // both differ from 1 by less than rounding does
		return 1 + ratio, nil
	case bent == BentEvenly:
		half := math.Sin(u / 2)
		return 4 * half * half / (u * u * cos), nil
	}
	return math.Tan(u) / u, nil
}
