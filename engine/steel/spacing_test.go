package steel

import (
	"math"
	"testing"
)

func TestWidestSpacing(t *testing.T) {
	flat, err := Flat(25, 100) // laid flat
	if err != nil {
		t.Fatal(err)
	}
	ask := Spacing{Section: flat, Elasticity: 200000, Allowable: 140, SpanOver: 500, Wheels: []Wheel{{0, 2000}},
		Least: 200, Most: 3000}
	r, err := ask.Widest()
	if err != nil || !r.Feasible || !r.ByDeflection {
		t.Fatalf("%+v %v", r, err)
	}
	// PL³/48EI + 5wL⁴/384EI = L/500, by hand.
	over := func(l float64) bool {
		w := 25 * 100 * 7850e-9 * 9.80665
		ei := 200000 * flat.InertiaVertical
		return 2000*l*l*l/(48*ei)+5*w*l*l*l*l/(384*ei) > l/500
	}
	if over(r.Span) || !over(r.Span+1) || r.Span != math.Floor(r.Span) {
		t.Errorf("%v mm is not the widest", r.Span)
	}
	edge := ask
	edge.Section = flat.Turned()
	e, err := edge.Widest()
	if err != nil || e.Span <= r.Span {
		t.Errorf("on edge no wider: %+v %v", e, err)
	}
	through := ask
	through.Continuous = true
	c, err := through.Widest()
	if err != nil || c.Span <= r.Span {
		t.Errorf("unbroken no wider: %+v %v", c, err)
	}
	weak := ask
	weak.Wheels = []Wheel{{0, 200000}}
	if w, err := weak.Widest(); err != nil || w.Feasible || w.Span != 200 ||
		math.Max(w.StressUse, w.DeflectionUse) <= 1 {
		t.Errorf("%+v %v", w, err)
	}
	ask.Least = 5000
	if _, err := ask.Widest(); err == nil {
		t.Error("least above most taken")
	}
}
