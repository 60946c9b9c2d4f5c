// Package enginetest makes surveys for the tests of packages that use the
// engine.
package enginetest

import (
	"math"
	"math/rand/v2"

	"pegpour/engine"
)

// RandomSurvey draws a survey within the allowed ranges, everything in it
// measured. Equal sources give equal surveys.
func RandomSurvey(r *rand.Rand) engine.Survey {
	var s engine.Survey
	pick := func(options ...string) string { return options[r.IntN(len(options))] }
	between := func(low, high float64) engine.Value {
		return engine.Measured(math.Round(low+(high-low)*r.Float64()), engine.ByTape)
	}
	s.Site = engine.Site{Name: "Drawn by chance", MeasuredBy: "Nobody"}
	s.Opening = engine.Opening{Width: between(2400, 7000), PostLatch: between(60, 400), PostRunBack: between(60, 400), PostDepth: between(60, 400),
		Hand: pick(engine.HandLeft, engine.HandRight), SeenFrom: pick(engine.SeenFromStreet, engine.SeenFromInside)}
	s.Drive.Surface = pick(engine.SurfaceConcrete, engine.SurfacePavers, engine.SurfaceBitumen, engine.SurfaceGravel, engine.SurfaceEarth)
	s.Drive.ConcreteSound, s.Drive.PaverBase, s.Drive.PaverMethod = pick(engine.Yes, engine.No), pick(engine.PaverOnConcrete, engine.PaverOnSand), pick(engine.PaverReplace, engine.PaverOver)
	s.Drive.PaverThickness = between(40, 80)
	edge := func(e *engine.Edge) {
		e.Given = pick(engine.EdgeSquare, engine.EdgeAngle, engine.EdgePoints)
		e.Along = between(-600, 600)
		e.Angle = engine.Measured((40+100*r.Float64())*math.Pi/180, engine.ByTape)
		y := 0.0
		for range 2 + r.IntN(3) {
			e.Points = append(e.Points, engine.EdgePoint{Along: between(-500, 500), Offset: engine.Measured(math.Round(y), engine.ByTape)})
			y += 300 + 700*r.Float64()
		}
	}
	edge(&s.Drive.RunBackEdge)
	edge(&s.Drive.LatchEdge)
	s.RunBack.Room, s.RunBack.Depth = between(3000, 9000), between(300, 2500)
	for range r.IntN(3) {
		s.RunBack.Obstructions = append(s.RunBack.Obstructions, engine.Obstruction{
			Kind:  pick(engine.ObstructionTree, engine.ObstructionPit, engine.ObstructionTap, engine.ObstructionService, engine.ObstructionTank),
			Along: between(-1000, 6000), Offset: between(-200, 2000), Length: between(50, 1500), Width: between(50, 1500)})
	}
	s.Ground.Soil = pick(engine.SoilFirm, engine.SoilSoft, engine.SoilWet, engine.SoilRock)
	s.Ground.DepthToFirm = between(0, 900)
	s.Gate = engine.Gate{Height: between(900, 2400), Cladding: between(0, 60),
		Guide: pick(engine.GuideOnPost, engine.GuideCastIn, engine.GuideBasePlate), Motor: pick(engine.MotorNone, engine.MotorPlugIn, engine.MotorWired),
		Outlet: pick(engine.OutletOwnPost, engine.OutletGuidePost), Cables: pick(engine.Yes, engine.No), HardStop: pick(engine.Yes, engine.No)}
	return s
}
