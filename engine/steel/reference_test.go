package steel

import (
	"encoding/json"
	"fmt"
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

func (c referenceCase) list(name string) (out []float64) {
	rows, _ := c.Inputs[name].([]any)
	for _, v := range rows {
		out = append(out, v.(float64))
	}
	return out
}

func (c referenceCase) pairs(name string) (out [][2]float64) {
	rows, _ := c.Inputs[name].([]any)
	for _, v := range rows {
		p := v.([]any)
		out = append(out, [2]float64{p[0].(float64), p[1].(float64)})
	}
	return out
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
	checkReferences(t, "steel.json", map[string]func(referenceCase) (map[string]float64, error){
		"steel section": func(c referenceCase) (map[string]float64, error) {
			s, err := Hollow(c.in("h_mm"), c.in("b_mm"), c.in("t_mm"))
			return map[string]float64{"mass_kg_per_m": s.MassPerMetre(), "A_cm2": s.Area / 1e2,
				"I_cm4": s.InertiaVertical / 1e4, "W_cm3": s.ModulusVertical / 1e3,
				"I_sideways_cm4": s.InertiaSideways / 1e4, "W_sideways_cm3": s.ModulusSideways / 1e3}, err
		},
		"angle": func(c referenceCase) (map[string]float64, error) {
			s, err := Angle(c.in("h_mm"), c.in("b_mm"), c.in("t_mm"), c.in("r_mm"))
			return map[string]float64{"mass_kg_per_m": s.MassPerMetre(), "A_cm2": s.Area / 1e2, "c_cm": s.CentroidHeight / 10,
				"I_cm4": s.InertiaVertical / 1e4, "W_cm3": s.ModulusVertical / 1e3, "i_least_cm": s.LeastRadius() / 10}, err
		},
		"bar": func(c referenceCase) (map[string]float64, error) {
			var s Section
			var err error
			if d := c.in("d_mm"); d > 0 {
				s, err = Round(d)
			} else {
				s, err = Flat(c.in("h_mm"), c.in("b_mm"))
			}
			return map[string]float64{"mass_kg_per_m": s.MassPerMetre(), "kg_per_m": s.MassPerMetre()}, err
		},
		"beam": func(c referenceCase) (map[string]float64, error) {
			l := c.in("L_mm")
			r, err := Bar{Spans: []float64{l}, Elasticity: c.in("E_MPa"), Inertia: c.in("I_mm4")}.Under([]PointLoad{{l / 2, c.in("P_N")}})
			return map[string]float64{"deflection_mm": r.Deflection, "moment_Nmm": r.Sagging}, err
		},
		"continuous beam": func(c referenceCase) (map[string]float64, error) {
			b := Bar{Spans: c.list("spans_mm"), Elasticity: c.in("E_MPa"), Inertia: c.in("I_mm4"), Uniform: c.in("w_N_mm"), Continuous: true}
			var loads []PointLoad
			for _, p := range c.pairs("loads") {
				loads = append(loads, PointLoad{p[0], p[1]})
			}
			r, err := b.Under(loads)
			out := map[string]float64{"sagging_Nmm": r.Sagging, "hogging_Nmm": r.Hogging, "deflection_mm": r.Deflection}
			for i, v := range r.Reactions {
				out[fmt.Sprintf("R%d_N", i)] = v
			}
			return out, err
		},
		"moving load": func(c referenceCase) (map[string]float64, error) {
			continuous, _ := c.Inputs["continuous"].(bool)
			b := Bar{Spans: c.list("spans_mm"), Elasticity: c.in("E_MPa"), Inertia: c.in("I_mm4"), Continuous: continuous}
			var wheels []Wheel
			for _, p := range c.pairs("wheels") {
				wheels = append(wheels, Wheel{p[0], p[1]})
			}
			r, err := b.Moving(wheels)
			out := map[string]float64{"sagging_Nmm": r.Sagging, "hogging_Nmm": r.Hogging, "deflection_mm": r.Deflection}
			for _, v := range r.Reactions {
				out["R_max_N"] = math.Max(out["R_max_N"], v)
			}
			return out, err
		},
		"cantilever": func(c referenceCase) (map[string]float64, error) {
			m, d, err := Cantilever(c.in("P_N"), c.in("h_mm"), c.in("E_MPa"), c.in("I_mm4"))
			return map[string]float64{"moment_Nmm": m, "deflection_mm": d}, err
		},
		"column": func(c referenceCase) (map[string]float64, error) {
			if c.in("KLr") == 0 {
				n, err := EulerLoad(c.in("E_MPa"), c.in("I_mm4"), c.in("L_mm"), c.in("K"))
				return map[string]float64{"Pcr_kN": n / 1000}, err
			}
			const ksi = 6.894757
			s, err := Hollow(50, 50, 3)
			if err != nil {
				return nil, err
			}
			r, err := Post{Section: s, K: 1, Length: c.in("KLr") * s.LeastRadius(), Elasticity: c.in("E_ksi") * ksi,
				Yield: c.in("Fy_ksi") * ksi, Safety: 1.67}.Check()
			return map[string]float64{"phiFcr_ksi": 0.9 * r.CriticalStress / ksi}, err
		},
		"anchors": func(c referenceCase) (map[string]float64, error) {
			x, y := c.in("anchor_x_mm"), c.in("anchor_y_mm")
			d, err := BasePlate{Width: c.in("width_mm"), Depth: c.in("depth_mm"), Anchors: []Anchor{{x, y}, {-x, y}, {x, -y}, {-x, -y}},
				StressArea: c.in("area_mm2"), ModularRatio: c.in("n"), Compression: c.in("N_N"), MomentX: c.in("M_Nmm")}.Demand()
			return map[string]float64{"T_each_N": d.WorstTension, "y_mm": d.BearingArea / c.in("depth_mm"), "bearing_MPa": d.PeakBearing}, err
		},
	})
}
