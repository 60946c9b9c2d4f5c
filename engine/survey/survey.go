package survey

// Survey is what was measured and decided on site. Every field may be empty:
// Design runs with what is there and lists what it had to assume.
type Survey struct {
	Site    Site    `json:"site,omitzero"`
	Opening Opening `json:"opening,omitzero"`
	Drive   Drive   `json:"drive,omitzero"`
	RunBack RunBack `json:"runBack,omitzero"`
	Ground  Ground  `json:"ground,omitzero"`
	Gate    Gate    `json:"gate,omitzero"`
	// Pair is what two leaves that meet need beyond that.
	Pair Pair `json:"pair,omitzero"`
	// Network is the pegs and the tapes between them, where the site was taped so.
	Network Network `json:"network,omitzero"`
	Build   Build   `json:"build,omitzero"`
	// Quote is what was agreed of the price. No plan is made from it.
	Quote Quote `json:"quote,omitzero"`
	// Stands is what is built already in place of what would be.
	Stands *Stands `json:"-"`
	// Meets is the opening, mm, of one side of a pair, whose leaf shuts at chainage 0
	// against the other leaf and at no post; 0 of a whole site. It is never stored.
	Meets float64 `json:"-"`
}

// Site says where and for whom, in plain words.
type Site struct {
	Name       string `json:"name,omitempty"`
	Address    string `json:"address,omitempty"`
	Place      string `json:"place,omitempty"` // as Place reads it
	Client     string `json:"client,omitempty"`
	Phone      string `json:"phone,omitempty"`
	MeasuredBy string `json:"measuredBy,omitempty"`
	MeasuredOn string `json:"measuredOn,omitempty"` // date as written, ISO 8601 from the app
	Notes      string `json:"notes,omitempty"`
}

// Opening is the gap between the gate posts and which way the gate runs.
type Opening struct {
	// Width W between the inner faces of the posts at the height of the leaf, mm.
	Width Value `json:"width,omitzero"`
	// PostLatch and PostRunBack are the posts' sizes along the fence, mm.
	PostLatch   Value `json:"postLatch,omitzero"`
	PostRunBack Value `json:"postRunBack,omitzero"`
	// PostDepth is the posts' size square to the fence, mm.
	PostDepth Value `json:"postDepth,omitzero"`
	// PostMade is what the gate posts are made of: a Post constant.
	PostMade string `json:"postMade,omitempty"`
	// Hand is the way the gate runs to open: HandLeft or HandRight.
	Hand string `json:"hand,omitempty"`
	// SeenFrom is where one stands to say left or right: SeenFromStreet or
	// SeenFromInside.
	SeenFrom string `json:"seenFrom,omitempty"`
}

// Choices of Opening.
const (
	HandLeft  = "left"
	HandRight = "right"

	SeenFromStreet = "street"
	SeenFromInside = "inside"
)

// Drive is the driveway: what vehicles roll on, and where it ends.
type Drive struct {
	// Surface is one of the Surface constants.
	Surface string `json:"surface,omitempty"`
	// ConcreteSound says whether a concrete surface can carry the track.
	ConcreteSound string `json:"concreteSound,omitempty"`
	// PaverBase is what lies under pavers: PaverOnConcrete, PaverOnSand.
	PaverBase string `json:"paverBase,omitempty"`
	// PaverThickness of one paver, mm.
	PaverThickness Value `json:"paverThickness,omitzero"`
	// PaverMethod is what to do with loose pavers: PaverReplace, PaverOver.
	PaverMethod string `json:"paverMethod,omitempty"`
	// Vehicle is the heaviest that crosses the drive strip: a Vehicle constant.
	Vehicle string `json:"vehicle,omitempty"`
	// RunBackEdge is the edge on the side to which the gate runs; its Along
	// values start at the inner face of the run-back post, positive away from
	// the opening.
	RunBackEdge Edge `json:"runBackEdge,omitzero"`
	// LatchEdge is the other edge; its Along values start at the inner face of
	// the latch post, positive into the opening.
	LatchEdge Edge `json:"latchEdge,omitzero"`
}

