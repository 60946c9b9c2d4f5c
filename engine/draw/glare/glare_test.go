package glare

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// The sums of the model by hand: 20 000·0.045/π = 286.5 cd/m²; white over black
// (800 + 286.5)/286.5, mid grey #777777 of relative luminance 0.184 (WCAG 2.1's own
// example of 4.48 on white: 1.05/4.48 − 0.05).
func TestContrastByHand(t *testing.T) {
	assert.InDelta(t, 286.48, FullSun.Ambient(), 0.01)
	assert.InDelta(t, 3.79, FullSun.Contrast("#ffffff", "#000000"), 0.005)
	assert.InDelta(t, (800+286.48)/(800*(1.05/4.478-0.05)+286.48), FullSun.Contrast("#777777", "#FFFFFF"), 0.002)
	assert.InDelta(t, 1, FullSun.Contrast("#8a0f4b", "#8a0f4b"), 0)
}

// Without light on it a screen of black and white has any contrast, and less with more
// light.
func TestContrastFallsWithLight(t *testing.T) {
	last := 1e9
	for _, lux := range []float64{1, 100, 1_000, 10_000, 20_000, 100_000} {
		s := FullSun
		s.Illuminance = lux
		now := s.Contrast("#ffffff", "#14211f")
		assert.Less(t, now, last)
		assert.Greater(t, now, 1.0)
		last = now
	}
	assert.Panics(t, func() { FullSun.Contrast("red", "#ffffff") })
}
