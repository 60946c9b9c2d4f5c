package engine

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/enginetest"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/soil"
	"pegpour/engine/survey"
)

// The push on the rollers by statics on paper: leaf 4100 × 1800 with an even
// pressure, rollers and a catch at the latch post.
func TestGuidePush_statics(t *testing.T) {
	s := enginetest.SquareSite()
	s.Gate.Guide, s.Gate.LatchStop, s.Gate.Infill = survey.GuideCastIn, survey.No, survey.InfillSheet
	p := practice.DefaultPractice()
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
	s.Gate.LatchStop = survey.Yes
	held, err := Design(s, p)
	require.NoError(t, err)
	assert.Less(t, held.Strength.Guide.Shut, g.Shut)
	assert.Positive(t, held.Strength.Guide.Latch)
}

// The hole asked for holds exactly the push, by the code's own capacity.
func TestEmbedmentHoldsThePush(t *testing.T) {
	p := practice.DefaultPractice()
	for _, class := range []string{survey.ClassUnknown, "clay", "sand", "gravel", "soft-rock"} {
		s := enginetest.SquareSite()
		s.Gate.Guide, s.Ground.Class = survey.GuideCastIn, class
		plan, err := Design(s, p)
		require.NoError(t, err)
		g := plan.Strength.Guide
		pole := soil.EmbeddedPost{Force: g.Push, Height: g.Height, Width: soil.SquareWidth(p.GuideHoleSize),
			Lateral: plan.Strength.Soil.Lateral, Factor: p.IsolatedPole}
		holds, err := pole.NonconstrainedCapacity(g.Embedment)
		require.NoError(t, err)
		assert.InEpsilon(t, g.Push, holds, 1e-6, class)
		if class == survey.ClassUnknown {
			assert.False(t, plan.Strength.Soil.Known)
			assert.Equal(t, "clay", plan.Strength.Soil.Key)
		}
	}
}

// Every figure of the first pass says that it is one.
func TestFirstPassIsSaid(t *testing.T) {
	s := enginetest.SquareSite()
	s.Drive.Surface, s.Gate.Guide = survey.SurfaceEarth, survey.GuideBasePlate
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
	s := enginetest.SquareSite()
	s.Gate.Guide, s.Ground.Class = survey.GuideCastIn, "fill"
	plan := design(t, s)
	assert.Zero(t, plan.Strength.Guide.Embedment)
	require.NotEmpty(t, plan.Strength.Refused)
	assert.Equal(t, survey.GroundClass, plan.Strength.Refused[0].Field)
	c := checkOf(t, plan, "strength.refused")
	assert.Contains(t, c.What.String(), "soils investigation")
}

// The pad's and strip's weight, once more by hand: strip 4400 × 200 and the
// pad's own 400 × 200 beside it, 100 deep, 24 kN/m³.
func TestPadTips_hand_calculation(t *testing.T) {
	made := design(t, enginetest.SquareSite())
	strip, _ := made.Part(plan.PartRunBackStrip, 1)
	pad, _ := made.Part(plan.PartPad, 1)
	holds, err := padTips(strip, pad)
	require.NoError(t, err)
	stripWeighs, padWeighs := 4400.0*200*100*24e-6, 400.0*200*100*24e-6
	moment := stripWeighs*100 + padWeighs*300
	assert.InEpsilon(t, math.Min(moment, (stripWeighs+padWeighs)*400-moment), holds, 1e-9)
}

func TestStrengthIsFinite(t *testing.T) {
	eachRandomSite(t, 150, func(t *testing.T, _ survey.Survey, plan plan.Plan, _ inputs) {
		_, err := json.Marshal(plan.Strength)
		assert.NoError(t, err)
	})
}

// A wheel whose foot is too large for a slab as thin leaves a wide strip
// unjudged: nothing reads as sound, and the check says what was not looked at.
func TestStripWhoseSlabIsRefused(t *testing.T) {
	s := enginetest.SquareSite()
	s.Drive.Surface = survey.SurfaceGravel
	over := map[string]float64{practice.RuleDriveStripWidth: 1200, practice.RuleDriveStripDepth: 75,
		practice.RuleStrengthTyre: 100e3, practice.RuleStrengthWheel: 20000, practice.RuleMeshCover: 20,
		practice.RuleStrengthConcrete: 40}
	p, err := practice.DefaultPractice().With(over)
	require.NoError(t, err)
	made, err := Design(s, p)
	require.NoError(t, err)
	assert.Nil(t, made.Strength.Strip)
	require.NotEmpty(t, made.Strength.Refused)
	c := checkOf(t, made, "strength.refused")
	assert.Equal(t, plan.Warning, c.Severity)
	assert.Contains(t, c.What.String(), "The drive strip under a wheel was not looked at: contact radius")
	for i := range made.Checks {
		assert.NotEqual(t, "strength.strip", made.Checks[i].Code)
	}
	for i := range made.Figures {
		assert.NotContains(t, made.Figures[i].ID, "strength.strip")
	}
}

// Ground of a class that no table knows is said to be so, and what stands on it
// is not looked at either.
func TestGroundOfNoClass(t *testing.T) {
	ground, refused := soilTaken(&inputs{soilClass: "cheese"})
	assert.False(t, ground.Presumed)
	require.Len(t, refused, 1)
	assert.Equal(t, survey.GroundClass, refused[0].Field)
	p := practice.DefaultPractice()
	strip, refused := stripUnderWheel(crossing{practice: &p, ground: &ground, wheel: 10000, tyre: 3e5, length: 4000,
		width: 300, depth: 150, cover: 50})
	assert.Nil(t, strip)
	assert.Len(t, refused, 1)
}

// A post so tall that its sway is beyond the formula has no sway of nothing, and
// one that no floor's formula takes has no depth of nothing.
func TestPostWhoseSwayIsRefused(t *testing.T) {
	p := practice.DefaultPractice()
	post, refused := guidePost(&p, 100, 21000)
	require.Len(t, refused, 1)
	assert.EqualValues(t, "How far the guide post gives way", refused[0].What)
	assert.Positive(t, post.Use)
	how := postHow(&p, &plan.GuideStrength{PostBending: post})
	assert.NotContains(t, how.String(), "gives")
	hole, refused := postInHole(&p, &plan.SoilTaken{Presumed: true, Lateral: 1e-6}, 100, 0.5, 0, 500)
	require.Len(t, refused, 1)
	assert.EqualValues(t, "The guide post's hole under a floor", refused[0].What)
	assert.Positive(t, hole.Embedment)
	assert.NotContains(t, holdHow(&plan.Strength{}, &plan.GuideStrength{PostInHole: hole}).String(), "floor")
}

// The engine holds what the ground bears in MPa, documents in Pa.
func TestBearingInDocuments(t *testing.T) {
	s := enginetest.SquareSite()
	s.Drive.Surface, s.Ground.Class = survey.SurfaceGravel, "clay"
	plan := design(t, s)
	assert.InEpsilon(t, 1500*47.880259e-6, plan.Strength.Soil.Bearing, 1e-6)
	text, err := json.Marshal(plan.Strength)
	require.NoError(t, err)
	var document struct {
		Soil, Strip struct{ Bearing float64 }
	}
	require.NoError(t, json.Unmarshal(text, &document))
	assert.InEpsilon(t, 1500*47.880259, document.Soil.Bearing, 1e-6)
	assert.InEpsilon(t, plan.Strength.Strip.Bearing*1e6, document.Strip.Bearing, 1e-12)
	assert.InEpsilon(t, document.Strip.Bearing/document.Soil.Bearing, plan.Strength.Strip.BearingUse, 1e-12)
}
