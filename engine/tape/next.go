package tape

// Unfixed stands for how well a peg is known before any tape is taken to it, mm.
const Unfixed = 1000

// Next finds the two pegs between which one more tape would tell most: of those that
// may be taped, the one after which the worst standard uncertainty of the wanted pegs
// is least; where two differ by less than 1 % in that, the one after which the sum of
// the fourth powers of all their semi-axes is least.
//
//	N = AᵀPA + I/Unfixed²,  Q = N⁻¹,  Q' = Q − Qaᵀ·aQ/(σ² + aQaᵀ)
//
// at are the places of the pegs, mm: of those that nothing fixes yet, where they are
// thought to stand. sigma is the standard uncertainty of the new tape, mm. The indices
// are those of the network's pegs; false where no tape may be taken. Names of tapes
// that are no pegs' count for nothing. It refuses nothing: what is no number is no tape.
//
// Source: the update of an inverse by one row is that of Sherman and Morrison, 1950
// (memory). Checked: against the adjustment with each possible tape in turn.
func (n *Network) Next(at [][2]float64, sigma float64, wanted func(i int) bool, may func(i, j int) bool) (from, to int, ok bool) {
	r := &Result{net: &net{pegs: n.Pegs, byName: map[string]int{}}, column: make([][2]int, len(n.Pegs))}
	unknowns := 0
	for i, p := range n.Pegs {
		r.net.byName[p.Name] = i
		r.column[i] = [2]int{-1, -1}
		if !p.Known {
			r.column[i] = [2]int{unknowns, unknowns + 1}
			unknowns += 2
		}
	}
	for _, t := range n.Tapes {
		a, okA := r.net.byName[t.From]
		b, okB := r.net.byName[t.To]
		if okA && okB && a != b && t.Sigma > 0 {
			r.net.links = append(r.net.links, link{a, b, t.Length, t.Sigma})
		}
	}
	normal, _ := r.normal(at, unknowns)
	for i := range normal {
		normal[i][i] += 1.0 / (Unfixed * Unfixed)
	}
	l, _, sound := cholesky(normal, nil, 0)
	if !sound {
		return 0, 0, false
	}
	r.cov = inverse(l)
	var least, sum float64
	for i := range n.Pegs {
		for j := range i {
			if n.Pegs[i].Known && n.Pegs[j].Known || !may(j, i) {
				continue
			}
			worst, all := r.with(link{a: j, b: i, sigma: sigma}, at, wanted)
			if !ok || worst < least*0.99 || worst < least*1.01 && all < sum {
				from, to, least, sum, ok = j, i, worst, all, true
			}
		}
	}
	return from, to, ok
}

// with is the worst standard uncertainty of the wanted pegs after one more tape, and
// the sum of the fourth powers of their semi-axes.
func (r *Result) with(l link, at [][2]float64, wanted func(i int) bool) (worst, all float64) {
	g, row := r.gain(l, at)
	for i := range r.net.pegs {
		if !wanted(i) || r.column[i][0] < 0 {
			continue
		}
		c := r.less(i, g, -1/(l.sigma*l.sigma+row))
		worst = max(worst, r.ellipse(c).Major)
		all += c[0][0]*c[0][0] + 2*c[0][1]*c[0][1] + c[1][1]*c[1][1]
	}
	return worst, all
}

// gain is Qaᵀ of a tape and aQaᵀ.
func (r *Result) gain(l link, at [][2]float64) (g []float64, row float64) {
	cols, d, _ := r.row(l, at)
	g = make([]float64, len(r.cov))
	for i := range g {
		for k, c := range cols {
			if c >= 0 {
				g[i] += r.cov[i][c] * d[k]
			}
		}
	}
	return g, r.quadratic(cols, d)
}

// less is the covariance of a peg with share·g·gᵀ added.
func (r *Result) less(i int, g []float64, share float64) [2][2]float64 {
	c := r.covarianceOf(i, i)
	for a, ca := range r.column[i] {
		for b, cb := range r.column[i] {
			if ca >= 0 && cb >= 0 {
				c[a][b] += share * g[ca] * g[cb]
			}
		}
	}
	return c
}

// Without is where a peg would stand had tape k not been taken, by one step from the
// adjustment with it:
//
//	x' = x + g·v/(σ²r),  Q' = Q + g·gᵀ/(σ²r),  g = Qaᵀ
//
// False where nothing else fixes the peg as well, or there is no such tape or peg.
//
// Source: Ghilani and Wolf, Adjustment Computations, ch. 21 (memory); Baarda, 1968
// (memory). Checked: against the adjustment without the tape.
func (r *Result) Without(k int, name string) (Position, bool) {
	i, known := r.net.byName[name]
	if !known || k < 0 || k >= len(r.Tapes) {
		return Position{}, false
	}
	at := make([][2]float64, len(r.Pegs))
	for j, p := range r.Pegs {
		at[j] = [2]float64{p.X, p.Y}
	}
	l := r.net.links[k]
	g, row := r.gain(l, at)
	rest := l.sigma*l.sigma - row // σ²r
	p := r.Pegs[i]
	moves := false
	for a, c := range r.column[i] {
		if c >= 0 && g[c] != 0 {
			moves = true
			if rest > 0 {
				shift := g[c] * r.Tapes[k].Residual / rest
				if a == 0 {
					p.X += shift
				} else {
					p.Y += shift
				}
			}
		}
	}
	if !moves {
		return p, true
	}
	if rest < CheckedFrom*l.sigma*l.sigma {
		return Position{}, false
	}
	p.Covariance = r.less(i, g, 1/rest)
	p.Ellipse = r.ellipse(p.Covariance)
	return p, true
}
