package editing

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/survey"
	"pegpour/storage"
)

func asBuiltBefore() survey.Survey {
	var s survey.Survey
	s.Site.Name = "Mill Lane 3"
	s.Drive.Surface, s.Drive.ConcreteSound = survey.SurfaceGravel, survey.Yes
	s.Ground.Soil, s.Ground.Shape = survey.SoilSoft, survey.GroundFalls
	s.Opening.Width = survey.Measured(5200, survey.ByTape)
	s.Gate.Guide, s.Gate.Motor, s.Gate.HardStop = survey.GuideOnPost, survey.MotorWired, survey.No
	s.Gate.LatchStop, s.Gate.OpenCatch, s.Gate.Cables = survey.No, survey.Yes, survey.No
	s.Gate.Height = survey.Measured(1650, survey.ByTape)
	return s
}

func TestUsualIsWhatIsBuiltAndNeverWhatWasFound(t *testing.T) {
	last, here := asBuiltBefore(), survey.Survey{}
	want := []string{survey.GateGuide, survey.GateMotor, survey.GateHeight}
	assert.Equal(t, want, Usual(&last, &here))
	assert.Equal(t, want, Usual(&last, &here), "the same again")
	here.Gate.Motor = survey.MotorNone
	assert.Equal(t, []string{survey.GateGuide, survey.GateHeight}, Usual(&last, &here), "not what is answered")
	assert.Empty(t, Usual(&survey.Survey{}, &here))

	for _, f := range survey.Fields(&here) {
		if slices.Contains(usual, f.Path) {
			assert.Equal(t, survey.GroupGate, f.Group, "what stands on a site is looked at there: %s", f.Path)
		}
	}
	for _, safe := range []string{survey.GateHardStop, survey.GateLatchStop, survey.GateOpenCatch, survey.GateCables,
		survey.DriveConcreteSound, survey.GroundSoil} {
		assert.NotContains(t, usual, safe)
	}
	for _, safe := range []string{survey.GateHardStop, survey.GateLatchStop, survey.GateOpenCatch, survey.GateCables,
		survey.DriveConcreteSound, survey.GroundShape, survey.GroundCavityLoad, survey.GroundCavityWall} {
		assert.False(t, mayBeGuessed(safe), safe)
	}
}

// newBench has a new site in hand.
func newBench(t *testing.T) *bench {
	t.Helper()
	backend := &storage.Memory{}
	d := storage.NewDocument("2026-01-01T00:00:00Z")
	_, err := storage.NewStore(backend, storage.SteppingClock()).Create(t.Context(), d)
	require.NoError(t, err)
	return benchOver(t, backend, d.ID)
}

// besides stores another site on the device of a bench and has the bench read it.
func (b *bench) besides(taken survey.Survey, begun string, change func(*storage.Document)) {
	b.t.Helper()
	d := storage.NewDocument(begun)
	d.Survey = taken
	if change != nil {
		change(d)
	}
	_, err := b.Store.Create(b.t.Context(), d)
	require.NoError(b.t, err)
}

func (b *bench) lookBack() {
	b.t.Helper()
	b.readLast()
	b.Until("it was looked up", func() bool { return b.last != nil })
}

