package engine

import (
	"encoding/json"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/enginetest"
	"pegpour/engine/ground"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/soil"
	"pegpour/engine/stages"
	"pegpour/engine/steel"
	"pegpour/engine/survey"
)

// The push on the rollers by statics on paper: leaf 4100 × 1800 with an even
// pressure, rollers and a catch at the latch post.
func TestGuidePush_statics(t *testing.T) {
	s := enginetest.SquareSite()
	s.Gate.Guide, s.Gate.LatchStop, s.Gate.Infill = survey.GuideCastIn, survey.No, survey.InfillSheet
	p := practice.DefaultPractice()
	p.WindShut = 450
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
	// A catch takes its part of the shut leaf and none of the open one, which the
	// rollers hold alone; the wheels then hold the other end of its foot.
	s.Gate.LatchStop = survey.Yes
	held, err := Design(s, p)
	require.NoError(t, err)
	latched := held.Strength.Guide
	assert.Less(t, latched.Shut, g.Shut)
	assert.Positive(t, latched.Latch)
	assert.InEpsilon(t, g.Force*middle/(p.LeafAbove+plan.Leaf.Height), latched.Open, 1e-9)
	assert.Equal(t, math.Abs(latched.Open)+math.Abs(held.Leaf.Panels[0].RollerPush), latched.Push)
	// Moments about the front wheel: F half way, the rollers at the front end.
	front, rear := p.WheelInset, plan.Leaf.Frame-p.WheelInset
	at := held.Leaf.RollersAt - held.Leaf.OpenAt
	wheel := (g.Force*(plan.Leaf.Frame/2-front) - latched.Open*(at-front)) / (rear - front)
	assert.InEpsilon(t, wheel, latched.Wheel, 1e-9)
	// A catch at the rear takes half of it.
	s.Gate.OpenCatch = survey.Yes
	caught, err := Design(s, p)
	require.NoError(t, err)
	assert.Less(t, caught.Strength.Guide.Open, 0.6*latched.Open)
	assert.Positive(t, caught.Strength.Guide.OpenCatch)
	assert.Less(t, caught.Strength.Guide.Wheel, latched.Wheel)
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
	holds, err := stages.PadTips(slices.Collect(made.Parts(plan.PartRunBackStrip)), slices.Collect(made.Parts(plan.PartPad)))
	require.NoError(t, err)
	stripWeighs, padWeighs := 4400.0*200*100*24e-6, 400.0*200*100*24e-6
	moment := stripWeighs*100 + padWeighs*300
	assert.InEpsilon(t, math.Min(moment, (stripWeighs+padWeighs)*400-moment), holds, 1e-9)
}

