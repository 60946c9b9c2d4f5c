package engine

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// rated is a practice with every rate set: invented figures in the proportions
// of the trade.
func rated(t testing.TB) Practice {
	t.Helper()
	rates := map[string]float64{}
	for _, r := range Rules() {
		if r.Dimension == Money {
			rates[r.Key] = 20
		}
	}
	for key, v := range map[string]float64{RuleRateBag: 11, RuleRateReadyMix: 320, RuleRateDig: 180, RuleRateSpoil: 90, RuleRateMesh: 45, RuleRateTrack: 35,
		RuleRateFixing: 3, RuleRateCut: 25, RuleRateConduit: 8, RuleRateTint: 120, RuleRateFormwork: 15, RuleRateWall: 450, RuleRateDrain: 60, RuleRateFrame: 9, RuleRatePanel: 600, RuleRateGuidePost: 180} {
		if _, ok := RuleByKey(key); ok {
			rates[key] = v
		}
	}
	p, err := DefaultPractice().With(rates)
	require.NoError(t, err)
	return p
}

// onRisingGround is a site whose ground climbs beyond the drive's edge, by
// slopes read on it.
func onRisingGround(step, slope float64) Survey {
	s := squareSite()
	s.Gate.Guide = GuideCastIn
	s.RunBack.Room, s.RunBack.Depth = Measured(6000, ByTape), Measured(2500, ByTape)
	s.Ground.Shape, s.Ground.Class = GroundRises, "gravel"
	s.Ground.Levels = Levels{Taken: LevelsBySlopes, Along: Measured(0, ByStaff), Out: Measured(0, ByStaff),
		BankStep: Measured(step, ByStaff), BankAlong: Measured(slope, ByStaff)}
	return s
}

func bestWith(r OptionsReport, panels string) (BuildOption, bool) {
	for _, w := range r.Options {
		for _, c := range w.Choices {
			if c.Path == GatePanels && c.Value == panels && w.Feasible() {
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
	one, ok := bestWith(steep, PanelsOne)
	require.True(t, ok)
	two, ok := bestWith(steep, PanelsTwo)
	require.True(t, ok)
	t.Logf("steep: one panel %.0f, dig %.2f m³; two %.0f, %.2f m³", one.Cost, one.Dig/1e9, two.Cost, two.Dig/1e9)
	assert.Less(t, two.Cost, one.Cost)
	assert.Less(t, two.Dig, one.Dig)
	assert.Equal(t, RankByCost, steep.By)
	one, _ = bestWith(gentle, PanelsOne)
	two, ok = bestWith(gentle, PanelsTwo)
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
	sites := []Survey{squareSite(), angledSite(), onRisingGround(300, 0.15)}
	pavers := squareSite()
	pavers.Drive.Surface, pavers.Drive.PaverBase = SurfacePavers, PaverOnSand
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
			plan, _ := Design(survey, practice)
			assert.Equal(t, plan.Quantities.Cost, w.Cost, w.Key)
			assert.Equal(t, plan.Quantities.Concrete, w.Concrete, w.Key)
			stops := 0
			for _, c := range plan.Checks {
				if c.Severity == Stop {
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
	s := squareSite()
	s.RunBack.Room = Measured(500, ByTape)
	r := BuildOptions(s, DefaultPractice())
	assert.Zero(t, r.Feasible)
	for _, w := range r.Options {
		assert.NotEmpty(t, w.Reasons, w.Key)
	}
	assert.Contains(t, r.Notes[len(r.Notes)-2].String(), "No way can be built")
	assert.Equal(t, RankByVolume, r.By)
	assert.NotEmpty(t, r.Missing)
}

// Options without a hard stop are looked at only where none with one fits.
func TestHardStopIsPartOfEveryWay(t *testing.T) {
	s := squareSite()
	s.Gate.HardStop = No
	for _, w := range BuildOptions(s, DefaultPractice()).Options {
		assert.True(t, strings.Contains(w.Key, "gate.hardStop=yes"), w.Key)
	}
	// Room that is short by less than the stop itself takes.
	s = squareSite()
	least := math.Inf(1)
	for _, w := range BuildOptions(s, DefaultPractice()).Options {
		if w.Feasible() {
			least = math.Min(least, w.Room)
		}
	}
	s.RunBack.Room = Measured(math.Round(least-20), ByTape)
	r := BuildOptions(s, DefaultPractice())
	assert.Positive(t, r.Feasible)
	assert.Contains(t, r.Options[0].Key, "gate.hardStop=no")
	said := false
	for _, n := range r.Notes {
		said = said || strings.Contains(n.String(), "No way with a hard stop fits")
	}
	assert.True(t, said)
}

func TestWaysAreDeterministicAndFinite(t *testing.T) {
	p := DefaultPractice()
	for _, s := range []Survey{{}, squareSite(), onRisingGround(400, 0.3), {Opening: Opening{Width: Measured(math.NaN(), ByTape)}}} {
		a, err := json.Marshal(BuildOptions(s, p))
		require.NoError(t, err)
		b, _ := json.Marshal(BuildOptions(s, p))
		assert.Equal(t, string(a), string(b))
	}
}

func BenchmarkWays(b *testing.B) {
	p := rated(b)
	for name, s := range map[string]Survey{"level": squareSite(), "rising": onRisingGround(300, 0.15)} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				_ = BuildOptions(s, p)
			}
		})
	}
}
