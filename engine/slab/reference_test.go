package slab

import (
	"math"
	"testing"

	"pegpour/engine/reference/cases"
)

func TestReferences(t *testing.T) {
	const pound, inch = 4.4482216152605, 25.4
	const psi = pound / (inch * inch)
	cases.Run(t, "slab.json", cases.Topics{
		"slab": func(c cases.Case) (cases.Values, error) {
			w := WheelLoad{Load: c.Number("P_lb") * pound, Radius: c.Number("a_in") * inch,
				Thickness: c.Number("h_in") * inch,
				Modulus:   c.Number("E_psi") * psi, Poisson: c.Number("nu"), Subgrade: c.Number("k_pci") * psi / inch}
			find := map[string]func() (Response, error){
				"": w.Corner, "interior": w.Interior, "edge": w.Edge, "edge-half": w.EdgeHalf,
				"corner-square": w.CornerSquare}[c.Word("place")]
			r, err := find()
			return cases.Values{"ell_in": r.Stiffness / inch, "stress_psi": r.Stress / psi,
				"deflection_in": r.Deflection / inch}, err
		},
		"beam on elastic foundation": func(c cases.Case) (cases.Values, error) {
			if c.Number("k_N_mm2") > 0 {
				return beamOnSprings(c, Strip.At)
			}
			s := Strip{c.Number("b_mm"), c.Number("h_mm"), c.Number("E_MPa"), c.Number("k_N_mm3")}
			lambda, err := s.Lambda()
			if err != nil {
				return nil, err
			}
			r, err := s.At(700, []StripLoad{{700, c.Number("P_N")}})
			return cases.Values{"lambda_per_mm": lambda, "M_Nmm": r.Moment, "y_mm": r.Deflection}, err
		},
		"beam on elastic foundation end": func(c cases.Case) (cases.Values, error) {
			if c.Number("k_N_mm2") > 0 {
				return beamOnSprings(c, Strip.AtFromEnd)
			}
			s := Strip{c.Number("b_mm"), c.Number("h_mm"), c.Number("E_MPa"), c.Number("k_N_mm3")}
			loads := []StripLoad{{0, c.Number("P_N")}}
			r, err := s.AtFromEnd(0, loads)
			if err != nil {
				return nil, err
			}
			_, hogging, _, err := s.Worst(loads, true)
			return cases.Values{"y_mm": r.Deflection, "hogging_Nmm": -hogging.Moment}, err
		},
		"wheels on a strip": func(c cases.Case) (cases.Values, error) {
			s := Strip{c.Number("b_mm"), c.Number("h_mm"), c.Number("E_MPa"), c.Number("k_N_mm3")}
			var loads []StripLoad
			for i := range int(c.Number("wheels")) {
				loads = append(loads, StripLoad{float64(i) * c.Number("apart_mm"), c.Number("P_N")})
			}
			out := cases.Values{}
			sagging, _, pressure, err := s.Worst(loads, false)
			out["M_kNm"], out["y_mm"] = sagging.Moment/1e6, pressure.Deflection
			return out, err
		},
		"least steel": func(c cases.Case) (cases.Values, error) {
			area, err := Reinforced{c.Number("b_mm"), c.Number("d_mm"), 1, c.Number("fy_MPa"),
				c.Number("fc_MPa")}.LeastSteel(c.Number("h_mm"), c.Number("ratio"))
			return cases.Values{"As_mm2": area}, err
		},
		"shear": func(c cases.Case) (cases.Values, error) {
			american, european, err := Reinforced{c.Number("b_mm"), c.Number("d_mm"), c.Number("As_mm2"), 500,
				c.Number("fc_MPa")}.shears()
			if c.Word("code") == "ACI" {
				return cases.Values{"Vc_kN": american / 0.75 / 1000}, err
			}
			return cases.Values{"VRdc_kN": european / 1000}, err
		},
		"concrete": func(c cases.Case) (cases.Values, error) {
			out := cases.Values{}
			if f := c.Number("fc_MPa"); f > 0 {
				r, err := RuptureACI(f)
				out["fr_MPa"] = r
				return out, err
			}
			m, err := MeanTensile(c.Number("fck_MPa"))
			if err != nil {
				return nil, err
			}
			e, err := ModulusEN(c.Number("fck_MPa"))
			out["fctm_MPa"], out["Ecm_GPa"] = m, e/1000
			return out, err
		},
		"reinforced section": func(c cases.Case) (cases.Values, error) {
			m, err := Reinforced{c.Number("b_in") * inch, c.Number("d_in") * inch, c.Number("As_in2") * inch * inch,
				c.Number("fy_psi") * psi, c.Number("fc_psi") * psi}.Moment()
			return cases.Values{"a_in": m.Block / inch, "Mn_inkip": m.Nominal / (1000 * pound * inch)}, err
		},
	})
}

// beamOnSprings is a beam of a given second moment on a foundation of a given
// stiffness: a strip of the same stiffness on the same springs stands for it.
// Its greatest deflection and moment over the places asked for are found.
func beamOnSprings(c cases.Case, at func(Strip, float64, []StripLoad) (StripResponse, error)) (cases.Values, error) {
	const width, modulus = 100, 50000
	inertia := c.Number("E_MPa") * c.Number("I_mm4") / modulus
	s := Strip{width, math.Cbrt(12 * inertia / width), modulus, c.Number("k_N_mm2") / width}
	var loads []StripLoad
	for _, x := range c.Numbers("loads_mm") {
		loads = append(loads, StripLoad{x, c.Number("P_N")})
	}
	out := cases.Values{"y_mm": 0, "M_kNm": math.Inf(-1)}
	for _, x := range c.Numbers("x_mm") {
		r, err := at(s, x, loads)
		if err != nil {
			return nil, err
		}
		out["y_mm"] = max(out["y_mm"], r.Deflection)
		out["M_kNm"] = max(out["M_kNm"], r.Moment/1e6)
	}
	_, hogging, _, err := s.Worst(loads, c.Holds("worst"))
	out["hogging_kNm"] = -hogging.Moment / 1e6
	return out, err
}

// Y. H. Huang, example 4.2: 4 million psi, 10 in, 0.15, 100 pci.
func TestStiffness_Huang_4_2(t *testing.T) {
	const inch, psi = 25.4, 0.006894757293168
	got, err := Stiffness(4e6*psi, 10*inch, 0.15, 100*psi/inch)
	if err != nil || math.Abs(got/inch-42.97) > 0.005 {
		t.Errorf("%v in, %v", got/inch, err)
	}
	if _, err := Stiffness(math.NaN(), 254, 0.15, 0.03); err == nil {
		t.Error("no number was taken for a modulus")
	}
}
