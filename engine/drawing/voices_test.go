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

// While a distance to an edge is asked, its zero at the post and the way of plus are
// drawn before a digit is typed, with an example that goes once there is a figure.
func TestZeroAndDirectionAreDrawnBeforeADigit(t *testing.T) {
	tape := func(v float64) survey.Value { return survey.Measured(v, survey.ByTape) }
	s := enginetest.SquareSite()
	s.Drive.RunBackEdge = survey.Edge{Given: survey.EdgePoints, Points: make([]survey.EdgePoint, 2)}
	s.Drive.LatchEdge = survey.Edge{Given: survey.EdgeSquare}
	made := designs.Of(t, s)
	asked := func(path string) map[string]draw.Element {
		drawn := map[string]draw.Element{}
		for _, e := range drawing.SetOutScene(&made, drawing.SceneOptions{Tape: path, Compact: true, Detail: true}).Elements {
			drawn[draw.TagOf(e).ID] = e
		}
		return drawn
	}
	point := string(survey.RunBackEdgePointAlong.At(1))
	for path, want := range map[string]struct{ zero, plus draw.Point }{
		point: {draw.Pt(made.Opening, 0), draw.Pt(made.Opening+300, 0)},
		string(survey.RunBackEdgePointOffset.At(1)): {draw.Pt(made.Opening, 0), draw.Pt(made.Opening, 300)},
		survey.DriveRunBackEdgeAlong:                {draw.Pt(made.Opening, 0), draw.Pt(made.Opening+300, 0)},
		survey.DriveLatchEdgeAlong:                  {draw.Pt(0, 0), draw.Pt(300, 0)},
	} {
		drawn := asked(path)
		zero, ok := drawn["zero.at"].(draw.Leader)
		require.True(t, ok, path)
		assert.Equal(t, want.zero, zero.At, path)
		assert.Equal(t, "0", zero.Text)
		plus, _ := drawn["zero.plus"].(draw.HandArrow)
		assert.Equal(t, []draw.Point{want.zero, want.plus}, []draw.Point{plus.From, plus.To}, path)
		example, _ := drawn["zero.example"].(draw.Dimension)
		assert.Equal(t, "for example 300", example.Text, path)
		assert.Equal(t, want.plus, example.To, path)
	}
	assert.NotContains(t, asked(survey.OpeningWidth), "zero.at")
	assert.NotContains(t, asked(survey.DriveRunBackEdgeGiven), "zero.at")

	s.Drive.RunBackEdge.Points[1] = survey.EdgePoint{Along: tape(-1200), Offset: tape(2400)}
	s.Drive.RunBackEdge.Points[0] = survey.EdgePoint{Along: tape(40), Offset: tape(0)}
	made = designs.Of(t, s)
	drawn := asked(point)
	assert.Contains(t, drawn, "zero.at")
	assert.Contains(t, drawn, "dim."+point)
	assert.NotContains(t, drawn, "zero.example", "the figure stands there")
	window := drawing.PointsWindow(&made, false)
	assert.True(t, window.Min.X <= made.Opening-1200 && window.Max.Y >= 2400, "%v", window)
}
