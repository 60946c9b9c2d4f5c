package enginetest

import (
	"math"
	"math/rand/v2"

	"pegpour/engine/survey"
)

// RandomSurvey draws a survey within the allowed ranges, everything in it
// measured. Equal sources give equal surveys.
func RandomSurvey(r *rand.Rand) survey.Survey {
	var s survey.Survey
	pick := func(options ...string) string { return options[r.IntN(len(options))] }
	between := func(low, high float64) survey.Value {
		return survey.Measured(math.Round(low+(high-low)*r.Float64()), survey.ByTape)
	}
	s.Site = survey.Site{Name: "Drawn by chance", MeasuredBy: "Nobody"}
	s.Opening = survey.Opening{Width: between(2400, 7000), PostLatch: between(60, 400), PostRunBack: between(60, 400),
		PostDepth: between(60, 400),
		Hand:      pick(survey.HandLeft, survey.HandRight), SeenFrom: pick(survey.SeenFromStreet, survey.SeenFromInside)}
	s.Drive.Surface = pick(survey.SurfaceConcrete, survey.SurfacePavers, survey.SurfaceBitumen, survey.SurfaceGravel,
		survey.SurfaceEarth)
	s.Drive.ConcreteSound, s.Drive.PaverBase, s.Drive.PaverMethod = pick(survey.Yes, survey.No),
		pick(survey.PaverOnConcrete, survey.PaverOnSand), pick(survey.PaverReplace, survey.PaverOver)
	s.Drive.PaverThickness = between(40, 80)
	edge := func(e *survey.Edge) {
		e.Given = pick(survey.EdgeSquare, survey.EdgeAngle, survey.EdgePoints)
		e.Along = between(-600, 600)
		e.Angle = survey.Measured((40+100*r.Float64())*math.Pi/180, survey.ByTape)
		y := 0.0
		for range 2 + r.IntN(3) {
			e.Points = append(e.Points,
				survey.EdgePoint{Along: between(-500, 500), Offset: survey.Measured(math.Round(y), survey.ByTape)})
			y += 300 + 700*r.Float64()
		}
	}
	edge(&s.Drive.RunBackEdge)
	edge(&s.Drive.LatchEdge)
	s.RunBack.Room, s.RunBack.Depth = between(3000, 9000), between(300, 2500)
	for range r.IntN(3) {
		s.RunBack.Obstructions = append(s.RunBack.Obstructions, survey.Obstruction{
			Kind: pick(survey.ObstructionTree, survey.ObstructionPit, survey.ObstructionTap, survey.ObstructionService,
				survey.ObstructionTank),
			Along: between(-1000, 6000), Offset: between(-200, 2000), Length: between(50, 1500), Width: between(50, 1500)})
	}
	s.Ground.Soil = pick(survey.SoilFirm, survey.SoilSoft, survey.SoilWet, survey.SoilRock)
	s.Ground.DepthToFirm = between(0, 900)
	s.Gate = survey.Gate{Height: between(900, 2400), Cladding: between(0, 60),
		Guide:  pick(survey.GuideOnPost, survey.GuideCastIn, survey.GuideBasePlate),
		Motor:  pick(survey.MotorNone, survey.MotorPlugIn, survey.MotorWired),
		Outlet: pick(survey.OutletOwnPost, survey.OutletGuidePost), Cables: pick(survey.Yes, survey.No),
		HardStop: pick(survey.Yes, survey.No)}
	return s
}
