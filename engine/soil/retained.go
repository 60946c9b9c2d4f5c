package soil

import (
	"math"

	"pegpour/engine/refusal"
)

// Retained is ground that a wall holds back. Where a property is known to a range
// only, the end that hurts is given: the low friction angle, the high weight.
type Retained struct {
	FrictionAngle float64 // rad, 5° to 60°
	UnitWeight    float64 // N/mm³, 8e-6 to 30e-6
	// Least is the least growth of the pressure of level ground with depth, N/mm³,
	// 0 to 30e-6: that of LeastActive. 0 asks for none.
	Least     float64
	Backslope float64 // rad, 0 to less than FrictionAngle
	Surcharge float64 // MPa, 0 to 0.1
}

// leastActive are a code's least design lateral pressures for walls that may
// move, psf for each foot of depth; a class of several soils has its worst.
//
// Source: IBC 1610.1 (read) and table 1610.1 (values of its rows GW to CL read in
// programs that quote it; rock, soft ground and fill stand in no row: rock is
// taken for the clean gravel that is filled behind a wall, the others for clay).
var leastActive = map[string]float64{"rock": 30, "soft-rock": 30, "gravel": 30, "sand": 60, "clay": 60, "soft": 60,
	"fill": 60}

// LeastActive returns the least growth of earth pressure with depth that a code
// lets a wall be designed for in a class of ground, N/mm³. Ground of no known
// class has that of clay.
//
// Source: IBC 1610.1 and table 1610.1. Checked: testdata/references/soil.json,
// ibc-1610-*.
func LeastActive(class string) float64 {
	psf, ok := leastActive[class]
	if !ok {
		psf = leastActive["clay"]
	}
	return psf * psfPerFoot
}

// Coefficient returns the coefficient of active pressure, no less than a code's
// least pressure comes to. A slope raises that as it raises Rankine's.
//
//	K = max(K_a(φ, i), Least/γ·K_a(φ, i)/K_a(φ, 0))
//
// Source: Rankine; IBC 1610.1 calls its table the least. Checked: the tests hold
// it against a sum over the height.
func (r Retained) Coefficient() (float64, error) {
	if err := refusal.First(
		refusal.Allow("unit weight of the ground", r.UnitWeight, 8e-6, 30e-6, "N/mm³"),
		refusal.Allow("least pressure", r.Least, 0, 30e-6, "N/mm³"),
		refusal.Allow("surcharge", r.Surcharge, 0, 0.1, "MPa"),
	); err != nil {
		return 0, err
	}
	k, err := Active(r.FrictionAngle, r.Backslope)
	if err != nil {
		return 0, err
	}
	level, err := Active(r.FrictionAngle, 0)
	if err != nil {
		return 0, err
	}
	return k * max(1, r.Least/(r.UnitWeight*level)), nil
}

// PressureAt returns the level part of the pressure at a depth (mm, 0 to 6000) and
// how it grows with depth, MPa and N/mm³.
//
//	p = K·(γ·z + q)·cos i
func (r Retained) PressureAt(depth float64) (pressure, growth float64, err error) {
	k, err := r.Coefficient()
	if err != nil {
		return 0, 0, err
	}
	if err := refusal.First(refusal.Allow("depth", depth, 0, 6000, "mm")); err != nil {
		return 0, 0, err
	}
	growth = k * r.UnitWeight * math.Cos(r.Backslope)
	return growth*depth + k*r.Surcharge*math.Cos(r.Backslope), growth, nil
}

// OnPost returns the load on a post of a wall of sleepers between posts at a
// spacing (mm, 50 to 5000) that holds the ground to a height (mm, 1 to 5000).
//
//	P = (K·γ·h²/2 + K·q·h)·cos i·spacing
//
// Source: as PostedWall, with the coefficient of Coefficient.
func (r Retained) OnPost(height, spacing float64) (PostedWallLoad, error) {
	k, err := r.Coefficient()
	if err != nil {
		return PostedWallLoad{}, err
	}
	load, err := PostedWall(height, spacing, r.UnitWeight, r.FrictionAngle, r.Backslope, r.Surcharge)
	if err != nil {
		return PostedWallLoad{}, err
	}
	more := k / load.Active
	load.Active, load.Force, load.Moment = k, load.Force*more, load.Moment*more
	return load, nil
}

// Bending returns the greatest moment in the post, N·mm: where the ground has
// pushed back all of the force.
//
//	x = √(2P/(S·b));  M = P·(h + 2x/3)
//
// The ground's lateral bearing S (MPa for each mm of depth, Lateral·Factor) counts
// from its surface down, on the width b.
//
// Source: statics of the pressure that IBC 1806.2 presumes. Checked: the tests hold
// it against a sum over the depth.
func (p EmbeddedPost) Bending() (float64, error) {
	if err := p.check(0); err != nil {
		return 0, err
	}
	x := math.Sqrt(2 * p.Force / (p.Lateral * p.Factor * p.Width))
	return p.Force * (p.Height + 2*x/3), nil
}
