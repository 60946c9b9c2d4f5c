package steel

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func girder(t *testing.T, g Girder, loads []PointLoad, moments []PointMoment) GirderResult {
	t.Helper()
	if g.Elasticity == 0 {
		g.Elasticity, g.Inertia = 200000, 1e6
	}
	r, err := g.Under(loads, moments)
	require.NoError(t, err)
	return r
}

// A girder on plain supports is a continuous bar.
func TestGirderIsTheBar(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 22))
	for range 300 {
		b, _ := randomBar(r)
		b.Continuous = true
		var loads []PointLoad
		for range r.IntN(5) {
			loads = append(loads, PointLoad{r.Float64() * b.Length(), r.Float64() * 5000})
		}
		want, err := b.Under(loads)
		require.NoError(t, err)
		g := Girder{Length: b.Length(), Elasticity: b.Elasticity, Inertia: b.Inertia, Uniform: b.Uniform,
			Supports: []Support{{}}}
		at := 0.0
		for i, s := range b.Spans {
			if at += s; i == len(b.Spans)-1 {
				at = g.Length
			}
			g.Supports = append(g.Supports, Support{At: at})
		}
		got := girder(t, g, loads, nil)
		for i, v := range want.Reactions {
			assert.InDelta(t, v, got.Reactions[i], 1e-6)
			assert.InDelta(t, want.SupportMoments[i], got.Moment(g.Supports[i].At), 1e-2)
		}
		assert.InDelta(t, want.Sagging, got.Sagging, 1e-2)
		assert.InDelta(t, want.Hogging, got.Hogging, 1e-2)
		assert.InEpsilon(t, want.Deflection, got.Down, 1e-6)
	}
}

