package drawing_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/enginetest"
	"pegpour/engine/enginetest/designs"
	"pegpour/engine/plan"
	"pegpour/engine/survey"
)

// voiceOf is the voice with which a plan draws an element.
func voiceOf(t *testing.T, made *plan.Plan, o drawing.SceneOptions, id string) draw.Voice {
	t.Helper()
	for _, e := range drawing.SetOutScene(made, o).Elements {
		if g := draw.TagOf(e); g.ID == id {
			return g.Voice
		}
	}
	require.Fail(t, "nothing drawn as "+id)
	return 0
}

// A size that was not taped is drawn as assumed, and so is the thing it belongs to;
// one that was taped is drawn as measured.
func TestVoiceOfObstruction(t *testing.T) {
	tape := func(v float64) survey.Value { return survey.Measured(v, survey.ByTape) }
	s := enginetest.SquareSite()
	s.RunBack.Obstructions = []survey.Obstruction{
		{Kind: survey.ObstructionTree, Along: tape(-3600), Offset: tape(900), Length: tape(400)},
		{Kind: survey.ObstructionTap, Along: tape(5000), Offset: tape(900), Length: tape(400), Width: tape(300)},
	}
	made := designs.Of(t, s)
	for id, want := range map[string]draw.Voice{"along": draw.VoiceMeasured, "offset": draw.VoiceMeasured,
		"length": draw.VoiceMeasured, "width": draw.VoiceAssumed} {
		path := survey.RunBackObstructions + ".0." + id
		assert.Equal(t, want, voiceOf(t, &made, drawing.SceneOptions{Tape: path}, "dim."+path), id)
	}
	assert.Equal(t, plan.VoiceAssumed, made.Site.Obstructions[0].Voice)
	assert.Equal(t, plan.VoiceMeasured, made.Site.Obstructions[1].Voice)
	// The key under a drawing on paper is there for voices that differ.
	assert.Equal(t, draw.VoiceAssumed, voiceOf(t, &made, drawing.SceneOptions{}, "obstruction.0"))
	assert.Equal(t, draw.VoicePlain, voiceOf(t, &made, drawing.SceneOptions{}, "obstruction.1"))
	// A stretch before the post has no minus: the line shows which way it lies.
	path := survey.RunBackObstructions + ".0.along"
	for _, e := range drawing.SetOutScene(&made, drawing.SceneOptions{Tape: path}).Elements {
		if d, ok := e.(draw.Dimension); ok && d.ID == "dim."+path {
			assert.Equal(t, "3600", d.Text)
		}
	}
}

// An angle that points of an edge make is worked out; one that was set down as an
// angle is measured.
func TestVoiceOfAngle(t *testing.T) {
	const id = "dim.drive.runBackEdge.angle"
	tape := func(v float64) survey.Value { return survey.Measured(v, survey.ByTape) }
	byPoints := enginetest.SquareSite()
	byPoints.Drive.RunBackEdge = survey.Edge{Given: survey.EdgePoints,
		Points: []survey.EdgePoint{{Along: tape(20), Offset: tape(0)}, {Along: tape(300), Offset: tape(900)}}}
	made := designs.Of(t, byPoints)
	assert.Equal(t, draw.VoiceWorkedOut, voiceOf(t, &made, drawing.SceneOptions{Detail: true}, id))
	byAngle := enginetest.SquareSite()
	byAngle.Drive.RunBackEdge = survey.Edge{Given: survey.EdgeAngle, Along: tape(0),
		Angle: survey.Measured(70*math.Pi/180, survey.ByTape)}
	made = designs.Of(t, byAngle)
	assert.Equal(t, draw.VoiceMeasured, voiceOf(t, &made, drawing.SceneOptions{Detail: true}, id))
}
