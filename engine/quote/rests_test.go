package quote

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/enginetest"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

func keys(cases []Case) []string {
	var all []string
	for i := range cases {
		all = append(all, cases[i].Key)
	}
	return all
}

func casesOf(t testing.TB, s survey.Survey, p practice.Practice) []Case {
	_, made := quoted(t, s, p)
	return Cases(&s, &made, &p)
}

// Each difference is that of two whole quotes of two whole designs, and the survey that
// was given stays as it was.
func TestDifferencesAreThoseOfTwoQuotes(t *testing.T) {
	r := rand.New(rand.NewPCG(99, 3))
	sites := []survey.Survey{enginetest.SquareSite(), enginetest.AngledSite(), enginetest.RakedSite(), enginetest.FallingSite(),
		enginetest.RisingSite(300, 0.1), {}, {Drive: survey.Drive{Surface: survey.SurfacePavers}}}
	for range 40 {
		sites = append(sites, enginetest.RandomSite(r), enginetest.RandomGroundSite(r))
	}
	tried, apart := map[string]int{}, map[string]int{}
	p := rated(t, nil)
	for _, s := range sites {
		made, _ := engine.Design(s, p)
		base, err := Make(&s, &made, &p)
		require.NoError(t, err)
		before := s.Clone()
		cases := Cases(&s, &made, &p)
		require.Equal(t, keys(cases), keys(Cases(&s, &made, &p)))
		for i := range cases {
			c := &cases[i]
			rest, err := c.Try(s, &made, &p, base)
			require.NoError(t, err)
			other := c.Survey(s)
			require.Equal(t, before, s, c.Key)
			require.NotEqual(t, before, other, c.Key)
			other, by, _ := c.Site(s, p)
			design, _ := engine.Design(other, by)
			whole, err := Make(&other, &design, &by)
			require.NoError(t, err)
			require.Equal(t, whole.Total-base.Total, rest.Difference, c.Key)
			tried[c.Key]++
			if rest.Difference != 0 {
				apart[c.Key]++
			}
		}
	}
	for _, key := range []string{"firm", "rock", "soft", "wet", "service", survey.DriveVehicle, survey.DriveConcreteSound,
		survey.DrivePaverBase, survey.GroundExpansive, survey.GateGuide, survey.GateMotor, survey.GateHardStop,
		survey.OpeningWidth, survey.GateHeight} {
		assert.Positive(t, tried[key], "%s was never tried", key)
	}
	for _, key := range []string{"firm", "rock", "soft", "wet", "service", survey.DriveVehicle, survey.DriveConcreteSound,
		survey.GateHeight, survey.OpeningWidth} {
		assert.Positive(t, apart[key], "%s never cost anything", key)
	}
}

