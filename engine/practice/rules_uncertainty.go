package practice

import (
	"pegpour/engine/text"
)

// UncertaintyPractice is the standard uncertainty of readings other than lengths:
// angles rad, grades and other plain numbers as they are. Then how far what no one
// reads on site may be off, over its value.
type UncertaintyPractice struct {
	SigmaSquare, SigmaGuessAngle, SigmaGrade, SigmaGuessGrade float64
	WindSpread, SoilSpread                                    float64
}

// The keys of these rules, as documents hold them.
const (
	RuleSigmaAngle         = "sure.angle"
	RuleSigmaEstimateAngle = "sure.estimateAngle"
	RuleSigmaGrade         = "sure.grade"
	RuleSigmaEstimateGrade = "sure.estimateGrade"
	RuleSpreadWind         = "sure.wind"
	RuleSpreadSoil         = "sure.soil"
)

// uncertaintyRules are the standard uncertainties of angles and grades, and the
// ends of wind and ground.
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
	{Key: RuleSpreadWind, Group: "How sure", Name: "Wind speed of the region may be more or less, by",
		Dimension: text.Fraction, Default: 0.1, Low: 0, High: 0.5,
		Why:    "Between two lines of the map, a hill, a gap between houses. A tenth of speed is a fifth of push.",
		Source: CommonPractice, at: func(p *Practice) *float64 { return &p.WindSpread }},
	{Key: RuleSpreadSoil, Group: "How sure", Name: "Ground may bear more or less than its class, by",
		Dimension: text.Fraction, Default: 0.3, Low: 0, High: 0.7,
		Why:    "One class holds stiff and less stiff ground, and rain softens it.",
		Source: "K.-K. Phoon and F. H. Kulhawy (1999): clay's shear strength scatters by 10 to 55 % (memory)",
		at:     func(p *Practice) *float64 { return &p.SoilSpread }},
}

// Uncertain is what a shop's rules say but nobody knows for certain. A check that
// rests on it is looked at with the rules at either end.
type Uncertain struct {
	Name text.Name
	// Set puts the rules at the low end, or at the high one.
	Set func(p *Practice, high bool)
}

// Uncertains lists them: wind by its speed, ground by the strength of its class
// (its stiffness is taken at the end that hurts anyhow), rolling resistance from
// the one to the other of its two rules.
func Uncertains() []Uncertain {
	ends := func(spread float64, high bool) float64 {
		if high {
			return 1 + spread
		}
		return 1 - spread
	}
	return []Uncertain{
		{"wind of the region", func(p *Practice, high bool) {
			part := ends(p.WindSpread, high)
			scale(p, RuleWindSpeed, part)
			scale(p, RuleWindShut, part*part) // 0 stays 0: worked out by the speed
		}},
		{"what the ground bears", func(p *Practice, high bool) { scale(p, RuleSoilBears, ends(p.SoilSpread, high)) }},
		{"rolling resistance", func(p *Practice, high bool) {
			end, most := p.RollingEnds()
			if high {
				end = most
			}
			p.RollingLow, p.Rolling = end, end
		}},
	}
}

// scale multiplies a rule, as far as its range goes.
func scale(p *Practice, key string, by float64) {
	r := RuleOf(key)
	at := r.at(p)
	*at = min(r.High, max(r.Low, *at*by))
}
