package tape

import (
	"math"
	"slices"

	"pegpour/engine/refusal"
)

// Limits of judgement.
const (
	// StandardizedLimit is the standardised residual beyond which a tape is
	// suspected. Source: GEOMETRY notes of this project; common practice in
	// adjustment, e.g. Ghilani and Wolf (memory).
	StandardizedLimit = 3
	// CheckedFrom is the redundancy number under which no other tape checks a
	// reading. Common practice, no published source.
	CheckedFrom = 0.01
	// Scale95 turns standard semi-axes into those of the 95 % ellipse, √χ²(0.95; 2).
	Scale95 = 2.447746830680816
	// noncentrality of a test at 0.1 % with power 80 %: how many of its standard
	// deviations a blunder must have to be found. Source: W. Baarda, 1968 (memory).
	noncentrality = 4.13
)

// ErrNoSolution: the adjustment did not settle. The readings contradict each
// other grossly.
var ErrNoSolution = error(refusal.Error("the adjustment does not settle: the tapes contradict each other"))

// Adjust finds the pegs by least squares.
//
//	minimise Σ((|pᵢ − pⱼ| − d)/σ)²   Gauss–Newton, damped after Levenberg and Marquardt
//	Qx = (AᵀPA)⁻¹,  rᵢ = 1 − aᵢQxaᵢᵀ/σᵢ²,  wᵢ = vᵢ/(σᵢ√rᵢ)
//
// A side that was said is believed, unless every tape agrees on the other one.
// Where a tape is suspected, it is the tape that is named, and a peg may stand
// on the wrong side until it is read again.
//
// Errors: RangeError and PegError for what was given, UnderDeterminedError for
// pegs that nothing fixes, SideError where a side must be asked for, MeetError
// for two tapes that make no triangle, ErrNoSolution.
//
// Source: Ghilani and Wolf, Adjustment Computations, ch. 14 and 19 (memory).
// Checked: testdata/references/tape.json; simulated networks in the tests.
func (n *Network) Adjust() (*Result, error) {
	ix, err := n.index()
	if err != nil {
		return nil, err
	}
	at, disputed, err := ix.place(false)
	if err != nil {
		return nil, err
	}
	r, err := ix.solve(at)
	if err == nil && len(disputed) > 0 && !r.sound() || err != nil && len(disputed) > 0 {
		// Either the side was said wrong or a tape was misread: wrongly said, when
		// all tapes agree on the other side.
		other, _, altErr := ix.place(true)
		if altErr == nil {
			if alt, altErr := ix.solve(other); altErr == nil && alt.sound() {
				return nil, ix.contradicted(disputed[0])
			}
		}
	}
	if err != nil {
		return nil, err
	}
	if err := r.sidesKept(at); err != nil && r.sound() {
		return nil, err // with a tape in doubt, name the tape first
	}
	return r, nil
}

// AdjustFrom is Adjust from where each peg is thought to stand, in the order of the
// pegs, mm; of pegs that are known it is not read. It goes downhill from there, so that
// a peg which the tapes allow on either side stands on the side it was thought on, and
// no side is asked for.
//
// Errors as of Adjust, but SideError and MeetError.
func (n *Network) AdjustFrom(first [][2]float64) (*Result, error) {
	ix, err := n.index()
	if err != nil {
		return nil, err
	}
	if err := within("number of first places", -1, float64(len(first)), float64(len(n.Pegs)), float64(len(n.Pegs))); err != nil {
		return nil, err
	}
	at := slices.Clone(first)
	for i, p := range n.Pegs {
		if p.Known {
			at[i] = [2]float64{p.X, p.Y}
		}
		for _, v := range at[i] {
			if err := within("first place of peg", i, v, -MaxCoordinate, MaxCoordinate); err != nil {
				return nil, err
			}
		}
	}
	return ix.solve(at)
}

// solve adjusts from a first position, which it improves in place.
func (n *net) solve(at [][2]float64) (*Result, error) {
	r := &Result{net: n, column: make([][2]int, len(n.pegs))}
	unknowns := 0
	for i := range n.pegs {
		r.column[i] = [2]int{-1, -1}
		if n.fixed[i] {
			continue
		}
		r.column[i][0] = unknowns
		unknowns++
		if i != n.onAxis {
			r.column[i][1] = unknowns
			unknowns++
		}
	}
	if err := r.iterate(at, unknowns); err != nil {
		return nil, err
	}
	r.judge(at, unknowns)
	return r, nil
}

// sound: no tape is suspected.
func (r *Result) sound() bool { return len(r.Suspects) == 0 }

