package advice

import (
	"math"
	"slices"
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
	"pegpour/storage/demo"
)

// rowsOff is a bank that was levelled in two rows, the first so far behind the track
// line that a few millimetres decide whether the ground on it counts as read.
func rowsOff(beyond float64) survey.Survey {
	s := enginetest.RisingSite(300, 0.05)
	for i := range s.Ground.Levels.Drops[4:6] {
		s.Ground.Levels.Drops[4+i].Offset = survey.Measured(100+plan.HoldReach+beyond, survey.ByTape)
	}
	return s
}

// How far the levels fall short moves with the readings, a millimetre by a
// millimetre, and does not leap to the length of the run-back.
func TestGroundNotLevelledFallsShortByItsDistance(t *testing.T) {
	for _, beyond := range []float64{1, 2, 40} {
		made := designs.Of(t, rowsOff(beyond))
		c := designs.Check(t, made, "bank.beyond")
		assert.InDelta(t, -beyond, c.Margin, 1e-9)
	}
	made := designs.Of(t, rowsOff(-2))
	for _, c := range made.Checks {
		assert.NotEqual(t, "bank.beyond", c.Code)
	}
}

// No advice gives a size that nobody can use: what a reading taken again brings is
// told in the size of what readings are out by, or in words.
func TestAdviceGivesNoSizeThatIsNotKnown(t *testing.T) {
	p := practice.DefaultPractice()
	var sites []survey.Survey
	for _, d := range demo.Sites() {
		sites = append(sites, d.Survey)
	}
	for _, beyond := range []float64{-3, -1, 1, 3} {
		sites = append(sites, rowsOff(beyond))
	}
	reports := slices.Clone(drawnReports())
	for _, s := range sites {
		made, _ := engine.Design(s, p)
		reports = append(reports, Confidence(s, p, made))
	}
	brought := 0
	for n, report := range reports {
		for _, a := range report.Again {
			for _, arg := range a.Words.Args {
				if arg.Dimension == text.Length || arg.Dimension == text.SmallLength {
					assert.Less(t, arg.Value, 300.0, "site %d: %s", n, a.Words)
				}
			}
			assert.Empty(t, enginetest.Codes(a.Words.String()))
		}
		for _, c := range report.Checks {
			if !c.Appears.Empty() {
				brought++
				assert.Empty(t, c.Words.Args, "site %d: %s", n, c.Words)
				assert.True(t, c.TooClose)
			}
		}
	}
	assert.NotZero(t, brought)
}

// Rules out of range stand at their defaults, as in Design.
func TestConfidenceRepairsRules(t *testing.T) {
	s := enginetest.AngledSite()
	p := practice.DefaultPractice()
	made := designs.Of(t, s)
	sound := Confidence(s, p, made)
	for _, absurd := range []float64{math.NaN(), math.Inf(1), -5, 1e12} {
		broken := p
		broken.SigmaTape, broken.SigmaGuess, broken.SigmaSquare = absurd, absurd, absurd
		same, _ := engine.Design(s, broken)
		report := Confidence(s, broken, same)
		require.Equal(t, sound, report)
		assert.Equal(t, VerifiedRemedies(s, p, made), VerifiedRemedies(s, broken, same))
		assert.Equal(t, BuildOptions(s, p), BuildOptions(s, broken))
	}
}

// Two ways to the same: how sure grade and cross-fall are by the covariance of the
// fit, and by one reading after the other through Design. On a level drive where
// the readings were taken moves nothing.
func TestSlopesAreAsSureAsTheFitSays(t *testing.T) {
	byString := enginetest.SlopingSite(0, 0)
	byStaff := enginetest.SquareSite()
	byStaff.Ground.Shape, byStaff.Ground.Levels.Taken = survey.GroundSlopes, survey.LevelsByStaff
	byStaff.Ground.Levels.Start = survey.Measured(50000, survey.ByStaff)
	byStaff.Ground.Levels.Book = []survey.BookRow{{Station: "Mark", Back: survey.Measured(1500, survey.ByStaff)}}
	for _, q := range [][2]float64{{0, 100}, {2000, 100}, {4000, 100}, {2000, 1600}} {
		byStaff.Ground.Levels.Book = append(byStaff.Ground.Levels.Book, survey.BookRow{
			Intermediate: survey.Measured(1500, survey.ByStaff), Along: survey.Measured(q[0], survey.ByTape),
			Offset: survey.Measured(q[1], survey.ByTape)})
	}
	for name, c := range map[string]struct {
		site survey.Survey
		less float64 // that the fit takes the line of sight for unsure at each of its rows
	}{"string": {byString, 1}, "staff": {byStaff, 0.8}} {
		made := designs.Of(t, c.site)
		report := Confidence(c.site, practice.DefaultPractice(), made)
		for id, sigma := range map[string]float64{plan.FigureTrackGrade: made.Ground.Track.SigmaGrade,
			plan.FigureTrackCrossFall: made.Ground.Track.SigmaCrossFall} {
			result, ok := report.Result(id)
			require.True(t, ok)
			assert.LessOrEqual(t, result.Sigma, sigma*(1+1e-6), "%s %s", name, id)
			assert.GreaterOrEqual(t, result.Sigma, c.less*sigma*(1-1e-6), "%s %s", name, id)
		}
	}
}
