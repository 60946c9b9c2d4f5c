package drawing_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/enginetest"
)

// Where the figures are feet and inches, the scale bar is in feet too.
func TestTheScaleBarIsInFeetToo(t *testing.T) {
	made := design(t, enginetest.FallingSite())
	o := drawing.SceneOptions{Feet: true}
	for _, s := range []*draw.Scene{drawing.SetOutScene(&made, o), drawing.SectionScene(&made, o), drawing.LeafScene(&made, o),
		drawing.FallingScene(&made, o)} {
		require.NotNil(t, s)
		bars := 0
		for _, e := range s.Elements {
			if bar, ok := e.(draw.ScaleBar); ok {
				bars++
				require.True(t, bar.Feet, s.Title)
			}
		}
		require.Equal(t, 1, bars, s.Title)
	}
}
