package drawing_test

import (
	"encoding/xml"
	"errors"
	"io"
	"math/rand/v2"
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

func design(t *testing.T, s survey.Survey) plan.Plan {
	t.Helper()
	made, err := engine.Design(s, practice.DefaultPractice())
	require.NoError(t, err)
	return made
}

// Each elevation was looked at before it was kept.
func TestLeafAndFootingGolden(t *testing.T) {
	falling := enginetest.FallingSite()
	falling.Gate.PadOn = survey.PadSteel
	for name, s := range map[string]survey.Survey{"leaf-square": enginetest.SquareSite(),
		"leaf-raked": enginetest.RakedSite(), "leaf-stacked": enginetest.StackedSite(),
		"falling-pad": enginetest.FallingSite(), "falling-plate": falling} {
		made := design(t, s)
		scene := drawing.LeafScene(&made, drawing.SceneOptions{})
		if strings.HasPrefix(name, "falling") {
			scene = drawing.FallingScene(&made, drawing.SceneOptions{})
		}
		svg, err := draw.Render(scene, draw.Phone(640, 0), draw.Options{Standalone: true})
		require.NoError(t, err)
		enginetest.Golden(t, name+".svg", svg)
	}
}

// No site, however odd, makes an elevation that cannot be drawn.
func TestElevationsOfRandomSites(t *testing.T) {
	for i := range 60 {
		r := rand.New(rand.NewPCG(uint64(i), 90))
		made, err := engine.Design(enginetest.RandomFallingSite(r), practice.DefaultPractice())
		require.NoError(t, err)
		for _, scene := range []*draw.Scene{drawing.LeafScene(&made, drawing.SceneOptions{}),
			drawing.FallingScene(&made, drawing.SceneOptions{})} {
			require.NoError(t, scene.Validate(), "seed %d", i)
			assert.NotContains(t, scene.Desc, "NaN")
			svg, err := draw.Render(scene, draw.Phone(390, 0), draw.Options{Standalone: true})
			require.NoError(t, err)
			decoder := xml.NewDecoder(strings.NewReader(string(svg)))
			for {
				_, err := decoder.Token()
				if errors.Is(err, io.EOF) {
					break
				}
				require.NoError(t, err)
			}
		}
	}
	made := design(t, enginetest.SquareSite())
	assert.Nil(t, drawing.FallingScene(&made, drawing.SceneOptions{}))
}
