package plan

import (
	"slices"
)

// Question is one thing that checks look at. At one field it has one answer at a
// time; what it is about decides whether it is asked at all. Its name is the
// code of its answers in documents, but for those that have codes of their own.
type Question string

// The questions, family by family.
const (
	// The network of tapes.
	QuestionNetworkProblem   Question = "network.problem"
	QuestionNetworkLoose     Question = "network.loose"
	QuestionNetworkSuspect   Question = "network.suspect"
	QuestionNetworkDiffers   Question = "network.differs"
	QuestionNetworkUnchecked Question = "network.unchecked"
	QuestionNetworkFits      Question = "network.fits"

	// The room along the fence and out from it.
	QuestionRoomAlong    Question = "room.along"
	QuestionRoomStrip    Question = "room.strip"
	QuestionRoomPad      Question = "room.pad"
	QuestionRoomPadAlong Question = "room.padAlong"

	// What stands before the run-back post, in the opening.
	QuestionOpeningGuide Question = "opening.guide"
	QuestionOpeningMotor Question = "opening.motor"

	// The travel from shut to open.
	QuestionMotionLost      Question = "motion.lost"
	QuestionMotionClears    Question = "motion.clears"
	QuestionMotionPass      Question = "motion.pass"
	QuestionMotionFence     Question = "motion.fence"
	QuestionMotionTrack     Question = "motion.track"
	QuestionMotionStop      Question = "motion.stop"
	QuestionMotionLatchStop Question = "motion.latchStop"
	QuestionMotionUpright   Question = "motion.upright"
	QuestionMotionHand      Question = "motion.hand"
	QuestionMotionThrust    Question = "motion.thrust"
	QuestionMotionRunaway   Question = "motion.runaway"
	QuestionMotionClosing   Question = "motion.closing"
	QuestionMotionImpact    Question = "motion.impact"

	// What a formula refused, so that nothing stands for it.
	QuestionWheelsUnjudged     Question = "wheels.unjudged"
	QuestionMotionUnjudged     Question = "motion.unjudged"
	QuestionFootingUnjudged    Question = "footing.unjudged"
	QuestionGroundUnjudged     Question = "ground.unjudged"
	QuestionQuantitiesUnjudged Question = "quantities.unjudged"
	QuestionOutlinesUnjudged   Question = "outlines.unjudged"

	// The proof of motion, item by item.
	QuestionProofPinion    Question = "proof.pinion"
	QuestionProofRollers   Question = "proof.rollers"
	QuestionProofCarrier   Question = "proof.carrier"
	QuestionProofWheels    Question = "proof.wheels"
	QuestionProofDisagrees Question = "proof.disagrees"

	// Panels one behind another.
	QuestionPanelsPass    Question = "panels.pass"
	QuestionPanelsOverlap Question = "panels.overlap"
	QuestionPanelsDriven  Question = "panels.driven"
	QuestionPanelsDrive   Question = "panels.drive"

	// The leaf as it is made.
	QuestionLeafWheels  Question = "leaf.wheels"
	QuestionLeafSection Question = "leaf.section"
	QuestionLeafRails   Question = "leaf.rails"
	QuestionLeafRaked   Question = "leaf.raked"
	QuestionLeafFrame   Question = "leaf.frame"
	QuestionLeafSag     Question = "leaf.sag"

	// A leaf that hangs free.
	QuestionHangingUnjudged  Question = "hanging.unjudged"
	QuestionHangingCarriages Question = "hanging.carriages"
	QuestionHangingSpacing   Question = "hanging.spacing"
	QuestionHangingCounter   Question = "hanging.counter"
	QuestionHangingNose      Question = "hanging.nose"
	QuestionHangingBeam      Question = "hanging.beam"
	QuestionHangingBeamPart  Question = "hanging.beamPart"
	QuestionHangingCatch     Question = "hanging.catch"
	QuestionHangingTips      Question = "hanging.tips"
	QuestionHangingPresses   Question = "hanging.presses"
	QuestionHangingSlides    Question = "hanging.slides"
	QuestionHangingGap       Question = "hanging.gap"
	QuestionHangingWater     Question = "hanging.water"
	QuestionHangingRunBack   Question = "hanging.runBack"
	QuestionProofCarriages   Question = "proof.carriages"

	// The steel footing.
	QuestionFootingBar     Question = "footing.bar"
	QuestionFootingUplift  Question = "footing.uplift"
	QuestionFootingPitch   Question = "footing.pitch"
	QuestionFootingPad     Question = "footing.pad"
	QuestionFootingGuide   Question = "footing.guide"
	QuestionFootingPost    Question = "footing.post"
	QuestionFootingSway    Question = "footing.sway"
	QuestionFootingSlender Question = "footing.slender"
	QuestionFootingHole    Question = "footing.hole"
	QuestionFootingBearing Question = "footing.bearing"

	// What stands in the way: of the leaf, and of the concrete.
	QuestionObstructionLeaf Question = "obstruction.leaf"
	QuestionObstructionGap  Question = "obstruction.gap"

	// Soil, driveway and power.
	QuestionGroundSoil         Question = "ground.soil"
	QuestionGroundShape        Question = "ground.shape"
	QuestionGroundFrost        Question = "ground.frost"
	QuestionGroundExpansive    Question = "ground.expansive"
	QuestionDriveSurface       Question = "drive.surface"
	QuestionDrivePaverBase     Question = "drive.paverBase"
	QuestionDriveConcreteSound Question = "drive.concreteSound"
	QuestionPowerOutlet        Question = "power.outlet"
	QuestionPowerConduit       Question = "power.conduit"

	// The readings of levels, and the level book.
	QuestionLevelsNone       Question = "levels.none"
	QuestionLevelsBroken     Question = "levels.broken"
	QuestionLevelsArithmetic Question = "levels.arithmetic"
	QuestionLevelsOpen       Question = "levels.open"
	QuestionLevelsTwice      Question = "levels.twice"
	QuestionLevelsClosure    Question = "levels.closure"
	QuestionLevelsGrade      Question = "levels.grade"
	QuestionLevelsCrossFall  Question = "levels.crossFall"
	QuestionLevelsOffLine    Question = "levels.offLine"
	QuestionLevelsUnchecked  Question = "levels.unchecked"
	QuestionLevelsSuspect    Question = "levels.suspect"
	QuestionLevelsCliff      Question = "levels.cliff"

	// The track's grade.
	QuestionGradeLimit     Question = "grade.limit"
	QuestionGradeWatch     Question = "grade.watch"
	QuestionGradeCrossFall Question = "grade.crossFall"
	QuestionGradeEven      Question = "grade.even"
	QuestionGradeUneven    Question = "grade.uneven"
	QuestionGradeSlab      Question = "grade.slab"

	// The level of the motor pad.
	QuestionPadWindow Question = "pad.window"
	QuestionPadStep   Question = "pad.step"

	// Ground that rises or falls off the edge of the drive.
	QuestionBankNone    Question = "bank.none"
	QuestionBankBeyond  Question = "bank.beyond"
	QuestionBankLow     Question = "bank.low"
	QuestionCavityWidth Question = "cavity.width"
	QuestionCavityWater Question = "cavity.water"
	QuestionCutMethods  Question = "cut.methods"
	QuestionCutBeyond   Question = "cut.beyond"

	// How deep is dug.
	QuestionDigSides Question = "dig.sides"
	QuestionDigHoles Question = "dig.holes"

	// The wall of the cavity.
	QuestionWallNone     Question = "wall.none"
	QuestionWallMost     Question = "wall.most"
	QuestionWallEngineer Question = "wall.engineer"
	QuestionWallStands   Question = "wall.stands"
	QuestionWallDrain    Question = "wall.drain"
	QuestionWallStrength Question = "wall.strength"
	QuestionWallBlocked  Question = "wall.blocked"

	// What concrete, post, anchors and ground can bear.
	QuestionStrengthStrip       Question = "strength.strip"
	QuestionStrengthPost        Question = "strength.post"
	QuestionStrengthEmbedment   Question = "strength.embedment"
	QuestionStrengthPad         Question = "strength.pad"
	QuestionStrengthMovement    Question = "strength.movement"
	QuestionStrengthRunBackPost Question = "strength.runBackPost"
	QuestionStrengthLatchPost   Question = "strength.latchPost"
	QuestionStrengthMotor       Question = "strength.motorAnchors"
	QuestionStrengthPlate       Question = "strength.plateAnchors"
	QuestionStrengthStop        Question = "strength.stopAnchors"
	QuestionStrengthCarriages   Question = "strength.carriageAnchors"
	QuestionStrengthRefused     Question = "strength.refused"
	QuestionStrengthShear       Question = "strength.shear"
	QuestionStrengthSteel       Question = "strength.steel"
	QuestionStrengthCover       Question = "strength.cover"
	QuestionStrengthJoints      Question = "strength.joints"

	// Two leaves that meet.
	QuestionPairMeets  Question = "pair.meets"
	QuestionPairEdge   Question = "pair.edge"
	QuestionPairFirst  Question = "pair.first"
	QuestionPairCatch  Question = "pair.catch"
	QuestionPairThrust Question = "pair.thrust"
	QuestionPairStop   Question = "pair.stop"
	QuestionPairWheel  Question = "pair.wheel"
	QuestionPairCable  Question = "pair.cable"

	// A trade's least size that the shop goes under, one rule a field.
	QuestionMinimum Question = "minimum"

	// How the concrete comes.
	QuestionSupply Question = "supply"
)