func TestAllIsAnsweredAsAtTheLastSite(t *testing.T) {
	b := newBench(t)
	other := asBuiltBefore()
	other.Gate.Guide = survey.GuideBasePlate
	b.besides(other, "2026-01-02T00:00:00Z", nil)
	b.besides(asBuiltBefore(), "2026-01-03T00:00:00Z", nil)
	b.besides(other, "2026-01-04T00:00:00Z", func(d *storage.Document) { d.Demo = true })
	b.besides(survey.Survey{}, "2026-01-05T00:00:00Z", nil) // begun, and left
	b.lookBack()
	before := b.Doc

	b.Ask(survey.GateHardStop)
	last, _ := b.AsLast()
	assert.Nil(t, last, "a question of safety is asked")
	b.Answer(b.Stage, survey.FieldOf(survey.GateHardStop), survey.Yes)
	b.Step(b.Stage, 1)
	require.Equal(t, survey.GateGuide, b.Asked)
	last, open := b.AsLast()
	require.NotNil(t, last)
	assert.Equal(t, "2026-01-03T00:00:00Z", last.Created, "the one begun last, of those that are somebody's and answer it")
	assert.Equal(t, []string{survey.GateGuide, survey.GateMotor, survey.GateHeight}, open)
	assert.Equal(t, survey.GuideOnPost, b.LastWords(survey.FieldOf(survey.GateGuide)))
	assert.Equal(t, survey.SurfaceGravel, b.LastWords(survey.FieldOf(survey.DriveSurface)), "shown where it is asked")
	assert.Empty(t, b.Doc.Survey.Drive.Surface, "and taken by no other tap")
	assert.Empty(t, b.LastWords(survey.FieldOf(survey.DriveConcreteSound)), "safety rests on it")
	assert.Empty(t, b.LastWords(survey.FieldOf(survey.GroundShape)), "each site has its own")
	assert.Equal(t, before.Survey.Gate.Guide, b.Doc.Survey.Gate.Guide, "a guess is in no document")

	b.TakeAsLast(b.Stage)
	gate := b.Doc.Survey.Gate
	assert.Equal(t, survey.GuideOnPost, gate.Guide)
	assert.Equal(t, survey.MotorWired, gate.Motor)
	assert.Equal(t, survey.Measured(1650, survey.ByEstimate), gate.Height, "nobody measured it here")
	assert.Equal(t, survey.Yes, gate.HardStop, "as it was answered here")
	assert.Empty(t, gate.LatchStop)
	assert.Empty(t, gate.OpenCatch)
	assert.Empty(t, b.Doc.Survey.Ground.Soil)
	assert.Equal(t, StepObstructions, b.Asked, "the part is done")
	b.saved()
	b.same()
	b.Undo()
	b.Until("undone", func() bool { return b.Waiting() == 0 && b.Doc.Survey.Gate.Guide == "" })
	assert.Empty(t, b.Doc.Survey.Gate.Motor, "one undo takes all of it back")
	assert.Equal(t, survey.Yes, b.Doc.Survey.Gate.HardStop)
}

func TestANumberIsGuessedAsAtTheLastSite(t *testing.T) {
	b := newBench(t)
	b.besides(asBuiltBefore(), "2026-01-03T00:00:00Z", nil)
	b.lookBack()
	height := survey.FieldOf(survey.GateHeight)
	assert.Equal(t, "~ 1650", b.Placeholder(height))
	assert.Contains(t, b.EntrySays(height, ""), "as at the last site")
	_, guessed := b.GuessOf(survey.FieldOf(survey.OpeningWidth))
	assert.False(t, guessed, "what is measured at each site is not")
	b.Ask(survey.GateHeight)
	b.Step(b.Stage, 1)
	assert.Equal(t, survey.Measured(1650, survey.ByEstimate), b.Doc.Survey.Gate.Height)
	_, guessed = b.GuessOf(height)
	assert.False(t, guessed)
	b.saved()
}

func TestTwoQuestionsAreAnsweredByOneTap(t *testing.T) {
	b := newBench(t)
	assert.NotContains(t, b.Steps(), survey.OpeningSeenFrom, "it is asked with the way it runs")
	b.Ask(survey.OpeningHand)
	assert.False(t, b.Known(survey.OpeningHand))
	answers := []Answered{{Path: survey.OpeningHand, Words: survey.HandLeft},
		{Path: survey.OpeningSeenFrom, Words: survey.SeenFromInside}}
	b.AnswerAll(b.Stage, "Which way", answers...)
	assert.True(t, b.Known(survey.OpeningHand))

	b.typed(survey.RunBackRoom, "5600")
	b.Ask(survey.DriveRunBackEdgeGiven)
	zero := survey.Value{How: survey.ByTape, Text: "0"}
	answers = []Answered{{Path: survey.DriveRunBackEdgeGiven, Words: survey.EdgeSquare},
		{Path: survey.DriveRunBackEdgeAlong, Value: zero}}
	b.AnswerAll(b.Stage, "Edge", answers...)
	b.PassAnswered(answers)
	assert.Equal(t, survey.DriveRunBackEdgeAlong, b.Asked)
	b.Step(b.Stage, 1)
	assert.Equal(t, survey.DriveLatchEdgeGiven, b.Asked)
	assert.Equal(t, zero, b.Doc.Survey.Drive.RunBackEdge.Along)

	// Turned and turned back by one edit, what was read stays; turned it is laid aside.
	b.AnswerAll(b.Stage, "Which way", Answered{Path: survey.OpeningHand, Words: survey.HandRight},
		Answered{Path: survey.OpeningSeenFrom, Words: survey.SeenFromStreet})
	assert.Equal(t, 5600.0, b.Doc.Survey.RunBack.Room.Size)
	assert.Equal(t, zero, b.Doc.Survey.Drive.RunBackEdge.Along)
	b.AnswerAll(b.Stage, "Which way", Answered{Path: survey.OpeningHand, Words: survey.HandLeft},
		Answered{Path: survey.OpeningSeenFrom, Words: survey.SeenFromStreet})
	assert.False(t, b.Doc.Survey.RunBack.Room.Known())
	b.saved()
	b.same()
}
