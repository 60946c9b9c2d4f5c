package practice

import "pegpour/engine/text"

// PegPractice is how far a peg may stand from its place, and where the profile boards
// stand.
type PegPractice struct {
	PegOffStrip, PegOffPad, PegOffPost, PegOffAnchor float64
	BoardsAway, BoardsClear, BoardsLong, BoardsUp    float64
}

// The keys of these rules, as documents hold them.
const (
	RulePegOffStrip  = "pegs.offStrip"
	RulePegOffPad    = "pegs.offPad"
	RulePegOffPost   = "pegs.offPost"
	RulePegOffAnchor = "pegs.offAnchor"
	RuleBoardsAway   = "boards.away"
	RuleBoardsClear  = "boards.clear"
	RuleBoardsLong   = "boards.long"
	RuleBoardsUp     = "boards.up"
)

// pegRules are the tolerances of pegs as set.
var pegRules = []Rule{
	{Key: RulePegOffStrip, Group: "Pegs", Name: "Peg of a strip may be off by", Dimension: text.Length, Default: 10, Low: 1,
		High: 100,
		Why:  "The track has room on the strip for as much.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PegOffStrip }},
	{Key: RulePegOffPad, Group: "Pegs", Name: "Peg of the pad or of the post hole may be off by", Dimension: text.Length,
		Default: 10, Low: 1, High: 100,
		Why: "The motor is set on its anchors, not by the pad's corner.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PegOffPad }},
	{Key: RulePegOffPost, Group: "Pegs", Name: "Middle of a post may be off by", Dimension: text.Length, Default: 5, Low: 1,
		High: 100,
		Why:  "The rollers take as much up.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PegOffPost }},
	{Key: RulePegOffAnchor, Group: "Pegs", Name: "Middle of a group of anchors may be off by", Dimension: text.Length,
		Default: 3, Low: 1, High: 100,
		Why: "The holes of a base plate are larger than their anchors by about as much.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PegOffAnchor }},
	{Key: RuleBoardsAway, Group: "Pegs", Name: "Profile boards from the edge of the concrete", Dimension: text.Length,
		Default: 600, Low: 200, High: 3000,
		Why: "Out of the way of spade, spoil and form stakes.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.BoardsAway }},
	{Key: RuleBoardsClear, Group: "Pegs", Name: "Profile boards clear of what stands there", Dimension: text.Length,
		Default: 100, Low: 0, High: 1000,
		Why: "Room to drive their pegs.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.BoardsClear }},
	{Key: RuleBoardsLong, Group: "Pegs", Name: "Length of a profile board", Dimension: text.Length, Default: 400, Low: 100,
		High: 2000,
		Why:  "It takes the string of one edge, with room to shift it.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.BoardsLong }},
	{Key: RuleBoardsUp, Group: "Pegs", Name: "Strings above the highest concrete", Dimension: text.Length, Default: 200, Low: 50,
		High: 1000,
		Why:  "Clear of the form and the screed.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.BoardsUp }},
}
