package survey

import (
	"math"

	"pegpour/engine/practice"
	"pegpour/engine/text"
)

// Uncertainty returns the standard uncertainty of a value of the field, in the
// field's own unit: the value's own, or the one that practice gives for the way
// it was taken. What was not measured counts as an estimate by eye. 0 means that
// the field's kind of quantity has none.
func (f *Field) Uncertainty(v Value, p *practice.Practice) float64 {
	if v.Known() && v.Sigma > 0 {
		return v.Sigma
	}
	guess := !v.Known() || v.How == ByEstimate
	switch f.Dimension {
	case text.Length:
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
	case text.AngleOf:
		switch {
		case guess:
			return p.SigmaGuessAngle
		case v.How == ByPhone:
			return p.SigmaPhoneAngle
		}
		return p.SigmaSquare
	case text.Grade:
		if guess {
			return p.SigmaGuessGrade
		}
		return p.SigmaGrade
	}
	return 0
}

// UncertaintyAgain is the standard uncertainty that taking the field again with
// care brings: the ordinary way of taking it, or the mean of two where it was
// taken so.
func (f *Field) UncertaintyAgain(old float64, p *practice.Practice) float64 {
	ordinary := 0.0
	switch f.Dimension {
	case text.Length:
		ordinary = p.SigmaTape
	case text.AngleOf:
		ordinary = p.SigmaPhoneAngle
	case text.Grade:
		ordinary = p.SigmaGrade
	}
	return min(ordinary, old/math.Sqrt2)
}
