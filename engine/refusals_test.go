package engine

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/geom"
)

// codesOf are the codes of refusals, each with how it is called to attention.
func codesOf(refused []Refusal) map[Question]Severity {
	codes := map[Question]Severity{}
	for _, r := range refused {
		codes[r.Code] = r.Severity
	}
	return codes
}

// A track steeper than the formulas hold for gives no loads and no forces, and
// the plan says so with a Stop instead of figures of nothing.
func TestRefusedMotionIsNoZero(t *testing.T) {
	s, p := squareSite(), DefaultPractice()
	in := resolve(NewReader(&s, &p))
	l := place(&in, &p)
	leaf, refused := buildLeaf(&in, &p, &l, 1.2)
	assert.Equal(t, Stop, codesOf(refused)["wheels.unjudged"])
	for _, w := range leaf.Panels[0].Wheels {
		assert.Equal(t, WheelLoad{At: w.At}, w)
	}
	m, more := forcesOf(&in, &p, true, &leaf)
	assert.Equal(t, Stop, codesOf(more)["motion.unjudged"])
	assert.Zero(t, m)

	plan := design(t, s)
	plan.Refused, plan.Checks, plan.Figures = append(refused, more...), nil, nil
	sketch, err := Begin(s, p)
	require.NoError(t, err)
	d := &designed{&sketch.inputs, &sketch.practice, &sketch.layout, &sketch.treatment, &plan}
	plan.Figures = d.figures()
	plan.Checks = d.check().checks
	assert.Equal(t, Stop, checkOf(t, plan, "wheels.unjudged").Severity)
	assert.Equal(t, Stop, checkOf(t, plan, "motion.unjudged").Severity)
	for _, c := range plan.Checks {
		assert.NotContains(t, []string{"leaf.wheels", "motion.hand", "motion.thrust"}, c.Code)
	}
	_, ok := plan.Figure("motion.hand")
	assert.False(t, ok)
}

// A footing that a formula refuses is neither strong nor stiff.
func TestRefusedFootingIsNoZero(t *testing.T) {
	s, p := fallingSite(), DefaultPractice()
	sketch, err := Begin(s, p)
	require.NoError(t, err)
	site := groundSiteOf(&sketch.inputs, &sketch.layout, nil)
	ground, _, refused := shapeGround(sketch.ground, &site, sketch.parts, &p)
	require.Empty(t, refused)
	p.FootPostWall = 0
	f, refused := standFooting(sketch.footing, &sketch.inputs, &p, &sketch.leaf, ground, sketch.parts)
	assert.Equal(t, Stop, codesOf(refused)["footing.unjudged"])
	for _, q := range f.Posts {
		assert.True(t, q.Unjudged)
	}
	p = DefaultPractice()
	p.FootYield = 0
	_, refused = standFooting(sketch.footing, &sketch.inputs, &p, &sketch.leaf, ground, sketch.parts)
	assert.Equal(t, Stop, codesOf(refused)["footing.unjudged"])
	p.BarThickness = 0
	bar := barCase(&p, BarFlat, 2000, 3000, 2000)
	assert.False(t, bar.Feasible)
	assert.False(t, math.IsNaN(bar.Stress))
	_, refused = layoutFooting(&sketch.inputs, &p, &sketch.layout, &sketch.leaf)
	assert.Equal(t, Stop, codesOf(refused)["footing.unjudged"])
}

// Quantities that cannot be worked out are named.
func TestRefusedQuantitiesAreNoZeros(t *testing.T) {
	s := squareSite()
	s.Drive.Surface = SurfaceGravel
	plan := design(t, s)
	p := DefaultPractice()
	sketch, err := Begin(s, p)
	require.NoError(t, err)
	for field, spoil := range map[string]func(p *Practice){
		PracticePath + RuleConcreteWaste:      func(p *Practice) { p.ConcreteWaste = 2 },
		PracticePath + RuleConcreteBagYield:   func(p *Practice) { p.BagYield = 0 },
		PracticePath + RuleConcreteMixerBatch: func(p *Practice) { p.MixerBatch = 0 },
		PracticePath + RuleDigSwell:           func(p *Practice) { p.Swell = 0.5 },
		PracticePath + RuleMeshLap:            func(p *Practice) { p.MeshLap = p.MeshSheet },
	} {
		spoiled := p
		spoil(&spoiled)
		take := taker{in: &sketch.inputs, p: &spoiled, l: &sketch.layout, treatment: &sketch.treatment, parts: plan.Outlines, site: &plan.Site}
		take.quantify(&plan.Track, plan.Conduits, nil, &priced{})
		require.Len(t, take.refused, 1, field)
		assert.Equal(t, field, take.refused[0].Field)
		assert.Equal(t, Warning, take.refused[0].Severity)
		assert.NotEmpty(t, take.refused[0].Words.String())
	}
}

// Ground that cannot be measured is no dig of nothing.
func TestRefusedGroundIsNoZero(t *testing.T) {
	sketch, err := Begin(fallingSite(), DefaultPractice())
	require.NoError(t, err)
	d := sketch.inputs.driveway()
	m, err := modelGround(sketch.ground, &d, 400)
	require.NoError(t, err)
	_, err = cutOver(m, &sketch.ground.Track, geom.Polygon{{X: math.NaN()}, {X: 1}, {Y: 1}})
	assert.Error(t, err)
	high := *sketch.ground
	high.Track.Z0 = 1e9
	p := DefaultPractice()
	site := groundSiteOf(&sketch.inputs, &sketch.layout, nil)
	_, _, refused := shapeGround(&high, &site, sketch.parts, &p)
	assert.Equal(t, Stop, codesOf(refused)["ground.unjudged"])
}
