package engine

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/slab"
	"pegpour/engine/soil"
	"pegpour/engine/steel"
)

// Two ways to the same tension: the closed form of two rows, and the general
// plate that finds its neutral line for any anchors.
func TestAnchorDemand(t *testing.T) {
	p := DefaultPractice()
	modulus, err := slab.ModulusACI(p.ConcreteStrength)
	require.NoError(t, err)
	for _, c := range []struct{ length, width, inset, moment float64 }{
		{200, 200, 30, 2e6}, {260, 180, 30, 45e3}, {300, 150, 60, 5e6}, {200, 200, 80, 1e6}, {150, 400, 20, 3e6},
	} {
		p.AnchorInset = c.inset
		got, err := anchorDemand(&p, c.length, c.width, 4, c.moment, 1000)
		require.NoError(t, err)
		x, y := c.length/2-c.inset, c.width/2-20
		other, err := steel.BasePlate{Width: c.length, Depth: c.width, StressArea: p.AnchorArea, ModularRatio: steel.Elasticity / modulus, MomentX: c.moment, ShearX: 1000,
			Anchors: []steel.Anchor{{X: -x, Y: -y}, {X: -x, Y: y}, {X: x, Y: -y}, {X: x, Y: y}}}.Demand()
		require.NoError(t, err)
		assert.InEpsilon(t, other.WorstTension, got.Tension, 2e-3, "%+v", c)
		assert.InEpsilon(t, other.WorstShear, got.Shear, 1e-9)
	}
}

// The push on the rollers by statics on paper: leaf 4100 × 1800 with an even
// pressure, rollers and a catch at the latch post.
func TestGuidePush_statics(t *testing.T) {
	s := squareSite()
	s.Gate.Guide, s.Gate.LatchStop, s.Gate.Infill = GuideCastIn, No, InfillSheet
	p := DefaultPractice()
	plan, err := Design(s, p)
	require.NoError(t, err)
	g := plan.Strength.Guide
	require.NotNil(t, g)
	// Without a catch the rollers alone hold the top: F·h/z, with the middle of
	// the wind half way up the clad height.
	middle := p.LeafAbove + plan.Leaf.Height/2
	assert.InEpsilon(t, g.Force*middle/(p.LeafAbove+plan.Leaf.Height), g.Shut, 1e-9)
	assert.InEpsilon(t, g.Shut*p.WindMoving/p.WindShut, g.Moving, 1e-9)
	assert.InEpsilon(t, g.Push*g.Height, g.Moment, 1e-12)
	assert.Zero(t, g.Latch)
	// A catch takes its part.
	s.Gate.LatchStop = Yes
	held, err := Design(s, p)
	require.NoError(t, err)
	assert.Less(t, held.Strength.Guide.Shut, g.Shut)
	assert.Positive(t, held.Strength.Guide.Latch)
}

// The hole asked for holds exactly the push, by the code's own capacity.
func TestEmbedmentHoldsThePush(t *testing.T) {
	p := DefaultPractice()
	for _, class := range []string{ClassUnknown, "clay", "sand", "gravel", "soft-rock"} {
		s := squareSite()
		s.Gate.Guide, s.Ground.Class = GuideCastIn, class
		plan, err := Design(s, p)
		require.NoError(t, err)
		g := plan.Strength.Guide
		pole := soil.EmbeddedPost{Force: g.Push, Height: g.Height, Width: soil.SquareWidth(p.GuideHoleSize), Lateral: plan.Strength.Soil.Lateral, Factor: p.IsolatedPole}
		holds, err := pole.NonconstrainedCapacity(g.Embedment)
		require.NoError(t, err)
		assert.InEpsilon(t, g.Push, holds, 1e-6, class)
		if class == ClassUnknown {
			assert.False(t, plan.Strength.Soil.Known)
			assert.Equal(t, "clay", plan.Strength.Soil.Key)
		}
	}
}

// Where strength asks for more than the trade's size, the remedy that the check
// proposes passes; where it asks for less the trade's size stands.
func TestStrengthAsksForMore(t *testing.T) {
	s := squareSite()
	s.Drive.Surface, s.Gate.Guide, s.Ground.Class = SurfaceGravel, GuideCastIn, "clay"
	for _, wheel := range []float64{5000, 10000, 20000, 40000} {
		p, err := DefaultPractice().With(map[string]float64{"strength.wheel": wheel})
		require.NoError(t, err)
		plan, err := Design(s, p)
		require.NoError(t, err)
		assert.Equal(t, 150.0, value(t, plan, "drive.stripDepth"), "strength never changes what is built by itself")
		c := checkOf(t, plan, "strength.strip")
		if wheel <= 10000 {
			assert.Equal(t, Sound, c.Severity)
			assert.GreaterOrEqual(t, c.Margin, 0.0)
			continue
		}
		assert.Equal(t, Warning, c.Severity)
		assert.Negative(t, c.Margin)
		require.NotEmpty(t, c.Remedies)
		_, clears := Try(s, p, c, c.Remedies[0])
		assert.True(t, clears, "%v", wheel)
		if len(c.Remedies[0].Changes) > 1 {
			continue // wider as well
		}
		// One step of ten less does not do.
		less := c.Remedies[0]
		less.Changes = []Change{{Path: "practice.drive.stripDepth", Value: less.Changes[0].Value - 10}}
		_, clears = Try(s, p, c, less)
		assert.False(t, clears)
	}
	plan := design(t, s)
	c := checkOf(t, plan, "strength.embedment")
	assert.Equal(t, Warning, c.Severity)
	_, clears := Try(s, DefaultPractice(), c, c.Remedies[0])
	assert.True(t, clears)
}

// Every figure of the first pass says that it is one.
func TestFirstPassIsSaid(t *testing.T) {
	s := squareSite()
	s.Drive.Surface, s.Gate.Guide = SurfaceEarth, GuideBasePlate
	plan := design(t, s)
	n := 0
	for _, f := range plan.Figures {
		if f.FirstPass {
			n++
			assert.NotEmpty(t, f.Source)
			assert.False(t, math.IsNaN(f.Value) || math.IsInf(f.Value, 0))
		}
	}
	assert.GreaterOrEqual(t, n, 9)
	tips := checkOf(t, plan, "strength.pad")
	assert.True(t, tips.HasMargin)
}

// Ground whose strength may not be presumed is said to be so.
func TestSoilThatMayNotBePresumed(t *testing.T) {
	s := squareSite()
	s.Gate.Guide, s.Ground.Class = GuideCastIn, "fill"
	plan := design(t, s)
	assert.Zero(t, plan.Strength.Guide.Embedment)
	require.NotEmpty(t, plan.Strength.Refused)
	assert.Equal(t, "ground.class", plan.Strength.Refused[0].Field)
	c := checkOf(t, plan, "strength.refused")
	assert.Contains(t, c.What.String(), "soils investigation")
}

// The pad's and strip's weight, once more by hand: strip 4400 × 200 and the
// pad's own 400 × 200 beside it, 100 deep, 24 kN/m³.
func TestPadTips_hand_calculation(t *testing.T) {
	plan := design(t, squareSite())
	strip, pad := 4400.0*200*100*24e-6, 400.0*200*100*24e-6
	moment := strip*100 + pad*300
	assert.InEpsilon(t, math.Min(moment, (strip+pad)*400-moment), padTips(&plan), 1e-9)
}

func TestStrengthIsFinite(t *testing.T) {
	eachRandomSite(t, 150, func(t *testing.T, _ Survey, plan Plan, _ inputs) {
		_, err := json.Marshal(plan.Strength)
		assert.NoError(t, err)
	})
}
