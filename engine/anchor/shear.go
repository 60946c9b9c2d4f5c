package anchor

import (
	"math"

	"pegpour/engine/elementary"
	"pegpour/engine/steel"
)

// Coefficients of the concrete's edge in N, mm, MPa.
//
// Source: ACI 318-19, 17.7.2.2.1: 7 and 9 in pounds and inches (read), which are
// 0.581 and 3.77; ACI 318M prints 0.6 and 3.7.
const (
	edgeOfAnchor   = 0.58
	edgeOfConcrete = 3.7
)

// edge returns the nominal strength (N) of the concrete between an edge and the
// row of anchors nearest to it, so near (mm), pushed towards it with the resultant
// off the row's middle by e (mm).
//
//	V_cbg = A_Vc/A_Vco·ψ_ec·ψ_ed·ψ_h·V_b;  A_Vco = 4.5c₁²
//	V_b = least of 0.58·(l_e/d_a)^0.2·√d_a·√f'_c·c₁^1.5 and 3.7·√f'_c·c₁^1.5;  l_e = min(h_ef, 8d_a)
//	ψ_ed = 0.7 + 0.3·c₂/(1.5c₁) ≤ 1;  ψ_h = √(1.5c₁/h_a) ≥ 1;  ψ_ec = 1/(1 + e/(1.5c₁))
//
// A_Vc is as wide as 1.5c₁ to either side of the row's anchors covers between
// the edges beside, and min(1.5c₁, h_a) deep. Where both edges beside and the
// thickness are less than 1.5c₁, c₁ counts to the greatest of c₂_max/1.5, h_a/1.5
// and s_max/3.
//
// Source: ACI 318-19, 17.7.2 (read). Checked: testdata/references/anchor.json.
func (g *Group) edge(s *side, near float64, row []int, e float64) (strength float64) {
	var room [usualAnchors]float64
	at := room[:0]
	for _, i := range row {
		at = append(at, s.along(g.Places[i]))
	}
	low, high, beside := g.ends(s, g.Places, row)
	if farther := max(low+s.before(g), s.behind(g)-high); max(farther, g.Thickness) < 1.5*near {
		near = min(near, max(max(farther, g.Thickness)/1.5, widest(at)/3)) // ACI 318-19, 17.7.2.1.2
	}
	reach := 1.5 * near
	area := length(at, reach, -s.before(g), s.behind(g)) * min(reach, g.Thickness)
	d := g.Diameter
	basic := min(edgeOfAnchor*elementary.Pow(min(g.depth(), 8*d)/d, 0.2)*math.Sqrt(d), edgeOfConcrete) *
		g.root() * near * math.Sqrt(near)
	return area / (4.5 * near * near) * min(1, 0.7+0.3*beside/reach) *
		max(1, math.Sqrt(reach/g.Thickness)) / (1 + math.Abs(e)/reach) * basic
}

// pryOut returns the nominal strength (N) of all anchors against prying the
// concrete out behind them.
//
//	V_cpg = k_cp·N_cpg;  k_cp = 1 below 65 mm of depth, else 2
//
// N_cpg is the cone's strength, for bonded anchors the lesser of it and the
// bond's.
//
// Source: ACI 318-19, 17.7.3 (read). Checked: testdata/references/anchor.json.
func (g *Group) pryOut() float64 {
	n := g.cone(g.Places, 0, 0)
	if g.Kind == Bonded {
		n = min(n, g.bond(g.Places, 0, 0))
	}
	if g.depth() < 65 {
		return n
	}
	return 2 * n
}

// shares returns the force along x and y on each anchor: the force in equal
// parts, the twist in proportion to the distance from the anchors' middle.
func (g *Group) shares(l *Load) []steel.Anchor {
	n := float64(len(g.Places))
	cx, cy, polar := 0.0, 0.0, 0.0
	for _, a := range g.Places {
		cx += a.X / n
		cy += a.Y / n
	}
	for _, a := range g.Places {
		polar += (a.X-cx)*(a.X-cx) + (a.Y-cy)*(a.Y-cy)
	}
	twist := l.Twist - cx*l.ShearY + cy*l.ShearX
	out := make([]steel.Anchor, len(g.Places))
	for i, a := range g.Places {
		out[i] = steel.Anchor{X: l.ShearX / n, Y: l.ShearY / n}
		if polar > 0 {
			out[i].X -= twist * (a.Y - cy) / polar
			out[i].Y += twist * (a.X - cx) / polar
		}
	}
	return out
}
