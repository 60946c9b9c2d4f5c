package anchor

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/steel"
)

// bolts are M16 cast in 150 deep in C20/25 of 300.
func bolts(places []steel.Anchor) Group {
	return Group{Kind: Headed, Places: places, Diameter: 16, StressArea: 157, Depth: 150, Yield: 640, Ultimate: 800,
		HeadArea: 250, Strength: 20, Thickness: 300, Left: 400, Right: 400, Front: 400, Back: 400,
		LoadFactor: StrengthFactor}
}

func find(t *testing.T, list []Capacity, m Mode) Capacity {
	t.Helper()
	for _, c := range list {
		if c.Mode == m {
			return c
		}
	}
	t.Fatalf("no %q in %+v", m, list)
	return Capacity{}
}

// Every mode of one bolt at 120 from a front edge, by hand.
func TestOneAnchorByHand(t *testing.T) {
	g := bolts(Rectangle(0, 0))
	g.Front, g.Depth = 120, 310
	g.Thickness = 400
	r, err := g.Check(Load{Tension: []float64{10000}, ShearX: 3000, ShearY: -4000})
	require.NoError(t, err)
	root := math.Sqrt(20)
	near := func(m Mode, list []Capacity, want float64) Capacity {
		c := find(t, list, m)
		assert.InEpsilon(t, want, c.Nominal, 1e-9, string(m))
		return c
	}
	near(SteelTension, r.Tension, 157*800)
	// All four edges are nearer than 465, the farthest at 400: depth counts to 400/1.5.
	deep := 400 / 1.5
	cone := near(Cone, r.Tension, 800*520/(9*deep*deep)*(0.7+0.3*120/400)*10*root*math.Pow(deep, 1.5))
	assert.InEpsilon(t, cone.Nominal*0.70*0.6, cone.Allowable, 1e-9)
	assert.InEpsilon(t, 10000/cone.Allowable, cone.Use, 1e-9)
	near(PulledOut, r.Tension, 8*250*20)
	burst := near(SideBurst, r.Tension, 13*120*math.Sqrt(250)*root)
	assert.Equal(t, "front", burst.Edge)
	near(SteelShear, r.Shear, 0.6*157*800)
	near(PriedOut, r.Shear, 2*cone.Nominal)
	edge := near(EdgeBroken, r.Shear, 0.58*math.Pow(128/16, 0.2)*4*root*math.Pow(120, 1.5)*360*180/(4.5*120*120))
	assert.Equal(t, "front", edge.Edge)
	assert.InEpsilon(t, math.Hypot(4000, 1500), edge.Demand, 1e-9)
	n, v := worst(r.Tension).Use, worst(r.Shear).Use
	require.Greater(t, n, 0.2)
	require.Greater(t, v, 0.2)
	assert.InEpsilon(t, (n+v)/1.2, r.Use, 1e-9)
}

// Bond of a pair in the source's own least values, by hand.
func TestBondByHand(t *testing.T) {
	g := bolts(Rectangle(200, 0))
	g.Kind, g.Diameter, g.Sustained, g.Category = Bonded, 16, false, 2
	r, err := g.Check(Load{Tension: []float64{2000, 2000}})
	require.NoError(t, err)
	c := find(t, r.Tension, BondBroken)
	reach := 160 * math.Sqrt(650.0/1100)
	one := 200 * 0.006894757 * math.Pi * 16 * 150
	assert.InEpsilon(t, one*(2*reach+200)/(2*reach), c.Nominal, 1e-9)
	assert.InEpsilon(t, c.Nominal*0.55*0.6, c.Allowable, 1e-9)
	g.Sustained = true
	lasting, err := g.Check(Load{Tension: []float64{2000, 2000}})
	require.NoError(t, err)
	assert.InEpsilon(t, c.Nominal*0.4*0.55, find(t, lasting.Tension, BondBroken).Nominal, 1e-9)
	g.BondStress, g.BondUncracked, g.Sustained = 7, 12, false
	r, err = g.Check(Load{})
	require.NoError(t, err)
	reach = 160 * math.Sqrt(12/(1100*0.006894757))
	assert.InEpsilon(t, 7*math.Pi*16*150*(2*reach+200)/(2*reach), find(t, r.Tension, BondBroken).Nominal, 1e-9)
}

