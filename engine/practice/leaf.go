package practice

// LeafPractice is the part of Practice that makes up the leaf: its members,
// their masses, and how it moves.
type LeafPractice struct {
	// Stacked panels.
	PanelOverlap, TrackPitch, PanelGap float64
	// Frame.
	RailHeight, BottomRail, FrameWall, FrameBay, LeafAbove float64
	BattenHeight, BattenGap, BoardWidth, BoardGap          float64
	UprightSize, UprightWall, UprightGap                   float64
	MassBattens, MassBoards, MassSheet, MassMesh           float64 // kg/m²
	MassRack, MassGuideRail, MassWheel                     float64 // kg/m, kg/m, kg
	StockLength, SawCut, RateFrame                         float64
	FrameSagOver, AluminiumYield                           float64 // plain, MPa
	// Motion.
	// Rolling is the high end of the rolling resistance.
	Rolling, HandForce, HandHeight, MotorThrust, MotorMargin float64
	MotorSpeed, StartTime, PinionRadius                      float64
	StartFactor                                              float64
	CatchDepth                                               float64

	MotionPractice
	FootingPractice
}

// FootingPractice is the part of Practice that carries the track over falling
// ground.
type FootingPractice struct {
	BarWidth, BarThickness, FootPost, FootPostWall     float64
	FootSpacingMost, FootSpanOver, FootSag, FootMargin float64
	FootPush, FootYield, FootSafety, FootEccentric     float64
	FootSway, FootHole, FootEmbed, FootEmbedMost       float64
	FootBearing, PadPlate                              float64
}