// Beam tables of any handbook.
func TestGirderBeamTables(t *testing.T) {
	const l, w, p, ei = 2000.0, 3.0, 5000.0, 200000.0 * 1e6
	fixed := []Support{{Fixed: true}, {At: l, Fixed: true}}
	r := girder(t, Girder{Length: l, Supports: fixed, Uniform: w}, nil, nil)
	assert.InEpsilon(t, w*l*l/12, r.Hogging, 1e-9)
	assert.InEpsilon(t, w*l*l/24, r.Sagging, 1e-9)
	assert.InEpsilon(t, w*l*l*l*l/(384*ei), r.Down, 1e-9)
	assert.InEpsilon(t, -w*l*l/12, r.Holding[0], 1e-9)
	assert.InEpsilon(t, w*l/2, r.Shear, 1e-9)
	r = girder(t, Girder{Length: l, Supports: fixed}, []PointLoad{{500, p}}, nil)
	assert.InEpsilon(t, -p*500*1500*1500/(l*l), r.Moment(0), 1e-9)
	assert.InEpsilon(t, -p*500*500*1500/(l*l), r.Moment(l), 1e-9)
	r = girder(t, Girder{Length: l, Supports: []Support{{Fixed: true}, {At: l}}, Uniform: w}, nil, nil)
	assert.InEpsilon(t, 5*w*l/8, r.Reactions[0], 1e-9)
	assert.InEpsilon(t, w*l*l/8, r.Hogging, 1e-9)
	assert.InEpsilon(t, 9*w*l*l/128, r.Sagging, 1e-9)
	assert.InEpsilon(t, w*l*l*l*l/(184.6*ei), r.Down, 1e-3)
	r = girder(t, Girder{Length: l, Supports: []Support{{Fixed: true}}}, []PointLoad{{l, p}}, nil)
	assert.InEpsilon(t, p*l*l*l/(3*ei), r.Down, 1e-9)
	assert.Equal(t, l, r.DownAt)
	assert.InEpsilon(t, p*l, r.Hogging, 1e-9)
	// Overhang of 500 with a force at its end: P·a²(l+a)/3EI; up between by P·a·l²/(9√3·EI).
	r = girder(t, Girder{Length: l + 500, Supports: []Support{{}, {At: l}}}, []PointLoad{{l + 500, p}}, nil)
	assert.InEpsilon(t, p*500*500*2500/(3*ei), r.Down, 1e-9)
	assert.InEpsilon(t, p*500*l*l/(9*math.Sqrt(3)*ei), r.Up, 1e-9)
	assert.InEpsilon(t, -p*500/l, r.Reactions[0], 1e-9)
	assert.InEpsilon(t, l/math.Sqrt(3), r.UpAt, 1e-6)
	// End moment on a simple span: M·l²/(9√3·EI).
	r = girder(t, Girder{Length: l, Supports: []Support{{}, {At: l}}}, nil, []PointMoment{{0, 1e6}})
	assert.InEpsilon(t, 1e6*l*l/(9*math.Sqrt(3)*ei), r.Down, 1e-9)
	assert.InEpsilon(t, 1e6, r.Sagging, 1e-9)
	assert.InEpsilon(t, -1e6/l, r.Reactions[0], 1e-9)
	assert.InEpsilon(t, 1e6/l, r.Reactions[1], 1e-9)
	// Moment at mid-span: M/2 on either side.
	r = girder(t, Girder{Length: l, Supports: []Support{{}, {At: l}}}, nil, []PointMoment{{l / 2, 1e6}})
	assert.InEpsilon(t, 5e5, r.Sagging, 1e-9)
	assert.InEpsilon(t, 5e5, r.Hogging, 1e-9)
	// A fixed end that sinks by s: 6EI·s/l².
	r = girder(t, Girder{Length: l, Supports: []Support{{Fixed: true}, {At: l, Fixed: true, Sinks: 4}}}, nil, nil)
	assert.InEpsilon(t, 6*ei*4/(l*l), r.Hogging, 1e-9)
	assert.InEpsilon(t, 6*ei*4/(l*l), r.Sagging, 1e-9)
	assert.InEpsilon(t, 12*ei*4/(l*l*l), r.Shear, 1e-9)
	// Two spans over a spring: by the force method, R·(l³/48EI + 1/k) = 5wl⁴/384EI for l of both.
	const k = 400.0
	r = girder(t, Girder{Length: 2 * l, Supports: []Support{{}, {At: l, Spring: k}, {At: 2 * l}}, Uniform: w}, nil, nil)
	long := 2 * l
	want := 5 * w * long * long * long * long / (384 * ei) / (long*long*long/(48*ei) + 1/k)
	assert.InEpsilon(t, want, r.Reactions[1], 1e-9)
	assert.InEpsilon(t, want/k, r.Deflection(l), 1e-9)
	// The middle support sinks: three moments, M = −w·l²/8 + 3EI·s/l².
	r = girder(t, Girder{Length: 2 * l, Supports: []Support{{}, {At: l, Sinks: 2}, {At: 2 * l}}, Uniform: w}, nil, nil)
	assert.InEpsilon(t, -w*l*l/8+3*ei*2/(l*l), r.Moment(l), 1e-9)
}

