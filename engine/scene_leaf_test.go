package engine

import (
	"encoding/xml"
	"errors"
	"io"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/draw"
)

func rakedSite() Survey {
	s := squareSite()
	s.Gate.Guide = GuideCastIn
	s.Ground.Shape, s.Ground.Levels.Taken, s.Ground.Levels.Along = GroundSlopes, LevelsBySlopes, Measured(0.05, ByStaff)
	return s
}

func stackedSite() Survey {
	s := squareSite()
	s.Gate.Guide, s.Gate.Panels = GuideCastIn, PanelsTwo
	return s
}

// Each elevation was looked at before it was kept.
func TestLeafAndFootingGolden(t *testing.T) {
	falling := fallingSite()
	falling.Gate.PadOn = PadSteel
	for name, s := range map[string]Survey{"leaf-square": squareSite(), "leaf-raked": rakedSite(), "leaf-stacked": stackedSite(), "falling-pad": fallingSite(), "falling-plate": falling} {
		plan := design(t, s)
		scene := LeafScene(&plan, SceneOptions{})
		if strings.HasPrefix(name, "falling") {
			scene = FallingScene(&plan, SceneOptions{})
		}
		svg, err := draw.Render(scene, draw.Phone(640, 0), draw.Options{Standalone: true})
		require.NoError(t, err)
		golden(t, name+".svg", svg)
	}
}

// No site, however odd, makes an elevation that cannot be drawn.
func TestElevationsOfRandomSites(t *testing.T) {
	for i := range 60 {
		r := rand.New(rand.NewPCG(uint64(i), 90))
		plan, err := Design(randomFallingSite(r), DefaultPractice())
		require.NoError(t, err)
		for _, scene := range []*draw.Scene{LeafScene(&plan, SceneOptions{}), FallingScene(&plan, SceneOptions{})} {
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
	plan := design(t, squareSite())
	assert.Nil(t, FallingScene(&plan, SceneOptions{}))
}
