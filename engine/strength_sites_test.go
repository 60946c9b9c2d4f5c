package engine

import (
	"encoding/json"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/enginetest"
	"pegpour/engine/practice"
)

// Whatever the shop enters within the allowed ranges, the first pass answers
// with numbers or says why not, and more wind never asks for less.
func TestStrengthOfRandomRules(t *testing.T) {
	for seed := range 120 {
		r := rand.New(rand.NewPCG(uint64(seed), 91))
		over := map[string]float64{}
		for _, rule := range practice.StrengthRules {
			over[rule.Key] = rule.Low + (rule.High-rule.Low)*r.Float64()
		}
		p, err := practice.DefaultPractice().With(over)
		require.NoError(t, err)
		s := enginetest.RandomSite(r)
		plan, err := Design(s, p)
		require.NoError(t, err)
		_, err = json.Marshal(plan)
		require.NoError(t, err, "seed %d", seed)
		g := plan.Strength.Guide
		if g == nil || p.WindShut > 2400 || p.WindMoving > 900 {
			continue
		}
		p.WindShut, p.WindMoving = 2*p.WindShut, 2*p.WindMoving
		more, err := Design(s, p)
		require.NoError(t, err)
		if harder := more.Strength.Guide; harder != nil {
			assert.GreaterOrEqual(t, harder.Push, g.Push, "seed %d", seed)
			if harder.Embedment > 0 && g.Embedment > 0 {
				assert.GreaterOrEqual(t, harder.Embedment, g.Embedment, "seed %d", seed)
			}
		}
	}
}
