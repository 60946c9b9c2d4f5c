package tape

import (
	"math"
	"slices"
)

// place finds a first position for every peg by trilateration from those
// placed before.
func (n *net) place() ([][2]float64, error) {
	at := make([][2]float64, len(n.pegs))
	placed := slices.Clone(n.fixed)
	for i, p := range n.pegs {
		if p.Known {
			at[i] = [2]float64{p.X, p.Y}
		}
	}
	if n.onAxis >= 0 {
		if l, ok := n.mean(n.origin, n.onAxis); ok {
			at[n.onAxis] = [2]float64{at[n.origin][0] + l, at[n.origin][1]}
			placed[n.onAxis] = true
		} else {
			return nil, &UnderDeterminedError{[]string{n.pegs[n.onAxis].Name}, n.pegs[n.origin].Name, n.pegs[n.onAxis].Name}
		}
	}
	for {
		best, bestScore := -1, 0.0
		for i := range n.pegs {
			if placed[i] {
				continue
			}
			if s := n.score(i, at, placed); s > bestScore {
				best, bestScore = i, s
			}
		}
		if best < 0 {
			break
		}
		p, err := n.trilaterate(best, at, placed)
		if err != nil {
			return nil, err
		}
		at[best], placed[best] = p, true
	}
	if slices.Contains(placed, false) {
		return nil, n.unfixed(at, placed)
	}
	return at, nil
}

// ties are the tapes from i to pegs already placed.
func (n *net) ties(i int, placed []bool) []int {
	var out []int
	for k, l := range n.links {
		if l.a == i && placed[l.b] || l.b == i && placed[l.a] {
			out = append(out, k)
		}
	}
	return out
}

func (n *net) other(k, i int) int { return n.links[k].a + n.links[k].b - i }

// mean is the weighted mean of the tapes straight between two pegs.
func (n *net) mean(i, j int) (float64, bool) {
	var sum, weight float64
	for _, l := range n.links {
		if l.a == i && l.b == j || l.a == j && l.b == i {
			w := 1 / (l.sigma * l.sigma)
			sum += w * l.length
			weight += w
		}
	}
	return sum / weight, weight > 0
}

// corner is the sine of the angle at which two tapes meet, by the law of
// cosines; a thousandth where they hardly meet at all.
func (n *net) corner(a, b int, base float64) float64 {
	r, s := n.links[a].length, n.links[b].length
	c := (r*r + s*s - base*base) / (2 * r * s)
	if math.Abs(c) >= 1 {
		return 1e-3
	}
	return math.Max(1e-3, math.Sqrt(1-c*c))
}

// score ranks pegs to place next: those with more ties first, then the better
// corner; 0 when two ties to different pegs are not there.
func (n *net) score(i int, at [][2]float64, placed []bool) float64 {
	ties := n.ties(i, placed)
	_, _, c := n.bestPair(i, ties, at)
	if c == 0 {
		return 0
	}
	ends := map[int]bool{}
	for _, k := range ties {
		ends[n.other(k, i)] = true
	}
	s := math.Min(c, 1)
	if len(ends) > 2 {
		s += 10
	} else if n.pegs[i].Side != Unsaid {
		s += 5 // can be decided now; the rest may be decided by it
	}
	return s
}

// bestPair are the two ties that meet most squarely.
func (n *net) bestPair(i int, ties []int, at [][2]float64) (a, b int, best float64) {
	for x, k := range ties {
		for _, m := range ties[:x] {
			p, q := at[n.other(k, i)], at[n.other(m, i)]
			base := math.Hypot(p[0]-q[0], p[1]-q[1])
			if n.other(k, i) == n.other(m, i) || base < 1e-6 {
				continue
			}
			if c := n.corner(m, k, base); c > best {
				a, b, best = m, k, c
			}
		}
	}
	return a, b, best
}

