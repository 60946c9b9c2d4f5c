package tape

import (
	"cmp"
	"math"

	"pegpour/engine/sorting"
)

// crossing is two tapes to a peg that meet, and how squarely.
type crossing struct {
	a, b   int // tapes
	corner float64
}

// pairs are the crossings of ties to different pegs, the squarest first.
func (n *net) pairs(i int, ties []int, at [][2]float64) []crossing {
	var out []crossing
	for x, k := range ties {
		for _, m := range ties[:x] {
			p, q := at[n.other(k, i)], at[n.other(m, i)]
			base := math.Hypot(p[0]-q[0], p[1]-q[1])
			if n.other(k, i) == n.other(m, i) || base < 1e-6 {
				continue
			}
			out = append(out, crossing{m, k, n.corner(m, k, base)})
		}
	}
	sorting.Stable(out, func(a, b crossing) int { return cmp.Compare(b.corner, a.corner) })
	return out
}

// trilaterate places a peg by two tapes, and chooses between the two places
// by the side said and by the other tapes; where neither tells for one pair of
// tapes, by the next pair; else it asks. disputed: what was said and the tapes
// disagree.
func (n *net) trilaterate(i int, at [][2]float64, placed []bool, believeTapes bool) (_ [2]float64,
	disputed bool, _ error) {
	ties := n.ties(i, placed)
	var first error
	for _, pair := range n.pairs(i, ties, at) {
		p, disputed, err := n.cross(i, pair, ties, at, placed, believeTapes)
		if err == nil {
			return p, disputed, nil
		}
		if first == nil {
			first = err
		}
	}
	return [2]float64{}, false, first
}

// cross finds the two places that one pair of tapes allows and chooses.
func (n *net) cross(i int, pair crossing, ties []int, at [][2]float64, placed []bool, believeTapes bool) (_ [2]float64,
	disputed bool, _ error) {
	a, b := pair.a, pair.b
	pa, pb := n.other(a, i), n.other(b, i)
	p, q := at[pa], at[pb]
	base := math.Hypot(q[0]-p[0], q[1]-p[1])
	ux, uy := (q[0]-p[0])/base, (q[1]-p[1])/base
	r, s := n.links[a].length, n.links[b].length
	along := (r*r - s*s + base*base) / (2 * base)
	h2 := (r - along) * (r + along)
	h := math.Sqrt(max(0, h2))
	sigma := math.Hypot(n.links[a].sigma, n.links[b].sigma)
	if h2 < 0 {
		gap := max(base-r-s, math.Abs(r-s)-base)
		// The base between them may itself be taped, or placed, no better.
		if gap > 4*math.Sqrt2*sigma && len(ties) == 2 {
			return [2]float64{}, false, &MeetError{n.pegs[i].Name, [2]int{a, b}, gap}
		}
		h = max(1, sigma)
		along = max(min(along, r), -r)
	}
	left := [2]float64{p[0] + ux*along - uy*h, p[1] + uy*along + ux*h}
	right := [2]float64{p[0] + ux*along + uy*h, p[1] + uy*along - ux*h}
	fit := n.sideByTapes(i, pair, ties, at, left, right)
	said, err := n.sideSaid(i, at, placed, left, right, pa, pb)
	disputed = said != Unsaid && fit != Unsaid && said != fit
	choose := said
	if choose == Unsaid || disputed && believeTapes {
		choose = fit
	}
	switch {
	case choose == Left:
		return left, disputed, nil
	case choose == Right:
		return right, disputed, nil
	case h <= 3*sigma: // on the line, as near as can be told: either will do
		return left, false, nil
	}
	return left, false, err
}

// sideByTapes tells the two places apart when one misses the peg's other tapes
// by far more standard uncertainties than the other does: six more at the
// least, and twice as many.
func (n *net) sideByTapes(i int, pair crossing, ties []int, at [][2]float64, left, right [2]float64) Side {
	var ml, mr float64
	for _, k := range ties {
		if k == pair.a || k == pair.b {
			continue
		}
		o, l := at[n.other(k, i)], n.links[k]
		ml += math.Pow((math.Hypot(left[0]-o[0], left[1]-o[1])-l.length)/l.sigma, 2)
		mr += math.Pow((math.Hypot(right[0]-o[0], right[1]-o[1])-l.length)/l.sigma, 2)
	}
	switch d := math.Sqrt(mr) - math.Sqrt(ml); {
	case d > 6 && mr > 4*ml:
		return Left
	case d < -6 && ml > 4*mr:
		return Right
	}
	return Unsaid
}

// baseOf is the base line that the peg's side refers to.
func (n *net) baseOf(i int) [2]int {
	if b := n.pegs[i].Base; b[0] != "" {
		return [2]int{n.byName[b[0]], n.byName[b[1]]}
	}
	return [2]int{n.origin, n.along}
}

// sideSaid turns the side given, of whatever base line, into left or right of
// pa → pb; Unsaid with a question when it does not tell the places apart.
func (n *net) sideSaid(i int, at [][2]float64, placed []bool, left, right [2]float64, pa, pb int) (Side, error) {
	ask := &SideError{Peg: n.pegs[i].Name, Base: [2]string{n.pegs[pa].Name, n.pegs[pb].Name}}
	if n.pegs[i].Side == Unsaid {
		return Unsaid, ask
	}
	base := n.baseOf(i)
	if !placed[base[0]] || !placed[base[1]] {
		return Unsaid, ask
	}
	want := n.pegs[i].Side.sign()
	l := want * sideOf(at[base[0]], at[base[1]], left)
	r := want * sideOf(at[base[0]], at[base[1]], right)
	switch {
	case l > 0 && r <= 0:
		return Left, nil
	case r > 0 && l <= 0:
		return Right, nil
	}
	return Unsaid, ask
}

// sideOf is over 0 on the left of a → b: the distance from the line, mm.
func sideOf(a, b, p [2]float64) float64 {
	dx, dy := b[0]-a[0], b[1]-a[1]
	d := math.Hypot(dx, dy)
	if d == 0 {
		return 0
	}
	return (dx*(p[1]-a[1]) - dy*(p[0]-a[0])) / d
}
