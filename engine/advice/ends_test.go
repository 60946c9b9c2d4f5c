package advice

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/enginetest"
	"pegpour/engine/enginetest/designs"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
	"pegpour/storage/demo"
)

// drawRules draws wind, ground and rolling between their ends, evenly, by the rules
// themselves and not by Uncertains.
func drawRules(r *rand.Rand, p practice.Practice) practice.Practice {
	p.WindSpeed *= 1 + p.WindSpread*(2*r.Float64()-1)
	p.SoilBears *= 1 + p.SoilSpread*(2*r.Float64()-1)
	p.Rolling = p.RollingLow + r.Float64()*(p.Rolling-p.RollingLow)
	p.RollingLow = p.Rolling
	return p
}

// What holds at both ends holds in every draw between them. What could flip does so
// in some: not in each, since a corner may be all that turns it.
func TestBothEndsMonteCarlo(t *testing.T) {
	const draws = 60
	p := practice.DefaultPractice()
	sites := enginetest.RandomSites(40)
	for _, d := range demo.Sites() {
		sites = append(sites, d.Survey)
	}
	r := rand.New(rand.NewPCG(2026, 11))
	var held, flips, seen int
	for n, s := range sites {
		made, err := engine.Design(s, p)
		require.NoError(t, err)
		report := Confidence(s, p, made)
		turned := map[int]int{}
		for range draws {
			drawn, _ := engine.Judge(s, drawRules(r, p))
			for i := range made.Checks {
				c := &made.Checks[i]
				a := answerAt(&drawn, c.Question, c.Field)
				if a == nil || a.Severity != c.Severity {
					turned[i]++
				}
			}
		}
		for _, c := range report.Checks {
			switch {
			case c.Index < 0:
			case !c.Flips:
				held++
				assert.Zero(t, turned[c.Index], "site %d: %s %v", n, c.Words, c.RestsOn)
			case c.Decides:
				flips++
				if turned[c.Index] > 0 {
					seen++
				}
			}
		}
	}
	t.Logf("%d hold, %d could flip, %d of them in %d draws", held, flips, seen, draws)
	assert.Greater(t, held, 500)
	assert.Greater(t, flips, 20)
	assert.Greater(t, seen*10, flips*8)
}

// A second way: the post's bending grows with the wind's pressure, which goes by the
// square of its speed, but for what a leaning person pushes. A use u is thus u·0.81 to
// u·1.21 at the ends, and flips where 1 lies between.
func TestPostFlipsByTheSquareOfTheWind(t *testing.T) {
	s := enginetest.SquareSite()
	s.Gate.Guide, s.Gate.OpenCatch = survey.GuideCastIn, survey.No
	p := practice.DefaultPractice()
	p.FootPush, p.WindMoving, p.WindShut = 0, 0, 500
	use := func() float64 {
		made, err := engine.Design(s, p)
		require.NoError(t, err)
		return made.Strength.Guide.Use
	}
	u := use()
	for _, want := range []float64{0.80, 0.85, 0.95, 1.05, 1.2, 1.26} {
		p.WindShut = 500 * want / u
		require.InDelta(t, want, use(), 0.01)
		made, _ := engine.Design(s, p)
		report := Confidence(s, p, made)
		for _, c := range report.Checks {
			if c.Code == string(plan.QuestionStrengthPost) {
				assert.Equal(t, want*1.21 > 1 && want*0.81 < 1, c.Flips, "%v: %s", want, c.Words)
				assert.Equal(t, []text.Name{"wind of the region"}, c.RestsOn)
			}
		}
	}
}

// A leaf on a slope between the two rolling resistances may run away or stand. The
// words say so, and give no figure of the ends.
func TestRunawayRestsOnRolling(t *testing.T) {
	s := enginetest.SlopingSite(0.015, 0)
	made := designs.Of(t, s)
	found := false
	for _, c := range Confidence(s, practice.DefaultPractice(), made).Checks {
		if c.Code == "motion.runaway" {
			found = true
			assert.True(t, c.Flips)
			assert.Equal(t, []text.Name{"rolling resistance"}, c.RestsOn)
			assert.Contains(t, c.Words.String(), "Could flip, by this: rolling resistance.")
		}
	}
	assert.True(t, found)
}

// Without a spread nothing could flip, and nothing rests on wind or ground.
func TestNoSpreadNoFlip(t *testing.T) {
	p := practice.DefaultPractice()
	p.WindSpread, p.SoilSpread, p.RollingLow = 0, 0, p.Rolling
	designs.EachRandom(t, 20, func(t *testing.T, s survey.Survey, _ plan.Plan) {
		made, err := engine.Design(s, p)
		require.NoError(t, err)
		for _, c := range Confidence(s, p, made).Checks {
			assert.Empty(t, c.RestsOn, c.Code)
			assert.False(t, c.Flips)
		}
	})
}

// A shop's own pressure has ends as its speed would: the square of them.
func TestEndsStayInTheRulesRange(t *testing.T) {
	for _, u := range practice.Uncertains() {
		for _, high := range []bool{false, true} {
			p := practice.DefaultPractice()
			p.WindShut, p.WindSpeed, p.SoilBears, p.WindSpread, p.SoilSpread = 1000, 60, 0.3, 0.2, 0.7
			u.Set(&p, high)
			assert.Empty(t, p.ReplaceRefused(), u.Name)
			if u.Name == "wind of the region" {
				assert.InDelta(t, map[bool]float64{false: 640, true: 1440}[high], p.WindShut, 1e-9)
			}
		}
	}
}
