package practice

import "pegpour/engine/text"

// HangingPractice is how a shop hangs a leaf free of the ground.
type HangingPractice struct {
	HangCounter, HangFront, HangCarriage, HangEdge   float64 // part of the opening, mm
	HangClearance, HangUnder, HangGap                float64
	HangRamp, HangPlay                               float64
	HangBeamHeight, HangBeamWidth, HangBeamWall      float64
	HangBlockWidth, HangBlockDepth, HangBlockDeepest float64
	HangTipping, HangSliding, HangAnchors, HangRolls float64
	HangOffset, HangFoot, HangAnchorDepth            float64 // mm
	HangAnchorKind                                   float64 // of AnchorResin and so on
	HangOver                                         float64 // mm
	RateCarriage                                     float64
}

// The keys of these rules, as documents hold them.
const (
	RuleHangCounter      = "hanging.counter"
	RuleHangFront        = "hanging.front"
	RuleHangCarriage     = "hanging.carriage"
	RuleHangEdge         = "hanging.edge"
	RuleHangClearance    = "hanging.clearance"
	RuleHangUnder        = "hanging.under"
	RuleHangGap          = "hanging.gap"
	RuleHangRamp         = "hanging.ramp"
	RuleHangPlay         = "hanging.play"
	RuleHangBeamHeight   = "hanging.beamHeight"
	RuleHangBeamWidth    = "hanging.beamWidth"
	RuleHangBeamWall     = "hanging.beamWall"
	RuleHangBlockWidth   = "hanging.blockWidth"
	RuleHangBlockDepth   = "hanging.blockDepth"
	RuleHangBlockDeepest = "hanging.blockDeepest"
	RuleHangTipping      = "hanging.tipping"
	RuleHangSliding      = "hanging.sliding"
	RuleHangRolling      = "hanging.rolling"
	RuleHangAnchors      = "hanging.anchors"
	RuleHangOffset       = "hanging.offset"
	RuleHangFoot         = "hanging.foot"
	RuleHangAnchorDepth  = "hanging.anchorDepth"
	RuleHangAnchorKind   = "hanging.anchorKind"
	RuleHangOver         = "hanging.over"
	RuleRateCarriage     = "rate.carriage"
)

// hung is a length of a leaf that hangs free.
func hung(key string, name text.Name, usual, low, high float64, why string, at func(*Practice) *float64) Rule {
	return Rule{Key: key, Group: "Hanging leaf", Name: name, Dimension: text.Length, Default: usual, Low: low, High: high,
		Why: why, Source: CommonPractice, at: at}
}

