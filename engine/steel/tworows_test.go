package steel

import (
	"math"
	"testing"
)

// Two ways to the same tension: the closed form of two rows, and the general
// plate that finds its neutral line for any anchors.
func TestTwoRowPlate(t *testing.T) {
	const area, ratio, shear = 84.3, Elasticity / 21019.0, 1000.0
	near := func(want, got, most float64) bool { return math.Abs(got-want) <= most*want }
	for _, c := range []struct{ length, width, inset, moment float64 }{
		{200, 200, 30, 2e6}, {260, 180, 30, 45e3}, {300, 150, 60, 5e6}, {200, 200, 80, 1e6}, {150, 400, 20, 3e6},
	} {
		tension, each, err := TwoRowPlate{Length: c.length, Width: c.width, Inset: c.inset, Anchors: 4, StressArea: area, ModularRatio: ratio, Moment: c.moment, Shear: shear}.Demand()
		if err != nil {
			t.Fatal(err)
		}
		x, y := c.length/2-c.inset, c.width/2-20
		other, err := BasePlate{Width: c.length, Depth: c.width, StressArea: area, ModularRatio: ratio, MomentX: c.moment, ShearX: shear,
			Anchors: []Anchor{{X: -x, Y: -y}, {X: -x, Y: y}, {X: x, Y: -y}, {X: x, Y: y}}}.Demand()
		if err != nil {
			t.Fatal(err)
		}
		if !near(other.WorstTension, tension, 2e-3) || !near(other.WorstShear, each, 1e-9) {
			t.Errorf("%+v: %v and %v, by the general plate %v and %v", c, tension, each, other.WorstTension, other.WorstShear)
		}
	}
	if _, _, err := (TwoRowPlate{Length: 60, Width: 60, Inset: 30, Anchors: 4, StressArea: area, ModularRatio: ratio}).Demand(); err == nil {
		t.Error("no plate is left between the rows, and nothing is said")
	}
}
