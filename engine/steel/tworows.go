package steel

import (
	"math"

	"pegpour/engine/refusal"
)

// TwoRowPlate is a rigid plate on concrete with anchors in two rows, bent square
// to the rows: the usual plate of a post or a motor, without the search that a
// BasePlate of any anchors needs.
type TwoRowPlate struct {
	Length, Width float64 // mm along the bending and across it
	Inset         float64 // mm of each row in from its end; two of them leave some length
	Anchors       float64 // in all; more than four count as four, the safe side
	StressArea    float64 // mm² of one anchor
	ModularRatio  float64 // modulus of the anchors over that of the concrete
	Moment        float64 // N·mm
	Shear         float64 // N
}

// Demand returns the tension and the shear that each anchor must hold, N: demand
// only, never what an anchor can hold.
//
// The anchors in tension hold and the concrete at the other end presses, plane
// sections staying plane. With x the pressed length, n the ratio of moduli and A
// the area of a row's anchors at d_i from that end:
//
//	b·x²/2 = n·A·Σ (d_i − x) over d_i > x;  T_i = M·(d_i − x)·n·A/(b·x³/3 + n·A·Σ (d_i − x)²)
//
// Source: O. W. Blodgett, Design of Welded Structures, section 3.3 (memory).
// Checked: against BasePlate (TestTwoRowPlate).
func (p TwoRowPlate) Demand() (tension, shear float64, err error) {
	near, far := p.Inset, p.Length-p.Inset
	if far <= near {
		return 0, 0, refusal.Error("the anchors' inset leaves no plate between them")
	}
	row := math.Max(1, math.Floor(math.Min(p.Anchors, 4)/2))
	area := p.ModularRatio * p.StressArea * row
	// b·x²/2 + n·A·k·x − n·A·Σd = 0 over the k rows in tension: both, unless the
	// near one is pressed.
	pressed := func(k, sum float64) float64 {
		return (math.Sqrt(area*area*k*k+2*p.Width*area*sum) - area*k) / p.Width
	}
	x := pressed(2, near+far)
	inertia := 0.0
	if x > near {
		x = pressed(1, far)
	} else {
		inertia = area * (near - x) * (near - x)
	}
	inertia += p.Width*x*x*x/3 + area*(far-x)*(far-x)
	return p.Moment * (far - x) * area / row / inertia, p.Shear / math.Max(1, p.Anchors), nil
}
