package soil

import (
	"math"

	"pegpour/engine/refusal"
)

// DigSide is a type of ground by how steeply its open face may stand while people
// work below it.
type DigSide struct {
	Name  string  // in the words of the classification
	Slope float64 // along for each 1 up, at the steepest
}

// The types of ground, for digs of no more than 6 m.
//
// Type A, firm clay of 144 kPa and more that was never moved, ¾ along for each 1
// up, is not among them: nobody knows that of a garden without a test.
//
// Source: OSHA 29 CFR 1926 subpart P, appendices A (memory) and B (slopes read).
var (
	DigRock = DigSide{"stable rock", 0}
	DigB    = DigSide{"type B", 1}
	DigC    = DigSide{"type C", 1.5}
)

// DigSide returns the type of a class of ground; water makes it the weakest.
//
// Source: OSHA 29 CFR 1926 subpart P, appendix A: gravel and sand are type C, as
// is what water seeps from; clay and rock that is not stable are type B (memory).
func (c Class) DigSide(wet bool) DigSide {
	switch {
	case c.Key == "rock" && !wet:
		return DigRock
	case (c.Key == "soft-rock" || c.Key == "clay") && !wet:
		return DigB
	}
	return DigC
}

// DeepestDig is the deepest dig that the types of ground cover, mm: 20 ft.
//
// Source: OSHA 29 CFR 1926.652 (memory).
const DeepestDig = 6096

// LaidBack returns how far beyond a dig of a depth (mm, 0 to DeepestDig) its sides
// reach at the top when they are laid back, mm.
//
//	width = slope·depth
//
// Source: OSHA 29 CFR 1926 subpart P, appendix B, table B-1. Checked:
// testdata/references/soil.json, osha-*.
func (f DigSide) LaidBack(depth float64) (float64, error) {
	if err := refusal.First(refusal.Allow("depth of the dig", depth, 0, DeepestDig, "mm")); err != nil {
		return 0, err
	}
	return f.Slope * depth, nil
}

// Angle is the face's steepest angle to the level, rad.
func (f DigSide) Angle() float64 { return math.Atan2(1, f.Slope) }
