package advice

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/enginetest"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// rated is a practice with every rate set: invented figures in the proportions
// of the trade.
func rated(t testing.TB) practice.Practice {
	t.Helper()
	rates := map[string]float64{}
	for _, r := range practice.Rules() {
		if r.Dimension == text.Money {
			rates[r.Key] = 20
		}
	}
	for key, v := range map[string]float64{practice.RuleRateBag: 11, practice.RuleRateReadyMix: 320,
		practice.RuleRateDig: 180, practice.RuleRateSpoil: 90, practice.RuleRateMesh: 45, practice.RuleRateTrack: 35,
		practice.RuleRateFixing: 3, practice.RuleRateCut: 25, practice.RuleRateConduit: 8, practice.RuleRateTint: 120,
		practice.RuleRateFormwork: 15, practice.RuleRateWall: 450, practice.RuleRateDrain: 60, practice.RuleRateFrame: 9,
		practice.RuleRatePanel: 600, practice.RuleRateGuidePost: 180} {
		if _, ok := practice.RuleByKey(key); ok {
			rates[key] = v
		}
	}
	p, err := practice.DefaultPractice().With(rates)
	require.NoError(t, err)
	return p
}

// onRisingGround is a site whose ground climbs beyond the drive's edge, by
// slopes read on it.
func onRisingGround(step, slope float64) survey.Survey {
	s := enginetest.SquareSite()
	s.Gate.Guide = survey.GuideCastIn
	s.RunBack.Room, s.RunBack.Depth = survey.Measured(6000, survey.ByTape), survey.Measured(2500, survey.ByTape)
	s.Ground.Shape, s.Ground.Class = survey.GroundRises, "gravel"
	s.Ground.Levels = survey.Levels{Taken: survey.LevelsBySlopes, Along: survey.Measured(0, survey.ByStaff),
		Out:      survey.Measured(0, survey.ByStaff),
		BankStep: survey.Measured(step, survey.ByStaff), BankAlong: survey.Measured(slope, survey.ByStaff)}
	s.Gate.OpenCatch = survey.Yes // else the frame of one long panel twists in the wind
	return s
}

func bestWith(r OptionsReport, panels string) (BuildOption, bool) {
	for _, w := range r.Options {
		for _, c := range w.Choices {
			if c.Path == survey.GatePanels && c.Value == panels && w.Feasible() {
				return w, true
			}
		}
	}
	return BuildOption{}, false
}

// Steep rising ground tips towards stacked panels, gentle ground away from them.
func TestWaysTipOnRisingGround(t *testing.T) {
	p := rated(t)
	steep := BuildOptions(onRisingGround(150, 0.12), p)
	gentle := BuildOptions(onRisingGround(0, 0.01), p)
	one, ok := bestWith(steep, survey.PanelsOne)
	require.True(t, ok)
	two, ok := bestWith(steep, survey.PanelsTwo)
	require.True(t, ok)
	t.Logf("steep: one panel %.0f, dig %.2f m³; two %.0f, %.2f m³", one.Cost, one.Dig/1e9, two.Cost, two.Dig/1e9)
	assert.Less(t, two.Cost, one.Cost)
	assert.Less(t, two.Dig, one.Dig)
	assert.Equal(t, RankByCost, steep.By)
	one, _ = bestWith(gentle, survey.PanelsOne)
	two, ok = bestWith(gentle, survey.PanelsTwo)
	require.True(t, ok)
	t.Logf("gentle: one panel %.0f, dig %.2f m³; two %.0f, %.2f m³", one.Cost, one.Dig/1e9, two.Cost, two.Dig/1e9)
	assert.Greater(t, two.Cost, one.Cost)
	// The first of the list is the cheapest.
	for _, r := range []OptionsReport{steep, gentle} {
		last := 0.0
		for _, w := range r.Options[:r.Feasible] {
			assert.GreaterOrEqual(t, w.Cost, last)
			last = w.Cost
		}
	}
}

// Every option is what Design says of the survey with its changes, and each
// combination stands once.
func TestEveryWayIsADesign(t *testing.T) {
	p := rated(t)
	sites := []survey.Survey{enginetest.SquareSite(), enginetest.AngledSite(), onRisingGround(300, 0.15)}
	pavers := enginetest.SquareSite()
	pavers.Drive.Surface, pavers.Drive.PaverBase = survey.SurfacePavers, survey.PaverOnSand
	sites = append(sites, pavers)
	for _, s := range sites {
		r := BuildOptions(s, p)
		keys, current := map[string]bool{}, 0
		for _, w := range r.Options {
			assert.False(t, keys[w.Key], w.Key)
			keys[w.Key] = true
			if w.Current {
				current++
			}
			survey, practice, ok := With(s, p, w.Changes)
			require.True(t, ok)
			made, _ := engine.Design(survey, practice)
			assert.Equal(t, made.Quantities.Cost, w.Cost, w.Key)
			assert.Equal(t, made.Quantities.Concrete, w.Concrete, w.Key)
			stops := 0
			for _, c := range made.Checks {
				if c.Severity == plan.Stop {
					stops++
				}
			}
			assert.Len(t, w.Reasons, stops, w.Key)
		}
		assert.Equal(t, 1, current)
		assert.GreaterOrEqual(t, len(r.Options), 9)
	}
	r := BuildOptions(pavers, p)
	assert.GreaterOrEqual(t, len(r.Options), 18)
}

