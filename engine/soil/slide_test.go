package soil

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Nothing holds in ground of which nothing may be presumed, and absurd sizes are refused.
func TestHoldsAlongRefuses(t *testing.T) {
	soft, _ := ClassOf("soft")
	_, err := soft.HoldsAlong(1000, 1e5, 400, 400)
	assert.Error(t, err)
	clay, _ := ClassOf("clay")
	for _, c := range [][4]float64{{-1, 1e5, 400, 400}, {1000, math.NaN(), 400, 400}, {1000, 1e5, math.Inf(1), 400},
		{1000, 1e5, 400, -1}} {
		_, err := clay.HoldsAlong(c[0], c[1], c[2], c[3])
		assert.Error(t, err, "%v", c)
	}
	shallow, err := clay.HoldsAlong(1000, 1e5, 200, 400)
	assert.NoError(t, err)
	deep, _ := clay.HoldsAlong(1000, 1e5, 400, 400)
	assert.InEpsilon(t, 4, (deep-500)/(shallow-500), 1e-9)
}
