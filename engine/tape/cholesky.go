package tape

import "math"

// cholesky is the lower triangle L of a symmetric positive definite matrix,
// L·Lᵀ = n. When a pivot falls under share of the row's size it returns that
// row and false: that unknown is not fixed by what was measured. A nil size
// stands for the diagonal.
func cholesky(n [][]float64, size []float64, share float64) (l [][]float64, row int, ok bool) {
	l = make([][]float64, len(n))
	for i := range n {
		least := n[i][i]
		if size != nil {
			least = size[i]
		}
		l[i] = make([]float64, len(n))
		for j := 0; j <= i; j++ {
			s := n[i][j]
			for k := range j {
				s -= l[i][k] * l[j][k]
			}
			if i != j {
				l[i][j] = s / l[j][j]
				continue
			}
			if !(s > share*least) {
				return nil, i, false
			}
			l[i][i] = math.Sqrt(s)
		}
	}
	return l, -1, true
}

// solve gives x of L·Lᵀ·x = b.
func solve(l [][]float64, b []float64) []float64 {
	x := make([]float64, len(b))
	for i := range b {
		s := b[i]
		for k := range i {
			s -= l[i][k] * x[k]
		}
		x[i] = s / l[i][i]
	}
	for i := len(b) - 1; i >= 0; i-- {
		for k := i + 1; k < len(b); k++ {
			x[i] -= l[k][i] * x[k]
		}
		x[i] /= l[i][i]
	}
	return x
}

// inverse of L·Lᵀ.
func inverse(l [][]float64) [][]float64 {
	out := make([][]float64, len(l))
	unit := make([]float64, len(l))
	for i := range l {
		clear(unit)
		unit[i] = 1
		out[i] = solve(l, unit)
	}
	return out
}
