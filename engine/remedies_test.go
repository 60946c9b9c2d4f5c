package engine

import (
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// troubledSite is a random site with too little room and things in the way.
func troubledSite(r *rand.Rand) Survey {
	s := randomSite(r)
	s.RunBack.Room = Measured(s.Opening.Width.Size*(0.4+0.9*r.Float64()), ByTape)
	s.RunBack.Depth = Measured(300+500*r.Float64(), ByTape)
	for range r.IntN(3) {
		s.RunBack.Obstructions = append(s.RunBack.Obstructions, Obstruction{Kind: ObstructionPit,
			Along: Measured(2500*r.Float64(), ByTape), Offset: Measured(150+600*r.Float64(), ByTape),
			Length: Measured(100+300*r.Float64(), ByTape), Width: Measured(100+300*r.Float64(), ByTape)})
	}
	return s
}

// Every remedy shown is designed with once more, by hand, and settles its check
// without a new Stop that it does not own up to.
func TestEveryRemedyShownClears(t *testing.T) {
	p := DefaultPractice()
	shown, computed, codes := 0, 0, map[string]int{}
	for i := range 150 {
		s := troubledSite(rand.New(rand.NewPCG(uint64(i), 44)))
		plan, err := Design(s, p)
		require.NoError(t, err)
		for _, v := range VerifiedRemedies(s, p, plan) {
			c := plan.Checks[v.Check]
			shown++
			codes[c.Code]++
			if v.Computed {
				computed++
			}
			s2, p2, ok := With(s, p, v.Changes)
			require.True(t, ok, "seed %d %s", i, v.Words)
			after, err := Design(s2, p2)
			require.NoError(t, err)
			stops := 0
			for _, k := range after.Checks {
				if k.Field == c.Field && k.Question == c.Question && k.Severity != Sound {
					t.Errorf("seed %d: %q does not settle %q: %s", i, v.Words, c.What, k.What)
				}
				if k.Severity == Stop && !stopsAlready(plan, k) {
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

func stopsAlready(plan Plan, k Check) bool {
	for _, o := range plan.Checks {
		if o.Severity == Stop && o.Question == k.Question && o.Field == k.Field {
			return true
		}
	}
	return false
}

// A size found by search is the least: one step less does not settle the check.
func TestSearchedRemedyIsTheLeast(t *testing.T) {
	p := DefaultPractice()
	looked := 0
	for i := range 120 {
		s := troubledSite(rand.New(rand.NewPCG(uint64(i), 45)))
		plan, err := Design(s, p)
		require.NoError(t, err)
		for k := range levers {
			for n := range plan.Checks {
				c := &plan.Checks[n]
				if c.Severity == Sound || !c.Question.among(levers[k].settles) {
					continue
				}
				v, ok := levers[k].search(&s, &p, c)
				if !ok {
					continue
				}
				change := v.Changes[0]
				var now float64
				if key, isRule := strings.CutPrefix(change.Path, PracticePath); isRule {
					r, _ := RuleByKey(key)
					now = r.Of(p)
				} else {
					f, _ := FieldAt(change.Path)
					now = f.Value(&s).Size
				}
				step := p.RemedyStep
				if change.Value < now {
					step = -step
				}
				less := Change{Path: change.Path, Value: change.Value - step}
				if (less.Value-now)/step < 0.5 {
					continue // one step is the least there is
				}
				looked++
				_, ok = settle(&s, &p, c, Remedy{Changes: []Change{less}})
				assert.False(t, ok, "seed %d: %q", i, v.Words)
			}
		}
	}
	assert.Greater(t, looked, 100)
}

// The post that stands in the opening: how much further along, to 5 mm.
func TestGuidePostFurtherAlong_hand_calculation(t *testing.T) {
	s := angledSite()
	s.Drive.RunBackEdge.Angle = Value{}
	s.Drive.RunBackEdge.Given = EdgeSquare
	s.Drive.RunBackEdge.Along = Measured(-57, ByTape)
	p := DefaultPractice()
	plan := design(t, s)
	var words []string
	for _, v := range VerifiedRemedies(s, p, plan) {
		if plan.Checks[v.Check].Code == "opening.guide" && v.Changes[0].Path == PracticePath+RulePlaceEdgeGap {
			words = append(words, v.Words.String())
			assert.InDelta(t, 60, v.Changes[0].Value, 3.1)
		}
	}
	assert.NotEmpty(t, words)
}

func BenchmarkVerifiedRemedies(b *testing.B) {
	p := DefaultPractice()
	s := troubledSite(rand.New(rand.NewPCG(3, 44)))
	plan, _ := Design(s, p)
	b.ReportAllocs()
	for b.Loop() {
		_ = VerifiedRemedies(s, p, plan)
	}
}
