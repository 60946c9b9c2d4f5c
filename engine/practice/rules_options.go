package practice

import (
	"pegpour/engine/text"
)

// OptionsPractice prices what makes one way to build dearer than another and is
// counted nowhere else.
type OptionsPractice struct {
	RatePanel, RateGuidePost float64
}

// The keys of these rules, as documents hold them.
const (
	RuleRatePanel     = "rate.panel"
	RuleRateGuidePost = "rate.guidePost"
)

var optionsRules = []Rule{
	{Key: RuleRatePanel, Group: "Rates", Name: "Each panel beyond the first: wheels, rollers, linkage, making",
		Dimension: text.Money, Low: 0, High: 1e6,
		Why: "Yours; 0 leaves it out of the price. Its metal and track are counted by themselves.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.RatePanel }},
	{Key: RuleRateGuidePost, Group: "Rates", Name: "Guide post with its rollers, made and set", Dimension: text.Money,
		Low: 0, High: 1e6,
		Why: "Yours; 0 leaves it out of the price. Its concrete is counted by itself.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.RateGuidePost }},
}
