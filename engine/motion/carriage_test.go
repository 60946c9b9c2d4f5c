package motion

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"
)

// A leaf of 300 kg on wheels at 400 and 3600, by statics on paper.
func TestPushed_statics(t *testing.T) {
	level := Carriage{Mass: 300, At: 2000, Height: 900, Wheels: [2]float64{400, 3600}}
	weight := 300 * Gravity
	for name, c := range map[string]struct {
		carriage               Carriage
		force, height, against float64
		first, second          float64
	}{
		"standing on the level": {level, 0, 0, 900, weight / 2, weight / 2},
		// Couple of push and inertia: F·(h − h_g) over the distance of the wheels.
		"pushed on the level": {level, 320, 400, 900, weight/2 + 320*500/3200.0, weight/2 - 320*500/3200.0},
		"stalled at a hand":   {level, 640, 100, 1000, weight/2 + 640*900/3200.0, weight/2 - 640*900/3200.0},
	} {
		t.Run(name, func(t *testing.T) {
			got, err := c.carriage.Pushed(c.force, c.height, c.against)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(got.Loads[0]-c.first) > 1e-9*weight || math.Abs(got.Loads[1]-c.second) > 1e-9*weight {
				t.Errorf("%v, on paper %v and %v", got.Loads, c.first, c.second)
			}
		})
	}
}

// Moments about each wheel, in level and plumb coordinates instead of along the
// track and square to it.
func TestPushedBalancesAboutEachWheel(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 2))
	for range 500 {
		c := Carriage{Mass: 50 + 900*r.Float64(), At: 500 + 4000*r.Float64(), Height: 300 + 1200*r.Float64(),
			Grade: (r.Float64() - 0.5) * 0.4}
		c.Wheels[0] = 100 + 800*r.Float64()
		c.Wheels[1] = c.Wheels[0] + 1000 + 3000*r.Float64()
		force, height, against := 1000*(r.Float64()-0.5), 1500*r.Float64(), 1500*r.Float64()
		got, err := c.Pushed(force, height, against)
		if err != nil {
			t.Fatal(err)
		}
		sin, cos := math.Sincos(c.Grade)
		weight := c.Mass * Gravity
		back := weight*sin - force
		if math.Abs(got.Loads[0]+got.Loads[1]-weight*cos) > 1e-9*weight || math.Abs(got.Unheld) > 1e-9*weight {
			t.Fatalf("%v of %v, %v left over", got.Loads, weight, got.Unheld)
		}
		for i, x := range c.Wheels {
			other := 1 - i
			lever := (c.Wheels[other] - x) / cos
			// Turning towards u, seen from the wheel: the weight acts plumb, and the
			// forces along the track square to their plumb heights.
			moment := -weight*(c.At-x) + got.Loads[other]*lever - (force*height+back*against)*cos
			if math.Abs(moment) > 1e-6*weight {
				t.Fatalf("%+v: %v N·mm about wheel %d", c, moment, i)
			}
		}
	}
}

func TestUprightPush(t *testing.T) {
	for _, c := range []struct{ mass, offset, height, want float64 }{
		{100, 0, 1800, 0}, {100, 180, 1800, -98.0665}, {100, -180, 1800, 98.0665}, {0, 50, 900, 0},
	} {
		if got, err := UprightPush(c.mass, c.offset, c.height); err != nil || math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%+v: %v, %v", c, got, err)
		}
	}
}

