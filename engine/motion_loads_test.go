package engine

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/enginetest"
	"pegpour/engine/motion"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// onGrade is the square site with a fall along the fence, positive up to the

// run-back.

func onGrade(grade float64) survey.Survey {
	s := enginetest.SquareSite()
	s.Ground.Shape, s.Ground.Levels.Taken, s.Ground.Levels.Along = survey.GroundSlopes, survey.LevelsBySlopes,
		survey.Measured(grade, survey.ByStaff)
	return s
}

func with(t *testing.T, s survey.Survey, rules map[string]float64) plan.Plan {
	t.Helper()
	p, err := practice.DefaultPractice().With(rules)
	require.NoError(t, err)
	made, err := Design(s, p)
	require.NoError(t, err)
	return made
}

// stepped runs a mass at a speed (mm/s) with a force behind it onto a spring

// (N/mm), step by step, and gives the greatest force and way.

func stepped(mass, speed, force, stiffness float64) (most, way float64) {
	const dt = 2e-6
	x, v := 0.0, speed
	for x == 0 || v > 0 {
		v += (force - stiffness*x) / mass * 1000 * dt
		x += v * dt
		most = math.Max(most, stiffness*x)
	}
	return most, x
}

// springOver finds by halving the spring on which that run ends after a way, and

// what it presses with.

func springOver(mass, speed, force, way float64) float64 {
	soft, stiff := 1.0, 1e5
	for stiff/soft > 1.0001 {
		k := math.Sqrt(soft * stiff)
		if _, x := stepped(mass, speed, force, k); x > way {
			soft = k
		} else {
			stiff = k
		}
	}
	return soft * way
}

// Both stops, by motor, by the grade either way, by hand: the leaf run step by

// step onto a spring that gives way by the buffer's 15 mm.

// Two linked panels meet the hard stop with the energy of both, each at its own

// pace, and the motor on the slower one.

// A track of 1.62 % runs away, at 0.02 of rolling it would not; on one side of the

// low end it does and on the other it does not, and nothing but one check says so.

func TestRunawayIsSaidOnce(t *testing.T) {
	made := design(t, onGrade(-0.0162))
	m := made.Leaf.Motion
	assert.True(t, m.Runaway && m.Opens)
	assert.Equal(t, plan.Warning, checkOf(t, made, "motion.runaway").Severity)
	s := onGrade(-0.0162)
	s.Gate.HardStop = survey.No
	assert.Equal(t, plan.Stop, checkOf(t, design(t, s), "motion.runaway").Severity)
	low, _ := new(practice.Practice).RollingEnds()
	assert.Zero(t, low)
	for grade, runs := range map[float64]bool{0.0049: false, -0.0049: false, 0.0051: true, -0.0051: true, 0: false} {
		made := design(t, onGrade(grade))
		assert.Equal(t, runs, made.Leaf.Motion.Runaway, "%v", grade)
		c := checkOf(t, made, "motion.runaway")
		assert.Equal(t, runs, c.Severity != plan.Sound)
		assert.InDelta(t, 0.005-math.Abs(grade), c.Margin, 1e-9)
	}
	runaway := 0
	eachLeafSite(t, 300, func(t *testing.T, _ *rand.Rand, _ survey.Survey, made plan.Plan) {
		runs := math.Abs(math.Tan(made.Leaf.Slope)) > 0.005
		assert.Equal(t, runs, made.Leaf.Motion.Runaway)
		assert.Equal(t, runs, made.Leaf.Motion.Speed > 0)
		said, warned := 0, 0
		for _, c := range made.Checks {
			if c.Code == "motion.runaway" && c.Severity != plan.Sound {
				said++
			} else if strings.Contains(c.What.String()+c.Consequence.String(), "by itself") && c.Code != "strength.joints" && c.Severity != plan.Sound {
				t.Error("said elsewhere:", c.Code, c.What)
			}
		}
		for _, c := range made.Cautions {
			if c.Code == "runaway" {
				warned++
			}
		}
		if runs {
			runaway++
			assert.Equal(t, []int{1, 1}, []int{said, warned})
		} else {
			assert.Equal(t, []int{0, 0}, []int{said, warned})
		}
	})
	assert.Greater(t, runaway, 50)
}

