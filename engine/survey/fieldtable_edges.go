package survey

// The driveway's edges, and the points taped along each.
const (
	DriveRunBackEdge = "drive.runBackEdge"
	DriveLatchEdge   = "drive.latchEdge"

	DriveRunBackEdgePoints          = DriveRunBackEdge + ".points"
	RunBackEdgePointAlong  ListPath = DriveRunBackEdgePoints + ".*.along"
	RunBackEdgePointOffset ListPath = DriveRunBackEdgePoints + ".*.offset"

	DriveLatchEdgePoints          = DriveLatchEdge + ".points"
	LatchEdgePointAlong  ListPath = DriveLatchEdgePoints + ".*.along"
	LatchEdgePointOffset ListPath = DriveLatchEdgePoints + ".*.offset"
)

// EdgePaths are the fields of one of the two edges.
type EdgePaths struct {
	Given, Along, Angle Path
	// Points is the list of its taped points, PointAlong and PointOffset the
	// fields of each.
	Points                  Path
	PointAlong, PointOffset ListPath
}

// RunBackEdgePaths and LatchEdgePaths are the fields of the two edges.
var (
	RunBackEdgePaths = EdgePaths{DriveRunBackEdgeGiven, DriveRunBackEdgeAlong, DriveRunBackEdgeAngle,
		DriveRunBackEdgePoints, RunBackEdgePointAlong, RunBackEdgePointOffset}
	LatchEdgePaths = EdgePaths{DriveLatchEdgeGiven, DriveLatchEdgeAlong, DriveLatchEdgeAngle,
		DriveLatchEdgePoints, LatchEdgePointAlong, LatchEdgePointOffset}
)

var runBackPointList = list{
	path: DriveRunBackEdgePoints, most: MaxEdgePoints, after: DriveRunBackEdgeGiven, group: GroupDrive,
	count: func(s *Survey) int { return len(s.Drive.RunBackEdge.Points) },
	fields: []Field{
		{column: RunBackEdgePointAlong, Name: "Point {0} of the run-back side edge: along the fence from the run-back post", Low: -20000,
			High:        30000,
			Help:        "From the inner face of the run-back post; plus is the way the gate runs to open.",
			entryNumber: ofRunBackEdge(func(p *EdgePoint) *Value { return &p.Along })},
		{column: RunBackEdgePointOffset, Name: "Point {0} of the run-back side edge: out from the fence", Low: -2000,
			High:        30000,
			Help:        "Square into the property from the back of the fence.",
			entryNumber: ofRunBackEdge(func(p *EdgePoint) *Value { return &p.Offset })},
	},
}

var latchPointList = list{
	path: DriveLatchEdgePoints, most: MaxEdgePoints, after: DriveLatchEdgeGiven, group: GroupDrive,
	count: func(s *Survey) int { return len(s.Drive.LatchEdge.Points) },
	fields: []Field{
		{column: LatchEdgePointAlong, Name: "Point {0} of the latch side edge: along the fence from the latch post", Low: -20000, High: 30000,
			Help:        "From the inner face of the latch post; plus is the way the gate runs to open.",
			entryNumber: ofLatchEdge(func(p *EdgePoint) *Value { return &p.Along })},
		{column: LatchEdgePointOffset, Name: "Point {0} of the latch side edge: out from the fence", Low: -2000, High: 30000,
			Help:        "Square into the property from the back of the fence.",
			entryNumber: ofLatchEdge(func(p *EdgePoint) *Value { return &p.Offset })},
	},
}

func ofRunBackEdge[Part any](part func(*EdgePoint) *Part) func(*Survey, int) *Part {
	return entryOf(func(s *Survey) []EdgePoint { return s.Drive.RunBackEdge.Points }, part)
}

func ofLatchEdge[Part any](part func(*EdgePoint) *Part) func(*Survey, int) *Part {
	return entryOf(func(s *Survey) []EdgePoint { return s.Drive.LatchEdge.Points }, part)
}
