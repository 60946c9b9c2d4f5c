package anchor

import (
	"math"
	"slices"

	"pegpour/engine/steel"
)

// Coefficients in N, mm, MPa.
//
// Source: ACI 318M-19, 17.6.2.2.1, 17.6.3.2.2, 17.6.4.1 (read).
const (
	coneCastIn    = 10
	conePutIn     = 7
	pullOutHead   = 8
	pullOutHook   = 0.9
	sideFaceHeads = 13
)

// LeastBond and LeastBondUncracked are the bond of a bonded anchor that meets
// the approval of ACI 355.4 whoever makes it, MPa: 200 and 650 psi, for holes
// drilled outdoors into dry or wet concrete of at least 17 MPa and 21 days.
//
// Source: ACI 318-19, table 17.6.5.2.5 (read).
const (
	LeastBond          = 200 * psi
	LeastBondUncracked = 650 * psi
	leastBondConcrete  = 17
	psi                = 0.006894757
)

// What is left of bond under tension that lasts: of the least values, and of
// every anchor's own bond. Source: ACI 318-19, table 17.6.5.2.5 note 1 and
// 17.5.2.2 (read).
const (
	lastingLeastBond = 0.4
	lastingBond      = 0.55
)

// cone returns the nominal strength (N) of the concrete's cone over anchors in
// tension whose resultant stands off their middle by ex and ey (mm).
//
//	N_cbg = A_Nc/A_Nco·ψ_ec·ψ_ed·N_b;  N_b = k·√f'_c·h_ef^1.5;  A_Nco = 9h_ef²
//	ψ_ed = 0.7 + 0.3·c_min/(1.5h_ef) ≤ 1;  ψ_ec = 1/(1 + e/(1.5h_ef))
//
// A_Nc is the area that squares of 3h_ef about the anchors cover inside the
// edges: the source's rectangle for anchors in rows, less for others. Between
// three or four edges nearer than 1.5h_ef, h_ef counts to the greater of
// c_max/1.5 of those and s_max/3.
//
// Source: ACI 318-19, 17.6.2 (read). Checked: testdata/references/anchor.json.
func (g *Group) cone(places []steel.Anchor, ex, ey float64) float64 {
	h := g.coneDepth(places)
	k := float64(conePutIn)
	if g.Kind.castIn() {
		k = coneCastIn
	}
	return g.spread(places, 1.5*h, ex, ey) * k * g.root() * h * math.Sqrt(h)
}

// coneDepth is the depth that counts for a cone. Source: ACI 318-19, 17.6.2.1.2
// (read).
func (g *Group) coneDepth(places []steel.Anchor) float64 {
	h := g.depth()
	count, far := 0, 0.0
	for i := range sides {
		if near := g.near(&sides[i], places); near < 1.5*h {
			count++
			far = max(far, near)
		}
	}
	if count < 3 {
		return h
	}
	xs, ys := make([]float64, len(places)), make([]float64, len(places))
	for i, a := range places {
		xs[i], ys[i] = a.X, a.Y
	}
	return min(h, max(far/1.5, max(widest(xs), widest(ys))/3))
}

// widest is the widest gap between neighbours.
func widest(at []float64) float64 {
	slices.Sort(at)
	gap := 0.0
	for i := 1; i < len(at); i++ {
		gap = max(gap, at[i]-at[i-1])
	}
	return gap
}

// spread is the strength of anchors with a reach (mm) of concrete about each, as
// a multiple of one far from all edges.
func (g *Group) spread(places []steel.Anchor, reach, ex, ey float64) float64 {
	edge := min(1, 0.7+0.3*g.nearest(places)/reach)
	return g.covered(places, reach) / (4 * reach * reach) * edge / (1 + math.Abs(ex)/reach) / (1 + math.Abs(ey)/reach)
}

// Nearest is the least distance of any anchor to any edge, mm.
func (g *Group) Nearest() float64 { return g.nearest(g.Places) }

// nearest is the least distance of any of the anchors to any edge.
func (g *Group) nearest(places []steel.Anchor) float64 {
	least := math.Inf(1)
	for _, a := range places {
		for i := range sides {
			least = min(least, sides[i].distance(g, a))
		}
	}
	return least
}

// usualAnchors is how many a plate has at most without a list that must grow.
const usualAnchors = 8

