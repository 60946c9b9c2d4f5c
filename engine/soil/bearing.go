package soil

import (
	"math"

	"pegpour/engine/elementary"
	"pegpour/engine/refusal"
)

// Footing is a rectangular base or a strip under a load that stands off its
// middle and leans. Forces act at the underside; of a strip they are for one
// millimetre of length: N/mm and N·mm/mm.
type Footing struct {
	Width         float64 // mm, 50 to 20 000: across which Horizontal acts
	Length        float64 // mm, 50 to 1e5; 0 is a strip without end
	Depth         float64 // mm of ground over the underside on every side, 0 to 10 000
	FrictionAngle float64 // rad, of the ground below, 0 to 45°
	Cohesion      float64 // MPa of the ground below, 0 to 0.5
	WeightOver    float64 // N/mm³, unit weight of the ground over the underside, 0 to 30e-6
	WeightBelow   float64 // N/mm³, of the ground below, 0 to 30e-6: less WaterWeight under water
	Vertical      float64 // N, above 0 to 1e8
	Horizontal    float64 // N, size, 0 to 1e8, along Width
	MomentWidth   float64 // N·mm, size, that shifts the load along Width
	MomentLength  float64 // N·mm, size, along Length; 0 of a strip
	// CountDepth lets the strength of the ground beside the base help, by the
	// depth factors. It must stay there, and be as strong as that below.
	CountDepth bool
}

// FootingResult is what the ground bears with all that led to it.
type FootingResult struct {
	EccentricityWidth, EccentricityLength float64 // mm
	EffectiveWidth, EffectiveLength       float64 // mm; of a strip EffectiveLength is 1
	Inclination                           float64 // rad, of the load off the vertical
	Nc, Nq, Nw                            float64 // of cohesion, depth and weight
	ShapeC, ShapeQ, ShapeW                float64
	DepthC, DepthQ                        float64
	LeanC, LeanW                          float64 // inclination factors; that of depth is LeanC
	Pressure                              float64 // MPa on the effective area at failure
	Load                                  float64 // N vertical at failure
	// Factor is Load over Vertical: the safety against failure of the ground. The
	// source asks for 3.
	Factor float64
}

// Bearing returns the load at which the ground under a base fails, by Meyerhof's
// effective area and inclination factors.
//
//	q_u = c·N_c·s_c·d_c·i_c + γ₁D·N_q·s_q·d_q·i_q + ½γ₂B'·N_γ·s_γ·i_γ
//	N_q = tan²(45° + φ/2)·e^(π·tan φ);  N_c = (N_q − 1)/tan φ;  N_γ = 2(N_q + 1)·tan φ
//	s_c = 1 + B'/L'·N_q/N_c;  s_q = 1 + B'/L'·tan φ;  s_γ = 1 − 0.4B'/L'
//	d_q = 1 + 2·tan φ·(1 − sin φ)²·D/B;  d_c = d_q − (1 − d_q)/(N_c·tan φ), 1 + 0.4D/B where φ = 0
//	i_c = i_q = (1 − θ/90°)²;  i_γ = (1 − θ/φ)², 0 where θ ≥ φ
//	B' = B − 2e
//
// D/B over 1 is its arctangent. A load outside the base is refused. Sliding is a
// check of its own.
//
// Source: B. M. Das, Principles of Foundation Engineering, general bearing
// capacity equation with Prandtl's, Reissner's and Vesić's factors, De Beer's
// shapes, Hansen's depths, Meyerhof's inclinations (memory). Checked:
// testdata/references/soil.json, bearing-*.
func (f Footing) Bearing() (FootingResult, error) {
	if err := f.check(); err != nil {
		return FootingResult{}, err
	}
	r := FootingResult{EccentricityWidth: f.MomentWidth / f.Vertical, EccentricityLength: f.MomentLength / f.Vertical,
		Inclination: math.Atan2(f.Horizontal, f.Vertical), DepthC: 1, DepthQ: 1}
	length := f.Length
	if length == 0 {
		length = math.Inf(1)
	}
	if r.EccentricityWidth >= f.Width/2 || r.EccentricityLength >= length/2 {
		return FootingResult{}, &ArgumentError{Argument: "eccentricity of the load",
			Given: max(r.EccentricityWidth, r.EccentricityLength), Low: 0, High: f.Width / 2, Unit: "mm",
			Detail: "the load stands outside the base, which tips"}
	}
	r.EffectiveWidth, r.EffectiveLength = f.Width-2*r.EccentricityWidth, length-2*r.EccentricityLength
	r.factors(f.FrictionAngle)
	ratio := min(r.EffectiveWidth, r.EffectiveLength) / max(r.EffectiveWidth, r.EffectiveLength)
	tan := math.Tan(f.FrictionAngle)
	r.ShapeC, r.ShapeQ, r.ShapeW = 1+ratio*r.Nq/r.Nc, 1+ratio*tan, 1-0.4*ratio
	if f.CountDepth {
		r.depths(f)
	}
	r.LeanC = 1 - r.Inclination/(math.Pi/2)
	r.LeanC *= r.LeanC
	if f.FrictionAngle > r.Inclination {
		r.LeanW = (1 - r.Inclination/f.FrictionAngle) * (1 - r.Inclination/f.FrictionAngle)
	}
	r.Pressure = f.Cohesion*r.Nc*r.ShapeC*r.DepthC*r.LeanC + f.WeightOver*f.Depth*r.Nq*r.ShapeQ*r.DepthQ*r.LeanC +
		f.WeightBelow*min(r.EffectiveWidth, r.EffectiveLength)/2*r.Nw*r.ShapeW*r.LeanW
	if f.Length == 0 {
		r.EffectiveLength = 1
	}
	r.Load = r.Pressure * r.EffectiveWidth * r.EffectiveLength
	r.Factor = r.Load / f.Vertical
	return r, nil
}

