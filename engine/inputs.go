package engine

import "pegpour/engine/geom"

// inputs are the survey's values as Design uses them: each one measured, or
// assumed and listed as such.
type inputs struct {
	width, postLatch, postRunBack, postDepth float64
	hand, seenFrom                           string

	surface, paverBase, paverMethod string
	concreteSound                   bool
	paverThickness                  float64
	runBackEdge, latchEdge          geom.Edge
	taped                           []tapedPoint // of both edges
	edgeSquare                      bool         // the run-back edge is square to the fence
	edgeAngle                       float64

	room, depth           float64
	roomKnown, depthKnown bool

	soil        string
	soilClass   string
	soilKnown   bool
	depthToFirm float64

	height, cladding     float64
	motor, outlet, guide string
	cables, hardStop     bool
	leafInputs

	// assumedPaths are the reader's: of all that was read by now.
	assumedPaths map[string]bool
}

// resolve reads the survey.
func resolve(r *Reader) inputs {
	in := inputs{assumedPaths: r.AssumedPaths()}
	for _, path := range [...]Path{SiteName, SiteAddress, SiteClient, SitePhone, SiteMeasuredBy, SiteMeasuredOn, SiteNotes} {
		r.Words(path)
	}
	in.width, _ = r.Number(OpeningWidth)
	in.hand = r.Choice(OpeningHand)
	in.seenFrom = r.Choice(OpeningSeenFrom)
	in.postRunBack, _ = r.Number(OpeningPostRunBack)
	in.postLatch, _ = r.Number(OpeningPostLatch)
	in.postDepth, _ = r.Number(OpeningPostDepth)

	in.surface = r.Choice(DriveSurface)
	in.concreteSound = true
	switch in.surface {
	case SurfaceConcrete:
		in.concreteSound = r.Choice(DriveConcreteSound) == Yes
	case SurfacePavers:
		in.paverBase = r.Choice(DrivePaverBase)
		if in.paverBase != PaverOnConcrete {
			in.paverMethod = r.Choice(DrivePaverMethod)
			if in.paverMethod == PaverOver {
				in.paverThickness, _ = r.Number(DrivePaverThickness)
			}
		}
	}
	drive := &r.Survey().Drive
	var atLatch []tapedPoint
	in.runBackEdge, in.edgeSquare, in.taped = readEdge(r, &RunBackEdgePaths, &drive.RunBackEdge, in.width)
	in.latchEdge, _, atLatch = readEdge(r, &LatchEdgePaths, &drive.LatchEdge, 0)
	in.taped = append(in.taped, atLatch...)
	in.edgeAngle = firstAngle(in.runBackEdge)

	in.room, in.roomKnown = r.Number(RunBackRoom)
	in.depth, in.depthKnown = r.Number(RunBackDepth)

	in.soil = r.Choice(GroundSoil)
	in.soilKnown = !r.IsAssumed(GroundSoil)
	if in.soilKnown {
		if class := r.Choice(GroundClass); class != ClassUnknown {
			in.soilClass = class
		}
	}
	if in.soil == SoilSoft || in.soil == SoilWet {
		in.depthToFirm, _ = r.Number(GroundDepthToFirm)
	}

	in.height, _ = r.Number(GateHeight)
	in.cladding, _ = r.Number(GateCladding)
	in.motor = r.Choice(GateMotor)
	if in.motor == MotorPlugIn {
		in.outlet = r.Choice(GateOutlet)
	}
	if in.motor != MotorNone {
		in.cables = r.Choice(GateCables) == Yes
	}
	in.guide = r.Choice(GateGuide)
	in.hardStop = r.Choice(GateHardStop) == Yes
	in.leafInputs = resolveLeaf(r, in.motor)
	return in
}
