package tape

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/reference/cases"
)

// strewn is a network of n pegs between two known posts, with some of the tapes that
// it may have, and where its pegs stand.
func strewn(r *rand.Rand, n int, share, noise float64) (Network, [][2]float64) {
	net := Network{Pegs: []Peg{{Name: "L", Known: true}, {Name: "R", Known: true, X: 4000}}}
	at := [][2]float64{{0, 0}, {4000, 0}}
	for i := range n {
		net.Pegs = append(net.Pegs, Peg{Name: string(rune('a' + i))})
		at = append(at, [2]float64{r.Float64() * 9000, 300 + r.Float64()*2500})
	}
	for i := range at {
		for j := range i {
			if j < 2 && i < 2 || j >= 2 && r.Float64() > share {
				continue
			}
			d := math.Hypot(at[i][0]-at[j][0], at[i][1]-at[j][1])
			net.Tapes = append(net.Tapes, Taped{From: net.Pegs[j].Name, To: net.Pegs[i].Name, Length: d + noise*r.NormFloat64(), Sigma: 3})
		}
	}
	return net, at
}

// From a first place beside the peg both ways of adjusting find the same.
func TestAdjustFromMeetsAdjust(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 1))
	for range 200 {
		net, at := strewn(r, 2+r.IntN(6), 0.6, 3)
		for i := range net.Pegs[2:] {
			net.Pegs[2+i].Side = Left
		}
		want, err := net.Adjust()
		if err != nil {
			continue
		}
		first := make([][2]float64, len(at))
		for i := range at {
			first[i] = [2]float64{at[i][0] + 20*r.NormFloat64(), at[i][1] + 20*r.NormFloat64()}
		}
		got, err := net.AdjustFrom(first)
		require.NoError(t, err)
		for i := range want.Pegs {
			assert.InDelta(t, want.Pegs[i].X, got.Pegs[i].X, 1e-3)
			assert.InDelta(t, want.Pegs[i].Y, got.Pegs[i].Y, 1e-3)
			assert.InDelta(t, want.Pegs[i].Ellipse.Major, got.Pegs[i].Ellipse.Major, 1e-3)
		}
	}
	net, at := strewn(r, 3, 1, 3)
	_, err := net.AdjustFrom(at[:3])
	require.Error(t, err)
	at[3][0] = math.NaN()
	_, err = net.AdjustFrom(at)
	require.Error(t, err)
}

// A tape left out by one step is one left out and adjusted anew.: where the slips
// are small, for one step is straight.
func TestWithoutIsTheAdjustmentWithoutTheTape(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 2))
	met, refused := 0, 0
	for range 100 {
		net, at := strewn(r, 3+r.IntN(4), 0.7, 0.1)
		whole, err := net.AdjustFrom(at)
		if err != nil {
			continue
		}
		for k := range net.Tapes {
			rest := Network{Pegs: net.Pegs, Tapes: append(append([]Taped{}, net.Tapes[:k]...), net.Tapes[k+1:]...)}
			again, err := rest.AdjustFrom(at)
			for _, p := range net.Pegs[2:] {
				got, ok := whole.Without(k, p.Name)
				if !ok {
					refused++
					continue
				}
				if err != nil {
					continue // another peg hangs on it
				}
				want, _ := again.Peg(p.Name)
				if want.Ellipse.Major > 15 {
					continue // hardly fixed: one step does not get there
				}
				met++
				assert.InDelta(t, want.X, got.X, 0.1)
				assert.InDelta(t, want.Y, got.Y, 0.1)
				assert.InDelta(t, want.Ellipse.Major, got.Ellipse.Major, 0.02*want.Ellipse.Major+0.02)
			}
		}
	}
	assert.Greater(t, met, 3000)
	assert.Greater(t, refused, 10)
	_, ok := (&Result{net: &net{byName: map[string]int{}}}).Without(0, "x")
	assert.False(t, ok)
}

