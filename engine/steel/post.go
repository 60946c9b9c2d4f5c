package steel

import (
	"math"

	"pegpour/engine/elementary"
	"pegpour/engine/refusal"
)

// Cantilever returns the moment at the foot (N·mm) and the deflection of the
// top (mm) of a post fixed at its foot under a sideways force (N) at a height
// (mm).
//
//	M = P·h;  δ = P·h³/(3EI)
//
// Source: any handbook; AISC Manual beam diagrams, cantilever with a load at
// its end (memory).
func Cantilever(force, height, elasticity, inertia float64) (moment, deflection float64, err error) {
	if err := refusal.First(
		refusal.Allow("force", force, 0, 1e7, "N"),
		refusal.Allow("height", height, 0, 20000, "mm"),
		refusal.Allow("modulus of elasticity", elasticity, 1000, 1e6, "MPa"),
		refusal.Allow("second moment of area", inertia, 1, 1e12, "mm⁴"),
	); err != nil {
		return 0, 0, err
	}
	return force * height, force * height * height * height / (3 * elasticity * inertia), nil
}

// EulerLoad returns the elastic critical load of a strut, N.
//
//	N_cr = π²EI/(KL)²
//
// k is the effective-length factor, 0.5 to 3: 2 for a post fixed at its foot
// and free at its top, 1 for pinned ends.
//
// Source: Euler; AISC 360, commentary table C-A-7.1 for K (memory). Checked:
// testdata/references/steel.json, euler-*.
func EulerLoad(elasticity, inertia, length, k float64) (float64, error) {
	if err := refusal.First(
		refusal.Allow("modulus of elasticity", elasticity, 1000, 1e6, "MPa"),
		refusal.Allow("second moment of area", inertia, 1, 1e12, "mm⁴"),
		refusal.Allow("length", length, 1, 50000, "mm"),
		refusal.Allow("effective-length factor", k, 0.5, 3, ""),
	); err != nil {
		return 0, err
	}
	return math.Pi * math.Pi * elasticity * inertia / (k * length * k * length), nil
}

// CantileverLength is the effective-length factor of a post fixed at its foot
// and free at its top.
//
// Source: AISC 360, commentary table C-A-7.1 (memory).
const CantileverLength = 2

// Slenderness returns KL/i about the weakest axis of a section.
func Slenderness(s Section, length, k float64) (float64, error) {
	if err := refusal.First(
		refusal.Allow("length", length, 1, 50000, "mm"),
		refusal.Allow("effective-length factor", k, 0.5, 3, ""),
		refusal.Allow("least radius of gyration", s.LeastRadius(), 0.01, 1000, "mm"),
	); err != nil {
		return 0, err
	}
	return k * length / s.LeastRadius(), nil
}

// MaxSlenderness is the slenderness that a compression member should not
// exceed. Source: AISC 360, user note in E2 (memory).
const MaxSlenderness = 200

// Post is a member under axial force and bending about both axes.
type Post struct {
	Section    Section
	Length     float64 // mm, 1 to 50 000
	K          float64 // effective-length factor, 0.5 to 3
	Elasticity float64 // MPa
	Yield      float64 // MPa, 100 to 1000
	Safety     float64 // factor on yield and on buckling, 1 to 5
	Axial      float64 // N, compression positive, 0 to 1e7
	Vertical   float64 // N·mm, size of the moment bent by a load along Height
	Sideways   float64 // N·mm, size of the moment bent by a load along Width
	// Bent is the way the moments run along the member, for Amplifier; the zero
	// value is the worst.
	Bent Bent
}

// PostResult is the check of a Post with everything that went into it.
type PostResult struct {
	Slenderness    float64 // KL/i
	Euler          float64 // N, critical load about the weakest axis
	CriticalStress float64 // MPa, compressive strength with imperfections
	Allowable      float64 // MPa, Yield/Safety
	AxialStress    float64 // MPa
	// Unstable says that the axial force reaches the critical load over Safety:
	// no amplifier exists, and Utilisation is above 1 by the axial part alone.
	Unstable bool
	// Amplifier is how much the axial force enlarges the bending, ≥ 1; 1 when
	// Unstable.
	Amplifier     float64
	BendingStress float64 // MPa, both axes together, not yet amplified
	AxialUse      float64 // axial part of Utilisation
	BendingUse    float64 // bending part of Utilisation, amplified
	// Utilisation is AxialUse + BendingUse; above 1 fails.
	Utilisation float64
}

