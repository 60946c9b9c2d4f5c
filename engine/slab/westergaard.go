package slab

import (
	"math"

	"pegpour/engine/elementary"
	"pegpour/engine/refusal"
)

// WheelLoad is a wheel on a slab wide against its radius of relative stiffness.
// A strip narrower than about that radius is a Strip instead.
type WheelLoad struct {
	Load      float64 // N, above 0 to 1e6
	Radius    float64 // mm, of the circle in contact, 1 to 1000; at most half of Stiffness
	Thickness float64 // mm of slab, 30 to 1000
	Modulus   float64 // MPa, elasticity of the concrete, 1000 to 100 000
	Poisson   float64 // 0 to 0.3; 0.15 is usual
	Subgrade  float64 // N/mm³, 0.001 to 1
}

// Response is the tensile stress and the deflection under a wheel.
type Response struct {
	Stress     float64 // MPa
	Deflection float64 // mm
	Stiffness  float64 // mm, radius of relative stiffness ℓ
	Pressure   float64 // MPa on the ground under the wheel, Subgrade·Deflection
}

// Stiffness returns the radius of relative stiffness of a slab, mm.
//
//	ℓ = (E·h³/(12(1 − ν²)k))^¼
//
// Source: H. M. Westergaard 1926, in Y. H. Huang, Pavement Analysis and Design,
// ch. 4. Checked: testdata/references/slab.json, westergaard-ell.
func Stiffness(modulus, thickness, poisson, subgrade float64) (float64, error) {
	if err := refusal.First(
		refusal.Allow("modulus of elasticity", modulus, 1000, 100000, "MPa"),
		refusal.Allow("slab thickness", thickness, 30, 1000, "mm"),
		refusal.Allow("Poisson's ratio", poisson, 0, 0.3, ""),
		refusal.Allow("modulus of subgrade reaction", subgrade, 0.001, 1, "N/mm³"),
	); err != nil {
		return 0, err
	}
	return elementary.Pow(modulus*thickness*thickness*thickness/(12*(1-poisson*poisson)*subgrade), 0.25), nil
}

// ready checks the wheel and starts the answer.
func (w WheelLoad) ready() (Response, error) {
	ell, err := Stiffness(w.Modulus, w.Thickness, w.Poisson, w.Subgrade)
	if err != nil {
		return Response{}, err
	}
	return Response{Stiffness: ell}, refusal.First(
		refusal.Allow("wheel load", w.Load, 1e-3, 1e6, "N"),
		refusal.Allow("contact radius", w.Radius, 1, min(1000, ell/2), "mm"),
	)
}

func (w WheelLoad) finish(r Response) Response {
	r.Pressure = w.Subgrade * r.Deflection
	return r
}

// Interior returns the stress at the bottom of the slab under a wheel far from
// any edge.
//
//	σ = 3(1 + ν)P/(2πh²) · (ln(ℓ/b) + 0.6159)
//	b = a for a ≥ 1.724h, else √(1.6a² + h²) − 0.675h
//	Δ = P/(8kℓ²) · (1 + (1/2π)(ln(a/2ℓ) − 0.673)(a/ℓ)²)
//
// Source: Huang, ch. 4, interior loading. Checked: testdata/references/slab.json,
// westergaard-interior.
func (w WheelLoad) Interior() (Response, error) {
	r, err := w.ready()
	if err != nil {
		return Response{}, err
	}
	a, h, ell, nu := w.Radius, w.Thickness, r.Stiffness, w.Poisson
	b := a
	if a < 1.724*h {
		b = math.Sqrt(1.6*a*a+h*h) - 0.675*h
	}
	r.Stress = 3 * (1 + nu) * w.Load / (2 * math.Pi * h * h) * (elementary.Log(ell/b) + 0.6159)
	r.Deflection = w.Load / (8 * w.Subgrade * ell * ell) * (1 +
		(elementary.Log(a/(2*ell))-0.673)*a*a/(ell*ell)/(2*math.Pi))
	return w.finish(r), nil
}

