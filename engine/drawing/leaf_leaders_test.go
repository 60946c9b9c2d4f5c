package drawing_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/enginetest"
	"pegpour/engine/survey"
	"pegpour/storage/demo"
)

// turnOf is positive where a, b, c turn one way and negative where they turn the other.
func turnOf(a, b, c draw.Point) float64 { return (b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X) }

func crossing(a, b, c, d draw.Point) bool {
	return turnOf(a, b, c)*turnOf(a, b, d) < 0 && turnOf(c, d, a)*turnOf(c, d, b) < 0
}

// The lines from the cut lengths to their members do not cross, and a number of
// pieces is not written as a section is.
func TestLeadersOfTheLeafDoNotCross(t *testing.T) {
	sites := []survey.Survey{enginetest.SquareSite(), enginetest.AngledSite(), enginetest.StackedSite()}
	for _, s := range demo.Sites() {
		sites = append(sites, s.Survey)
	}
	for n, s := range sites {
		made := design(t, s)
		for _, width := range []float64{344, 640, 1200} {
			view := draw.Phone(width, 0)
			view.Mirror = made.Mirrored()
			sheet, err := draw.Layout(drawing.LeafScene(&made, drawing.SceneOptions{Keyed: width < 1000}), view)
			require.NoError(t, err)
			var lines [][2]draw.Point
			var names []string
			for i := range sheet.Groups {
				g := &sheet.Groups[i]
				if !strings.HasPrefix(g.ID, "cut.") {
					continue
				}
				for _, m := range g.Marks {
					for k := 1; m.Kind == draw.MarkStroke && m.Part == draw.PartLeader && k < len(m.Points); k++ {
						lines, names = append(lines, [2]draw.Point{m.Points[k-1], m.Points[k]}), append(names, g.ID)
					}
					assert.NotContains(t, m.Text, " × ", "%d", n)
				}
			}
			require.NotEmpty(t, lines)
			for i := range lines {
				for j := range i {
					assert.False(t, names[i] != names[j] && crossing(lines[i][0], lines[i][1], lines[j][0], lines[j][1]),
						"site %d at %v: %s and %s", n, width, names[i], names[j])
				}
			}
		}
	}
}