// Check returns a first-pass elastic check of axial force with bending.
//
//	F_e = π²E/(KL/i)²
//	F_cr = 0.658^(f_y/F_e)·f_y  for f_y/F_e ≤ 2.25, else 0.877·F_e
//	use = S·N/(A·F_cr) + (M_v/W_v + M_s/W_s)·B(S·N/N_cr) · S/f_y
//
// B is Amplifier.
//
// Source: AISC 360-16 equations E3-2 and E3-3 for F_cr; linear addition of
// EN 1993-1-1 6.2.1(7) (both memory). Local and lateral-torsional buckling are
// not looked at.
func (p Post) Check() (PostResult, error) {
	slender, err := Slenderness(p.Section, p.Length, p.K)
	if err != nil {
		return PostResult{}, err
	}
	if err := refusal.First(
		refusal.Allow("modulus of elasticity", p.Elasticity, 1000, 1e6, "MPa"),
		refusal.Allow("yield strength", p.Yield, 100, 1000, "MPa"),
		refusal.Allow("safety factor", p.Safety, 1, 5, ""),
		refusal.Allow("axial force", p.Axial, 0, 1e7, "N"),
		refusal.Allow("moment", p.Vertical, 0, 1e12, "N·mm"),
		refusal.Allow("sideways moment", p.Sideways, 0, 1e12, "N·mm"),
	); err != nil {
		return PostResult{}, err
	}
	r := PostResult{Slenderness: slender, Allowable: p.Yield / p.Safety}
	elastic := math.Pi * math.Pi * p.Elasticity / (slender * slender)
	r.Euler = elastic * p.Section.Area
	if ratio := p.Yield / elastic; ratio <= 2.25 {
		r.CriticalStress = elementary.Pow(0.658, ratio) * p.Yield
	} else {
		r.CriticalStress = 0.877 * elastic
	}
	r.AxialStress = p.Axial / p.Section.Area
	if r.BendingStress, err = BiaxialStress(p.Section, p.Vertical, p.Sideways); err != nil {
		return PostResult{}, err
	}
	r.AxialUse = p.Safety * r.AxialStress / r.CriticalStress
	r.Amplifier = 1
	if ratio := p.Safety * p.Axial / r.Euler; ratio > 1-1e-9 {
		r.Unstable = true
	} else if r.Amplifier, err = Amplifier(p.Bent, ratio); err != nil {
		return PostResult{}, err
	}
	r.BendingUse = r.BendingStress * r.Amplifier / r.Allowable
	r.Utilisation = r.AxialUse + r.BendingUse
	return r, nil
}

// BiaxialStress returns the greatest bending stress (MPa) under moments of
// both directions (N·mm), as at a corner of a hollow section or flat.
//
//	σ = M_v/W_v + M_s/W_s
func BiaxialStress(s Section, vertical, sideways float64) (float64, error) {
	if err := refusal.First(
		refusal.Allow("section modulus", s.ModulusVertical, 0.01, 1e9, "mm³"),
		refusal.Allow("sideways section modulus", s.ModulusSideways, 0.01, 1e9, "mm³"),
		refusal.Allow("moment", math.Abs(vertical), 0, 1e12, "N·mm"),
		refusal.Allow("sideways moment", math.Abs(sideways), 0, 1e12, "N·mm"),
	); err != nil {
		return 0, err
	}
	return math.Abs(vertical)/s.ModulusVertical + math.Abs(sideways)/s.ModulusSideways, nil
}

// BiaxialUse returns the part of the yield strength over a safety factor that
// bending of both directions takes; above 1 fails.
func BiaxialUse(s Section, vertical, sideways, yield, safety float64) (float64, error) {
	if err := refusal.First(
		refusal.Allow("yield strength", yield, 100, 1000, "MPa"),
		refusal.Allow("safety factor", safety, 1, 5, ""),
	); err != nil {
		return 0, err
	}
	stress, err := BiaxialStress(s, vertical, sideways)
	return stress * safety / yield, err
}
