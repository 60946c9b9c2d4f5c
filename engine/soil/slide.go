package soil

import (
	"pegpour/engine/refusal"
)

// HoldsAlong returns the push along the ground, N, that a footing holds: what it has
// under it by friction or adhesion, and the ground before its face.
//
//	F = μ·W + min(c·A, W/2) + ½·S·D²·B
//
// weight W of the footing and what is poured with it (N), area A of its underside (mm²),
// depth D and breadth B (mm) of the face in the ground. A class has μ or c, never both.
// Refuses ground of which nothing may be presumed, and sizes outside a yard's.
//
// Source: International Building Code, 1806.3 and table 1806.2 (memory): sliding by
// friction or by cohesion up to half the dead load, and lateral bearing that grows with
// depth, may be added. Checked: testdata/references/soil.json, slide-clay and slide-sand.
func (c *Class) HoldsAlong(weight, area, depth, breadth float64) (float64, error) {
	if !c.Presumed {
		return 0, refusal.Error("nothing may be presumed of this ground")
	}
	err := refusal.First(
		refusal.Allow("weight", weight, 0, 1e6, "N"), refusal.Allow("area", area, 0, 1e8, "mm²"),
		refusal.Allow("depth", depth, 0, 3000, "mm"), refusal.Allow("breadth", breadth, 0, 3000, "mm"))
	if err != nil {
		return 0, err
	}
	return c.Friction*weight + min(c.Adhesion*area, weight/2) + c.Lateral*depth*depth*breadth/2, nil
}
