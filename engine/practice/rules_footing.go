package practice

import (
	"pegpour/engine/text"
)

// The keys of these rules, as documents hold them.
const (
	RuleFootingBarWidth     = "footing.barWidth"
	RuleFootingBarThickness = "footing.barThickness"
	RuleFootingPost         = "footing.post"
	RuleFootingPostWall     = "footing.postWall"
	RuleFootingSpacingMost  = "footing.spacingMost"
	RuleFootingSpanOver     = "footing.spanOver"
	RuleFootingSag          = "footing.sag"
	RuleFootingMargin       = "footing.margin"
	RuleFootingPush         = "footing.push"
	RuleFootingYield        = "footing.yield"
	RuleFootingSafety       = "footing.safety"
	RuleFootingEccentricity = "footing.eccentricity"
	RuleFootingSway         = "footing.sway"
	RuleFootingHole         = "footing.hole"
	RuleFootingEmbedLeast   = "footing.embedLeast"
	RuleFootingEmbedMost    = "footing.embedMost"
	RuleFootingBearing      = "footing.bearing"
	RuleFootingPlate        = "footing.plate"
)

// footingRules are those of the steel footing over falling ground.
var footingRules = []Rule{
	{Key: RuleFootingBarWidth, Group: "Falling ground", Name: "Flat bar under the track, width", Dimension: text.Length,
		Default: 100, Low: 50, High: 300, Minimum: true,
		Why: "Room for the track and its welds.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.BarWidth }},
	{Key: RuleFootingBarThickness, Group: "Falling ground", Name: "Flat bar under the track, thickness",
		Dimension: text.Length, Default: 25, Low: 6, High: 60, Minimum: true,
		Why: "A thinner one sags between posts and rings.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.BarThickness }},
	{Key: RuleFootingPost, Group: "Falling ground", Name: "Posts under the bar, square", Dimension: text.Length,
		Default: 50, Low: 30, High: 200, Minimum: true,
		Why: "Hollow section of the trade, for weight. The wind of most sites, on the open leaf, asks for more where posts stand high: the check says how much.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.FootPost }},
	{Key: RuleFootingPostWall, Group: "Falling ground", Name: "Wall of those posts", Dimension: text.Length, Default: 3,
		Low: 1.5, High: 7,
		Why: "Galvanised; it stands in wet ground. The wind of most sites asks for a stronger post: the check says how much.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.FootPostWall }},
	{Key: RuleFootingSpacingMost, Group: "Falling ground", Name: "Widest spacing of posts", Dimension: text.Length,
		Default: 1500, Low: 300, High: 3000,
		Why: "Wider, a settled post is felt at once. Stress and deflection may ask for less.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.FootSpacingMost }},
	{Key: RuleFootingSpanOver, Group: "Falling ground", Name: "Span over the deflection allowed", Dimension: text.Ratio,
		Default: 500, Low: 100, High: 2000,
		Why:    "A wheel that sags has to climb out again at every post.",
		Source: "crane runways are held to 1/400 to 1/600 (memory)",
		at:     func(p *Practice) *float64 { return &p.FootSpanOver }},
	{Key: RuleFootingSag, Group: "Falling ground", Name: "Deflection allowed in any case", Dimension: text.Length,
		Default: 3, Low: 0.5, High: 20,
		Why: "The pinion must not lose the rack.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.FootSag }},
	{Key: RuleFootingMargin, Group: "Falling ground", Name: "Wheel load taken over the one worked out",
		Dimension: text.Ratio, Default: 1.25, Low: 1, High: 3,
		Why:    "Joints of the track knock; somebody rides on the gate.",
		Source: "1.25 is the usual impact factor of light cranes (memory)",
		at:     func(p *Practice) *float64 { return &p.FootMargin }},
	{Key: RuleFootingPush, Group: "Falling ground", Name: "Sideways push at a wheel", Dimension: text.Force, Default: 500,
		Low: 0, High: 5000,
		Why: "A person leans on the open leaf. The wind is worked out, and the greater of the two counts.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.FootPush }},
	{Key: RuleFootingYield, Group: "Falling ground", Name: "Yield strength of bar and posts", Dimension: text.Stress,
		Default: 250, Low: 150, High: 500,
		Why: "Plain structural steel.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.FootYield }},
	{Key: RuleFootingSafety, Group: "Falling ground", Name: "Safety on that yield", Dimension: text.Ratio, Default: 1.67,
		Low: 1, High: 3,
		Why: "Allowable stress in bending.", Source: "AISC 360, Ω of flexure (memory)",
		at: func(p *Practice) *float64 { return &p.FootSafety }},
	{Key: RuleFootingEccentricity, Group: "Falling ground", Name: "Load off the middle of a post", Dimension: text.Length,
		Default: 10, Low: 0, High: 60,
		Why: "Posts never stand exactly under the track.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.FootEccentric }},
	{Key: RuleFootingSway, Group: "Falling ground", Name: "Sideways movement allowed at the top of a post",
		Dimension: text.Length, Default: 12, Low: 1, High: 50,
		Why: "The leaf must stay in its rollers.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.FootSway }},
	{Key: RuleFootingHole, Group: "Falling ground", Name: "Hole of a post, square", Dimension: text.Length, Default: 250,
		Low: 150, High: 800,
		Why: "A spade's width. By wind the hole is often deeper than hands can dig, and a wider one less so: the check says where.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.FootHole }},
	{Key: RuleFootingEmbedLeast, Group: "Falling ground", Name: "Least depth of such a hole", Dimension: text.Length,
		Default: 500, Low: 200, High: 2000, Minimum: true,
		Why: "Below what dries out and washes off a bank: the least. For most leaves the wind asks for more, which is then dug.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.FootEmbed }},
	{Key: RuleFootingEmbedMost, Group: "Falling ground", Name: "Deepest hole that is dug by hand", Dimension: text.Length,
		Default: 1500, Low: 500, High: 3000,
		Why: "Deeper needs an auger, and shoring before anyone bends into it.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.FootEmbedMost }},
	{Key: RuleFootingBearing, Group: "Falling ground", Name: "Bar on the motor pad", Dimension: text.Length, Default: 100,
		Low: 40, High: 500,
		Why: "Bolted down there.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.FootBearing }},
	{Key: RuleFootingPlate, Group: "Falling ground", Name: "Steel plate under a motor on posts, thickness",
		Dimension: text.Length, Default: 12, Low: 5, High: 40,
		Why: "Takes the motor's anchors without ringing.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PadPlate }},
}
