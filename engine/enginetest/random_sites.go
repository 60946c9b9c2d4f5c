package enginetest

import (
	"math"
	"math/rand/v2"

	"pegpour/engine"
)

// RandomSite draws a site near SquareSite; RandomSurvey leaves less of it fixed.
func RandomSite(r *rand.Rand) engine.Survey {
	s := SquareSite()
	pick := func(options ...string) string { return options[r.IntN(len(options))] }
	between := func(low, high float64) engine.Value {
		return engine.Measured(math.Round(low+(high-low)*r.Float64()), engine.ByTape)
	}
	s.Opening.Width = between(2400, 7000)
	s.Opening.Hand, s.Opening.SeenFrom = pick(engine.HandLeft, engine.HandRight), pick(engine.SeenFromStreet, engine.SeenFromInside)
	s.Drive.Surface = pick(engine.SurfaceConcrete, engine.SurfacePavers, engine.SurfaceBitumen, engine.SurfaceGravel, engine.SurfaceEarth)
	s.Drive.ConcreteSound, s.Drive.PaverBase, s.Drive.PaverMethod = pick(engine.Yes, engine.No), pick(engine.PaverOnConcrete, engine.PaverOnSand), pick(engine.PaverReplace, engine.PaverOver)
	edge := func(e *engine.Edge) {
		e.Given = pick(engine.EdgeSquare, engine.EdgeAngle, engine.EdgePoints)
		e.Along = between(-600, 600)
		e.Angle = engine.Measured((40+100*r.Float64())*math.Pi/180, engine.ByTape)
		y := 0.0
		e.Points = nil
		for range 2 + r.IntN(3) {
			e.Points = append(e.Points, engine.EdgePoint{Along: between(-500, 500), Offset: engine.Measured(math.Round(y), engine.ByTape)})
			y += 300 + 700*r.Float64()
		}
		r.Shuffle(len(e.Points), func(i, j int) { e.Points[i], e.Points[j] = e.Points[j], e.Points[i] })
	}
	edge(&s.Drive.RunBackEdge)
	edge(&s.Drive.LatchEdge)
	s.Ground.Soil = pick(engine.SoilFirm, engine.SoilSoft, engine.SoilWet, engine.SoilRock)
	s.Ground.DepthToFirm = between(0, 900)
	s.Gate.Guide, s.Gate.Motor = pick(engine.GuideOnPost, engine.GuideCastIn, engine.GuideBasePlate), pick(engine.MotorNone, engine.MotorPlugIn, engine.MotorWired)
	s.Gate.Outlet, s.Gate.Cables, s.Gate.HardStop = pick(engine.OutletOwnPost, engine.OutletGuidePost), pick(engine.Yes, engine.No), pick(engine.Yes, engine.No)
	s.Gate.Cladding = between(0, 60)
	return s
}

// RandomLeafSite is a random site with a random leaf, on a random grade.
func RandomLeafSite(r *rand.Rand) engine.Survey {
	s := RandomSite(r)
	pick := func(options ...string) string { return options[r.IntN(len(options))] }
	s.Gate.Panels, s.Gate.Driven = pick(engine.PanelsOne, engine.PanelsTwo, engine.PanelsThree), pick(engine.DrivenLast, engine.DrivenFirst)
	s.Gate.Metal = pick(engine.MetalSteel, engine.MetalAluminium)
	s.Gate.Infill = pick(engine.InfillBattens, engine.InfillBoards, engine.InfillUprights, engine.InfillSheet, engine.InfillMesh, engine.InfillOpen)
	s.Gate.LatchStop = pick(engine.Yes, engine.Yes, engine.No)
	s.Gate.Height = engine.Measured(math.Round(900+1400*r.Float64()), engine.ByTape)
	if r.IntN(2) == 0 {
		s.Gate.Cladding = engine.Measured(0, engine.ByTape)
	}
	if r.IntN(2) == 0 {
		s.Ground.Shape = engine.GroundSlopes
		s.Ground.Levels.Taken = engine.LevelsBySlopes
		s.Ground.Levels.Along = engine.Measured(-0.1+0.2*r.Float64(), engine.ByStaff)
	}
	return s
}

// RandomFallingSite is a random site with a random leaf on ground that falls away.
func RandomFallingSite(r *rand.Rand) engine.Survey {
	s := RandomLeafSite(r)
	s.Ground.Shape, s.Ground.Levels.Taken = engine.GroundFalls, engine.LevelsBySlopes
	s.Ground.Levels.Along = engine.Measured(-0.08+0.16*r.Float64(), engine.ByStaff)
	s.Ground.Levels.BankStep = engine.Measured(-50-800*r.Float64(), engine.ByTape)
	s.Ground.Levels.BankAlong = engine.Measured(-0.25*r.Float64(), engine.ByStaff)
	s.Gate.FootingBar = []string{engine.BarFlat, engine.BarOnEdge}[r.IntN(2)]
	s.Gate.PadOn = []string{engine.PadConcrete, engine.PadSteel}[r.IntN(2)]
	return s
}