func (n *net) contradicted(i int) error {
	base := n.baseOf(i)
	return &SideError{Peg: n.pegs[i].Name, Base: [2]string{n.pegs[base[0]].Name, n.pegs[base[1]].Name},
		Contradicts: true}
}

// row is the observation equation of a tape: the columns of the two pegs, the
// derivatives there, and the distance by coordinates.
func (r *Result) row(l link, at [][2]float64) (cols [4]int, d [4]float64, length float64) {
	dx, dy := at[l.b][0]-at[l.a][0], at[l.b][1]-at[l.a][1]
	length = math.Hypot(dx, dy)
	ux, uy := 1.0, 0.0
	if length > 1e-9 {
		ux, uy = dx/length, dy/length
	}
	a, b := r.column[l.a], r.column[l.b]
	return [4]int{a[0], a[1], b[0], b[1]}, [4]float64{-ux, -uy, ux, uy}, length
}

func (r *Result) cost(at [][2]float64) float64 {
	var sum float64
	for _, l := range r.net.links {
		v := (math.Hypot(at[l.b][0]-at[l.a][0], at[l.b][1]-at[l.a][1]) - l.length) / l.sigma
		sum += v * v
	}
	return sum
}

// normal are the normal equations at a position.
func (r *Result) normal(at [][2]float64, unknowns int) (n [][]float64, t []float64) {
	n, t = make([][]float64, unknowns), make([]float64, unknowns)
	for i := range n {
		n[i] = make([]float64, unknowns)
	}
	for _, l := range r.net.links {
		cols, d, length := r.row(l, at)
		w := 1 / (l.sigma * l.sigma)
		for i, ci := range cols {
			if ci < 0 {
				continue
			}
			t[ci] += w * d[i] * (l.length - length)
			for j, cj := range cols {
				if cj >= 0 {
					n[ci][cj] += w * d[i] * d[j]
				}
			}
		}
	}
	return n, t
}

// fixedWell is the least share of its pivot left to an unknown that counts as
// fixed: under it the peg lies on the line of its tapes, to about 1 in 300, and
// says nothing across it. fixedPoorly is the share under which that is taken to
// be why an adjustment does not settle. Common practice, no published source.
const (
	fixedWell   = 1e-5
	fixedPoorly = 1e-3
)

func (r *Result) iterate(at [][2]float64, unknowns int) error {
	const settled = 1e-6 // mm
	trial := make([][2]float64, len(at))
	lambda, cost, step := 1e-7, r.cost(at), math.Inf(1)
	for r.Iterations = 1; r.Iterations <= 300 && step >= settled; r.Iterations++ {
		n, t := r.normal(at, unknowns)
		step = r.descend(at, trial, n, t, &lambda, &cost)
	}
	n, t := r.normal(at, unknowns)
	size := r.sizes(unknowns)
	l, row, ok := cholesky(n, size, fixedWell)
	if !ok {
		return r.loose(at, row)
	}
	// Settled for good: a full step from here goes nowhere.
	if r.move(trial, at, solve(l, t)) > 0.01 {
		if _, row, ok := cholesky(n, size, fixedPoorly); !ok {
			return r.loose(at, row)
		}
		return ErrNoSolution
	}
	r.cov = inverse(l)
	return nil
}

// sizes are what each unknown's pivot would be if all the tapes of its peg ran
// along it.
func (r *Result) sizes(unknowns int) []float64 {
	out := make([]float64, unknowns)
	for _, l := range r.net.links {
		for _, i := range [2]int{l.a, l.b} {
			for _, c := range r.column[i] {
				if c >= 0 {
					out[c] += 1 / (l.sigma * l.sigma)
				}
			}
		}
	}
	return out
}

// descend takes one damped step downhill and returns its size; 0 when there is
// no way down.
func (r *Result) descend(at, trial [][2]float64, n [][]float64, t []float64, lambda, cost *float64) float64 {
	for ; *lambda < 1e12; *lambda *= 10 {
		damped := make([][]float64, len(n))
		for i := range n {
			damped[i] = slices.Clone(n[i])
			damped[i][i] *= 1 + *lambda
		}
		l, _, ok := cholesky(damped, nil, 1e-15)
		if !ok {
			continue
		}
		step := r.move(trial, at, solve(l, t))
		if c := r.cost(trial); c <= *cost {
			copy(at, trial)
			*cost = c
			*lambda = max(*lambda/10, 1e-12)
			return step
		}
	}
	return 0
}

func (r *Result) move(to, from [][2]float64, x []float64) float64 {
	var step float64
	for i := range from {
		to[i] = from[i]
		for k, c := range r.column[i] {
			if c >= 0 {
				to[i][k] += x[c]
				step = max(step, math.Abs(x[c]))
			}
		}
	}
	return step
}

