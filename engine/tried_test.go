package engine_test

import (
	"fmt"
	"pegpour/engine"
	"pegpour/engine/advice"
	"pegpour/engine/enginetest"
	"pegpour/engine/enginetest/designs"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestRemediesOfRandomSitesAreTried(t *testing.T) {
	tried := 0
	settled := []string{"motion.lost", "motion.stop", "motion.pass", "strength.post", "strength.embedment"}
	designs.EachRandom(t, 300, func(t *testing.T, s survey.Survey, plan plan.Plan) {
		for _, c := range plan.Checks {
			for _, r := range c.Remedies {
				if len(r.Changes) == 0 || !slices.Contains(settled, c.Code) {
					continue
				}
				tried++
				_, clears := advice.Try(s, practice.DefaultPractice(), c, r)
				assert.True(t, clears, "%s: %s", c.Code, r.Words)
			}
		}
	})
	assert.Greater(t, tried, 50)
}

func TestPadThatCannotFitSaysSoAtTheField(t *testing.T) {
	s := enginetest.SquareSite()
	s.Gate.Guide = survey.GuideBasePlate
	s.RunBack.Depth = survey.Measured(420, survey.ByTape)
	made := designs.Of(t, s)
	var found *plan.Check
	for i := range made.Checks {
		if made.Checks[i].Code == "room.pad" {
			found = &made.Checks[i]
		}
	}
	require.NotNil(t, found)
	assert.Equal(t, plan.Stop, found.Severity)
	assert.Equal(t, survey.RunBackDepth, found.Field)
	assert.InDelta(t, -25, found.Margin, 1e-9)
	// Its remedy is run through Design and settles it.
	require.NotEmpty(t, found.Remedies)
	_, clears := advice.Try(s, practice.DefaultPractice(), *found, found.Remedies[0])
	assert.True(t, clears)
}

func TestOnlyOnePairOfRollersIsAWarning(t *testing.T) {
	p, err := practice.DefaultPractice().With(map[string]float64{practice.RuleGuideRollerSpacing: 0})
	require.NoError(t, err)
	made, err := engine.Design(enginetest.SquareSite(), p)
	require.NoError(t, err)
	assert.Equal(t, 1, made.Leaf.Proof.LeastHolders)
	c := designs.Check(t, made, "motion.upright")
	assert.Equal(t, plan.Warning, c.Severity)
	_, clears := advice.Try(enginetest.SquareSite(), p, c, c.Remedies[0])
	assert.True(t, clears)
	// The catch holds it over the first 40 of the way: one part beyond.
	assert.InDelta(t, made.Leaf.ShutAt+40, made.Leaf.Proof.FewFrom, 1e-9)
}

// Where a single leaf does not fit and two panels do, that remedy is offered
// and clears.
func TestStackingIsOfferedWhereItFits(t *testing.T) {
	s := enginetest.SquareSite()
	s.RunBack.Room = survey.Measured(2900, survey.ByTape)
	made := designs.Of(t, s)
	c := designs.Check(t, made, "room.along")
	require.Equal(t, plan.Stop, c.Severity)
	require.NotEmpty(t, c.Remedies)
	assert.Equal(t, survey.GatePanels, c.Remedies[0].Changes[0].Path, fmt.Sprint(c.Remedies))
	after, clears := advice.Try(s, practice.DefaultPractice(), c, c.Remedies[0])
	assert.True(t, clears)
	assert.Len(t, after.Leaf.Panels, 2)
}

// Where strength asks for more than the trade's size, the remedy that the check
// proposes passes; where it asks for less the trade's size stands.
func TestStrengthAsksForMore(t *testing.T) {
	s := enginetest.SquareSite()
	s.Drive.Surface, s.Gate.Guide, s.Ground.Class = survey.SurfaceGravel, survey.GuideCastIn, "clay"
	for _, wheel := range []float64{5000, 10000, 20000, 40000} {
		p, err := practice.DefaultPractice().With(map[string]float64{practice.RuleStrengthWheel: wheel})
		require.NoError(t, err)
		made, err := engine.Design(s, p)
		require.NoError(t, err)
		assert.Equal(t, 150.0, designs.Figure(t, made, "drive.stripDepth"), "strength never changes the strip by itself")
		c := designs.Check(t, made, "strength.strip")
		if wheel < 10000 { // the trade's strip of 4 m takes a joint, and hogs too much under 10 kN
			assert.Equal(t, plan.Sound, c.Severity)
			assert.GreaterOrEqual(t, c.Margin, 0.0)
			continue
		}
		assert.Equal(t, plan.Warning, c.Severity)
		assert.Negative(t, c.Margin)
		require.NotEmpty(t, c.Remedies)
		_, clears := advice.Try(s, p, c, c.Remedies[0])
		assert.True(t, clears, "%v", wheel)
		if len(c.Remedies[0].Changes) > 1 {
			continue // wider as well
		}
		// One step of ten less does not do.
		less := c.Remedies[0]
		less.Changes = []plan.Change{{Path: practice.PracticePath + practice.RuleDriveStripDepth,
			Value: less.Changes[0].Value - 10}}
		_, clears = advice.Try(s, p, c, less)
		assert.False(t, clears)
	}
	// A shop that keeps the trade's hole is told what it lacks.
	trade, err := practice.DefaultPractice().With(map[string]float64{practice.RuleGuideHoleBy: 0})
	require.NoError(t, err)
	s.Gate.OpenCatch = survey.Yes
	made, err := engine.Design(s, trade)
	require.NoError(t, err)
	c := designs.Check(t, made, "strength.embedment")
	assert.Equal(t, plan.Warning, c.Severity)
	assert.Equal(t, 500.0, designs.Figure(t, made, "guide.holeDepth"))
	_, clears := advice.Try(s, trade, c, c.Remedies[0])
	assert.True(t, clears)
}
