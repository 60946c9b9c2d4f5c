package slab

import (
	"math"

	"pegpour/engine/elementary"
	"pegpour/engine/refusal"
)

// Strip is a long narrow strip of concrete on the ground: a beam on an elastic
// foundation.
type Strip struct {
	Width     float64 // mm, 50 to 5000
	Thickness float64 // mm, 30 to 2000
	Modulus   float64 // MPa, 1000 to 100 000
	Subgrade  float64 // N/mm³, 0.001 to 1
}

// StripLoad is a force (N) on a strip at a chainage (mm).
type StripLoad struct{ At, Force float64 }

// StripResponse is what a strip does at one place.
type StripResponse struct {
	Deflection float64 // mm, downwards
	Pressure   float64 // MPa on the ground
	Moment     float64 // N·mm, sagging positive: tension at the bottom
	Stress     float64 // MPa, Moment over bh²/6
}

func (s Strip) check() error {
	return refusal.First(
		refusal.Allow("strip width", s.Width, 50, 5000, "mm"),
		refusal.Allow("strip thickness", s.Thickness, 30, 2000, "mm"),
		refusal.Allow("modulus of elasticity", s.Modulus, 1000, 100000, "MPa"),
		refusal.Allow("modulus of subgrade reaction", s.Subgrade, 0.001, 1, "N/mm³"),
	)
}

// Lambda returns the characteristic of the strip, 1/mm.
//
//	λ = (k·b/(4EI))^¼,  I = b·h³/12
//
// Source: M. Hetényi, Beams on Elastic Foundation. Checked:
// testdata/references/slab.json, boef.
func (s Strip) Lambda() (float64, error) {
	if err := s.check(); err != nil {
		return 0, err
	}
	inertia := s.Width * s.Thickness * s.Thickness * s.Thickness / 12
	return elementary.Pow(s.Subgrade*s.Width/(4*s.Modulus*inertia), 0.25), nil
}

// MaxStripLoads is the most wheels that At takes.
const MaxStripLoads = 32

// At returns what the strip does at a chainage x under loads far from its ends,
// π/λ or more.
//
//	y = Σ Pλ/(2kb)·e^(−λx)(cos λx + sin λx);  M = Σ P/(4λ)·e^(−λx)(cos λx − sin λx)
//
// Under a single load: y = Pλ/(2kb), M = P/(4λ).
//
// Source: Hetényi, infinite beam. Checked: testdata/references/slab.json, boef.
func (s Strip) At(x float64, loads []StripLoad) (StripResponse, error) {
	lambda, err := s.loaded(x, loads)
	if err != nil {
		return StripResponse{}, err
	}
	var y, m float64
	for _, p := range loads {
		f := waveAt(lambda * math.Abs(x-p.At))
		y += p.Force * lambda / (2 * s.Subgrade * s.Width) * f.a
		m += p.Force / (4 * lambda) * f.c
	}
	return s.response(y, m), nil
}

// AtFromEnd is At for loads near a free end: chainages run from the end, both x
// and the loads' 0 or more; the other end is far away.
//
// The infinite strip is given a force and a moment at the end that cancel the
// moment and the shear there. Under a load on the very end y = 2Pλ/(kb), and
// the greatest hogging is 0.3224·P/λ at λx = π/4.
//
// Source: Hetényi, end-conditioning forces. Checked:
// testdata/references/slab.json, boef-end.
func (s Strip) AtFromEnd(x float64, loads []StripLoad) (StripResponse, error) {
	lambda, err := s.loaded(x, loads)
	if err != nil {
		return StripResponse{}, err
	}
	if err := refusal.First(refusal.Allow("chainage from the end", x, 0, 1e6, "mm")); err != nil {
		return StripResponse{}, err
	}
	k := s.Subgrade * s.Width
	var y, m, endMoment, endShear float64
	for _, p := range loads {
		if err := refusal.First(refusal.Allow("place of a load from the end", p.At, 0, 1e6, "mm")); err != nil {
			return StripResponse{}, err
		}
		f := waveAt(lambda * math.Abs(x-p.At))
		y += p.Force * lambda / (2 * k) * f.a
		m += p.Force / (4 * lambda) * f.c
		e := waveAt(lambda * p.At)
		endMoment += p.Force / (4 * lambda) * e.c
		endShear += p.Force / 2 * e.d
	}
	force := 4 * (lambda*endMoment + endShear)
	moment := -2 / lambda * (2*lambda*endMoment + endShear)
	f := waveAt(lambda * x)
	y += force*lambda/(2*k)*f.a + moment*lambda*lambda/k*f.b
	m += force/(4*lambda)*f.c + moment/2*f.d
	return s.response(y, m), nil
}

