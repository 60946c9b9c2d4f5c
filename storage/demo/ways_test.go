package demo

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/advice"
	"pegpour/engine/practice"
)

// Stacked panels win on cost and dig on the steep bank, and lose on the gentle
// one, at invented rates in the trade's proportions.
func TestPanelsWinOnTheSteepBankOnly(t *testing.T) {
	p, err := practice.DefaultPractice().
		With(map[string]float64{"rate.bag": 11, "rate.readyMix": 320, "rate.dig": 180, "rate.spoil": 90, "rate.track": 35,
			"rate.fixing":  3,
			"rate.conduit": 8, "rate.formwork": 15, "rate.wall": 450, "rate.drain": 60, "rate.frame": 9, "rate.panel": 600,
			"rate.guidePost": 180, "rate.infill": 40, "rate.running": 350, "rate.motor": 900, "rate.rack": 30})
	require.NoError(t, err)
	best := func(r advice.OptionsReport, panels int) advice.BuildOption {
		for _, w := range r.Options {
			if len(w.Plan.Leaf.Panels) == panels && w.Feasible() {
				return w
			}
		}
		require.Fail(t, "no feasible way", "%d panels", panels)
		return advice.BuildOption{}
	}
	steep, gentle := advice.BuildOptions(steepBank(), p), advice.BuildOptions(gentleBank(), p)
	require.Equal(t, advice.RankByCost, steep.By, "%v", steep.Missing)
	assert.Greater(t, len(steep.Options[0].Plan.Leaf.Panels), 1)
	assert.Less(t, best(steep, 2).Cost, best(steep, 1).Cost)
	assert.Less(t, best(steep, 2).Dig, best(steep, 1).Dig)
	assert.Len(t, gentle.Options[0].Plan.Leaf.Panels, 1)
	assert.Greater(t, best(gentle, 2).Cost, best(gentle, 1).Cost)
}
