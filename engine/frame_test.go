package engine

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/enginetest"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// The section of an SHS 50x50x3: EN 10219-2 table B.2, W = 7.79 cm³ (memory), of
// an RHS 100x50x3 about its weak axis: table B.3, W_z = 14.4 cm³ (memory) and I_y = 106 cm⁴.
const (
	modulusSHS50 = 7.79e3
	modulusRHS   = 14.4e3
	inertiaRHS   = 106e4
)

// A leaf with a catch at both ends, by hand: each rail a beam with overhangs,
// M = w·(L² − 4a²)/8 between supports that stand a in from either end; the top
// rail of the open leaf w·(b² − a²)²/(8b²) with one overhang a before the span b.
func TestFrameCaught_hand(t *testing.T) {
	s := enginetest.SquareSite()
	s.Gate.LatchStop, s.Gate.OpenCatch = survey.Yes, survey.Yes
	made := design(t, s)
	u, g, leaf := made.Strength.Frame, made.Strength.Guide, &made.Leaf
	require.NotNil(t, u)
	p := practice.DefaultPractice()
	may := p.PostYield / p.SteelSafety
	long, high := leaf.Frame, leaf.Height
	top := func(force, rollers float64) float64 { // the catch stands at the far end
		a := math.Max(0, rollers)
		if a < 10 {
			a = 0
		}
		b := long - a
		w := force / long / 2
		return math.Max(w*math.Pow(b*b-a*a, 2)/(8*b*b), w*a*a/2)
	}
	shut := top(g.Force, long-(leaf.RollersAt-leaf.ShutAt))
	open := top(g.OpenForce, leaf.RollersAt-leaf.OpenAt)
	assert.InEpsilon(t, math.Max(shut, open)/modulusSHS50/may, u.TopUse, 5e-3)
	a := leaf.Panels[0].Wheels[0].At
	weight := leaf.Panels[0].Mass * 9.80665
	low := func(w float64) float64 { return w * (long*long - 4*a*long) / 8 }
	worst := math.Max(g.Force, g.OpenForce)
	assert.InEpsilon(t, low(worst/2/long)/modulusRHS/may+low(weight/long)/21.3e3/may, u.BottomUse, 1e-2)
	// Sag: 5·w·b⁴/384 less w·a²·b²/16 of the overhangs.
	b := long - 2*a
	w := weight / long
	assert.InEpsilon(t, (5*w*b*b*b*b/384-w*a*a*b*b/16)/(200000*inertiaRHS), u.Sag, 1e-2)
	// The stile of the catch: the rail's end force and its own wind over the catch.
	over := p.LeafAbove + high - p.HandHeight
	bay := long / float64(leaf.Bays)
	end := func(force, rollers float64) float64 {
		a := math.Max(0, rollers)
		b := long - a
		return force/2*(b/2-a/2)*(long)/(b*long)*over + force/long/high*bay/2*over*over/2
	}
	stile := math.Max(end(g.Force, long-(leaf.RollersAt-leaf.ShutAt)), end(g.OpenForce, leaf.RollersAt-leaf.OpenAt))
	inner := worst / long / high * bay * high * high / 8
	assert.InEpsilon(t, math.Max(stile, inner)/modulusSHS50/may, u.StileUse, 1e-2)
	for id, want := range map[string]float64{"leaf.topRail": u.TopUse, "leaf.bottomRail": u.BottomUse, "leaf.stile": u.StileUse,
		"leaf.sag": u.Sag} {
		f, ok := made.Figure(id)
		require.True(t, ok, id)
		assert.InDelta(t, want, f.Value, 1e-12, id)
	}
	assert.Equal(t, u.Use <= 1, checkOf(t, made, "leaf.frame").Severity == plan.Sound)
}

// Rollers alone at the top: by slices of the leaf, the torque about the wheels' line summed
// from the free end to the rollers, and shared as both tubes are stiff.
func TestFrameTwisted_slices(t *testing.T) {
	s := enginetest.SquareSite()
	s.Gate.LatchStop, s.Gate.OpenCatch = survey.Yes, survey.No
	made := design(t, s)
	u, g, leaf := made.Strength.Frame, made.Strength.Guide, &made.Leaf
	p := practice.DefaultPractice()
	const slices = 100
	torque, x := 0.0, leaf.RollersAt-leaf.OpenAt
	for i := range slices {
		for k := range slices {
			z := p.LeafAbove + leaf.Height*(float64(k)+0.5)/slices
			if (float64(i)+0.5)/slices*leaf.Frame > x {
				torque += g.OpenForce / slices / slices * z
			}
		}
	}
	// EN 10219-2, table B.2 and B.3: I_t and C_t, cm⁴ and cm³ (memory).
	const i1, w1, i2 = 32.1e4, 11.8e3, 88.6e4
	may := p.PostYield / p.SteelSafety
	assert.InEpsilon(t, math.Sqrt(3)*torque*i1/(i1+i2)/w1/may, u.TopUse, 1e-2)
	assert.True(t, u.Open && u.Loose)
	c := checkOf(t, made, "leaf.frame")
	assert.Equal(t, plan.Stop, c.Severity) // beyond its yield
	assert.NotEmpty(t, c.Remedies)
}

// More wind, thinner walls and wider bays never work the frame less.
func TestFrameGrowsWithWhatHurts(t *testing.T) {
	s := enginetest.SquareSite()
	for _, rule := range []struct {
		key  string
		vals []float64
	}{{practice.RuleWindShut, []float64{300, 600, 1200}}, {practice.RuleFrameWall, []float64{5, 4, 3, 2}},
		{practice.RuleLeafThickness, []float64{100, 75, 50}}} {
		was := 0.0
		for _, v := range rule.vals {
			p, err := practice.DefaultPractice().With(map[string]float64{rule.key: v})
			require.NoError(t, err)
			made, err := Design(s, p)
			require.NoError(t, err)
			assert.Greater(t, made.Strength.Frame.Use, was, rule.key)
			was = made.Strength.Frame.Use
		}
	}
}

// An aluminium leaf bears less, and a bottom rail of 40 sags: the one that is
// offered does not.
func TestFrameSags(t *testing.T) {
	s := enginetest.SquareSite()
	steel := design(t, s).Strength.Frame
	p, err := practice.DefaultPractice().With(map[string]float64{practice.RuleFrameBottomRail: 40})
	require.NoError(t, err)
	made, err := Design(s, p)
	require.NoError(t, err)
	c := checkOf(t, made, "leaf.sag")
	require.Len(t, c.Remedies, 1)
	p, err = p.With(map[string]float64{practice.RuleFrameBottomRail: c.Remedies[0].Changes[0].Value})
	require.NoError(t, err)
	made, err = Design(s, p)
	require.NoError(t, err)
	assert.LessOrEqual(t, made.Strength.Frame.Sag, made.Strength.Frame.SagMost)
	s.Gate.Metal = survey.MetalAluminium
	assert.Greater(t, design(t, s).Strength.Frame.TopUse, steel.TopUse)
}