// The shop's own values: what it had for rolling is its high end; it is never

// lost, and each end is the one that hurts more. The grade to watch is read from

// old documents and means nothing.

func TestRollingOfAShop(t *testing.T) {
	for _, c := range []struct {
		rules     map[string]float64
		low, high float64
	}{
		{nil, 0.005, 0.03},
		{map[string]float64{practice.RuleMotionRolling: 0.012}, 0.005, 0.012},
		{map[string]float64{practice.RuleMotionRolling: 0.05}, 0.005, 0.05},
		{map[string]float64{practice.RuleMotionRolling: 0.004}, 0.004, 0.005},
		{map[string]float64{practice.RuleMotionRollingLow: 0.04}, 0.03, 0.04},
		{map[string]float64{"track.gradeWatch": 0.1}, 0.005, 0.03},
	} {
		p, err := practice.DefaultPractice().With(c.rules)
		require.NoError(t, err)
		low, high := p.RollingEnds()
		assert.Equal(t, []float64{c.low, c.high}, []float64{low, high})
	}
	_, err := practice.DefaultPractice().With(map[string]float64{"track.gradeWatched": 0.1})
	assert.Error(t, err)
}

// What wind of 150 Pa adds to hand and motor, on paper: on a sheet of 4.1 by 1.8 m
// it pushes with its part of what the wind of the site does; the rollers at the top
// hold the moment about the foot, and rub with a fifth of that.
func TestRollersRubInTheWind(t *testing.T) {
	s := enginetest.SquareSite()
	s.Gate.Height, s.Gate.Infill = survey.Measured(1800, survey.ByTape), survey.InfillSheet
	made := design(t, s)
	m, mass := made.Leaf.Motion, made.Leaf.Mass
	push := made.Strength.Guide.Force * 150 / made.Strength.Guide.Pressure * (50 + 900) / (50 + 1800)
	rubs := 0.2 * (push + math.Abs(made.Leaf.Panels[0].RollerPush))
	assert.InEpsilon(t, rubs, m.Rubbing, 1e-9)
	rolls := mass * 9.80665 * 0.03
	assert.InEpsilon(t, 1.5*rolls+rubs, m.Hand, 1e-9)
	assert.InEpsilon(t, 1.5*rolls+0.2*math.Abs(made.Leaf.Panels[0].RollerPush), m.HandStill, 1e-9)
	assert.InEpsilon(t, rolls+rubs+mass*0.2/0.5, m.Pull, 1e-9)
	assert.InEpsilon(t, 1.5*m.Pull, m.Thrust, 1e-9)
	// No wind, nothing added; twice the wind, twice as much.
	still := with(t, s, map[string]float64{practice.RuleWindMoving: 0}).Leaf.Motion
	assert.InDelta(t, m.HandStill, still.Hand, 1e-9)
	assert.InDelta(t, still.ThrustStill, still.Thrust, 1e-9)
	assert.InDelta(t, m.ThrustStill, still.Thrust, 1e-9)
	twice := with(t, s, map[string]float64{practice.RuleWindMoving: 300}).Leaf.Motion
	assert.InDelta(t, 2*(m.Hand-m.HandStill), twice.Hand-twice.HandStill, 1e-6)
}

// A hand may be asked for more where only a power cut makes it push; on each side

// of both limits.

