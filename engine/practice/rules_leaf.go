package practice

import (
	"slices"

	"pegpour/engine/text"
)

// leafRules are those of the leaf's members, its mass and its motion, and of
// what carries it over falling ground.
var leafRules = slices.Concat(memberRules, motionRules, footingRules, handOverRules)

// The keys of these rules, as documents hold them.
const (
	RuleLeafPanelOverlap  = "leaf.panelOverlap"
	RuleTrackPitch        = "track.pitch"
	RuleTrackPanelGap     = "track.panelGap"
	RuleFrameRail         = "frame.rail"
	RuleFrameBottomRail   = "frame.bottomRail"
	RuleFrameWall         = "frame.wall"
	RuleFrameBay          = "frame.bay"
	RuleFrameAbove        = "frame.above"
	RuleFrameSagOver      = "frame.sagOver"
	RuleFrameAluminium    = "frame.aluminiumYield"
	RuleFrameStock        = "frame.stock"
	RuleFrameSawCut       = "frame.sawCut"
	RuleBattenHeight      = "batten.height"
	RuleBattenGap         = "batten.gap"
	RuleBoardWidth        = "board.width"
	RuleBoardGap          = "board.gap"
	RuleUprightSize       = "upright.size"
	RuleUprightWall       = "upright.wall"
	RuleUprightGap        = "upright.gap"
	RuleMassBattens       = "mass.battens"
	RuleMassBoards        = "mass.boards"
	RuleMassSheet         = "mass.sheet"
	RuleMassMesh          = "mass.mesh"
	RuleMassRack          = "mass.rack"
	RuleMassGuideRail     = "mass.guideRail"
	RuleMassWheel         = "mass.wheel"
	RuleRateFrame         = "rate.frame"
	RuleMotionRolling     = "motion.rolling"
	RuleMotionStart       = "motion.start"
	RuleMotionHandForce   = "motion.handForce"
	RuleMotionHandHeight  = "motion.handHeight"
	RuleMotorThrust       = "motor.thrust"
	RuleMotorMargin       = "motor.margin"
	RuleMotorSpeed        = "motor.speed"
	RuleMotorStartTime    = "motor.startTime"
	RuleMotorPinionRadius = "motor.pinionRadius"
	RuleLatchCatchDepth   = "latch.catchDepth"
)

