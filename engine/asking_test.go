package engine

import (
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// forget takes back an answer.
func forget(t *testing.T, s *Survey, f *Field) {
	t.Helper()
	if f.Numeric() {
		require.NoError(t, f.SetValue(s, Value{}))
	} else {
		require.NoError(t, f.SetWords(s, ""))
	}
}

// ForgetSome takes back each answer of a site with a chance of two in three.
func ForgetSome(t *testing.T, s *Survey, r *rand.Rand) {
	t.Helper()
	for _, f := range Fields(s) {
		if f.Answered(s) && r.IntN(3) > 0 {
			forget(t, s, &f)
		}
	}
}

// LeftOutIsIdle answers what a site need not be asked with anything a guess
// allows, fails where that moves the plan, and returns how many answers it
// tried. What Design refuses of the site counts as not measured there, too.
func LeftOutIsIdle(t *testing.T, s Survey, p Practice, r *rand.Rand, name string) (tried int) {
	t.Helper()
	plan, _ := Design(s, p)
	for _, f := range leftOut(s, p, &plan) {
		if f.Numeric() {
			v, _ := f.Assumed(&s, &p)
			reach := askingReach * f.Uncertainty(Value{}, &p)
			for range 5 {
				trial := s.Clone()
				if f.SetValue(&trial, Measured(v+reach*(2*r.Float64()-1), ByEstimate)) != nil {
					continue
				}
				tried++
				assert.False(t, moves(&plan, trial, p), "%s: %s", name, f.Path)
			}
			continue
		}
		for _, o := range f.Options {
			trial := s.Clone()
			require.NoError(t, f.SetWords(&trial, o.Value))
			tried++
			assert.False(t, o.Value != f.Chosen(&s) && moves(&plan, trial, p), "%s: %s", name, f.Path)
		}
	}
	return tried
}

// leftOut returns the questions of a site that it need not be asked.
func leftOut(s Survey, p Practice, plan *Plan) []Field {
	var out []Field
	for _, f := range Fields(&s) {
		if f.Needed(&s) && !f.Answered(&s) && !Matters(s, p, plan, f.Path) {
			out = append(out, f)
		}
	}
	return out
}

// A question that is left out could be answered with anything a guess allows,
// and nothing that is ordered, cut, dug or checked would be another: tried at
// places between those that Matters looks at.
func TestWhatIsLeftOutChangesNothing(t *testing.T) {
	p := DefaultPractice()
	tried := 0
	for seed := range 100 {
		r := rand.New(rand.NewPCG(uint64(seed), 11))
		s := randomSite(r)
		ForgetSome(t, &s, r)
		if tried += LeftOutIsIdle(t, s, p, r, "seed "+strconv.Itoa(seed)); t.Failed() {
			return
		}
	}
	assert.Greater(t, tried, 200, "hardly any question was left out")
}

// What is left out comes back when another answer makes it matter.
func TestAQuestionComesBack(t *testing.T) {
	p := DefaultPractice()
	p.SigmaGuess = 1 // guesses this good leave nothing to ask about the posts
	s := squareSite()
	post, ok := FieldAt(OpeningPostRunBack)
	require.True(t, ok)
	forget(t, &s, &post)
	plan, _ := Design(s, p)
	before := Matters(s, p, &plan, post.Path)
	p.SigmaGuess = 200
	assert.True(t, Matters(s, p, &plan, post.Path))
	assert.False(t, before)
}

func TestWhatIsAlwaysAsked(t *testing.T) {
	p := DefaultPractice()
	var s Survey
	plan, _ := Design(s, p)
	s.Ground.Levels = Levels{Taken: LevelsByString, Drops: make([]StringDrop, 3)}
	for _, path := range []string{string(DropOffset.At(1)), SiteName, OpeningHand, OpeningSeenFrom, OpeningWidth, RunBackRoom, DriveSurface, GroundShape, "no.such"} {
		assert.True(t, Matters(s, p, &plan, path), path)
	}
	var left []string
	for _, f := range leftOut(s, p, &plan) {
		left = append(left, f.Path)
	}
	t.Log("left out of an empty site:", left)
}

func BenchmarkMatters(b *testing.B) {
	p := DefaultPractice()
	var s Survey
	plan, _ := Design(s, p)
	for b.Loop() {
		for _, f := range Fields(&s) {
			if f.Needed(&s) && !f.Answered(&s) {
				Matters(s, p, &plan, f.Path)
			}
		}
	}
}
