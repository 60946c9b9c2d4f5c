package photo

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func mostUnsure(known, places []Ground) int {
	best := 0
	unsure := InformationGain(known, places)
	for i, v := range unsure {
		if v > unsure[best] {
			best = i
		}
	}
	return best
}

// Three corners of a square known: the fourth, not a place between two of them
// nor one beside a known one.
func TestInformationGainFourthCorner(t *testing.T) {
	known := []Ground{{0, 0}, {4000, 0}, {0, 4000}}
	places := []Ground{{2000, 0}, {100, 100}, {4000, 4000}, {0, 2000}, {8000, 0}}
	assert.Equal(t, 2, mostUnsure(known, places))
}

// Four in line leave the picture free across the line: the place farthest off
// it, then one on no line with that.
func TestInformationGainOffTheLine(t *testing.T) {
	known := []Ground{{0, 0}, {1000, 0}, {2000, 0}, {4000, 0}}
	places := []Ground{{3000, 0}, {2000, 150}, {2100, 3000}, {6000, 0}}
	unsure := InformationGain(known, places)
	assert.Equal(t, 2, mostUnsure(known, places))
	assert.Less(t, unsure[0], 1e6, "between known places on the line nothing is free: %v", unsure)
	assert.Greater(t, unsure[2], 1e10, "off the line nothing is known: %v", unsure)
	known = append(known, places[2])
	places = []Ground{{2100, 2900}, {500, 0}, {300, 2500}, {2050, 1500}}
	assert.Equal(t, 2, mostUnsure(known, places))
}

// The gain is the growth of the determinant of the normal matrix, worked out in
// full: det(N + JᵀJ) / det N.
func TestInformationGainIsTheDeterminantsGrowth(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 3))
	for range 200 {
		all := make([]Ground, 12)
		for i := range all {
			all[i] = Ground{r.Float64() * 9000, r.Float64() * 4000}
		}
		known, places := all[:4+r.IntN(3)], all[7:]
		all = append(append([]Ground(nil), known...), places...)
		normal, _ := similarity(len(all), func(i int) (float64, float64) { return all[i].X, all[i].Y })
		information := func(of []Ground) float64 {
			var n [8][8]float64
			for i := range 8 {
				n[i][i] = 1e-6
			}
			for _, g := range of {
				// Written out, not by the package's derivatives: u = (ax+by+c)/(gx+hy+1).
				x, y := normal[0]*g.X+normal[2], normal[4]*g.Y+normal[5]
				for _, row := range [2][8]float64{{x, y, 1, 0, 0, 0, -x * x, -x * y},
					{0, 0, 0, x, y, 1, -y * x, -y * y}} {
					for i := range 8 {
						for j := range 8 {
							n[i][j] += row[i] * row[j]
						}
					}
				}
			}
			return determinant(n)
		}
		before := information(known)
		for i, got := range InformationGain(known, places) {
			want := information(append(append([]Ground(nil), known...), places[i])) / before
			require.InEpsilon(t, want, got, 1e-6, "%v %v", known, places[i])
		}
	}
}

func determinant(n [8][8]float64) float64 {
	det := 1.0
	for c := range 8 {
		p := c
		for i := c; i < 8; i++ {
			if math.Abs(n[i][c]) > math.Abs(n[p][c]) {
				p = i
			}
		}
		if p != c {
			n[p], n[c] = n[c], n[p]
			det = -det
		}
		det *= n[c][c]
		for i := c + 1; i < 8; i++ {
			k := n[i][c] / n[c][c]
			for j := c; j < 8; j++ {
				n[i][j] -= k * n[c][j]
			}
		}
	}
	return det
}