// Choices of Drive.
const (
	SurfaceConcrete = "concrete"
	SurfacePavers   = "pavers"
	SurfaceBitumen  = "bitumen"
	SurfaceGravel   = "gravel"
	SurfaceEarth    = "earth"

	Yes = "yes"
	No  = "no"

	PaverOnConcrete = "concrete" // glued to a concrete base
	PaverOnSand     = "sand"     // bedded on sand or crushed rock

	PaverReplace = "replace" // lift a strip, pour concrete tinted to match
	PaverOver    = "over"    // pour concrete lower, glue the pavers on top

	VehicleCar   = "car"   // to 3 tonnes
	VehicleVan   = "van"   // to 3.5 tonnes, loaded
	VehicleLorry = "lorry" // one that empties bins, or heavier deliveries
)

// Edge is one edge of the driveway inside the property.
type Edge struct {
	// Given says how the edge was taken: EdgeSquare, EdgeAngle or EdgePoints.
	Given string `json:"given,omitempty"`
	// Along is where the edge meets the back of the fence line, mm.
	Along Value `json:"along,omitzero"`
	// Angle between the fence line (towards the run-back) and the edge, inside
	// the property, rad: a right angle is a square drive, less leans towards
	// the run-back, more leans towards the opening.
	Angle Value `json:"angle,omitzero"`
	// Points taped along the edge, from the fence inwards.
	Points []EdgePoint `json:"points,omitempty"`
}

// The ways an edge can be given.
const (
	EdgeSquare = "square"
	EdgeAngle  = "angle"
	EdgePoints = "points"
)

// EdgePoint is one taped point of a driveway edge.
type EdgePoint struct {
	Along  Value `json:"along,omitzero"`  // from the post, as for Edge, mm
	Offset Value `json:"offset,omitzero"` // square into the property from the back of the fence, mm
}

// RunBack is the place into which the leaf slides.
type RunBack struct {
	// Room along the fence from the inner face of the run-back post to the
	// first thing that stops the leaf, mm.
	Room Value `json:"room,omitzero"`
	// Depth free for concrete square into the property from the back of the
	// fence, mm.
	Depth Value `json:"depth,omitzero"`
	// Obstructions that were taped.
	Obstructions []Obstruction `json:"obstructions,omitempty"`
}

// Obstruction is something in the way, taken as a box square to the fence.
type Obstruction struct {
	Kind string `json:"kind,omitempty"`
	// Side is the post that it was taped from where two leaves meet: an On constant.
	Side   string `json:"side,omitempty"`
	Name   string `json:"name,omitempty"`
	Along  Value  `json:"along,omitzero"`  // from the run-back post to its near side, mm
	Offset Value  `json:"offset,omitzero"` // from the back of the fence to its near side, mm
	Length Value  `json:"length,omitzero"` // along the fence, mm
	Width  Value  `json:"width,omitzero"`  // square to the fence, mm
}

// Kinds of obstruction.
const (
	ObstructionTree    = "tree"
	ObstructionPit     = "pit"
	ObstructionTap     = "tap"
	ObstructionService = "service"
	ObstructionTank    = "tank"
	ObstructionWall    = "wall"
	ObstructionOther   = "other"
)

// Ground is what lies off the edge of the drive.
type Ground struct {
	// Soil is one of the Soil constants.
	Soil string `json:"soil,omitempty"`
	// Class is what the firm ground is: ClassUnknown or a key of the soil table.
	Class string `json:"class,omitempty"`
	// Frost is how deep the ground freezes, mm.
	Frost Value `json:"frost,omitzero"`
	// Expansive says whether the clay swells and shrinks: ClassUnknown, No or Yes.
	Expansive string `json:"expansive,omitempty"`
	// DepthToFirm is how far down firm and dry ground starts, mm.
	DepthToFirm Value `json:"depthToFirm,omitzero"`
	// Shape is one of the Ground constants; what else is asked follows from it.
	Shape string `json:"shape,omitempty"`
	// Levels are the readings from which the ground model is made.
	Levels Levels `json:"levels,omitzero"`
	// Slab says whether a slab is there already in the run-back.
	Slab string `json:"slab,omitempty"`
	// Channel says whether a drain or dished channel is laid around the motor pad.
	Channel string `json:"channel,omitempty"`
	// Cavity is what is chosen for the cavity dug into rising ground.
	Cavity Cavity `json:"cavity,omitzero"`
}

