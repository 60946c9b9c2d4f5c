package steel

import "math"

// plateState is a scaled rigid plate: half sides, anchors, and the stiffness of
// an anchor against that of the concrete per unit area.
type plateState struct {
	hw, hd, spring float64
	anchors        []Anchor
}

// equilibrium finds the plane w that resists the wanted force and moments. The
// strain energy is convex, so damped Newton steps reach its one minimum.
func (s *plateState) equilibrium(want [3]float64) [3]float64 {
	var w [3]float64
	damping := 1e-9
	value := s.energy(w, want)
	for range 400 {
		force, stiff := s.resist(w)
		left := [3]float64{want[0] - force[0], want[1] - force[1], want[2] - force[2]}
		if max(math.Abs(left[0]), max(math.Abs(left[1]), math.Abs(left[2]))) < 1e-12 {
			break
		}
		moved := false
		for range 60 {
			k := stiff
			for i := range k {
				k[i][i] += damping
			}
			d, ok := solveThree(k, left)
			if ok {
				next := [3]float64{w[0] + d[0], w[1] + d[1], w[2] + d[2]}
				if e := s.energy(next, want); e <= value {
					w, value, moved = next, e, true
					damping = max(damping/10, 1e-14)
					break
				}
			}
			damping *= 10
		}
		if !moved {
			break
		}
	}
	return w
}

// energy is the strain energy less the work of the wanted loads.
func (s *plateState) energy(w, want [3]float64) float64 {
	force, _ := s.resist(w)
	e := 0.0
	for i := range w {
		e += w[i] * (force[i]/2 - want[i])
	}
	return e
}

// resist returns the force and moments of a plane and their derivatives.
func (s *plateState) resist(w [3]float64) (force [3]float64, stiff [3][3]float64) {
	if pressed := s.pressed(w); len(pressed) > 2 {
		m := polygonIntegrals(pressed)
		stiff = [3][3]float64{{m[0], m[1], m[2]}, {m[1], m[3], m[4]}, {m[2], m[4], m[5]}}
	}
	for _, a := range s.anchors {
		if w[0]+w[1]*a.X+w[2]*a.Y < 0 {
			arm := [3]float64{1, a.X, a.Y}
			for i := range arm {
				for j := range arm {
					stiff[i][j] += s.spring * arm[i] * arm[j]
				}
			}
		}
	}
	for i := range force {
		for j := range w {
			force[i] += stiff[i][j] * w[j]
		}
	}
	return force, stiff
}

// pressed returns the part of the plate where the plane sinks, as a polygon.
func (s *plateState) pressed(w [3]float64) []Anchor {
	corners := [4]Anchor{{-s.hw, -s.hd}, {s.hw, -s.hd}, {s.hw, s.hd}, {-s.hw, s.hd}}
	sink := func(p Anchor) float64 { return w[0] + w[1]*p.X + w[2]*p.Y }
	var out []Anchor
	for i, p := range corners {
		q := corners[(i+1)%4]
		a, b := sink(p), sink(q)
		if a > 0 {
			out = append(out, p)
		}
		if (a > 0) != (b > 0) {
			f := a / (a - b)
			out = append(out, Anchor{p.X + f*(q.X-p.X), p.Y + f*(q.Y-p.Y)})
		}
	}
	return out
}

// polygonIntegrals returns ∫1, ∫x, ∫y, ∫x², ∫xy, ∫y² over a polygon given
// anticlockwise, by Green's theorem.
func polygonIntegrals(v []Anchor) (m [6]float64) {
	for i, p := range v {
		q := v[(i+1)%len(v)]
		c := p.X*q.Y - q.X*p.Y
		m[0] += c / 2
		m[1] += c * (p.X + q.X) / 6
		m[2] += c * (p.Y + q.Y) / 6
		m[3] += c * (p.X*p.X + p.X*q.X + q.X*q.X) / 12
		m[4] += c * (2*p.X*p.Y + p.X*q.Y + q.X*p.Y + 2*q.X*q.Y) / 24
		m[5] += c * (p.Y*p.Y + p.Y*q.Y + q.Y*q.Y) / 12
	}
	return m
}

// solveThree solves three equations by elimination with pivoting.
func solveThree(k [3][3]float64, r [3]float64) (x [3]float64, ok bool) {
	for c := range 3 {
		best := c
		for i := c + 1; i < 3; i++ {
			if math.Abs(k[i][c]) > math.Abs(k[best][c]) {
				best = i
			}
		}
		k[c], k[best] = k[best], k[c]
		r[c], r[best] = r[best], r[c]
		if k[c][c] == 0 {
			return x, false
		}
		for i := c + 1; i < 3; i++ {
			f := k[i][c] / k[c][c]
			for j := c; j < 3; j++ {
				k[i][j] -= f * k[c][j]
			}
			r[i] -= f * r[c]
		}
	}
	for c := 2; c >= 0; c-- {
		x[c] = r[c]
		for j := c + 1; j < 3; j++ {
			x[c] -= k[c][j] * x[j]
		}
		x[c] /= k[c][c]
	}
	return x, true
}