// A pair far apart is two single anchors; near together it is less than two and
// more than one.
func TestPairBetweenOneAndTwo(t *testing.T) {
	strength := func(spacing float64) float64 {
		g := bolts(Rectangle(spacing, 0))
		g.Left, g.Right, g.Front, g.Back = 2000, 2000, 2000, 2000
		r, err := g.Check(Load{})
		require.NoError(t, err)
		return find(t, r.Tension, Cone).Nominal
	}
	single := strength(0)
	assert.InEpsilon(t, 2*single, strength(450), 1e-12)
	assert.InEpsilon(t, 2*single, strength(900), 1e-12)
	assert.InEpsilon(t, 1.5*single, strength(225), 1e-12)
}

// The area of the cones by counting small squares.
func TestConeAreaByCounting(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	for range 20 {
		g := Group{Left: 300 + 200*r.Float64(), Right: 300 + 200*r.Float64(), Front: 300 + 200*r.Float64(),
			Back: 300 + 200*r.Float64()}
		for range 1 + r.IntN(6) {
			g.Places = append(g.Places, steel.Anchor{X: 500*r.Float64() - 250, Y: 500*r.Float64() - 250})
		}
		reach := 50 + 200*r.Float64()
		const step = 2.0
		count := 0.0
		for x := -g.Left + step/2; x < g.Right; x += step {
			for y := -g.Front + step/2; y < g.Back; y += step {
				for _, a := range g.Places {
					if math.Abs(a.X-x) < reach && math.Abs(a.Y-y) < reach {
						count += step * step
						break
					}
				}
			}
		}
		assert.InEpsilon(t, count, g.covered(g.Places, reach), 0.02)
	}
}

// What is nearer, thinner, shallower or asked of one more than of others is
// never stronger.
func TestNeverKinder(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 10))
	for range 300 {
		g := bolts(Rectangle(100+200*r.Float64(), 100+200*r.Float64()))
		g.Left, g.Right, g.Front, g.Back = 280+300*r.Float64(), 280+300*r.Float64(), 280+300*r.Float64(), 280+300*r.Float64()
		g.Kind = []Kind{Headed, Bonded}[r.IntN(2)]
		l := Load{Tension: []float64{r.Float64() * 1e4, r.Float64() * 1e4, r.Float64() * 1e4, 1 + r.Float64()*1e4},
			ShearX: 2e4*r.Float64() - 1e4, ShearY: 2e4*r.Float64() - 1e4, Twist: 2e6*r.Float64() - 1e6}
		was, err := g.Check(l)
		require.NoError(t, err)
		near := g
		near.Front *= 0.95
		at, err := near.Check(l)
		require.NoError(t, err)
		assert.GreaterOrEqual(t, at.Use, was.Use*(1-1e-9), "nearer an edge")
		weak := g
		weak.Strength = 17
		at, err = weak.Check(l)
		require.NoError(t, err)
		assert.GreaterOrEqual(t, at.Use, was.Use*(1-1e-9), "weaker concrete")
		for i := range l.Tension {
			l.Tension[i] *= 1.1
		}
		l.ShearX, l.ShearY, l.Twist = 1.1*l.ShearX, 1.1*l.ShearY, 1.1*l.Twist
		at, err = g.Check(l)
		require.NoError(t, err)
		assert.Greater(t, at.Use, was.Use, "greater load")
		for _, c := range append(at.Tension, at.Shear...) {
			assert.True(t, c.Nominal > 0 && c.Allowable < c.Nominal && !math.IsInf(c.Nominal, 1), "%+v", c)
		}
	}
}

