package levels

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/reference/cases"
)

func TestHeightNetwork(t *testing.T) {
	for _, ref := range cases.OfTopic(t, "levels.json", "levelling network") {
		t.Run(ref.ID, func(t *testing.T) {
			var in struct {
				Known       [][]any `json:"known"`
				Differences [][]any `json:"differences"`
				PerRootKm   float64 `json:"per_root_km"`
			}
			ref.Fill(t, &in)
			var known []KnownHeight
			for _, k := range in.Known {
				known = append(known, KnownHeight{k[0].(string), k[1].(float64) * 1000, k[2].(float64)})
			}
			var lines []HeightDifference
			for _, d := range in.Differences {
				sigma := d[3].(float64)
				if in.PerRootKm > 0 {
					sigma = in.PerRootKm * math.Sqrt(sigma)
				}
				lines = append(lines, HeightDifference{d[0].(string), d[1].(string), d[2].(float64) * 1000, sigma})
			}
			n, err := AdjustHeights(known, lines)
			require.NoError(t, err)
			got := map[string]float64{"unit": n.UnitDeviation, "sum": n.ChiSquare * float64(n.DegreesOfFreedom)}
			for _, h := range n.Heights {
				got["H_"+h.Name] = h.Level / 1000
				got["sigma_"+h.Name] = h.Sigma
				got["scaled_"+h.Name] = h.Sigma * n.UnitDeviation
			}
			for i, r := range n.Residuals {
				got[fmt.Sprintf("v%d", i+1)] = r.Value
				got[fmt.Sprintf("w%d", i+1)] = math.Abs(r.Standardized)
				got[fmt.Sprintf("redundancy_%d", i+1)] = r.Redundancy
			}
			for name := range ref.Expected {
				ref.Compare(t, name, got[name])
			}
			if worst, named := map[string]int{"net-osgeo": 3, "net-gama": 5}[ref.ID]; named {
				assert.Equal(t, worst, n.Worst)
			}
		})
	}
}

// A network of random lines: heights that meet the readings best, whose
// uncertainty is that of the readings carried through, one at a time.
func TestHeightNetworkByPropagation(t *testing.T) {
	r := rand.New(rand.NewPCG(31, 32))
	for range 30 {
		count := 3 + r.IntN(6)
		truth := make([]float64, count)
		name := func(i int) string { return string(rune('a' + i)) }
		for i := range truth {
			truth[i] = 1e6 + 3000*r.Float64()
		}
		known := []KnownHeight{{"a", truth[0], 0}, {"b", truth[1] + 2*r.NormFloat64(), 1 + 3*r.Float64()}}
		var lines []HeightDifference
		line := func(i, j int) {
			sigma := 0.5 + 3*r.Float64()
			lines = append(lines, HeightDifference{name(i), name(j), truth[j] - truth[i] + sigma*r.NormFloat64(), sigma})
		}
		for i := 1; i < count; i++ {
			line(r.IntN(i), i)
		}
		for range 4 {
			if i, j := r.IntN(count), r.IntN(count); i != j {
				line(i, j)
			}
		}
		n, err := AdjustHeights(known, lines)
		require.NoError(t, err)
		redundancy := 0.0
		for _, res := range n.Residuals {
			redundancy += res.Redundancy
		}
		assert.InDelta(t, n.DegreesOfFreedom, redundancy, 1e-9, "redundancies add up to the degrees of freedom")
		assert.Len(t, n.Residuals, len(lines)+1)
		variance := make([]float64, count)
		var between float64
		carry := func(sigma float64, moved HeightNetwork) {
			for i := range variance {
				was, _ := n.Height(name(i))
				is, _ := moved.Height(name(i))
				variance[i] += (is.Level - was.Level) * (is.Level - was.Level)
			}
			was, _, _ := n.Difference("b", "c")
			is, _, _ := moved.Difference("b", "c")
			between += (is - was) * (is - was)
		}
		for i := range lines {
			lines[i].Difference += lines[i].Sigma
			moved, err := AdjustHeights(known, lines)
			require.NoError(t, err)
			lines[i].Difference -= lines[i].Sigma
			carry(lines[i].Sigma, moved)
		}
		known[1].Level += known[1].Sigma
		moved, err := AdjustHeights(known, lines)
		require.NoError(t, err)
		known[1].Level -= known[1].Sigma
		carry(known[1].Sigma, moved)
		for i := range variance {
			h, ok := n.Height(name(i))
			require.True(t, ok)
			assert.InDelta(t, math.Sqrt(variance[i]), h.Sigma, 1e-6)
		}
		_, sigma, ok := n.Difference("b", "c")
		require.True(t, ok)
		assert.InDelta(t, math.Sqrt(between), sigma, 1e-6)
		// No small move of any height meets the readings better.
		sum := func(shift func(string) float64) float64 {
			total := 0.0
			for _, d := range lines {
				from, _ := n.Height(d.From)
				to, _ := n.Height(d.To)
				v := (to.Level + shift(d.To) - from.Level - shift(d.From) - d.Difference) / d.Sigma
				total += v * v
			}
			b, _ := n.Height("b")
			v := (b.Level + shift("b") - known[1].Level) / known[1].Sigma
			return total + v*v
		}
		least := sum(func(string) float64 { return 0 })
		assert.InDelta(t, least, n.ChiSquare*float64(n.DegreesOfFreedom), 1e-6)
		for i := 1; i < count; i++ {
			for _, by := range []float64{-0.01, 0.01} {
				assert.GreaterOrEqual(t, sum(func(s string) float64 {
					if s == name(i) {
						return by
					}
					return 0
				}), least-1e-9)
			}
		}
	}
}

