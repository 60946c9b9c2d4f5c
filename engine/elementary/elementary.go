// Package elementary holds the exponential function, the logarithm and the power
// to the same bits on amd64 and in a browser. The standard library's have
// machine code of their own on amd64 and differ there now and then in the last
// bit; its Expm1 and Log1p have not, and these are made of them.
//
// Results are within 3 units in the last place of the exact ones, a power's
// within as many more as y·ln x is large.
//
// # Equal bytes hold between amd64 and WebAssembly
//
// Another processor may fuse a multiplication with an addition, so that a server on
// arm64 can differ from a phone in the last bit of any sum. Nothing here prevents
// that. It would change if a plan were made on such a server and compared with a
// phone's: every product in a sum would then need a conversion of its own.
package elementary

import "math"

// Exp is eˣ, for any x.
func Exp(x float64) float64 {
	if x < 0 {
		return 1 / (1 + math.Expm1(-x))
	}
	return 1 + math.Expm1(x)
}

// Log is the natural logarithm, for x above 0; of 0 it is −∞, below it is NaN.
func Log(x float64) float64 {
	if !(x > 0) || math.IsInf(x, 1) {
		return math.Log1p(x - 1) // what it says of these is right
	}
	part, twos := math.Frexp(x)
	if part < math.Sqrt2/2 {
		part, twos = 2*part, twos-1
	}
	return math.Log1p(part-1) + float64(float64(twos)*math.Ln2)
}

// Pow is xʸ, for x above 0.
func Pow(x, y float64) float64 { return Exp(y * Log(x)) }
