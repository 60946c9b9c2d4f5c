package engine

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/enginetest"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// A conduit joins both motors: under the strip where one is poured, else behind the pads,
// in a trench through gravel, bored under a drive that stays whole. By hand.
func TestConduitFromMotorToMotor(t *testing.T) {
	p := practice.DefaultPractice()
	p.RateCarriage = 100
	wide := func(s survey.Survey) survey.Survey {
		s.Opening.Width = survey.Measured(8000, survey.ByTape)
		s.Drive.LatchEdge.Along = survey.Measured(0, survey.ByTape)
		return enginetest.Paired(s)
	}
	concrete := wide(enginetest.SquareSite())
	strip := enginetest.SquareSite()
	strip.Drive.Surface = survey.SurfaceGravel
	for name, c := range map[string]struct {
		s           survey.Survey
		across, dug bool
	}{"bored": {concrete, true, false}, "dug": {wide(enginetest.HangingSite()), true, true}, "strip": {wide(strip), false, false}} {
		made, err := Design(c.s, p)
		require.NoError(t, err, name)
		require.True(t, made.Pair.Meeting.Cable, name)
		sides := made.Sides()
		cable := made.Conduits[len(made.Conduits)-1]
		one, _ := sides[0].Part(plan.PartMotor, 1)
		two, _ := sides[1].Part(plan.PartMotor, 1)
		a, b := one.Ring.Centroid(), two.Ring.Centroid()
		across := a.X + b.X // each from where the leaves meet
		check := pairCheck(&made, plan.QuestionPairCable)
		require.NotNil(t, check, name)
		assert.Equal(t, plan.Warning, check.Severity)
		assert.Contains(t, check.Consequence.String(), "services")
		assert.InDelta(t, 4000+a.X, cable.Line[0].X, 1e-9)
		assert.InDelta(t, 4000-b.X, cable.Line[3].X, 1e-9)
		q, x, y := &made.Quantities, &sides[0].Quantities, &sides[1].Quantities
		assert.InDelta(t, x.Conduit+y.Conduit+cable.Length, q.Conduit, 1e-6, name)
		foot := 0.0
		for _, part := range q.Parts {
			if part.ID == plan.PartMeetingFooting.ID(1) {
				foot = part.Volume
			}
		}
		if !c.across {
			assert.Zero(t, cable.Deep)
			assert.Zero(t, cable.Dig)
			assert.InDelta(t, across+a.Y+b.Y-p.DriveStripWidth+2*(p.DriveStripDepth+p.ConduitUpstand), cable.Length, 1e-6)
			continue
		}
		low, high, _ := made.Extent(plan.PartPad)
		assert.Zero(t, low.Y)
		out := high.Y + p.ConduitBeyond
		assert.InDelta(t, across+2*out-a.Y-b.Y+2*(500+p.ConduitUpstand), cable.Length, 1e-6, name)
		assert.InDelta(t, out, cable.Line[1].Y, 1e-9)
		want := 0.0
		if c.dug {
			want = across * 150 * 500
		}
		assert.InDelta(t, want, cable.Dig, 1e-3, name)
		assert.InDelta(t, x.DigBank+y.DigBank+want+foot, q.DigBank, 1, name)
		if c.dug {
			assert.Greater(t, q.SpoilMass, x.SpoilMass+y.SpoilMass)
		}
		for _, line := range q.Lines {
			if line.Key == practice.RuleRateCarriage {
				assert.InDelta(t, 4, line.Amount, 0, "two under each leaf")
			}
		}
	}
	alone := wide(enginetest.SquareSite())
	alone.Pair.Other.Gate.Motor = survey.MotorNone
	made, err := Design(alone, p)
	require.NoError(t, err)
	assert.False(t, made.Pair.Meeting.Cable)
	assert.Nil(t, pairCheck(&made, plan.QuestionPairCable))
}