// trilaterate crosses two tapes and chooses between the two places by the
// other tapes, else by the side given, else asks.
func (n *net) trilaterate(i int, at [][2]float64, placed []bool) ([2]float64, error) {
	ties := n.ties(i, placed)
	a, b, _ := n.bestPair(i, ties, at)
	pa, pb := n.other(a, i), n.other(b, i)
	p, q := at[pa], at[pb]
	base := math.Hypot(q[0]-p[0], q[1]-p[1])
	ux, uy := (q[0]-p[0])/base, (q[1]-p[1])/base
	r, s := n.links[a].length, n.links[b].length
	along := (r*r - s*s + base*base) / (2 * base)
	h2 := (r - along) * (r + along)
	h := math.Sqrt(math.Max(0, h2))
	sigma := math.Hypot(n.links[a].sigma, n.links[b].sigma)
	if h2 < 0 {
		gap := math.Max(base-r-s, math.Abs(r-s)-base)
		// The base between them may itself be taped, or placed, no better.
		if gap > 4*math.Sqrt2*sigma && len(ties) == 2 {
			return [2]float64{}, &MeetError{n.pegs[i].Name, [2]int{a, b}, gap}
		}
		h = math.Max(1, sigma)
		along = math.Max(math.Min(along, r), -r)
	}
	left := [2]float64{p[0] + ux*along - uy*h, p[1] + uy*along + ux*h}
	right := [2]float64{p[0] + ux*along + uy*h, p[1] + uy*along - ux*h}
	var ml, mr float64
	for _, k := range ties {
		o := at[n.other(k, i)]
		l := n.links[k]
		dl := math.Hypot(left[0]-o[0], left[1]-o[1]) - l.length
		dr := math.Hypot(right[0]-o[0], right[1]-o[1]) - l.length
		if k != a && k != b {
			ml += dl * dl / (l.sigma * l.sigma)
			mr += dr * dr / (l.sigma * l.sigma)
		}
	}
	// Told apart when one place misses its other tapes by far more standard
	// uncertainties than the other does: six more at the least.
	fit := Unsaid
	if d := math.Sqrt(mr) - math.Sqrt(ml); d > 6 && mr > 4*ml {
		fit = Left
	} else if d < -6 && ml > 4*mr {
		fit = Right
	}
	said, err := n.sideSaid(i, at, placed, left, right, pa, pb)
	switch {
	case said != Unsaid && fit != Unsaid && said != fit:
		base := n.baseOf(i)
		return left, &SideError{Peg: n.pegs[i].Name, Base: [2]string{n.pegs[base[0]].Name, n.pegs[base[1]].Name}, Contradicts: true}
	case fit == Left || fit == Unsaid && said == Left:
		return left, nil
	case fit == Right || said == Right:
		return right, nil
	case h <= 3*sigma: // on the line, as near as can be told: either will do
		return left, nil
	}
	return left, err
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

// unfixed names the pegs that could not be placed and a tape that would help:
// from the one that lacks least, to a placed peg not yet taped to it.
func (n *net) unfixed(at [][2]float64, placed []bool) error {
	e := &UnderDeterminedError{}
	most := -1
	for i := range n.pegs {
		if placed[i] {
			continue
		}
		e.Pegs = append(e.Pegs, n.pegs[i].Name)
		ties := n.ties(i, placed)
		if len(ties) <= most {
			continue
		}
		taped := map[int]bool{}
		for _, k := range ties {
			taped[n.other(k, i)] = true
		}
		far := -1.0
		for j := range n.pegs {
			if !placed[j] || taped[j] {
				continue
			}
			d := 0.0
			for k := range taped {
				d += math.Hypot(at[j][0]-at[k][0], at[j][1]-at[k][1])
			}
			if d > far {
				far, most = d, len(ties)
				e.MissingFrom, e.MissingTo = n.pegs[i].Name, n.pegs[j].Name
			}
		}
	}
	return e
}
