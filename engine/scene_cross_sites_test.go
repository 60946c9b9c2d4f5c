package engine_test

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/draw"
	"pegpour/storage/demo"
)

// crossOf is one cross section of a demo site, found by a word of its name.
func crossOf(t *testing.T, word, cut string) (*draw.Scene, engine.Plan) {
	t.Helper()
	practice := engine.DefaultPractice()
	for _, site := range demo.Sites() {
		if !strings.Contains(site.Survey.Site.Name, word) {
			continue
		}
		plan, err := engine.Design(site.Survey, practice)
		require.NoError(t, err)
		for _, c := range engine.CrossSections(&plan) {
			if c.ID == cut {
				return engine.CrossSectionScene(&plan, &practice, c, engine.SceneOptions{}), plan
			}
		}
	}
	t.Fatalf("no section %s of a site named %s", cut, word)
	return nil, engine.Plan{}
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
		scene, plan := crossOf(t, c.word, c.cut)
		have := texts(scene)
		figure := func(v float64) string {
			return " " + engine.PlainFigure(engine.Arg{Value: v, Dimension: engine.Length}) + " "
		}
		if c.cut == "cavity" {
			assert.Contains(t, have, figure(plan.Ground.Rising.Width))
		} else {
			for _, q := range plan.Footing.Posts {
				if q.Number == plan.Footing.Highest {
					assert.Contains(t, have, figure(q.Above))
					assert.Contains(t, have, figure(q.Depth))
				}
			}
			assert.Contains(t, have, figure(plan.Footing.HoleSize))
		}
		svg, err := draw.Render(scene, draw.Phone(390, 0), draw.Options{Standalone: true})
		require.NoError(t, err)
		path := "../testdata/drawings/cross-" + c.cut + ".svg"
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
