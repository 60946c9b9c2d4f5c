package steel

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"
)

func someEvenSpacing(t testing.TB, height, width float64) EvenSpacing {
	t.Helper()
	section, err := Flat(height, width)
	if err != nil {
		t.Fatal(err)
	}
	return EvenSpacing{Section: section, Elasticity: 200000, Allowable: 150, Wheel: 2000,
		SpanOver: 500, MostDeflection: 3, Least: 300, Most: 1500, Length: 4000}
}

// Cases of testdata/references/steel.json, and the same bar's own weight and
// sideways push by hand.
func TestSpanUse(t *testing.T) {
	const own = 100 * 25 * 7850e-9 * 9.80665 // N/mm
	for name, c := range map[string]struct {
		wheel, sideways            float64
		moment, stress, deflection float64
	}{
		"beam-midspan, own weight beside": {2000, 0, 500000 + own*1e6/8, (500000 + own*1e6/8) / (100 * 25 * 25 / 6.0),
			1.6 + 5*own*1e12/(384*200000*100*25*25*25/12.0)},
		"own weight alone": {0, 0, own * 1e6 / 8, own * 1e6 / 8 / (100 * 25 * 25 / 6.0),
			5 * own * 1e12 / (384 * 200000 * 100 * 25 * 25 * 25 / 12.0)},
		"sideways push, by hand": {0, 500, own * 1e6 / 8, own*1e6/8/(100*25*25/6.0) + 500*250/(25*100*100/6.0),
			5 * own * 1e12 / (384 * 200000 * 100 * 25 * 25 * 25 / 12.0)},
	} {
		t.Run(name, func(t *testing.T) {
			s := someEvenSpacing(t, 25, 100)
			s.Wheel, s.Sideways = c.wheel, c.sideways
			use, err := s.SpanUse(1000)
			if err != nil {
				t.Fatal(err)
			}
			for what, pair := range map[string][2]float64{"moment": {use.Moment, c.moment},
				"stress":     {use.Stress, c.stress},
				"deflection": {use.Deflection, c.deflection}, "limit": {use.DeflectionLimit, 2}} {
				if math.Abs(pair[0]-pair[1]) > 1e-9*pair[1] {
					t.Errorf("%s %v, by hand %v", what, pair[0], pair[1])
				}
			}
		})
	}
}

// The closed forms give the spacing that Spacing finds with a rolling train,
// whichever limit sets it, and what Bar.Moving gives at that spacing.
func TestDivideAgainstTheRollingTrain(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 5))
	by := map[SpacingLimit]int{}
	for range 40 {
		s := someEvenSpacing(t, 12+18*r.Float64(), 100)
		if r.IntN(2) == 0 {
			s.Section = s.Section.Turned()
		}
		s.MostDeflection, s.Least, s.Most = 1000, 50, 3000
		s.SpanOver, s.Allowable, s.Wheel = 150+400*r.Float64(), 90+200*r.Float64(), 800+3000*r.Float64()
		got, err := s.Divide()
		if err != nil {
			t.Fatal(err)
		}
		by[got.LimitedBy]++
		train := []Wheel{{Load: s.Wheel}, {Behind: 3500, Load: s.Wheel}}
		judge, err := Spacing{Section: s.Section, Elasticity: s.Elasticity, Allowable: s.Allowable,
			SpanOver: s.SpanOver,
			Wheels:   train, Least: s.Least, Most: s.Most}.Widest()
		if err != nil || math.Abs(judge.Span-got.Widest) > 1.5 {
			t.Errorf("widest %v, with a train %v, %v", got.Widest, judge.Span, err)
		}
		moved, err := Bar{Spans: []float64{got.Spacing}, Elasticity: s.Elasticity, Inertia: s.Section.InertiaVertical,
			Uniform: s.Section.Mass(1) * 9.80665}.Moving(train)
		if err != nil || math.Abs(moved.Sagging/got.Use.Moment-1) > 2e-4 ||
			math.Abs(moved.Deflection/got.Use.Deflection-1) > 2e-4 {
			t.Errorf("%+v, with a train %+v, %v", got.Use, moved, err)
		}
	}
	if by[LimitedByDeflection] < 5 || by[LimitedByStress]+by[LimitedByMost] < 5 {
		t.Error(by)
	}
}

