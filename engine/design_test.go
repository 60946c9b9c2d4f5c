package engine

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/enginetest"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

func design(t *testing.T, s survey.Survey) plan.Plan {
	t.Helper()
	plan, err := Design(s, practice.DefaultPractice())
	require.NoError(t, err)
	return plan
}

func value(t *testing.T, p plan.Plan, id string) float64 {
	t.Helper()
	f, ok := p.Figure(id)
	require.True(t, ok, "figure %s", id)
	return f.Value
}

// The check values of the trade's rules: common practice, no published source.
func TestTradeRules_common_practice(t *testing.T) {
	t.Run("4400x200 strip and 400x400 pad sharing 400x200", func(t *testing.T) {
		made := design(t, enginetest.SquareSite())
		assert.Equal(t, 4400.0, value(t, made, "strip.length"))
		strip, _ := made.Part(plan.PartRunBackStrip, 1)
		low, high := strip.Ring.Bounds()
		assert.Equal(t, 4400.0, high.X-low.X)
		assert.Equal(t, 200.0, high.Y-low.Y)
		assert.Equal(t, 400.0, value(t, made, "pad.along"))
		assert.Equal(t, 400.0, value(t, made, "pad.out"))
		assert.Equal(t, 0.96e6, made.Quantities.Area)
		assert.Equal(t, 0.096e9, made.Quantities.Concrete)
		// Front 4400, end 200, back 4000, side of the pad 200, its back 400; not
		// the 400 against the drive.
		assert.InDelta(t, 9200, made.Quantities.Form, 1e-6)
	})
	t.Run("cast-in guide post, nothing else changed", func(t *testing.T) {
		p, err := practice.DefaultPractice().With(map[string]float64{practice.RulePadAlong: 1000, practice.RulePadOut: 600,
			practice.RuleGuideHoleBy: 0})
		require.NoError(t, err)
		s := enginetest.SquareSite()
		before, err := Design(s, p)
		require.NoError(t, err)
		s.Gate.Guide = survey.GuideCastIn
		after, err := Design(s, p)
		require.NoError(t, err)
		// The hole under the pad, from its underside to 500 below the surface.
		strip := value(t, after, "strip.length") - value(t, before, "strip.length")
		assert.Zero(t, strip)
		assert.InDelta(t, 0.036e9, after.Quantities.Concrete-before.Quantities.Concrete, 1e-3)
	})
}

func TestDesignIsDeterministic(t *testing.T) {
	s := enginetest.SquareSite()
	a, _ := json.Marshal(design(t, s))
	b, _ := json.Marshal(design(t, s))
	assert.Equal(t, string(a), string(b))
}

func TestEmptySurveyStillDraws(t *testing.T) {
	plan := design(t, survey.Survey{})
	assert.NotEmpty(t, plan.Outlines)
	assert.NotEmpty(t, plan.Assumed)
	for _, c := range plan.Checks {
		assert.NotContains(t, c.What.String(), "NaN")
	}
	for _, f := range plan.Figures {
		assert.False(t, math.IsNaN(f.Value) || math.IsInf(f.Value, 0), f.ID)
	}
}

func BenchmarkDesign(b *testing.B) {
	s, p := enginetest.SquareSite(), practice.DefaultPractice()
	s.Gate.Guide = survey.GuideCastIn
	b.ReportAllocs()
	for b.Loop() {
		_, _ = Design(s, p)
	}
}

// Judging finds what designing finds, but for remedies that are searched for.
func TestJudgeFindsWhatDesignFinds(t *testing.T) {
	fewer := 0
	for i, s := range enginetest.RandomSites(60) {
		whole, _ := Design(s, practice.DefaultPractice())
		judged, _ := Judge(s, practice.DefaultPractice())
		require.Len(t, judged.Checks, len(whole.Checks), i)
		for k := range whole.Checks {
			if len(judged.Checks[k].Remedies) < len(whole.Checks[k].Remedies) {
				fewer++
			}
			judged.Checks[k].Remedies = whole.Checks[k].Remedies
		}
		require.Equal(t, whole, judged, i)
	}
	assert.Positive(t, fewer, "something is left out")
}
