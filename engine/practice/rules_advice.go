package practice

import (
	"pegpour/engine/text"
)

// The keys of the rules below.
const (
	RuleRemedyPassGuide   = "remedy.passGuide"
	RuleRemedyPassFence   = "remedy.passFence"
	RuleRemedyWheelsOut   = "remedy.wheelsOut"
	RuleRemedyRollerPairs = "remedy.rollerPairs"
	RuleRemedyThrustStep  = "remedy.thrustStep"
	RuleRemedyPostStep    = "remedy.postStep"
	RuleRemedyBarStep     = "remedy.barStep"
	RuleRemedyBarGap      = "remedy.barGap"
	RuleRemedyHoleStep    = "remedy.holeStep"
	RuleRemedyStep        = "remedy.step"
	RuleCheckSlender      = "check.slender"
	RuleCheckTrench       = "check.trench"
	RuleCheckCrossFall    = "check.crossFall"
	RuleCheckCavityFall   = "check.cavityFall"
	RuleCheckCutMethods   = "check.cutMethods"
)

// AdvicePractice is what checks and remedies go by beyond the sizes themselves.
type AdvicePractice struct {
	PassGuide, PassFence, WheelsOut, RollerPairs     float64
	ThrustStep, PostStep, BarStep, BarGap, WiderHole float64 // N, mm, times, mm, mm
	RemedyStep                                       float64
	SlendernessMost, TrenchCovered                   float64
	CrossFallSaid, CavityFall, CutMethods            float64 // parts
}

var adviceRules = []Rule{
	{Key: RuleRemedyPassGuide, Group: "Advice", Name: "Leaf and guide post apart, once the post is set back",
		Dimension: text.Length, Default: 20, Low: 1, High: 200,
		Why: "Paint, and a leaf that is not quite straight.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PassGuide }},
	{Key: RuleRemedyPassFence, Group: "Advice", Name: "Leaf and fence apart, once the track is set out",
		Dimension: text.Length, Default: 40, Low: 1, High: 200,
		Why: "What stands off the back of the posts must pass.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PassFence }},
	{Key: RuleRemedyWheelsOut, Group: "Advice", Name: "Wheel from the end of the leaf, as near as it goes",
		Dimension: text.Length, Default: 100, Low: 40, High: 500,
		Why: "As far out as a wheel box allows.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.WheelsOut }},
	{Key: RuleRemedyRollerPairs, Group: "Advice", Name: "Two pairs of guide rollers, apart", Dimension: text.Length,
		Default: 60, Low: 10, High: 500,
		Why: "As on a usual bracket.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.RollerPairs }},
	{Key: RuleRemedyThrustStep, Group: "Advice", Name: "Thrust of motors on sale, steps of", Dimension: text.Force,
		Default: 50, Low: 10, High: 500,
		Why: "As makers offer them.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.ThrustStep }},
	{Key: RuleRemedyPostStep, Group: "Advice", Name: "Footing posts on sale, steps of", Dimension: text.Length,
		Default: 25, Low: 5, High: 100,
		Why: "The next section up.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.PostStep }},
	{Key: RuleRemedyBarStep, Group: "Advice", Name: "Thicker bar of a footing, times", Dimension: text.Ratio,
		Default: 1.5, Low: 1.1, High: 3,
		Why: "The next thickness up that makes a difference.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.BarStep }},
	{Key: RuleRemedyBarGap, Group: "Advice", Name: "Flat bars side by side, apart", Dimension: text.Length, Default: 5,
		Low: 0, High: 100,
		Why: "They must not rub.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.BarGap }},
	{Key: RuleRemedyHoleStep, Group: "Advice", Name: "Wider hole of a footing post, by", Dimension: text.Length,
		Default: 150, Low: 25, High: 500,
		Why: "Half a spade more.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.WiderHole }},
	{Key: RuleRemedyStep, Group: "Advice", Name: "Sizes of remedies are looked for in steps of", Dimension: text.Length,
		Default: 5, Low: 1, High: 100,
		Why: "A tape sets nothing out finer.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.RemedyStep }},
	{Key: RuleCheckSlender, Group: "Advice", Name: "Slenderness of a post, at most", Dimension: text.Ratio, Default: 200,
		Low: 50, High: 300,
		Why: "More slender, small knocks bend it.", Source: "AISC 360, user note in E2 (memory)",
		at: func(p *Practice) *float64 { return &p.SlendernessMost }},
	{Key: RuleCheckTrench, Group: "Advice", Name: "Trench that is kept covered or fenced from this depth",
		Dimension: text.Length, Default: 300, Low: 0, High: 3000,
		Why: "Who steps into it falls.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.TrenchCovered }},
	{Key: RuleCheckCrossFall, Group: "Advice", Name: "Cross-fall of the drive that is spoken of", Dimension: text.Grade,
		Default: 0.01, Low: 0, High: 0.2,
		Why: "Less is not seen.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.CrossFallSaid }},
	{Key: RuleCheckCavityFall, Group: "Advice", Name: "Fall of the cavity to its closed end that is left alone",
		Dimension: text.Grade, Default: 0.0005, Low: 0, High: 0.05,
		Why: "Half a millimetre on a metre holds no water worth a pit.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.CavityFall }},
	{Key: RuleCheckCutMethods, Group: "Advice", Name: "Two ways of working out a dig may differ by",
		Dimension: text.Grade, Default: 0.05, Low: 0.005, High: 0.5,
		Why: "More says that the ground is too broken for the levels taken.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.CutMethods }},
}
