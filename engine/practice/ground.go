package practice

// GroundPractice is how a shop deals with ground that is not level.
type GroundPractice struct {
	// Levels.
	SurfaceRoughness, TrackBand, LevelTolerance float64
	SlopeSure                                   float64 // the greatest standard uncertainty of a slope that is taken from levels
	LevelAllowance, CliffGrade                  float64
	GradeLimit, LevelInterval                   float64
	// Motor pad.
	RackHeight, PinionLeast, PinionUsual, PinionMost float64
	MotorPacker, PadFreeboard, PadStep               float64
	// Rising ground.
	DigTrigger                                                              float64
	StripBedding, CavityWidth, HandRoom, CavityEnd, WallFreeboard           float64
	WallThickness, WallBaseRatio, WallBaseLeast, WallBaseDepth              float64
	WallPostSpacing, CutBatter, SleeperThickness, WallHole, WallPostDeepest float64
	WallEngineer, WallMost                                                  float64
	FactorSliding, FactorTurning                                            float64
	LoadGarden, LoadVehicles                                                float64
	EarthFactor, FactorBlocked                                              float64
	StemBar, StemSpacing, StemDepth, StemStrength                           float64 // mm, mm, mm, MPa
	SleeperBoard, SleeperStress, WallPostModulus                            float64 // mm, MPa, cm³
	FrostDepth, SwellDepth                                                  float64 // mm
	RateWall, RateDrain                                                     float64
}
