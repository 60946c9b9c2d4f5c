package drawing_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/enginetest"
	"pegpour/engine/enginetest/designs"
	"pegpour/engine/survey"
)

// The section under the string grows with what is typed: a place shows a question
// mark until its drop is there, and the ground goes from place to place of one offset.
func TestTheSectionUnderTheStringIsDrawnAsTyped(t *testing.T) {
	tape := func(v float64) survey.Value { return survey.Measured(v, survey.ByTape) }
	made := designs.Of(t, enginetest.SquareSite())
	drawn := func(drops []survey.StringDrop) (ids map[string]draw.Element, ground int) {
		t.Helper()
		scene := drawing.StringScene(&made, drops, drawing.SceneOptions{})
		_, err := draw.Layout(scene, draw.Phone(360, 0))
		require.NoError(t, err)
		ids = map[string]draw.Element{}
		for _, e := range scene.Elements {
			id := draw.TagOf(e).ID
			ids[id] = e
			if id == "ground" {
				ground++
			}
		}
		return ids, ground
	}
	drops := make([]survey.StringDrop, 3)
	ids, ground := drawn(drops)
	assert.Contains(t, ids, "string")
	assert.Len(t, ids, 2, "the string and its posts")
	assert.Zero(t, ground)

	first := "dim." + string(survey.DropDown.At(0))
	drops[0].Along, drops[0].Offset = tape(500), tape(0)
	ids, _ = drawn(drops)
	assert.IsType(t, draw.Leader{}, ids[first])
	drops[0].Down = tape(420)
	ids, _ = drawn(drops)
	assert.Equal(t, "420", ids[first].(draw.Dimension).Text)
	drops[1] = survey.StringDrop{Along: tape(3500), Offset: tape(0), Down: tape(-60)}
	drops[2] = survey.StringDrop{Along: tape(3500), Offset: tape(1500), Down: tape(0)}
	ids, ground = drawn(drops)
	assert.Equal(t, 1, ground, "along one offset only")
	asked := drawing.StringScene(&made, drops, drawing.SceneOptions{Tape: string(survey.DropOffset.At(1))})
	figures := 0
	for _, e := range asked.Elements {
		if d, ok := e.(draw.Dimension); ok {
			figures++
			assert.Equal(t, "-60", d.Text, "the figure of the place in question")
		}
	}
	assert.Equal(t, 1, figures)
	assert.Equal(t, "-60", ids["dim."+string(survey.DropDown.At(1))].(draw.Dimension).Text)
}
