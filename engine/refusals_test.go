package engine

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/enginetest"
	"pegpour/engine/geom"
	"pegpour/engine/ground"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/stages"
	"pegpour/engine/survey"
)

// codesOf are the codes of refusals, each with how it is called to attention.
func codesOf(refused []plan.Refusal) map[plan.Question]plan.Severity {
	codes := map[plan.Question]plan.Severity{}
	for _, r := range refused {
		codes[r.Code] = r.Severity
	}
	return codes
}

// A track steeper than the formulas hold for gives no loads and no forces, and
// the plan says so with a Stop instead of figures of nothing.
func TestRefusedMotionIsNoZero(t *testing.T) {
	s, p := enginetest.SquareSite(), practice.DefaultPractice()
	in := stages.Resolve(survey.NewReader(&s, &p))
	l := stages.Place(&in, &p)
	leaf, refused := stages.BuildLeaf(&in, &p, &l, 1.2)
	assert.Equal(t, plan.Stop, codesOf(refused)["wheels.unjudged"])
	for _, w := range leaf.Panels[0].Wheels {
		assert.Equal(t, plan.WheelLoad{At: w.At}, w)
	}
	m, more := stages.ForcesOf(&in, &p, true, &leaf, &stages.LeafWind{})
	assert.Equal(t, plan.Stop, codesOf(more)["motion.unjudged"])
	assert.Equal(t, plan.Motion{Runaway: true}, m) // that it runs away is said nonetheless

	made := design(t, s)
	made.Refused, made.Checks, made.Figures = append(refused, more...), nil, nil
	sketch, err := Begin(s, p)
	require.NoError(t, err)
	d := &designed{Designed: &stages.Designed{Inputs: &sketch.inputs, Practice: &sketch.practice, Layout: &sketch.layout,
		Treatment: &sketch.treatment, Stand: &stages.GuideStand{}, Plan: &made}}
	made.Figures = d.figures()
	made.Checks = d.check().checks
	assert.Equal(t, plan.Stop, checkOf(t, made, "wheels.unjudged").Severity)
	assert.Equal(t, plan.Stop, checkOf(t, made, "motion.unjudged").Severity)
	for _, c := range made.Checks {
		assert.NotContains(t, []string{"leaf.wheels", "motion.hand", "motion.thrust", "motion.closing", "motion.impact"}, c.Code)
	}
	_, ok := made.Figure("motion.hand")
	assert.False(t, ok)
}

// A footing that a formula refuses is neither strong nor stiff.
func TestRefusedFootingIsNoZero(t *testing.T) {
	s, p := enginetest.FallingSite(), practice.DefaultPractice()
	sketch, err := Begin(s, p)
	require.NoError(t, err)
	site := stages.GroundSiteOf(&sketch.inputs, &sketch.layout, nil)
	ground, _, refused := ground.Shape(sketch.ground, &site, sketch.parts, &p)
	require.Empty(t, refused)
	p.FootPostWall = 0
	f, refused := stages.StandFooting(sketch.footing, &sketch.inputs, &p, &sketch.leaf, ground, sketch.parts)
	assert.Equal(t, plan.Stop, codesOf(refused)["footing.unjudged"])
	for _, q := range f.Posts {
		assert.True(t, q.Unjudged)
	}
	p = practice.DefaultPractice()
	p.FootYield = 0
	_, refused = stages.StandFooting(sketch.footing, &sketch.inputs, &p, &sketch.leaf, ground, sketch.parts)
	assert.Equal(t, plan.Stop, codesOf(refused)["footing.unjudged"])
	p.BarThickness = 0
	bar, err := stages.BarCase(&p, survey.BarFlat, 2000, p.FootPush, 3000, 2000)
	require.Error(t, err)
	assert.False(t, bar.Feasible)
	assert.False(t, math.IsNaN(bar.Stress))
	_, refused = stages.LayoutFooting(&sketch.inputs, &p, &sketch.layout, &sketch.leaf, &sketch.blown)
	assert.Equal(t, plan.Stop, codesOf(refused)["footing.unjudged"])
}

