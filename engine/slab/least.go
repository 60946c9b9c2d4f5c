package slab

import (
	"math"

	"pegpour/engine/elementary"
	"pegpour/engine/refusal"
)

func (r Reinforced) check() error {
	return refusal.First(
		refusal.Allow("width", r.Width, 20, 10000, "mm"),
		refusal.Allow("depth to the bars", r.Depth, 20, 5000, "mm"),
		refusal.Allow("bar area", r.BarArea, 1, 1e5, "mm²"),
		refusal.Allow("yield strength of the bars", r.Yield, 200, 700, "MPa"),
		refusal.Allow("cylinder strength", r.Cylinder, 10, 100, "MPa"),
	)
}

// LeastSteel returns the area of bars that a section of a thickness (mm, no less
// than their depth, to 6000) must have, so that it does not break when it cracks,
// mm²: the most of three. ratio is the least share of the whole section, 0 to
// 0.02.
//
//	A_s = ρ·b·h;  0.26·f_ctm/f_yk·b·d;  0.0013·b·d
//
// Source: ACI 318, 7.6.1.1 and 24.4.3.2: 0.0018 (read in a manual of a design
// program); EN 1992-1-1, 9.2.1.1 (9.1N) (memory). Checked:
// testdata/references/slab.json, least-steel-*.
func (r Reinforced) LeastSteel(thickness, ratio float64) (float64, error) {
	if err := r.check(); err != nil {
		return 0, err
	}
	if err := refusal.First(
		refusal.Allow("thickness", thickness, r.Depth, 6000, "mm"),
		refusal.Allow("least share of steel", ratio, 0, 0.02, ""),
	); err != nil {
		return 0, err
	}
	tensile, err := MeanTensile(min(r.Cylinder, 90))
	if err != nil {
		return 0, err
	}
	area := r.Width * r.Depth
	return max(ratio*r.Width*thickness, max(0.26*tensile/r.Yield, 0.0013)*area), nil
}

// Shear returns the shear that a section without links can bear, N: the lesser
// of two codes, each with its own safety.
//
//	ACI: V_c = min(√f'c/6, 0.66·λ_s·ρ^⅓·√f'c)·b·d,  λ_s = √(2/(1 + 0.004d)) ≤ 1,  φ = 0.75
//	EN:  V_Rd,c = max(0.12·k·(100ρ·f_ck)^⅓, 0.035·k^1.5·√f_ck)·b·d,  k = 1 + √(200/d) ≤ 2,  ρ ≤ 0.02
//
// Source: ACI 318-14, 22.5.5.1 and ACI 318-19, table 22.5.5.1(c) (memory);
// EN 1992-1-1, 6.2.2 (read). Checked: testdata/references/slab.json, shear-*.
func (r Reinforced) Shear() (float64, error) {
	american, european, err := r.shears()
	return min(american, european), err
}

// shears are what each of the codes gives, N.
func (r Reinforced) shears() (american, european float64, err error) {
	if err := r.check(); err != nil {
		return 0, 0, err
	}
	const reduction = 0.75
	area, root := r.Width*r.Depth, math.Sqrt(r.Cylinder)
	ratio := r.BarArea / area
	size := min(1, math.Sqrt(2/(1+0.004*r.Depth)))
	american = reduction * area * root * min(1.0/6, 0.66*size*elementary.Pow(ratio, 1.0/3))
	k := min(2, 1+math.Sqrt(200/r.Depth))
	european = area * max(0.12*k*elementary.Pow(100*min(ratio, 0.02)*r.Cylinder, 1.0/3),
		0.035*k*math.Sqrt(k)*root)
	return american, european, nil
}
