package ground_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/enginetest"
	"pegpour/engine/enginetest/designs"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// Soft to 800 over sand: the base goes down to it, and the wall is as tall as
// that. The soft ground above pushes at 60 psf a foot or its own 15° and 20
// kN/m³, whichever is more; sliding and overturning by hand.
func TestWallGoesDownToFirmGround_hand(t *testing.T) {
	s := enginetest.RisingSite(500, 0)
	s.Ground.Soil, s.Ground.DepthToFirm, s.Ground.Class = survey.SoilSoft, survey.Measured(800, survey.ByTape), "sand"
	made := designs.Of(t, s)
	w := made.Ground.Rising.Stability
	require.NotNil(t, w)
	assert.InDelta(t, 600, w.BaseDown, 1e-9)
	stem, base := 500+600.0, w.Base
	ka := math.Pow(math.Tan((45-7.5)*math.Pi/180), 2)
	tall := stem + 200
	push := ka * (20e-6*tall*tall/2 + w.Surcharge*tall)
	assert.InEpsilon(t, push, w.Thrust, 1e-3)
	weight := 24e-6*200*base + 24e-6*190*stem + 11e-6*(base-190)*stem
	assert.InEpsilon(t, 0.25*weight/push, w.Sliding, 2e-2)
	assert.Greater(t, w.Base, designs.Of(t, enginetest.RisingSite(500, 0)).Ground.Rising.Base)
	c := groundCheck(t, &made, "wall.stands")
	if w.Stands {
		assert.Contains(t, c.What.String(), "taken down")
	} else {
		assert.Equal(t, plan.Stop, c.Severity)
	}
	dug := made.Ground.Rising
	assert.InEpsilon(t, 800*dug.Base*dug.WallLength, dug.BaseDig, 1e-9)

	s.Ground.Cavity.Wall = survey.WallOfPosts
	made = designs.Of(t, s)
	w = made.Ground.Rising.Stability
	// The lever is to the firm ground: IBC 18-1 with h = M/P + 800.
	h := w.PostMoment/w.PostForce + 800
	d := w.PostDepth - 800
	a := 2.34 * w.PostForce / (150 * 47.880259e-6 / 304.8 * d / 3 * 450)
	assert.InEpsilon(t, 0.5*a*(1+math.Sqrt(1+4.36*h/a)), d, 1e-4)
}

// Where no strength may be presumed nothing of the wall is sound.
func TestNothingOfAWallOnFillIsSound(t *testing.T) {
	for _, kind := range []string{survey.WallOnBase, survey.WallOfPosts} {
		for _, class := range []string{"fill", survey.ClassUnknown} {
			s := enginetest.RisingSite(500, 0)
			s.Ground.Class, s.Ground.Cavity.Wall = class, kind
			if class == survey.ClassUnknown {
				s.Ground.Soil = "" // nobody looked
			}
			made := designs.Of(t, s)
			for i := range made.Checks {
				if c := &made.Checks[i]; strings.HasPrefix(c.Code, "wall.") && c.Code != "wall.engineer" {
					assert.NotEqual(t, plan.Sound, c.Severity, "%s: %s", class, c.What)
				}
			}
			for i := range made.Figures {
				assert.NotContains(t, []string{plan.FigureWallStem, plan.FigureWallPost, plan.FigureWallSleeper,
					plan.FigureWallBlocked}, made.Figures[i].ID)
			}
		}
	}
}

// A wall of four metres is refused, whatever the shop allows.
func TestWallOfFourMetresIsRefused(t *testing.T) {
	s := enginetest.RisingSite(3900, 0)
	s.Ground.Class = "gravel"
	p, err := practice.DefaultPractice().With(map[string]float64{practice.RuleWallMost: 4000})
	assert.Error(t, err)
	made, err := engine.Design(s, p)
	require.NoError(t, err)
	assert.Equal(t, plan.Stop, groundCheck(t, &made, "wall.most").Severity)
	assert.Nil(t, made.Ground.Rising.Stability)
}

