package practice

import "pegpour/engine/text"

// The keys of these rules, as documents hold them.
const (
	RuleHandOverGauge   = "handOver.gauge"
	RuleHandOverService = "handOver.service"
)

var handOverRules = []Rule{
	{Key: RuleHandOverGauge, Group: "Hand-over", Name: "Uncertainty of a gauge of force, as a share", Dimension: text.Ratio,
		Default: 0.05, Low: 0, High: 0.3,
		Why:    "A reading nearer to its limit than this cannot be judged.",
		Source: "EN 12445 asks for some 5 % of the instrument (memory)", at: func(p *Practice) *float64 { return &p.GaugeShare }},
	{Key: RuleHandOverService, Group: "Hand-over", Name: "Months between two services", Dimension: text.Count,
		Default: 12, Low: 1, High: 60,
		Why:    "Where the motor's maker asks for nothing else.",
		Source: "power-driven gates are looked at once a year by EN 12635 (memory)", at: func(p *Practice) *float64 { return &p.ServiceMonths }},
}
