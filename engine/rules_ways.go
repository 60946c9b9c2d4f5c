package engine

// WaysPractice prices what makes one way to build dearer than another and is
// counted nowhere else.
type WaysPractice struct {
	RatePanel, RateGuidePost float64
}

var waysRules = []Rule{
	{Key: "rate.panel", Group: "Rates", Name: "Each panel beyond the first: wheels, rollers, linkage, making", Dimension: Money, Low: 0, High: 1e6,
		Why: "Yours; 0 leaves it out of the price. Its metal and track are counted by themselves.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.RatePanel }},
	{Key: "rate.guidePost", Group: "Rates", Name: "Guide post with its rollers, made and set", Dimension: Money, Low: 0, High: 1e6,
		Why: "Yours; 0 leaves it out of the price. Its concrete is counted by itself.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.RateGuidePost }},
}
