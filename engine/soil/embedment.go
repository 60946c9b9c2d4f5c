package soil

import (
	"math"

	"pegpour/engine/refusal"
)

// MaxEmbedment is the deepest embedment looked for, mm.
const MaxEmbedment = 10000

// lateralDepthLimit is the greatest depth that lateral pressure may be computed
// for: 12 ft. Source: IBC 1807.3.2.1.
const lateralDepthLimit = 12 * 304.8

// IsolatedPoleFactor is what lateral bearing may be multiplied by for isolated
// poles that half an inch of movement at the ground does not harm.
//
// Source: IBC 1806.3.4, as filled-in sheets of flagpole footings name it.
const IsolatedPoleFactor = 2

// EmbeddedPost is a post in a hole filled with concrete, pushed sideways.
type EmbeddedPost struct {
	Force float64 // N sideways, above 0 to 1e6
	// Height is where the force acts above ground, mm, 0 to 20 000. A
	// constrained post needs more than 0.
	Height float64
	// Width is the diameter of a round footing or the diagonal of a square one,
	// mm, 20 to 5000.
	Width   float64
	Lateral float64 // MPa for each mm of depth, 1e-9 to 1e-3; Class.Lateral
	// Factor multiplies Lateral: 1, or IsolatedPoleFactor, with any increase the
	// code gives for wind. 0.1 to 4.
	Factor float64
}

// EmbedmentResult is a depth with all that led to it.
type EmbedmentResult struct {
	Depth       float64 // mm, needed
	Pressure    float64 // MPa: S1 at a third of the depth, or S3 at the whole depth
	TermA       float64 // mm, A of equation 18-1; 0 for a constrained post
	Moment      float64 // N·mm in the post at the ground
	DepthCapped bool    // whether the pressure was held at its 12 ft limit
}

func (p EmbeddedPost) check(leastHeight float64) error {
	return refusal.First(
		refusal.Allow("sideways force", p.Force, 1e-3, 1e6, "N"),
		refusal.Allow("height of the force", p.Height, leastHeight, 20000, "mm"),
		refusal.Allow("footing width", p.Width, 20, 5000, "mm"),
		refusal.Allow("lateral bearing", p.Lateral, 1e-9, 1e-3, "MPa/mm"),
		refusal.Allow("lateral bearing factor", p.Factor, 0.1, 4, ""),
	)
}

// Nonconstrained returns the depth of a post that nothing but soil holds at the
// ground.
//
//	d = 0.5A(1 + √(1 + 4.36h/A));  A = 2.34P/(S1·b);  S1 at d/3
//
// Solved by bisection on the force that a depth can hold, which grows with it:
// P = S1·b·d²/(2.34(d + 1.09h)). Refused when more than MaxEmbedment is needed.
//
// Source: IBC 1807.3.2.1, equation 18-1. Checked: testdata/references/soil.json,
// ibc-18-1-*.
func (p EmbeddedPost) Nonconstrained() (EmbedmentResult, error) {
	if err := p.check(0); err != nil {
		return EmbedmentResult{}, err
	}
	d, err := p.depthFor(p.nonconstrainedForce)
	if err != nil {
		return EmbedmentResult{}, err
	}
	return EmbedmentResult{Depth: d, Pressure: p.pressure(d) / 3, TermA: p.TermA(d),
		Moment: p.Force * p.Height, DepthCapped: d > lateralDepthLimit}, nil
}

// Constrained returns the depth of a post held at the ground by a rigid floor
// or pavement.
//
//	d² = 4.25·P·h/(S3·b) = 4.25·M/(S3·b);  S3 at d
//
// Source: IBC 1807.3.2.2, equations 18-2 and 18-3. Checked:
// testdata/references/soil.json, ibc-18-3.
func (p EmbeddedPost) Constrained() (EmbedmentResult, error) {
	if err := p.check(1); err != nil {
		return EmbedmentResult{}, err
	}
	d, err := p.depthFor(p.constrainedForce)
	if err != nil {
		return EmbedmentResult{}, err
	}
	return EmbedmentResult{Depth: d, Pressure: p.pressure(d), Moment: p.Force * p.Height,
		DepthCapped: d > lateralDepthLimit}, nil
}

// NonconstrainedCapacity returns the sideways force (N) at Height that a given
// depth (mm) can hold by equation 18-1. Force is not looked at.
func (p EmbeddedPost) NonconstrainedCapacity(depth float64) (float64, error) {
	p.Force = 1
	if err := p.check(0); err != nil {
		return 0, err
	}
	if err := refusal.First(refusal.Allow("embedment", depth, 1, MaxEmbedment, "mm")); err != nil {
		return 0, err
	}
	return p.nonconstrainedForce(depth), nil
}

// ConstrainedCapacity is NonconstrainedCapacity by equation 18-2.
func (p EmbeddedPost) ConstrainedCapacity(depth float64) (float64, error) {
	p.Force = 1
	if err := p.check(1); err != nil {
		return 0, err
	}
	if err := refusal.First(refusal.Allow("embedment", depth, 1, MaxEmbedment, "mm")); err != nil {
		return 0, err
	}
	return p.constrainedForce(depth), nil
}

// TermA returns A = 2.34P/(S1·b) of equation 18-1 for a trial depth (mm), mm; 0
// for values that Nonconstrained refuses.
func (p EmbeddedPost) TermA(depth float64) float64 {
	if p.check(0) != nil || !(depth > 0) {
		return 0
	}
	return 2.34 * p.Force / (p.pressure(depth) / 3 * p.Width)
}

// pressure is the lateral bearing at a depth, which counts to 12 ft only.
func (p EmbeddedPost) pressure(depth float64) float64 {
	return p.Lateral * p.Factor * min(depth, lateralDepthLimit)
}

func (p EmbeddedPost) nonconstrainedForce(d float64) float64 {
	return p.pressure(d) / 3 * p.Width * d * d / (2.34 * (d + 1.09*p.Height))
}

func (p EmbeddedPost) constrainedForce(d float64) float64 {
	return p.pressure(d) * p.Width * d * d / (4.25 * p.Height)
}

func (p EmbeddedPost) depthFor(force func(float64) float64) (float64, error) {
	low, high := 0.0, float64(MaxEmbedment)
	if most := force(high); most < p.Force {
		return 0, &ArgumentError{Argument: "sideways force", Given: p.Force, Low: 1e-3, High: most, Unit: "N",
			Detail: "no embedment down to the greatest depth holds this force in this soil"}
	}
	for range 100 {
		middle := (low + high) / 2
		if force(middle) < p.Force {
			low = middle
		} else {
			high = middle
		}
	}
	return high, nil
}

// SquareWidth returns the width to use for a square footing of a side (mm): its
// diagonal. Source: IBC 1807.3.2.1, meaning of b.
func SquareWidth(side float64) float64 { return side * math.Sqrt2 }
