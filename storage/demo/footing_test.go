package demo

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/advice"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

func stops(p plan.Plan) (codes []string) {
	for _, c := range p.Checks {
		if c.Severity == plan.Stop {
			codes = append(codes, c.Code+": "+c.What.String())
		}
	}
	return codes
}

// The falling site is built on steel, and nothing stops it.
func TestFallingDemo(t *testing.T) {
	plan, err := engine.Design(falling(), practice.DefaultPractice())
	require.NoError(t, err)
	require.NotNil(t, plan.Footing)
	assert.True(t, plan.Footing.Levelled)
	assert.Empty(t, stops(plan))
}

// Where there is no room one panel does not fit and two do.
func TestNoRoomDemo(t *testing.T) {
	s := noRoom()
	made, err := engine.Design(s, practice.DefaultPractice())
	require.NoError(t, err)
	assert.Empty(t, stops(made))
	s.Gate.Panels = survey.PanelsOne
	made, err = engine.Design(s, practice.DefaultPractice())
	require.NoError(t, err)
	require.NotEmpty(t, stops(made))
	for _, c := range made.Checks {
		if c.Code == "room.along" {
			require.Equal(t, plan.Stop, c.Severity)
			offered := false
			for _, r := range c.Remedies {
				if len(r.Changes) == 1 && r.Changes[0].Path == "gate.panels" {
					offered = true
					after, clears := advice.Try(s, practice.DefaultPractice(), c, r)
					assert.True(t, clears)
					assert.Len(t, after.Leaf.Panels, 2)
				}
			}
			assert.True(t, offered)
		}
	}
}