// Work done is work felt: a push over the pushed leaf's travel raises all
// leaves, and moving energy is that of the felt inertia at its speed.
func TestFeltAt_virtual_work(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 2))
	for range 300 {
		var leaves []Geared
		for range 1 + r.IntN(4) {
			leaves = append(leaves, Geared{Mass: 50 + 300*r.Float64(), Travel: 500 + 4000*r.Float64()})
		}
		index := r.IntN(len(leaves))
		if back := r.IntN(len(leaves)); back != index { // the other way
			leaves[back].Travel = -leaves[back].Travel
		}
		felt, err := FeltAt(index, leaves)
		if err != nil {
			t.Fatal(err)
		}
		lifted, moved, energy := 0.0, 0.0, 0.0
		for _, leaf := range leaves {
			lifted += leaf.Mass * leaf.Travel
			moved += leaf.Mass * math.Abs(leaf.Travel)
			energy += leaf.Mass * leaf.Travel * leaf.Travel
		}
		travel := leaves[index].Travel
		if math.Abs(felt.Weighs*travel-lifted) > 1e-12*moved || math.Abs(felt.Inertia*travel*travel/energy-1) > 1e-12 {
			t.Fatalf("%+v at %d of %+v", felt, index, leaves)
		}
		if len(leaves) == 1 && (felt.Weighs != leaves[0].Mass || felt.Inertia != leaves[0].Mass) {
			t.Fatalf("a leaf alone feels %+v of %v", felt, leaves[0].Mass)
		}
	}
}

// A spring of the stiffness that Buffered's force and way make takes that force
// over that way, drive and all; an even force over the same way is half of it.
func TestBufferedAgainstTheOtherStops(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 2))
	for range 300 {
		i := Impact{Mass: 50 + 1000*r.Float64(), Speed: 20 + 500*r.Float64(), Drive: 1000 * r.Float64()}
		way := 1 + 100*r.Float64()
		peak, err := i.Buffered(way)
		if err != nil {
			t.Fatal(err)
		}
		spring, err := i.Springy(math.Max(0.1, peak/way))
		if err != nil || peak/way > 0.1 &&
			(math.Abs(spring.Peak/peak-1) > 1e-9 || math.Abs(spring.Distance/way-1) > 1e-9) {
			t.Fatalf("%+v over %v: %v, as a spring %+v, %v", i, way, peak, spring, err)
		}
		even, err := i.Within(way)
		if err != nil || math.Abs(2*even.Peak/peak-1) > 1e-9 {
			t.Fatalf("%v, even %+v, %v", peak, even, err)
		}
		back, err := i.GivingWay(peak)
		if want := i.energy() > 1; want && (err != nil || math.Abs(back/way-1) > 1e-9) {
			t.Fatalf("%v over %v, turned round %v, %v", peak, way, back, err)
		}
	}
}

// A leaf of 160.99 kg at 200 mm/s with 450 N behind it, on a spring of 1329/15
// N/mm: run step by step it stands after 15 mm and has pressed with 1329 N, where
// m·v²/s + F would have 879 N. A spring that takes 879 N over 15 mm is still
// giving way there.
func TestBufferedAgainstSteps(t *testing.T) {
	const dt = 1e-6
	for _, i := range []Impact{{160.99, 200, 450}, {168.3, 968, 18}, {300, 0, 200}, {90, 1500, 0}} {
		const way = 15.0
		peak, err := i.Buffered(way)
		if err != nil {
			t.Fatal(err)
		}
		run := func(k float64) (x, force float64) {
			v := i.Speed
			for x == 0 || v > 0 {
				v += (i.Drive - k*x) / i.Mass * 1000 * dt
				x += v * dt
				force = math.Max(force, k*x)
			}
			return x, force
		}
		if x, force := run(peak / way); math.Abs(x/way-1) > 1e-3 || math.Abs(force/peak-1) > 1e-3 {
			t.Errorf("%+v: stepped %v N over %v mm, by energy %v N over %v", i, force, x, peak, way)
		}
		if old := peak - i.Drive; i.Drive > 100 {
			if x, _ := run(old / way); x < 1.05*way {
				t.Errorf("%+v: a spring of %v N over %v mm stands after %v", i, old, way, x)
			}
		}
	}
	if peak, _ := (Impact{160.99, 200, 450}).Buffered(15); math.Abs(peak-1329.31) > 0.01 {
		t.Error(peak)
	}
}