// factors fills N_c, N_q and N_γ. Below a hundredth of a degree the ground counts
// as without friction.
func (r *FootingResult) factors(phi float64) {
	if phi < 0.01*degree {
		r.Nc, r.Nq = math.Pi+2, 1
		return
	}
	t, tan := math.Tan(math.Pi/4+phi/2), math.Tan(phi)
	r.Nq = t * t * elementary.Exp(math.Pi*tan)
	r.Nc = (r.Nq - 1) / tan
	r.Nw = 2 * (r.Nq + 1) * tan
}

func (r *FootingResult) depths(f Footing) {
	deep := f.Depth / f.Width
	if deep > 1 {
		deep = math.Atan(deep)
	}
	if r.Nw == 0 {
		r.DepthC = 1 + 0.4*deep
		return
	}
	tan, sin := math.Tan(f.FrictionAngle), math.Sin(f.FrictionAngle)
	r.DepthQ = 1 + 2*tan*(1-sin)*(1-sin)*deep
	r.DepthC = r.DepthQ - (1-r.DepthQ)/(r.Nc*tan)
}

func (f Footing) check() error {
	leastLength, mostMoment := 50.0, 1e12
	if f.Length == 0 {
		leastLength, mostMoment = 0, 0
	}
	return refusal.First(
		refusal.Allow("base width", f.Width, 50, 20000, "mm"),
		refusal.Allow("base length", f.Length, leastLength, 1e5, "mm"),
		refusal.Allow("depth of the base", f.Depth, 0, 10000, "mm"),
		refusal.Allow("friction angle", f.FrictionAngle, 0, 45*degree, "rad"),
		refusal.Allow("cohesion", f.Cohesion, 0, 0.5, "MPa"),
		refusal.Allow("unit weight over the base", f.WeightOver, 0, 30e-6, "N/mm³"),
		refusal.Allow("unit weight below the base", f.WeightBelow, 0, 30e-6, "N/mm³"),
		refusal.Allow("vertical force", f.Vertical, 1e-3, 1e8, "N"),
		refusal.Allow("horizontal force", f.Horizontal, 0, 1e8, "N"),
		refusal.Allow("moment along the width", f.MomentWidth, 0, 1e12, "N·mm"),
		refusal.Allow("moment along the length", f.MomentLength, 0, mostMoment, "N·mm"),
	)
}
