package engine_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/enginetest"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
)

// What a trial finds, with figures and remedies asked for one by one, is what Design finds:
// of one leaf, of one that hangs free and of a pair.
func TestTrialFindsWhatDesignFinds(t *testing.T) {
	p := practice.DefaultPractice()
	stops, searched := 0, 0
	for seed := range uint64(150) {
		r := rand.New(rand.NewPCG(seed, 7))
		s := enginetest.RandomLeafSite(r)
		switch seed % 5 {
		case 1:
			s = enginetest.RandomHangingSite(r)
		case 2:
			s = enginetest.RandomPair(r)
		}
		whole, _ := engine.Design(s, p)
		trial := engine.Attempt(&s, &p)
		require.Len(t, trial.Plan.Checks, len(whole.Checks), "seed %d", seed)
		for i := range whole.Checks {
			was, c := &whole.Checks[i], &trial.Plan.Checks[i]
			assert.Equal(t, was.What, c.What, "seed %d", seed)
			assert.Equal(t, was.Severity, c.Severity, "seed %d", seed)
			if c.Severity == plan.Stop {
				stops++
				if trial.Searches(c) {
					searched++
				}
				assert.Equal(t, was.Remedies, trial.Remedies(c), "seed %d: %s", seed, c.What)
			}
		}
		room, _ := whole.Figure(plan.FigureRoomNeeded)
		assert.InDelta(t, room.Value, trial.Room(), 0, "seed %d", seed)
		assert.Equal(t, whole.Figures, trial.Whole().Figures, "seed %d", seed)
		assert.Equal(t, whole.Quantities, trial.Plan.Quantities, "seed %d", seed)
	}
	assert.Greater(t, stops, 100)
	assert.Greater(t, searched, 20)
}
