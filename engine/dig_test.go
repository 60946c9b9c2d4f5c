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

// A dig of 1500 in soft ground is laid back 1½ along for each 1 up by the
// published table, 2250 beyond itself; one of 1100 is not spoken of.
func TestDigSides_OSHA(t *testing.T) {
	s := enginetest.SquareSite()
	s.Gate.Guide = survey.GuideCastIn
	s.Ground.Soil, s.Ground.DepthToFirm = survey.SoilSoft, survey.Measured(1500, survey.ByTape)
	made := design(t, s)
	c := checkOf(t, made, "dig.sides")
	assert.Equal(t, plan.Warning, c.Severity)
	assert.InDelta(t, -300, c.Margin, 1e-9)
	assert.Contains(t, c.What.String(), "2250 mm")
	assert.Contains(t, c.What.String(), "type C")
	assert.Contains(t, c.What.String(), "the fence")
	assert.Contains(t, c.What.String(), "a gate post")
	f, ok := made.Figure(plan.FigureDigSides)
	require.True(t, ok)
	assert.InDelta(t, 2250, f.Value, 1e-9)
	assert.Equal(t, plan.Warning, checkOf(t, made, "dig.holes").Severity)

	s.Ground.DepthToFirm = survey.Measured(600, survey.ByTape)
	shallow := design(t, s)
	for i := range shallow.Checks {
		assert.NotEqual(t, "dig.sides", shallow.Checks[i].Code)
	}
	_, ok = shallow.Figure(plan.FigureDigSides)
	assert.False(t, ok)
}

// A cut beside the drive counts with what is dug below it; sound rock stands.
func TestDigOfACavity(t *testing.T) {
	s := enginetest.RisingSite(1150, 0)
	s.Ground.Class = "clay"
	c := checkOf(t, design(t, s), "dig.sides")
	assert.InDelta(t, 1200-1150-450, c.Margin, 0.1) // the wall's base is the deepest: it goes below the region's frost
	assert.Contains(t, c.What.String(), "type B")
	s.Ground.Soil, s.Ground.Class = survey.SoilRock, "rock"
	rock := design(t, s)
	for i := range rock.Checks {
		assert.NotEqual(t, "dig.sides", rock.Checks[i].Code)
	}
	// A shop whose rules begin later is not warned before.
	p := practice.DefaultPractice()
	p.DigTrigger = 1500
	s.Ground.Frost = survey.Measured(0, survey.ByEstimate) // nor where its base need not go below frost
	s.Ground.Soil, s.Ground.Class = survey.SoilFirm, "clay"
	made, err := Design(s, p)
	require.NoError(t, err)
	for i := range made.Checks {
		assert.NotEqual(t, "dig.sides", made.Checks[i].Code)
	}
}
