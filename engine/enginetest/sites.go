package enginetest

import (
	"math"
	"strconv"

	"pegpour/engine"
)

// SquareSite is a square concrete drive on firm ground, opening 4000, hard
// stop, motor beside a gate-post bracket.
func SquareSite() engine.Survey {
	var s engine.Survey
	s.Opening.Width = engine.Measured(4000, engine.ByTape)
	s.Opening.Hand, s.Opening.SeenFrom = engine.HandRight, engine.SeenFromStreet
	s.Drive.Surface, s.Drive.ConcreteSound = engine.SurfaceConcrete, engine.Yes
	s.Drive.RunBackEdge.Given, s.Drive.LatchEdge.Given = engine.EdgeSquare, engine.EdgeSquare
	s.Drive.RunBackEdge.Along = engine.Measured(0, engine.ByTape)
	s.Ground.Soil = engine.SoilFirm
	s.Gate.Motor, s.Gate.Guide, s.Gate.HardStop = engine.MotorPlugIn, engine.GuideOnPost, engine.Yes
	s.Gate.Outlet, s.Gate.Cables = engine.OutletOwnPost, engine.No
	s.RunBack.Room = engine.Measured(6000, engine.ByTape)
	s.RunBack.Depth = engine.Measured(1500, engine.ByTape)
	return s
}

// AngledSite is a site well away from where any size stops mattering: an edge
// leaning over the run-back, a cast-in guide post, soft ground.
func AngledSite() engine.Survey {
	s := SquareSite()
	s.Gate.Guide = engine.GuideCastIn
	s.Gate.Height, s.Gate.Cladding = engine.Measured(1800, engine.ByTape), engine.Measured(19, engine.ByTape)
	s.Opening.PostRunBack, s.Opening.PostLatch, s.Opening.PostDepth = engine.Measured(100, engine.ByTape), engine.Measured(100, engine.ByTape), engine.Measured(100, engine.ByTape)
	s.Drive.RunBackEdge = engine.Edge{Given: engine.EdgeAngle, Along: engine.Measured(60, engine.ByTape), Angle: engine.Measured(68*math.Pi/180, engine.ByPhone)}
	s.Drive.LatchEdge = engine.Edge{Given: engine.EdgeSquare, Along: engine.Measured(100, engine.ByTape)}
	s.Ground.Soil, s.Ground.DepthToFirm = engine.SoilSoft, engine.Measured(260, engine.ByTape)
	s.Drive.Surface = engine.SurfaceEarth
	return s
}

// RakedSite is a square site on a track that climbs 1 in 20.
func RakedSite() engine.Survey {
	s := SquareSite()
	s.Gate.Guide = engine.GuideCastIn
	s.Ground.Shape, s.Ground.Levels.Taken, s.Ground.Levels.Along = engine.GroundSlopes, engine.LevelsBySlopes, engine.Measured(0.05, engine.ByStaff)
	return s
}

// StackedSite has a leaf of two panels.
func StackedSite() engine.Survey {
	s := SquareSite()
	s.Gate.Guide, s.Gate.Panels = engine.GuideCastIn, engine.PanelsTwo
	return s
}

// SlopingSite is a concrete drive with the grade and cross-fall given, read
// from a string line at four places, and the ground beside it on the same plane.
func SlopingSite(grade, crossFall float64) engine.Survey {
	s := SquareSite()
	s.Gate.Guide = engine.GuideCastIn
	s.Ground.Shape = engine.GroundSlopes
	s.Ground.Levels.String = engine.Measured(100000, engine.ByTape)
	for _, q := range [][2]float64{{0, 100}, {2000, 100}, {4000, 100}, {2000, 1600}, {6000, 100}, {9000, 1200}} {
		s.Ground.Levels.Drops = append(s.Ground.Levels.Drops, DropAt("", q[0], q[1], 1000-grade*q[0]-crossFall*(q[1]-100)))
	}
	return s
}

// RisingSite stands a straight bank beside a level drive: step at the edge, then
// rising along the fence at the slope given, the same at every offset.
func RisingSite(step, slope float64) engine.Survey {
	s := SquareSite()
	s.Gate.Guide = engine.GuideCastIn
	s.Ground.Shape = engine.GroundRises
	s.Ground.Levels.String = engine.Measured(100000, engine.ByTape)
	s.Ground.Levels.Drops = []engine.StringDrop{DropAt("a", 0, 100, 1000), DropAt("b", 2000, 100, 1000), DropAt("c", 4000, 100, 1000), DropAt("d", 2000, 1500, 1000)}
	for _, y := range []float64{100, 3000} {
		for _, x := range []float64{4010, 12000} {
			s.Ground.Levels.Drops = append(s.Ground.Levels.Drops, DropAt("bank "+strconv.Itoa(int(x)), x, y, 1000-step-slope*(x-4010)))
		}
	}
	return s
}

// DropAt is a reading down from a string line, at a chainage and an offset.
func DropAt(name string, x, y, down float64) engine.StringDrop {
	return engine.StringDrop{Name: name, Along: engine.Measured(x, engine.ByTape), Offset: engine.Measured(y, engine.ByTape), Down: engine.Measured(down, engine.ByString)}
}

// FallingSite drops 300 at the edge of the drive and 1 in 8 from there on.
func FallingSite() engine.Survey {
	s := SquareSite()
	s.Ground.Shape, s.Ground.Levels.Taken = engine.GroundFalls, engine.LevelsBySlopes
	s.Ground.Levels.Along = engine.Measured(0, engine.ByStaff)
	s.Ground.Levels.BankStep, s.Ground.Levels.BankAlong = engine.Measured(-300, engine.ByTape), engine.Measured(-0.125, engine.ByStaff)
	return s
}

// Surfaces are sites that differ in what the strip lies in.
func Surfaces() map[string]engine.Survey {
	all := map[string]engine.Survey{}
	site := func(name string, change func(*engine.Survey)) {
		s := SquareSite()
		s.Gate.Guide, s.Gate.Motor = engine.GuideCastIn, engine.MotorPlugIn
		change(&s)
		all[name] = s
	}
	site("concrete", func(s *engine.Survey) { s.Drive.Surface, s.Drive.ConcreteSound = engine.SurfaceConcrete, engine.Yes })
	site("bitumen", func(s *engine.Survey) { s.Drive.Surface, s.Gate.Guide = engine.SurfaceBitumen, engine.GuideBasePlate })
	site("gravel", func(s *engine.Survey) { s.Drive.Surface = engine.SurfaceGravel })
	site("pavers-over", func(s *engine.Survey) {
		s.Drive.Surface, s.Drive.PaverBase, s.Drive.PaverMethod = engine.SurfacePavers, engine.PaverOnSand, engine.PaverOver
		s.Drive.PaverThickness = engine.Measured(60, engine.ByTape)
		s.Gate.Cladding = engine.Measured(20, engine.ByTape)
	})
	site("earth", func(s *engine.Survey) { s.Drive.Surface = engine.SurfaceEarth })
	return all
}
