package survey

import (
	"cmp"
	"math"
	"slices"

	"pegpour/engine/practice"
	"pegpour/engine/sorting"
	"pegpour/engine/text"
)

// Widest and narrowest angles at which a driveway edge is taken to meet the
// fence line: beyond them it never does within any yard.
const (
	EdgeAngleLow  = 15 * math.Pi / 180
	edgeAngleHigh = 165 * math.Pi / 180
)

func fixed(v float64) func(*Survey, *practice.Practice) (float64, bool) {
	return func(*Survey, *practice.Practice) (float64, bool) { return v, true }
}

func edgeGiven(e func(*Survey) *Edge, ways ...string) func(*Survey) bool {
	return func(s *Survey) bool {
		given := e(s).Given
		for _, w := range ways {
			if given == w {
				return true
			}
		}
		return false
	}
}

func runBackEdgeOf(s *Survey) *Edge { return &s.Drive.RunBackEdge }
func latchEdgeOf(s *Survey) *Edge   { return &s.Drive.LatchEdge }

// poursDriveStrip reports whether the drive does not carry the track as it is.
func poursDriveStrip(s *Survey) bool {
	if HangsFree(s) {
		return false
	}
	switch d := &s.Drive; d.Surface {
	case "", SurfaceConcrete:
		return d.ConcreteSound == No
	case SurfacePavers:
		return d.PaverBase != PaverOnConcrete
	}
	return true
}

// loosePavers are those that are lifted for the track.
func loosePavers(s *Survey) bool {
	return onTrack(s) && s.Drive.Surface == SurfacePavers && s.Drive.PaverBase != PaverOnConcrete
}

func hasMotor(s *Survey) bool {
	return s.Gate.Motor == MotorPlugIn || s.Gate.Motor == MotorWired || s.Gate.Motor == ""
}

// fixedFields is the table of every field that is not a list entry, in the
// order one walks a site: the tables of the topics, group by group, and then those
// of what is done after the set-out. It is never written to.
var fixedFields = slices.Concat(inWalkingOrder(siteFields, groundFields, carriedFields, hangingFields, leafFields, pairFields,
	otherFields(siteFields, groundFields, leafFields)), castingFields, pouredFields, handOverFields)

// fixedFieldAt finds a field of the table by its path.
var fixedFieldAt = func() map[string]int {
	at := make(map[string]int, len(fixedFields))
	for i := range fixedFields {
		at[fixedFields[i].Path] = i
	}
	return at
}()

// inWalkingOrder joins tables and keeps the fields of a group together; groups that
// are no part of the walk come last.
func inWalkingOrder(tables ...[]Field) []Field {
	groups := Groups()
	place := func(f *Field) int {
		if i := slices.Index(groups, f.Group); i >= 0 {
			return i
		}
		return len(groups)
	}
	all := slices.Concat(tables...)
	sorting.Stable(all, func(a, b Field) int { return place(&a) - place(&b) })
	return all
}

// The fields every site has, as documents write their paths. They are untyped,
// so that each stands wherever a path is wanted, a [Path] or a plain string.
const (
	SiteName       = "site.name"
	SiteAddress    = "site.address"
	SitePlace      = "site.place"
	SiteClient     = "site.client"
	SitePhone      = "site.phone"
	SiteMeasuredBy = "site.measuredBy"
	SiteMeasuredOn = "site.measuredOn"
	SiteNotes      = "site.notes"

	OpeningWidth       = "opening.width"
	OpeningHand        = "opening.hand"
	OpeningSeenFrom    = "opening.seenFrom"
	OpeningPostRunBack = "opening.postRunBack"
	OpeningPostLatch   = "opening.postLatch"
	OpeningPostDepth   = "opening.postDepth"
	OpeningPostMade    = "opening.postMade"

	DriveSurface          = "drive.surface"
	DriveConcreteSound    = "drive.concreteSound"
	DrivePaverBase        = "drive.paverBase"
	DrivePaverMethod      = "drive.paverMethod"
	DrivePaverThickness   = "drive.paverThickness"
	DriveVehicle          = "drive.vehicle"
	DriveRunBackEdgeGiven = "drive.runBackEdge.given"
	DriveRunBackEdgeAlong = "drive.runBackEdge.along"
	DriveRunBackEdgeAngle = "drive.runBackEdge.angle"
	DriveLatchEdgeGiven   = "drive.latchEdge.given"
	DriveLatchEdgeAlong   = "drive.latchEdge.along"
	DriveLatchEdgeAngle   = "drive.latchEdge.angle"

	RunBackRoom  = "runBack.room"
	RunBackDepth = "runBack.depth"

	GroundSoil        = "ground.soil"
	GroundDepthToFirm = "ground.depthToFirm"
	GroundClass       = "ground.class"
	GroundFrost       = "ground.frost"
	GroundExpansive   = "ground.expansive"

	GateHeight   = "gate.height"
	GateCladding = "gate.cladding"
	GateMotor    = "gate.motor"
	GateOutlet   = "gate.outlet"
	GateCables   = "gate.cables"
	GateGuide    = "gate.guide"
	GateHardStop = "gate.hardStop"
)

