package engine

// OptionsPractice prices what makes one way to build dearer than another and is
// counted nowhere else.
type OptionsPractice struct {
	RatePanel, RateGuidePost float64
}

var optionsRules = []Rule{
	{Key: "rate.panel", Group: "Rates", Name: "Each panel beyond the first: wheels, rollers, linkage, making", Dimension: Money, Low: 0, High: 1e6,
		Why: "Yours; 0 leaves it out of the price. Its metal and track are counted by themselves.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.RatePanel }},
	{Key: "rate.guidePost", Group: "Rates", Name: "Guide post with its rollers, made and set", Dimension: Money, Low: 0, High: 1e6,
		Why: "Yours; 0 leaves it out of the price. Its concrete is counted by itself.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.RateGuidePost }},
}

// extras are the panels beyond the first and the guide post, as many as there
// are.
func (plan *Plan) extras() (panels, guidePosts float64) {
	if _, ok := plan.Part(PartGuidePost, 1); ok {
		guidePosts = 1
	}
	return float64(max(0, len(plan.Leaf.Panels)-1)), guidePosts
}