// Nothing is said of a hole, a sway or an uplift that could not be worked out,
// not even that it is in order.
func TestNothingIsSaidOfWhatWasNotJudged(t *testing.T) {
	s, p := enginetest.FallingSite(), practice.DefaultPractice()
	sketch, err := Begin(s, p)
	require.NoError(t, err)
	made := design(t, s)
	d := &designed{Designed: &stages.Designed{Inputs: &sketch.inputs, Practice: &sketch.practice, Layout: &sketch.layout,
		Treatment: &sketch.treatment, Stand: &stages.GuideStand{}, Plan: &made}}
	said := func() map[plan.Question]bool {
		questions := map[plan.Question]bool{}
		found := d.check()
		for i := range found.checks {
			questions[found.checks[i].Question] = true
		}
		for i := range found.silent {
			questions[found.silent[i].Question] = true
		}
		return questions
	}
	all := said()
	for _, q := range []plan.Question{plan.QuestionFootingHole, plan.QuestionFootingSway, plan.QuestionFootingSlender,
		plan.QuestionFootingUplift} {
		assert.True(t, all[q], q)
	}

	pushed := *sketch.footing
	pushed.Posts = slices.Clone(pushed.Posts)
	for i := range pushed.Posts {
		pushed.Posts[i].Push = 1e9
	}
	var refused []plan.Refusal
	made.Footing, refused = stages.StandFooting(&pushed, &sketch.inputs, &p, &sketch.leaf, made.Ground, sketch.parts)
	assert.True(t, slices.ContainsFunc(refused, func(r plan.Refusal) bool {
		return r.Severity == plan.Stop &&
			strings.Contains(r.Words.String(), "The hole of a footing post could not be worked out")
	}))
	assert.NotContains(t, said(), plan.QuestionFootingHole)

	weak := p
	weak.FootPostWall, weak.BarThickness = 0, 0
	made.Footing, _ = stages.StandFooting(sketch.footing, &sketch.inputs, &weak, &sketch.leaf, made.Ground, sketch.parts)
	now := said()
	for _, q := range []plan.Question{plan.QuestionFootingSway, plan.QuestionFootingSlender, plan.QuestionFootingUplift} {
		assert.NotContains(t, now, q)
	}
}

// Quantities that cannot be worked out are named.
func TestRefusedQuantitiesAreNoZeros(t *testing.T) {
	s := enginetest.SquareSite()
	s.Drive.Surface = survey.SurfaceGravel
	made := design(t, s)
	p := practice.DefaultPractice()
	sketch, err := Begin(s, p)
	require.NoError(t, err)
	for field, spoil := range map[string]func(p *practice.Practice){
		practice.PracticePath + practice.RuleConcreteWaste:      func(p *practice.Practice) { p.ConcreteWaste = 2 },
		practice.PracticePath + practice.RuleConcreteBagYield:   func(p *practice.Practice) { p.BagYield = 0 },
		practice.PracticePath + practice.RuleConcreteMixerBatch: func(p *practice.Practice) { p.MixerBatch = 0 },
		practice.PracticePath + practice.RuleDigSwell:           func(p *practice.Practice) { p.Swell = 0.5 },
		practice.PracticePath + practice.RuleMeshLap:            func(p *practice.Practice) { p.MeshLap = p.MeshSheet },
	} {
		spoiled := p
		spoil(&spoiled)
		take := stages.Taker{In: &sketch.inputs, P: &spoiled, L: &sketch.layout, Treatment: &sketch.treatment, Parts: made.Outlines,
			Site: &made.Site}
		take.Quantify(&made.Track, made.Conduits, nil, &stages.Priced{})
		require.Len(t, take.Refused, 1, field)
		assert.Equal(t, field, take.Refused[0].Field)
		assert.Equal(t, plan.Warning, take.Refused[0].Severity)
		assert.NotEmpty(t, take.Refused[0].Words.String())
	}
}

// Ground that cannot be measured is no dig of nothing.
func TestRefusedGroundIsNoZero(t *testing.T) {
	sketch, err := Begin(enginetest.FallingSite(), practice.DefaultPractice())
	require.NoError(t, err)
	d := sketch.inputs.Driveway()
	m, err := ground.ModelGround(sketch.ground, &d, 400)
	require.NoError(t, err)
	_, err = ground.CutOver(m, &sketch.ground.Track, geom.Polygon{{X: math.NaN()}, {X: 1}, {Y: 1}})
	assert.Error(t, err)
	high := *sketch.ground
	high.Track.Z0 = 1e9
	p := practice.DefaultPractice()
	site := stages.GroundSiteOf(&sketch.inputs, &sketch.layout, nil)
	_, _, refused := ground.Shape(&high, &site, sketch.parts, &p)
	assert.Equal(t, plan.Stop, codesOf(refused)["ground.unjudged"])
}