// Statics and the bar's own curve hold on girders of all kinds.
func TestGirderHoldsTogether(t *testing.T) {
	r := rand.New(rand.NewPCG(23, 24))
	for range 200 {
		g := Girder{Elasticity: 200000, Inertia: 1e6, Uniform: r.Float64()}
		at := []float64{0, 300 + 300*r.Float64()}[r.IntN(2)]
		for range 1 + r.IntN(6) {
			s := Support{At: at, Fixed: r.IntN(3) == 0, Sinks: 4 * r.Float64()}
			if r.IntN(3) == 0 {
				s.Spring = 100 + 10000*r.Float64()
			}
			g.Supports = append(g.Supports, s)
			at += 400 + 1000*r.Float64()
		}
		g.Supports[0].Fixed = true
		last := g.Supports[len(g.Supports)-1].At
		if g.Length = last; last == 0 || r.IntN(2) == 0 {
			g.Length = last + 500
		}
		var loads []PointLoad
		var moments []PointMoment
		force, moment := g.Uniform*g.Length, g.Uniform*g.Length*g.Length/2
		for range r.IntN(4) {
			p := PointLoad{r.Float64() * g.Length, 3000 * r.Float64()}
			loads = append(loads, p)
			force, moment = force+p.Force, moment+p.Force*p.At
		}
		for range r.IntN(3) {
			m := PointMoment{r.Float64() * g.Length, 1e6 * (r.Float64() - 0.5)}
			moments = append(moments, m)
			moment += m.Moment
		}
		got := girder(t, g, loads, moments)
		for i, s := range g.Supports {
			force -= got.Reactions[i]
			moment -= got.Reactions[i]*s.At - got.Holding[i]
			want := s.Sinks
			if s.Spring > 0 {
				want += got.Reactions[i] / s.Spring
			}
			assert.InDelta(t, want, got.Deflection(s.At), 1e-7)
			if !s.Fixed {
				assert.InDelta(t, 0, got.Holding[i], 1)
			}
		}
		assert.InDelta(t, 0, force, 1e-5)
		assert.InDelta(t, 0, moment, 10)
		// The curvature is the moment, away from loads.
		for range 20 {
			x, h := r.Float64()*g.Length, 0.5
			near := x < 1 || x > g.Length-1
			for _, s := range g.Supports {
				near = near || math.Abs(s.At-x) < 1
			}
			for _, p := range loads {
				near = near || math.Abs(p.At-x) < 1
			}
			for _, m := range moments {
				near = near || math.Abs(m.At-x) < 1
			}
			if near {
				continue
			}
			bend := (got.Deflection(x-h) - 2*got.Deflection(x) + got.Deflection(x+h)) / (h * h)
			assert.InDelta(t, got.Moment(x), -bend*2e11, 2e4+1e-3*math.Abs(got.Moment(x)))
			assert.LessOrEqual(t, got.Moment(x), got.Sagging+1e-3)
			assert.GreaterOrEqual(t, got.Moment(x), -got.Hogging-1e-3)
			assert.LessOrEqual(t, got.Deflection(x), got.Down+1e-6)
			assert.GreaterOrEqual(t, got.Deflection(x), -got.Up-1e-6)
		}
	}
}

func TestGirderRefusals(t *testing.T) {
	good := Girder{Length: 2000, Supports: []Support{{}, {At: 2000}}, Elasticity: 200000, Inertia: 1e6}
	nan := math.NaN()
	for name, spoil := range map[string]func(*Girder, *PointLoad, *PointMoment){
		"nan length":    func(g *Girder, _ *PointLoad, _ *PointMoment) { g.Length = nan },
		"no supports":   func(g *Girder, _ *PointLoad, _ *PointMoment) { g.Supports = nil },
		"falls":         func(g *Girder, _ *PointLoad, _ *PointMoment) { g.Supports = g.Supports[:1] },
		"close":         func(g *Girder, _ *PointLoad, _ *PointMoment) { g.Supports[1].At = 5 },
		"near the end":  func(g *Girder, _ *PointLoad, _ *PointMoment) { g.Supports[1].At = 1995 },
		"beyond":        func(g *Girder, _ *PointLoad, _ *PointMoment) { g.Supports[1].At = 2001 },
		"nan sinks":     func(g *Girder, _ *PointLoad, _ *PointMoment) { g.Supports[1].Sinks = nan },
		"inf spring":    func(g *Girder, _ *PointLoad, _ *PointMoment) { g.Supports[1].Spring = math.Inf(1) },
		"weak spring":   func(g *Girder, _ *PointLoad, _ *PointMoment) { g.Supports[1].Spring = 1e-9 },
		"load beyond":   func(_ *Girder, p *PointLoad, _ *PointMoment) { p.At = 2001 },
		"nan load":      func(_ *Girder, p *PointLoad, _ *PointMoment) { p.Force = nan },
		"moment before": func(_ *Girder, _ *PointLoad, m *PointMoment) { m.At = -1 },
		"inf moment":    func(_ *Girder, _ *PointLoad, m *PointMoment) { m.Moment = math.Inf(-1) },
	} {
		g, p, m := good, PointLoad{100, 100}, PointMoment{100, 100}
		g.Supports = append([]Support(nil), good.Supports...)
		spoil(&g, &p, &m)
		_, err := g.Under([]PointLoad{p}, []PointMoment{m})
		var refused *ArgumentError
		assert.ErrorAs(t, err, &refused, name)
	}
	r := girder(t, good, nil, nil)
	assert.True(t, math.IsNaN(r.Deflection(-1)) && math.IsNaN(r.Moment(2001)))
}
