package soil

import (
	"fmt"
	"testing"

	"pegpour/engine/reference/cases"
)

func TestReferences(t *testing.T) {
	const pound, foot, kN, metre, kPa = 4.4482216152605, 304.8, 1e3, 1e3, 1e-3
	cases.Run(t, "soil.json", cases.Topics{
		"sides of a dig": func(c cases.Case) (cases.Values, error) {
			class, _ := ClassOf(c.Word("class"))
			width, err := class.Face(false).LaidBack(c.Number("depth_mm"))
			return cases.Values{"width_mm": width, "angle_deg": class.Face(false).Angle() / degree}, err
		},
		"least earth pressure": func(c cases.Case) (cases.Values, error) {
			return cases.Values{"active_psf_ft": LeastActive(c.Word("class")) / psfPerFoot}, nil
		},
		"embedded post": func(c cases.Case) (cases.Values, error) {
			factor := c.Number("isolated_factor") + c.Number("load_factor")
			if factor == 0 {
				factor = 1
			}
			p := EmbeddedPost{Force: c.Number("P_lb") * pound, Height: c.Number("h_ft") * foot,
				Width:   c.Number("b_ft") * foot,
				Lateral: c.Number("S_psf_per_ft") * psfPerFoot, Factor: factor}
			out := cases.Values{"A_ft": p.TermA(c.Number("trial_depth_ft")*foot) / foot}
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
		"soil table": func(c cases.Case) (cases.Values, error) {
			class, ok := ClassOf(c.Word("key"))
			if !ok {
				return nil, fmt.Errorf("no class %q", c.Word("key"))
			}
			return cases.Values{"vertical_psf": class.Bearing / poundsPerSquareFoot,
				"vertical_kPa":       class.Bearing / kPa,
				"lateral_psf_per_ft": class.Lateral / psfPerFoot, "friction": class.Friction,
				"cohesion_psf": class.Adhesion / poundsPerSquareFoot}, nil
		},
		"earth pressure": func(c cases.Case) (cases.Values, error) {
			k, err := Active(c.Number("phi_deg")*degree, c.Number("slope_deg")*degree)
			return cases.Values{"Ka": k}, err
		},
		"passive pressure": func(c cases.Case) (cases.Values, error) {
			k, err := Passive(c.Number("phi_deg") * degree)
			return cases.Values{"Kp": k}, err
		},
		"posted wall": func(c cases.Case) (cases.Values, error) {
			r, err := PostedWall(c.Number("h_m")*metre, c.Number("spacing_m")*metre,
				c.Number("gamma1")*kilonewtonPerCubic, c.Number("phi1")*degree, c.Number("slope_deg")*degree,
				c.Number("surcharge_kPa")*kPa)
			return cases.Values{"P_kN": r.Force / kN, "arm_m": r.Height / metre}, err
		},
		"retaining wall": func(c cases.Case) (cases.Values, error) {
			r, err := Wall{
				StemHeight: c.Number("stem_h") * metre, StemTop: c.Number("stem_top") * metre,
				FaceBatter: (c.Number("stem_bottom") - c.Number("stem_top")) * metre,
				Toe:        c.Number("toe") * metre, Heel: c.Number("heel") * metre,
				BaseThickness: c.Number("base_t") * metre, WallWeight: c.Number("gamma_c") * kilonewtonPerCubic,
				Backslope: c.Number("slope_deg") * degree, FrictionAngle: c.Number("phi1") * degree,
				UnitWeight: c.Number("gamma1") * kilonewtonPerCubic,
				Surcharge:  c.Number("surcharge_kPa") * kPa, WaterHeight: c.Number("water_h") * metre,
				SaturatedWeight: c.Number("gamma_sat") * kilonewtonPerCubic,
				BaseFriction:    c.Number("base_friction_deg") * degree,
				BaseAdhesion:    c.Number("base_adhesion_kPa") * kPa,
				PassiveDepth:    c.Number("passive_depth") * metre, PassiveAngle: c.Number("phi2") * degree,
				PassiveCohesion: c.Number("c2") * kPa,
				PassiveWeight:   c.Number("gamma2") * kilonewtonPerCubic, PassivePart: c.Number("passive_part"),
			}.Stability()
			return cases.Values{"fs_overturning": r.Overturning, "fs_sliding": r.Sliding, "sum_V_kN": r.Vertical,
				"plane_m":  r.PlaneHeight / metre,
				"turn_kNm": r.TurnMoment / kN, "hold_kNm": r.HoldMoment / kN, "q_toe_kPa": r.ToePressure / kPa,
				"q_heel_kPa": r.HeelPressure / kPa,
				"e_m":        r.Eccentricity / metre, "passive_kN": r.PassiveHold, "stem_kNm": r.StemMoment / kN,
				"peak_kPa": r.PeakPressure / kPa}, err
		},
	})
}