var hangingRules = []Rule{
	{Key: RuleHangCounter, Group: "Hanging leaf", Name: "Counter part over the opening, first guess", Dimension: text.Fraction,
		Default: 0.45, Low: 0.1, High: 1.5,
		Why:    "0.4 to 0.5 is usual. It stands unless carriages or nose ask for another length.",
		Source: CommonPractice, at: func(p *Practice) *float64 { return &p.HangCounter }},
	hung(RuleHangFront, "Front carriage behind the face of the run-back post", 200, 50, 2000,
		"Its middle. Nearer to the post the nose hangs shorter.", func(p *Practice) *float64 { return &p.HangFront }),
	hung(RuleHangCarriage, "Carriage along the beam", 200, 50, 1000, "Measure yours: all of it stays in the beam.",
		func(p *Practice) *float64 { return &p.HangCarriage }),
	hung(RuleHangEdge, "Middle of a carriage from the end of the block", 200, 80, 1000,
		"Its anchors stand on either side of it, away from the edge.", func(p *Practice) *float64 { return &p.HangEdge }),
	hung(RuleHangClearance, "Leaf over the highest place of the drive", 60, 20, 400,
		"Stones and a broom; more where snow lies.", func(p *Practice) *float64 { return &p.HangClearance }),
	hung(RuleHangUnder, "Underside of the beam above the block", 60, 10, 400,
		"The carriage's foot and its packing.", func(p *Practice) *float64 { return &p.HangUnder }),
	{Key: RuleHangGap, Group: "Hanging leaf", Name: "Gap under the leaf through which a child or dog gets", Dimension: text.Length,
		Default: 100, Low: 30, High: 300, Why: "A wider one is said with where it is.",
		Source: "barrier rules commonly allow 100 mm (memory)", at: func(p *Practice) *float64 { return &p.HangGap }},
	hung(RuleHangRamp, "Lift of the ramp of the catch", 30, 0, 150,
		"The nose runs up it and is carried while the leaf is shut.", func(p *Practice) *float64 { return &p.HangRamp }),
	hung(RuleHangPlay, "Nose drops by the play of the carriages", 5, 0, 50,
		"New ones have little; measure it again after a year.", func(p *Practice) *float64 { return &p.HangPlay }),
	hung(RuleHangBeamHeight, "Beam of the shop, height", 150, 60, 300,
		"A hollow section, or one that carries as much; the maker's numbers of a beam stand before it.",
		func(p *Practice) *float64 { return &p.HangBeamHeight }),
	hung(RuleHangBeamWidth, "Beam of the shop, width", 100, 40, 200, "The carriages run in it.",
		func(p *Practice) *float64 { return &p.HangBeamWidth }),
	hung(RuleHangBeamWall, "Beam of the shop, wall", 5, 2, 10, "Rollers dent a thin one.",
		func(p *Practice) *float64 { return &p.HangBeamWall }),
	hung(RuleHangBlockWidth, "Block under the carriages, out from the back of the fence", 500, 300, 2000,
		"Wind on the leaf tips it across: the check says by how much.",
		func(p *Practice) *float64 { return &p.HangBlockWidth }),
	{Key: RuleHangBlockDepth, Group: "Hanging leaf", Name: "Block under the carriages, depth on firm ground",
		Dimension: text.Length, Default: 500, Low: 200, High: 2000, Minimum: true,
		Why:    "The least. It is dug deeper where its weight must hold the rear carriage down, or the wind.",
		Source: CommonPractice, at: func(p *Practice) *float64 { return &p.HangBlockDepth }},
	hung(RuleHangBlockDeepest, "Deepest block that is proposed", 1200, 300, 3000,
		"Deeper is another foundation, and an engineer's.", func(p *Practice) *float64 { return &p.HangBlockDeepest }),
	{Key: RuleHangTipping, Group: "Hanging leaf", Name: "Weight that holds the block over what tips it", Dimension: text.Ratio,
		Default: 1.5, Low: 1, High: 4, Why: "By weight alone: the ground around it is not counted.",
		Source: "IBC 1807.2.3, overturning of retaining walls (memory)", at: func(p *Practice) *float64 { return &p.HangTipping }},
	{Key: RuleHangSliding, Group: "Hanging leaf", Name: "What holds the block over what pushes it along", Dimension: text.Ratio,
		Default: 1.5, Low: 1, High: 4, Why: "By what the ground under it holds alone, not what stands before it.",
		Source: "IBC 1807.2.3, sliding of retaining walls (memory)", at: func(p *Practice) *float64 { return &p.HangSliding }},
	{Key: RuleHangRolling, Group: "Hanging leaf", Name: "Rolling resistance over what the carriages carry, high end",
		Dimension: text.Ratio, Default: 0.012, Low: 0.001, High: 0.2,
		Why:    "Ball bearings inside a beam, where no grit lies. Both carriages press, and more than the leaf weighs: that is counted.",
		Source: CommonPractice, at: func(p *Practice) *float64 { return &p.HangRolls }},
	{Key: RuleHangAnchors, Group: "Hanging leaf", Name: "Anchors of one carriage", Dimension: text.Count, Default: 4, Low: 2,
		High: 12, Why: "One near each corner of its foot.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.HangAnchors }},
	hung(RuleHangOffset, "Beam of a hanging leaf from the back of the posts, at the least", 120, 40, 500,
		"So far that the carriages' anchors stand away from the front of the block. Guide post and motor go back with it.",
		func(p *Practice) *float64 { return &p.HangOffset }),
	hung(RuleHangFoot, "Foot of a carriage across the beam", 150, 60, 500,
		"Measure yours: its anchors stand in from its edges.", func(p *Practice) *float64 { return &p.HangFoot }),
	hung(RuleHangAnchorDepth, "Effective depth of the anchors of a carriage", 120, 40, 635,
		"The block is deep: they go deeper than those of a motor on a pad. In hard wind the check says how much is asked.",
		func(p *Practice) *float64 { return &p.HangAnchorDepth }),
	hung(RuleHangOver, "Open leaf over the ground behind the post, at the least", 20, 5, 200,
		"Leaves and stones gather there. Ground that stands higher is dug away.", func(p *Practice) *float64 { return &p.HangOver }),
	{Key: RuleHangAnchorKind, Group: "Hanging leaf",
		Name:      "Anchors of a carriage: rods in resin 0, sleeve or wedge anchors 1, bolts cast in 2",
		Dimension: text.Count, Default: AnchorCastIn, Low: 0, High: 2,
		Why:    "A carriage pulls at them as long as the leaf stands, and resin creeps under that.",
		Source: CommonPractice, at: func(p *Practice) *float64 { return &p.HangAnchorKind }},
	{Key: RuleRateCarriage, Group: "Rates", Name: "One carriage of a hanging leaf", Dimension: text.Money, Low: 0, High: 1e6,
		Why: "Yours; 0 leaves it out of the price.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.RateCarriage }},
}