// siteFields are the fields every site has. The assumed option of a choice
// stands first.
var siteFields = []Field{
	{Path: SiteName, Group: GroupSite, Name: "Name of the site", Dimension: text.Words,
		text: func(s *Survey) *string { return &s.Site.Name }},
	{Path: SiteAddress, Group: GroupSite, Name: "Address", Dimension: text.Words,
		text: func(s *Survey) *string { return &s.Site.Address }},
	{Path: SitePlace, Group: GroupSite, Name: "Place on the map", Dimension: text.Words, words: placeSaid,
		Help: "Latitude and longitude in degrees: 51.50000, -0.12000.",
		text: func(s *Survey) *string { return &s.Site.Place }},
	{Path: SiteClient, Group: GroupSite, Name: "Client", Dimension: text.Words,
		text: func(s *Survey) *string { return &s.Site.Client }},
	{Path: SitePhone, Group: GroupSite, Name: "Telephone", Dimension: text.Words,
		text: func(s *Survey) *string { return &s.Site.Phone }},
	{Path: SiteMeasuredBy, Group: GroupSite, Name: "Measured by", Dimension: text.Words,
		text: func(s *Survey) *string { return &s.Site.MeasuredBy }},
	{Path: SiteMeasuredOn, Group: GroupSite, Name: "Measured on", Dimension: text.Words,
		text: func(s *Survey) *string { return &s.Site.MeasuredOn }},
	{Path: SiteNotes, Group: GroupSite, Name: "Notes", Dimension: text.Words,
		text: func(s *Survey) *string { return &s.Site.Notes }},

	{Path: OpeningWidth, Group: GroupOpening, Name: "Opening between the gate posts", Dimension: text.Length, Low: 800,
		High:    12000,
		Help:    "Inner face to inner face of the posts, at the bottom, the middle and the top: the smallest. Not the width of the driveway.",
		standIn: openingGuess, number: func(s *Survey) *Value { return &s.Opening.Width }},
	{Path: OpeningHand, Group: GroupOpening, Name: "Which way it runs to open", Dimension: text.Choice,
		Options: []Option{{HandRight, "To the right"}, {HandLeft, "To the left"}},
		text:    func(s *Survey) *string { return &s.Opening.Hand }},
	{Path: OpeningSeenFrom, Group: GroupOpening, Name: "Seen from", Dimension: text.Choice,
		Options: []Option{{SeenFromStreet, "The street"}, {SeenFromInside, "Inside"}},
		text:    func(s *Survey) *string { return &s.Opening.SeenFrom }},
	{Path: OpeningPostRunBack, Group: GroupOpening, Name: "Run-back post along the fence", Dimension: text.Length,
		Low: 20, High: 1500,
		Help: "The post the leaf slides behind: its size along the fence.", standIn: postSize,
		number: func(s *Survey) *Value { return &s.Opening.PostRunBack }},
	{Path: OpeningPostLatch, Group: GroupOpening, Name: "Latch post along the fence", Dimension: text.Length, Low: 20,
		High: 1500,
		Help: "The post the leaf shuts against.", standIn: postSize,
		number: func(s *Survey) *Value { return &s.Opening.PostLatch }},
	{Path: OpeningPostDepth, Group: GroupOpening, Name: "Posts square to the fence", Dimension: text.Length, Low: 20,
		High: 1500,
		Help: "Front to back.", standIn: postSize, number: func(s *Survey) *Value { return &s.Opening.PostDepth }},
	{Path: OpeningPostMade, Group: GroupOpening, Name: "Gate posts are made of", Dimension: text.Choice,
		Help: "They carry the rollers or the catch in the wind.",
		Options: []Option{{PostUnknown, "Not looked at"}, {PostSteel, "Steel, hollow"}, {PostTimber, "Timber"},
			{PostMasonry, "Stone, brick or concrete"}},
		askedIf: hangsOnPosts,
		text:    func(s *Survey) *string { return &s.Opening.PostMade }},

	{Path: DriveSurface, Group: GroupDrive, Name: "Driveway surface", Dimension: text.Choice,
		Options: []Option{{SurfaceConcrete, "Concrete"}, {SurfacePavers, "Pavers"}, {SurfaceBitumen, "Bitumen"},
			{SurfaceGravel, "Gravel"}, {SurfaceEarth, "Earth or grass"}},
		text: func(s *Survey) *string { return &s.Drive.Surface }},
	{Path: DriveConcreteSound, Group: GroupDrive, Name: "Is the concrete sound enough to carry the track?",
		Dimension: text.Choice,
		Help:      "No cracks across the track line, no rocking, at least 100 thick where you can see the edge.",
		Options:   []Option{{Yes, "Yes"}, {No, "No"}},
		askedIf: func(s *Survey) bool {
			return onTrack(s) && (s.Drive.Surface == SurfaceConcrete || s.Drive.Surface == "")
		},
		text: func(s *Survey) *string { return &s.Drive.ConcreteSound }},
	{Path: DrivePaverBase, Group: GroupDrive, Name: "What lies under the pavers", Dimension: text.Choice,
		Help:    "Lift one at the edge and look.",
		Options: []Option{{PaverOnSand, "Sand or crushed rock"}, {PaverOnConcrete, "Concrete, pavers glued to it"}},
		askedIf: func(s *Survey) bool { return onTrack(s) && s.Drive.Surface == SurfacePavers },
		text:    func(s *Survey) *string { return &s.Drive.PaverBase }},
	{Path: DrivePaverMethod, Group: GroupDrive, Name: "How the pavers are dealt with", Dimension: text.Choice,
		Options: []Option{{PaverReplace, "Lift a strip, concrete tinted to match"},
			{PaverOver, "Concrete lower, pavers glued on top"}},
		askedIf: loosePavers,
		text:    func(s *Survey) *string { return &s.Drive.PaverMethod }},
	{Path: DrivePaverThickness, Group: GroupDrive, Name: "Thickness of a paver", Dimension: text.Length, Low: 20,
		High: 150, standIn: fixed(50),
		askedIf: func(s *Survey) bool {
			return loosePavers(s) && s.Drive.PaverMethod == PaverOver
		},
		number: func(s *Survey) *Value { return &s.Drive.PaverThickness }},
	{Path: DriveVehicle, Group: GroupDrive, Name: "Heaviest vehicle on the drive", Dimension: text.Choice,
		Help:    "It crosses the strip that is poured. Ask who empties the bins and what delivers.",
		Options: []Option{{VehicleCar, "Cars"}, {VehicleVan, "Vans"}, {VehicleLorry, "Lorries, such as those that empty bins"}},
		askedIf: poursDriveStrip,
		text:    func(s *Survey) *string { return &s.Drive.Vehicle }},
	{Path: DriveRunBackEdgeGiven, Group: GroupDrive, Name: "Driveway edge on the run-back side", Dimension: text.Choice,
		Help: "Lay a square against the fence: does the edge run straight in, or at an angle?",
		Options: []Option{{EdgeSquare, "Square to the fence"}, {EdgeAngle, "At an angle I know"},
			{EdgePoints, "By taped points"}},
		text: func(s *Survey) *string { return &s.Drive.RunBackEdge.Given }},
	{Path: DriveRunBackEdgeAlong, Group: GroupDrive, Name: "Where that edge meets the fence, from the run-back post",
		Dimension: text.Length, Low: -12000, High: 12000,
		Help:    "From the inner face of the run-back post: plus away from the opening, minus into it.",
		standIn: fixed(0), askedIf: edgeGiven(runBackEdgeOf, "", EdgeSquare, EdgeAngle),
		number: func(s *Survey) *Value { return &s.Drive.RunBackEdge.Along }},
	{Path: DriveRunBackEdgeAngle, Group: GroupDrive, Name: "Angle of that edge to the fence", Dimension: text.AngleOf,
		Low: EdgeAngleLow, High: edgeAngleHigh,
		Help:    "From the fence on the run-back side round to the edge: 90 is square, less leans over the run-back, more leans over the opening.",
		standIn: fixed(math.Pi / 2), askedIf: edgeGiven(runBackEdgeOf, EdgeAngle),
		number: func(s *Survey) *Value { return &s.Drive.RunBackEdge.Angle }},
	{Path: DriveLatchEdgeGiven, Group: GroupDrive, Name: "Driveway edge on the latch side", Dimension: text.Choice,
		Options: []Option{{EdgeSquare, "Square to the fence"}, {EdgeAngle, "At an angle I know"},
			{EdgePoints, "By taped points"}},
		text: func(s *Survey) *string { return &s.Drive.LatchEdge.Given }},
	{Path: DriveLatchEdgeAlong, Group: GroupDrive, Name: "Where the latch side edge meets the fence, from the latch post",
		Dimension: text.Length, Low: -12000, High: 12000,
		Help:    "From the inner face of the latch post: plus into the opening, minus behind the post.",
		standIn: fixed(0), askedIf: edgeGiven(latchEdgeOf, "", EdgeSquare, EdgeAngle),
		number: func(s *Survey) *Value { return &s.Drive.LatchEdge.Along }},
	{Path: DriveLatchEdgeAngle, Group: GroupDrive, Name: "Angle of the latch side edge to the fence",
		Dimension: text.AngleOf, Low: EdgeAngleLow, High: edgeAngleHigh,
		Help:    "As for the other edge: 90 is square, less leans towards the run-back.",
		standIn: fixed(math.Pi / 2), askedIf: edgeGiven(latchEdgeOf, EdgeAngle),
		number: func(s *Survey) *Value { return &s.Drive.LatchEdge.Angle }},

	{Path: RunBackRoom, Group: GroupRunBack, Name: "Room along the fence behind the run-back post",
		Dimension: text.Length, Low: 100, High: 40000,
		Help:   "From the inner face of the run-back post to the first thing that would stop the leaf: wall, corner, tree.",
		number: func(s *Survey) *Value { return &s.RunBack.Room }},
	{Path: RunBackDepth, Group: GroupRunBack, Name: "Depth free out from the fence", Dimension: text.Length, Low: 50,
		High:   40000,
		Help:   "Square into the property from the back of the fence, where the motor goes.",
		number: func(s *Survey) *Value { return &s.RunBack.Depth }},

	{Path: GroundSoil, Group: GroupGround, Name: "Ground beside the drive", Dimension: text.Choice,
		Help:    "Push a bar in: firm ground stops it within a hand's width.",
		Options: []Option{{SoilFirm, "Firm and dry"}, {SoilSoft, "Soft or filled"}, {SoilWet, "Wet"}, {SoilRock, "Rock"}},
		text:    func(s *Survey) *string { return &s.Ground.Soil }},
	{Path: GroundDepthToFirm, Group: GroupGround, Name: "Depth down to firm and dry", Dimension: text.Length, Low: 0,
		High:    3000,
		Help:    "Dig or push a bar at the motor's place.",
		standIn: softDepthGuess,
		askedIf: func(s *Survey) bool { return s.Ground.Soil == SoilSoft || s.Ground.Soil == SoilWet },
		number:  func(s *Survey) *Value { return &s.Ground.DepthToFirm }},

	// What decides the set-out comes first; of the rest more is often as assumed.
	{Path: GateHardStop, Group: GroupGate, Name: "Hard stop at the end of the run-back", Dimension: text.Choice,
		Options: []Option{{Yes, "Yes"}, {No, "No"}}, text: func(s *Survey) *string { return &s.Gate.HardStop }},
	{Path: GateGuide, Group: GroupGate, Name: "What holds the leaf upright", Dimension: text.Choice,
		Options: []Option{{GuideCastIn, "Guide post, cast in"}, {GuideBasePlate, "Guide post on a base plate"},
			{GuideOnPost, "Bracket on the gate post"}},
		text: func(s *Survey) *string { return &s.Gate.Guide }},
	{Path: GateMotor, Group: GroupGate, Name: "Motor", Dimension: text.Choice,
		Options: []Option{{MotorPlugIn, "Motor with a plug"}, {MotorWired, "Motor wired in"}, {MotorNone, "By hand"}},
		text:    func(s *Survey) *string { return &s.Gate.Motor }},
	{Path: GateCladding, Group: GroupGate, Name: "Battens or cladding on the front: thickness", Dimension: text.Length,
		Low: 0, High: 150,
		Help: "0 when the front of the frame is flush.", standIn: fixed(0),
		number: func(s *Survey) *Value { return &s.Gate.Cladding }},
	{Path: GateHeight, Group: GroupGate, Name: "Height of the leaf", Dimension: text.Length, Low: 500, High: 4000,
		standIn: leafHeightGuess, number: func(s *Survey) *Value { return &s.Gate.Height }},
	{Path: GateOutlet, Group: GroupGate, Name: "Outlet for the plug", Dimension: text.Choice,
		Help:    "Never on the fence: the leaf passes between.",
		Options: []Option{{OutletOwnPost, "On a small post beside the motor"}, {OutletGuidePost, "On the guide post"}},
		askedIf: func(s *Survey) bool { return s.Gate.Motor == MotorPlugIn || s.Gate.Motor == "" },
		text:    func(s *Survey) *string { return &s.Gate.Outlet }},
	{Path: GateCables, Group: GroupGate, Name: "Other cables to the motor (intercom, keypad, beams)",
		Dimension: text.Choice,
		Options:   []Option{{Yes, "Yes"}, {No, "No"}}, askedIf: hasMotor,
		text: func(s *Survey) *string { return &s.Gate.Cables }},
}

