package advice_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/advice"
	"pegpour/engine/enginetest"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// Ways to build looks at a leaf that hangs free beside one on a track, each designed in
// full, and says why one of them cannot be.
func TestOptionsCompareAHangingLeaf(t *testing.T) {
	s := enginetest.SquareSite()
	s.Drive.Surface = survey.SurfaceGravel
	s.RunBack.Room = survey.Measured(8000, survey.ByTape)
	hung := func(s survey.Survey) (ways []advice.BuildOption, report advice.OptionsReport) {
		report = advice.BuildOptions(s, practice.DefaultPractice())
		for _, w := range report.Options {
			if w.Plan.HangsFree() {
				ways = append(ways, w)
			}
		}
		return ways, report
	}
	ways, report := hung(s)
	require.NotEmpty(t, ways)
	assert.Less(t, len(ways), len(report.Options))
	keys := map[string]bool{}
	for _, w := range report.Options {
		assert.False(t, keys[w.Key], "no way twice: %s", w.Key)
		keys[w.Key] = true
	}
	for _, w := range ways {
		assert.NotContains(t, w.Key, survey.GatePanels, "it hangs in one piece")
		assert.Contains(t, w.Key, survey.GateCarried+"="+survey.CarriedFree)
		assert.InDelta(t, w.Plan.Leaf.Hanging.Whole, w.Room, 1e-6)
	}
	noted := 0
	for _, n := range report.Notes {
		if strings.Contains(n.String(), "carriage") {
			noted++
		}
	}
	assert.Equal(t, 1, noted, "what its maker gives is not known")

	s.RunBack.Room = survey.Measured(4500, survey.ByTape)
	ways, _ = hung(s)
	for _, w := range ways {
		require.False(t, w.Feasible())
		said := ""
		for _, r := range w.Reasons {
			said += r.String() + "\n"
		}
		assert.Contains(t, said, "needs", "the room is the reason against it")
	}
}
