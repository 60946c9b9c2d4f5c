package steel

import (
	"math"

	"pegpour/engine/refusal"
)

// TwoRowPlate is a rigid plate on concrete, held by two rows of anchors across
// its ends: a base plate bent along one side, without a force down on it or lifted.
type TwoRowPlate struct {
	Length, Width float64 // mm along the bending and across it, 20 to 2000
	Inset         float64 // mm of each row from its end, 5 to half of Length
	Anchors       int     // in both rows together, 1 to 24
	StressArea    float64 // mm² of one anchor, 10 to 5000
	// ModularRatio is the modulus of the anchors over that of the concrete, 1 to
	// 30: see ModularRatio.
	ModularRatio float64
	Moment       float64 // N·mm along Length, 0 to 1e10
	Shear        float64 // N, 0 to 1e7
	Lift         float64 // N that pulls the plate up in its middle, 0 to 1e7
}

// RowDemand is what each anchor of a TwoRowPlate must hold. It is demand only,
// as AnchorDemand is.
type RowDemand struct {
	Tension float64 // N in an anchor of the far row, with Lift never less than it is
	Near    float64 // N in an anchor of the near row; 0 where it is pressed
	Shear   float64 // N on each anchor
	Pressed float64 // mm of the plate that press on the concrete, without Lift
}

// ErrNoPlateBetweenRows says that the rows' inset is half of the plate or more.
var ErrNoPlateBetweenRows = error(refusal.Error("the anchors' inset leaves no plate between them"))

// Demand returns the tension and shear of each anchor: the rows in tension
// hold, the concrete at the other end presses, plane sections stay plane. With
// x the pressed length, n the modular ratio and A the area of a row's anchors at
// d_i from the pressed end:
//
//	b·x²/2 = n·A·Σ (d_i − x) over d_i > x
//	T_i = M·(d_i − x)·n·A/(b·x³/3 + n·A·Σ (d_i − x)²)
//
// More than four anchors count as four for tension, the safe side.
//
// A lift U comes on top, shared by all anchors. Where it parts the whole plate from the
// concrete the rows alone make the moment, over the distance a between them, i in from
// the plate's end, and two hold in each:
//
//	U/4 ≥ M/(2a)·(1 + 2i/a):  T = U/4 ± M/(2a);  else T_far = U/4 + max(T_far, M/(2a)), T_near = U/4 + T_near
//
// which is on the safe side in between, where a part of the plate still presses.
//
// Source: O. W. Blodgett, Design of Welded Structures, section 3.3 (memory).
// Checked: the tests hold it against BasePlate.
func (p TwoRowPlate) Demand() (RowDemand, error) {
	near, far := p.Inset, p.Length-p.Inset
	if far <= near {
		return RowDemand{}, ErrNoPlateBetweenRows
	}
	if err := refusal.First(
		refusal.Allow("plate depth", p.Length, 20, 2000, "mm"),
		refusal.Allow("plate width", p.Width, 20, 2000, "mm"),
		refusal.Allow("anchor x", p.Inset, 5, p.Length/2, "mm"),
		refusal.Allow("number of anchors", float64(p.Anchors), 1, 24, ""),
		refusal.Allow("anchor stress area", p.StressArea, 10, 5000, "mm²"),
		refusal.Allow("modular ratio", p.ModularRatio, 1, 30, ""),
		refusal.Allow("moment", p.Moment, 0, 1e10, "N·mm"),
		refusal.Allow("force", p.Shear, 0, 1e7, "N"),
		refusal.Allow("uplift", p.Lift, 0, 1e7, "N"),
	); err != nil {
		return RowDemand{}, err
	}
	inRow := float64(max(1, min(p.Anchors, 4)/2))
	area := p.ModularRatio * p.StressArea * inRow
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
	d := RowDemand{
		Tension: p.Moment * (far - x) * area / inRow / inertia,
		Near:    p.Moment * max(0, near-x) * area / inRow / inertia,
		Shear:   p.Shear / float64(p.Anchors),
		Pressed: x,
	}
	if p.Lift > 0 {
		each, couple := p.Lift/(2*inRow), p.Moment/(inRow*(far-near))
		if each >= couple*(1+2*near/(far-near)) {
			d.Tension, d.Near = each+couple, each-couple
		} else {
			d.Tension, d.Near = each+max(d.Tension, couple), each+d.Near
		}
	}
	return d, nil
}

// ModularRatio returns the modulus of elasticity of steel over that of a
// concrete (MPa, 1000 to 100 000), held within the 1 to 30 that a base plate
// takes.
//
//	n = E_s/E_c
//
// Source: definition.
func ModularRatio(concrete float64) (float64, error) {
	if err := refusal.First(refusal.Allow("modulus of elasticity", concrete, 1000, 100000, "MPa")); err != nil {
		return 0, err
	}
	return max(1, min(30, Elasticity/concrete)), nil
}
