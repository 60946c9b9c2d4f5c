package demo

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
)

// The sites on sloping ground are designed without a refusal or a stop of the
// ground's own, and no text of their sections lies over another.
func TestGroundSites(t *testing.T) {
	for _, site := range groundSites() {
		t.Run(site.Survey.Site.Name, func(t *testing.T) {
			made, err := engine.Design(site.Survey, practice.DefaultPractice())
			require.NoError(t, err)
			require.NotNil(t, made.Ground)
			assert.True(t, made.Ground.Pad.HasLevel)
			for _, c := range made.Checks {
				assert.NotEqual(t, plan.Stop, c.Severity, c.Code)
			}
			scene := drawing.SectionScene(&made, drawing.SceneOptions{})
			require.NotNil(t, scene)
			for _, width := range []float64{360, 390, 900} {
				sheet, err := draw.Layout(scene, draw.Phone(width, width*0.6))
				require.NoError(t, err)
				assert.Empty(t, draw.Overlaps(sheet))
			}
		})
	}
}