func TestStrengthIsFinite(t *testing.T) {
	eachRandomSite(t, 150, func(t *testing.T, _ survey.Survey, plan plan.Plan, _ stages.Inputs) {
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
	bearing := ground.FindBearing(survey.SoilFirm, true, "cheese", 0)
	ground, refused := stages.SoilTaken(&bearing)
	assert.False(t, ground.Presumed)
	require.Len(t, refused, 1)
	assert.Equal(t, survey.GroundClass, refused[0].Field)
	p := practice.DefaultPractice()
	strip, refused := stages.StripUnderWheel(stages.Crossing{Practice: &p, Ground: &ground, Wheel: 10000, Tyre: 3e5, Length: 4000,
		Width: 300, Depth: 150, Cover: 50})
	assert.Nil(t, strip)
	assert.Len(t, refused, 1)
}

// A post so tall that its sway is beyond the formula has no sway of nothing, and
// one that no floor's formula takes has no depth of nothing.
func TestPostWhoseSwayIsRefused(t *testing.T) {
	p := practice.DefaultPractice()
	post, refused := stages.GuidePost(&p, 100, 21000)
	require.Len(t, refused, 1)
	assert.EqualValues(t, "How far the guide post gives way", refused[0].What)
	assert.Positive(t, post.Use)
	how := postHow(&p, &plan.GuideStrength{PostBending: post})
	assert.NotContains(t, how.String(), "gives")
	hole, refused := stages.PostInHole(&p, &ground.Bearing{Firm: soil.Class{Presumed: true, Lateral: 1e-6}}, nil, 100, 0.5)
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

// A post of 100 × 100 × 3: its modulus by hand, two flanges and two webs without
// their corners, holds at least what the section of the standard does less a tenth.
func TestGatePostsUnderRollersAndCatch_statics(t *testing.T) {
	s, p := enginetest.SquareSite(), practice.DefaultPractice()
	s.Gate.Guide, s.Gate.LatchStop, s.Opening.PostMade = survey.GuideOnPost, survey.Yes, survey.PostSteel
	p.WindShut = 450
	made, err := Design(s, p)
	require.NoError(t, err)
	g, post := made.Strength.Guide, made.Strength.RunBackPost
	require.NotNil(t, post)
	assert.InEpsilon(t, g.Push*(p.LeafAbove+made.Leaf.Height), post.Moment, 1e-12)
	depth, along, wall := 100.0, 100.0, 3.0
	inertia := (along*depth*depth*depth - (along-2*wall)*math.Pow(depth-2*wall, 3)) / 12
	assert.InEpsilon(t, post.Moment/(inertia/(depth/2)*250/1.67), post.Use, 0.1)
	latch := made.Strength.LatchPost
	require.NotNil(t, latch)
	assert.InEpsilon(t, math.Abs(g.Latch)*math.Min(p.HandHeight, g.Height), latch.Moment, 1e-12)

	s.Opening.PostMade = survey.PostTimber
	timber, err := Design(s, p)
	require.NoError(t, err)
	assert.InEpsilon(t, post.Moment/(5.7*100*100*100/6), timber.Strength.RunBackPost.Use, 1e-12)
	assert.Equal(t, plan.Stop, checkOf(t, timber, "strength.runBackPost").Severity)
	// What nobody looked at, or nobody can see, is judged by nobody.
	for _, unseen := range []string{survey.PostUnknown, survey.PostMasonry} {
		s.Opening.PostMade = unseen
		made, err := Design(s, p)
		require.NoError(t, err)
		assert.Zero(t, made.Strength.RunBackPost.Use)
		for i := range made.Checks {
			assert.NotEqual(t, "strength.runBackPost", made.Checks[i].Code)
		}
		said := 0
		for _, r := range made.Strength.Refused {
			if r.Field == survey.OpeningPostMade {
				said++
			}
		}
		assert.Equal(t, 2, said)
	}
}

// One resolver of the ground: what may not be presumed is sound for nothing that
// stands in it, and nobody's clay stands in for it.
func TestGroundIsFoundOnce(t *testing.T) {
	s := enginetest.FallingSite()
	s.Ground.Soil, s.Ground.Class = survey.SoilFirm, "fill"
	made := design(t, s)
	for i := range made.Footing.Posts {
		assert.False(t, made.Footing.Posts[i].Held)
		assert.Zero(t, made.Footing.Posts[i].BearingUse)
	}
	assert.Equal(t, plan.Stop, checkOf(t, made, "footing.unjudged").Severity)
	for i := range made.Checks {
		assert.NotContains(t, []string{"footing.hole", "footing.bearing"}, made.Checks[i].Code)
	}
	for _, q := range made.Quiet {
		assert.NotContains(t, []plan.Question{"footing.hole", "footing.bearing"}, q.Question)
	}
	for _, c := range []struct {
		name, spade, class string
		seen               bool
		firm, retained     string
		soft               float64
	}{
		{"nobody looked", survey.SoilFirm, "", false, "clay", "fill", 0},
		{"firm", survey.SoilFirm, "", true, "clay", "clay", 0},
		{"firm sand", survey.SoilFirm, "sand", true, "sand", "sand", 0},
		{"soft over sand", survey.SoilSoft, "sand", true, "sand", "soft", 800},
		{"wet over what nobody named", survey.SoilWet, "", true, "clay", "soft", 800},
		{"rock", survey.SoilRock, "", true, "soft-rock", "soft-rock", 0},
		{"fill", survey.SoilFirm, "fill", true, "fill", "fill", 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := ground.FindBearing(c.spade, c.seen, c.class, 800)
			assert.Equal(t, c.firm, b.Firm.Key)
			assert.Equal(t, c.retained, b.Retained.Key)
			assert.Equal(t, c.soft, b.DepthToFirm)
		})
	}
}

// A hole of 700 where firm ground begins at 300 stands 400 in it, and what stands
// in soft ground is lever: d² = 2.34·P·(d + 1.09·h)/(S1·b).
func TestGuidePostInSoftGround(t *testing.T) {
	s := enginetest.SquareSite()
	s.Gate.Guide, s.Ground.Soil, s.Ground.Class = survey.GuideCastIn, survey.SoilSoft, "clay"
	s.Ground.DepthToFirm = survey.Measured(300, survey.ByTape)
	p, err := practice.DefaultPractice().With(map[string]float64{practice.RuleGuideHoleBy: 0,
		practice.RuleGuideHoleDepth: 400})
	require.NoError(t, err)
	made, err := Design(s, p)
	require.NoError(t, err)
	hole, _ := made.Part(plan.PartPostHole, 1)
	assert.Equal(t, 700.0, hole.Depth)
	g := made.Strength.Guide
	assert.Equal(t, 400.0, g.In)
	assert.True(t, g.ByTrade)
	s1 := 2 * 100 * 47.880259e-6 / 304.8 * g.Embedment / 3
	holds := s1 * 300 * math.Sqrt2 * g.Embedment * g.Embedment / (2.34 * (g.Embedment + 1.09*(g.Height+300)))
	assert.InEpsilon(t, g.Push, holds, 1e-6)
	assert.Equal(t, plan.Warning, checkOf(t, made, "strength.embedment").Severity)
	// By strength it is drawn, dug and poured as deep as the wind asks.
	deep, err := Design(s, practice.DefaultPractice())
	require.NoError(t, err)
	hole, _ = deep.Part(plan.PartPostHole, 1)
	assert.GreaterOrEqual(t, hole.Depth, 300+g.Embedment)
	assert.Less(t, hole.Depth, 300+g.Embedment+50)
	assert.Equal(t, hole.Depth, value(t, deep, "guide.holeDepth"))
}

// What the rollers move: the post as a cantilever, and its lean in the ground,
// which two thousand slices of it hold in balance.
func TestRollersMoveInPostAndGround(t *testing.T) {
	s := enginetest.SquareSite()
	s.Gate.Guide, s.Gate.Infill, s.Ground.Soil, s.Ground.Class = survey.GuideCastIn, survey.InfillUprights,
		survey.SoilSoft, "clay"
	s.Ground.DepthToFirm = survey.Measured(200, survey.ByTape)
	p := practice.DefaultPractice()
	made, err := Design(s, p)
	require.NoError(t, err)
	g := made.Strength.Guide
	tube, err := steel.Hollow(p.GuidePostSize, p.GuidePostSize, p.PostWall)
	require.NoError(t, err)
	assert.InEpsilon(t, g.Push*math.Pow(g.Height, 3)/(3*steel.Elasticity*tube.InertiaVertical), g.Sway, 1e-9)
	k := 75 * 0.45359237 * 9.80665 / math.Pow(25.4, 3) * 304.8 / 1.5 // 75 lb/in³, N for each mm and mm
	lever := g.Height + 200
	// Trial of the two unknowns by their two sums over slices.
	var whole, first, second float64
	for i := range 2000 {
		z, dz := (float64(i)+0.5)*g.In/2000, g.In/2000
		whole, first, second = whole+k*dz, first+k*z*dz, second+k*z*z*dz
	}
	lean := g.Push * (whole*lever + first) / (whole*second - first*first)
	ground := (g.Push + first*lean) / whole
	assert.InEpsilon(t, ground+lean*lever, g.Gives, 1e-4)
	c := checkOf(t, made, "strength.movement")
	assert.InDelta(t, g.Height/50-g.Sway-g.Gives, c.Margin, 1e-9)
	assert.InDelta(t, g.Sway+g.Gives, value(t, made, "strength.movement"), 1e-9)
}

// Every load case of every demo-like site is there with its factor and source, and
// the forces that hold a standing leaf balance the wind about its foot.
func TestLoadCasesBalance(t *testing.T) {
	for _, catch := range []string{survey.No, survey.Yes} {
		s, p := enginetest.SquareSite(), practice.DefaultPractice()
		s.Gate.LatchStop, s.Gate.OpenCatch = catch, catch
		made, err := Design(s, p)
		require.NoError(t, err)
		ids := map[string]plan.LoadCase{}
		for _, c := range made.Strength.Cases {
			ids[c.ID] = c
			assert.Equal(t, 1.0, c.Factor, c.ID)
			assert.NotEmpty(t, c.Source, c.ID)
			assert.NotEmpty(t, c.What.Format, c.ID)
		}
		for _, id := range []string{"shut", "open", "leaning", "moving", "released", "stalled"} {
			assert.Contains(t, ids, id)
		}
		g := made.Strength.Guide
		high := p.LeafAbove + made.Leaf.Height
		middle := p.LeafAbove + made.Leaf.Height/2
		hand := math.Min(p.HandHeight, high)
		assert.InEpsilon(t, g.Force*middle, g.Shut*high+g.Latch*hand, 1e-9)
		assert.InEpsilon(t, g.OpenForce*middle, g.Open*high+g.OpenCatch*hand, 1e-9)
		assert.InEpsilon(t, p.FootPush*hand, g.Lean*high, 1e-9)
	}
}

// Where no depth holds the push, nothing is said of how far the post moves in it,
// and the hole is not called sound.
func TestGuidePostThatNoDepthHolds(t *testing.T) {
	s := enginetest.SquareSite()
	s.Gate.Guide, s.Gate.Infill, s.Ground.Soil, s.Ground.Class = survey.GuideCastIn, survey.InfillSheet,
		survey.SoilFirm, "clay"
	p, err := practice.DefaultPractice().With(map[string]float64{practice.RuleWindShut: 5000,
		practice.RuleGuideHoleSize: 150, practice.RuleSoilIsolatedPole: 1})
	require.NoError(t, err)
	s.Gate.Height = survey.Measured(3000, survey.ByTape)
	s.Ground.DepthToFirm = survey.Value{}
	p.SoilBears = 0.3
	made, err := Design(s, p)
	require.NoError(t, err)
	g := made.Strength.Guide
	require.NotNil(t, g)
	assert.Zero(t, g.Embedment)
	assert.Zero(t, g.Gives)
	for i := range made.Checks {
		assert.NotContains(t, []string{"strength.movement", "strength.embedment"}, made.Checks[i].Code)
	}
	assert.Equal(t, plan.Warning, checkOf(t, made, "strength.refused").Severity)
}
