package advice

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/enginetest"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// Two leaves are tried where the room behind the latch post is known, as one way among the
// others; where it is not, a note says what to measure; and of a pair one leaf is tried.
func TestPairAmongTheWays(t *testing.T) {
	p := practice.DefaultPractice()
	s := enginetest.SquareSite()
	s.Opening.Width, s.RunBack.Room = survey.Measured(7000, survey.ByTape), survey.Measured(4400, survey.ByTape)
	pairOf := func(r OptionsReport) *BuildOption {
		for i := range r.Options {
			if r.Options[i].Plan.Pair != nil {
				return &r.Options[i]
			}
		}
		return nil
	}
	noted := func(r OptionsReport) bool {
		for _, n := range r.Notes {
			if strings.Contains(n.String(), "behind the latch post") {
				return true
			}
		}
		return false
	}
	r := BuildOptions(s, p)
	assert.Nil(t, pairOf(r))
	assert.True(t, noted(r))
	s.Pair.Other = &survey.OtherSide{}
	s.Pair.Other.RunBack.Room, s.Pair.Other.RunBack.Depth = survey.Measured(4400, survey.ByTape), survey.Measured(1500, survey.ByTape)
	s.Pair.Other.Ground.Soil = survey.SoilFirm
	r = BuildOptions(s, p)
	pair := pairOf(r)
	require.NotNil(t, pair)
	assert.False(t, noted(r))
	assert.Contains(t, pair.Key, "gate.leaves=pair")
	assert.True(t, pair.Feasible() || len(pair.Needs) > 0, "%v", pair.Reasons)
	for _, w := range r.Options {
		assert.False(t, w.Plan.Pair == nil && w.Feasible() && strings.Contains(w.Key, "panels=1"), "one leaf has no room: %s", w.Key)
	}
	changed, _, ok := With(s, p, pair.Changes)
	require.True(t, ok)
	again := BuildOptions(changed, p)
	one := false
	for _, w := range again.Options {
		one = one || w.Plan.Pair == nil && strings.Contains(w.Key, "gate.leaves=one")
	}
	assert.True(t, one)
	assert.NotNil(t, pairOf(again))
}

// What is asked of the side of the latch post matters where two leaves meet.
func TestAskingOfTheOtherSide(t *testing.T) {
	p := practice.DefaultPractice()
	s := enginetest.Paired(enginetest.SquareSite())
	s.Pair.Other.Gate.Guide, s.Pair.Other.Gate.Motor = "", ""
	for _, path := range []string{"pair.other.gate.guide", "pair.other.gate.motor", survey.PairMeets} {
		f, ok := survey.FieldAt(path)
		require.True(t, ok)
		assert.True(t, f.Needed(&s), path)
		made, _ := engine.Design(s, p)
		assert.True(t, Matters(s, p, &made, path), path)
	}
	s.Gate.Leaves = survey.LeavesOne
	f, _ := survey.FieldAt("pair.other.gate.guide")
	assert.False(t, f.Needed(&s))
}
