package engine_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/motion"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/soil"
	"pegpour/engine/survey"
)

// The moment over the front carriage by every member of what hangs before it, each where
// it is: what is evenly spread over the frame, and half a stile at the nose.
func TestNoseMomentByMembers(t *testing.T) {
	for _, infill := range []string{survey.InfillUprights, survey.InfillBoards, survey.InfillBattens, survey.InfillOpen} {
		for _, width := range []float64{3000, 4000, 5500} {
			made := hang(t, func(s *survey.Survey, _ *practice.Practice) {
				s.Gate.Infill, s.Opening.Width = infill, survey.Measured(width, survey.ByTape)
			})
			h := made.Leaf.Hanging
			moment := 0.0
			for _, m := range made.Leaf.Members {
				switch m.Mark {
				case "Brace of the counter part":
				case "Beam with counter part", "Guide rail", "Rack": // from the nose on
					front := math.Min(m.Length, h.Over)
					moment += m.Mass / m.Length * front * (h.Over - front/2)
				default:
					moment += m.Mass * (h.Over - made.Leaf.Frame/2)
				}
			}
			assert.InEpsilon(t, moment*motion.Gravity, h.Moment, 0.01, "%s %v", infill, width)
			assert.InEpsilon(t, made.Leaf.Mass*motion.Gravity, h.Weight, 1e-9)
		}
	}
}

// The nose by small pieces of the beam, bent before the carriages and between them, and
// the block on a row of springs under both carriages.
func TestNoseGoesDownByPieces(t *testing.T) {
	p := practice.DefaultPractice()
	for _, ground := range []string{"gravel", "sand", "clay"} {
		made := hang(t, func(s *survey.Survey, _ *practice.Practice) { s.Ground.Class = ground })
		h := made.Leaf.Hanging
		require.True(t, h.Tilts)
		stiff := 200000.0 * h.Beam.Inertia
		uniform := (h.Moment - h.End*h.Over) * 2 / (h.Over * h.Over)
		// Virtual work: the moment that the loads make times that of one newton at the nose.
		down := 0.0
		const n = 20000
		for i := range n {
			x := (float64(i) + 0.5) * h.Over / n // from the nose
			down += (uniform*x*x/2 + h.End*x) * x / stiff * h.Over / n
			y := (float64(i) + 0.5) / n // between the carriages both moments fall evenly to nothing
			down += h.Moment * y * h.Over * y / stiff * h.Between / n
		}
		assert.InEpsilon(t, down, h.Sag, 1e-4)

		low, high, ok := made.Extent(plan.PartPad)
		require.True(t, ok)
		class, ok := soil.ClassOf(ground)
		require.True(t, ok)
		middle := (low.X + high.X) / 2
		springs, long := 0.0, high.X-low.X
		for i := range n {
			x := (float64(i)+0.5)*long/n - long/2
			springs += class.SubgradeModulus.Low * p.HangBlockWidth * long / n * x * x
		}
		turn := h.Carried[0].Front*(middle-h.Front) + h.Carried[0].Rear*(middle-h.Rear)
		assert.InEpsilon(t, turn/springs*(middle-made.Leaf.ShutAt), h.Tilt, 1e-4, ground)
		assert.InDelta(t, h.Sag+h.Tilt+h.Play, h.Down(), 1e-12)
		f, _ := made.Figure(plan.FigureHangingTilt)
		assert.InDelta(t, h.Tilt, f.Value, 0)
	}
}

// What the block does on ground of which nothing may be presumed is not nothing.
func TestNoseOnUnknownGroundIsNotSound(t *testing.T) {
	made := hang(t, func(s *survey.Survey, _ *practice.Practice) { s.Ground.Soil, s.Ground.Class = survey.SoilSoft, "fill" })
	h := made.Leaf.Hanging
	assert.False(t, h.Tilts)
	c := checkOf(t, &made, plan.QuestionHangingNose)
	assert.NotEqual(t, plan.Sound, c.Severity)
	assert.False(t, c.Consequence.Empty())
}
