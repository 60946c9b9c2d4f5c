package steel

import (
	"math"

	"pegpour/engine/refusal"
)

// Torsion returns the torsion constant (mm⁴) and the torsion modulus (mm³): a
// twisting moment over the modulus is the greatest shear stress.
//
//	hollow: I_t = t³·l/3 + 2K·A;  W_t = I_t/(t + K/t);  K = 2A·t/l
//	  A = (b−t)(h−t) − R²(4−π);  l = 2(b−t) + 2(h−t) − 2R(4−π);  R = (r_o + r_i)/2
//	pipe, round: I_t = 2I;  W_t = 2W
//	flat of a ≥ b: I_t = a·b³(1/3 − 0.21·b/a·(1 − b⁴/(12a⁴)));  W_t = a·b²/(3 + 1.8·b/a)
//	angle: I_t = (h + b − t)·t³/3;  W_t = I_t/t
//
// Source: EN 10219-2 annex B (formulas memory, values read); Roark's Formulas for Stress and Strain,
// torsion table, rectangle (memory). Checked: testdata/references/steel.json,
// en10219-full-*; the rectangle against Saint-Venant's series.
func (s Section) Torsion() (constant, modulus float64, err error) {
	switch s.Shape {
	case HollowShape:
		t := s.Thickness
		out, in := CornerRadii(t)
		r := (out + in) / 2
		area := (s.Width-t)*(s.Height-t) - r*r*(4-math.Pi)
		round := 2*(s.Width-t) + 2*(s.Height-t) - 2*r*(4-math.Pi)
		k := 2 * area * t / round
		constant = t*t*t*round/3 + 2*k*area
		return constant, constant / (t + k/t), nil
	case PipeShape, RoundShape:
		return 2 * s.InertiaVertical, 2 * s.ModulusVertical, nil
	case FlatShape:
		a, b := max(s.Height, s.Width), min(s.Height, s.Width)
		n := b / a
		return a * b * b * b * (1.0/3 - 0.21*n*(1-n*n*n*n/12)), a * b * b / (3 + 1.8*n), nil
	case AngleShape:
		t := s.Thickness
		constant = (s.Height + s.Width - t) * t * t * t / 3
		return constant, constant / t, nil
	}
	return 0, 0, errShape
}

// Plastic returns the plastic section moduli for a vertical and a sideways load,
// mm³. Of an angle, whose axes are turned, it is refused.
//
//	hollow: W_pl = b·h²/4 − (b−2t)(h−2t)²/4 − 4A_o·h_o + 4A_i·h_i, the last two for the corners
//	pipe: (D³ − d³)/6;  round: d³/6;  flat: b·h²/4
//
// Source: EN 10219-2 annex B (formulas memory, values read). Checked: testdata/references/steel.json,
// en10219-full-*.
func (s Section) Plastic() (vertical, sideways float64, err error) {
	switch s.Shape {
	case HollowShape:
		t := s.Thickness
		ro, ri := CornerRadii(t)
		out, in := roundedCorner(ro), roundedCorner(ri)
		about := func(h, b float64) float64 {
			hi, bi := h-2*t, b-2*t
			return b*h*h/4 - bi*hi*hi/4 - 4*out.area*(h/2-out.centroid) + 4*in.area*(hi/2-in.centroid)
		}
		return about(s.Height, s.Width), about(s.Width, s.Height), nil
	case PipeShape, RoundShape:
		d := s.Height - 2*s.Thickness
		if s.Shape == RoundShape {
			d = 0
		}
		w := (s.Height*s.Height*s.Height - d*d*d) / 6
		return w, w, nil
	case FlatShape:
		return s.Width * s.Height * s.Height / 4, s.Height * s.Width * s.Width / 4, nil
	}
	return 0, 0, errShape
}

var errShape = error(refusal.Error("no formula holds for a section of this shape"))
