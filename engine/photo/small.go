package photo

import "math"

// jacobi finds the eigenvector of the smallest eigenvalue of a symmetric 9×9
// matrix by cyclic Jacobi rotations. Source: Golub and Van Loan, Matrix
// Computations (memory).
func jacobi(a [9][9]float64) [9]float64 {
	var v [9][9]float64
	for i := range v {
		v[i][i] = 1
	}
	for range 60 {
		var off, diag float64
		for i := range 9 {
			diag += a[i][i] * a[i][i]
			for j := range i {
				off += a[i][j] * a[i][j]
			}
		}
		if off <= 1e-32*diag {
			break
		}
		for p := range 8 {
			for q := p + 1; q < 9; q++ {
				rotate(&a, &v, p, q)
			}
		}
	}
	least := 0
	for i := range 9 {
		if a[i][i] < a[least][least] {
			least = i
		}
	}
	var out [9]float64
	for i := range 9 {
		out[i] = v[i][least]
	}
	return out
}

func rotate(a, v *[9][9]float64, p, q int) {
	if a[p][q] == 0 {
		return
	}
	theta := (a[q][q] - a[p][p]) / (2 * a[p][q])
	t := 1 / (math.Abs(theta) + math.Hypot(theta, 1))
	if theta < 0 {
		t = -t
	}
	c := 1 / math.Hypot(t, 1)
	s := t * c
	for k := range 9 {
		a[k][p], a[k][q] = c*a[k][p]-s*a[k][q], s*a[k][p]+c*a[k][q]
	}
	for k := range 9 {
		a[p][k], a[q][k] = c*a[p][k]-s*a[q][k], s*a[p][k]+c*a[q][k]
	}
	for k := range 9 {
		v[k][p], v[k][q] = c*v[k][p]-s*v[k][q], s*v[k][p]+c*v[k][q]
	}
}

type matrix8 [8][8]float64

// add adds one spot to normal equations: its derivatives, and by how much it is
// missed.
func (n *matrix8) add(t, du, dv *[8]float64, u, v float64) {
	for i := range 8 {
		t[i] += du[i]*u + dv[i]*v
		for j := range 8 {
			n[i][j] += du[i]*du[j] + dv[i]*dv[j]
		}
	}
}

func (n *matrix8) times(k float64) {
	for i := range n {
		for j := range n[i] {
			n[i][j] *= k
		}
	}
}

// spread is the covariance of a spot by its derivatives and the covariance n of
// the unknowns.
func (n *matrix8) spread(du, dv *[8]float64) (uu, uv, vv float64) {
	for i := range 8 {
		for j := range 8 {
			uu += du[i] * n[i][j] * du[j]
			uv += du[i] * n[i][j] * dv[j]
			vv += dv[i] * n[i][j] * dv[j]
		}
	}
	return uu, uv, vv
}

// model is what descend fits, by up to eight unknowns.
type model interface {
	// normal are the normal equations where it stands.
	normal() (matrix8, [8]float64)
	// cost is the sum of the squares by which it misses; infinite where a place
	// would lie behind the camera.
	cost() float64
	moved(by *[8]float64) model
}

// descend minimises the cost by damped Gauss–Newton; false where the unknowns
// cannot be told apart.
func descend(m model, rounds int, least float64) (model, bool) {
	cost := m.cost()
	lambda := 1e-9
	for range rounds {
		n, t := m.normal()
		var size float64
		for {
			damped := n
			for i := range 8 {
				damped[i][i] *= 1 + lambda
			}
			q, ok := damped.invert()
			if !ok {
				return m, false
			}
			var by [8]float64
			size = 0
			for i := range 8 {
				for j := range 8 {
					by[i] += q[i][j] * t[j]
				}
				size = max(size, math.Abs(by[i]))
			}
			next := m.moved(&by)
			if c := next.cost(); c <= cost {
				m, cost = next, c
				lambda = max(lambda/10, 1e-12)
				break
			}
			if lambda *= 10; lambda > 1e6 {
				size = 0
				break
			}
		}
		if size < least {
			break
		}
	}
	return m, true
}

// invert inverts a symmetric positive definite matrix by Cholesky; false when
// it is not.
func (n *matrix8) invert() (out matrix8, ok bool) {
	var l, li matrix8
	for i := range 8 {
		for j := 0; j <= i; j++ {
			s := n[i][j]
			for k := range j {
				s -= l[i][k] * l[j][k]
			}
			if i != j {
				l[i][j] = s / l[j][j]
			} else if s > 1e-12*n[i][i] {
				l[i][i] = math.Sqrt(s)
			} else {
				return out, false
			}
		}
	}
	for i := range 8 {
		li[i][i] = 1 / l[i][i]
		for j := range i {
			var s float64
			for k := j; k < i; k++ {
				s -= l[i][k] * li[k][j]
			}
			li[i][j] = s / l[i][i]
		}
	}
	for i := range 8 {
		for j := range 8 {
			for k := max(i, j); k < 8; k++ {
				out[i][j] += li[k][i] * li[k][j]
			}
		}
	}
	return out, true
}

// matrix3 is a homography, row by row.
type matrix3 [9]float64

func (h *matrix3) apply(x, y float64) (u, v, w float64) {
	return h[0]*x + h[1]*y + h[2], h[3]*x + h[4]*y + h[5], h[6]*x + h[7]*y + h[8]
}

func (h *matrix3) times(g *matrix3) (out matrix3) {
	for i := range 3 {
		for j := range 3 {
			for k := range 3 {
				out[3*i+j] += h[3*i+k] * g[3*k+j]
			}
		}
	}
	return out
}

// adjugate is the inverse but for scale; det the determinant.
func (h *matrix3) adjugate() (out matrix3, det float64) {
	out = matrix3{
		h[4]*h[8] - h[5]*h[7], h[2]*h[7] - h[1]*h[8], h[1]*h[5] - h[2]*h[4],
		h[5]*h[6] - h[3]*h[8], h[0]*h[8] - h[2]*h[6], h[2]*h[3] - h[0]*h[5],
		h[3]*h[7] - h[4]*h[6], h[1]*h[6] - h[0]*h[7], h[0]*h[4] - h[1]*h[3],
	}
	return out, h[0]*out[0] + h[1]*out[3] + h[2]*out[6]
}

// similarity moves points to their centroid and scales them to a mean
// distance of √2 (Hartley). at gives point i.
func similarity(n int, at func(int) (float64, float64)) (t matrix3, scale float64) {
	var cx, cy, d float64
	for i := range n {
		x, y := at(i)
		cx += x / float64(n)
		cy += y / float64(n)
	}
	for i := range n {
		x, y := at(i)
		d += math.Hypot(x-cx, y-cy) / float64(n)
	}
	scale = math.Sqrt2 / d
	return matrix3{scale, 0, -scale * cx, 0, scale, -scale * cy, 0, 0, 1}, scale
}
