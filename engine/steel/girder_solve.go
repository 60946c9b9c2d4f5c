package steel

import (
	"math"
	"slices"
)

// equations are the equilibria at the nodes of a Girder: of the force and of the
// moment at each, for its deflection and slope.
type equations struct {
	left  [][]float64
	right []float64
}

func newEquations(n int) *equations {
	all := make([]float64, n*(n+1))
	e := &equations{left: make([][]float64, n), right: all[n*n:]}
	for i := range e.left {
		e.left[i] = all[i*n : (i+1)*n]
	}
	return e
}

// bar adds a bar between the nodes whose first unknowns are at and at+2.
func (e *equations) bar(at int, l, stiff float64) {
	force, turn := 12*stiff/(l*l*l), 6*stiff/(l*l)
	near, far := 4*stiff/l, 2*stiff/l
	for i, row := range [4][4]float64{
		{force, turn, -force, turn},
		{turn, near, -turn, far},
		{-force, -turn, force, -turn},
		{turn, far, -turn, near},
	} {
		for j, v := range row {
			e.left[at+i][at+j] += v
		}
	}
}

// set makes an unknown a known value.
func (e *equations) set(i int, value float64) {
	for j := range e.left {
		if j != i {
			e.right[j] -= e.left[j][i] * value
			e.left[j][i], e.left[i][j] = 0, 0
		}
	}
	e.left[i][i], e.right[i] = 1, value
}

// solve eliminates. What is left is symmetric and positive where the girder is
// held, which check has made sure of; so no rows are exchanged.
func (e *equations) solve() []float64 {
	n := len(e.right)
	for c := range n {
		for i := c + 1; i < min(n, c+4); i++ { // a node meets only its neighbours
			f := e.left[i][c] / e.left[c][c]
			if f == 0 {
				continue
			}
			for j := c; j < min(n, c+4); j++ {
				e.left[i][j] -= f * e.left[c][j]
			}
			e.right[i] -= f * e.right[c]
		}
	}
	for c := n - 1; c >= 0; c-- {
		for j := c + 1; j < min(n, c+4); j++ {
			e.right[c] -= e.left[c][j] * e.right[j]
		}
		e.right[c] /= e.left[c][c]
	}
	return e.right
}

// extremes finds the greatest moments, shear force and deflections. Between
// loads the moment is a parabola, so moments and shear are exact.
func (r *GirderResult) extremes() {
	for i := range r.pieces {
		p := &r.pieces[i]
		stops := []float64{0, p.length}
		for _, q := range p.loads {
			stops = append(stops, q.At)
		}
		for _, t := range p.turns {
			stops = append(stops, t.At)
		}
		slices.Sort(stops)
		for k, x := range stops {
			r.keepMoment(p, x)
			if k+1 == len(stops) {
				break
			}
			end := stops[k+1]
			if end <= x {
				continue
			}
			// Just right of the stop: sums at a place leave out what stands there.
			middle := (x + end) / 2
			right := p.shearAt(middle) + p.uniform*(middle-x)
			r.Shear = max(r.Shear, max(math.Abs(right), math.Abs(right-p.uniform*(end-x))))
			m := p.moment(middle) - right*(middle-x) + p.uniform*(middle-x)*(middle-x)/2
			r.keep(m, p.from+x)
			if p.uniform > 0 {
				if z := right / p.uniform; z > 0 && z < end-x {
					r.keep(m+right*z/2, p.from+x+z)
				}
			}
		}
		r.deflect(p)
	}
}

func (r *GirderResult) keepMoment(p *girderPiece, x float64) { r.keep(p.moment(x), p.from+x) }

func (r *GirderResult) keep(m, at float64) {
	if m > r.Sagging {
		r.Sagging, r.SaggingAt = m, at
	}
	if -m > r.Hogging {
		r.Hogging, r.HoggingAt = -m, at
	}
}

// deflect looks for the greatest deflections of a piece, both ways.
func (r *GirderResult) deflect(p *girderPiece) {
	const stations = 24
	part := p.length / stations
	for _, sign := range [2]float64{1, -1} {
		value := func(x float64) float64 { return sign * p.deflection(x, r.elasticity) }
		best, at := math.Inf(-1), 0.0
		for k := range stations + 1 {
			if v := value(part * float64(k)); v > best {
				best, at = v, part*float64(k)
			}
		}
		if x, v := greatest(value, max(0, at-part), min(p.length, at+part)); v > best {
			best, at = v, x
		}
		if sign > 0 && best > r.Down {
			r.Down, r.DownAt = best, p.from+at
		}
		if sign < 0 && best > r.Up {
			r.Up, r.UpAt = best, p.from+at
		}
	}
}
