package ground_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/advice"
	"pegpour/engine/enginetest"
	"pegpour/engine/enginetest/designs"
	"pegpour/engine/ground"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/soil"
	"pegpour/engine/survey"
)

// A bank with one step and no slope is a box: its cut, its wall and their
// figures by hand.
func TestRising_hand_calculation(t *testing.T) {
	s := enginetest.RisingSite(600, 0)
	s.Ground.Cavity.Wall = survey.WallOfPosts
	p, err := practice.DefaultPractice().With(map[string]float64{practice.RuleCutBatter: 0})
	require.NoError(t, err)
	made, err := engine.Design(s, p)
	require.NoError(t, err)
	r := made.Ground.Rising
	require.NotNil(t, r)
	// Width: motor's back 350 and 150 for a hand.
	assert.InDelta(t, 500, r.Width, 1e-9)
	assert.InDelta(t, 8450, r.End, 1e-9)
	assert.InDelta(t, 600, r.Highest, 0.01)
	assert.InDelta(t, 700, r.Tallest, 0.01)
	// Side 4000 to 8450 and half the wall, end 500 and half of it.
	assert.InDelta(t, 4500+550, r.WallLength, 1e-6)
	// From the edge to 4010 the ground climbs from 0 to 600, then the box, over
	// the slot and the wall's 100 all round.
	want := (10*300 + 4540*600) * 600.0
	assert.InEpsilon(t, want, r.Core, 1e-3)
	assert.InEpsilon(t, want, r.SurfaceCore, 1e-6)
	// Dig: the cut, the post holes, and the footing's own below the grade, once.
	flat := enginetest.SquareSite()
	flat.Gate.Guide = survey.GuideCastIn
	level, err := engine.Design(flat, p)
	require.NoError(t, err)
	assert.InEpsilon(t, level.Quantities.DigBank+made.Ground.Cut, made.Quantities.DigBank, 1e-9)
	assert.InEpsilon(t, made.Quantities.DigBank*1.25, made.Quantities.DigLoose, 1e-9)

	t.Run("batter", func(t *testing.T) {
		made := designs.Of(t, s)
		q := made.Ground.Rising
		// Behind the side a wedge 600 high leaning 150 back, 4540 long; at the
		// end another over 600; a quarter of a cone in the corner.
		wedge := 0.25 * 600 * 600 / 2
		assert.InEpsilon(t, wedge*4540, q.Prismoidal-q.Core, 0.01)
		assert.InEpsilon(t, wedge*600+math.Pi/12*0.25*0.25*600*600*600, q.EndBatter, 1e-3)
	})
}

// A wedge that grows along the fence: the prismoidal rule is exact for it.
func TestRisingWedge_hand_calculation(t *testing.T) {
	s := enginetest.RisingSite(0, 0.1)
	s.Ground.Cavity.Wall = survey.WallOfPosts
	p, err := practice.DefaultPractice().With(map[string]float64{practice.RuleCutBatter: 0})
	require.NoError(t, err)
	made, err := engine.Design(s, p)
	require.NoError(t, err)
	r := made.Ground.Rising
	long := 8550 - 4010.0
	assert.InEpsilon(t, 0.1*long*long/2*600, r.SurfaceCore, 1e-9)
	// A stretch is halved until its sections agree within 0.3 litres; the
	// ground has one kink.
	assert.InDelta(t, r.SurfaceCore, r.Core, 0.3e6)
	// The wall follows the ground: height = ground + 100 − strip.
	for _, w := range r.Wall {
		if w.Chainage > 4010 {
			assert.InDelta(t, 0.1*(w.Chainage-4010)+100, w.Height, 0.01)
		}
	}
}