var memberRules = []Rule{
	{Key: RuleLeafPanelOverlap, Group: "Stacked panels", Name: "Overlap of one panel with the next",
		Dimension: text.Length, Default: 150, Low: 0, High: 1000,
		Why:    "The rollers at the front of a panel hold the one before it; both must stay on each other.",
		Source: CommonPractice, at: func(p *Practice) *float64 { return &p.PanelOverlap }},
	{Key: RuleTrackPitch, Group: "Stacked panels", Name: "From track to track", Dimension: text.Length, Default: 80,
		Low: 40, High: 400,
		Why:    "Frame and room for the rollers between panels. Cladding on the front of the panels is added. A steel footing may want more between its bars: the check says so.",
		Source: CommonPractice, at: func(p *Practice) *float64 { return &p.TrackPitch }},
	{Key: RuleTrackPanelGap, Group: "Stacked panels", Name: "Least gap between panels that pass", Dimension: text.Length,
		Default: 25, Low: 1, High: 200,
		Why: "A roller and its bracket stand there.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PanelGap }},

	{Key: RuleFrameRail, Group: "Leaf frame", Name: "Top rail and stiles, section height", Dimension: text.Length,
		Default: 50, Low: 20, High: 200,
		Why: "Hollow section, as thick as the leaf.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.RailHeight }},
	{Key: RuleFrameBottomRail, Group: "Leaf frame", Name: "Bottom rail, section height", Dimension: text.Length,
		Default: 100, Low: 20, High: 250,
		Why: "The wheels are let into it. In a storm a leaf that lies close asks more of it: the check says how much.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.BottomRail }},
	{Key: RuleFrameWall, Group: "Leaf frame", Name: "Wall of the frame's sections", Dimension: text.Length, Default: 3,
		Low: 1, High: 6,
		Why: "Thin walls burn through when welded and dent.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.FrameWall }},
	{Key: RuleFrameBay, Group: "Leaf frame", Name: "Widest bay between stiles", Dimension: text.Length, Default: 2000,
		Low: 500, High: 6000,
		Why: "Battens sag and the frame racks in a wider one.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.FrameBay }},
	{Key: RuleFrameAbove, Group: "Leaf frame", Name: "Underside of the leaf above the track's foot",
		Dimension: text.Length, Default: 50, Low: 5, High: 200,
		Why: "Track, and room for stones and a broom.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.LeafAbove }},
	{Key: RuleFrameSagOver, Group: "Leaf frame", Name: "Between the wheels over the bottom rail's sag under the leaf",
		Dimension: text.Ratio, Default: 500, Low: 200, High: 2000,
		Why:    "The rack hangs on it, and its pinion has a millimetre or two of play. Stiles and infill stiffen it further.",
		Source: CommonPractice, at: func(p *Practice) *float64 { return &p.FrameSagOver }},
	{Key: RuleFrameAluminium, Group: "Leaf frame", Name: "Yield strength of a welded aluminium frame",
		Dimension: text.Stress, Default: 60, Low: 30, High: 250,
		Why:    "Beside a weld the usual extrusions lose more than half of their strength.",
		Source: "EN 1999-1-1, table 3.2b, 6060 T5 and T66 beside welds (memory)",
		at:     func(p *Practice) *float64 { return &p.AluminiumYield }},
	{Key: RuleFrameStock, Group: "Leaf frame", Name: "Stock length of steel", Dimension: text.Length, Default: 6500,
		Low: 1000, High: 13000,
		Why: "As the merchant sells it.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.StockLength }},
	{Key: RuleFrameSawCut, Group: "Leaf frame", Name: "Lost to each saw cut", Dimension: text.Length, Default: 3, Low: 0,
		High: 10,
		Why:  "The blade's width.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.SawCut }},
	{Key: RuleBattenHeight, Group: "Leaf infill", Name: "Batten height", Dimension: text.Length, Default: 65, Low: 10,
		High: 400,
		Why:  "Face of one batten.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.BattenHeight }},
	{Key: RuleBattenGap, Group: "Leaf infill", Name: "Least gap between battens", Dimension: text.Length, Default: 9,
		Low: 0, High: 200,
		Why: "Wide enough to paint, narrow enough not to climb. What is left over is shared out.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.BattenGap }},
	{Key: RuleBoardWidth, Group: "Leaf infill", Name: "Board width", Dimension: text.Length, Default: 90, Low: 10,
		High: 400,
		Why:  "Face of one board.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.BoardWidth }},
	{Key: RuleBoardGap, Group: "Leaf infill", Name: "Least gap between boards", Dimension: text.Length, Default: 5,
		Low: 0, High: 100,
		Why: "Boards swell.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.BoardGap }},
	{Key: RuleUprightSize, Group: "Leaf infill", Name: "Upright bar, square", Dimension: text.Length, Default: 20,
		Low: 10, High: 60,
		Why: "Hollow section.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.UprightSize }},
	{Key: RuleUprightWall, Group: "Leaf infill", Name: "Wall of an upright bar", Dimension: text.Length, Default: 2,
		Low: 1, High: 5,
		Why: "Thinner dents.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.UprightWall }},
	{Key: RuleUprightGap, Group: "Leaf infill", Name: "Widest gap between upright bars", Dimension: text.Length,
		Default: 100, Low: 10, High: 200,
		Why: "No child's head gets through.", Source: "barrier rules commonly allow 100 mm (memory)",
		at: func(p *Practice) *float64 { return &p.UprightGap }},
	{Key: RuleMassBattens, Group: "Leaf infill", Name: "Battens, each square metre covered", Dimension: text.MassPerArea,
		Default: 12, Low: 0.5, High: 100,
		Why: "Hardwood of 19 mm, or aluminium slats with their fixings. Weigh yours.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.MassBattens }},
	{Key: RuleMassBoards, Group: "Leaf infill", Name: "Boards, each square metre covered", Dimension: text.MassPerArea,
		Default: 14, Low: 0.5, High: 100,
		Why: "Timber of 20 mm at 700 kg/m³.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.MassBoards }},
	{Key: RuleMassSheet, Group: "Leaf infill", Name: "Sheet, each square metre", Dimension: text.MassPerArea, Default: 12,
		Low: 0.5, High: 100,
		Why: "Steel of 1.5 mm.", Source: "7.85 kg for each square metre and millimetre of steel (memory)",
		at: func(p *Practice) *float64 { return &p.MassSheet }},
	{Key: RuleMassMesh, Group: "Leaf infill", Name: "Mesh, each square metre", Dimension: text.MassPerArea, Default: 4,
		Low: 0.2, High: 50,
		Why: "Welded wire.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.MassMesh }},
	{Key: RuleMassRack, Group: "Leaf frame", Name: "Rack, each metre", Dimension: text.MassPerLength, Default: 2.5,
		Low: 0.1, High: 20,
		Why: "Steel rack of 30 by 8 with its fixings; nylon weighs less.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.MassRack }},
	{Key: RuleMassGuideRail, Group: "Leaf frame", Name: "Guide rail, each metre", Dimension: text.MassPerLength,
		Default: 1.5, Low: 0, High: 20,
		Why: "The channel or bar on top of the leaf that the rollers hold.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.MassGuideRail }},
	{Key: RuleMassWheel, Group: "Leaf frame", Name: "One wheel with its box", Dimension: text.Mass, Default: 2, Low: 0.2,
		High: 20,
		Why:  "Weigh yours.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.MassWheel }},
	{Key: RuleRateFrame, Group: "Rates", Name: "One kilogram of frame or footing steel", Dimension: text.Money, Low: 0,
		High: 1e6,
		Why:  "Yours; 0 leaves it out of the price.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.RateFrame }},

	{Key: RuleMotionRolling, Group: "Motion", Name: "Rolling resistance over weight, high end", Dimension: text.Ratio,
		Default: 0.03, Low: 0.002, High: 0.2,
		Why:    "Grit on the track and worn bearings. It decides what motor and hand are asked for.",
		Source: "0.017 for a steel wheel of 80 mm by the formula of travel drives (read); that grit nearly doubles it is common practice",
		at:     func(p *Practice) *float64 { return &p.Rolling }},
	{Key: RuleMotionStart, Group: "Motion", Name: "Resistance when setting off over rolling", Dimension: text.Ratio,
		Default: 1.5, Low: 1, High: 5,
		Why: "Cold grease, grit against the wheels, a leaf that has stood for a week.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.StartFactor }},
	{Key: RuleMotionHandForce, Group: "Motion", Name: "Most force to move the leaf by hand", Dimension: text.Force,
		Default: 150, Low: 30, High: 500,
		Why: "A leaf without a motor.", Source: "EN 12604 gives 150 N at homes and 260 N elsewhere (memory)",
		at: func(p *Practice) *float64 { return &p.HandForce }},
	{Key: RuleMotionHandHeight, Group: "Motion", Name: "Height at which a hand pushes", Dimension: text.Length,
		Default: 1000, Low: 300, High: 2000,
		Why: "Above the track.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.HandHeight }},
	{Key: RuleMotorThrust, Group: "Motor", Name: "Thrust of the motor", Dimension: text.Force, Default: 450, Low: 50,
		High: 5000,
		Why:  "On the plate of the motor you fit. With it a leaf hits harder than a person may bear, and a heavy leaf or wind asks for more: the checks say how much.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.MotorThrust }},
	{Key: RuleMotorMargin, Group: "Motor", Name: "Thrust over what the leaf asks", Dimension: text.Ratio, Default: 1.5,
		Low: 1, High: 4,
		Why:    "Cold grease, a battery running down, a track out of line. Grit and wind are counted by themselves.",
		Source: CommonPractice,
		at:     func(p *Practice) *float64 { return &p.MotorMargin }},
	{Key: RuleMotorSpeed, Group: "Motor", Name: "Way of the driven leaf in one second", Dimension: text.Length,
		Default: 200, Low: 20, High: 1000,
		Why: "On the plate of the motor.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.MotorSpeed }},
	{Key: RuleMotorStartTime, Group: "Motor", Name: "Seconds to get up to speed", Dimension: text.Ratio, Default: 0.5,
		Low: 0.05, High: 10,
		Why: "A soft start takes longer.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.StartTime }},
	{Key: RuleMotorPinionRadius, Group: "Motor", Name: "Pinion radius", Dimension: text.Length, Default: 40, Low: 10,
		High: 100,
		Why:  "On a grade the pinion meets the rack a little up or down the hill.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PinionRadius }},
	{Key: RuleLatchCatchDepth, Group: "Motion", Name: "Way over which the latch catch holds the leaf",
		Dimension: text.Length, Default: 40, Low: 0, High: 500,
		Why: "The catch at the latch post holds the leaf upright over the last part of its way.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.CatchDepth }},
}
