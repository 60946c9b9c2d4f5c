package drawing_test

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/text"
	"pegpour/storage/demo"
)

// crossOf is one cross section of a demo site, found by a word of its name.
func crossOf(t *testing.T, word, cut string) (*draw.Scene, plan.Plan) {
	t.Helper()
	practice := practice.DefaultPractice()
	for _, site := range demo.Sites() {
		if !strings.Contains(site.Survey.Site.Name, word) {
			continue
		}
		made, err := engine.Design(site.Survey, practice)
		require.NoError(t, err)
		for _, c := range drawing.CrossSections(&made) {
			if c.ID == cut {
				return drawing.CrossSectionScene(&made, &practice, c, drawing.SceneOptions{}), made
			}
		}
	}
	t.Fatalf("no section %s of a site named %s", cut, word)
	return nil, plan.Plan{}
}

func texts(s *draw.Scene) string {
	var all []string
	for _, e := range s.Elements {
		if d, ok := e.(draw.Dimension); ok {
			all = append(all, d.Text)
		}
	}
	return " " + strings.Join(all, " ") + " "
}

// Cavity and steel footing are cut where they are highest, with the sizes that
// the plan has.
func TestCrossSectionsOfSlopingSites(t *testing.T) {
	for _, c := range []struct{ word, cut string }{{"rising ground", "cavity"}, {"falling ground", "footing"}} {
		scene, made := crossOf(t, c.word, c.cut)
		have := texts(scene)
		figure := func(v float64) string {
			return " " + drawing.PlainFigure(text.Arg{Value: v, Dimension: text.Length}) + " "
		}
		if c.cut == "cavity" {
			assert.Contains(t, have, figure(made.Ground.Rising.Width))
		} else {
			for _, q := range made.Footing.Posts {
				if q.Number == made.Footing.Highest {
					assert.Contains(t, have, figure(q.Above))
					assert.Contains(t, have, figure(q.Depth))
				}
			}
			assert.Contains(t, have, figure(made.Footing.HoleSize))
		}
		svg, err := draw.Render(scene, draw.Phone(390, 0), draw.Options{Standalone: true})
		require.NoError(t, err)
		path := "../../testdata/drawings/cross-" + c.cut + ".svg"
		if os.Getenv("UPDATE_DRAWINGS") != "" {
			require.NoError(t, os.WriteFile(path, svg, 0o644))
		}
		want, err := os.ReadFile(path)
		require.NoError(t, err)
		if string(want) != string(svg) {
			t.Errorf("%s has changed: look at it, then run with UPDATE_DRAWINGS=1", path)
		}
	}
}
