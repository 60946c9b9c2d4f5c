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
	"pegpour/engine/slab"
	"pegpour/engine/steel"
	"pegpour/engine/survey"
)

func impactOf(t *testing.T, made plan.Plan, stop plan.MeetsStop, by plan.ImpactBy) plan.Impact {
	t.Helper()
	for _, hit := range made.Strength.Impacts {
		if hit.Stop == stop && hit.By == by {
			return hit
		}
	}
	require.Fail(t, "no such impact", "%s by %s in %+v", stop, by, made.Strength.Impacts)
	return plan.Impact{}
}

func TestStopsAgainstSteps(t *testing.T) {
	byHand := enginetest.SquareSite()
	byHand.Gate.Motor, byHand.Gate.Outlet, byHand.Gate.Cables = survey.MotorNone, "", ""
	for name, c := range map[string]struct {
		site  survey.Survey
		stop  plan.MeetsStop
		by    plan.ImpactBy
		speed float64 // 0: as run below
		drive float64
	}{
		"driven open":              {enginetest.SquareSite(), plan.StopOpen, plan.ByMotor, 200, 450},
		"driven shut":              {enginetest.SquareSite(), plan.StopShut, plan.ByMotor, 200, 450},
		"pushed open by hand":      {byHand, plan.StopOpen, plan.ByHand, 1500, 150},
		"run away to the run-back": {onGrade(-0.0162), plan.StopOpen, plan.ByGrade, 0, 0},
		"run away to the latch":    {onGrade(0.0162), plan.StopShut, plan.ByGrade, 0, 0},
	} {
		t.Run(name, func(t *testing.T) {
			made := design(t, c.site)
			leaf := &made.Leaf
			hit := impactOf(t, made, c.stop, c.by)
			if c.speed == 0 {
				// Weight along the track less rolling of 0.005, from rest over the travel.
				sin, cos := math.Sincos(math.Atan(0.0162))
				c.drive = leaf.Mass * 9.80665 * (sin - 0.005*cos)
				x, v := 0.0, 0.0
				for x < leaf.Travel {
					v += c.drive / leaf.Mass * 1000 * 1e-4
					x += v * 1e-4
				}
				c.speed = v
			}
			assert.InEpsilon(t, c.speed, hit.Speed, 1e-3)
			assert.InEpsilon(t, c.drive, hit.Drive, 1e-9)
			assert.InEpsilon(t, springOver(leaf.Mass, c.speed, c.drive, 15), hit.Force, 3e-3)
			assert.InEpsilon(t, leaf.Mass*hit.Speed*hit.Speed/2000, hit.Energy, 1e-9)
		})
	}
	// Where the motor holds the leaf it comes at the motor's speed both ways, and
	// the grade pushes on with it only downhill.
	made := design(t, onGrade(-0.0162))
	assert.InDelta(t, 450, impactOf(t, made, plan.StopShut, plan.ByMotor).Drive, 1e-9)
	assert.InDelta(t, 450+made.Leaf.Motion.Held, impactOf(t, made, plan.StopOpen, plan.ByMotor).Drive, 1e-9)
	assert.Equal(t, impactOf(t, made, plan.StopOpen, plan.ByGrade).Force, made.Strength.StopLoad)
	// Without stops nothing meets one.
	s := enginetest.SquareSite()
	s.Gate.HardStop, s.Gate.LatchStop = survey.No, survey.No
	assert.Empty(t, design(t, s).Strength.Impacts)
}

func TestLinkedPanelsAtTheirStops(t *testing.T) {
	s := enginetest.SquareSite()
	s.Gate.Panels = survey.PanelsTwo
	made := design(t, s)
	a, b := made.Leaf.Panels[0], made.Leaf.Panels[1]
	energy := b.Mass*200*200/2000 + a.Mass*math.Pow(200*a.Travel/b.Travel, 2)/2000
	for stop, drive := range map[plan.MeetsStop]float64{plan.StopOpen: 450, plan.StopShut: 450 * b.Travel / a.Travel} {
		hit := impactOf(t, made, stop, plan.ByMotor)
		assert.InEpsilon(t, energy, hit.Energy, 1e-9)
		assert.InEpsilon(t, 2*energy/15+2*drive, hit.Force, 1e-9)
	}
}

