package practice

import (
	"pegpour/engine/text"
)

// UncertaintyPractice is the standard uncertainty of readings other than lengths:
// angles rad, grades and other plain numbers as they are.
type UncertaintyPractice struct {
	SigmaSquare, SigmaGuessAngle, SigmaGrade, SigmaGuessGrade float64
}

// The keys of these rules, as documents hold them.
const (
	RuleSigmaAngle         = "sure.angle"
	RuleSigmaEstimateAngle = "sure.estimateAngle"
	RuleSigmaGrade         = "sure.grade"
	RuleSigmaEstimateGrade = "sure.estimateGrade"
)

// uncertaintyRules are the standard uncertainties of angles and grades.
var uncertaintyRules = []Rule{
	{Key: RuleSigmaAngle, Group: "How sure", Name: "Angle taken with square or tapes, standard uncertainty",
		Dimension: text.AngleOf, Default: 0.008727, Low: 0.0001, High: 0.2,
		Why: "0.5 degrees: a triangle of tapes with a metre's sides.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.SigmaSquare }},
	{Key: RuleSigmaEstimateAngle, Group: "How sure", Name: "Angle by eye or not measured, standard uncertainty",
		Dimension: text.AngleOf, Default: 0.08727, Low: 0.001, High: 1,
		Why: "5 degrees.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.SigmaGuessAngle }},
	{Key: RuleSigmaGrade, Group: "How sure", Name: "Slope read with a level or phone, standard uncertainty",
		Dimension: text.Grade, Default: 0.005, Low: 0.0001, High: 0.1,
		Why: "0.3 degrees.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.SigmaGrade }},
	{Key: RuleSigmaEstimateGrade, Group: "How sure", Name: "Slope by eye or not measured, standard uncertainty",
		Dimension: text.Grade, Default: 0.02, Low: 0.0001, High: 0.5,
		Why: "One in fifty looks level.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.SigmaGuessGrade }},
}
