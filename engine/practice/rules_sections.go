package practice

import (
	"pegpour/engine/text"
)

// The keys of the rules below.
const (
	RuleStrengthHandSpeed    = "strength.handSpeed"
	RuleWindMeshSolid        = "wind.meshSolid"
	RuleWindOpenSolid        = "wind.openSolid"
	RuleStrengthStripDeepest = "strength.stripDeepest"
	RuleStrengthStripWidest  = "strength.stripWidest"
	RuleGuideStrongerWall    = "guide.strongerWall"
	RuleLeafShortInset       = "leaf.shortInset"
	RuleLeafWheelsApart      = "leaf.wheelsApart"
	RuleLeafWheelBears       = "leaf.wheelBears"
	RuleTrackWidth           = "track.width"
	RuleStopPart             = "stop.part"
	RuleMotorPinionMargin    = "motor.pinionMargin"
	RuleConduitAside         = "conduit.aside"
	RuleMotorPerson          = "motor.person"
	RuleHoleStep             = "hole.step"
	RuleObstructionSize      = "obstruction.size"
	RuleFootingSpacingLeast  = "footing.spacingLeast"
	RuleWallBaseStep         = "wall.baseStep"
	RuleWallBaseMost         = "wall.baseMost"
	RuleWallSlopeReach       = "wall.slopeReach"
)

// sectionRules bound and step the sizes of parts.
var sectionRules = []Rule{
	{Key: RuleStrengthHandSpeed, Group: "Strength", Name: "Way of a leaf pushed by hand in one second",
		Dimension: text.Length, Default: 1500, Low: 300, High: 3000,
		Why:    "A brisk walk. The hard stop must bring it to rest where no motor and no slope is faster.",
		Source: CommonPractice, at: func(p *Practice) *float64 { return &p.HandSpeed }},
	{Key: RuleWindMeshSolid, Group: "Strength", Name: "Solid part of a leaf of mesh", Dimension: text.Fraction,
		Default: 0.3, Low: 0.05, High: 1,
		Why: "Wires and frame together; leaves and snow make it more.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.MeshSolidity }},
	{Key: RuleWindOpenSolid, Group: "Strength", Name: "Solid part of a bare frame", Dimension: text.Fraction,
		Default: 0.15, Low: 0.02, High: 1,
		Why: "Rails and stiles. A leaf of upright bars counts for as much at least.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.OpenSolidity }},
	{Key: RuleStrengthStripDeepest, Group: "Strength", Name: "Deepest drive strip that is proposed",
		Dimension: text.Length, Default: 500, Low: 150, High: 1000,
		Why: "Deeper is a foundation, and an engineer's.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.DeepestStrip }},
	{Key: RuleStrengthStripWidest, Group: "Strength", Name: "Widest drive strip that is proposed", Dimension: text.Length,
		Default: 1200, Low: 300, High: 1500,
		Why: "Wider is a slab, and an engineer's.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.WidestStrip }},
	{Key: RuleGuideStrongerWall, Group: "Strength", Name: "Least wall of a stronger guide post that is proposed",
		Dimension: text.Length, Default: 3, Low: 1.5, High: 12,
		Why: "Larger hollow sections are not sold thinner.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.StrongerWall }},

	{Key: RuleLeafShortInset, Group: "Leaf",
		Name: "Length of a stacked panel over the farthest that a wheel stands in from its end", Dimension: text.Ratio,
		Default: 8, Low: 3, High: 20,
		Why: "A short panel stands on wheels nearer to its ends, or it rocks.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.ShortInset }},
	{Key: RuleLeafWheelsApart, Group: "Leaf", Name: "Between the wheels of the shortest panel", Dimension: text.Length,
		Default: 40, Low: 10, High: 500,
		Why: "However short it is, its wheels stand on either side of its middle.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.WheelsApart }},
	{Key: RuleLeafWheelBears, Group: "Leaf", Name: "Load that a wheel is made for", Dimension: text.Force, Default: 3000,
		Low: 300, High: 50000,
		Why:    "What wheels of 80 to 100 mm are sold for, 300 kg. The seller says it of yours.",
		Source: CommonPractice, at: func(p *Practice) *float64 { return &p.WheelBears }},
	{Key: RuleTrackWidth, Group: "Leaf", Name: "Foot of the track, width", Dimension: text.Length, Default: 50, Low: 10,
		High: 200,
		Why:  "The strip must carry the whole of it.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.TrackWidth }},
	{Key: RuleStopPart, Group: "Leaf", Name: "Hard stop over the strip's width", Dimension: text.Ratio, Default: 0.5,
		Low: 0.1, High: 1,
		Why: "With concrete on either side of its anchors.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.StopPart }},

	{Key: RuleMotorPinionMargin, Group: "Motor", Name: "Part of the pad's window kept free above and below",
		Dimension: text.Fraction, Default: 0.25, Low: 0, High: 0.5,
		Why:    "So that the pinion can still be set both ways when the concrete is not quite where it should be.",
		Source: CommonPractice, at: func(p *Practice) *float64 { return &p.PinionMargin }},
	{Key: RuleConduitAside, Group: "Motor", Name: "Conduit from the middle of the motor, over its length",
		Dimension: text.Ratio, Default: 0.25, Low: 0, High: 0.5,
		Why:    "Power comes up at one end, other cables at the other. Look at the base of the motor you fit.",
		Source: CommonPractice, at: func(p *Practice) *float64 { return &p.ConduitAside }},
	{Key: RuleMotorPerson, Group: "Motor", Name: "A person on the motor's steel plate", Dimension: text.Force,
		Default: 1000, Low: 0, High: 5000,
		Why: "Somebody stands on it to look over the gate; each post takes all of it.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PersonOnPlate }},

	{Key: RuleHoleStep, Group: "Ground", Name: "Holes of posts are dug to whole steps of", Dimension: text.Length,
		Default: 50, Low: 5, High: 200,
		Why: "Nobody digs to the centimetre.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.HoleStep }},
	{Key: RuleObstructionSize, Group: "Ground", Name: "Thing in the way, each side when not measured",
		Dimension: text.Length, Default: 300, Low: 50, High: 5000,
		Why: "A tree, a pit or a tap.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.ObstructionSize }},
	{Key: RuleFootingSpacingLeast, Group: "Falling ground", Name: "Narrowest spacing of posts", Dimension: text.Length,
		Default: 300, Low: 100, High: 1000,
		Why: "Nearer to each other their holes are one.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.FootSpacingLeast }},
	{Key: RuleWallBaseStep, Group: "Rising ground", Name: "Wall base is widened in steps of", Dimension: text.Length,
		Default: 50, Low: 10, High: 500,
		Why: "Formwork is not set finer.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.WallBaseStep }},
	{Key: RuleWallBaseMost, Group: "Rising ground", Name: "Widest wall base over the height of wall and base",
		Dimension: text.Ratio, Default: 1.5, Low: 0.7, High: 3,
		Why: "A wall that needs more is another kind of wall.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.WallBaseMost }},
	{Key: RuleWallSlopeReach, Group: "Rising ground", Name: "Slope of the ground behind a wall is taken over at least",
		Dimension: text.Length, Default: 500, Low: 100, High: 3000,
		Why:    "Over the wall's height where that is more: as far behind it as the ground leans on it.",
		Source: CommonPractice, at: func(p *Practice) *float64 { return &p.WallSlopeReach }},
}
