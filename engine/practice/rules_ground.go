package practice

import (
	"pegpour/engine/text"
)

// The keys of these rules, as documents hold them.
const (
	RuleLevelsRoughness   = "levels.roughness"
	RuleLevelsTrackBand   = "levels.trackBand"
	RuleLevelsSlopeSure   = "levels.slopeSure"
	RuleLevelsTolerance   = "levels.tolerance"
	RuleLevelsAllowance   = "levels.allowance"
	RuleLevelsCliff       = "levels.cliff"
	RuleLevelsInterval    = "levels.interval"
	RuleTrackGradeLimit   = "track.gradeLimit"
	RuleLeafRackHeight    = "leaf.rackHeight"
	RuleMotorPinionLeast  = "motor.pinionLeast"
	RuleMotorPinionUsual  = "motor.pinionUsual"
	RuleMotorPinionMost   = "motor.pinionMost"
	RuleMotorPacker       = "motor.packer"
	RulePadFreeboard      = "pad.freeboard"
	RulePadStep           = "pad.step"
	RuleStripBedding      = "strip.bedding"
	RuleCavityWidth       = "cavity.width"
	RuleCavityHandRoom    = "cavity.handRoom"
	RuleCavityEnd         = "cavity.end"
	RuleWallFreeboard     = "wall.freeboard"
	RuleWallThickness     = "wall.thickness"
	RuleWallBaseRatio     = "wall.baseRatio"
	RuleWallBaseLeast     = "wall.baseLeast"
	RuleWallBaseDepth     = "wall.baseDepth"
	RuleWallPostSpacing   = "wall.postSpacing"
	RuleWallSleeper       = "wall.sleeper"
	RuleWallPostHole      = "wall.postHole"
	RuleWallPostDeepest   = "wall.postDeepest"
	RuleCutBatter         = "cut.batter"
	RuleDigTrigger        = "dig.trigger"
	RuleWallEngineer      = "wall.engineer"
	RuleWallMost          = "wall.most"
	RuleWallFactorSliding = "wall.factorSliding"
	RuleWallFactorTurning = "wall.factorTurning"
	RuleWallLoadGarden    = "wall.loadGarden"
	RuleWallLoadVehicles  = "wall.loadVehicles"
	RuleWallFactorEarth   = "wall.factorEarth"
	RuleWallFactorBlocked = "wall.factorBlocked"
	RuleWallStemBar       = "wall.stemBar"
	RuleWallStemSpacing   = "wall.stemSpacing"
	RuleWallStemDepth     = "wall.stemDepth"
	RuleWallStemStrength  = "wall.stemStrength"
	RuleWallSleeperBoard  = "wall.sleeperBoard"
	RuleWallSleeperStress = "wall.sleeperStress"
	RuleWallPostModulus   = "wall.postModulus"
	RuleGroundFrost       = "ground.frostDepth"
	RuleGroundSwell       = "ground.swellDepth"
	RuleRateWall          = "rate.wall"
	RuleRateDrain         = "rate.drain"
)