// hangsOnPosts: a gate post carries rollers or a catch.
func hangsOnPosts(s *Survey) bool {
	if Paired(s) {
		return s.Gate.Guide == GuideOnPost || s.Pair.Other.Gate.Guide == GuideOnPost
	}
	return s.Gate.Guide == GuideOnPost || s.Gate.LatchStop != No
}

func openingGuess(s *Survey, _ *practice.Practice) (float64, bool) {
	return cmp.Or(s.Meets, 4000), true
}

func postSize(_ *Survey, p *practice.Practice) (float64, bool) { return p.PostSize, true }

func softDepthGuess(_ *Survey, p *practice.Practice) (float64, bool) { return p.SoftDepth, true }

func frostGuess(_ *Survey, p *practice.Practice) (float64, bool) { return p.FrostDepth, true }

// LiesStill reports whether frost does not lift ground: rock, and clean gravel,
// from which water drains, with nothing soft or wet over it.
//
// Source: IBC 1809.5 excepts solid rock, ASCE 32 ground that frost does not move (both memory).
func LiesStill(soil, class string) bool {
	return class == "rock" || class == "gravel" && soil != SoilSoft && soil != SoilWet
}

// mayBeClay: the ground was looked at, and is clay or was not named.
func mayBeClay(s *Survey) bool {
	class := s.Ground.Class
	return s.Ground.Soil != "" && s.Ground.Soil != SoilRock && (class == "" || class == ClassUnknown || class == "clay")
}

func leafHeightGuess(_ *Survey, p *practice.Practice) (float64, bool) { return p.LeafHeight, true }