// Soil conditions as a spade finds them.
const (
	SoilFirm = "firm"
	SoilSoft = "soft"
	SoilWet  = "wet"
	SoilRock = "rock"
)

// What gate posts are made of.
const (
	PostUnknown = "unknown"
	PostSteel   = "steel"
	PostTimber  = "timber"
	PostMasonry = "masonry"
)

// ClassUnknown says that nobody looked at what the firm ground is made of.
const ClassUnknown = "unknown"

// Gate is what the owner wants, and what carries it.
type Gate struct {
	// Leaves is how many shut the opening: LeavesOne or LeavesPair.
	Leaves string `json:"leaves,omitempty"`
	Height Value  `json:"height,omitzero"` // of the leaf, mm
	// Cladding is the thickness of battens or other cladding on the front of
	// the leaf, mm; 0 when the front is flush.
	Cladding Value `json:"cladding,omitzero"`
	// Motor says how the gate is driven and powered: MotorNone, MotorPlugIn or
	// MotorWired.
	Motor string `json:"motor,omitempty"`
	// Cables says whether other cables (intercom, keypad, beams) run to the motor.
	Cables string `json:"cables,omitempty"`
	// Outlet is where a plug-in motor's outlet goes: OutletOwnPost or
	// OutletGuidePost.
	Outlet string `json:"outlet,omitempty"`
	// Guide is what holds the leaf upright at the run-back post: GuideOnPost,
	// GuideCastIn or GuideBasePlate.
	Guide string `json:"guide,omitempty"`
	// HardStop says whether a stop is fitted at the end of the run-back.
	HardStop string `json:"hardStop,omitempty"`
	// LatchStop says whether a catch at the latch post stops and holds the leaf.
	LatchStop string `json:"latchStop,omitempty"`
	// OpenCatch says whether a catch at the rear holds the top of the open leaf.
	OpenCatch string `json:"openCatch,omitempty"`
	// Panels is in how many panels, one behind another, the gate runs: a
	// Panels constant.
	Panels string `json:"panels,omitempty"`
	// Driven is which of several panels the motor drives: DrivenLast, DrivenFirst.
	Driven string `json:"driven,omitempty"`
	// Metal is what the frame is made of: MetalSteel or MetalAluminium.
	Metal string `json:"metal,omitempty"`
	// Infill is what fills the frame: one of the Infill constants.
	Infill string `json:"infill,omitempty"`
	// Colour of the leaf's metal, in pictures alone: one of the Colour constants.
	Colour string `json:"colour,omitempty"`
	// FootingBar is how the bar of a steel footing lies: BarFlat or BarOnEdge.
	FootingBar string `json:"footingBar,omitempty"`
	// PadOn is what the motor stands on where the ground falls away: PadConcrete
	// or PadSteel.
	PadOn string `json:"padOn,omitempty"`
	// Carried says what carries the leaf: CarriedTrack or CarriedFree.
	Carried string `json:"carried,omitempty"`
	// Hanging is of a leaf that hangs free.
	Hanging Hanging `json:"hanging,omitzero"`
}

// Choices of Gate.
const (
	MotorNone   = "none"
	MotorPlugIn = "plug-in"
	MotorWired  = "wired"

	OutletOwnPost   = "own post"
	OutletGuidePost = "guide post"

	GuideOnPost    = "gate post"  // rollers on a bracket on the gate post itself
	GuideCastIn    = "cast in"    // a guide post cast into its own hole
	GuideBasePlate = "base plate" // a guide post bolted to the pad
)
