package slab

import (
	"math"

	"pegpour/engine/refusal"
)

// WheelCheck asks what governs a strip or slab of plain concrete under wheels.
type WheelCheck struct {
	Strip                    // its Width is the strip's, its Modulus the concrete's
	Poisson      float64     // 0 to 0.3
	Loads        []StripLoad // wheels along the strip, 1 to MaxStripLoads; from the free end when FromEnd
	FromEnd      bool        // whether the strip ends at chainage 0
	Radius       float64     // mm, of a wheel's contact circle
	Strength     float64     // MPa, modulus of rupture
	Safety       float64     // on Strength, 1 to 5
	AllowedEarth float64     // MPa, allowable pressure on the ground, 0.001 to 10
}

// WheelCase is one way in which a strip is loaded.
type WheelCase struct {
	Name     string  // in the trade's words
	Top      bool    // whether the tension is at the top
	Stress   float64 // MPa
	Use      float64 // Stress·Safety/Strength
	Pressure float64 // MPa on the ground; 0 where the case does not look at it
}

// WheelAnswer lists the cases and says which governs.
type WheelAnswer struct {
	Lambda      float64 // 1/mm, of the strip as a beam
	Stiffness   float64 // mm, radius of relative stiffness as a slab
	Cases       []WheelCase
	Governing   int     // index of the case with the greatest Use
	EarthUse    float64 // greatest pressure over AllowedEarth
	EarthPeak   float64 // MPa
	SlabCases   bool    // whether the strip is wide enough to be checked as a slab too
	GreatestUse float64
}

// Governing runs every case that fits the strip: always as a beam on an elastic
// foundation; as a slab at its interior, edge and, with FromEnd, corner when it
// is at least as wide as its radius of relative stiffness. A wide strip as a
// beam would share a wheel over its whole width, a narrow one as a slab has no
// interior: the greater use governs.
//
// The choice at one radius of relative stiffness is common practice, no
// published source.
func (c WheelCheck) Governing() (WheelAnswer, error) {
	if err := refusal.First(
		refusal.Allow("number of wheels", float64(len(c.Loads)), 1, MaxStripLoads, ""),
		refusal.Allow("strength", c.Strength, 0.1, 20, "MPa"),
		refusal.Allow("safety factor", c.Safety, 1, 5, ""),
		refusal.Allow("allowable pressure on the ground", c.AllowedEarth, 0.001, 10, "MPa"),
	); err != nil {
		return WheelAnswer{}, err
	}
	var out WheelAnswer
	var err error
	if out.Lambda, err = c.Lambda(); err != nil {
		return WheelAnswer{}, err
	}
	if out.Stiffness, err = Stiffness(c.Modulus, c.Thickness, c.Poisson, c.Subgrade); err != nil {
		return WheelAnswer{}, err
	}
	sagging, hogging, pressure, err := c.Worst(c.Loads, c.FromEnd)
	if err != nil {
		return WheelAnswer{}, err
	}
	add := func(name string, top bool, stress, earth float64) {
		use := math.Abs(stress) * c.Safety / c.Strength
		out.Cases = append(out.Cases, WheelCase{name, top, math.Abs(stress), use, earth})
		if use > out.GreatestUse {
			out.GreatestUse, out.Governing = use, len(out.Cases)-1
		}
		out.EarthPeak = max(out.EarthPeak, earth)
	}
	add("strip as a beam, sagging under a wheel", false, sagging.Stress, pressure.Pressure)
	add("strip as a beam, hogging beside a wheel", true, hogging.Stress, 0)
	if out.SlabCases = c.Width >= out.Stiffness; out.SlabCases {
		if err := c.asSlab(add); err != nil {
			return WheelAnswer{}, err
		}
	}
	out.EarthUse = out.EarthPeak / c.AllowedEarth
	return out, nil
}

func (c WheelCheck) asSlab(add func(string, bool, float64, float64)) error {
	w := WheelLoad{Radius: c.Radius, Thickness: c.Thickness, Modulus: c.Modulus, Poisson: c.Poisson,
		Subgrade: c.Subgrade}
	for _, p := range c.Loads {
		w.Load = max(w.Load, p.Force)
	}
	for _, k := range [...]struct {
		name string
		top  bool
		find func() (Response, error)
	}{
		{"slab, wheel in its middle", false, w.Interior},
		{"slab, wheel at its edge", false, w.Edge},
		{"slab, wheel half over its edge", false, w.EdgeHalf},
		{"slab, wheel at its corner", true, w.Corner},
	} {
		if k.top && !c.FromEnd {
			continue
		}
		r, err := k.find()
		if err != nil {
			return err
		}
		add(k.name, k.top, r.Stress, r.Pressure)
	}
	return nil
}
