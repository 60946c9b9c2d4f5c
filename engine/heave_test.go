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

func frosty(s survey.Survey, deep float64) survey.Survey {
	s.Ground.Frost = survey.Measured(deep, survey.ByEstimate)
	return s
}

// Deeper frost never gives a shallower hole, nor a wall that stands higher in the ground.
func TestDeeperFrostNeverDigsLess(t *testing.T) {
	for name, s := range map[string]survey.Survey{"square": enginetest.SquareSite(),
		"rising": enginetest.RisingSite(600, 0), "falling": enginetest.FallingSite()} {
		s.Ground.Class = "clay"
		was := map[string]float64{}
		for deep := 0.0; deep <= 3000; deep += 125 {
			made := design(t, frosty(s, deep))
			for i := range made.Outlines {
				o := &made.Outlines[i]
				if o.Kind != plan.PartPostHole && o.Kind != plan.PartFootingHole {
					continue
				}
				assert.GreaterOrEqual(t, o.Depth, deep, "%s %s in frost of %g", name, o.ID, deep)
				assert.GreaterOrEqual(t, o.Depth, was[o.ID], "%s %s in frost of %g", name, o.ID, deep)
				was[o.ID] = o.Depth
			}
			if g := made.Ground; g != nil && g.Rising != nil && g.Rising.Stability != nil {
				down := g.Rising.Stability.BaseDown
				assert.GreaterOrEqual(t, down+practice.DefaultPractice().WallBaseDepth, deep)
				assert.GreaterOrEqual(t, down, was["wall"])
				was["wall"] = down
			}
		}
	}
}

// A strip of 100 heaves in frost of 101 and does not in frost of 100; as deep as
// the frost it lies still, and in clean gravel there is nothing that lifts it.
func TestStripInFrost(t *testing.T) {
	s := enginetest.SquareSite()
	s.Ground.Class = "sand"
	for i := range design(t, frosty(s, 100)).Checks {
		assert.NotEqual(t, "ground.frost", design(t, frosty(s, 100)).Checks[i].Code)
	}
	c := checkOf(t, design(t, frosty(s, 101)), "ground.frost")
	assert.Equal(t, plan.Warning, c.Severity)
	assert.InDelta(t, -1, c.Margin, 1e-9)
	c = checkOf(t, design(t, s), "ground.frost") // the region's
	assert.InDelta(t, 100-450, c.Margin, 1e-9)
	require.Len(t, c.Remedies, 1)
	s.Ground.Class = "gravel"
	made := design(t, s)
	for i := range made.Checks {
		assert.NotEqual(t, "ground.frost", made.Checks[i].Code)
	}
}

// Frost of two metres is named, and nothing that it lifts is called sound.
func TestFrostOfTwoMetres(t *testing.T) {
	for name, s := range map[string]survey.Survey{"square": enginetest.SquareSite(),
		"rising": enginetest.RisingSite(600, 0), "falling": enginetest.FallingSite()} {
		s.Ground.Class = "clay"
		made := design(t, frosty(s, 2000))
		assert.Equal(t, plan.Stop, checkOf(t, made, "ground.frost").Severity, name)
		for i := range made.Checks {
			c := &made.Checks[i]
			switch c.Code {
			case "strength.embedment", "footing.hole", "wall.stands":
				assert.NotEqual(t, plan.Sound, c.Severity, "%s: %s", name, c.What)
			}
		}
	}
}

// Clay that swells takes the holes down, and a shallow strip to an engineer; what
// is not known is said, and sand is not asked.
func TestExpansiveClay(t *testing.T) {
	s := enginetest.SquareSite()
	s.Gate.Guide = survey.GuideCastIn
	s.Ground.Class = "clay"
	made := design(t, s)
	unknown := checkOf(t, made, "ground.expansive")
	assert.Equal(t, plan.Warning, unknown.Severity)
	s.Ground.Expansive = survey.No
	made = design(t, s)
	for i := range made.Checks {
		assert.NotEqual(t, "ground.expansive", made.Checks[i].Code)
	}
	s.Ground.Expansive = survey.Yes
	p := practice.DefaultPractice()
	p.SwellDepth = 2500
	deep, err := Design(s, p)
	require.NoError(t, err)
	assert.Equal(t, plan.Stop, checkOf(t, deep, "ground.expansive").Severity)
	hole := deep.Deepest(plan.PartPostHole)
	require.NotNil(t, hole)
	assert.InDelta(t, 2500, hole.Depth, 1e-9)
	field, _ := survey.FieldAt(survey.GroundExpansive)
	assert.True(t, field.Needed(&s))
	s.Ground.Class = "sand"
	assert.False(t, field.Needed(&s))
}
