package practice

import "pegpour/engine/text"

// PairPractice is how two leaves meet in the drive.
type PairPractice struct {
	PairGap, PairCatch, PairGrip, PairLeast float64
	PairStopHeight, PairStopLength          float64
	PairFoot, PairFootDepth                 float64
	PairCableDepth, PairCableTrench         float64
}

// The keys of these rules, as documents hold them.
const (
	RulePairGap        = "pair.gap"
	RulePairCatch      = "pair.catch"
	RulePairGrip       = "pair.grip"
	RulePairLeast      = "pair.least"
	RulePairStopHeight = "pair.stopHeight"
	RulePairStopLength = "pair.stopLength"
	RulePairFoot       = "pair.foot"
	RulePairFootDepth  = "pair.footDepth"
	RulePairCableDepth = "pair.cableDepth"
	RulePairCableWidth = "pair.cableTrench"
)

const groupPair = "Two leaves that meet"

var pairRules = []Rule{
	{Key: RulePairGap, Group: groupPair, Name: "Between the frames where the leaves meet", Dimension: text.Length,
		Default: 20, Low: 0, High: 200,
		Why: "Room for the buffers, and for both leaves to grow in the sun.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PairGap }},
	{Key: RulePairCatch, Group: groupPair, Name: "Catch on the leaf that shuts first, past its frame", Dimension: text.Length,
		Default: 50, Low: 10, High: 300,
		Why: "It reaches over the gap and takes the edge of the other leaf.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PairCatch }},
	{Key: RulePairGrip, Group: groupPair, Name: "Least of the other leaf that the catch takes", Dimension: text.Length,
		Default: 20, Low: 5, High: 100,
		Why: "Less comes free when leaves and posts shrink in the cold.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PairGrip }},
	{Key: RulePairLeast, Group: groupPair, Name: "Least part of the opening for one leaf", Dimension: text.Length,
		Default: 800, Low: 800, High: 6000,
		Why: "A shorter leaf does not stand on its wheels.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PairLeast }},
	{Key: RulePairStopHeight, Group: groupPair, Name: "Stop in the drive above the track's foot", Dimension: text.Length,
		Default: 60, Low: 20, High: 300,
		Why: "It meets the bottom rail, and a wheel rolls over it.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PairStopHeight }},
	{Key: RulePairStopLength, Group: groupPair, Name: "Stop in the drive, out from the fence", Dimension: text.Length,
		Default: 80, Low: 30, High: 400,
		Why: "About as wide as the track.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PairStopLength }},
	{Key: RulePairFoot, Group: groupPair, Name: "Footing under the stop in the drive, each way", Dimension: text.Length,
		Default: 400, Low: 200, High: 1500,
		Why: "It is poured with the drive strip and spreads a wheel that rolls over the stop.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PairFoot }},
	{Key: RulePairFootDepth, Group: groupPair, Name: "That footing's depth from the surface", Dimension: text.Length,
		Default: 400, Low: 100, High: 1500,
		Why: "The stop's legs go down into it, and the ground before it holds what a motor pushes.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PairFootDepth }},
	{Key: RulePairCableDepth, Group: groupPair, Name: "Conduit from motor to motor, below a drive without a strip",
		Dimension: text.Length, Default: 500, Low: 100, High: 2000,
		Why: "So deep that no wheel and no spade finds it. Local codes say how deep.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PairCableDepth }},
	{Key: RulePairCableWidth, Group: groupPair, Name: "Trench of that conduit, width", Dimension: text.Length,
		Default: 150, Low: 50, High: 600,
		Why: "A narrow spade's, in gravel and earth. Under a drive that stays whole the conduit is bored.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PairCableTrench }},
}
