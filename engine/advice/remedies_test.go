package advice

import (
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/enginetest"
	"pegpour/engine/enginetest/designs"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// troubledSite is a random site with too little room and things in the way.
func troubledSite(r *rand.Rand) survey.Survey {
	s := enginetest.RandomSite(r)
	s.RunBack.Room = survey.Measured(s.Opening.Width.Size*(0.4+0.9*r.Float64()), survey.ByTape)
	s.RunBack.Depth = survey.Measured(300+500*r.Float64(), survey.ByTape)
	for range r.IntN(3) {
		s.RunBack.Obstructions = append(s.RunBack.Obstructions, survey.Obstruction{Kind: survey.ObstructionPit,
			Along: survey.Measured(2500*r.Float64(), survey.ByTape), Offset: survey.Measured(150+600*r.Float64(), survey.ByTape),
			Length: survey.Measured(100+300*r.Float64(), survey.ByTape),
			Width:  survey.Measured(100+300*r.Float64(), survey.ByTape)})
	}
	return s
}

// Every remedy shown is designed with once more, by hand, and settles its check
// without a new Stop that it does not own up to.
func TestEveryRemedyShownClears(t *testing.T) {
	p := practice.DefaultPractice()
	shown, computed, codes := 0, 0, map[string]int{}
	for i := range 150 {
		s := troubledSite(rand.New(rand.NewPCG(uint64(i), 44)))
		made, err := engine.Design(s, p)
		require.NoError(t, err)
		for _, v := range VerifiedRemedies(s, p, made) {
			c := made.Checks[v.Check]
			shown++
			codes[c.Code]++
			if v.Computed {
				computed++
			}
			s2, p2, ok := With(s, p, v.Changes)
			require.True(t, ok, "seed %d %s", i, v.Words)
			after, err := engine.Judge(s2, p2)
			require.NoError(t, err)
			stops := 0
			for _, k := range after.Checks {
				if k.Field == c.Field && k.Question == c.Question && k.Severity != plan.Sound {
					t.Errorf("seed %d: %q does not settle %q: %s", i, v.Words, c.What, k.What)
				}
				if k.Severity == plan.Stop && !stopsAlready(made, k) {
					stops++
				}
			}
			assert.Equal(t, v.Stops, stops, "seed %d: %q", i, v.Words)
		}
	}
	t.Logf("%d remedies, %d of them found by search: %v", shown, computed, codes)
	assert.Greater(t, shown, 300)
	assert.Greater(t, computed, 100)
}

func stopsAlready(made plan.Plan, k plan.Check) bool {
	for _, o := range made.Checks {
		if o.Severity == plan.Stop && o.Question == k.Question && o.Field == k.Field {
			return true
		}
	}
	return false
}

// A size found by search is the least: one step less does not settle the check.
func TestSearchedRemedyIsTheLeast(t *testing.T) {
	p := practice.DefaultPractice()
	looked := 0
	for i := range 120 {
		s := troubledSite(rand.New(rand.NewPCG(uint64(i), 45)))
		made, err := engine.Design(s, p)
		require.NoError(t, err)
		for k := range levers {
			for n := range made.Checks {
				c := &made.Checks[n]
				if c.Severity == plan.Sound || !c.Question.Among(levers[k].settles) {
					continue
				}
				v, ok := levers[k].search(&s, &p, c, func() {})
				if !ok {
					continue
				}
				change := v.Changes[0]
				var now float64
				if key, isRule := strings.CutPrefix(change.Path, practice.PracticePath); isRule {
					r, _ := practice.RuleByKey(key)
					now = r.Of(p)
				} else {
					f, _ := survey.FieldAt(change.Path)
					now = f.Value(&s).Size
				}
				step := p.RemedyStep
				if change.Value < now {
					step = -step
				}
				less := plan.Change{Path: change.Path, Value: change.Value - step}
				if (less.Value-now)/step < 0.5 {
					continue // one step is the least there is
				}
				looked++
				_, ok = attempt(&s, &p, c, plan.Remedy{Changes: []plan.Change{less}})
				assert.False(t, ok, "seed %d: %q", i, v.Words)
			}
		}
	}
	assert.Greater(t, looked, 100)
}

// The post that stands in the opening: how much further along, to 5 mm.
func TestGuidePostFurtherAlong_hand_calculation(t *testing.T) {
	s := enginetest.AngledSite()
	s.Drive.RunBackEdge.Angle = survey.Value{}
	s.Drive.RunBackEdge.Given = survey.EdgeSquare
	s.Drive.RunBackEdge.Along = survey.Measured(-57, survey.ByTape)
	p := practice.DefaultPractice()
	made := designs.Of(t, s)
	var words []string
	for _, v := range VerifiedRemedies(s, p, made) {
		if made.Checks[v.Check].Code == "opening.guide" &&
			v.Changes[0].Path == practice.PracticePath+practice.RulePlaceEdgeGap {
			words = append(words, v.Words.String())
			assert.InDelta(t, 60, v.Changes[0].Value, 3.1)
		}
	}
	assert.NotEmpty(t, words)
}

func BenchmarkVerifiedRemedies(b *testing.B) {
	p := practice.DefaultPractice()
	s := troubledSite(rand.New(rand.NewPCG(3, 44)))
	made, _ := engine.Design(s, p)
	b.ReportAllocs()
	for b.Loop() {
		_ = VerifiedRemedies(s, p, made)
	}
}