// What Divide finds fits, a spacing a little wider does not, and no heavier
// wheel lets posts stand wider apart.
func TestDivideFitsAndGrowsTighter(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 5))
	infeasible := 0
	for range 500 {
		s := someEvenSpacing(t, 6+40*r.Float64(), 50+150*r.Float64())
		s.Wheel, s.Sideways, s.Length = 12000*r.Float64(), 800*r.Float64(), 300+8000*r.Float64()
		got, err := s.Divide()
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(got.Spacing*float64(got.Spans)-s.Length) > 1e-9*s.Length {
			t.Fatalf("%d spans of %v are not %v", got.Spans, got.Spacing, s.Length)
		}
		if !got.Feasible {
			infeasible++
			continue
		}
		if got.Spacing > got.Widest*(1+1e-9) || got.Widest > s.Most {
			t.Fatalf("%+v", got)
		}
		if u := got.Use; u.Stress > s.Allowable*(1+1e-9) || u.Deflection > u.DeflectionLimit*(1+1e-9) {
			t.Fatalf("does not fit: %+v", got)
		}
		if got.LimitedBy != LimitedByMost {
			wider, err := s.SpanUse(got.Widest * 1.01)
			if err != nil || wider.Stress <= s.Allowable && wider.Deflection <= wider.DeflectionLimit {
				t.Fatalf("a wider one fits: %+v, %+v, %v", got, wider, err)
			}
		}
		s.Wheel *= 1.3
		if heavier, err := s.Divide(); err != nil || heavier.Widest > got.Widest {
			t.Fatalf("%+v, under a heavier wheel %+v, %v", got, heavier, err)
		}
	}
	if infeasible == 0 {
		t.Error("no case was infeasible")
	}
}

// The reaction between two simple spans is what the rolling train gives.
func TestPostReactionAgainstTheRollingTrain(t *testing.T) {
	section, err := Flat(25, 100)
	if err != nil {
		t.Fatal(err)
	}
	for _, apart := range []float64{0, 200, 700, 1000, 2500} {
		got, err := PostReaction(section, 1000, 3000, apart)
		if err != nil {
			t.Fatal(err)
		}
		moved, err := Bar{Spans: []float64{1000, 1000}, Elasticity: 200000, Inertia: section.InertiaVertical,
			Uniform: section.Mass(1) * 9.80665}.Moving([]Wheel{{0, 3000}, {apart, 3000}})
		if err != nil || math.Abs(moved.Reactions[1]/got-1) > 1e-9 {
			t.Errorf("wheels %v apart: %v, with a train %v, %v", apart, got, moved.Reactions, err)
		}
	}
}

func TestEvenSpacingRefuses(t *testing.T) {
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), -1, 1e300} {
		for name, change := range map[string]func(*EvenSpacing){
			"elasticity": func(s *EvenSpacing) { s.Elasticity = v }, "allowable": func(s *EvenSpacing) {
				s.Allowable = v
			},
			"wheel": func(s *EvenSpacing) { s.Wheel = v }, "sideways": func(s *EvenSpacing) { s.Sideways = v },
			"span over": func(s *EvenSpacing) { s.SpanOver = v }, "most deflection": func(s *EvenSpacing) {
				s.MostDeflection = v
			},
			"least": func(s *EvenSpacing) { s.Least = v }, "most": func(s *EvenSpacing) { s.Most = v },
			"length": func(s *EvenSpacing) { s.Length = v }, "section": func(s *EvenSpacing) {
				s.Section.InertiaVertical = v
			},
		} {
			s := someEvenSpacing(t, 25, 100)
			change(&s)
			_, use := s.SpanUse(1000)
			_, divide := s.Divide()
			for _, err := range []error{use, divide} {
				if refused := new(ArgumentError); !errors.As(err, &refused) {
					t.Errorf("%s takes %v: %v", name, v, err)
				}
			}
		}
		section := someEvenSpacing(t, 25, 100).Section
		_, span := PostReaction(section, v, 1, 1)
		_, wheel := PostReaction(section, 1000, v, 1)
		_, apart := PostReaction(section, 1000, 1, v)
		_, use := someEvenSpacing(t, 25, 100).SpanUse(v)
		for _, err := range []error{span, wheel, apart, use} {
			if refused := new(ArgumentError); !errors.As(err, &refused) {
				t.Errorf("%v taken: %v", v, err)
			}
		}
	}
}
