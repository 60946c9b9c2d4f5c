package engine_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/drawing"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/storage/demo"
)

// What a sketch draws is what the whole plan draws, but for its words, at the
// demo sites and with every field changed, each at every fourth of them.
func TestSketchDrawsWhatThePlanDraws(t *testing.T) {
	practice := practice.DefaultPractice()
	look := func(s survey.Survey, name string) {
		sketch, begun := engine.Begin(s, practice)
		require.Empty(t, sketch.Plan().Figures, name)
		var before []any
		views := []drawing.SceneOptions{{Tape: survey.OpeningWidth}, {Detail: true},
			{Compact: true, Tape: survey.RunBackDepth}}
		for _, o := range views {
			scene := drawing.SetOutScene(sketch.Plan(), o)
			require.Empty(t, scene.Desc, name)
			before = append(before, scene.Elements, drawing.DetailWindow(sketch.Plan()), sketch.Plan().Mirrored())
		}
		judged, err := engine.Judge(s, practice)
		require.Equal(t, begun, err, name)
		one, _ := json.Marshal(judged)
		for range 2 {
			other, _ := json.Marshal(sketch.Judge())
			require.Equal(t, string(one), string(other), name)
		}
		require.NotEmpty(t, sketch.Plan().Figures, name)
		whole := sketch.Finish()
		var after []any
		for _, o := range views {
			scene := drawing.SetOutScene(whole, o)
			require.NotEmpty(t, scene.Desc, name)
			after = append(after, scene.Elements, drawing.DetailWindow(whole), whole.Mirrored())
		}
		require.Equal(t, before, after, name)
		require.NotEmpty(t, whole.Figures, name)

		plan, err := engine.Design(s, practice)
		require.Equal(t, begun, err, name)
		once, _ := json.Marshal(plan)
		again, _ := json.Marshal(sketch.Finish())
		require.Equal(t, string(once), string(again), name)
	}
	for n, site := range demo.Sites() {
		look(site.Survey, site.Survey.Site.Name)
		for k, f := range survey.Fields(&site.Survey) {
			if (n+k)%4 != 0 {
				continue
			}
			s := site.Survey.Clone()
			switch {
			case f.Numeric():
				require.NoError(t, f.SetValue(&s, survey.Measured((f.Low+3*f.High)/4, survey.ByTape)))
				look(s, site.Survey.Site.Name+" "+f.Path)
			default:
				for _, o := range f.Options {
					require.NoError(t, f.SetWords(&s, o.Value))
					look(s, site.Survey.Site.Name+" "+f.Path+" "+o.Value)
				}
			}
		}
	}
}
