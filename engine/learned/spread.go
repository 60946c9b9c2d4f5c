package learned

import (
	"math"
	"slices"
)

// Spread is how values lie.
type Spread struct {
	N                       int
	Mean, Deviation, Median float64 // Deviation is the sample's, n − 1; 0 for fewer than two
	Least, Most             float64
}

// SpreadOf is how values lie: none of them for no values.
//
//	s = √(Σ(x − x̄)²/(n − 1))
//
// Both sums are taken twice, so that large values with a small spread lose nothing.
//
// Source: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.1 and 1.3.5.6 (memory).
func SpreadOf(values []float64) Spread {
	s := Spread{N: len(values)}
	if s.N == 0 {
		return s
	}
	n := float64(s.N)
	for _, v := range values {
		s.Mean += v / n
	}
	var rest, squares float64
	for _, v := range values {
		rest += v - s.Mean
	}
	s.Mean += rest / n
	rest = 0
	for _, v := range values {
		d := v - s.Mean
		rest += d
		squares += float64(d * d)
	}
	if s.N > 1 {
		s.Deviation = math.Sqrt(max(0, squares-float64(rest*rest)/n) / (n - 1))
	}
	sorted := slices.Clone(values)
	slices.Sort(sorted)
	s.Median = (sorted[(s.N-1)/2] + sorted[s.N/2]) / 2
	s.Least, s.Most = sorted[0], sorted[s.N-1]
	return s
}

// LeastForOdd is the least number of values of which the test of Grubbs names one.
//
// Source: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.17.1 (memory): with
// six or fewer it finds most of them odd.
const LeastForOdd = 7

// Odd finds the value that lies furthest from the mean and whether it stands apart at
// the level of significance given, by the test of Grubbs for both sides; at is -1 where
// no value does.
//
//	G = max|x − x̄|/s > critical
//
// Source: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.17.1.
func Odd(values []float64, level float64) (at int, g float64) {
	s := SpreadOf(values)
	if s.N < LeastForOdd || s.Deviation <= 0 {
		return -1, 0
	}
	for i, v := range values {
		if d := math.Abs(v-s.Mean) / s.Deviation; d > g {
			at, g = i, d
		}
	}
	if g <= CriticalOdd(s.N, level/2) {
		return -1, g
	}
	return at, g
}

// CriticalOdd is the critical value of the test of Grubbs for n values, 3 or more, on
// one side; half the level of significance makes it the one for both sides.
//
//	(n − 1)/√n · √(t²/(n − 2 + t²)), t = t(level/n; n − 2)
//
// Source: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.17.1.
func CriticalOdd(n int, level float64) float64 {
	f := float64(n - 2)
	low, high := 0.0, 1e6
	for range 200 { // until the halves are one number
		t := (low + high) / 2
		if beyond(t, n-2) > level/float64(n) {
			low = t
		} else {
			high = t
		}
	}
	squared := float64(low * low)
	return float64(n-1) / math.Sqrt(float64(n)) * math.Sqrt(squared/(f+squared))
}

// beyond is the chance that Student's t of so many degrees of freedom is larger than t,
// which is not negative.
//
//	odd f:  A = 2/π·(θ + sin θ·(cos θ + 2/3·cos³θ + …)), even f: A = sin θ·(1 + 1/2·cos²θ + …)
//
// with θ = arctan(t/√f); the chance is (1 − A)/2.
//
// Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.3 and 26.7.4
// (memory).
func beyond(t float64, f int) float64 {
	tangent := t / math.Sqrt(float64(f))
	cos := 1 / math.Sqrt(1+float64(tangent*tangent))
	sin := tangent * cos
	even := f%2 == 0
	term, first := cos, 3
	if even {
		term, first = 1, 2
	}
	var sum float64
	for k := first; k <= f; k += 2 {
		sum += term
		term *= float64(cos*cos) * float64(k-1) / float64(k)
	}
	if even {
		return (1 - float64(sin*sum)) / 2
	}
	return (1 - 2/math.Pi*(math.Atan(tangent)+float64(sin*sum))) / 2
}
