package steel

import (
	"math"
	"math/rand/v2"
	"testing"
)

func fourAnchors() []Anchor { return []Anchor{{80, 80}, {-80, 80}, {-80, -80}, {80, -80}} }

func TestAnchorsInPureUpliftShareEqually(t *testing.T) {
	d, err := BasePlate{Width: 200, Depth: 200, Anchors: fourAnchors(), StressArea: 84, ModularRatio: 8,
		Compression: -8000}.Demand()
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range d.Tension {
		if math.Abs(v-2000) > 1e-4 {
			t.Fatalf("%+v", d)
		}
	}
	if d.Compressed {
		t.Fatalf("presses although lifted: %+v", d)
	}
}

func TestPlateInPureCompressionPressesEvenly(t *testing.T) {
	d, err := BasePlate{Width: 200, Depth: 200, Anchors: fourAnchors(), StressArea: 84, ModularRatio: 8,
		Compression: 40000}.Demand()
	if err != nil || d.WorstTension != 0 || math.Abs(d.PeakBearing-1) > 1e-6 {
		t.Fatalf("%+v %v", d, err)
	}
	// Inside the middle third the whole plate presses: p = N/A + M/W.
	d, err = BasePlate{Width: 200, Depth: 200, Anchors: fourAnchors(), StressArea: 84, ModularRatio: 8,
		Compression: 40000, MomentX: 1e6}.Demand()
	if err != nil || d.WorstTension != 0 || math.Abs(d.PeakBearing-1.75) > 1e-6 {
		t.Fatalf("%+v %v", d, err)
	}
}

func TestShearAndTwist(t *testing.T) {
	d, err := BasePlate{Width: 200, Depth: 200, Anchors: fourAnchors(), StressArea: 84, ModularRatio: 8, ShearX: 4000,
		Twist: 4 * 1000 * 80 * math.Sqrt2}.Demand()
	if err != nil {
		t.Fatal(err)
	}
	// 1000 N each from shear and 1000 N each at right angles to the radius.
	want := []float64{0, 0, 0, 0}
	for i, a := range fourAnchors() {
		want[i] = math.Hypot(1000-1000*a.Y/(80*math.Sqrt2), 1000*a.X/(80*math.Sqrt2))
	}
	for i := range want {
		if math.Abs(d.Shear[i]-want[i]) > 1e-6 {
			t.Fatalf("%v, want %v", d.Shear, want)
		}
	}
}

// Equilibrium, symmetry under a quarter turn, and growth with the moment.
func TestAnchorDemandProperties(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 22))
	for range 400 {
		p := BasePlate{Width: 150 + r.Float64()*200, Depth: 150 + r.Float64()*200, StressArea: 50 + r.Float64()*300,
			ModularRatio: 6 + r.Float64()*6,
			Compression:  (r.Float64() - .3) * 20000, MomentX: (r.Float64() - .5) * 1e7,
			MomentY: (r.Float64() - .5) * 1e7}
		x, y := p.Width/2-30, p.Depth/2-30
		p.Anchors = []Anchor{{x, y}, {-x, y}, {-x, -y}, {x, -y}}
		d, err := p.Demand()
		if err != nil {
			t.Fatalf("%+v: %v", p, err)
		}
		sum := d.BearingForce - p.Compression
		for _, v := range d.Tension {
			sum -= v
			if v < 0 || math.IsNaN(v) {
				t.Fatalf("%+v: %+v", p, d)
			}
		}
		if math.Abs(sum) > 1 {
			t.Fatalf("%+v: %v N out of balance", p, sum)
		}
		turned := p
		turned.Width, turned.Depth = p.Depth, p.Width
		turned.MomentX, turned.MomentY = p.MomentY, p.MomentX
		turned.Anchors = nil
		for _, a := range p.Anchors {
			turned.Anchors = append(turned.Anchors, Anchor{a.Y, a.X})
		}
		e, err := turned.Demand()
		if err != nil || math.Abs(e.WorstTension-d.WorstTension) > 1 || math.Abs(e.PeakBearing-d.PeakBearing) > 1e-4 {
			t.Fatalf("%+v %+v: %v", d, e, err)
		}
		p.MomentX, p.MomentY = p.MomentX*1.2, p.MomentY*1.2
		more, err := p.Demand()
		if err != nil || more.WorstTension < d.WorstTension-1e-3 {
			t.Fatalf("a greater moment pulls less: %+v %+v", d, more)
		}
	}
}

func FuzzAnchors(f *testing.F) {
	f.Add(200.0, 200.0, 60.0, 60.0, 84.0, 8.0, 5000.0, 2e6, 1e6)
	f.Add(20.0, 2000.0, 0.0, 0.0, 10.0, 30.0, -1e7, 1e10, -1e10)
	f.Fuzz(func(t *testing.T, w, d, x, y, area, n, force, mx, my float64) {
		r, err := BasePlate{Width: w, Depth: d, Anchors: []Anchor{{x, y}, {-x, -y}, {x + 40, y}}, StressArea: area,
			ModularRatio: n, Compression: force, MomentX: mx, MomentY: my}.Demand()
		if err != nil {
			return
		}
		for _, v := range append(r.Tension, r.PeakBearing, r.BearingForce) {
			if math.IsNaN(v) || math.IsInf(v, 0) || v < 0 {
				t.Fatalf("%+v", r)
			}
		}
	})
}

// A shear that acts at one of two anchors goes into that one.
func TestShearBesideTheAnchorsCentroid(t *testing.T) {
	d, err := BasePlate{Width: 300, Depth: 100, Anchors: []Anchor{{0, 0}, {100, 0}}, StressArea: 84, ModularRatio: 8,
		ShearY: 1000}.Demand()
	if err != nil || math.Abs(d.Shear[0]-1000) > 1e-9 || d.Shear[1] > 1e-9 {
		t.Fatalf("%+v %v", d, err)
	}
}