// The tape proposed is the best of all: each one that could be taken is taken in turn.
func TestNextIsTheBestOfAll(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 3))
	tried := 0
	for range 60 {
		net, at := strewn(r, 3+r.IntN(3), 0.5, 3)
		if _, err := net.AdjustFrom(at); err != nil {
			continue
		}
		taped := map[[2]int]bool{}
		index := map[string]int{}
		for i, p := range net.Pegs {
			index[p.Name] = i
		}
		for _, t := range net.Tapes {
			taped[[2]int{index[t.From], index[t.To]}] = true
		}
		may := func(i, j int) bool { return !taped[[2]int{i, j}] && !taped[[2]int{j, i}] && (i+j)%5 != 0 }
		from, to, ok := net.Next(at, 3, func(int) bool { return true }, may)
		worstWith := func(i, j int) float64 {
			more := net
			more.Tapes = append(append([]Taped{}, net.Tapes...), Taped{From: net.Pegs[i].Name, To: net.Pegs[j].Name,
				Length: math.Hypot(at[i][0]-at[j][0], at[i][1]-at[j][1]), Sigma: 3})
			result, err := more.AdjustFrom(at)
			require.NoError(t, err)
			worst := 0.0
			for _, p := range result.Pegs {
				worst = math.Max(worst, p.Ellipse.Major)
			}
			return worst
		}
		best := math.Inf(1)
		for i := range net.Pegs {
			for j := range i {
				if may(j, i) && (j > 1 || i > 1) {
					best = math.Min(best, worstWith(j, i))
				}
			}
		}
		require.Equal(t, !math.IsInf(best, 1), ok)
		if ok {
			tried++
			require.True(t, may(from, to))
			assert.LessOrEqual(t, worstWith(from, to), best*1.02+0.01)
		}
	}
	assert.Greater(t, tried, 30)
}

// Before any tape, a peg is best taped from where the tapes will cross.
func TestNextBeforeAnyTape(t *testing.T) {
	net := Network{Pegs: []Peg{{Name: "L", Known: true}, {Name: "R", Known: true, X: 4000}, {Name: "a"}}}
	at := [][2]float64{{0, 0}, {4000, 0}, {2000, 2000}}
	all := func(i int) bool { return true }
	_, _, ok := net.Next(at, 3, all, func(i, j int) bool { return false })
	require.False(t, ok)
	net.Tapes = []Taped{{"L", "a", 2828, 3}}
	from, to, ok := net.Next(at, 3, all, func(i, j int) bool { return i != 0 })
	require.True(t, ok)
	assert.Equal(t, [2]int{1, 2}, [2]int{from, to})
}

// The step from a first place, after a published example.
func TestAdjustFromFirstPlaces(t *testing.T) {
	t.Run("mikhail-ackermann-9.1", func(t *testing.T) {
		var in struct {
			Pegs      map[string][2]float64 `json:"pegs"`
			Distances map[string]float64    `json:"distances"`
		}
		ref := cases.Named(t, "tape.json", "mikhail-ackermann-9.1")
		ref.Fill(t, &in)
		const metre, sigma = 1000, 1.0
		net := Network{Pegs: []Peg{{Name: "R"}}}
		at := [][2]float64{{in.Pegs["R"][0] * metre, in.Pegs["R"][1] * metre}}
		for _, name := range []string{"P", "O", "Q"} {
			p := in.Pegs[name]
			net.Pegs = append(net.Pegs, Peg{Name: name, Known: true, X: p[0] * metre, Y: p[1] * metre})
			at = append(at, [2]float64{})
			net.Tapes = append(net.Tapes, Taped{From: "R", To: name, Length: in.Distances[name] * metre, Sigma: sigma})
		}
		r, err := net.AdjustFrom(at)
		require.NoError(t, err)
		p, _ := r.Peg("R")
		ref.Compare(t, "x", p.X/metre)
		ref.Compare(t, "y", p.Y/metre)
		ref.Compare(t, "qxx", p.Covariance[0][0])
		ref.Compare(t, "qxy", p.Covariance[0][1])
		ref.Compare(t, "qyy", p.Covariance[1][1])
	})
}
