package steel

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"
)

func someRows() TwoRowPlate {
	return TwoRowPlate{Length: 200, Width: 200, Inset: 30, Anchors: 4, StressArea: 84.3, ModularRatio: 10, Moment: 2e6,
		Shear: 1000}
}

// Two ways to the same tension: the closed form of two rows, and the general
// plate that finds its neutral line for any anchors. Within a five-hundredth, for
// BasePlate iterates.
func TestTwoRowPlateAgainstBasePlate_Blodgett_3_3(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 1))
	bothInTension := 0
	for range 200 {
		p := TwoRowPlate{Length: 120 + 400*r.Float64(), Width: 80 + 400*r.Float64(), Anchors: 4,
			StressArea: 40 + 300*r.Float64(), ModularRatio: 6 + 10*r.Float64(), Moment: 1e4 +
				6e6*r.Float64(), Shear: 1000}
		p.Inset = 10 + (p.Length/2-20)*r.Float64()
		got, err := p.Demand()
		if err != nil {
			t.Fatal(err)
		}
		x, y := p.Length/2-p.Inset, p.Width/2-10
		other, err := BasePlate{Width: p.Length, Depth: p.Width, StressArea: p.StressArea, ModularRatio: p.ModularRatio,
			MomentX: p.Moment, ShearX: p.Shear, Anchors: []Anchor{{-x, -y}, {-x, y}, {x, -y}, {x, y}}}.Demand()
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(got.Tension/other.WorstTension-1) > 2e-3 || math.Abs(got.Shear/other.WorstShear-1) > 1e-9 {
			t.Errorf("%+v: %+v, as any plate %+v", p, got, other)
		}
		if got.Pressed < p.Inset {
			bothInTension++
		}
	}
	if bothInTension == 0 || bothInTension == 200 {
		t.Error("the near row was never, or always, in tension:", bothInTension)
	}
}

// Force and moment balance on the plate: the anchors pull what the concrete
// presses, and the two make the moment.
func TestTwoRowPlateBalances(t *testing.T) {
	p := someRows()
	for _, p.Inset = range []float64{20, 30, 60, 90} {
		got, err := p.Demand()
		if err != nil {
			t.Fatal(err)
		}
		// Tension falls evenly to nothing where the pressed length ends.
		x, far := got.Pressed, p.Length-p.Inset
		near := math.Max(0, got.Tension*(p.Inset-x)/(far-x))
		pull := 2 * (got.Tension + near)
		moment := 2*(got.Tension*(far-x/3)+near*(p.Inset-x/3)) - p.Moment
		pressure := got.Tension / p.StressArea / p.ModularRatio * x / (far - x) // at the very end, MPa
		if press := pressure * x * p.Width / 2; math.Abs(press/pull-1) > 1e-9 || math.Abs(moment) > 1e-9*p.Moment {
			t.Errorf("inset %v: pressed with %v, pulled with %v, %v N·mm left over", p.Inset, press, pull, moment)
		}
	}
}

func TestTwoRowPlateCounts(t *testing.T) {
	p := someRows()
	four, _ := p.Demand()
	p.Anchors = 12
	if many, err := p.Demand(); err != nil || many.Tension != four.Tension ||
		math.Abs(many.Shear-four.Shear/3) > 1e-12 {
		t.Errorf("twelve %+v, four %+v, %v", many, four, err)
	}
	p.Anchors = 2
	if two, err := p.Demand(); err != nil || two.Tension <= four.Tension || two.Shear != 500 {
		t.Errorf("two %+v, four %+v, %v", two, four, err)
	}
}

