package slab

import (
	"math"

	"pegpour/engine/elementary"
	"pegpour/engine/refusal"
)

// Poisson is Poisson's ratio of concrete.
//
// Source: Y. H. Huang, Pavement Analysis and Design, usual value.
const Poisson = 0.15

// RuptureACI returns the modulus of rupture of normal-weight concrete, MPa, for
// a specified cylinder strength of 10 to 100 MPa.
//
//	f_r = 0.62·√f'c
//
// Source: ACI 318-19, 19.2.3.1 (memory). Checked: testdata/references/slab.json,
// plain-concrete-fr.
func RuptureACI(cylinder float64) (float64, error) {
	if err := refusal.First(refusal.Allow("cylinder strength", cylinder, 10, 100, "MPa")); err != nil {
		return 0, err
	}
	return 0.62 * math.Sqrt(cylinder), nil
}

// MeanTensile returns the mean axial tensile strength, MPa, for a
// characteristic cylinder strength of 10 to 90 MPa.
//
//	f_ctm = 0.30·f_ck^(2/3) up to C50, else 2.12·ln(1 + (f_ck + 8)/10)
//
// Source: EN 1992-1-1 table 3.1 (memory). Checked: testdata/references/slab.json,
// fctm-*.
func MeanTensile(cylinder float64) (float64, error) {
	if err := refusal.First(refusal.Allow("cylinder strength", cylinder, 10, 90, "MPa")); err != nil {
		return 0, err
	}
	if cylinder <= 50 {
		return 0.30 * elementary.Pow(cylinder, 2.0/3), nil
	}
	return 2.12 * elementary.Log(1+(cylinder+8)/10), nil
}

// MeanFlexural returns the mean flexural tensile strength of a member of a
// thickness (mm), MPa.
//
//	f_ctm,fl = max((1.6 − h/1000)·f_ctm; f_ctm)
//
// Source: EN 1992-1-1, 3.1.8 (memory).
func MeanFlexural(cylinder, thickness float64) (float64, error) {
	mean, err := MeanTensile(cylinder)
	if err != nil {
		return 0, err
	}
	if err := refusal.First(refusal.Allow("thickness", thickness, 30, 5000, "mm")); err != nil {
		return 0, err
	}
	return max(1, 1.6-thickness/1000) * mean, nil
}

// ModulusACI returns the modulus of elasticity of normal-weight concrete, MPa.
//
//	E_c = 4700·√f'c
//
// Source: ACI 318-19, 19.2.2.1 (memory).
func ModulusACI(cylinder float64) (float64, error) {
	if err := refusal.First(refusal.Allow("cylinder strength", cylinder, 10, 100, "MPa")); err != nil {
		return 0, err
	}
	return 4700 * math.Sqrt(cylinder), nil
}

// ModulusEN returns the secant modulus of elasticity, MPa.
//
//	E_cm = 22 000·((f_ck + 8)/10)^0.3
//
// Source: EN 1992-1-1 table 3.1 (memory). Checked: testdata/references/slab.json,
// ecm-*.
func ModulusEN(cylinder float64) (float64, error) {
	if err := refusal.First(refusal.Allow("cylinder strength", cylinder, 10, 90, "MPa")); err != nil {
		return 0, err
	}
	return 22000 * elementary.Pow((cylinder+8)/10, 0.3), nil
}

// Use returns the part of a strength (MPa) over a safety factor that a stress
// (MPa) takes; above 1 fails. The sign of the stress does not matter.
//
// Factors of 1.4 to 2.0 on the modulus of rupture are usual for slabs on the
// ground. Source: ACI 360R (memory).
func Use(stress, strength, safety float64) (float64, error) {
	if err := refusal.First(
		refusal.Allow("stress", math.Abs(stress), 0, 1e4, "MPa"),
		refusal.Allow("strength", strength, 0.01, 1000, "MPa"),
		refusal.Allow("safety factor", safety, 1, 5, ""),
	); err != nil {
		return 0, err
	}
	return math.Abs(stress) * safety / strength, nil
}

// CrackingMoment returns the moment (N·mm) at which a plain rectangular section
// cracks.
//
//	M_cr = f_r·b·h²/6
func CrackingMoment(width, thickness, rupture float64) (float64, error) {
	if err := refusal.First(
		refusal.Allow("width", width, 20, 10000, "mm"),
		refusal.Allow("thickness", thickness, 30, 5000, "mm"),
		refusal.Allow("modulus of rupture", rupture, 0.1, 20, "MPa"),
	); err != nil {
		return 0, err
	}
	return rupture * width * thickness * thickness / 6, nil
}

// Reinforced is a rectangular section with one layer of bars in tension.
type Reinforced struct {
	Width    float64 // mm, 20 to 10 000
	Depth    float64 // mm from the pressed face to the middle of the bars, 20 to 5000
	BarArea  float64 // mm², 1 to 100 000
	Yield    float64 // MPa of the bars, 200 to 700
	Cylinder float64 // MPa, 10 to 100
}

// ReinforcedMoment is what a Reinforced section can bear.
type ReinforcedMoment struct {
	Block   float64 // mm, depth of the stress block
	Nominal float64 // N·mm
	Strain  float64 // of the bars when the concrete fails
	Phi     float64 // strength reduction factor, 0.65 to 0.9
	Design  float64 // N·mm, Phi·Nominal
	// TooMuchSteel says that the bars do not yield well before the concrete
	// fails (strain below 0.004): such a section is not allowed.
	TooMuchSteel bool
}

// Moment returns the moment a reinforced section can bear.
//
//	a = A_s·f_y/(0.85·f'c·b);  M_n = A_s·f_y·(d − a/2)
//	ε_t = 0.003·(d − a/β1)/(a/β1);  φ = 0.65 + (ε_t − 0.002)·250/3, 0.65 to 0.9
//
// Source: ACI 318, 22.2 rectangular stress block, 21.2 strength reduction of
// the 2014 edition for 420 MPa bars (memory). Checked:
// testdata/references/slab.json, stress-block.
func (r Reinforced) Moment() (ReinforcedMoment, error) {
	if err := r.check(); err != nil {
		return ReinforcedMoment{}, err
	}
	block := r.BarArea * r.Yield / (0.85 * r.Cylinder * r.Width)
	beta := min(0.85, max(0.65, 0.85-0.05*(r.Cylinder-28)/7))
	axis := block / beta
	if axis >= r.Depth {
		return ReinforcedMoment{}, &ArgumentError{Argument: "bar area", Given: r.BarArea, Low: 1,
			High: beta * r.Depth * 0.85 * r.Cylinder * r.Width / r.Yield, Unit: "mm²",
			Detail: "more steel than the concrete can balance"}
	}
	m := ReinforcedMoment{Block: block, Nominal: r.BarArea * r.Yield * (r.Depth - block/2),
		Strain: 0.003 * (r.Depth - axis) / axis}
	m.Phi = min(0.9, max(0.65, 0.65+(m.Strain-0.002)*250/3))
	m.Design = m.Phi * m.Nominal
	m.TooMuchSteel = m.Strain < 0.004
	return m, nil
}