// The shares of shear are those of the plate's own demand.
// Concrete that is less wide before and behind the anchors and as long beside them never
// holds more: the search for the best rectangle leaves it out.
func TestNarrowerConcreteHoldsLess(t *testing.T) {
	r := rand.New(rand.NewPCG(17, 18))
	judged := 0
	for range 20000 {
		g := bolts(Rectangle(100+200*r.Float64(), 100+200*r.Float64()*float64(r.IntN(2))))
		switch r.IntN(3) {
		case 1:
			g.Kind, g.Brittle = Bonded, true
		case 2:
			g.Kind, g.PullOut = Expanding, 1e4+1e5*r.Float64()
		}
		g.Depth, g.Thickness = 60+200*r.Float64(), 150+500*r.Float64()
		for _, edge := range []*float64{&g.Left, &g.Right, &g.Front, &g.Back} {
			*edge = 100 + 2000*r.Float64()*r.Float64()
			if r.IntN(8) == 0 {
				*edge = NoEdge
			}
		}
		load := Load{ShearX: 1e4 * r.NormFloat64(), ShearY: 1e4 * r.NormFloat64(), Twist: 1e6 * r.NormFloat64()}
		for range g.Places {
			load.Tension = append(load.Tension, 1e4*max(0, r.NormFloat64()))
		}
		wide, refused := g.Check(load)
		part := 0.2 + 0.8*r.Float64()
		narrow := g
		narrow.Front, narrow.Back = part*g.Front, part*g.Back
		less, alsoRefused := narrow.Check(load)
		if refused != nil {
			require.Error(t, alsoRefused, "%+v", g)
		} else if alsoRefused == nil {
			judged++
			require.GreaterOrEqual(t, less.Use, wide.Use*(1-1e-9), "%g of %+v under %+v", part, g, load)
		}
	}
	assert.Greater(t, judged, 1000)
}

func TestSharesAreThePlates(t *testing.T) {
	g := bolts([]steel.Anchor{{X: -100, Y: -80}, {X: 120, Y: -60}, {X: 30, Y: 90}})
	l := Load{ShearX: 4000, ShearY: -1500, Twist: 3e5}
	d, err := steel.BasePlate{Width: 400, Depth: 300, Anchors: g.Places, StressArea: 157, ModularRatio: 8,
		Compression: 1000, ShearX: l.ShearX, ShearY: l.ShearY, Twist: l.Twist}.Demand()
	require.NoError(t, err)
	for i, f := range g.shares(&l) {
		assert.InEpsilon(t, d.Shear[i], math.Hypot(f.X, f.Y), 1e-12)
	}
}

// Post-installed anchors in thin concrete count less deep than they are.
func TestThinConcrete(t *testing.T) {
	g := bolts(Rectangle(0, 0))
	g.Kind, g.Thickness = Bonded, 190
	r, err := g.Check(Load{})
	require.NoError(t, err)
	assert.InEpsilon(t, 190*2.0/3, r.Depth, 1e-12)
	g.Thickness = 181
	var refused *ArgumentError
	_, err = g.Check(Load{})
	require.ErrorAs(t, err, &refused)
	assert.Equal(t, "the concrete is too thin for anchors of this depth", refused.Detail)
}

