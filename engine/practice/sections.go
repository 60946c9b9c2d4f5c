package practice

// SectionPractice is the part of Practice that bounds sizes and steps them: what
// is tried when a part is too weak, to what sizes are rounded, and what stands
// in for parts that nobody measures.
type SectionPractice struct {
	// Strength.
	HandSpeed                  float64 // mm/s
	MeshSolidity, OpenSolidity float64 // part of the leaf's face
	DeepestStrip, WidestStrip  float64
	StrongerWall               float64
	// Leaf and track.
	ShortInset, WheelsApart float64 // plain, mm
	WheelBears              float64 // N
	TrackWidth              float64
	StopPart                float64 // of the strip's width
	// Motor.
	PinionMargin  float64 // part of the window
	ConduitAside  float64 // part of the motor's length
	PersonOnPlate float64 // N
	// Ground.
	HoleStep, ObstructionSize  float64
	FootSpacingLeast           float64
	WallBaseStep, WallBaseMost float64 // mm, plain
	WallSlopeReach             float64
}
