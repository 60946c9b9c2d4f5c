package steel

import (
	"math"

	"pegpour/engine/motion"
	"pegpour/engine/refusal"
)

// EvenSpacing asks how posts divide the length of a bar into equal spans. Each
// span is simply supported, and one wheel stands in it at a time.
type EvenSpacing struct {
	Section    Section // as it lies: see Turned
	Elasticity float64 // MPa, 1000 to 1e6
	Allowable  float64 // MPa, yield over the safety factor, 10 to 1000
	Wheel      float64 // N, 0 to 1e7
	Sideways   float64 // N, push in the middle of a span beside the wheel, 0 to 1e7
	// SpanOver bounds the deflection to the span over it, 50 to 2000.
	SpanOver       float64
	MostDeflection float64 // mm in a span of any length, 0.01 to 1000
	Least          float64 // mm, narrowest spacing that is built, 50 to Most
	// Most is the widest spacing that is wished, mm, to 6000: no wider than the
	// wheels stand apart, for one wheel to a span.
	Most   float64
	Length float64 // mm between the first and the last post, 10 to 1e6
}

// SpanUse is what a span of a bar does under its wheel.
type SpanUse struct {
	Moment          float64 // N·mm
	Stress          float64 // MPa, of the sideways push too
	Deflection      float64 // mm
	DeflectionLimit float64 // mm
}

// SpacingLimit says what sets the widest spacing.
type SpacingLimit string

// What can set the widest spacing.
const (
	LimitedByMost       SpacingLimit = "most"
	LimitedByDeflection SpacingLimit = "deflection"
	LimitedByStress     SpacingLimit = "stress"
)

// EvenSpans is how posts divide the length of a bar.
type EvenSpans struct {
	Widest    float64 // mm that stress and deflection allow, no more than Most
	LimitedBy SpacingLimit
	// Feasible says that Widest is no narrower than Least. Where it is, the
	// spans are those of Least.
	Feasible bool
	Spans    int
	Spacing  float64 // mm, Length over Spans
	Use      SpanUse // at Spacing
}

func (s EvenSpacing) check() error {
	return refusal.First(
		refusal.Allow("modulus of elasticity", s.Elasticity, 1000, 1e6, "MPa"),
		refusal.Allow("allowable stress", s.Allowable, 10, 1000, "MPa"),
		refusal.Allow("second moment of area", s.Section.InertiaVertical, 1, 1e12, "mm⁴"),
		refusal.Allow("section modulus", s.Section.ModulusVertical, 0.01, 1e9, "mm³"),
		refusal.Allow("sideways section modulus", s.Section.ModulusSideways, 0.01, 1e9, "mm³"),
		refusal.Allow("wheel load", s.Wheel, 0, 1e7, "N"),
		refusal.Allow("sideways force", s.Sideways, 0, 1e7, "N"),
		refusal.Allow("span over deflection", s.SpanOver, 50, 2000, ""),
		refusal.Allow("deflection", s.MostDeflection, 0.01, 1000, "mm"),
		refusal.Allow("widest spacing", s.Most, 50, 6000, "mm"),
		refusal.Allow("least spacing", s.Least, 50, s.Most, "mm"),
		refusal.Allow("length", s.Length, 10, 1e6, "mm"),
	)
}

// SpanUse returns what a span of a length (mm, 10 to 1e6) does under the wheel
// and the sideways push in its middle and its own weight.
//
//	M = P·L/4 + w·L²/8;  σ = M/W + S·L/(4·W_s)
//	δ = P·L³/(48·E·I) + 5·w·L⁴/(384·E·I) ≤ min(L/ratio, the most)
//
// P is the wheel, w the bar's own weight for its length, S the sideways push.
//
// Source: any handbook of beams, such as the AISC Manual's beam diagrams
// (memory). Checked: testdata/references/steel.json, beam-midspan.
func (s EvenSpacing) SpanUse(span float64) (SpanUse, error) {
	if err := s.check(); err != nil {
		return SpanUse{}, err
	}
	if err := refusal.First(refusal.Allow("span", span, 10, 1e6, "mm")); err != nil {
		return SpanUse{}, err
	}
	return s.at(span), nil
}

func (s *EvenSpacing) at(span float64) SpanUse {
	own := s.Section.Mass(1) * motion.Gravity
	moment := s.Wheel*span/4 + own*span*span/8
	rigid := s.Elasticity * s.Section.InertiaVertical
	return SpanUse{
		Moment:          moment,
		Stress:          moment/s.Section.ModulusVertical + s.Sideways*span/4/s.Section.ModulusSideways,
		Deflection:      s.Wheel*span*span*span/(48*rigid) + 5*own*span*span*span*span/(384*rigid),
		DeflectionLimit: min(span/s.SpanOver, s.MostDeflection),
	}
}

// Divide returns the fewest equal spans, none wider than stress, deflection and
// Most allow. Stress and deflection are those of SpanUse; the widest span is found
// by halving what is left 50 times.
//
//	σ ≤ allowable;  δ ≤ min(L/ratio, the most);  n = ⌈length/L⌉
//
// Source: as SpanUse. Checked: the tests hold it against Spacing and Bar.Moving.
func (s EvenSpacing) Divide() (EvenSpans, error) {
	if err := s.check(); err != nil {
		return EvenSpans{}, err
	}
	strong := func(span float64) bool { return s.at(span).Stress <= s.Allowable }
	fits := func(span float64) bool {
		use := s.at(span)
		return use.Stress <= s.Allowable && use.Deflection <= use.DeflectionLimit
	}
	out := EvenSpans{Widest: s.Most, LimitedBy: LimitedByMost}
	if !fits(s.Most) {
		low, high := 0.0, s.Most
		for range 50 {
			if middle := (low + high) / 2; fits(middle) {
				low = middle
			} else {
				high = middle
			}
		}
		out.Widest, out.LimitedBy = low, LimitedByDeflection
		if !strong(low*1.001 + 0.001) {
			out.LimitedBy = LimitedByStress
		}
	}
	out.Feasible = out.Widest >= s.Least
	// A length that is whole spans but for the last digit takes no span more.
	const rounding = 1e-9
	out.Spans = int(max(1, math.Ceil(s.Length/max(out.Widest, s.Least)-rounding)))
	out.Spacing = s.Length / float64(out.Spans)
	out.Use = s.at(out.Spacing)
	return out, nil
}

// PostReaction returns the greatest force on a post between two equal spans of
// a bar under two equal wheels, N: one over the post, the other in a span where
// it reaches it. Each span is simply supported.
//
//	R = P·(1 + max(0, 1 − a/L)) + w·L
//
// L is the span (mm, 10 to 50 000), P a wheel (N, 0 to 1e7), a the distance of
// the two (apart, mm, 0 to 50 000), w the bar's own weight for its length.
//
// Source: statics; influence line of the support between two simple spans.
// Checked: the tests hold it against Bar.Moving.
func PostReaction(s Section, span, wheel, apart float64) (float64, error) {
	if err := refusal.First(
		refusal.Allow("span", span, 10, 50000, "mm"),
		refusal.Allow("wheel load", wheel, 0, 1e7, "N"),
		refusal.Allow("wheel distance", apart, 0, 50000, "mm"),
	); err != nil {
		return 0, err
	}
	return wheel*(1+max(0, 1-apart/span)) + s.Mass(span)*motion.Gravity, nil
}