func TestTwoRowPlateRefuses(t *testing.T) {
	p := someRows()
	for _, p.Inset = range []float64{100, 150, math.Inf(1)} {
		if _, err := p.Demand(); err != ErrNoPlateBetweenRows {
			t.Errorf("inset %v: %v", p.Inset, err)
		}
	}
	for _, v := range []float64{math.NaN(), math.Inf(-1), -1, 1e300} {
		for name, change := range map[string]func(*TwoRowPlate){
			"width": func(p *TwoRowPlate) { p.Width = v }, "stress area": func(p *TwoRowPlate) { p.StressArea = v },
			"modular ratio": func(p *TwoRowPlate) { p.ModularRatio = v }, "moment": func(p *TwoRowPlate) {
				p.Moment = v
			},
			"shear": func(p *TwoRowPlate) { p.Shear = v }, "lift": func(p *TwoRowPlate) { p.Lift = v }, "anchors": func(p *TwoRowPlate) { p.Anchors = 0 },
		} {
			p := someRows()
			change(&p)
			_, err := p.Demand()
			if refused := new(ArgumentError); !errors.As(err, &refused) {
				t.Errorf("%s takes %v: %v", name, v, err)
			}
		}
		p.Inset = v
		if _, err := p.Demand(); err == nil {
			t.Errorf("inset takes %v", v)
		}
		if _, err := ModularRatio(v); err == nil {
			t.Errorf("a concrete of %v", v)
		}
	}
}

func TestModularRatio(t *testing.T) {
	for _, c := range []struct{ concrete, want float64 }{{21000, 10}, {1000, 30}, {100000, 2.1}, {7000, 30}} {
		if got, err := ModularRatio(c.concrete); err != nil || math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%v: %v, %v", c.concrete, got, err)
		}
	}
}

// Rows far in from the ends both pull, as in the plate that finds its neutral line.
func TestBothRowsPull(t *testing.T) {
	p := someRows()
	p.Inset = 85
	got, err := p.Demand()
	if err != nil {
		t.Fatal(err)
	}
	x := p.Length/2 - p.Inset
	want, err := BasePlate{Width: p.Length, Depth: p.Width, StressArea: p.StressArea, ModularRatio: p.ModularRatio,
		MomentX: p.Moment, Anchors: []Anchor{{-x, -60}, {-x, 60}, {x, -60}, {x, 60}}}.Demand()
	if err != nil {
		t.Fatal(err)
	}
	if got.Near <= 0 || math.Abs(got.Near/want.Tension[2]-1) > 1e-5 || math.Abs(got.Tension/want.Tension[0]-1) > 1e-5 {
		t.Errorf("%+v, want %v", got, want.Tension)
	}
}

// A plate that is lifted as it is bent: never less in an anchor, nor in all of them
// together, than the general plate finds, and the same where nothing of it presses.
func TestLiftedTwoRowPlateAgainstBasePlate_Blodgett_3_3(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 2))
	parted, pressed := 0, 0
	for range 300 {
		p := TwoRowPlate{Length: 120 + 300*r.Float64(), Width: 100 + 300*r.Float64(), Inset: 30, Anchors: 4,
			StressArea: 40 + 120*r.Float64(), ModularRatio: 6 + 4*r.Float64(), Moment: 1e4 + 1e6*r.Float64(),
			Lift: 1e4 * r.Float64()}
		got, err := p.Demand()
		if err != nil {
			t.Fatal(err)
		}
		x, y := p.Length/2-p.Inset, p.Width/2-10
		other, err := BasePlate{Width: p.Length, Depth: p.Width, StressArea: p.StressArea, ModularRatio: p.ModularRatio,
			MomentX: p.Moment, Compression: -p.Lift, Anchors: []Anchor{{-x, -y}, {-x, y}, {x, -y}, {x, y}}}.Demand()
		if err != nil {
			t.Fatal(err)
		}
		all := 0.0
		for _, v := range other.Tension {
			all += v
		}
		if got.Tension < other.WorstTension*(1-2e-3) || 2*(got.Tension+got.Near) < all*(1-2e-3) {
			t.Errorf("%+v: %+v, as any plate %+v", p, got, other)
		}
		if other.Compressed {
			pressed++
			if got.Tension > 1.4*other.WorstTension {
				t.Errorf("%+v: %.0f is far above %.0f", p, got.Tension, other.WorstTension)
			}
		} else if parted++; math.Abs(got.Tension/other.WorstTension-1) > 2e-3 {
			t.Errorf("%+v: %+v, as any plate %+v", p, got, other)
		}
	}
	if parted < 20 || pressed < 20 {
		t.Error("both must be looked at:", parted, pressed)
	}
}
