package steel

import (
	"math"

	"pegpour/engine/refusal"
)

// Anchor is one anchor of a base plate, seen from above, x and y in mm from the
// middle of the plate.
type Anchor struct{ X, Y float64 }

// BasePlate is a rigid rectangular plate on concrete under a post, held by
// anchors of one size. Forces act at its middle.
type BasePlate struct {
	Width, Depth float64  // mm along x and along y, 20 to 2000
	Anchors      []Anchor // 1 to 24, inside the plate
	StressArea   float64  // mm² of one anchor, 10 to 5000
	// ModularRatio is the modulus of the anchors over that of the concrete, 1 to
	// 30. 7 to 10 is usual.
	ModularRatio float64
	Compression  float64 // N down on the plate, negative for uplift, within ±1e7
	MomentX      float64 // N·mm that presses the +x side down, within ±1e10
	MomentY      float64 // N·mm that presses the +y side down
	ShearX       float64 // N within ±1e7
	ShearY       float64
	Twist        float64 // N·mm about the vertical, anticlockwise from above
}

// AnchorDemand is what the anchors of a base plate must hold. It is demand
// only: never what an anchor can hold, which depends on the product, the edge
// distances and the concrete.
type AnchorDemand struct {
	Tension         []float64 // N in each anchor, ≥ 0
	Shear           []float64 // N on each anchor
	WorstTension    float64   // N
	WorstShear      float64   // N
	PeakBearing     float64   // MPa, greatest pressure of the plate on the concrete
	BearingArea     float64   // mm² of the plate that presses
	BearingForce    float64   // N
	Compressed      bool      // whether the plate presses on the concrete at all
	EquilibriumLeft float64   // largest residual as a part of the load; a proof of the solution
}

// Demand returns the tension and shear of each anchor.
//
// Plane sections: plate displacement is linear, w = a + b·x + c·y; the concrete
// takes pressure only, in proportion to w, the anchors tension only, in
// proportion to their lift and n·A_s. The three unknowns follow from the three
// equilibria; for bending about one axis this is the cubic of the cracked
// base plate. Shear is shared equally, twist in proportion to the distance from
// the anchors' centroid; friction under the plate is not counted.
//
// Source: O. W. Blodgett, Design of Welded Structures, section 3.3, cubic for
// the bearing length; EN 1992-4 6.2 for the rigid plate (both memory). Checked:
// testdata/references/steel.json, anchor-*.
func (p BasePlate) Demand() (AnchorDemand, error) {
	if err := p.check(); err != nil {
		return AnchorDemand{}, err
	}
	out := AnchorDemand{Tension: make([]float64, len(p.Anchors)), Shear: p.shears()}
	for _, v := range out.Shear {
		out.WorstShear = max(out.WorstShear, v)
	}
	// Scaled so that lengths and forces are near 1: sinking presses.
	scale := max(p.Width, p.Depth)
	load := max(math.Abs(p.Compression), max(math.Abs(p.MomentX), math.Abs(p.MomentY))/scale)
	if load == 0 {
		return out, nil
	}
	s := plateState{hw: p.Width / scale / 2, hd: p.Depth / scale / 2,
		spring: p.ModularRatio * p.StressArea / (scale * scale)}
	for _, a := range p.Anchors {
		s.anchors = append(s.anchors, Anchor{a.X / scale, a.Y / scale})
	}
	want := [3]float64{p.Compression / load, p.MomentX / (load * scale), p.MomentY / (load * scale)}
	w := s.equilibrium(want)
	got, _ := s.resist(w)
	for i := range want {
		out.EquilibriumLeft = max(out.EquilibriumLeft, math.Abs(got[i]-want[i]))
	}
	if out.EquilibriumLeft > 1e-6 {
		return AnchorDemand{}, &ArgumentError{Argument: "base plate loads", Given: out.EquilibriumLeft,
			Low: 0, High: 1e-6,
			Detail: "no equilibrium was found for these loads"}
	}
	for i, a := range s.anchors {
		if lift := -(w[0] + w[1]*a.X + w[2]*a.Y); lift > 0 {
			out.Tension[i] = s.spring * lift * load
			out.WorstTension = max(out.WorstTension, out.Tension[i])
		}
	}
	if pressed := s.pressed(w); len(pressed) > 2 {
		m := polygonIntegrals(pressed)
		out.BearingArea = m[0] * scale * scale
		out.BearingForce = (w[0]*m[0] + w[1]*m[1] + w[2]*m[2]) * load
		out.Compressed = out.BearingForce > 0
		for _, v := range pressed {
			out.PeakBearing = max(out.PeakBearing, (w[0]+w[1]*v.X+w[2]*v.Y)*load/(scale*scale))
		}
	}
	return out, nil
}

func (p BasePlate) check() error {
	if err := refusal.First(
		refusal.Allow("plate width", p.Width, 20, 2000, "mm"),
		refusal.Allow("plate depth", p.Depth, 20, 2000, "mm"),
		refusal.Allow("number of anchors", float64(len(p.Anchors)), 1, 24, ""),
		refusal.Allow("anchor stress area", p.StressArea, 10, 5000, "mm²"),
		refusal.Allow("modular ratio", p.ModularRatio, 1, 30, ""),
		refusal.Allow("compression", p.Compression, -1e7, 1e7, "N"),
		refusal.Allow("moment pressing the x side", p.MomentX, -1e10, 1e10, "N·mm"),
		refusal.Allow("moment pressing the y side", p.MomentY, -1e10, 1e10, "N·mm"),
		refusal.Allow("shear along x", p.ShearX, -1e7, 1e7, "N"),
		refusal.Allow("shear along y", p.ShearY, -1e7, 1e7, "N"),
		refusal.Allow("twist", p.Twist, -1e10, 1e10, "N·mm"),
	); err != nil {
		return err
	}
	const edge = 5
	for i, a := range p.Anchors {
		if err := refusal.First(
			refusal.Allow("anchor x", a.X, -p.Width/2+edge, p.Width/2-edge, "mm"),
			refusal.Allow("anchor y", a.Y, -p.Depth/2+edge, p.Depth/2-edge, "mm"),
		); err != nil {
			return err
		}
		for _, other := range p.Anchors[:i] {
			if d := math.Hypot(a.X-other.X, a.Y-other.Y); d < edge {
				return &ArgumentError{Argument: "anchor distance", Given: d, Low: edge, High: 2000, Unit: "mm",
					Detail: "two anchors stand in one place"}
			}
		}
	}
	return nil
}

// shears shares the horizontal force and the twist about the anchors' centroid.
func (p BasePlate) shears() []float64 {
	n := float64(len(p.Anchors))
	cx, cy, polar := 0.0, 0.0, 0.0
	for _, a := range p.Anchors {
		cx += a.X / n
		cy += a.Y / n
	}
	for _, a := range p.Anchors {
		polar += (a.X-cx)*(a.X-cx) + (a.Y-cy)*(a.Y-cy)
	}
	// The shear acts at the plate's middle, so it twists about the centroid.
	twist := p.Twist - cx*p.ShearY + cy*p.ShearX
	out := make([]float64, len(p.Anchors))
	for i, a := range p.Anchors {
		x, y := p.ShearX/n, p.ShearY/n
		if polar > 0 {
			x -= twist * (a.Y - cy) / polar
			y += twist * (a.X - cx) / polar
		}
		out[i] = math.Hypot(x, y)
	}
	return out
}
