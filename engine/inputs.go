package engine

import (
	"pegpour/engine/geom"
	"pegpour/engine/ground"
	"pegpour/engine/survey"
)

// inputs are the survey's values as Design uses them: each one measured, or
// assumed and listed as such.
type inputs struct {
	width, postLatch, postRunBack, postDepth float64
	hand, seenFrom, postMade                 string

	surface, paverBase, paverMethod string
	concreteSound                   bool
	paverThickness                  float64
	vehicle                         string
	runBackEdge, latchEdge          geom.Edge
	taped                           []ground.TapedPoint // of both edges
	edgeSquare                      bool                // the run-back edge is square to the fence
	edgeAngle                       float64

	room, depth           float64
	roomKnown, depthKnown bool

	soil        string
	soilKnown   bool
	depthToFirm float64
	bearing     ground.Bearing
	mayBeClay   bool   // so that it was asked whether it swells
	expansive   string // the answer

	height, cladding     float64
	motor, outlet, guide string
	cables, hardStop     bool
	leafInputs

	// assumedPaths are the reader's: of all that was read by now.
	assumedPaths map[string]bool
}

// resolve reads the survey.
func resolve(r *survey.Reader) inputs {
	in := inputs{assumedPaths: r.AssumedPaths()}
	for _, path := range [...]survey.Path{survey.SiteName, survey.SiteAddress, survey.SiteClient, survey.SitePhone,
		survey.SiteMeasuredBy, survey.SiteMeasuredOn, survey.SiteNotes} {
		r.Words(path)
	}
	in.width, _ = r.Number(survey.OpeningWidth)
	in.hand = r.Choice(survey.OpeningHand)
	in.seenFrom = r.Choice(survey.OpeningSeenFrom)
	in.postRunBack, _ = r.Number(survey.OpeningPostRunBack)
	in.postLatch, _ = r.Number(survey.OpeningPostLatch)
	in.postDepth, _ = r.Number(survey.OpeningPostDepth)
	in.postMade = r.Choice(survey.OpeningPostMade)

	in.surface = r.Choice(survey.DriveSurface)
	in.concreteSound = true
	switch in.surface {
	case survey.SurfaceConcrete:
		in.concreteSound = r.Choice(survey.DriveConcreteSound) == survey.Yes
	case survey.SurfacePavers:
		in.paverBase = r.Choice(survey.DrivePaverBase)
		if in.paverBase != survey.PaverOnConcrete {
			in.paverMethod = r.Choice(survey.DrivePaverMethod)
			if in.paverMethod == survey.PaverOver {
				in.paverThickness, _ = r.Number(survey.DrivePaverThickness)
			}
		}
	}
	if !in.carriesTrack() {
		in.vehicle = r.Choice(survey.DriveVehicle)
	}
	drive := &r.Survey().Drive
	var atLatch []ground.TapedPoint
	in.runBackEdge, in.edgeSquare, in.taped = ground.ReadEdge(r, &survey.RunBackEdgePaths, &drive.RunBackEdge, in.width)
	in.latchEdge, _, atLatch = ground.ReadEdge(r, &survey.LatchEdgePaths, &drive.LatchEdge, 0)
	in.taped = append(in.taped, atLatch...)
	in.edgeAngle = ground.FirstAngle(in.runBackEdge)

	in.room, in.roomKnown = r.Number(survey.RunBackRoom)
	in.depth, in.depthKnown = r.Number(survey.RunBackDepth)

	in.soil = r.Choice(survey.GroundSoil)
	in.soilKnown = !r.IsAssumed(survey.GroundSoil)
	class := ""
	if in.soilKnown {
		if class = r.Choice(survey.GroundClass); class == survey.ClassUnknown {
			class = ""
		}
	}
	if in.soil == survey.SoilSoft || in.soil == survey.SoilWet {
		in.depthToFirm, _ = r.Number(survey.GroundDepthToFirm)
	}
	in.bearing = ground.FindBearing(in.soil, in.soilKnown, class, in.depthToFirm)
	if !survey.LiesStill(in.soil, class) {
		in.bearing.Frost, _ = r.Number(survey.GroundFrost)
	}
	if in.mayBeClay = in.soilKnown && in.soil != survey.SoilRock && (class == "" || class == "clay"); in.mayBeClay {
		in.expansive = r.Choice(survey.GroundExpansive)
	}
	if in.expansive == survey.Yes {
		in.bearing.Swells = r.Practice().SwellDepth
	}

	in.height, _ = r.Number(survey.GateHeight)
	in.cladding, _ = r.Number(survey.GateCladding)
	in.motor = r.Choice(survey.GateMotor)
	if in.motor == survey.MotorPlugIn {
		in.outlet = r.Choice(survey.GateOutlet)
	}
	if in.motor != survey.MotorNone {
		in.cables = r.Choice(survey.GateCables) == survey.Yes
	}
	in.guide = r.Choice(survey.GateGuide)
	in.hardStop = r.Choice(survey.GateHardStop) == survey.Yes
	in.leafInputs = resolveLeaf(r, in.motor)
	return in
}
