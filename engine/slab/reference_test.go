package slab

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"pegpour/engine/reference/record"
)

type referenceCase struct {
	ID        string             `json:"id"`
	Topic     string             `json:"topic"`
	Inputs    map[string]any     `json:"inputs"`
	Expected  map[string]float64 `json:"expected"`
	Tolerance map[string]float64 `json:"rel_tolerance"`
}

func (c referenceCase) in(name string) float64 {
	v, _ := c.Inputs[name].(float64)
	return v
}

// checkReferences runs every case of a file through the function of its topic.
// A case without a function, or an expected value that none gives, fails.
func checkReferences(t *testing.T, file string, topics map[string]func(referenceCase) (map[string]float64, error)) {
	t.Helper()
	raw, err := os.ReadFile("../../testdata/references/" + file)
	if err != nil {
		t.Fatal(err)
	}
	var cases []referenceCase
	if err := json.Unmarshal(raw, &cases); err != nil {
		t.Fatal(err)
	}
	for _, c := range cases {
		t.Run(c.ID, func(t *testing.T) {
			find := topics[c.Topic]
			if find == nil {
				t.Fatalf("no test for topic %q", c.Topic)
			}
			got, err := find(c)
			if err != nil {
				t.Fatal(err)
			}
			for name, want := range c.Expected {
				tolerance, ok := c.Tolerance[name]
				if !ok {
					tolerance = c.Tolerance["*"]
				}
				record.Got(c.ID, name, got[name])
				if have, ok := got[name]; !ok || !(math.Abs(have-want) <= tolerance*math.Abs(want)) {
					t.Errorf("%s: %v (found %v), want %v within %v", name, have, ok, want, tolerance)
				}
			}
		})
	}
}

func TestReferences(t *testing.T) {
	const pound, inch = 4.4482216152605, 25.4
	const psi = pound / (inch * inch)
	type values = map[string]float64
	checkReferences(t, "slab.json", map[string]func(referenceCase) (map[string]float64, error){
		"slab": func(c referenceCase) (values, error) {
			w := WheelLoad{Load: c.in("P_lb") * pound, Radius: c.in("a_in") * inch, Thickness: c.in("h_in") * inch,
				Modulus: c.in("E_psi") * psi, Poisson: c.in("nu"), Subgrade: c.in("k_pci") * psi / inch}
			place, _ := c.Inputs["place"].(string)
			find := map[string]func() (Response, error){"": w.Corner, "interior": w.Interior, "edge": w.Edge, "edge-half": w.EdgeHalf, "corner-square": w.CornerSquare}[place]
			r, err := find()
			return values{"ell_in": r.Stiffness / inch, "stress_psi": r.Stress / psi, "deflection_in": r.Deflection / inch}, err
		},
		"beam on elastic foundation": func(c referenceCase) (values, error) {
			s := Strip{c.in("b_mm"), c.in("h_mm"), c.in("E_MPa"), c.in("k_N_mm3")}
			lambda, err := s.Lambda()
			if err != nil {
				return nil, err
			}
			r, err := s.At(700, []StripLoad{{700, c.in("P_N")}})
			return values{"lambda_per_mm": lambda, "M_Nmm": r.Moment, "y_mm": r.Deflection}, err
		},
		"beam on elastic foundation end": func(c referenceCase) (values, error) {
			s := Strip{c.in("b_mm"), c.in("h_mm"), c.in("E_MPa"), c.in("k_N_mm3")}
			loads := []StripLoad{{0, c.in("P_N")}}
			r, err := s.AtFromEnd(0, loads)
			if err != nil {
				return nil, err
			}
			_, hogging, _, err := s.Worst(loads, true)
			return values{"y_mm": r.Deflection, "hogging_Nmm": -hogging.Moment}, err
		},
		"concrete": func(c referenceCase) (values, error) {
			out := values{}
			if f := c.in("fc_MPa"); f > 0 {
				r, err := RuptureACI(f)
				out["fr_MPa"] = r
				return out, err
			}
			m, err := MeanTensile(c.in("fck_MPa"))
			if err != nil {
				return nil, err
			}
			e, err := ModulusEN(c.in("fck_MPa"))
			out["fctm_MPa"], out["Ecm_GPa"] = m, e/1000
			return out, err
		},
		"reinforced section": func(c referenceCase) (values, error) {
			m, err := Reinforced{c.in("b_in") * inch, c.in("d_in") * inch, c.in("As_in2") * inch * inch, c.in("fy_psi") * psi, c.in("fc_psi") * psi}.Moment()
			return values{"a_in": m.Block / inch, "Mn_inkip": m.Nominal / (1000 * pound * inch)}, err
		},
	})
}

// Y. H. Huang, example 4.1 (memory): 4 million psi, 10 in, 0.15, 100 pci.
func TestStiffness_Huang_4_1_memory(t *testing.T) {
	const inch, psi = 25.4, 0.006894757293168
	got, err := Stiffness(4e6*psi, 10*inch, 0.15, 100*psi/inch)
	if err != nil || math.Abs(got/inch-42.97) > 0.005 {
		t.Errorf("%v in, %v", got/inch, err)
	}
	if _, err := Stiffness(math.NaN(), 254, 0.15, 0.03); err == nil {
		t.Error("no number was taken for a modulus")
	}
}
