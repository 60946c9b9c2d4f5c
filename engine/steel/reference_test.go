package steel

import (
	"fmt"
	"math"
	"testing"

	"pegpour/engine/reference/cases"
)

func TestReferences(t *testing.T) {
	cases.Run(t, "steel.json", cases.Topics{
		"steel section": func(c cases.Case) (cases.Values, error) {
			s, err := Hollow(c.Number("h_mm"), c.Number("b_mm"), c.Number("t_mm"))
			return cases.Values{"mass_kg_per_m": s.MassPerMetre(), "A_cm2": s.Area / 1e2,
				"I_cm4": s.InertiaVertical / 1e4, "W_cm3": s.ModulusVertical / 1e3,
				"I_sideways_cm4": s.InertiaSideways / 1e4, "W_sideways_cm3": s.ModulusSideways / 1e3,
				"i_least_cm": s.LeastRadius() / 10}, err
		},
		"pipe": func(c cases.Case) (cases.Values, error) {
			s, err := Pipe(c.Number("d_mm"), c.Number("t_mm"))
			return cases.Values{"mass_kg_per_m": s.MassPerMetre(), "A_cm2": s.Area / 1e2,
				"I_cm4": s.InertiaVertical / 1e4, "W_cm3": s.ModulusVertical / 1e3,
				"i_least_cm": s.LeastRadius() / 10}, err
		},
		"angle": func(c cases.Case) (cases.Values, error) {
			s, err := Angle(c.Number("h_mm"), c.Number("b_mm"), c.Number("t_mm"), c.Number("r_mm"))
			return cases.Values{"mass_kg_per_m": s.MassPerMetre(), "A_cm2": s.Area / 1e2, "c_cm": s.CentroidHeight / 10,
					"I_cm4": s.InertiaVertical / 1e4, "W_cm3": s.ModulusVertical / 1e3,
					"i_least_cm": s.LeastRadius() / 10},
				err
		},
		"bar": func(c cases.Case) (cases.Values, error) {
			var s Section
			var err error
			if d := c.Number("d_mm"); d > 0 {
				s, err = Round(d)
			} else {
				s, err = Flat(c.Number("h_mm"), c.Number("b_mm"))
			}
			return cases.Values{"mass_kg_per_m": s.MassPerMetre(), "kg_per_m": s.MassPerMetre()}, err
		},
		"beam": func(c cases.Case) (cases.Values, error) {
			l := c.Number("L_mm")
			at := c.Number("at_mm")
			if at == 0 {
				at = l / 2
			}
			r, err := Bar{Spans: []float64{l}, Elasticity: c.Number("E_MPa"),
				Inertia: c.Number("I_mm4")}.Under([]PointLoad{{at, c.Number("P_N")}})
			if err != nil {
				return nil, err
			}
			return cases.Values{"deflection_mm": r.Deflection, "moment_Nmm": r.Sagging, "R0_N": r.Reactions[0],
				"R1_N": r.Reactions[1]}, nil
		},
		"continuous beam": func(c cases.Case) (cases.Values, error) {
			b := Bar{Spans: c.Numbers("spans_mm"), Elasticity: c.Number("E_MPa"), Inertia: c.Number("I_mm4"),
				Uniform: c.Number("w_N_mm"), Continuous: true}
			var loads []PointLoad
			for _, p := range c.Rows("loads") {
				loads = append(loads, PointLoad{p[0], p[1]})
			}
			r, err := b.Under(loads)
			out := cases.Values{"sagging_Nmm": r.Sagging, "hogging_Nmm": r.Hogging, "deflection_mm": r.Deflection}
			for i, v := range r.Reactions {
				out[fmt.Sprintf("R%d_N", i)] = v
			}
			return out, err
		},
		"overhang": func(c cases.Case) (cases.Values, error) {
			m, d, err := Overhang{Over: c.Number("a_mm"), Between: c.Number("s_mm"), Elasticity: c.Number("E_MPa"),
				Inertia: c.Number("I_mm4"), Uniform: c.Number("w_N_mm"), End: c.Number("P_N")}.Nose()
			return cases.Values{"moment_Nmm": m, "down_mm": d}, err
		},
		"two carriages": func(c cases.Case) (cases.Values, error) {
			front, rear, err := TwoCarriages{Weight: c.Number("G_N"), Centre: c.Number("centre_mm"),
				Between: c.Number("s_mm")}.Carried(c.Number("travel_mm"))
			return cases.Values{"front_N": front, "rear_N": rear}, err
		},
		"moving load": func(c cases.Case) (cases.Values, error) {
			b := Bar{Spans: c.Numbers("spans_mm"), Elasticity: c.Number("E_MPa"), Inertia: c.Number("I_mm4"),
				Continuous: c.Holds("continuous")}
			var wheels []Wheel
			for _, p := range c.Rows("wheels") {
				wheels = append(wheels, Wheel{p[0], p[1]})
			}
			r, err := b.Moving(wheels)
			out := cases.Values{"sagging_Nmm": r.Sagging, "hogging_Nmm": r.Hogging, "deflection_mm": r.Deflection}
			for _, v := range r.Reactions {
				out["R_max_N"] = math.Max(out["R_max_N"], v)
			}
			return out, err
		},
		"cantilever": func(c cases.Case) (cases.Values, error) {
			m, d, err := Cantilever(c.Number("P_N"), c.Number("h_mm"), c.Number("E_MPa"), c.Number("I_mm4"))
			return cases.Values{"moment_Nmm": m, "deflection_mm": d}, err
		},
		"column": func(c cases.Case) (cases.Values, error) {
			if c.Number("KLr") == 0 {
				n, err := EulerLoad(c.Number("E_MPa"), c.Number("I_mm4"), c.Number("L_mm"), c.Number("K"))
				return cases.Values{"Pcr_kN": n / 1000}, err
			}
			const ksi = 6.894757
			s, err := Hollow(50, 50, 3)
			if err != nil {
				return nil, err
			}
			r, err := Post{Section: s, K: 1, Length: c.Number("KLr") * s.LeastRadius(),
				Elasticity: c.Number("E_ksi") * ksi,
				Yield:      c.Number("Fy_ksi") * ksi, Safety: 1.67}.Check()
			return cases.Values{"phiFcr_ksi": 0.9 * r.CriticalStress / ksi}, err
		},
		"hollow section in full": func(c cases.Case) (cases.Values, error) {
			s, err := Pipe(c.Number("d_mm"), c.Number("t_mm"))
			if h := c.Number("h_mm"); h > 0 {
				s, err = Hollow(h, c.Number("b_mm"), c.Number("t_mm"))
			}
			if err != nil {
				return nil, err
			}
			it, wt, err := s.Torsion()
			if err != nil {
				return nil, err
			}
			v, w, err := s.Plastic()
			return cases.Values{"mass_kg_per_m": s.MassPerMetre(), "A_cm2": s.Area / 1e2,
				"I_cm4": s.InertiaVertical / 1e4, "W_cm3": s.ModulusVertical / 1e3,
				"I_sideways_cm4": s.InertiaSideways / 1e4, "W_sideways_cm3": s.ModulusSideways / 1e3,
				"Wpl_cm3": v / 1e3, "Wpl_sideways_cm3": w / 1e3, "It_cm4": it / 1e4, "Wt_cm3": wt / 1e3}, err
		},
		"amplifier": func(c cases.Case) (cases.Values, error) {
			critical, err := EulerLoad(c.Number("E_ksi"), c.Number("I_in4"), c.Number("L_in"), c.Number("K"))
			bent := map[string]Bent{"evenly": BentEvenly, "point": BentAtPoint}[c.Word("bent")]
			out := cases.Values{}
			for i, p := range c.Numbers("P_kip") {
				a, refused := Amplifier(bent, p/critical)
				if refused != nil {
					err = refused
				}
				out[fmt.Sprintf("M%d", i)] = c.Number("first") * a
			}
			return out, err
		},
		"kipping": func(c cases.Case) (cases.Values, error) {
			const inch, ksi, kipFoot = 25.4, 6.894757, 4448.2216 * 304.8
			r, err := Kipping{Height: c.Number("h_in") * inch, Thickness: c.Number("t_in") * inch,
				Length: c.Number("L_in") * inch, Elasticity: c.Number("E_ksi") * ksi, Yield: c.Number("Fy_ksi") * ksi,
				Safety: 1}.Strength()
			return cases.Values{"Mn_kip_ft": r.Strength / kipFoot}, err
		},
		"girder": func(c cases.Case) (cases.Values, error) {
			const inch, ksi, kip = 25.4, 6.894757, 4448.2216
			g := Girder{Elasticity: Elasticity, Inertia: 1e8, Uniform: c.Number("w_kN_m")}
			spans, unit, force, name := c.Numbers("spans_m"), 1000.0, 1000.0, "kN"
			if feet := c.Numbers("spans_ft"); feet != nil {
				spans, unit, force, name = feet, 12*inch, kip, "kip"
				g.Elasticity, g.Inertia = c.Number("E_ksi")*ksi, c.Number("I_in4")*inch*inch*inch*inch
				g.Uniform = c.Number("w_kip_ft") * kip / (12 * inch)
			}
			sinks := append(c.Numbers("sinks_in"), make([]float64, len(spans)+1)...)
			g.Supports = []Support{{Sinks: sinks[0] * inch}}
			for i, s := range spans {
				g.Length += s * unit
				g.Supports = append(g.Supports, Support{At: g.Length, Sinks: sinks[i+1] * inch})
			}
			r, err := g.Under(nil, nil)
			out := cases.Values{}
			for i, v := range r.Reactions {
				out[fmt.Sprintf("R%d_%s", i, name)] = v / force
			}
			return out, err
		},
		"anchors": func(c cases.Case) (cases.Values, error) {
			x, y := c.Number("anchor_x_mm"), c.Number("anchor_y_mm")
			d, err := BasePlate{Width: c.Number("width_mm"), Depth: c.Number("depth_mm"),
				Anchors:    []Anchor{{x, y}, {-x, y}, {x, -y}, {-x, -y}},
				StressArea: c.Number("area_mm2"), ModularRatio: c.Number("n"), Compression: c.Number("N_N"),
				MomentX: c.Number("M_Nmm")}.Demand()
			return cases.Values{"T_each_N": d.WorstTension, "y_mm": d.BearingArea / c.Number("depth_mm"),
				"bearing_MPa": d.PeakBearing}, err
		},
	})
}