// Codes of answers that are not their question's name.
const (
	CodeObstructionDig   = "obstruction.dig"   // stands where the concrete goes
	CodeObstructionNear  = "obstruction.near"  // nearer than is wanted
	CodeObstructionClear = "obstruction.clear" // far enough
	CodeSupplySite       = "supply.site"       // mixed on site
	CodeSupplyReadyMix   = "supply.readyMix"   // brought by a truck
	CodeGroundUnknown    = "ground.unknown"
	CodeGroundSoft       = "ground.soft"
	CodeGroundRock       = "ground.rock"
	CodeGroundFirm       = "ground.firm"
)

// MinimumCode is the code of an answer about a rule of practice.
func MinimumCode(rule string) string { return string(QuestionMinimum) + "." + rule }

// Families of questions that have the same remedies, or are judged alike.
var (
	RoomQuestions        = []Question{QuestionRoomAlong, QuestionRoomStrip, QuestionRoomPad, QuestionRoomPadAlong}
	OpeningQuestions     = []Question{QuestionOpeningGuide, QuestionOpeningMotor}
	ObstructionQuestions = []Question{QuestionObstructionLeaf, QuestionObstructionGap}
	StrengthQuestions    = []Question{QuestionStrengthStrip, QuestionStrengthShear, QuestionStrengthSteel,
		QuestionStrengthCover, QuestionStrengthJoints, QuestionStrengthPost, QuestionStrengthEmbedment,
		QuestionStrengthPad, QuestionStrengthRefused}
)

// Among reports whether a question is one of a family.
func (q Question) Among(family []Question) bool { return slices.Contains(family, q) }