// Two bench marks that disagree share by their weights: 1/σ² each.
func TestHeightNetworkSharesByWeight(t *testing.T) {
	n, err := AdjustHeights([]KnownHeight{{"p", 1000, 3}, {"q", 2000, 4}}, []HeightDifference{{"p", "q", 1013, 0.01}})
	require.NoError(t, err)
	p, _ := n.Height("p")
	q, _ := n.Height("q")
	assert.InDelta(t, 1000-13*9/25.0, p.Level, 1e-3)
	assert.InDelta(t, 2000+13*16/25.0, q.Level, 1e-3)
	assert.InDelta(t, 3*4/5.0, p.Sigma, 1e-3)
	assert.Equal(t, 1, n.DegreesOfFreedom)
	assert.Empty(t, n.Suspects)
	n, err = AdjustHeights([]KnownHeight{{"p", 1000, 0}, {"q", 2000, 0}}, []HeightDifference{{"p", "q", 1013, 2}})
	require.NoError(t, err)
	assert.Equal(t, []int{0}, n.Suspects)
	assert.InDelta(t, -6.5, n.Residuals[0].Standardized, 1e-12)
	_, ok := n.Height("r")
	assert.False(t, ok)
	_, _, ok = n.Difference("p", "r")
	assert.False(t, ok)
}

func TestHeightNetworkRefusals(t *testing.T) {
	nan := math.NaN()
	known := []KnownHeight{{"a", 0, 0}}
	line := HeightDifference{"a", "b", 10, 1}
	for name, c := range map[string]struct {
		known []KnownHeight
		lines []HeightDifference
		says  string
	}{
		"nothing known":    {nil, []HeightDifference{line}, "number of known heights"},
		"same station":     {known, []HeightDifference{{"a", "a", 1, 1}}, "leads from a to a"},
		"no name":          {known, []HeightDifference{{"a", "", 1, 1}}, "leads from a to –"},
		"untied":           {known, []HeightDifference{line, {"c", "d", 1, 1}}, "known height: c, d"},
		"nan difference":   {known, []HeightDifference{{"a", "b", nan, 1}}, "difference of height"},
		"no uncertainty":   {known, []HeightDifference{{"a", "b", 1, 0}}, "standard uncertainty of difference"},
		"nan level":        {[]KnownHeight{{"a", nan, 0}}, []HeightDifference{line}, "known height"},
		"negative sigma":   {[]KnownHeight{{"a", 0, -1}}, []HeightDifference{line}, "standard uncertainty of known height"},
		"nan sigma":        {[]KnownHeight{{"a", 0, nan}}, []HeightDifference{line}, "standard uncertainty of known height"},
		"held twice":       {[]KnownHeight{{"a", 0, 0}, {"a", 5, 0}}, nil, "exact heights of one station"},
		"held and read":    {[]KnownHeight{{"a", 0, 0}, {"a", 5, 1}}, nil, "exact heights of one station"},
		"too many lines":   {known, make([]HeightDifference, MaxPoints+1), "number of differences"},
		"too many heights": {make([]KnownHeight, MaxStations+1), nil, "number of known heights"},
	} {
		_, err := AdjustHeights(c.known, c.lines)
		if assert.Error(t, err, name) {
			assert.Contains(t, strings.ToLower(err.Error()), c.says, name)
		}
	}
	n, err := AdjustHeights([]KnownHeight{{"a", 5, 2}, {"a", 8, 1}}, nil)
	require.NoError(t, err)
	a, _ := n.Height("a")
	assert.InDelta(t, 7.4, a.Level, 1e-12)
}