// A site on which nothing fits says why of each option, and what would settle it.
func TestWaysOfAnImpossibleSite(t *testing.T) {
	s := enginetest.SquareSite()
	s.RunBack.Room = survey.Measured(500, survey.ByTape)
	r := BuildOptions(s, practice.DefaultPractice())
	assert.Zero(t, r.Feasible)
	for _, w := range r.Options {
		assert.NotEmpty(t, w.Reasons, w.Key)
	}
	assert.Contains(t, r.Notes[len(r.Notes)-2].String(), "No way can be built")
	assert.Equal(t, RankByVolume, r.By)
	assert.NotEmpty(t, r.Missing)
}

// A wide opening with little room: three panels fit, once motor, frame and post are
// those that the wind asks for. What they need is said, is part of what the way
// changes, and lets it be built.
func TestWaysThatNeedSomethingFirst(t *testing.T) {
	s := enginetest.SquareSite()
	s.Opening.Width, s.RunBack.Room = survey.Measured(5200, survey.ByTape), survey.Measured(2300, survey.ByTape)
	p := practice.DefaultPractice()
	r := BuildOptions(s, p)
	assert.Zero(t, r.Feasible)
	require.Positive(t, r.Mended)
	for i := range r.Options {
		w := &r.Options[i]
		assert.Equal(t, i < r.Mended, w.Feasible(), w.Key)
		assert.Equal(t, i < r.Mended, len(w.Needs) > 0, w.Key)
		if !w.Feasible() {
			continue
		}
		assert.Contains(t, w.Key, "gate.panels=3")
		taken, rules, ok := With(s, p, w.Changes)
		require.True(t, ok)
		made, err := engine.Design(taken, rules)
		require.NoError(t, err)
		assert.Empty(t, stops(&made), w.Key)
		assert.Equal(t, s.RunBack.Room, taken.RunBack.Room)
		paths := map[string]bool{}
		for _, c := range w.Changes {
			assert.False(t, paths[c.Path], "%s: %s changes twice", w.Key, c.Path)
			paths[c.Path] = true
		}
	}
	best := r.Options[0]
	assert.Contains(t, best.Key, "gate.guide=gate post")
	for _, n := range r.Notes {
		assert.NotContains(t, n.String(), "No way can be built")
	}
	stronger := false
	for _, n := range best.Needs {
		stronger = stronger || strings.Contains(n.String(), "Fit a motor of")
	}
	assert.True(t, stronger, "%v", best.Needs)
}

// Options without a hard stop are looked at only where none with one fits.
func TestHardStopIsPartOfEveryWay(t *testing.T) {
	s := enginetest.SquareSite()
	s.Gate.HardStop = survey.No
	for _, w := range BuildOptions(s, practice.DefaultPractice()).Options {
		assert.True(t, strings.Contains(w.Key, "gate.hardStop=yes"), w.Key)
	}
	// Room that is short by less than the stop itself takes: the end of the run-back
	// carries the stop before a way has none.
	s = enginetest.SquareSite()
	least := math.Inf(1)
	for _, w := range BuildOptions(s, practice.DefaultPractice()).Options {
		if w.Feasible() {
			least = math.Min(least, w.Room)
		}
	}
	s.RunBack.Room = survey.Measured(math.Round(least-20), survey.ByTape)
	r := BuildOptions(s, practice.DefaultPractice())
	assert.Zero(t, r.Feasible)
	assert.Positive(t, r.Mended)
	assert.Contains(t, r.Options[0].Key, "gate.hardStop=yes")
	assert.Contains(t, r.Options[0].Needs[0].String(), "carry the stop")
	// What stands where the strip behind the stop would end.
	r = BuildOptions(troubledSite(rand.New(rand.NewPCG(16, 44))), practice.DefaultPractice())
	assert.Positive(t, r.Feasible)
	assert.Contains(t, r.Options[0].Key, "gate.hardStop=no")
	said := false
	for _, n := range r.Notes {
		said = said || strings.Contains(n.String(), "No way with a hard stop fits")
	}
	assert.True(t, said)
}

func TestWaysAreDeterministicAndFinite(t *testing.T) {
	p := practice.DefaultPractice()
	for _, s := range []survey.Survey{{}, enginetest.SquareSite(), onRisingGround(400, 0.3),
		{Opening: survey.Opening{Width: survey.Measured(math.NaN(), survey.ByTape)}}} {
		a, err := json.Marshal(BuildOptions(s, p))
		require.NoError(t, err)
		b, _ := json.Marshal(BuildOptions(s, p))
		assert.Equal(t, string(a), string(b))
	}
}

func BenchmarkWays(b *testing.B) {
	p := rated(b)
	for name, s := range map[string]survey.Survey{"level": enginetest.SquareSite(), "rising": onRisingGround(300, 0.15)} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				_ = BuildOptions(s, p)
			}
		})
	}
}
