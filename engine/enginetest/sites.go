package enginetest

import (
	"math"
	"strconv"

	"pegpour/engine/survey"
)

// SquareSite is a square concrete drive on firm ground, opening 4000, hard
// stop, motor beside a gate-post bracket.
func SquareSite() survey.Survey {
	var s survey.Survey
	s.Opening.Width = survey.Measured(4000, survey.ByTape)
	s.Opening.Hand, s.Opening.SeenFrom = survey.HandRight, survey.SeenFromStreet
	s.Drive.Surface, s.Drive.ConcreteSound = survey.SurfaceConcrete, survey.Yes
	s.Drive.RunBackEdge.Given, s.Drive.LatchEdge.Given = survey.EdgeSquare, survey.EdgeSquare
	s.Drive.RunBackEdge.Along = survey.Measured(0, survey.ByTape)
	s.Ground.Soil = survey.SoilFirm
	s.Gate.Motor, s.Gate.Guide, s.Gate.HardStop = survey.MotorPlugIn, survey.GuideOnPost, survey.Yes
	s.Gate.Outlet, s.Gate.Cables = survey.OutletOwnPost, survey.No
	s.RunBack.Room = survey.Measured(6000, survey.ByTape)
	s.RunBack.Depth = survey.Measured(1500, survey.ByTape)
	return s
}

// AngledSite is a site well away from where any size stops mattering: an edge
// leaning over the run-back, a cast-in guide post, soft ground.
func AngledSite() survey.Survey {
	s := SquareSite()
	s.Gate.Guide = survey.GuideCastIn
	s.Gate.Height, s.Gate.Cladding = survey.Measured(1800, survey.ByTape), survey.Measured(19, survey.ByTape)
	s.Opening.PostRunBack, s.Opening.PostLatch, s.Opening.PostDepth = survey.Measured(100, survey.ByTape),
		survey.Measured(100, survey.ByTape), survey.Measured(100, survey.ByTape)
	s.Drive.RunBackEdge = survey.Edge{Given: survey.EdgeAngle, Along: survey.Measured(60, survey.ByTape),
		Angle: survey.Measured(68*math.Pi/180, survey.ByPhone)}
	s.Drive.LatchEdge = survey.Edge{Given: survey.EdgeSquare, Along: survey.Measured(100, survey.ByTape)}
	s.Ground.Soil, s.Ground.DepthToFirm = survey.SoilSoft, survey.Measured(260, survey.ByTape)
	s.Drive.Surface = survey.SurfaceEarth
	return s
}

// RakedSite is a square site on a track that climbs 1 in 20.
func RakedSite() survey.Survey {
	s := SquareSite()
	s.Gate.Guide = survey.GuideCastIn
	s.Ground.Shape, s.Ground.Levels.Taken, s.Ground.Levels.Along = survey.GroundSlopes, survey.LevelsBySlopes,
		survey.Measured(0.05, survey.ByStaff)
	return s
}

// StackedSite has a leaf of two panels.
func StackedSite() survey.Survey {
	s := SquareSite()
	s.Gate.Guide, s.Gate.Panels = survey.GuideCastIn, survey.PanelsTwo
	return s
}

// SlopingSite is a concrete drive with the grade and cross-fall given, read
// from a string line at four places, and the ground beside it on the same plane.
func SlopingSite(grade, crossFall float64) survey.Survey {
	s := SquareSite()
	s.Gate.Guide = survey.GuideCastIn
	s.Ground.Shape = survey.GroundSlopes
	s.Ground.Levels.String = survey.Measured(100000, survey.ByTape)
	for _, q := range [][2]float64{{0, 100}, {2000, 100}, {4000, 100}, {2000, 1600}, {6000, 100}, {9000, 1200}} {
		s.Ground.Levels.Drops = append(s.Ground.Levels.Drops, DropAt("", q[0], q[1], 1000-grade*q[0]-crossFall*(q[1]-100)))
	}
	return s
}

// RisingSite stands a straight bank beside a level drive: step at the edge, then
// rising along the fence at the slope given, the same at every offset.
func RisingSite(step, slope float64) survey.Survey {
	s := SquareSite()
	s.Gate.Guide = survey.GuideCastIn
	s.Ground.Shape = survey.GroundRises
	s.Ground.Levels.String = survey.Measured(100000, survey.ByTape)
	s.Ground.Levels.Drops = []survey.StringDrop{DropAt("a", 0, 100, 1000), DropAt("b", 2000, 100, 1000),
		DropAt("c", 4000, 100, 1000), DropAt("d", 2000, 1500, 1000)}
	for _, y := range []float64{100, 3000} {
		for _, x := range []float64{4010, 12000} {
			s.Ground.Levels.Drops = append(s.Ground.Levels.Drops,
				DropAt("bank "+strconv.Itoa(int(x)), x, y, 1000-step-slope*(x-4010)))
		}
	}
	return s
}

// DropAt is a reading down from a string line, at a chainage and an offset.
func DropAt(name string, x, y, down float64) survey.StringDrop {
	return survey.StringDrop{Name: name, Along: survey.Measured(x, survey.ByTape),
		Offset: survey.Measured(y, survey.ByTape), Down: survey.Measured(down, survey.ByString)}
}

// FallingSite drops 300 at the edge of the drive and 1 in 8 from there on.
func FallingSite() survey.Survey {
	s := SquareSite()
	s.Ground.Shape, s.Ground.Levels.Taken = survey.GroundFalls, survey.LevelsBySlopes
	s.Ground.Levels.Along = survey.Measured(0, survey.ByStaff)
	s.Ground.Levels.BankStep, s.Ground.Levels.BankAlong = survey.Measured(-300, survey.ByTape),
		survey.Measured(-0.125, survey.ByStaff)
	return s
}

// Surfaces are sites that differ in what the strip lies in.
func Surfaces() map[string]survey.Survey {
	all := map[string]survey.Survey{}
	site := func(name string, change func(*survey.Survey)) {
		s := SquareSite()
		s.Gate.Guide, s.Gate.Motor = survey.GuideCastIn, survey.MotorPlugIn
		change(&s)
		all[name] = s
	}
	site("concrete", func(s *survey.Survey) {
		s.Drive.Surface, s.Drive.ConcreteSound = survey.SurfaceConcrete,
			survey.Yes
	})
	site("bitumen", func(s *survey.Survey) {
		s.Drive.Surface, s.Gate.Guide = survey.SurfaceBitumen,
			survey.GuideBasePlate
	})
	site("gravel", func(s *survey.Survey) { s.Drive.Surface = survey.SurfaceGravel })
	site("pavers-over", func(s *survey.Survey) {
		s.Drive.Surface, s.Drive.PaverBase, s.Drive.PaverMethod = survey.SurfacePavers, survey.PaverOnSand, survey.PaverOver
		s.Drive.PaverThickness = survey.Measured(60, survey.ByTape)
		s.Gate.Cladding = survey.Measured(20, survey.ByTape)
	})
	site("earth", func(s *survey.Survey) { s.Drive.Surface = survey.SurfaceEarth })
	return all
}
