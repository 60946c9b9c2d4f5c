package anchor

import (
	"testing"

	"pegpour/engine/reference/cases"
	"pegpour/engine/steel"
)

const inch, pound, kip = 25.4, 4.4482216152605, 4448.2216152605

// groupOf is the group of a case in inches, pounds and psi.
func groupOf(c cases.Case) Group {
	g := Group{Kind: Headed, Diameter: c.Number("da_in") * inch, StressArea: c.Number("ase_in2") * inch * inch,
		Depth: c.Number("hef_in") * inch, Yield: c.Number("fy_ksi") * 1000 * psi,
		Ultimate: c.Number("fu_ksi") * 1000 * psi, HeadArea: c.Number("head_in2") * inch * inch,
		BondStress: c.Number("tau_psi") * psi, BondUncracked: c.Number("tau_uncr_psi") * psi,
		LeastSpacing: c.Number("least_spacing_in") * inch, Strength: c.Number("fc_psi") * psi,
		Thickness: c.Number("ha_in") * inch, LoadFactor: StrengthFactor}
	if c.Word("kind") == "bonded" {
		g.Kind = Bonded
	}
	for _, p := range c.Rows("places_in") {
		g.Places = append(g.Places, steel.Anchor{X: p[0] * inch, Y: p[1] * inch})
	}
	e := c.Numbers("edges_in")
	g.Left, g.Right, g.Front, g.Back = e[0]*inch, e[1]*inch, e[2]*inch, e[3]*inch
	return g
}

func TestReferences(t *testing.T) {
	cases.Run(t, "anchor.json", cases.Topics{
		"anchor group": func(c cases.Case) (cases.Values, error) {
			l := Load{ShearY: -1}
			for _, n := range c.Numbers("tension_lb") {
				l.Tension = append(l.Tension, n*pound)
			}
			r, err := groupOf(c).Check(l)
			out := cases.Values{}
			for _, v := range append(r.Tension, r.Shear...) {
				name := map[Mode]string{SteelTension: "Nsa", Cone: "Ncb", PulledOut: "Npn", PriedOut: "Vcp",
					EdgeBroken: "Vcb_" + v.Edge}[v.Mode]
				out[name+"_lb"] = v.Nominal / pound
			}
			return out, err
		},
		"anchor edge": func(c cases.Case) (cases.Values, error) {
			g := groupOf(c)
			near, row := g.row(&sides[2], g.Places)
			v := g.edge(&sides[2], near, row, c.Number("e_in")*inch)
			return cases.Values{"Vcb_lb": v / pound}, nil
		},
		"anchor thread": func(c cases.Case) (cases.Values, error) {
			a, ok := MetricThread(c.Number("d_mm"))
			if _, none := MetricThread(c.Number("d_mm") + 0.5); !ok || none {
				t.Errorf("%s: threads from %v mm to half a millimetre more", c.ID, c.Number("d_mm"))
			}
			steel := func(ultimate float64) float64 {
				g := Group{StressArea: a, Ultimate: ultimate, Yield: ultimate * 0.6}
				return a * g.ultimate()
			}
			return cases.Values{"A_mm2": a, "load_46_N": steel(400), "load_88_N": steel(c.Number("ultimate_88_MPa"))}, nil
		},
		"anchor pull-out": func(c cases.Case) (cases.Values, error) {
			g := Group{Kind: Headed, HeadArea: c.Number("head_in2") * inch * inch}
			out := cases.Values{}
			for name, ksi := range map[string]float64{"phiNp_3ksi_kip": 3, "phiNp_4ksi_kip": 4, "phiNp_5ksi_kip": 5} {
				g.Strength = ksi * 1000 * psi
				out[name] = concreteCastIn * g.pullOut() / kip
			}
			return out, nil
		},
	})
}
