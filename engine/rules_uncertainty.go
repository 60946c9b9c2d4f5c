package engine

import "math"

// UncertaintyPractice is how sure readings other than lengths are: angles rad, grades
// and other plain numbers as they are.
type UncertaintyPractice struct {
	SigmaSquare, SigmaGuessAngle, SigmaGrade, SigmaGuessGrade float64
}

// uncertaintyRules complete the standard uncertainties of the layout's table.
var uncertaintyRules = []Rule{
	{Key: "sure.angle", Group: "How sure", Name: "Angle taken with square or tapes, standard uncertainty", Dimension: AngleOf, Default: 0.008727, Low: 0.0001, High: 0.2,
		Why: "0.5 degrees: a triangle of tapes with a metre's sides.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.SigmaSquare }},
	{Key: "sure.estimateAngle", Group: "How sure", Name: "Angle by eye or not measured, standard uncertainty", Dimension: AngleOf, Default: 0.08727, Low: 0.001, High: 1,
		Why: "5 degrees.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.SigmaGuessAngle }},
	{Key: "sure.grade", Group: "How sure", Name: "Slope read with a level or phone, standard uncertainty", Dimension: Grade, Default: 0.005, Low: 0.0001, High: 0.1,
		Why: "0.3 degrees.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.SigmaGrade }},
	{Key: "sure.estimateGrade", Group: "How sure", Name: "Slope by eye or not measured, standard uncertainty", Dimension: Grade, Default: 0.02, Low: 0.0001, High: 0.5,
		Why: "One in fifty looks level.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.SigmaGuessGrade }},
}

// sigma returns the standard uncertainty of a value of a field, in the field's
// own unit: the value's own, or the one that practice gives for the way it was
// taken. What was not measured counts as an estimate by eye. 0 means that the
// field's kind of quantity has none.
func (p *Practice) sigma(f *Field, v Value) float64 {
	if v.Known() && v.Sigma > 0 {
		return v.Sigma
	}
	guess := !v.Known() || v.How == ByEstimate
	switch f.Dimension {
	case Length:
		switch v.How {
		case ByTape:
			return p.SigmaTape
		case ByLaser:
			return p.SigmaLaser
		case ByStaff:
			return p.SigmaStaff
		case ByString:
			return p.SigmaString
		case ByPhone:
			return p.SigmaPhone
		case ByNetwork:
			return p.SigmaNet
		}
		return p.SigmaGuess
	case AngleOf:
		switch {
		case guess:
			return p.SigmaGuessAngle
		case v.How == ByPhone:
			return p.SigmaPhoneAngle
		}
		return p.SigmaSquare
	case Grade:
		if guess {
			return p.SigmaGuessGrade
		}
		return p.SigmaGrade
	}
	return 0
}

// best is the standard uncertainty that taking a field again with care brings:
// the ordinary way of taking it, or the mean of two where it was taken so.
func (p *Practice) best(f *Field, old float64) float64 {
	ordinary := 0.0
	switch f.Dimension {
	case Length:
		ordinary = p.SigmaTape
	case AngleOf:
		ordinary = p.SigmaPhoneAngle
	case Grade:
		ordinary = p.SigmaGrade
	}
	return min(ordinary, old/math.Sqrt2)
}
