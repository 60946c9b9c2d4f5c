package learned

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// lottery is the data set Lottery of the Statistical Reference Datasets.
//
// Source: NIST StRD, Univariate Summary Statistics, Lottery.dat, with its certified
// values (read, in a copy of that file).
var lottery = []float64{
	162, 671, 933, 414, 788, 730, 817, 33, 536, 875, 670, 236, 473, 167, 877, 980, 316, 950, 456, 92,
	517, 557, 956, 954, 104, 178, 794, 278, 147, 773, 437, 435, 502, 610, 582, 780, 689, 562, 964, 791,
	28, 97, 848, 281, 858, 538, 660, 972, 671, 613, 867, 448, 738, 966, 139, 636, 847, 659, 754, 243,
	122, 455, 195, 968, 793, 59, 730, 361, 574, 522, 97, 762, 431, 158, 429, 414, 22, 629, 788, 999,
	187, 215, 810, 782, 47, 34, 108, 986, 25, 644, 829, 630, 315, 567, 919, 331, 207, 412, 242, 607,
	668, 944, 749, 168, 864, 442, 533, 805, 372, 63, 458, 777, 416, 340, 436, 140, 919, 350, 510, 572,
	905, 900, 85, 389, 473, 758, 444, 169, 625, 692, 140, 897, 672, 288, 312, 860, 724, 226, 884, 508,
	976, 741, 476, 417, 831, 15, 318, 432, 241, 114, 799, 955, 833, 358, 935, 146, 630, 830, 440, 642,
	356, 373, 271, 715, 367, 393, 190, 669, 8, 861, 108, 795, 269, 590, 326, 866, 64, 523, 862, 840,
	219, 382, 998, 4, 628, 305, 747, 247, 34, 747, 729, 645, 856, 974, 24, 568, 24, 694, 608, 480,
	410, 729, 947, 293, 53, 930, 223, 203, 677, 227, 62, 455, 387, 318, 562, 242, 428, 968,
}

// Mean and standard deviation of the Statistical Reference Datasets of NIST. The data
// of NumAcc are made by their definition: one value, and then two in turn, 1001 in all
// (memory). What a value of ten million cannot hold of a spread of a tenth is lost
// before anything is summed: NumAcc4 is met to 9 digits, as NIST says of it.
func TestSpread(t *testing.T) {
	turns := func(base float64) []float64 {
		all := []float64{base + 0.2}
		for range 500 {
			all = append(all, base+0.1, base+0.3)
		}
		return all
	}
	for name, c := range map[string]struct {
		data            []float64
		mean, deviation float64
		close           float64 // of the deviation, relative
	}{
		"Lottery": {lottery, 518.958715596330, 291.699727470969, 1e-14},
		"NumAcc1": {[]float64{10000001, 10000003, 10000002}, 10000002, 1, 1e-15},
		"NumAcc2": {turns(1), 1.2, 0.1, 1e-13},
		"NumAcc3": {turns(1000000), 1000000.2, 0.1, 2e-9},
		"NumAcc4": {turns(10000000), 10000000.2, 0.1, 2e-8},
	} {
		s := SpreadOf(c.data)
		assert.InEpsilon(t, c.mean, s.Mean, 1e-15, name)
		assert.InEpsilon(t, c.deviation, s.Deviation, c.close, name)
		assert.Equal(t, len(c.data), s.N)
	}
	assert.Equal(t, Spread{}, SpreadOf(nil))
	assert.Equal(t, Spread{N: 1, Mean: 3, Median: 3, Least: 3, Most: 3}, SpreadOf([]float64{3}))
	s := SpreadOf([]float64{5, 1, 3, 2})
	assert.Equal(t, []float64{2.5, 1, 5}, []float64{s.Median, s.Least, s.Most})
	assert.InDelta(t, 3, SpreadOf([]float64{5, 1, 3}).Median, 0)
}

// The worked example of the e-Handbook: eight values of a mass spectrometer (Tietjen
// and Moore 1972), the last of which stands apart: G 2.4687, critical 2.032 for the
// upper side and 2.126 for both at 5 %.
//
// Source: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.17.1 (read, in
// programs that cite it).
func TestOdd(t *testing.T) {
	values := []float64{199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57}
	at, g := Odd(values, 0.05)
	assert.Equal(t, 7, at)
	assert.InDelta(t, 2.4687, g, 1e-4, "cut off in print, not rounded")
	assert.InDelta(t, 2.032, CriticalOdd(8, 0.05), 5e-4)
	assert.InDelta(t, 2.126, CriticalOdd(8, 0.025), 1e-3)

	at, _ = Odd(values[:7], 0.05)
	assert.Equal(t, -1, at, "the rest lies as chance has it")
	at, _ = Odd(append([]float64{160}, values[:6]...), 0.05)
	assert.Equal(t, 0, at, "the low side too")
	at, _ = Odd(append([]float64{160}, values[:5]...), 0.05)
	assert.Equal(t, -1, at, "too few")
	at, _ = Odd([]float64{2, 2, 2, 2, 2, 2, 2, 2}, 0.05)
	assert.Equal(t, -1, at, "none apart")
}

// Student's t as tables have it: the two-sided 5 % point, and 1 % on one side.
//
// Source: tables of Student's t (memory).
func TestBeyond(t *testing.T) {
	for f, points := range map[int][2]float64{1: {12.706, 31.821}, 2: {4.303, 6.965}, 5: {2.571, 3.365}, 10: {2.228, 2.764},
		30: {2.042, 2.457}, 101: {1.984, 2.364}} {
		assert.InDelta(t, 0.025, beyond(points[0], f), 2e-5, f)
		assert.InDelta(t, 0.01, beyond(points[1], f), 1e-5, f)
	}
	// A second way: its density, summed in fine slices.
	for _, f := range []int{3, 4, 9, 16} {
		const slices, far = 400000, 400.0
		density := func(x float64) float64 { return math.Pow(1+x*x/float64(f), -float64(f+1)/2) }
		area := func(from float64) (sum float64) {
			for i := range slices {
				sum += density(from + (float64(i)+0.5)*far/slices)
			}
			return sum
		}
		assert.InDelta(t, area(2)/(2*area(0)), beyond(2, f), 1e-6, f)
	}
}
