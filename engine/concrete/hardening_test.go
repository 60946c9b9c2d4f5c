package concrete

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestAgeOfShareTurnsStrengthShareRound(t *testing.T) {
	for _, s := range []float64{0.2, 0.25, 0.38} {
		for share := 0.02; share <= 1; share += 0.02 {
			age, err := AgeOfShare(s, share)
			require.NoError(t, err)
			back, err := StrengthShare(s, age)
			require.NoError(t, err)
			assert.InDelta(t, share, back, 1e-12)
		}
	}
	age, err := AgeOfShare(0.25, 1)
	require.NoError(t, err)
	assert.Equal(t, 28.0, age)
}

// The rate is made so that it is one at 20 °C: 4000/293 is 13.652.
func TestAgeRateIsOneAtTwentyDegrees(t *testing.T) {
	rate, err := AgeRate(20)
	require.NoError(t, err)
	assert.InDelta(t, 1, rate, 0.002)
	for was, at := 0.0, 0.0; at <= 80; at++ {
		now, err := AgeRate(at)
		require.NoError(t, err)
		assert.Greater(t, now, was, "warmer is faster")
		was = now
	}
}

func TestHardeningRefuses(t *testing.T) {
	refused := func(_ float64, err error) {
		t.Helper()
		assert.Error(t, err)
	}
	for _, no := range []float64{math.NaN(), math.Inf(1), -30, -0.001, 80.001} {
		refused(AgeRate(no))
	}
	for _, no := range []float64{math.NaN(), math.Inf(1), -1} {
		refused(StrengthShare(0.25, no))
		refused(StrengthShare(no, 7))
		refused(AgeOfShare(no, 0.5))
		refused(AgeOfShare(0.25, no))
	}
	refused(AgeOfShare(0.25, 0))
	refused(AgeOfShare(0.25, 1.001))
	share, err := StrengthShare(0.25, 0)
	require.NoError(t, err)
	assert.Zero(t, share)
}
