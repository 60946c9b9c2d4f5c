package engine

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/enginetest"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/stages"
	"pegpour/engine/survey"
)

// gravelSite pours a drive strip 3630 long on clay.
func gravelSite() survey.Survey {
	s := enginetest.SquareSite()
	s.Opening.Width = survey.Measured(3630, survey.ByTape)
	s.Drive.Surface, s.Ground.Class = survey.SurfaceGravel, "clay"
	s.Drive.RunBackEdge = survey.Edge{Given: survey.EdgeSquare, Along: survey.Measured(0, survey.ByTape)}
	s.Drive.LatchEdge = s.Drive.RunBackEdge
	return s
}

// The worst of one wheel and two at every place, by a beam of 3 mm elements on
// springs under wheels at every 15 mm: 2.807 and 1.725 kN·m, 4.98 kN. With the
// joint that it takes, a hinge in its middle, it hogs by 2.013 kN·m.
func TestStripUnderAnyWheel_springs(t *testing.T) {
	p := practice.DefaultPractice()
	p.JointSpacing = 40
	made, err := Design(gravelSite(), p)
	require.NoError(t, err)
	r := made.Strength.Strip
	require.NotNil(t, r)
	assert.InDelta(t, 3630, r.Length, 0.01)
	assert.InEpsilon(t, 2.807e6, r.Sagging, 0.002)
	assert.InEpsilon(t, 1.7257e6, r.Hogging, 0.003)
	assert.InEpsilon(t, 4983, r.Shear, 0.01)
	r = design(t, gravelSite()).Strength.Strip
	assert.Equal(t, 1, r.Joints)
	assert.InEpsilon(t, 2.807e6, r.Sagging, 0.002)
	assert.InEpsilon(t, 2.0126e6, r.Hogging, 0.01)
}

// The figure of the drive strip is what its check takes off one, whatever
// decides.
func TestStripHasOneFigure(t *testing.T) {
	for _, rule := range []string{"", practice.RuleStrengthWheel, practice.RuleMeshBars, practice.RuleStrengthTyre} {
		over := map[string]float64{}
		if rule != "" {
			over[rule] = practice.RuleOf(rule).Low
		}
		p, err := practice.DefaultPractice().With(over)
		require.NoError(t, err)
		made, err := Design(gravelSite(), p)
		require.NoError(t, err)
		f, ok := made.Figure(plan.FigureStrengthStripMesh)
		require.True(t, ok)
		assert.InDelta(t, 1-checkOf(t, made, "strength.strip").Margin, f.Value, 1e-12, rule)
	}
}

// The vehicle is asked for where a strip is poured, and counts.
func TestVehicleOnTheDrive(t *testing.T) {
	f, ok := survey.FieldAt(survey.DriveVehicle)
	require.True(t, ok)
	s := enginetest.SquareSite()
	assert.False(t, f.Needed(&s))
	s = gravelSite()
	assert.True(t, f.Needed(&s))
	p := practice.DefaultPractice()
	last := 0.0
	for vehicle, wheel := range map[string]float64{"": p.TrafficWheel, survey.VehicleCar: p.TrafficWheel} {
		s.Drive.Vehicle = vehicle
		assert.InDelta(t, wheel, design(t, s).Strength.Strip.Wheel, 1e-9)
	}
	for _, vehicle := range []string{survey.VehicleCar, survey.VehicleVan, survey.VehicleLorry} {
		s.Drive.Vehicle = vehicle
		use := design(t, s).Strength.Strip.Use
		assert.Greater(t, use, last)
		last = use
	}
	assert.Equal(t, plan.Warning, checkOf(t, design(t, s), "strength.strip").Severity)
	// A shop whose cars are heavier than a van keeps them.
	p.TrafficWheel = 30000
	wheel, tyre := stages.WheelOf(&p, survey.VehicleVan)
	assert.Equal(t, [2]float64{30000, p.TyrePressure}, [2]float64{wheel, tyre})
}

// On ground that may not be presumed nothing of the strip is sound, no figure
// says what part of it is used, and no other strip is offered.
func TestStripOnGroundThatMayNotBePresumed(t *testing.T) {
	s := gravelSite()
	s.Ground.Class = "fill"
	for _, vehicle := range []string{survey.VehicleCar, survey.VehicleLorry} {
		s.Drive.Vehicle = vehicle
		made := design(t, s)
		c := checkOf(t, made, "strength.strip")
		assert.Equal(t, plan.Warning, c.Severity)
		assert.Contains(t, c.What.String(), "cannot be judged")
		assert.False(t, c.HasMargin)
		assert.Empty(t, c.Remedies)
		_, ok := made.Figure(plan.FigureStrengthStripMesh)
		assert.False(t, ok)
	}
}

// What a remedy of the lorry's offers passes; where none does it says so.
func TestStripUnderALorry(t *testing.T) {
	s := gravelSite()
	s.Drive.Vehicle = survey.VehicleLorry
	c := checkOf(t, design(t, s), "strength.strip")
	assert.Equal(t, plan.Warning, c.Severity)
	require.Len(t, c.Remedies, 1)
	t.Log(c.What, c.Remedies[0].Words)
	p := practice.DefaultPractice()
	p.DeepestStrip, p.WidestStrip = 200, 400
	made, err := Design(s, p)
	require.NoError(t, err)
	c = checkOf(t, made, "strength.strip")
	require.Len(t, c.Remedies, 1)
	assert.Empty(t, c.Remedies[0].Changes)
	assert.Contains(t, c.Remedies[0].Words.String(), "engineer")
}

// Steel, cover, joints and shear on either side of what is asked.
func TestStripSteelCoverJointsShear(t *testing.T) {
	with := func(over map[string]float64) plan.Plan {
		p, err := practice.DefaultPractice().With(over)
		require.NoError(t, err)
		made, err := Design(gravelSite(), p)
		require.NoError(t, err)
		return made
	}
	usual := with(nil)
	// By hand: 3 wires of 7.6, 0.0018 of 300 × 150.
	assert.InDelta(t, 136.09, usual.Strength.Strip.Steel, 0.01)
	assert.InDelta(t, 81, usual.Strength.Strip.LeastSteel, 1e-9)
	assert.InDelta(t, 3600, usual.Strength.Strip.JointSpacing, 1e-9)
	assert.Equal(t, 1, usual.Strength.Strip.Joints)
	assert.Equal(t, plan.Warning, checkOf(t, usual, "strength.joints").Severity)
	assert.Equal(t, plan.Sound, checkOf(t, usual, "strength.cover").Severity)
	assert.Greater(t, usual.Strength.Strip.EarthUse, usual.Strength.Strip.Use)

	thin := with(map[string]float64{practice.RuleMeshBars: 1})
	assert.Equal(t, plan.Warning, checkOf(t, thin, "strength.steel").Severity)
	assert.GreaterOrEqual(t, thin.Strength.Strip.Use, thin.Strength.Strip.PlainUse, "too little mesh counts for nothing")
	assert.Equal(t, plan.Warning, checkOf(t, with(map[string]float64{practice.RuleMeshCover: 39}), "strength.cover").Severity)
	assert.Equal(t, plan.Warning,
		checkOf(t, with(map[string]float64{practice.RuleStrengthWheel: 16000}), "strength.shear").Severity)
	deep := with(map[string]float64{practice.RuleDriveStripDepth: 152})
	assert.Zero(t, deep.Strength.Strip.Joints)
	for i := range deep.Checks {
		assert.NotEqual(t, "strength.joints", deep.Checks[i].Code)
	}
}