// Edge returns the stress at the bottom of the slab under a wheel whose whole
// circle stands at a free edge.
//
//	σ = 3(1 + ν)P/(π(3 + ν)h²) · (ln(Eh³/(100ka⁴)) + 1.84 − 4ν/3 + (1 − ν)/2 + 1.18(1 + 2ν)a/ℓ)
//	Δ = √(2 + 1.2ν)·P/√(Eh³k) · (1 − (0.76 + 0.4ν)a/ℓ)
//
// Source: Huang, ch. 4, edge loading, circle (after Westergaard 1948 and
// Ioannides and others 1985). Checked: testdata/references/slab.json,
// westergaard-edge.
func (w WheelLoad) Edge() (Response, error) {
	nu := w.Poisson
	return w.atEdge(1.84+(1-nu)/2-4*nu/3, 1.18*(1+2*nu), 0.76+0.4*nu)
}

// EdgeHalf is Edge for a half circle whose straight side lies on the edge, as a
// wheel half on the slab bears: the same load on half the ground.
//
//	σ = 3(1 + ν)P/(π(3 + ν)h²) · (ln(Eh³/(100ka⁴)) + 3.84 − 4ν/3 + (1 + 2ν)a/(2ℓ))
//	Δ = √(2 + 1.2ν)·P/√(Eh³k) · (1 − (0.323 + 0.17ν)a/ℓ)
//
// Source: as Edge. Checked: testdata/references/slab.json, westergaard-edge-half.
func (w WheelLoad) EdgeHalf() (Response, error) {
	nu := w.Poisson
	return w.atEdge(3.84-4*nu/3, (1+2*nu)/2, 0.323+0.17*nu)
}

func (w WheelLoad) atEdge(constant, slope, sag float64) (Response, error) {
	r, err := w.ready()
	if err != nil {
		return Response{}, err
	}
	a, h, nu := w.Radius, w.Thickness, w.Poisson
	stiff := w.Modulus * h * h * h
	near := a / r.Stiffness
	r.Stress = 3 * (1 + nu) * w.Load / (math.Pi * (3 + nu) * h * h) *
		(elementary.Log(stiff/(100*w.Subgrade*a*a*a*a)) + constant + slope*near)
	r.Deflection = math.Sqrt(2+1.2*nu) * w.Load / math.Sqrt(stiff*w.Subgrade) * (1 - sag*near)
	return w.finish(r), nil
}

// Corner returns the stress at the top of the slab under a wheel at a free
// corner.
//
//	σ = 3P/h² · (1 − (a√2/ℓ)^0.6)
//	Δ = P/(kℓ²) · (1.1 − 0.88·a√2/ℓ)
//
// Source: Westergaard 1926, in Huang, ch. 4, corner loading. Checked:
// testdata/references/slab.json, westergaard-corner.
func (w WheelLoad) Corner() (Response, error) {
	r, err := w.ready()
	if err != nil {
		return Response{}, err
	}
	near := w.Radius * math.Sqrt2 / r.Stiffness
	r.Stress = 3 * w.Load / (w.Thickness * w.Thickness) * (1 - elementary.Pow(near, 0.6))
	r.Deflection = w.Load / (w.Subgrade * r.Stiffness * r.Stiffness) * (1.1 - 0.88*near)
	return w.finish(r), nil
}

// CornerSquare is Corner by the later fit to finite elements for a square
// contact of the same area, c = 1.772a.
//
//	σ = 3P/h² · (1 − (c/ℓ)^0.72)
//	Δ = P/(kℓ²) · (1.205 − 0.69·c/ℓ)
//
// Source: A. M. Ioannides, M. R. Thompson, E. J. Barenberg 1985, in Huang, ch. 4.
// Checked: testdata/references/slab.json, ioannides-corner.
func (w WheelLoad) CornerSquare() (Response, error) {
	r, err := w.ready()
	if err != nil {
		return Response{}, err
	}
	near := 1.772 * w.Radius / r.Stiffness
	r.Stress = 3 * w.Load / (w.Thickness * w.Thickness) * (1 - elementary.Pow(near, 0.72))
	r.Deflection = w.Load / (w.Subgrade * r.Stiffness * r.Stiffness) * (1.205 - 0.69*near)
	return w.finish(r), nil
}

// ContactRadius returns the radius (mm) of the circle on which a tyre of a load
// (N) and an inflation pressure (MPa) stands.
//
//	a = √(P/(πp))
func ContactRadius(load, pressure float64) (float64, error) {
	if err := refusal.First(
		refusal.Allow("wheel load", load, 1e-3, 1e6, "N"),
		refusal.Allow("tyre pressure", pressure, 0.01, 10, "MPa"),
	); err != nil {
		return 0, err
	}
	return math.Sqrt(load / (math.Pi * pressure)), nil
}
