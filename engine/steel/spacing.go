package steel

import (
	"math"

	"pegpour/engine/motion"
	"pegpour/engine/refusal"
)

// Spacing asks how far apart posts under a bar may stand.
type Spacing struct {
	Section    Section // as it lies: see Turned
	Elasticity float64 // MPa
	Allowable  float64 // MPa, yield over the safety factor, 10 to 1000
	// SpanOver bounds the deflection to the span over it, 50 to 2000.
	SpanOver   float64
	Wheels     []Wheel // as Bar.Moving takes them
	Continuous bool    // three equal spans unbroken; otherwise single spans
	Least      float64 // mm, 50 to Most
	Most       float64 // mm, to 6000
}

// SpacingResult is the widest spacing with what the bar then does.
type SpacingResult struct {
	Span          float64 // mm
	Stress        float64 // MPa
	StressUse     float64 // Stress over Allowable
	Deflection    float64 // mm
	DeflectionUse float64 // Deflection over Span/SpanOver
	// Feasible is false when even the least spacing asks too much: the result
	// is then that of the least spacing.
	Feasible bool
	// ByDeflection says that deflection sets the spacing rather than stress.
	ByDeflection bool
}

// Widest returns the widest post spacing that stress and deflection allow, by
// bisection to a millimetre, rounded down. The bar's own weight is counted.
func (s Spacing) Widest() (SpacingResult, error) {
	if err := refusal.First(
		refusal.Allow("allowable stress", s.Allowable, 10, 1000, "MPa"),
		refusal.Allow("span over deflection", s.SpanOver, 50, 2000, ""),
		refusal.Allow("widest spacing", s.Most, 50, 6000, "mm"),
		refusal.Allow("least spacing", s.Least, 50, s.Most, "mm"),
		refusal.Allow("section modulus", s.Section.ModulusVertical, 0.01, 1e9, "mm³"),
	); err != nil {
		return SpacingResult{}, err
	}
	low, high := math.Ceil(s.Least), math.Floor(s.Most)
	best, err := s.at(low)
	if err != nil || !best.Feasible {
		return best, err
	}
	for low < high {
		middle := math.Ceil((low + high) / 2)
		r, err := s.at(middle)
		if err != nil {
			return SpacingResult{}, err
		}
		if r.Feasible {
			low, best = middle, r
		} else {
			high = middle - 1
		}
	}
	return best, nil
}

func (s Spacing) at(span float64) (SpacingResult, error) {
	b := Bar{Spans: []float64{span}, Elasticity: s.Elasticity, Inertia: s.Section.InertiaVertical,
		Uniform: s.Section.Mass(1) * motion.Gravity, Continuous: s.Continuous}
	if s.Continuous {
		b.Spans = []float64{span, span, span}
	}
	m, err := b.Moving(s.Wheels)
	if err != nil {
		return SpacingResult{}, err
	}
	r := SpacingResult{Span: span, Stress: m.Moment() / s.Section.ModulusVertical, Deflection: m.Deflection}
	r.StressUse = r.Stress / s.Allowable
	r.DeflectionUse = r.Deflection * s.SpanOver / span
	r.ByDeflection = r.DeflectionUse > r.StressUse
	r.Feasible = r.StressUse <= 1 && r.DeflectionUse <= 1
	return r, nil
}