// With the drain blocked water pushes on the whole height, by hand: a wall on a
// base slides by friction less what the water lifts; a wall of posts by statics.
func TestBlockedDrain_hand(t *testing.T) {
	s := enginetest.RisingSite(500, 0)
	s.Ground.Class = "gravel"
	made := designs.Of(t, s)
	w := made.Ground.Rising.Stability
	ka, tall := math.Pow(math.Tan(28*math.Pi/180), 2), 700.0
	push := ka*((21e-6-9.81e-6)*tall*tall/2+w.Surcharge*tall) + 9.81e-6*tall*tall/2
	weight := 24e-6*200*w.Base + 24e-6*190*500 + 16e-6*(w.Base-190)*500 - 9.81e-6*tall/2*w.Base
	assert.InEpsilon(t, 0.35*weight/push, w.Blocked, 2e-2)
	c := groundCheck(t, &made, "wall.blocked")
	assert.Equal(t, w.Blocked < 1, c.Severity == plan.Warning)
	// It stands drained, and so it is said.
	assert.Equal(t, plan.Sound, groundCheck(t, &made, "wall.stands").Severity)

	s.Ground.Cavity.Wall = survey.WallOfPosts
	w = designs.Of(t, s).Ground.Rising.Stability
	force := w.PostForce + 9.81e-6*500*500/2*2000
	h := (w.PostMoment + 9.81e-6*500*500/2*2000*500/3) / force
	holds := 2 * 200 * 47.880259e-6 / 304.8 * w.PostDepth / 3 * 450 * w.PostDepth * w.PostDepth /
		(2.34 * (w.PostDepth + 1.09*h))
	assert.InEpsilon(t, holds/force, w.Blocked, 1e-4)
}

// Stem, sleeper and post by hand, and each on the far side of what it bears.
func TestMembersOfAWall_hand(t *testing.T) {
	s := enginetest.RisingSite(900, 0)
	s.Ground.Class = "gravel"
	with := func(over map[string]float64) plan.Plan {
		p, err := practice.DefaultPractice().With(over)
		require.NoError(t, err)
		made, err := engine.Design(s, p)
		require.NoError(t, err)
		return made
	}
	made := with(nil)
	w := made.Ground.Rising.Stability
	ka := math.Pow(math.Tan(28*math.Pi/180), 2)
	moment := ka * (21e-6*9e2*9e2*9e2/6 + w.Surcharge*9e2*9e2/2)
	assert.InEpsilon(t, moment, w.StemMoment, 1e-3)
	steel := math.Pi / 4 * 12 * 12 * 2.5
	bears := 0.9 * steel * 500 * (95 - steel*500/(0.85*10*1000)/2)
	// So low a wall is sheared more than bent: 0.66·ρ^⅓·√f'c·b·d with 0.75.
	shear := ka * (21e-6*9e2*9e2/2 + w.Surcharge*9e2) * 1000
	holds := 0.75 * 0.66 * math.Cbrt(steel/95000) * math.Sqrt(10) * 95000
	assert.InEpsilon(t, 1.6*math.Max(1000*moment/bears, shear/holds), w.StemUse, 2e-3)
	assert.Equal(t, plan.Sound, groundCheck(t, &made, "wall.strength").Severity)
	weak := with(map[string]float64{practice.RuleWallStemBar: 6, practice.RuleWallStemSpacing: 800})
	c := groundCheck(t, &weak, "wall.strength")
	assert.Equal(t, plan.Stop, c.Severity)

	s.Ground.Cavity.Wall = survey.WallOfPosts
	made = with(nil)
	w = made.Ground.Rising.Stability
	sleeper := ka * (21e-6*900 + w.Surcharge) * 2000 * 2000 / 8 * 6 / (75 * 75) / 5.5
	assert.InEpsilon(t, sleeper, w.SleeperUse, 1e-3)
	assert.InEpsilon(t, w.PostBending/63e3/(250/1.67), w.PostUse, 1e-9)
	thin := with(map[string]float64{practice.RuleWallSleeperBoard: 40})
	c = groundCheck(t, &thin, "wall.strength")
	assert.Equal(t, plan.Stop, c.Severity)
	require.NotEmpty(t, c.Remedies)
}
