package advice

import (
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/enginetest"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// forget takes back an answer.
func forget(t *testing.T, s *survey.Survey, f *survey.Field) {
	t.Helper()
	if f.Numeric() {
		require.NoError(t, f.SetValue(s, survey.Value{}))
	} else {
		require.NoError(t, f.SetWords(s, ""))
	}
}

// ForgetSome takes back each answer of a site with a chance of two in three.
func ForgetSome(t *testing.T, s *survey.Survey, r *rand.Rand) {
	t.Helper()
	for _, f := range survey.Fields(s) {
		if f.Answered(s) && r.IntN(3) > 0 {
			forget(t, s, &f)
		}
	}
}

// LeftOutIsIdle answers what a site need not be asked with anything a guess
// allows, fails where that moves the plan, and returns how many answers it
// tried. What Design refuses of the site counts as not measured there, too.
func LeftOutIsIdle(t *testing.T, s survey.Survey, p practice.Practice, r *rand.Rand, name string) (tried int) {
	t.Helper()
	made, _ := engine.Design(s, p)
	for _, f := range leftOut(s, p, &made) {
		if f.Numeric() {
			v, _ := f.Assumed(&s, &p)
			reach := askingReach * f.Uncertainty(survey.Value{}, &p)
			for range 5 {
				trial := s.Clone()
				if f.SetValue(&trial, survey.Measured(v+reach*(2*r.Float64()-1), survey.ByEstimate)) != nil {
					continue
				}
				tried++
				assert.False(t, moves(&made, trial, p), "%s: %s", name, f.Path)
			}
			continue
		}
		for _, o := range f.Options {
			trial := s.Clone()
			require.NoError(t, f.SetWords(&trial, o.Value))
			tried++
			assert.False(t, o.Value != f.Chosen(&s) && moves(&made, trial, p), "%s: %s", name, f.Path)
		}
	}
	return tried
}

// leftOut returns the questions of a site that it need not be asked.
func leftOut(s survey.Survey, p practice.Practice, made *plan.Plan) []survey.Field {
	var out []survey.Field
	for _, f := range survey.Fields(&s) {
		if f.Needed(&s) && !f.Answered(&s) && !Matters(s, p, made, f.Path) {
			out = append(out, f)
		}
	}
	return out
}

// A question that is left out could be answered with anything a guess allows,
// and nothing that is ordered, cut, dug or checked would be another: tried at
// places between those that Matters looks at.
func TestWhatIsLeftOutChangesNothing(t *testing.T) {
	p := practice.DefaultPractice()
	tried := 0
	for seed := range 100 {
		r := rand.New(rand.NewPCG(uint64(seed), 11))
		s := enginetest.RandomSite(r)
		ForgetSome(t, &s, r)
		if tried += LeftOutIsIdle(t, s, p, r, "seed "+strconv.Itoa(seed)); t.Failed() {
			return
		}
	}
	assert.Greater(t, tried, 200, "hardly any question was left out")
}

// What is left out comes back when another answer makes it matter.
func TestAQuestionComesBack(t *testing.T) {
	p := practice.DefaultPractice()
	p.SigmaGuess = 1 // guesses this good leave nothing to ask about the posts
	s := enginetest.SquareSite()
	post, ok := survey.FieldAt(survey.OpeningPostRunBack)
	require.True(t, ok)
	forget(t, &s, &post)
	made, _ := engine.Design(s, p)
	before := Matters(s, p, &made, post.Path)
	p.SigmaGuess = 200
	assert.True(t, Matters(s, p, &made, post.Path))
	assert.False(t, before)
}

// Other work is let in before each design: one for each value that is tried, until one
// makes the question matter.
func TestQuestionsAreLookedAtDesignByDesign(t *testing.T) {
	p := practice.DefaultPractice()
	numbers, choices := 0, 0
	for seed := range 20 {
		r := rand.New(rand.NewPCG(uint64(seed), 12))
		s := enginetest.RandomSite(r)
		ForgetSome(t, &s, r)
		made, _ := engine.Design(s, p)
		for _, f := range survey.Fields(&s) {
			steps := 0
			matters := MattersInSteps(s, p, &made, f.Path, func() { steps++ })
			switch {
			case !matters && f.Numeric():
				numbers++
				assert.Equal(t, 4, steps, "seed %d: %s", seed, f.Path)
			case !matters:
				choices++
				assert.Equal(t, len(f.Options)-1, steps, "seed %d: %s", seed, f.Path)
			}
		}
	}
	assert.Positive(t, numbers)
	assert.Positive(t, choices)
}

func TestWhatIsAlwaysAsked(t *testing.T) {
	p := practice.DefaultPractice()
	var s survey.Survey
	made, _ := engine.Design(s, p)
	s.Ground.Levels = survey.Levels{Taken: survey.LevelsByString, Drops: make([]survey.StringDrop, 3)}
	for _, path := range []string{string(survey.DropOffset.At(1)), survey.SiteName, survey.OpeningHand,
		survey.OpeningSeenFrom, survey.OpeningWidth, survey.RunBackRoom, survey.DriveSurface, survey.GroundShape, "no.such"} {
		assert.True(t, Matters(s, p, &made, path), path)
	}
	var left []string
	for _, f := range leftOut(s, p, &made) {
		left = append(left, f.Path)
	}
	t.Log("left out of an empty site:", left)
}

func BenchmarkMatters(b *testing.B) {
	p := practice.DefaultPractice()
	var s survey.Survey
	made, _ := engine.Design(s, p)
	for b.Loop() {
		for _, f := range survey.Fields(&s) {
			if f.Needed(&s) && !f.Answered(&s) {
				Matters(s, p, &made, f.Path)
			}
		}
	}
}