func TestRefusals(t *testing.T) {
	expanding := bolts(Rectangle(0, 0))
	expanding.Kind = Expanding
	_, err := expanding.Check(Load{})
	var maker *MakerError
	require.ErrorAs(t, err, &maker)
	assert.Contains(t, err.Error(), "cannot be judged without their maker's number")
	expanding.PullOut = 12000
	r, err := expanding.Check(Load{Tension: []float64{1000}})
	require.NoError(t, err)
	assert.Equal(t, 12000.0, find(t, r.Tension, PulledOut).Nominal)
	half := bolts(Rectangle(0, 0))
	half.Kind, half.BondStress = Bonded, 6
	_, err = half.Check(Load{})
	assert.Error(t, err)
	half.BondStress, half.Strength = 0, 16
	_, err = half.Check(Load{})
	require.ErrorAs(t, err, &maker)

	nan, inf := math.NaN(), math.Inf(1)
	for name, spoil := range map[string]func(*Group, *Load){
		"no kind":         func(g *Group, _ *Load) { g.Kind = 0 },
		"no anchors":      func(g *Group, _ *Load) { g.Places = nil },
		"nan diameter":    func(g *Group, _ *Load) { g.Diameter = nan },
		"negative depth":  func(g *Group, _ *Load) { g.Depth = -1 },
		"deep":            func(g *Group, _ *Load) { g.Depth = 290 },
		"inf edge":        func(g *Group, _ *Load) { g.Back = inf },
		"nan edge":        func(g *Group, _ *Load) { g.Left = nan },
		"near edge":       func(g *Group, _ *Load) { g.Front = 90 },
		"nan place":       func(g *Group, _ *Load) { g.Places[0].X = nan },
		"near each other": func(g *Group, _ *Load) { g.Places[1] = g.Places[0] },
		"category":        func(g *Group, _ *Load) { g.Category = 4 },
		"no head":         func(g *Group, _ *Load) { g.HeadArea = 0 },
		"no factor":       func(g *Group, _ *Load) { g.LoadFactor = 0 },
		"weak":            func(g *Group, _ *Load) { g.Strength = 5 },
		"nan tension":     func(_ *Group, l *Load) { l.Tension = []float64{nan, 1} },
		"few tensions":    func(_ *Group, l *Load) { l.Tension = []float64{1} },
		"inf shear":       func(_ *Group, l *Load) { l.ShearX = inf },
		"nan twist":       func(_ *Group, l *Load) { l.Twist = nan },
	} {
		g, l := bolts(Rectangle(150, 0)), Load{}
		spoil(&g, &l)
		_, err := g.Check(l)
		var refused *ArgumentError
		assert.True(t, errors.As(err, &refused), "%s: %v", name, err)
	}
}

// Whatever is given, the answer is a refusal or finite figures above 0.
func TestNoNonsense(t *testing.T) {
	r := rand.New(rand.NewPCG(15, 16))
	some := func(values ...float64) float64 { return values[r.IntN(len(values))] * (0.5 + r.Float64()) }
	judged := 0
	for range 5000 {
		d := some(8, 12, 20)
		g := Group{Kind: Kind(r.IntN(6)), Diameter: d, StressArea: 0.6 * d * d, Depth: some(50, 100, 150),
			Yield: some(500), Ultimate: some(1000), Brittle: r.IntN(2) == 0, HeadArea: some(200, 800),
			HookLength: 3.5 * d, PullOut: []float64{0, 20000}[r.IntN(2)], Category: r.IntN(4),
			Sustained: r.IntN(2) == 0, Grouted: r.IntN(2) == 0, Strength: some(25, 50),
			Thickness: some(300, 3000), Left: some(500, NoEdge), Right: some(500, NoEdge), Front: some(500, NoEdge),
			Back: some(500, NoEdge), LoadFactor: some(2)}
		if r.IntN(2) == 0 {
			g.BondStress, g.BondUncracked = some(5), some(15)
		}
		for range 1 + r.IntN(4) {
			g.Places = append(g.Places, steel.Anchor{X: 600*r.Float64() - 300, Y: 600*r.Float64() - 300})
		}
		l := Load{ShearX: some(-1000, 0, 5000), ShearY: some(-1000, 0, 5000), Twist: some(0, 1e6)}
		if r.IntN(2) == 0 {
			for range g.Places {
				l.Tension = append(l.Tension, some(0, 0, 8000))
			}
		}
		res, err := g.Check(l)
		if err != nil {
			continue
		}
		judged++
		require.False(t, math.IsNaN(res.Use) || math.IsInf(res.Use, 0))
		for _, c := range append(res.Tension, res.Shear...) {
			require.True(t, c.Allowable > 0 && !math.IsInf(c.Allowable, 1) && c.Use >= 0 && c.Use <= res.Use, "%+v", c)
		}
	}
	assert.Greater(t, judged, 500)
}

// The nut of an M16 is 24 across flats: six triangles less the shaft. A thread is
// found by its area or the next below.
func TestNutAndThread(t *testing.T) {
	assert.InEpsilon(t, 6*(24/math.Sqrt(3))*12/2-64*math.Pi, NutArea(16), 1e-9)
	for area, want := range map[float64]float64{84.3: 12, 157: 16, 100: 12, 15: 0} {
		assert.Equal(t, want, Thread(area))
	}
}