// What was measured, or does not matter here, makes no case.
func TestMeasuredMakesNoCase(t *testing.T) {
	p := rated(t, nil)
	empty := casesOf(t, survey.Survey{}, p)
	assert.Equal(t, []string{"firm", "rock", "soft", "wet", "service", survey.DriveConcreteSound, survey.GateGuide, survey.GateMotor,
		survey.GateHardStop, survey.OpeningWidth, survey.GateHeight}, keys(empty))

	s := enginetest.AngledSite() // soft ground, its depth taped
	s.Drive.Vehicle = survey.VehicleCar
	s.Ground.Class, s.Ground.Expansive = "sand", survey.No
	s.Ground.Frost = survey.Measured(300, survey.ByEstimate)
	s.RunBack.Obstructions = []survey.Obstruction{{Kind: survey.ObstructionService, Along: survey.Measured(500, survey.ByTape),
		Offset: survey.Measured(3000, survey.ByTape), Length: survey.Measured(50, survey.ByTape), Width: survey.Measured(50, survey.ByTape)}}
	assert.Equal(t, []string{"wet"}, keys(casesOf(t, s, p)), "only the weather is left")
	s.Ground.Soil = survey.SoilWet
	assert.Empty(t, casesOf(t, s, p))

	for key, measure := range map[string]func(*survey.Survey){
		"firm":                    func(s *survey.Survey) { s.Ground.DepthToFirm = survey.Measured(0, survey.ByTape) },
		"rock":                    func(s *survey.Survey) { s.Ground.Soil, s.Ground.Class = survey.SoilFirm, "gravel" },
		"soft":                    func(s *survey.Survey) { s.Ground.Soil = survey.SoilFirm },
		"wet":                     func(s *survey.Survey) { s.Ground.Soil = survey.SoilFirm },
		survey.DriveConcreteSound: func(s *survey.Survey) { s.Drive.ConcreteSound = survey.Yes },
		survey.GateGuide:          func(s *survey.Survey) { s.Gate.Guide = survey.GuideCastIn },
		survey.GateMotor:          func(s *survey.Survey) { s.Gate.Motor = survey.MotorPlugIn },
		survey.GateHardStop:       func(s *survey.Survey) { s.Gate.HardStop = survey.Yes },
		survey.OpeningWidth:       func(s *survey.Survey) { s.Opening.Width = survey.Measured(4000, survey.ByTape) },
		survey.GateHeight:         func(s *survey.Survey) { s.Gate.Height = survey.Measured(1800, survey.ByTape) },
	} {
		var s survey.Survey
		measure(&s)
		assert.NotContains(t, keys(casesOf(t, s, p)), key)
	}
	s = enginetest.AngledSite()
	s.Ground.DepthToFirm.How = survey.ByEstimate
	assert.Contains(t, keys(casesOf(t, s, p)), "firm", "a guess by eye may turn out otherwise")
}

// Whoever lets a lorry cross pays for the strip that bears it.
func TestALorryPaysForItsStrip(t *testing.T) {
	// Mixed from bags, so that more concrete is dearer.
	p, s := rated(t, map[string]float64{practice.RuleConcreteReadyMixMinimum: 4e9}), enginetest.AngledSite()
	s.Ground.Class = "gravel"
	base, made := quoted(t, s, p)
	for _, c := range Cases(&s, &made, &p) {
		if c.Key != survey.DriveVehicle {
			continue
		}
		_, by, holds := c.Site(s, p)
		assert.True(t, holds)
		assert.Greater(t, by.DriveStripDepth, p.DriveStripDepth)
		rest, err := c.Try(s, &made, &p, base)
		require.NoError(t, err)
		assert.Positive(t, rest.Difference)
		return
	}
	t.Fatal("no lorry was tried")
}

// What a case asks for beside and what it stops is said.
func TestACaseSaysWhatItHasNoPriceFor(t *testing.T) {
	p := rated(t, nil)
	p.RateMesh = 0
	var s survey.Survey
	s.Drive.Surface, s.Gate.Guide = survey.SurfaceConcrete, survey.GuideOnPost
	base, made := quoted(t, s, p)
	said := false
	for _, c := range Cases(&s, &made, &p) {
		rest, err := c.Try(s, &made, &p, base)
		require.NoError(t, err)
		if c.Key == survey.DriveConcreteSound {
			said = true
			assert.Equal(t, "Trench mesh lengths", rest.Unpriced[0].String())
		}
		if c.Key == "service" {
			assert.True(t, rest.Stops, "nothing is poured over a service that nobody located")
		}
	}
	assert.True(t, said)
}

// Where something has no price a difference is not all of it, and nothing is not told to
// be none.
func TestADifferenceWithoutPricesIsNotKnown(t *testing.T) {
	s, p := enginetest.SquareSite(), practice.DefaultPractice() // rates are empty
	made, err := engine.Design(s, p)
	require.NoError(t, err)
	base, err := Make(&s, &made, &p)
	require.NoError(t, err)
	require.False(t, base.Whole())
	cases := Cases(&s, &made, &p)
	require.NotEmpty(t, cases)
	for i := range cases {
		r, err := cases[i].Try(s, &made, &p, base)
		require.NoError(t, err)
		require.True(t, r.Partial, cases[i].Key)
		require.Zero(t, r.Difference, cases[i].Key)
		require.False(t, r.Known(), cases[i].Key)
	}
	priced := Rest{}
	require.True(t, priced.Known(), "of what all has a price nothing is none")
}
