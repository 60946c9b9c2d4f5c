package soil

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
	const pound, foot, kN, metre, kPa = 4.4482216152605, 304.8, 1e3, 1e3, 1e-3
	type values = map[string]float64
	checkReferences(t, "soil.json", map[string]func(referenceCase) (map[string]float64, error){
		"embedded post": func(c referenceCase) (values, error) {
			factor := c.in("isolated_factor") + c.in("load_factor")
			if factor == 0 {
				factor = 1
			}
			p := EmbeddedPost{Force: c.in("P_lb") * pound, Height: c.in("h_ft") * foot, Width: c.in("b_ft") * foot,
				Lateral: c.in("S_psf_per_ft") * psfPerFoot, Factor: factor}
			out := values{"A_ft": p.TermA(c.in("trial_depth_ft")*foot) / foot}
			n, err := p.Nonconstrained()
			if err != nil {
				return nil, err
			}
			out["d_ft"] = n.Depth / foot
			if p.Height > 0 {
				s, err := p.Constrained()
				if err != nil {
					return nil, err
				}
				out["d_m"], out["S3_kPa"] = s.Depth/metre, s.Pressure/kPa
			}
			return out, nil
		},
		"soil table": func(c referenceCase) (values, error) {
			key, _ := c.Inputs["key"].(string)
			class, ok := ClassOf(key)
			if !ok {
				t.Errorf("no class %q", key)
			}
			return values{"vertical_psf": class.Bearing / poundsPerSquareFoot, "vertical_kPa": class.Bearing / kPa,
				"lateral_psf_per_ft": class.Lateral / psfPerFoot, "friction": class.Friction, "cohesion_psf": class.Adhesion / poundsPerSquareFoot}, nil
		},
		"earth pressure": func(c referenceCase) (values, error) {
			k, err := Active(c.in("phi_deg")*degree, c.in("slope_deg")*degree)
			return values{"Ka": k}, err
		},
		"passive pressure": func(c referenceCase) (values, error) {
			k, err := Passive(c.in("phi_deg") * degree)
			return values{"Kp": k}, err
		},
		"posted wall": func(c referenceCase) (values, error) {
			r, err := PostedWall(c.in("h_m")*metre, c.in("spacing_m")*metre, c.in("gamma1")*kilonewtonPerCubic, c.in("phi1")*degree, c.in("slope_deg")*degree, c.in("surcharge_kPa")*kPa)
			return values{"P_kN": r.Force / kN, "arm_m": r.Height / metre}, err
		},
		"retaining wall": func(c referenceCase) (values, error) {
			r, err := Wall{
				StemHeight: c.in("stem_h") * metre, StemTop: c.in("stem_top") * metre, FaceBatter: (c.in("stem_bottom") - c.in("stem_top")) * metre,
				Toe: c.in("toe") * metre, Heel: c.in("heel") * metre, BaseThickness: c.in("base_t") * metre, WallWeight: c.in("gamma_c") * kilonewtonPerCubic,
				Backslope: c.in("slope_deg") * degree, FrictionAngle: c.in("phi1") * degree, UnitWeight: c.in("gamma1") * kilonewtonPerCubic,
				Surcharge: c.in("surcharge_kPa") * kPa, WaterHeight: c.in("water_h") * metre, SaturatedWeight: c.in("gamma_sat") * kilonewtonPerCubic,
				BaseFriction: c.in("base_friction_deg") * degree, BaseAdhesion: c.in("base_adhesion_kPa") * kPa,
				PassiveDepth: c.in("passive_depth") * metre, PassiveAngle: c.in("phi2") * degree, PassiveCohesion: c.in("c2") * kPa,
				PassiveWeight: c.in("gamma2") * kilonewtonPerCubic, PassivePart: c.in("passive_part"),
			}.Stability()
			return values{"fs_overturning": r.Overturning, "fs_sliding": r.Sliding, "sum_V_kN": r.Vertical, "plane_m": r.PlaneHeight / metre,
				"turn_kNm": r.TurnMoment / kN, "hold_kNm": r.HoldMoment / kN, "q_toe_kPa": r.ToePressure / kPa, "q_heel_kPa": r.HeelPressure / kPa,
				"e_m": r.Eccentricity / metre, "passive_kN": r.PassiveHold, "stem_kNm": r.StemMoment / kN, "peak_kPa": r.PeakPressure / kPa}, err
		},
	})
}
