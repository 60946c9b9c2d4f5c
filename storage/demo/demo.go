// Package demo holds sites of our own invention, so that a new user sees what
// the tool does, and so that drawings and tests have sites to work on. None of
// them is a real place.
package demo

import (
	"math"

	"pegpour/engine/survey"
)

// Site is one demo site.
type Site struct {
	// ID is fixed, so that a demo is the same site on every device.
	ID     string
	Survey survey.Survey
	// Ticks are what was ticked off, as a document holds them.
	Ticks map[string]bool
	// Practice are rules that hold for this site only, by key.
	Practice map[string]float64
	// Accepted is the site as it was when the last agreement of Survey was signed, where
	// something was changed since; nil where nothing was. The agreement is not bound to
	// it yet: whoever makes the document does that.
	Accepted *survey.Survey
}

// Sites lists the demo sites.
func Sites() []Site {
	sites := []Site{
		{ID: "00000000-0000-4000-8000-000000000001", Survey: squareConcrete()},
		{ID: "00000000-0000-4000-8000-000000000002", Survey: angledDrive()},
		{ID: "00000000-0000-4000-8000-000000000003", Survey: gravel()},
		{ID: "00000000-0000-4000-8000-000000000004", Survey: liftedPavers()},
	}
	return append(append(sites, groundSites()...), append(append(carriedSites(), networkSites()...),
		append(append(waysSites(), hangingSites()...), Pair(), halfBuilt(), varied())...)...)
}

func tape(v float64) survey.Value     { return survey.Measured(v, survey.ByTape) }
func laser(v float64) survey.Value    { return survey.Measured(v, survey.ByLaser) }
func degrees(v float64) survey.Value  { return survey.Measured(v*math.Pi/180, survey.ByTape) }
func estimate(v float64) survey.Value { return survey.Measured(v, survey.ByEstimate) }

// base is what the demo sites have in common.
func base(name, address, notes string) survey.Survey {
	var s survey.Survey
	s.Site = survey.Site{Name: name, Address: address, MeasuredBy: "Demo crew", Notes: notes}
	s.Opening.Hand, s.Opening.SeenFrom = survey.HandRight, survey.SeenFromStreet
	s.Opening.PostLatch, s.Opening.PostRunBack, s.Opening.PostDepth = tape(100), tape(100), tape(100)
	s.Opening.PostMade = survey.PostSteel
	s.Drive.RunBackEdge = survey.Edge{Given: survey.EdgeSquare, Along: tape(0)}
	s.Drive.LatchEdge = survey.Edge{Given: survey.EdgeSquare, Along: tape(0)}
	s.Ground.Soil = survey.SoilFirm
	s.Gate = survey.Gate{Height: tape(1800), Cladding: tape(0), Motor: survey.MotorPlugIn, Outlet: survey.OutletOwnPost,
		Cables: survey.No, Guide: survey.GuideCastIn, HardStop: survey.Yes, Infill: survey.InfillUprights,
		OpenCatch: survey.Yes}
	return s
}

func squareConcrete() survey.Survey {
	s := base("Demo: square concrete drive", "1 Sample Street",
		"A sound concrete drive, square to the fence; firm ground beside it.")
	s.Opening.Width = laser(4000)
	s.Drive.Surface, s.Drive.ConcreteSound = survey.SurfaceConcrete, survey.Yes
	s.RunBack.Room, s.RunBack.Depth = laser(5600), tape(1400)
	s.Gate.Guide = survey.GuideOnPost
	return s
}

func angledDrive() survey.Survey {
	s := base("Demo: angled drive", "2 Sample Street",
		"The drive runs in at an angle and leans over the run-back; a tree stands behind.")
	s.Opening.Width = laser(4350)
	s.Opening.Hand = survey.HandLeft
	s.Drive.Surface, s.Drive.ConcreteSound = survey.SurfaceConcrete, survey.Yes
	s.Drive.RunBackEdge = survey.Edge{Given: survey.EdgePoints, Points: []survey.EdgePoint{
		{Along: tape(60), Offset: tape(0)}, {Along: tape(575), Offset: tape(1400)}}}
	s.Drive.LatchEdge = survey.Edge{Given: survey.EdgeAngle, Along: tape(-250), Angle: degrees(70)}
	s.RunBack.Room, s.RunBack.Depth = laser(6900), tape(1700)
	s.RunBack.Obstructions = []survey.Obstruction{{Kind: survey.ObstructionTree, Name: "Lemon tree", Along: tape(3100),
		Offset: tape(850), Length: tape(300), Width: tape(300)}}
	s.Gate.Motor, s.Gate.Outlet, s.Gate.Cables = survey.MotorWired, "", survey.Yes
	s.Gate.Cladding, s.Gate.Infill, s.Gate.OpenCatch = tape(20), "", ""
	return s
}

func gravel() survey.Survey {
	s := base("Demo: gravel drive, soft ground", "3 Sample Street",
		"Loose gravel; the ground beside it is filled and soft to 260.")
	s.Opening.Width = laser(3600)
	s.Drive.Surface = survey.SurfaceGravel
	s.Drive.RunBackEdge.Along = tape(150)
	s.Drive.LatchEdge.Along = tape(120)
	s.RunBack.Room, s.RunBack.Depth = laser(5000), tape(1200)
	s.Ground.Soil, s.Ground.DepthToFirm = survey.SoilSoft, tape(260)
	s.RunBack.Obstructions = []survey.Obstruction{{Kind: survey.ObstructionTap, Name: "Garden tap", Along: tape(1900),
		Offset: tape(420), Length: tape(120), Width: tape(120)}}
	return s
}

func liftedPavers() survey.Survey {
	s := base("Demo: lifted pavers", "4 Sample Street",
		"Pavers on sand: a strip is lifted and the concrete tinted to match. The guide post is bolted down.")
	s.Opening.Width = laser(3850)
	s.Opening.SeenFrom = survey.SeenFromInside
	s.Drive.Surface, s.Drive.PaverBase, s.Drive.PaverMethod = survey.SurfacePavers, survey.PaverOnSand, survey.PaverReplace
	s.Drive.RunBackEdge = survey.Edge{Given: survey.EdgeAngle, Along: tape(0), Angle: degrees(97)}
	s.RunBack.Room, s.RunBack.Depth = estimate(4900), tape(1100)
	s.Gate.Guide, s.Gate.Outlet = survey.GuideBasePlate, survey.OutletGuidePost
	return s
}