// Whatever was pointed at first, in line or too few: taking what completes it,
// the most unsure first, soon fixes the picture where any four of the places
// would.
func TestInformationGainLeadsToAFit(t *testing.T) {
	for seed := range uint64(100) {
		r := rand.New(rand.NewPCG(seed, 77))
		var places []Ground
		for range 6 + r.IntN(8) {
			places = append(places, Ground{r.Float64() * 9000, r.Float64() * 5000})
		}
		var known []Ground
		for range r.IntN(6) { // along the fence
			known = append(known, Ground{r.Float64() * 9000, r.Float64() * 30})
		}
		pair := func(g Ground) Pair {
			w := 1 + g.Y*0.0002 + g.X*0.00002
			return Pair{Name: "a place", X: g.X, Y: g.Y, U: (1700 - g.X*0.15) / w, V: (1200 - g.Y*0.1) / w}
		}
		fits := func(of []Ground) bool {
			var pairs []Pair
			for _, g := range of {
				pairs = append(pairs, pair(g))
			}
			_, err := Homography(pairs, 2)
			var line *InLineError
			var few *RangeError
			require.True(t, err == nil || errors.As(err, &line) || errors.As(err, &few), "seed %d: %v", seed, err)
			return err == nil
		}
		if !fits(places) {
			continue
		}
		took := 0
		for ; !fits(known) && took < 5; took++ {
			from := places
			if add, share := Complete(known, places); share > 0 {
				from = nil
				for _, i := range add {
					from = append(from, places[i])
				}
			}
			next := from[mostUnsure(known, from)]
			known = append(known, next)
			at := slices.Index(places, next)
			places = slices.Delete(places, at, at+1)
		}
		assert.True(t, fits(known), "seed %d: still refused after %d places", seed, took)
	}
}

func TestInformationGainOfNothing(t *testing.T) {
	assert.Empty(t, InformationGain(nil, nil))
	assert.Equal(t, []float64{0, 0}, InformationGain([]Ground{{5, 5}}, []Ground{{5, 5}, {5, 5}}))
	assert.Equal(t, []float64{0}, InformationGain([]Ground{{math.NaN(), 5}}, []Ground{{1, 2}}))
	assert.Equal(t, []float64{0}, InformationGain(nil, []Ground{{math.Inf(1), 2}}))
}

// Complete against every subset, tried by brute force.
func TestCompleteIsTheFewest(t *testing.T) {
	counts := map[int]int{}
	for seed := range uint64(150) {
		r := rand.New(rand.NewPCG(seed, 4))
		var known, places []Ground
		for range 1 + r.IntN(5) {
			known = append(known, Ground{r.Float64() * 9000, r.Float64() * 100 * float64(1+seed%3*10)})
		}
		for range 4 + r.IntN(5) {
			places = append(places, Ground{r.Float64() * 9000, r.Float64() * 300 * float64(1+r.IntN(15))})
		}
		fewest := 0
		for set := range 1 << len(places) {
			all, n := known, 0
			for i := range places {
				if set>>i&1 == 1 {
					all = append(all[:len(all):len(all)], places[i])
					n++
				}
			}
			if Spread(all) >= SpreadEnough && (fewest == 0 || n < fewest) && n > 0 && n <= 3 {
				fewest = n
			}
		}
		add, share := Complete(known, places)
		if fewest == 0 {
			require.Less(t, share, SpreadEnough, "seed %d", seed)
			continue
		}
		counts[fewest]++
		require.Len(t, add, fewest, "seed %d", seed)
		all := known
		for _, i := range add {
			all = append(all[:len(all):len(all)], places[i])
		}
		require.GreaterOrEqual(t, Spread(all), SpreadEnough, "seed %d", seed)
	}
	require.Greater(t, min(counts[1], counts[2], counts[3]), 5, "%v", counts)
}

func TestCompleteOfNothing(t *testing.T) {
	add, share := Complete(nil, []Ground{{0, 0}, {1, 0}, {1, 1}, {0, 1}})
	assert.Empty(t, add)
	assert.Zero(t, share)
	add, _ = Complete([]Ground{{0, 0}}, []Ground{{1, 0}, {1, 1}})
	assert.Empty(t, add)
	add, _ = Complete([]Ground{{0, math.NaN()}}, []Ground{{1, 0}, {1, 1}, {0, 1}})
	assert.Empty(t, add)
	assert.Zero(t, Spread([]Ground{{0, 0}, {1, 0}, {1, math.Inf(1)}, {0, 1}}))
}
