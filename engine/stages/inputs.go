package stages

import (
	"pegpour/engine/geom"
	"pegpour/engine/ground"
	"pegpour/engine/survey"
)

// Inputs are the survey's values as Design uses them: each one measured, or
// assumed and listed as such.
type Inputs struct {
	Width, PostLatch, PostRunBack, PostDepth float64
	Hand, SeenFrom, postMade                 string

	Surface, paverBase, paverMethod string
	concreteSound                   bool
	paverThickness                  float64
	vehicle                         string
	RunBackEdge, latchEdge          geom.Edge
	taped                           []ground.TapedPoint // of both edges
	edgeSquare                      bool                // the run-back edge is square to the fence
	EdgeAngle                       float64

	Room, Depth           float64
	RoomKnown, DepthKnown bool

	Soil        string
	SoilKnown   bool
	DepthToFirm float64
	Bearing     ground.Bearing
	MayBeClay   bool   // so that it was asked whether it swells
	Expansive   string // the answer

	height, Cladding     float64
	Motor, Outlet, Guide string
	cables, HardStop     bool
	leafInputs

	// Meets says that the leaf is one of a pair: it shuts at chainage 0 against the
	// other and the stop in the drive, and no post stands there.
	Meets bool

	// Stands is what stands there already; nil where nothing does.
	Stands *survey.Stands

	// assumedPaths are the reader's: of all that was read by now.
	AssumedPaths map[string]bool
}

// Resolve reads the survey.
func Resolve(r *survey.Reader) Inputs {
	in := Inputs{AssumedPaths: r.AssumedPaths(), Stands: r.Survey().Stands, Meets: r.Survey().Meets > 0}
	for _, path := range [...]survey.Path{survey.SiteName, survey.SiteAddress, survey.SitePlace, survey.SiteClient, survey.SitePhone,
		survey.SiteMeasuredBy, survey.SiteMeasuredOn, survey.SiteNotes} {
		r.Words(path)
	}
	in.Width, _ = r.Number(survey.OpeningWidth)
	in.Hand = r.Choice(survey.OpeningHand)
	in.SeenFrom = r.Choice(survey.OpeningSeenFrom)
	in.PostRunBack, _ = r.Number(survey.OpeningPostRunBack)
	if !in.Meets {
		in.PostLatch, _ = r.Number(survey.OpeningPostLatch)
	}
	in.PostDepth, _ = r.Number(survey.OpeningPostDepth)
	in.postMade = r.Choice(survey.OpeningPostMade)

	in.Surface = r.Choice(survey.DriveSurface)
	in.concreteSound = true
	hangs := survey.HangsFree(r.Survey())
	switch {
	case hangs:
	case in.Surface == survey.SurfaceConcrete:
		in.concreteSound = r.Choice(survey.DriveConcreteSound) == survey.Yes
	case in.Surface == survey.SurfacePavers:
		in.paverBase = r.Choice(survey.DrivePaverBase)
		if in.paverBase != survey.PaverOnConcrete {
			in.paverMethod = r.Choice(survey.DrivePaverMethod)
			if in.paverMethod == survey.PaverOver {
				in.paverThickness, _ = r.Number(survey.DrivePaverThickness)
			}
		}
	}
	if !hangs && !in.carriesTrack() {
		in.vehicle = r.Choice(survey.DriveVehicle)
	}
	drive := &r.Survey().Drive
	var atLatch []ground.TapedPoint
	in.RunBackEdge, in.edgeSquare, in.taped = ground.ReadEdge(r, &survey.RunBackEdgePaths, &drive.RunBackEdge, in.Width)
	in.latchEdge, _, atLatch = ground.ReadEdge(r, &survey.LatchEdgePaths, &drive.LatchEdge, 0)
	in.taped = append(in.taped, atLatch...)
	in.EdgeAngle = ground.FirstAngle(in.RunBackEdge)

	in.Room, in.RoomKnown = r.Number(survey.RunBackRoom)
	in.Depth, in.DepthKnown = r.Number(survey.RunBackDepth)

	in.Soil = r.Choice(survey.GroundSoil)
	in.SoilKnown = !r.IsAssumed(survey.GroundSoil)
	class := ""
	if in.SoilKnown {
		if class = r.Choice(survey.GroundClass); class == survey.ClassUnknown {
			class = ""
		}
	}
	if in.Soil == survey.SoilSoft || in.Soil == survey.SoilWet {
		in.DepthToFirm, _ = r.Number(survey.GroundDepthToFirm)
	}
	in.Bearing = ground.FindBearing(in.Soil, in.SoilKnown, class, in.DepthToFirm)
	if !survey.LiesStill(in.Soil, class) {
		in.Bearing.Frost, _ = r.Number(survey.GroundFrost)
	}
	if in.MayBeClay = in.SoilKnown && in.Soil != survey.SoilRock && (class == "" || class == "clay"); in.MayBeClay {
		in.Expansive = r.Choice(survey.GroundExpansive)
	}
	if in.Expansive == survey.Yes {
		in.Bearing.Swells = r.Practice().SwellDepth
	}

	in.height, _ = r.Number(survey.GateHeight)
	in.Cladding, _ = r.Number(survey.GateCladding)
	in.Motor = r.Choice(survey.GateMotor)
	if in.Motor == survey.MotorPlugIn {
		in.Outlet = r.Choice(survey.GateOutlet)
	}
	if in.Motor != survey.MotorNone {
		in.cables = r.Choice(survey.GateCables) == survey.Yes
	}
	in.Guide = r.Choice(survey.GateGuide)
	in.HardStop = r.Choice(survey.GateHardStop) == survey.Yes
	in.leafInputs = resolveLeaf(r, in.Motor)
	return in
}