func TestHandLimits(t *testing.T) {
	motor, none := enginetest.SquareSite(), enginetest.SquareSite()
	none.Gate.Motor, none.Gate.Outlet, none.Gate.Cables = survey.MotorNone, "", ""
	asked, byHand := design(t, motor).Leaf.Motion, design(t, none).Leaf.Motion
	for _, c := range []struct {
		site  survey.Survey
		rule  string
		most  float64
		hand  float64
		grave plan.Severity
	}{
		{motor, practice.RuleMotionReleasedForce, asked.Hand + 1, 150, plan.Sound},
		{motor, practice.RuleMotionReleasedForce, asked.Hand - 1, 150, plan.Warning},
		{motor, practice.RuleMotionReleasedForce, asked.HandStill - 1, 30, plan.Warning},
		{none, practice.RuleMotionHandForce, byHand.Hand + 1, 0, plan.Sound},
		{none, practice.RuleMotionHandForce, byHand.HandStill + 1, 0, plan.Warning},
		{none, practice.RuleMotionHandForce, byHand.HandStill - 1, 0, plan.Stop},
	} {
		rules := map[string]float64{c.rule: c.most}
		if c.hand > 0 {
			rules[practice.RuleMotionHandForce] = c.hand
		}
		got := checkOf(t, with(t, c.site, rules), "motion.hand")
		assert.Equal(t, c.grave, got.Severity, "%+v: %s", c.most, got.What)
	}
	// A shop whose hand force is more than that keeps it.
	kept := with(t, motor, map[string]float64{practice.RuleMotionHandForce: asked.Hand + 1,
		practice.RuleMotionReleasedForce: 30})
	assert.Equal(t, plan.Sound, checkOf(t, kept, "motion.hand").Severity)
}

// Where the motor falls short only in the wind it is a warning, where it falls

// short in still air a stop.

func TestMotorInTheWind(t *testing.T) {
	s := enginetest.SquareSite()
	m := design(t, s).Leaf.Motion
	for thrust, grave := range map[float64]plan.Severity{m.Thrust + 1: plan.Sound, m.Thrust - 1: plan.Warning,
		m.ThrustStill + 1: plan.Warning, m.ThrustStill - 1: plan.Stop} {
		c := checkOf(t, with(t, s, map[string]float64{practice.RuleMotorThrust: thrust}), "motion.thrust")
		assert.Equal(t, grave, c.Severity, "%v", thrust)
		assert.InDelta(t, thrust-m.Thrust, c.Margin, 1e-9)
	}
	// Uphill is said where the slope alone would move the leaf, not on level ground.
	for grade, uphill := range map[float64]bool{0: false, 0.004: false, 0.06: true} {
		c := checkOf(t, with(t, onGrade(grade), map[string]float64{practice.RuleMotorThrust: 50}), "motion.thrust")
		assert.Equal(t, plan.Stop, c.Severity)
		assert.Equal(t, uphill, strings.Contains(c.Consequence.String(), "uphill"), "%v: %s", grade, c.Consequence)
	}
}

// The closing edge by steps on the gauge's spring of 500 N/mm; and an edge that

// gives way as far as is asked keeps within 400 N with 150 N pushing on.

func TestClosingForceAgainstSteps(t *testing.T) {
	for _, grade := range []float64{0, 0.03} {
		made := design(t, onGrade(grade))
		m, mass := made.Leaf.Motion, made.Leaf.Mass
		assert.InDelta(t, 450+m.Held, m.Stalled, 1e-9)
		peak, _ := stepped(mass, 200, 450+m.Held, 500)
		assert.InEpsilon(t, peak, m.StalledPeak, 1e-3)
		assert.InEpsilon(t, 400, springOver(mass, 200, 150, m.EdgeWay), 3e-3)
		assert.Equal(t, plan.Warning, checkOf(t, made, "motion.closing").Severity)
	}
	// A crawling leaf with a weak motor harms nobody by force, but is measured.
	slow := with(t, enginetest.SquareSite(), map[string]float64{practice.RuleMotorThrust: 80,
		practice.RuleMotorSpeed: 20})
	c := checkOf(t, slow, "motion.closing")
	assert.Equal(t, plan.Sound, c.Severity)
	assert.Contains(t, c.What.String(), "must be measured")
}