// Worst returns the greatest sagging and the greatest hogging of the strip
// under loads, and the greatest pressure on the ground, each with its place.
// fromEnd takes the loads as AtFromEnd does.
func (s Strip) Worst(loads []StripLoad, fromEnd bool) (sagging, hogging, pressure StripResponse, err error) {
	lambda, err := s.loaded(0, loads)
	if err != nil {
		return sagging, hogging, pressure, err
	}
	at := s.At
	if fromEnd {
		at = s.AtFromEnd
	}
	examine := func(x float64) error {
		if fromEnd && x < 0 {
			return nil
		}
		r, err := at(x, loads)
		if err != nil {
			return err
		}
		if r.Moment > sagging.Moment {
			sagging = r
		}
		if r.Moment < hogging.Moment {
			hogging = r
		}
		if r.Pressure > pressure.Pressure {
			pressure = r
		}
		return nil
	}
	for _, p := range loads {
		// Hogging peaks a quarter to half a wave away from a load.
		for step := -48; step <= 48; step++ {
			if err := examine(p.At + float64(step)*math.Pi/48/lambda); err != nil {
				return sagging, hogging, pressure, err
			}
		}
	}
	if fromEnd {
		for step := 0; step <= 48; step++ {
			if err := examine(float64(step) * math.Pi / 48 / lambda); err != nil {
				return sagging, hogging, pressure, err
			}
		}
	}
	return sagging, hogging, pressure, nil
}

func (s Strip) loaded(x float64, loads []StripLoad) (float64, error) {
	lambda, err := s.Lambda()
	if err != nil {
		return 0, err
	}
	if err := refusal.First(
		refusal.Allow("chainage", x, -1e6, 1e6, "mm"),
		refusal.Allow("number of loads", float64(len(loads)), 0, MaxStripLoads, ""),
	); err != nil {
		return 0, err
	}
	for _, p := range loads {
		if err := refusal.First(
			refusal.Allow("place of a load", p.At, -1e6, 1e6, "mm"),
			refusal.Allow("load", p.Force, 0, 1e6, "N"),
		); err != nil {
			return 0, err
		}
	}
	return lambda, nil
}

func (s Strip) response(y, m float64) StripResponse {
	return StripResponse{Deflection: y, Pressure: s.Subgrade * y, Moment: m,
		Stress: m * 6 / (s.Width * s.Thickness * s.Thickness)}
}

// wave holds Hetényi's functions A, B, C, D.
type wave struct{ a, b, c, d float64 }

func waveAt(x float64) wave {
	e, sin, cos := elementary.Exp(-x), math.Sin(x), math.Cos(x)
	return wave{e * (cos + sin), e * sin, e * (cos - sin), e * cos}
}

// SpreadPressure returns the pressure (MPa) on the ground under a wheel on a
// strip when the load is taken to spread at 45° through the thickness along the
// strip and to be even across it: the safe side of AtFromEnd for stiff strips.
//
//	p = P/(b·(c + 2h))
//
// Common practice, no published source.
func (s Strip) SpreadPressure(load, contactLength float64) (float64, error) {
	if err := s.check(); err != nil {
		return 0, err
	}
	if err := refusal.First(
		refusal.Allow("wheel load", load, 0, 1e6, "N"),
		refusal.Allow("contact length", contactLength, 0, 2000, "mm"),
	); err != nil {
		return 0, err
	}
	return load / (s.Width * (contactLength + 2*s.Thickness)), nil
}