// Over random broken ground the two ways of working out the cut agree, and a
// deeper bank is never less to dig, nor a longer wall lower.
func TestCutTwoWaysAndMonotone(t *testing.T) {
	for seed := range uint64(40) {
		r := rand.New(rand.NewPCG(seed, 11))
		s := enginetest.RisingSite(50+200*r.Float64(), 0.02+0.05*r.Float64())
		if r.IntN(2) == 0 {
			s.Drive.RunBackEdge.Given, s.Drive.RunBackEdge.Angle = survey.EdgeAngle,
				survey.Measured(1.2+0.7*r.Float64(), survey.ByTape)
			s.Drive.RunBackEdge.Along = survey.Measured(-50, survey.ByTape)
		}
		for range r.IntN(8) {
			s.Ground.Levels.Drops = append(s.Ground.Levels.Drops,
				enginetest.DropAt("x", 5000+6000*r.Float64(), 300+2500*r.Float64(), 400+400*r.Float64()))
		}
		last := 0.0
		for _, lift := range []float64{0, 40, 120} {
			up := s.Clone()
			for i := range up.Ground.Levels.Drops {
				if d := &up.Ground.Levels.Drops[i]; d.Along.Size > 4005 {
					d.Down.Size -= lift
				}
			}
			made := designs.Of(t, up)
			q := made.Ground.Rising
			require.NotNil(t, q)
			assert.InEpsilon(t, q.SurfaceCore, q.Core, 0.02, "seed %d", seed)
			assert.GreaterOrEqual(t, q.Prismoidal+q.EndBatter, last, "seed %d", seed)
			assert.GreaterOrEqual(t, q.Prismoidal, q.Core-1)
			last = q.Prismoidal + q.EndBatter
			// The sections are in order, and none is negative.
			for i := 1; i < len(q.Sections); i++ {
				assert.Greater(t, q.Sections[i].Chainage, q.Sections[i-1].Chainage)
				assert.GreaterOrEqual(t, q.Sections[i].Core, 0.0)
			}
			designs.Sound(t, &made)
		}
	}
}

// The volume of a pad with a level top on a sloping underside is the area by
// the depth at its centroid: against fine columns.
func TestPadOnSlopeByColumns(t *testing.T) {
	s := enginetest.SlopingSite(-0.03, 0.015)
	s.Drive.RunBackEdge.Given, s.Drive.RunBackEdge.Angle = survey.EdgeAngle, survey.Measured(1.3, survey.ByTape)
	p, err := practice.DefaultPractice().With(map[string]float64{practice.RuleLeafRackHeight: 160})
	require.NoError(t, err)
	made, err := engine.Design(s, p)
	require.NoError(t, err)
	require.True(t, made.Ground.Pad.HasLevel)
	pad, _ := made.Part(plan.PartPad, 1)
	low, high := pad.Ring.Bounds()
	const step = 4.0
	var sum float64
	for y := p.StripWidth + step/2; y < high.Y; y += step {
		for x := low.X + step/2; x < high.X; x += step {
			if x < made.Site.RunBackEdge[0].X || !pad.Ring.Contains(pointAt(x, y)) {
				continue
			}
			sum += step * step * (made.Ground.Pad.Level - (made.Ground.SurfaceLevel(x, y) - pad.Depth))
		}
	}
	for _, q := range made.Quantities.Parts {
		if q.ID == "pad" {
			assert.InEpsilon(t, sum, q.Volume, 0.01)
		}
	}
}

