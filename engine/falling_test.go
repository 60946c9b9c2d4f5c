package engine

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/enginetest"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/soil"
	"pegpour/engine/survey"
)

// leftOfClay is the part of clay's lateral strength before a fall, by Coulomb's
// formula written out, over its friction angles.
func leftOfClay(fall float64) float64 {
	clay, _ := soil.ClassOf("clay")
	least := 1.0
	for _, phi := range []float64{clay.FrictionAngle.Low, clay.FrictionAngle.Typical, clay.FrictionAngle.High} {
		passive := func(slope float64) float64 {
			d := phi / 2
			root := 1 - math.Sqrt(math.Sin(phi+d)*math.Sin(phi+slope)/(math.Cos(d)*math.Cos(slope)))
			return math.Cos(phi) * math.Cos(phi) / (math.Cos(d) * root * root)
		}
		least = math.Min(least, passive(-fall)/passive(0))
	}
	return least
}

// deepEnough finds by halving the depth at which the ground's pressure at a third
// of it balances the push, with the code's 12 ft limit out of reach.
func deepEnough(force, height, width, lateral float64) float64 {
	low, high := 1.0, 3600.0
	for range 100 {
		d := (low + high) / 2
		a := 2.34 * force / (lateral * d / 3 * width)
		if a/2*(1+math.Sqrt(1+4.36*height/a)) > d {
			low = d
		} else {
			high = d
		}
	}
	return high
}

// A post on a bank stands as deep as the part of the ground asks that is left
// before it; on the level ground of the same class it stands less deep.
func TestPostsOnABank(t *testing.T) {
	p := practice.DefaultPractice()
	for _, grade := range []float64{0, 0.06, 0.125} {
		s := enginetest.FallingSite()
		s.Ground.Levels.BankAlong = survey.Measured(-grade, survey.ByStaff)
		made := design(t, s)
		clay, _ := soil.ClassOf("clay")
		lateral := clay.Lateral * leftOfClay(math.Atan(grade))
		require.NotEmpty(t, made.Footing.Posts)
		for i := range made.Footing.Posts {
			q := &made.Footing.Posts[i]
			want := deepEnough(q.Push, q.Above+made.Footing.Deep, p.FootHole*math.Sqrt2, lateral)
			assert.InDelta(t, math.Ceil(want/p.HoleStep)*p.HoleStep, q.Depth, 1, "%v", grade)
		}
		s.Gate.Guide = survey.GuideCastIn
		guide := design(t, s).Strength.Guide
		want := deepEnough(guide.Push, guide.Height, p.GuideHoleSize*math.Sqrt2, lateral*p.IsolatedPole)
		assert.InEpsilon(t, want, guide.Embedment, 1e-6)
	}
}

// Where the ground falls as steep as it can stand nothing holds a post, and no
// depth is told.
func TestPostsOnASteepBank(t *testing.T) {
	s := enginetest.FallingSite()
	s.Gate.Guide = survey.GuideCastIn
	s.Ground.Levels.BankAlong = survey.Measured(-0.5, survey.ByStaff)
	made := design(t, s)
	for i := range made.Footing.Posts {
		assert.False(t, made.Footing.Posts[i].Held)
	}
	assert.True(t, slices.ContainsFunc(made.Refused, func(r plan.Refusal) bool {
		return r.Severity == plan.Stop && strings.Contains(r.Words.String(), "cannot be judged")
	}))
	assert.Zero(t, made.Strength.Guide.Embedment)
	assert.Zero(t, made.Strength.Guide.Gives)
	assert.True(t, slices.ContainsFunc(made.Strength.Refused, func(r plan.Refusal) bool {
		return r.What == "The guide post's hole" && strings.Contains(r.Words.String(), "cannot be judged")
	}))
	for _, c := range made.Checks {
		assert.False(t, c.Severity == plan.Sound && (c.Code == "footing.hole" || c.Code == "strength.embedment"), c.What)
	}
}