// covered is the area that squares of twice a reach about the anchors cover
// inside the edges.
func (g *Group) covered(places []steel.Anchor, reach float64) float64 {
	var room [2 * usualAnchors]float64
	xs := room[:0]
	for _, a := range places {
		xs = append(xs, max(-g.Left, a.X-reach), min(g.Right, a.X+reach))
	}
	slices.Sort(xs)
	area := 0.0
	for i := 1; i < len(xs); i++ {
		middle := (xs[i-1] + xs[i]) / 2
		var beside [usualAnchors]float64
		ys := beside[:0]
		for _, a := range places {
			if math.Abs(a.X-middle) < reach {
				ys = append(ys, a.Y)
			}
		}
		area += (xs[i] - xs[i-1]) * length(ys, reach, -g.Front, g.Back)
	}
	return area
}

// length is how much of the way from low to high lies within a reach of the
// points.
func length(at []float64, reach, low, high float64) float64 {
	slices.Sort(at)
	total, done := 0.0, low
	for _, v := range at {
		from, to := max(done, v-reach), min(high, v+reach)
		if to > from {
			total += to - from
			done = to
		}
	}
	return total
}

// pullOut returns the nominal pull-out strength of one anchor, N; +Inf where
// none is asked.
//
//	head: 8·A_brg·f'_c;  hook: 0.9·f'_c·e_h·d_a;  others: the maker's
//
// Source: ACI 318-19, 17.6.3.2 (read). Checked: testdata/references/anchor.json.
func (g *Group) pullOut() float64 {
	most := math.Inf(1)
	if g.PullOut > 0 {
		most = g.PullOut
	}
	strength := min(g.Strength, 69)
	switch g.Kind {
	case Headed:
		return min(most, pullOutHead*g.HeadArea*strength)
	case Hooked:
		return min(most, pullOutHook*strength*g.HookLength*g.Diameter)
	}
	return most
}

// bond returns the nominal bond strength (N) of bonded anchors whose resultant
// stands off their middle by ex and ey (mm).
//
//	N_ag = A_Na/A_Nao·ψ_ec·ψ_ed·N_ba;  N_ba = τ_cr·π·d_a·h_ef
//	reach c_Na = 10·d_a·√(τ_uncr/7.6);  A_Nao = (2c_Na)²
//
// Source: ACI 318-19, 17.6.5 (read). Checked: by hand in the tests.
func (g *Group) bond(places []steel.Anchor, ex, ey float64) float64 {
	stress, uncracked := g.BondStress, g.BondUncracked
	if stress == 0 {
		stress, uncracked = LeastBond, LeastBondUncracked
		if g.Sustained {
			stress *= lastingLeastBond
		}
	}
	if g.Sustained {
		stress *= lastingBond
	}
	reach := 10 * g.Diameter * math.Sqrt(uncracked/(1100*psi))
	return g.spread(places, reach, ex, ey) * stress * math.Pi * g.Diameter * g.depth()
}

// sideFace returns the nominal strength (N) of the side face beside the headed
// anchors nearest to an edge, +Inf where they are not deep enough beside it for
// the head to burst it; and how many anchors they are.
//
//	h_ef > 2.5c₁: N_sb = 13·c₁·√A_brg·√f'_c, times (1 + c₂/c₁)/4 where c₂ < 3c₁
//	a row of spacing below 6c₁: times 1 + s/(6c₁)
//
// s is from the row's first to its last anchor.
//
// Source: ACI 318-19, 17.6.4 (read). Checked: by hand in the tests.
func (g *Group) sideFace(s *side, places []steel.Anchor) (strength float64, row []int) {
	near, row := g.row(s, places)
	if g.Kind != Headed || g.Depth <= 2.5*near {
		return math.Inf(1), row
	}
	strength = sideFaceHeads * near * math.Sqrt(g.HeadArea) * g.root()
	low, high, beside := g.ends(s, places, row)
	if beside < 3*near {
		strength *= (1 + max(1, beside/near)) / 4
	}
	return strength * (1 + min(high-low, 6*near*float64(len(row)-1))/(6*near)), row
}

// row is the anchors nearest to an edge and their distance.
func (g *Group) row(s *side, places []steel.Anchor) (near float64, row []int) {
	near, row = g.near(s, places), make([]int, 0, len(places))
	for i, a := range places {
		if s.distance(g, a) < near+1 {
			row = append(row, i)
		}
	}
	return near, row
}

// near is how far the nearest anchors are from an edge.
func (g *Group) near(s *side, places []steel.Anchor) float64 {
	near := math.Inf(1)
	for _, a := range places {
		near = min(near, s.distance(g, a))
	}
	return near
}

// ends are the first and last place of a row along an edge, and the lesser
// distance from them to the edges beside.
func (g *Group) ends(s *side, places []steel.Anchor, row []int) (low, high, beside float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, i := range row {
		low, high = min(low, s.along(places[i])), max(high, s.along(places[i]))
	}
	return low, high, min(low+s.before(g), s.behind(g)-high)
}