// A wall of two kinds at the same bank: both say what they need, and weaker
// ground never needs less.
func TestWallFirstPass(t *testing.T) {
	base := func(class string) float64 {
		s := enginetest.RisingSite(500, 0)
		s.Ground.Class = class
		made := designs.Of(t, s)
		w := made.Ground.Rising.Stability
		require.NotNil(t, w)
		assert.True(t, w.Stands, class)
		assert.GreaterOrEqual(t, w.Sliding, 1.5)
		assert.LessOrEqual(t, math.Abs(w.Eccentricity), w.Sixth)
		return w.Base
	}
	assert.Positive(t, base("gravel"))
	// Sand may be clayey, whose pressure the code's table puts at twice gravel's: on a
	// base it slides, however wide one is built, and posts are offered.
	sandy := enginetest.RisingSite(500, 0)
	sandy.Ground.Class = "sand"
	slides := designs.Of(t, sandy)
	c := groundCheck(t, &slides, "wall.stands")
	assert.Equal(t, plan.Stop, c.Severity)
	require.NotEmpty(t, c.Remedies)
	_, clears := advice.Try(sandy, practice.DefaultPractice(), c, c.Remedies[0])
	assert.True(t, clears)
	depth := func(class string) float64 {
		s := enginetest.RisingSite(500, 0)
		s.Ground.Class, s.Ground.Cavity.Wall = class, survey.WallOfPosts
		made := designs.Of(t, s)
		w := made.Ground.Rising.Stability
		assert.True(t, w.Stands, class)
		// Ground pushes at a third of its height, its surcharge at half.
		arm := w.PostMoment / w.PostForce
		assert.Greater(t, arm, 500.0/3)
		assert.Less(t, arm, 500.0/2)
		return w.PostDepth
	}
	assert.Less(t, depth("gravel"), depth("sand"))

	t.Run("too much for its ground, and what stands", func(t *testing.T) {
		s := enginetest.RisingSite(600, 0)
		s.Ground.Class, s.Ground.Cavity.Wall = "clay", survey.WallOfPosts
		made := designs.Of(t, s)
		c := groundCheck(t, &made, "wall.stands")
		assert.Equal(t, plan.Stop, c.Severity)
		require.NotEmpty(t, c.Remedies)
		_, clears := advice.Try(s, practice.DefaultPractice(), c, c.Remedies[0])
		assert.True(t, clears)
	})

	t.Run("water left behind it", func(t *testing.T) {
		s := enginetest.RisingSite(500, 0)
		s.Ground.Class = "gravel"
		dry := designs.Of(t, s)
		s.Ground.Cavity.Drain = survey.No
		wet := designs.Of(t, s)
		assert.Equal(t, plan.Stop, groundCheck(t, &wet, "wall.drain").Severity)
		assert.Greater(t, wet.Ground.Rising.Stability.Thrust, dry.Ground.Rising.Stability.Thrust)
		c := groundCheck(t, &wet, "wall.drain")
		_, clears := advice.Try(s, practice.DefaultPractice(), c, c.Remedies[0])
		assert.True(t, clears)
	})
}

func BenchmarkDesignRising(b *testing.B) {
	s, p := enginetest.RisingSite(200, 0.08), practice.DefaultPractice()
	b.ReportAllocs()
	for b.Loop() {
		_, _ = engine.Design(s, p)
	}
}

// Posts as far apart as the shop's rule goes are judged; farther ones the
// formula refuses.
func TestPostsFarApart(t *testing.T) {
	s := enginetest.RisingSite(600, 0)
	s.Ground.Cavity.Wall = survey.WallOfPosts
	near, err := practice.DefaultPractice().With(map[string]float64{practice.RuleWallPostSpacing: 3000})
	require.NoError(t, err)
	far, err := practice.DefaultPractice().With(map[string]float64{practice.RuleWallPostSpacing: 6000})
	require.NoError(t, err)
	half, err := engine.Design(s, near)
	require.NoError(t, err)
	made, err := engine.Design(s, far)
	require.NoError(t, err)
	require.NotNil(t, made.Ground.Rising.Stability)
	assert.InEpsilon(t, 2*half.Ground.Rising.Stability.PostForce, made.Ground.Rising.Stability.PostForce, 1e-12)
	assert.False(t, made.Ground.Rising.Stability.Stands)
	clay, _ := soil.ClassOf("clay")
	far.WallPostSpacing = 6001
	held := ground.WallGroundOf(&ground.Bearing{Firm: clay, Retained: clay, Seen: true})
	refused, err := ground.WallOnPosts(plan.WallStability{Held: 600}, &held, &far)
	assert.ErrorContains(t, err, "post spacing")
	assert.False(t, refused.Stands)
}