// groundRules are the rules of levels, grade, pad level and rising ground.
var groundRules = []Rule{
	{Key: RuleLevelsRoughness, Group: "Levels", Name: "Unevenness of a surface under one reading", Dimension: text.Length,
		Default: 4, Low: 0.1, High: 100,
		Why: "A drive is no plane: the staff stands on a hump or in a hollow.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.SurfaceRoughness }},
	{Key: RuleLevelsTrackBand, Group: "Levels", Name: "A reading this near the track line counts as on it",
		Dimension: text.Length, Default: 150, Low: 10, High: 1000,
		Why: "The track's grade comes from levels on its own line.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.TrackBand }},
	{Key: RuleLevelsSlopeSure, Group: "Levels", Name: "Slope known no better than this is not taken from the levels",
		Dimension: text.Grade, Default: 0.01, Low: 0.001, High: 0.1,
		Why:    "Standard uncertainty. Levels a hand's width apart give a fall from nothing: 2 mm over 100 mm are 2 %.",
		Source: CommonPractice, at: func(p *Practice) *float64 { return &p.SlopeSure }},
	{Key: RuleLevelsTolerance, Group: "Levels", Name: "Hump or hollow that is left alone", Dimension: text.Length,
		Default: 5, Low: 0.5, High: 50,
		Why: "The rail bridges it; beyond it is packed or ground.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.LevelTolerance }},
	{Key: RuleLevelsAllowance, Group: "Levels", Name: "Misclosure allowed for each set-up, times its root",
		Dimension: text.Length, Default: 5, Low: 0.1, High: 100,
		Why: "A page that closes worse is levelled again.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.LevelAllowance }},
	{Key: RuleLevelsCliff, Group: "Levels", Name: "Steeper than this between two readings is asked about",
		Dimension: text.Grade, Default: 1, Low: 0.2, High: 10,
		Why: "A wall, a kerb, or a misread staff.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.CliffGrade }},
	{Key: RuleLevelsInterval, Group: "Levels", Name: "Levels listed every", Dimension: text.Length, Default: 1000,
		Low: 250, High: 5000,
		Why: "What a string line can be set by.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.LevelInterval }},
	{Key: RuleTrackGradeLimit, Group: "Levels", Name: "Steepest track that is built", Dimension: text.Grade,
		Default: 0.12, Low: 0.01, High: 0.6,
		Why: "Beyond it the leaf cannot be held by hand; another kind of gate suits better.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.GradeLimit }},

	{Key: RuleLeafRackHeight, Group: "Pad level", Name: "Rack above the concrete under the track", Dimension: text.Length,
		Default: 120, Low: 20, High: 600,
		Why: "To the line where rack and pinion mesh.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.RackHeight }},
	{Key: RuleMotorPinionLeast, Group: "Pad level", Name: "Pinion above the motor's base, lowest", Dimension: text.Length,
		Default: 85, Low: 20, High: 500,
		Why:    "To the line where rack and pinion mesh, feet screwed right down. Measure the motor you fit.",
		Source: CommonPractice, at: func(p *Practice) *float64 { return &p.PinionLeast }},
	{Key: RuleMotorPinionUsual, Group: "Pad level", Name: "Pinion above the motor's base, usual", Dimension: text.Length,
		Default: 100, Low: 20, High: 500,
		Why: "In the middle of its adjustment.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PinionUsual }},
	{Key: RuleMotorPinionMost, Group: "Pad level", Name: "Pinion above the motor's base, highest", Dimension: text.Length,
		Default: 120, Low: 20, High: 500,
		Why: "Feet screwed right up.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.PinionMost }},
	{Key: RuleMotorPacker, Group: "Pad level", Name: "Packer under the motor", Dimension: text.Length, Default: 0, Low: 0,
		High: 300,
		Why:  "A steel or concrete block that lifts the motor above the pad.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.MotorPacker }},
	{Key: RulePadFreeboard, Group: "Pad level", Name: "Pad above the highest ground around it", Dimension: text.Length,
		Default: 10, Low: 0, High: 200,
		Why: "Rainwater runs round the pad and not over it.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PadFreeboard }},
	{Key: RulePadStep, Group: "Pad level", Name: "Step between pad and strip that is watched beyond",
		Dimension: text.Length, Default: 50, Low: 5, High: 500,
		Why: "Where the pad stands up behind the strip the leaf and its rack need room.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PadStep }},

	{Key: RuleStripBedding, Group: "Rising ground", Name: "Bedding under strip and pad", Dimension: text.Length,
		Default: 0, Low: 0, High: 300,
		Why: "Crushed rock where the bottom of the dig is not to be poured on.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.StripBedding }},
	{Key: RuleCavityWidth, Group: "Rising ground", Name: "Cavity, least width inside", Dimension: text.Length,
		Default: 500, Low: 300, High: 3000, Minimum: true,
		Why: "A hand must reach the release at the back of the motor, and a broom the track.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.CavityWidth }},
	{Key: RuleCavityHandRoom, Group: "Rising ground", Name: "Room behind the motor for a hand", Dimension: text.Length,
		Default: 150, Low: 50, High: 1000,
		Why: "To turn the key of the release and lift the cover.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.HandRoom }},
	{Key: RuleCavityEnd, Group: "Rising ground", Name: "Cavity beyond the end of the strip", Dimension: text.Length,
		Default: 50, Low: 0, High: 1000,
		Why: "Room to form the end of the strip.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.CavityEnd }},
	{Key: RuleWallFreeboard, Group: "Rising ground", Name: "Wall above the ground behind it", Dimension: text.Length,
		Default: 100, Low: 0, High: 1000, Minimum: true,
		Why: "Keeps earth and litter off the footing.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.WallFreeboard }},
	{Key: RuleWallThickness, Group: "Rising ground", Name: "Wall thickness", Dimension: text.Length, Default: 190,
		Low: 50, High: 600,
		Why: "A filled block wall; measure the one you build.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.WallThickness }},
	{Key: RuleWallBaseRatio, Group: "Rising ground", Name: "Wall base by its height", Dimension: text.Ratio, Default: 0.7,
		Low: 0.3, High: 1.5,
		Why:    "A first size. It is widened as far as it goes; where none does, the check says so.",
		Source: "textbook proportions of a cantilever wall: 0.5 to 0.7 of its height (memory)",
		at:     func(p *Practice) *float64 { return &p.WallBaseRatio }},
	{Key: RuleWallBaseLeast, Group: "Rising ground", Name: "Wall base, least width", Dimension: text.Length, Default: 400,
		Low: 200, High: 2000,
		Why: "A spade's width and the reinforcement.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.WallBaseLeast }},
	{Key: RuleWallBaseDepth, Group: "Rising ground", Name: "Wall base thickness", Dimension: text.Length, Default: 200,
		Low: 100, High: 600,
		Why: "Its top level with the strip.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.WallBaseDepth }},
	{Key: RuleWallPostSpacing, Group: "Rising ground", Name: "Between the posts of a sleeper wall",
		Dimension: text.Length, Default: 2000, Low: 500, High: 6000,
		Why: "The length of a sleeper.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.WallPostSpacing }},
	{Key: RuleWallSleeper, Group: "Rising ground", Name: "Thickness of a sleeper wall", Dimension: text.Length,
		Default: 100, Low: 40, High: 300,
		Why: "Post and sleeper together.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.SleeperThickness }},
	{Key: RuleWallPostHole, Group: "Rising ground", Name: "Hole of a wall post, across", Dimension: text.Length,
		Default: 450, Low: 200, High: 1000,
		Why: "Round, filled with concrete. How deep it must be is worked out: the check says where no auger reaches.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.WallHole }},
	{Key: RuleWallPostDeepest, Group: "Rising ground", Name: "Hole of a wall post, deepest", Dimension: text.Length,
		Default: 1800, Low: 500, High: 6000,
		Why: "What an auger on a small machine reaches.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.WallPostDeepest }},
	{Key: RuleCutBatter, Group: "Rising ground", Name: "Batter of the dig behind the wall, along per height",
		Dimension: text.Ratio, Default: 0.25, Low: 0, High: 3,
		Why: "How far the face leans back so that it stands while the wall is built. It is no protection in a deep dig: a watch-out says from what depth.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.CutBatter }},
	{Key: RuleDigTrigger, Group: "Ground", Name: "Dig deeper than this: sides laid back or shored", Dimension: text.Length,
		Default: 1200, Low: 500, High: 1500,
		Why:    "Local rules differ: enter yours. Poor ground buries people in less.",
		Source: "OSHA 29 CFR 1926.652: 5 ft, 1.52 m; 1.2 m in Britain and elsewhere (memory)",
		at:     func(p *Practice) *float64 { return &p.DigTrigger }},
	{Key: RuleWallEngineer, Group: "Rising ground", Name: "Wall height beyond which an engineer and a permit are usual",
		Dimension: text.Length, Default: 1000, Low: 200, High: 3000,
		Why: "Local rules differ: enter yours.", Source: "local building rules usually say 0.6 to 1.2 m (memory)",
		at: func(p *Practice) *float64 { return &p.WallEngineer }},
	{Key: RuleWallMost, Group: "Rising ground", Name: "Highest wall that this first pass looks at",
		Dimension: text.Length, Default: 2000, Low: 500, High: 3000,
		Why: "Above it the figures of a first pass mislead: an engineer designs it.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.WallMost }},
	{Key: RuleWallFactorSliding, Group: "Rising ground", Name: "Wall's safety against sliding, least",
		Dimension: text.Ratio, Default: 1.5, Low: 1, High: 4,
		Why: "What holds it by what pushes it.", Source: "International Building Code, 1807.2.3 (memory)",
		at: func(p *Practice) *float64 { return &p.FactorSliding }},
	{Key: RuleWallFactorTurning, Group: "Rising ground", Name: "Wall's safety against overturning, least",
		Dimension: text.Ratio, Default: 1.5, Low: 1, High: 4,
		Why: "Moments about the toe.", Source: "International Building Code, 1807.2.3 (memory)",
		at: func(p *Practice) *float64 { return &p.FactorTurning }},
	{Key: RuleWallLoadGarden, Group: "Rising ground", Name: "Load on a garden behind the wall", Dimension: text.Stress,
		Default: 0.0025, Low: 0, High: 0.05,
		Why: "People and heaped soil: 2.5 kPa.", Source: "usual minimum for walls in gardens (memory)",
		at: func(p *Practice) *float64 { return &p.LoadGarden }},
	{Key: RuleWallLoadVehicles, Group: "Rising ground", Name: "Load of cars behind the wall", Dimension: text.Stress,
		Default: 0.005, Low: 0, High: 0.05,
		Why: "Cars that park or drive there: 5 kPa.", Source: "usual figure for light traffic (memory)",
		at: func(p *Practice) *float64 { return &p.LoadVehicles }},
	{Key: RuleWallFactorEarth, Group: "Rising ground", Name: "Load factor on the push of earth, for the wall's stem",
		Dimension: text.Ratio, Default: 1.6, Low: 1.2, High: 2.5,
		Why: "Lateral earth pressure.", Source: "ACI 318, 5.3.8 (memory)",
		at: func(p *Practice) *float64 { return &p.EarthFactor }},
	{Key: RuleWallFactorBlocked, Group: "Rising ground", Name: "Wall's safety with its drain blocked, least",
		Dimension: text.Ratio, Default: 1, Low: 1, High: 2,
		Why: "Drains silt up. Then it should just stand.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.FactorBlocked }},
	{Key: RuleWallStemBar, Group: "Rising ground", Name: "Upright bars in a block wall, diameter",
		Dimension: text.Length, Default: 12, Low: 6, High: 25,
		Why: "One in a filled core, tied into the base.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.StemBar }},
	{Key: RuleWallStemSpacing, Group: "Rising ground", Name: "Upright bars in a block wall, apart",
		Dimension: text.Length, Default: 400, Low: 100, High: 800,
		Why: "Every second core.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.StemSpacing }},
	{Key: RuleWallStemDepth, Group: "Rising ground", Name: "Face of a block wall to the middle of its bars",
		Dimension: text.Length, Default: 95, Low: 40, High: 500,
		Why:    "In the middle of a wall of 190. Nearer to the earth they bear more.",
		Source: CommonPractice, at: func(p *Practice) *float64 { return &p.StemDepth }},
	{Key: RuleWallStemStrength, Group: "Rising ground", Name: "Filled blocks, strength", Dimension: text.Stress,
		Default: 10, Low: 10, High: 40,
		Why: "Block and grout together.", Source: "TMS 602, unit strength method: 1500 psi at the least (memory)",
		at: func(p *Practice) *float64 { return &p.StemStrength }},
	{Key: RuleWallSleeperBoard, Group: "Rising ground", Name: "A sleeper by itself, thickness", Dimension: text.Length,
		Default: 75, Low: 40, High: 250,
		Why: "Measure the one you build with.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.SleeperBoard }},
	{Key: RuleWallSleeperStress, Group: "Rising ground", Name: "Bending that a sleeper may bear", Dimension: text.Stress,
		Default: 5.5, Low: 1, High: 20,
		Why:    "Treated softwood that stays wet: 0.8 of the 6.9 MPa of grade F7. Hardwood F14 bears twice as much.",
		Source: "Australian stress grades: F7 and F14 are the least for sleeper walls (read), their stresses (memory)",
		at:     func(p *Practice) *float64 { return &p.SleeperStress }},
	{Key: RuleWallPostModulus, Group: "Rising ground", Name: "Section modulus of a wall post in cm³",
		Dimension: text.Ratio, Default: 63, Low: 5, High: 500,
		Why:    "A steel H post of 100, the usual one of sleeper walls. The merchant's table has it.",
		Source: "AS/NZS 3679.1, 100UC14.8: 63.4 cm³ (memory)", at: func(p *Practice) *float64 { return &p.WallPostModulus }},

	{Key: RuleGroundFrost, Group: "Ground", Name: "Frost goes into the ground of the region", Dimension: text.Length,
		Default: 450, Low: 0, High: 3000,
		Why:    "The usual least depth of footings where frost is light; colder regions enter their code's, those without frost 0.",
		Source: "NHBC Standards 2020, 4.3.3", at: func(p *Practice) *float64 { return &p.FrostDepth }},
	{Key: RuleGroundSwell, Group: "Ground", Name: "Swelling clay moves with the seasons down to", Dimension: text.Length,
		Default: 1000, Low: 500, High: 5000,
		Why:    "Of clay that swells most, away from trees; near them it moves far deeper.",
		Source: "NHBC Standards 4.2 (memory)", at: func(p *Practice) *float64 { return &p.SwellDepth }},
	{Key: RuleRateWall, Group: "Rates", Name: "One square metre of retaining wall", Dimension: text.Money, Low: 0,
		High: 1e6,
		Why:  "Yours; 0 leaves it out of the price.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.RateWall }},
	{Key: RuleRateDrain, Group: "Rates", Name: "One metre of drain behind the wall", Dimension: text.Money, Low: 0,
		High: 1e6,
		Why:  "Yours; 0 leaves it out of the price.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.RateDrain }},
}