// loose names the peg of a row that the tapes do not fix, and a tape across
// the direction in which it is loose.
func (r *Result) loose(at [][2]float64, row int) error {
	i := slices.IndexFunc(r.column, func(c [2]int) bool { return c[0] == row || c[1] == row })
	if i < 0 {
		return ErrNoSolution
	}
	e := &UnderDeterminedError{Pegs: []string{r.net.pegs[i].Name}}
	var xx, xy, yy float64
	taped := map[int]bool{i: true}
	for _, l := range r.net.links {
		if l.a != i && l.b != i {
			continue
		}
		taped[l.a], taped[l.b] = true, true
		_, d, _ := r.row(l, at)
		xx, xy, yy = xx+d[2]*d[2], xy+d[2]*d[3], yy+d[3]*d[3]
	}
	tight := math.Atan2(2*xy, xx-yy) / 2 // the direction the tapes hold best
	best := 0.1
	for j := range at {
		dx, dy := at[j][0]-at[i][0], at[j][1]-at[i][1]
		d := math.Hypot(dx, dy)
		if taped[j] || d < 1 {
			continue
		}
		if across := math.Abs(dy*math.Cos(tight)-dx*math.Sin(tight)) / d; across > best {
			best = across
			e.MissingFrom, e.MissingTo = r.net.pegs[i].Name, r.net.pegs[j].Name
		}
	}
	return e
}

// sidesKept refuses a solution that lies on the other side from the one said.
func (r *Result) sidesKept(at [][2]float64) error {
	for i, p := range r.net.pegs {
		if p.Side == Unsaid || p.Known {
			continue
		}
		base := r.net.baseOf(i)
		if base[0] == i || base[1] == i {
			continue
		}
		off := p.Side.sign() * sideOf(at[base[0]], at[base[1]], at[i])
		if sigma := r.ellipse(r.covarianceOf(i, i)).Major; off < -3*sigma-1 {
			return r.net.contradicted(i)
		}
	}
	return nil
}

func (r *Result) judge(at [][2]float64, unknowns int) {
	for i, p := range r.net.pegs {
		c := r.covarianceOf(i, i)
		r.Pegs = append(r.Pegs, Position{Name: p.Name, X: at[i][0], Y: at[i][1], Covariance: c, Ellipse: r.ellipse(c)})
	}
	r.DegreesOfFreedom = len(r.net.links) - unknowns
	var sum, worst float64
	for _, l := range r.net.links {
		cols, d, length := r.row(l, at)
		q := 1 - r.quadratic(cols, d)/(l.sigma*l.sigma)
		out := Reading{Residual: length - l.length, Redundancy: max(0, min(1, q)), SmallestFound: math.Inf(1)}
		if out.Checked = out.Redundancy >= CheckedFrom; out.Checked {
			out.Standardized = out.Residual / (l.sigma * math.Sqrt(out.Redundancy))
			out.SmallestFound = noncentrality * l.sigma / math.Sqrt(out.Redundancy)
		}
		worst = max(worst, math.Abs(out.Standardized))
		sum += out.Residual / l.sigma * out.Residual / l.sigma
		r.Tapes = append(r.Tapes, out)
	}
	if r.DegreesOfFreedom > 0 {
		r.UnitDeviation = math.Sqrt(sum / float64(r.DegreesOfFreedom))
	}
	if worst > StandardizedLimit {
		for k, t := range r.Tapes {
			if math.Abs(t.Standardized) > worst*(1-1e-3) {
				r.Suspects = append(r.Suspects, k)
			}
		}
	}
}

// quadratic is d·cov·dᵀ over the columns that are not held.
func (r *Result) quadratic(cols [4]int, d [4]float64) float64 {
	var v float64
	for i, ci := range cols {
		for j, cj := range cols {
			if ci >= 0 && cj >= 0 {
				v += d[i] * r.cov[ci][cj] * d[j]
			}
		}
	}
	return v
}

func (r *Result) covarianceOf(i, j int) [2][2]float64 {
	var out [2][2]float64
	for a, ca := range r.column[i] {
		for b, cb := range r.column[j] {
			if ca >= 0 && cb >= 0 {
				out[a][b] = r.cov[ca][cb]
			}
		}
	}
	return out
}

func (r *Result) ellipse(c [2][2]float64) Ellipse {
	half, diff := (c[0][0]+c[1][1])/2, math.Hypot((c[0][0]-c[1][1])/2, c[0][1])
	e := Ellipse{Major: math.Sqrt(max(0, half+diff)), Minor: math.Sqrt(max(0, half-diff))}
	if diff > 0 {
		e.Direction = math.Atan2(2*c[0][1], c[0][0]-c[1][1]) / 2
	}
	return e
}
