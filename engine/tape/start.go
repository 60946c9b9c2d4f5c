package tape

import (
	"math"
	"slices"
)

// place finds a first position for every peg by trilateration from those
// placed before. Where the side said and the other tapes disagree it believes
// what was said, or the tapes, as asked; and lists those pegs.
func (n *net) place(believeTapes bool) (_ [][2]float64, disputed []int, _ error) {
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
			return nil, nil, &UnderDeterminedError{[]string{n.pegs[n.onAxis].Name}, n.pegs[n.origin].Name,
				n.pegs[n.onAxis].Name}
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
		p, against, err := n.trilaterate(best, at, placed, believeTapes)
		if err != nil {
			return nil, nil, err
		}
		if against {
			disputed = append(disputed, best)
		}
		at[best], placed[best] = p, true
	}
	if slices.Contains(placed, false) {
		return nil, nil, n.unfixed(at, placed)
	}
	return at, disputed, nil
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
	return max(1e-3, math.Sqrt(1-c*c))
}

// score ranks pegs to place next: those with more ties first, then the better
// corner; 0 when two ties to different pegs are not there.
func (n *net) score(i int, at [][2]float64, placed []bool) float64 {
	ties := n.ties(i, placed)
	pairs := n.pairs(i, ties, at)
	if len(pairs) == 0 {
		return 0
	}
	ends := map[int]bool{}
	for _, k := range ties {
		ends[n.other(k, i)] = true
	}
	s := min(pairs[0].corner, 1)
	if len(ends) > 2 {
		s += 10
	} else if n.pegs[i].Side != Unsaid {
		s += 5 // can be decided now; the rest may be decided by it
	}
	return s
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
