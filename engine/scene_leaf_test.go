package engine_test

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
	"pegpour/engine/enginetest"
)

func design(t *testing.T, s engine.Survey) engine.Plan {
	t.Helper()
	plan, err := engine.Design(s, engine.DefaultPractice())
	require.NoError(t, err)
	return plan
}

// Each elevation was looked at before it was kept.
func TestLeafAndFootingGolden(t *testing.T) {
	falling := enginetest.FallingSite()
	falling.Gate.PadOn = engine.PadSteel
	for name, s := range map[string]engine.Survey{"leaf-square": enginetest.SquareSite(), "leaf-raked": enginetest.RakedSite(), "leaf-stacked": enginetest.StackedSite(), "falling-pad": enginetest.FallingSite(), "falling-plate": falling} {
		plan := design(t, s)
		scene := engine.LeafScene(&plan, engine.SceneOptions{})
		if strings.HasPrefix(name, "falling") {
			scene = engine.FallingScene(&plan, engine.SceneOptions{})
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
		plan, err := engine.Design(enginetest.RandomFallingSite(r), engine.DefaultPractice())
		require.NoError(t, err)
		for _, scene := range []*draw.Scene{engine.LeafScene(&plan, engine.SceneOptions{}), engine.FallingScene(&plan, engine.SceneOptions{})} {
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
	plan := design(t, enginetest.SquareSite())
	assert.Nil(t, engine.FallingScene(&plan, engine.SceneOptions{}))
}
