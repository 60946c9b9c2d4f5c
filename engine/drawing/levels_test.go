package drawing_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/enginetest"
	"pegpour/engine/practice"
)

// Each level of a section stands at its own line or on a leader of its own: its text
// lies over no other text and on no line, and its leader crosses no other.
func TestLevelsOfSectionsStandClear(t *testing.T) {
	marks, led := 0, 0
	for i := range uint64(400) {
		r := rand.New(rand.NewPCG(i, 3))
		s := enginetest.RandomGroundSite(r)
		if i%3 == 0 {
			s = enginetest.RandomFallingSite(r)
		}
		made, err := engine.Design(s, practice.DefaultPractice())
		if err != nil {
			continue
		}
		scene := drawing.SectionScene(&made, drawing.SceneOptions{})
		if scene == nil {
			continue
		}
		at := map[string]draw.Point{}
		for _, e := range scene.Elements {
			if l, ok := e.(draw.LevelMark); ok {
				at[l.ID] = l.At
			}
		}
		for _, v := range []draw.View{draw.Phone(344, 0), draw.Phone(640, 0), draw.PaperAt(180, 100, 50)} {
			sheet, err := draw.Layout(scene, v)
			require.NoError(t, err)
			require.Empty(t, draw.Overlaps(sheet), "site %d, %v wide", i, v.Width)
			var lines [][2]draw.Point
			var names []string
			for _, g := range sheet.Groups {
				for _, m := range g.Marks {
					for k := 1; m.Kind == draw.MarkStroke && m.Part == draw.PartLeader && k < len(m.Points); k++ {
						lines, names = append(lines, [2]draw.Point{m.Points[k-1], m.Points[k]}), append(names, g.ID)
					}
					level, ok := at[g.ID]
					if !ok || m.Kind != draw.MarkText {
						continue
					}
					marks++
					far := math.Hypot(m.Points[0].X-sheet.Origin.X-sheet.Scale*level.X,
						m.Points[0].Y-sheet.Origin.Y+sheet.Scale*level.Y) / sheet.TextHeight
					assert.Less(t, far, 16.0, "site %d, %v wide: %s in text heights", i, v.Width, g.ID)
				}
			}
			for a := range lines {
				for b := range a {
					if names[a] == names[b] || !strings.HasPrefix(names[a], "level.") && !strings.HasPrefix(names[b], "level.") {
						continue
					}
					led++
					assert.False(t, crossing(lines[a][0], lines[a][1], lines[b][0], lines[b][1]),
						"site %d, %v wide: %s over %s", i, v.Width, names[a], names[b])
				}
			}
		}
	}
	require.Greater(t, marks, 5000)
	require.Greater(t, led, 1000)
}