func TestWheelAtTheHardStop(t *testing.T) {
	s := enginetest.SquareSite()
	s.Gate.Height, s.Gate.Infill = survey.Measured(1800, survey.ByTape), survey.InfillBoards
	left := func(made plan.Plan) float64 {
		panel := made.Leaf.Panels[0]
		hit := impactOf(t, made, plan.StopOpen, plan.ByMotor)
		x1, x2, hg := panel.Wheels[0].At, panel.Wheels[1].At, panel.CentreHeight
		return (panel.Mass*9.80665*(x2-panel.CentreAlong) - hit.Force*(hg-hit.Height) + 450*(hg-120)) / (x2 - x1)
	}
	made := design(t, s)
	assert.InEpsilon(t, left(made), impactOf(t, made, plan.StopOpen, plan.ByMotor).Wheel, 1e-9)
	lifted, stayed := 0, 0
	for buffer := 15.0; buffer >= 1; buffer-- {
		made := with(t, s, map[string]float64{practice.RuleStopBuffer: buffer})
		want := left(made)
		var c plan.Check
		for _, k := range made.Checks {
			if k.Code == "motion.impact" && k.Field == survey.GateHardStop {
				c = k
			}
		}
		assert.InDelta(t, want, c.Margin, 1e-6)
		assert.Equal(t, want <= 0, c.Severity == plan.Warning, "%v", buffer)
		if want > 0 {
			stayed++
			continue
		}
		lifted++
		// Each remedy that is offered settles it.
		require.NotEmpty(t, c.Remedies)
		for _, r := range c.Remedies {
			rules := map[string]float64{practice.RuleStopBuffer: buffer}
			for _, change := range r.Changes {
				rules[strings.TrimPrefix(change.Path, practice.PracticePath)] = change.Value
			}
			assert.Positive(t, impactOf(t, with(t, s, rules), plan.StopOpen, plan.ByMotor).Wheel, r.Words)
		}
	}
	assert.True(t, lifted > 0 && stayed > 0)
}

func TestStopAnchorsAgainstAPlate(t *testing.T) {
	made := design(t, enginetest.SquareSite())
	hit := impactOf(t, made, plan.StopOpen, plan.ByMotor)
	p := practice.DefaultPractice()
	modulus, err := slab.ModulusACI(p.ConcreteStrength)
	require.NoError(t, err)
	plate := steel.BasePlate{Width: 150, Depth: 100, StressArea: p.AnchorArea, ModularRatio: steel.Elasticity / modulus,
		Anchors: []steel.Anchor{{X: -45}, {X: 45}}, MomentX: hit.Force * 100, ShearX: hit.Force}
	want, err := plate.Demand()
	require.NoError(t, err)
	assert.InEpsilon(t, want.WorstTension, hit.Tension, 1e-6)
	assert.InEpsilon(t, want.WorstShear, hit.Shear, 1e-9)
	assert.Equal(t, hit.Tension, made.Strength.StopTension)
	// The lever of the buffer: twice as high, twice the tension.
	high := with(t, enginetest.SquareSite(), map[string]float64{practice.RuleStopHeight: 200})
	assert.InEpsilon(t, 2*hit.Tension, high.Strength.StopTension, 1e-9)
	// One anchor is not judged, and says so.
	one := with(t, enginetest.SquareSite(), map[string]float64{practice.RuleFixingStop: 1})
	assert.Zero(t, one.Strength.StopTension)
	said := slices.ContainsFunc(one.Strength.Refused, func(r plan.Refusal) bool { return r.What == "The anchoring of the hard stop" })
	assert.True(t, said)
	_, said = one.Figure(plan.FigureStrengthStopAnchor)
	assert.False(t, said)
}

func TestMotorAnchorsAgainstAPlate(t *testing.T) {
	for _, packer := range []float64{0, 40} {
		made := with(t, enginetest.SquareSite(), map[string]float64{practice.RuleMotorPacker: packer})
		p := practice.DefaultPractice()
		modulus, err := slab.ModulusACI(p.ConcreteStrength)
		require.NoError(t, err)
		plate := steel.BasePlate{Width: 260, Depth: 180, StressArea: p.AnchorArea,
			ModularRatio: steel.Elasticity / modulus, MomentX: 450 * (120 + packer), ShearX: 450,
			Anchors: []steel.Anchor{{X: -100, Y: -60}, {X: -100, Y: 60}, {X: 100, Y: -60}, {X: 100, Y: 60}}}
		want, err := plate.Demand()
		require.NoError(t, err)
		assert.InEpsilon(t, want.WorstTension, made.Strength.MotorAnchor.Tension, 1e-6)
	}
}
