package drawing

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/enginetest"
	"pegpour/engine/practice"
)

// The leaf of the owner's views goes from where the plan has it shut to where
// it has it open, and its share is the share of the way.
func TestOwnerLeafFollowsTheSlider(t *testing.T) {
	for i := range 200 {
		plan, err := engine.Design(enginetest.RandomSite(rand.New(rand.NewPCG(uint64(i), 7))), practice.DefaultPractice())
		require.NoError(t, err)
		at := func(share float64) float64 { return panelsAt(&plan, (&OwnerOptions{Open: share}).share())[0].x1 }
		assert.InDelta(t, plan.Leaf.ShutAt, at(0), 1e-9)
		assert.InDelta(t, plan.Leaf.OpenAt, at(1), 1e-9)
		assert.InDelta(t, plan.Leaf.ShutAt+plan.Leaf.Travel/4, at(0.25), 1e-6)
		assert.Equal(t, at(0), at(-3))
		assert.Equal(t, at(0), at(math.NaN()))
		assert.Equal(t, at(1), at(math.Inf(1)))
	}
}
