package plan

// IDs of the figures, by which documents and screens find them. Figures of each
// panel, wheel and footing post have the number in theirs.
const (
	// What is placed: leaf, strips, pad, guide post, motor and what they take.
	FigureLeafFrame         = "leaf.frame"
	FigureLeafTail          = "leaf.tail"
	FigureLeafRack          = "leaf.rack"
	FigureLeafGuideRail     = "leaf.guideRail"
	FigureLeafTravel        = "leaf.travel"
	FigureLeafClearStraight = "leaf.clearStraight"
	FigureLeafClearAlong    = "leaf.clearAlong"
	FigureStripEnd          = "strip.end"
	FigureStripLength       = "strip.length"
	FigureStripWidth        = "strip.width"
	FigureFootDepth         = "foot.depth"
	FigureDriveStripWidth   = "drive.stripWidth"
	FigureDriveStripDepth   = "drive.stripDepth"
	FigurePadAlong          = "pad.along"
	FigurePadOut            = "pad.out"
	FigureGuideSetback      = "guide.setback"
	FigureGuideAt           = "guide.at"
	FigureGuideHoleDepth    = "guide.holeDepth"
	FigureMotorAt           = "motor.at"
	FigureRoomNeeded        = "room.needed"
	FigureConcreteArea      = "concrete.area"
	FigureConcreteVolume    = "concrete.volume"
	FigureConcreteOrder     = "concrete.order"
	FigureConcreteBags      = "concrete.bags"
	FigureConcreteBatches   = "concrete.batches"
	FigureDigBank           = "dig.bank"
	FigureDigLoose          = "dig.loose"
	FigureDigLoads          = "dig.loads"

	// Stacked panels.
	FigurePanelsPitch = "panels.pitch"

	// How the leaf is made and moved.
	FigureLeafMass         = "leaf.mass"
	FigureLeafRise         = "leaf.rise"
	FigureLeafCutOff       = "leaf.cutOff"
	FigureLeafGuideRailCut = "leaf.guideRailCut"
	FigureLeafRackCut      = "leaf.rackCut"
	FigureMotionHand       = "motion.hand"
	FigureMotionThrust     = "motion.thrust"

	// The steel footing.
	FigureFootingSpacing = "footing.spacing"
	FigureFootingBar     = "footing.bar"
	FigureFootingFlat    = "footing.flat"
	FigureFootingOnEdge  = "footing.onEdge"

	// Ground: grade, level of the pad, cavity and wall.
	FigureTrackGrade      = "track.grade"
	FigureTrackCrossFall  = "track.crossFall"
	FigureTrackStart      = "track.start"
	FigureTrackEnd        = "track.end"
	FigurePadLowest       = "pad.lowest"
	FigurePadHighest      = "pad.highest"
	FigurePadLevel        = "pad.level"
	FigurePadStepNear     = "pad.stepNear"
	FigurePadStepFar      = "pad.stepFar"
	FigureCavityWidth     = "cavity.width"
	FigureCavityEnd       = "cavity.end"
	FigureCavityFormation = "cavity.formation"
	FigureWallHeld        = "wall.held"
	FigureWallTallest     = "wall.tallest"
	FigureWallLength      = "wall.length"
	FigureWallFace        = "wall.face"
	FigureWallPostDepth   = "wall.postDepth"
	FigureWallBase        = "wall.base"
	FigureCutVolume       = "cut.volume"

	// The first pass at strength.
	FigureStrengthStripPlain    = "strength.stripPlain"
	FigureStrengthStripMesh     = "strength.stripMesh"
	FigureStrengthBearing       = "strength.bearing"
	FigureWindLeaf              = "wind.leaf"
	FigureWindRollers           = "wind.rollers"
	FigureStrengthPostMoment    = "strength.postMoment"
	FigureStrengthPost          = "strength.post"
	FigureStrengthMovement      = "strength.movement"
	FigureStrengthEmbedment     = "strength.embedment"
	FigureStrengthAnchorTension = "strength.anchorTension"
	FigureStrengthAnchorShear   = "strength.anchorShear"
	FigureStrengthMotorAnchor   = "strength.motorAnchor"
	FigureStrengthStop          = "strength.stop"
)