// While it stops: moments about each wheel, in level and plumb coordinates.
func TestStoppedBalancesAboutEachWheel(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 3))
	for range 500 {
		c := Carriage{Mass: 50 + 900*r.Float64(), At: 500 + 4000*r.Float64(), Height: 300 + 1200*r.Float64(),
			Grade: (r.Float64() - 0.5) * 0.4}
		c.Wheels[0] = 100 + 800*r.Float64()
		c.Wheels[1] = c.Wheels[0] + 1000 + 3000*r.Float64()
		stop := Push{Force: 9000 * (r.Float64() - 0.5), Height: 1500 * r.Float64()}
		drive := Push{Force: 900 * (r.Float64() - 0.5), Height: 300 * r.Float64()}
		got, err := c.Stopped(stop, drive)
		if err != nil {
			t.Fatal(err)
		}
		sin, cos := math.Sincos(c.Grade)
		weight := c.Mass * Gravity
		slowing := weight*sin - stop.Force - drive.Force // m·a against u
		for i, x := range c.Wheels {
			other := 1 - i
			moment := -weight*(c.At-x) + got.Loads[other]*(c.Wheels[other]-x)/cos -
				(stop.Force*stop.Height+drive.Force*drive.Height+slowing*c.Height)*cos
			if math.Abs(moment) > 1e-6*weight {
				t.Fatalf("%+v: %v N·mm about wheel %d", c, moment, i)
			}
		}
	}
	// On the level, the stop alone: the wheel behind is relieved by P·(h_g − h)/a.
	c := Carriage{Mass: 160, At: 2000, Height: 870, Wheels: [2]float64{300, 3800}}
	got, err := c.Stopped(Push{Force: -1329, Height: 100}, Push{})
	if err != nil {
		t.Fatal(err)
	}
	rear := 160 * Gravity * (3800 - 2000) / 3500
	if want := rear - 1329*770/3500.0; math.Abs(got.Loads[0]-want) > 1e-9*want {
		t.Errorf("%v, by hand %v", got.Loads, want)
	}
}

func TestCarriageRefusals(t *testing.T) {
	leaf := Carriage{Mass: 300, At: 2000, Height: 900, Wheels: [2]float64{400, 3600}}
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), -1.1e6, 1e300} {
		heavy, steep, wheel := leaf, leaf, leaf
		heavy.Mass, steep.Grade, wheel.Wheels[1] = v, v, v
		_, e1 := heavy.Pushed(0, 0, 0)
		_, e2 := steep.Pushed(0, 0, 0)
		_, e3 := wheel.Pushed(0, 0, 0)
		_, e4 := leaf.Pushed(0, v, 0)
		_, e5 := leaf.Pushed(0, 0, v)
		_, e6 := UprightPush(v, 0, 1000)
		_, e7 := UprightPush(100, v, 1000)
		_, e8 := UprightPush(100, 0, v)
		_, e9 := FeltAt(0, []Geared{{v, 1000}})
		_, e10 := FeltAt(0, []Geared{{100, v}})
		_, e13 := FeltAt(0, []Geared{{100, 1000}, {100, v}})
		_, e11 := Impact{100, 100, 0}.Buffered(v)
		_, e12 := Impact{v, 100, 0}.Buffered(10)
		_, e14 := Impact{100, 100, 0}.GivingWay(v)
		_, e15 := leaf.Stopped(Push{Force: v}, Push{})
		_, e16 := Roll{Mass: 100, Start: 1, Side: v}.Pull()
		_, e17 := Roll{Mass: 100, Start: 1, Inertia: v}.Pull()
		for i, err := range []error{e1, e2, e3, e4, e5, e6, e7, e8, e9, e10, e11, e12, e13, e14, e15, e16, e17} {
			if refused := new(ArgumentError); !errors.As(err, &refused) {
				t.Errorf("call %d takes %v: %v", i+1, v, err)
			}
		}
	}
	for _, index := range []int{-1, 1} {
		if _, err := FeltAt(index, []Geared{{100, 1000}}); err == nil {
			t.Error("a leaf that is not there was pushed:", index)
		}
	}
	if _, err := FeltAt(0, nil); err == nil {
		t.Error("no leaf was pushed")
	}
}
