package advice

import (
	"math"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/enginetest"
	"pegpour/engine/enginetest/designs"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// drawnReports are the reports of random sites, and of two that are close calls.
var drawnReports = sync.OnceValue(func() (all []ConfidenceReport) {
	p := practice.DefaultPractice()
	for _, s := range append(enginetest.RandomSites(80), pointedSite(), enginetest.SquareSite()) {
		made, _ := engine.Design(s, p)
		all = append(all, Confidence(s, p, made))
	}
	return all
})

// What is told as "give or take" is what decides: a margin within it is too close to
// call, one beyond it is sure. Where the readings can be out by far more than the margin,
// the reading is named and no size.
func TestGiveOrTakeReadsAsTheRule(t *testing.T) {
	told, named := 0, 0
	for _, report := range drawnReports() {
		for _, c := range report.Checks {
			words := c.Words
			for len(words.Args) > 0 && len(words.Args[0].List) > 0 {
				words = words.Args[0].List[0]
			}
			switch words.Format {
			case "Too close to call: it hangs on this reading: {0}.":
				named++
				assert.Greater(t, 2*c.Sigma, 10*math.Abs(c.Margin))
			case "Too close to call: {0} to spare, give or take {1}.", "Too close to call: short by {0}, give or take {1}.":
				told++
				assert.Less(t, words.Args[0].Value, words.Args[1].Value, "%s", c.Words)
			case "Sure: {0} to spare, give or take {1}.", "Sure: short by {0}, give or take {1}.":
				told++
				assert.GreaterOrEqual(t, words.Args[0].Value, words.Args[1].Value, "%s", c.Words)
			}
		}
	}
	assert.Greater(t, told, 100)
	assert.Positive(t, named)
}

// The motor set down at the edge of the drive, and there at the post, has nothing to
// spare by design: that is no close call, and no reading is asked for again for it.
func TestPlacedAtTheLimitIsNoCloseCall(t *testing.T) {
	s := enginetest.SquareSite()
	made := designs.Of(t, s)
	m, ok := marginOf(margins(&made), plan.QuestionOpeningMotor, survey.DriveRunBackEdgeAngle)
	require.True(t, ok)
	require.InDelta(t, 0, m, plan.Tolerance)
	report := Confidence(s, practice.DefaultPractice(), made)
	for _, c := range report.Checks {
		assert.NotEqual(t, "opening.motor", c.Code, "%s", c.Words)
	}
	for _, a := range report.Again {
		assert.NotEqual(t, "opening.motor", a.For)
	}
	// A room that is just what is needed is a close call.
	need, _ := made.Figure(plan.FigureRoomNeeded)
	s.RunBack.Room = survey.Measured(need.Value, survey.ByTape)
	made = designs.Of(t, s)
	close := false
	for _, c := range Confidence(s, practice.DefaultPractice(), made).Checks {
		close = close || c.Code == "room.along" && c.TooClose
	}
	assert.True(t, close)
}

// While more than three metres are missing no reading is asked for again that would make
// something else surer by a little; where all is in order none for millimetres.
func TestTriflesAreNotAskedForAgain(t *testing.T) {
	p := practice.DefaultPractice()
	s := enginetest.SquareSite()
	s.Opening.Width, s.RunBack.Room = survey.Measured(5200, survey.ByTape), survey.Measured(2300, survey.ByTape)
	report := Confidence(s, p, designs.Of(t, s))
	for _, a := range report.Again {
		f, _ := survey.FieldAt(a.Path)
		assert.False(t, f.Value(&s).Known(), "%s: %s", a.Path, a.Words)
	}
	asked := 0
	for i, report := range drawnReports() {
		for _, a := range report.Again {
			asked++
			for _, arg := range a.Words.Args {
				assert.NotContains(t, []text.Dimension{text.Ratio, text.Fraction}, arg.Dimension, "%d: %s", i, a.Words)
			}
			if result, ok := report.Result(a.For); ok && result.Dimension == text.Length && len(a.Words.Args) == 3 {
				assert.GreaterOrEqual(t, 2*(a.Before-a.After), 5-1e-9, "%d: %s", i, a.Words)
			}
		}
	}
	assert.Greater(t, asked, 20)
}
