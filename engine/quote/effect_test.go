package quote

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/enginetest"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

func effectOf(t testing.TB, s survey.Survey, was practice.Practice, more map[string]float64) Effect {
	t.Helper()
	by, err := was.With(more)
	require.NoError(t, err)
	made, _ := engine.Design(s, was)
	base, err := Make(&s, &made, &was)
	require.NoError(t, err)
	e, err := EffectOf(s, &made, base, &by)
	require.NoError(t, err)
	return e
}

// A strip that is twice as deep takes the concrete of the trade's own check twice where
// the strip is: each size and the price are those of two whole designs.
func TestEffectOfADeeperStrip(t *testing.T) {
	s, p := enginetest.SquareSite(), rated(t, nil)
	e := effectOf(t, s, p, map[string]float64{practice.RuleStripDepth: 200})
	assert.False(t, e.Nothing())
	assert.Equal(t, plan.FigureConcreteOrder, e.Shifts[0].ID)
	at := map[string]Shift{}
	for _, shift := range e.Shifts {
		require.NotEmpty(t, shift.Name, shift.ID)
		require.NotContains(t, at, shift.ID)
		at[shift.ID] = shift
	}
	assert.InDelta(t, 0.096e9, at[plan.FigureConcreteVolume].Was.Value, 1)
	assert.InDelta(t, 0.192e9, at[plan.FigureConcreteVolume].Now.Value, 1)
	deep, err := p.With(map[string]float64{practice.RuleStripDepth: 200})
	require.NoError(t, err)
	then, _ := quoted(t, s, deep)
	was, _ := quoted(t, s, p)
	assert.Equal(t, []Amount{was.Total, then.Total}, []Amount{e.Was, e.Now})
	assert.Greater(t, e.HoursNow, e.HoursWas)
	assert.True(t, e.Priced)
	assert.False(t, e.Partial)
	assert.LessOrEqual(t, e.Decisive, len(e.Shifts))
}

// What says Stop with other rules is said, and what would not any more.
func TestEffectNamesStops(t *testing.T) {
	s, p := enginetest.SquareSite(), practice.DefaultPractice()
	made, err := engine.Design(s, p)
	require.NoError(t, err)
	need, _ := made.Figure(plan.FigureRoomNeeded)
	s.RunBack.Room = survey.Measured(need.Value+20, survey.ByTape)
	long := map[string]float64{practice.RuleLeafOpenClearance: practice.RuleOf(practice.RuleLeafOpenClearance).High,
		practice.RuleStripStopExtra: 2000}
	e := effectOf(t, s, p, long)
	require.NotEmpty(t, e.Stops, "the run-back is too short then")
	assert.Equal(t, e.StopsWas+len(e.Stops)-len(e.Clears), e.StopsNow)
	assert.False(t, e.Priced, "nothing has a price")
	longer, err := p.With(long)
	require.NoError(t, err)
	back := map[string]float64{}
	for key := range long {
		back[key] = practice.RuleOf(key).Of(p)
	}
	again := effectOf(t, s, longer, back)
	assert.Equal(t, e.Stops, again.Clears)
	assert.Equal(t, []int{e.StopsNow, e.StopsWas}, []int{again.StopsWas, again.StopsNow})
}

// The same rules change nothing, the way back shows the same the other way round, and a
// size that stands in the list is written otherwise.
func TestEffectThereAndBack(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 7))
	shifted := 0
	for range 60 {
		s, p := enginetest.RandomGroundSite(r), rated(t, nil)
		same := effectOf(t, s, p, nil)
		require.True(t, same.Nothing())
		rules := practice.Rules()
		rule := rules[r.IntN(len(rules))]
		was, now := rule.Of(p), rule.Low+(rule.High-rule.Low)*r.Float64()
		if rule.Check(was) != nil {
			continue // not given: there is no way back
		}
		other, err := p.With(map[string]float64{rule.Key: now})
		require.NoError(t, err)
		e := effectOf(t, s, p, map[string]float64{rule.Key: now})
		back := effectOf(t, s, other, map[string]float64{rule.Key: was})
		require.Equal(t, e.Now-e.Was, back.Was-back.Now, rule.Key)
		require.Len(t, back.Shifts, len(e.Shifts), rule.Key)
		for _, shift := range e.Shifts {
			shifted++
			require.NotEqual(t, text.PlainArg(shift.Was), text.PlainArg(shift.Now), shift.ID)
		}
	}
	assert.Positive(t, shifted)
}

// What has no price is told by the rule that would give it one.
func TestLackingNamesTheRules(t *testing.T) {
	s := enginetest.SquareSite()
	q, _ := quoted(t, s, rated(t, nil))
	assert.Empty(t, q.Lacking())
	p := rated(t, nil)
	p.RateMotor, p.HoursTravel, p.RateHour = 0, 0, 0
	q, _ = quoted(t, s, p)
	assert.Equal(t, []string{practice.RuleRateHour, practice.RuleRateMotor, practice.RuleHoursTravel}, q.Lacking())
	// Giving each of them leaves nothing without a price, whatever the site.
	r := rand.New(rand.NewPCG(5, 5))
	for range 40 {
		s, p := enginetest.RandomSite(r), practice.DefaultPractice()
		q, _ := quoted(t, s, p)
		own := map[string]float64{}
		for _, key := range q.Lacking() {
			own[key] = 7
		}
		p, err := p.With(own)
		require.NoError(t, err)
		q, _ = quoted(t, s, p)
		require.True(t, q.Whole(), "%v", q.Unpriced)
	}
}
