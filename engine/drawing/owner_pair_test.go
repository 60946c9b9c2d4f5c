package drawing_test

import (
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/enginetest"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

func widePair(s survey.Survey) survey.Survey {
	s.Opening.Width = survey.Measured(7000, survey.ByTape)
	s.Drive.LatchEdge.Along = survey.Measured(0, survey.ByTape)
	return enginetest.Paired(s)
}

func pairSites() map[string]survey.Survey {
	hung := enginetest.HangingSite()
	slope := enginetest.SlopingSite(0.04, 0)
	hung.Ground.Shape, hung.Ground.Levels = slope.Ground.Shape, slope.Ground.Levels
	oneFalls := widePair(enginetest.FallingSite())
	oneFalls.Pair.Other.Ground.Levels.BankStep = survey.Measured(0, survey.ByTape)
	oneFalls.Pair.Other.Ground.Levels.BankAlong = survey.Measured(0.05, survey.ByStaff)
	oneFalls.Pair.Other.Ground.Shape = survey.GroundSlopes
	return map[string]survey.Survey{"sloping": widePair(enginetest.SlopingSite(0.04, -0.02)),
		"falling": widePair(enginetest.FallingSite()), "falls on one side": oneFalls, "hanging": widePair(hung)}
}

// The ground of two leaves is at every place that of the side on which it lies, and the
// plane of the drive is one.
func TestWholeGroundIsBothSides(t *testing.T) {
	for name, s := range pairSites() {
		made, err := engine.Design(s, practice.DefaultPractice())
		require.NoError(t, err, name)
		g := made.WholeGround()
		require.NotNil(t, g, name)
		sides := made.Sides()
		for x := -6000.0; x <= 13000; x += 250 {
			side := &sides[0]
			if x < side.Meets {
				side = &sides[1]
			}
			for _, y := range []float64{0, 400, 2500} {
				want, _ := side.Ground.GroundLevel(side.From(x), y)
				got, _ := g.GroundLevel(x, y)
				assert.InDelta(t, want, got, 1e-9, "%s at %v, %v", name, x, y)
				assert.InDelta(t, side.Ground.SurfaceLevel(side.From(x), y), g.SurfaceLevel(x, y), 1e-6, "%s at %v, %v", name, x, y)
			}
		}
	}
	level, err := engine.Design(widePair(enginetest.SquareSite()), practice.DefaultPractice())
	require.NoError(t, err)
	assert.False(t, level.WholeGround().Known())
}

// The picture of two leaves follows the ground and says nothing of a level one; in rising
// ground, where it does not, it says so.
func TestOwnerViewOfAPairFollowsTheGround(t *testing.T) {
	const flat = "The picture shows the ground level, which it is not."
	facts := func(made *plan.Plan) (all string) {
		for _, f := range drawing.OwnerFacts(made) {
			all += f.String() + "\n"
		}
		return all
	}
	for name, s := range pairSites() {
		made, err := engine.Design(s, practice.DefaultPractice())
		require.NoError(t, err, name)
		assert.NotContains(t, facts(&made), flat, name)
		for _, inside := range []bool{false, true} {
			for _, open := range []float64{0, 0.5, 1} {
				scene, err := drawing.OwnerViewScene(&made, drawing.OwnerOptions{Inside: inside, Open: open, Figures: open == 0})
				require.NoError(t, err, name)
				ground := 0
				for _, e := range scene.Elements {
					if r, ok := e.(draw.Region); ok {
						if strings.HasPrefix(r.ID, "owner.ground") || strings.HasPrefix(r.ID, "owner.earth") {
							ground++
						}
						for _, q := range r.Outer {
							assert.False(t, math.IsNaN(q.X+q.Y), name)
						}
					}
				}
				assert.Greater(t, ground, 3, name)
				if to := os.Getenv("LOOK"); to != "" {
					svg, err := draw.Render(scene, draw.Phone(900, 0), draw.Options{Standalone: true})
					require.NoError(t, err)
					file := to + "/" + strings.ReplaceAll(name, " ", "-") + map[bool]string{true: "-in"}[inside] +
						map[float64]string{0: "", 0.5: "-half", 1: "-open"}[open] + ".svg"
					require.NoError(t, os.WriteFile(file, []byte(svg), 0o600))
				}
			}
		}
	}
	rises := widePair(enginetest.RisingSite(80, 0.12))
	made, err := engine.Design(rises, practice.DefaultPractice())
	require.NoError(t, err)
	assert.Contains(t, facts(&made), flat)
	_, err = drawing.OwnerViewScene(&made, drawing.OwnerOptions{})
	require.NoError(t, err)
}