// The wheel behind at the hard stop by moments on paper: with the first wheel

// behind while it opens, R·a = W·(x_2 − x_g) − P·(h_g − h) + T·(h_g − h_rack). On

// each side of where it lifts.

// The stop's anchors against a plate with anchors anywhere, solved by its energy.

// The motor's anchors with its pinion screwed up as high as it goes, 120 mm, and a

// packer under it: against a plate with anchors anywhere.

// The load cases hold what the checks and figures hold, all characteristic.

func TestLoadCasesOfMotion(t *testing.T) {
	made := design(t, onGrade(-0.0162))
	force := func(id, name string) float64 {
		t.Helper()
		for _, c := range made.Strength.Cases {
			if c.ID != id {
				continue
			}
			assert.Equal(t, 1.0, c.Factor)
			assert.NotEmpty(t, c.Source)
			for _, f := range append(c.Loads, c.Forces...) {
				if string(f.Name) == name {
					return f.Force
				}
			}
		}
		require.Fail(t, "no "+name+" in "+id)
		return 0
	}
	m, weight := made.Leaf.Motion, made.Leaf.Mass*motion.Gravity*math.Cos(made.Leaf.Slope)
	assert.Equal(t, m.Pull, force("moving", "Motor"))
	assert.InEpsilon(t, 0.03*weight, force("moving", "Rolling resistance, high end"), 1e-9)
	assert.InEpsilon(t, 0.005*weight, force("released", "Rolling resistance, low end"), 1e-9)
	assert.Equal(t, m.Held, force("released", "Holds it still"))
	assert.Equal(t, m.StalledPeak, force("stalled", "Closing edge, at the first"))
	assert.Equal(t, made.Strength.MotorAnchor.Tension, force("stalled", "Each anchor of the motor, pulled"))
	assert.Equal(t, made.Strength.StopLoad, force("impact.open.grade", "Stop"))
	assert.Equal(t, made.Strength.StopTension, force("impact.open.grade", "Each anchor of the stop, pulled"))
	assert.Positive(t, force("impact.shut.motor", "Stop"))
}

// Whatever the shop enters for motion, and however the leaf is made, the plan is

// of numbers, and what was refused reads as such and never as sound.

func TestMotionOfRandomRules(t *testing.T) {
	judged := 0
	for seed := range 150 {
		r := rand.New(rand.NewPCG(uint64(seed), 92))
		over := map[string]float64{}
		for _, rule := range practice.Rules() {
			if rule.Group == "Motion" || rule.Group == "Motor" || strings.HasPrefix(rule.Key, "stop.") ||
				strings.HasPrefix(rule.Key, "wind.") || rule.Key == practice.RuleFixingStop {
				over[rule.Key] = rule.Low + (rule.High-rule.Low)*r.Float64()
			}
		}
		made := with(t, enginetest.RandomLeafSite(r), over)
		_, err := json.Marshal(made)
		require.NoError(t, err, "seed %d", seed)
		said := map[string]bool{}
		for _, c := range made.Checks {
			said[c.Code] = true
		}
		if made.Unjudged(plan.QuestionMotionUnjudged) {
			assert.False(t, said["motion.hand"] || said["motion.thrust"] || said["motion.closing"], "seed %d", seed)
			continue
		}
		judged++
		m := made.Leaf.Motion
		assert.True(t, m.Hand >= m.HandStill && m.Rolling >= m.RollingLow && m.Rubbing >= 0 && m.Thrust >= m.ThrustStill-1e-9,
			"seed %d: %+v", seed, m)
		for _, hit := range made.Strength.Impacts {
			assert.GreaterOrEqual(t, hit.Force, 2*hit.Drive, "seed %d", seed)
		}
	}
	assert.Greater(t, judged, 100)
}
