package practice

import "pegpour/engine/text"

// LearnedPractice is when what finished jobs used is offered as a rule.
type LearnedPractice struct {
	LearnedJobs float64 // the least number of jobs
	LearnedOdd  float64 // level of significance of the test of an odd job
	// LearnedLoads is the least number of trailer loads that tell of bulking.
	LearnedLoads float64
}

// The keys of these rules, as documents hold them.
const (
	RuleLearnedJobs  = "learned.jobs"
	RuleLearnedOdd   = "learned.odd"
	RuleLearnedLoads = "learned.loads"
)

var learnedRules = []Rule{
	{Key: RuleLearnedJobs, Group: "What was learned", Name: "Jobs before a rule is offered", Dimension: text.Count,
		Default: 5, Low: 2, High: 100,
		Why: "Fewer tell of their sites and not of the shop.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.LearnedJobs }},
	{Key: RuleLearnedOdd, Group: "What was learned", Name: "A job is odd where chance makes one so less often than",
		Dimension: text.Fraction, Default: 0.05, Low: 0.001, High: 0.2,
		Why:    "An odd job is named; whether it counts a person says.",
		Source: "Grubbs' test, NIST/SEMATECH e-Handbook 1.3.5.17.1, at its usual level (memory)",
		at:     func(p *Practice) *float64 { return &p.LearnedOdd }},
	{Key: RuleLearnedLoads, Group: "What was learned", Name: "Trailer loads on one job that tell of bulking", Dimension: text.Count,
		Default: 6, Low: 1, High: 100,
		Why: "The last load is seldom full: of few loads that is much.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.LearnedLoads }},
}
