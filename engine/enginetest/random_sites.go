package enginetest

import (
	"math"
	"math/rand/v2"

	"pegpour/engine/survey"
)

// RandomSite draws a site near SquareSite; RandomSurvey leaves less of it fixed.
func RandomSite(r *rand.Rand) survey.Survey {
	s := SquareSite()
	pick := func(options ...string) string { return options[r.IntN(len(options))] }
	between := func(low, high float64) survey.Value {
		return survey.Measured(math.Round(low+(high-low)*r.Float64()), survey.ByTape)
	}
	s.Opening.Width = between(2400, 7000)
	s.Opening.Hand, s.Opening.SeenFrom = pick(survey.HandLeft, survey.HandRight),
		pick(survey.SeenFromStreet, survey.SeenFromInside)
	s.Drive.Surface = pick(survey.SurfaceConcrete, survey.SurfacePavers, survey.SurfaceBitumen, survey.SurfaceGravel,
		survey.SurfaceEarth)
	s.Drive.ConcreteSound, s.Drive.PaverBase, s.Drive.PaverMethod = pick(survey.Yes, survey.No),
		pick(survey.PaverOnConcrete, survey.PaverOnSand), pick(survey.PaverReplace, survey.PaverOver)
	edge := func(e *survey.Edge) {
		e.Given = pick(survey.EdgeSquare, survey.EdgeAngle, survey.EdgePoints)
		e.Along = between(-600, 600)
		e.Angle = survey.Measured((40+100*r.Float64())*math.Pi/180, survey.ByTape)
		y := 0.0
		e.Points = nil
		for range 2 + r.IntN(3) {
			e.Points = append(e.Points,
				survey.EdgePoint{Along: between(-500, 500), Offset: survey.Measured(math.Round(y), survey.ByTape)})
			y += 300 + 700*r.Float64()
		}
		r.Shuffle(len(e.Points), func(i, j int) { e.Points[i], e.Points[j] = e.Points[j], e.Points[i] })
	}
	edge(&s.Drive.RunBackEdge)
	edge(&s.Drive.LatchEdge)
	s.Ground.Soil = pick(survey.SoilFirm, survey.SoilSoft, survey.SoilWet, survey.SoilRock)
	s.Ground.DepthToFirm = between(0, 900)
	s.Gate.Guide, s.Gate.Motor = pick(survey.GuideOnPost, survey.GuideCastIn, survey.GuideBasePlate),
		pick(survey.MotorNone, survey.MotorPlugIn, survey.MotorWired)
	s.Gate.Outlet, s.Gate.Cables, s.Gate.HardStop = pick(survey.OutletOwnPost, survey.OutletGuidePost),
		pick(survey.Yes, survey.No), pick(survey.Yes, survey.No)
	s.Gate.Cladding = between(0, 60)
	return s
}

// RandomLeafSite is a random site with a random leaf, on a random grade.
func RandomLeafSite(r *rand.Rand) survey.Survey {
	s := RandomSite(r)
	pick := func(options ...string) string { return options[r.IntN(len(options))] }
	s.Gate.Panels, s.Gate.Driven = pick(survey.PanelsOne, survey.PanelsTwo, survey.PanelsThree),
		pick(survey.DrivenLast, survey.DrivenFirst)
	s.Gate.Metal = pick(survey.MetalSteel, survey.MetalAluminium)
	s.Gate.Infill = pick(survey.InfillBattens, survey.InfillBoards, survey.InfillUprights, survey.InfillSheet,
		survey.InfillMesh, survey.InfillOpen)
	s.Gate.LatchStop = pick(survey.Yes, survey.Yes, survey.No)
	s.Gate.Height = survey.Measured(math.Round(900+1400*r.Float64()), survey.ByTape)
	if r.IntN(2) == 0 {
		s.Gate.Cladding = survey.Measured(0, survey.ByTape)
	}
	if r.IntN(2) == 0 {
		s.Ground.Shape = survey.GroundSlopes
		s.Ground.Levels.Taken = survey.LevelsBySlopes
		s.Ground.Levels.Along = survey.Measured(-0.1+0.2*r.Float64(), survey.ByStaff)
	}
	return s
}

// RandomFallingSite is a random site with a random leaf on ground that falls away.
func RandomFallingSite(r *rand.Rand) survey.Survey {
	s := RandomLeafSite(r)
	s.Ground.Shape, s.Ground.Levels.Taken = survey.GroundFalls, survey.LevelsBySlopes
	s.Ground.Levels.Along = survey.Measured(-0.08+0.16*r.Float64(), survey.ByStaff)
	s.Ground.Levels.BankStep = survey.Measured(-50-800*r.Float64(), survey.ByTape)
	s.Ground.Levels.BankAlong = survey.Measured(-0.25*r.Float64(), survey.ByStaff)
	s.Gate.FootingBar = []string{survey.BarFlat, survey.BarOnEdge}[r.IntN(2)]
	s.Gate.PadOn = []string{survey.PadConcrete, survey.PadSteel}[r.IntN(2)]
	return s
}

// RandomGroundSite is a random site with a random leaf on ground read from a string
// line: levels in a row along the track and some off it, or nearly none, and beside
// the drive to about where the strip ends.
func RandomGroundSite(r *rand.Rand) survey.Survey {
	s := RandomLeafSite(r)
	s.Ground.Shape = []string{survey.GroundSlopes, survey.GroundRises, survey.GroundFalls}[r.IntN(3)]
	s.Ground.Levels.Taken, s.Ground.Levels.String = survey.LevelsByString, survey.Measured(100000, survey.ByTape)
	width, grade, across := s.Opening.Width.Size, -0.04+0.08*r.Float64(), -0.04+0.08*r.Float64()
	drop := func(x, y, above float64) {
		down := 1500 - grade*x - across*y - above + 6*r.NormFloat64()
		s.Ground.Levels.Drops = append(s.Ground.Levels.Drops,
			DropAt("", math.Round(x), math.Round(y), math.Round(down)))
	}
	for i := range 2 + r.IntN(4) {
		drop(width*float64(i)/5, 60+80*r.Float64(), 0)
	}
	for range r.IntN(3) {
		drop(width*r.Float64()*0.9, 1600*r.Float64(), 0)
	}
	step, slope := 700*r.Float64(), 0.12*r.Float64()
	if s.Ground.Shape == survey.GroundFalls {
		step, slope = -step, -slope
	}
	far := width * (0.8 + 0.5*r.Float64())
	for i := range r.IntN(5) {
		x := 700 + far*float64(i)/4
		drop(width+x, []float64{100, 100, 1500}[r.IntN(3)], step+slope*x)
	}
	return s
}
