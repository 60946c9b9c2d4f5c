package levels

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func alike(sigma float64) func(int) SightSigma {
	return func(int) SightSigma { return SightSigma{sigma, sigma} }
}

// A page without any check gives the heights that Reduce gives, with the
// uncertainty of two readings a set-up.
func TestSightsAreThePage(t *testing.T) {
	rows := []Row{{Back: Read(1500)}, {Intermediate: Read(1210)}, {Intermediate: ReadInverted(-800)},
		{Fore: Read(900), Back: Read(1750)}, {Intermediate: Read(1300)}, {Fore: Read(1100), Back: Read(600)},
		{Fore: Read(2000)}}
	page, err := Reduce(rows, 50000)
	require.NoError(t, err)
	n, err := AdjustHeights([]KnownHeight{{RowStation(0), 50000, 0}}, Sights(rows, nil, alike(1.5)))
	require.NoError(t, err)
	assert.Zero(t, n.DegreesOfFreedom)
	assert.Equal(t, -1, n.Worst, "nothing checks a page that ends anywhere")
	for i, r := range page.Rows {
		h, ok := n.Height(RowStation(i))
		require.True(t, ok)
		assert.InDelta(t, r.ByRiseAndFall, h.Level, 1e-6)
		assert.InDelta(t, 1.5*math.Sqrt(2*float64(r.Setup)), h.Sigma, 1e-9)
	}
}

// A page that closes on its start and reads a point from two set-ups: the closing
// error is shared by the readings, and the point is surer than by one of them.
func TestSightsOfAClosedPage(t *testing.T) {
	rows := []Row{{Back: Read(1500)}, {Intermediate: Read(1210)}, {Fore: Read(900), Back: Read(1750)},
		{Intermediate: Read(2064)}, {Fore: Read(2342)}}
	names := []string{"start", "peg", "", "peg", "start"}
	n, err := AdjustHeights([]KnownHeight{{"start", 0, 0}}, Sights(rows, names, alike(1)))
	require.NoError(t, err)
	assert.Equal(t, 2, n.DegreesOfFreedom)
	// Two readings at each of three stations: by symmetry the mean of both ways.
	// peg by set-up 1 is 290; by set-up 2 from the end 278, and the change point ties both by 600 and 592.
	peg, _ := n.Height("peg")
	change, _ := n.Height(RowStation(2))
	assert.InDelta(t, (290.0+278)/2, peg.Level, 1e-9)
	assert.InDelta(t, (600.0+592)/2, change.Level, 1e-9)
	assert.InDelta(t, 1, peg.Sigma, 1e-9, "√2 by one set-up, 1 by two")
	// Readings before a backsight and absurd ones are no differences.
	assert.Empty(t, Sights([]Row{{Intermediate: Read(100)}, {Fore: Read(100)}}, nil, alike(1)))
	assert.Len(t, Sights([]Row{{Back: Read(1000)}, {Intermediate: Read(math.NaN())}, {Fore: Read(-5)}}, nil, alike(1)), 1)
}
