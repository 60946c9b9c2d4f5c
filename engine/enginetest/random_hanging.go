package enginetest

import (
	"math"
	"math/rand/v2"

	"pegpour/engine/survey"
)

// RandomHangingSite is a random site of any ground whose leaf hangs free, with some of
// what its maker gives, or all, or nothing.
func RandomHangingSite(r *rand.Rand) survey.Survey {
	kinds := [...]func(*rand.Rand) survey.Survey{RandomGroundSite, RandomSurvey, RandomFallingSite, RandomLeafSite, RandomSite}
	s := kinds[r.IntN(len(kinds))](r)
	s.Gate.Carried = survey.CarriedFree
	maybe := func(low, high float64) survey.Value {
		v := math.Round(low + (high-low)*r.Float64())
		if r.IntN(2) == 0 {
			return survey.Value{}
		}
		return survey.Measured(v, survey.ByEstimate)
	}
	s.Gate.Hanging = survey.Hanging{Bears: maybe(2000, 12000), Spacing: maybe(300, 3000), Clearance: maybe(30, 150)}
	if r.IntN(3) == 0 {
		s.Gate.Hanging.BeamMass, s.Gate.Hanging.BeamInertia = survey.Measured(12, survey.ByEstimate), survey.Measured(600, survey.ByEstimate)
		s.Gate.Hanging.BeamModulus = maybe(90, 91)
	}
	if r.IntN(2) == 0 {
		s.RunBack.Room = survey.Measured(9000+2000*r.Float64(), survey.ByTape)
	}
	return s
}

// HangingSite is a square site whose leaf hangs free, on firm gravel.
func HangingSite() survey.Survey {
	s := SquareSite()
	s.Gate.Guide, s.Gate.Carried = survey.GuideCastIn, survey.CarriedFree
	s.Gate.Infill, s.Gate.OpenCatch = survey.InfillUprights, survey.Yes
	s.Gate.Height, s.Gate.Cladding = survey.Measured(1800, survey.ByTape), survey.Measured(0, survey.ByTape)
	s.Gate.Hanging.Bears = survey.Measured(8000, survey.ByEstimate)
	s.Gate.Hanging.Clearance = survey.Measured(60, survey.ByTape)
	s.Drive.Surface, s.Drive.ConcreteSound, s.Ground.Class = survey.SurfaceGravel, "", "gravel"
	s.RunBack.Room, s.RunBack.Depth = survey.Measured(8000, survey.ByTape), survey.Measured(1500, survey.ByTape)
	return s
}
