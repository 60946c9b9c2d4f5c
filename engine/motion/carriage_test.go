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

// Springy without drive has the same peak; with it Springy's is greater, for
// the drive's work on the way; half of it beyond the drive is Within's.
func TestBufferedAgainstTheOtherStops(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 2))
	for range 300 {
		i := Impact{Mass: 50 + 1000*r.Float64(), Speed: 20 + 500*r.Float64()}
		way := 1 + 100*r.Float64()
		bare, err := i.Buffered(way)
		if err != nil {
			t.Fatal(err)
		}
		stiffness := 2 * i.energy() / (way * way)
		if spring, err := i.Springy(math.Max(0.1, stiffness)); err != nil || stiffness > 0.1 &&
			math.Abs(spring.Peak/bare-1) > 1e-12 {
			t.Fatalf("%+v over %v: %v, as a spring %+v, %v", i, way, bare, spring, err)
		}
		i.Drive = 1000 * r.Float64()
		driven, err := i.Buffered(way)
		if err != nil || math.Abs(driven-bare-i.Drive) > 1e-9*driven {
			t.Fatalf("%v, driven %v, %v", bare, driven, err)
		}
		even, err := i.Within(way)
		if err != nil || math.Abs(2*(even.Peak-i.Drive)-bare) > 1e-9*bare {
			t.Fatalf("%v, even %+v, %v", bare, even, err)
		}
		if spring, err := i.Springy(math.Max(0.1, stiffness)); err != nil || stiffness > 0.1 &&
			spring.Peak < driven-1e-9*driven {
			t.Fatalf("%v, the driven spring %+v, %v", driven, spring, err)
		}
	}
}

func TestCarriageRefusals(t *testing.T) {
	leaf := Carriage{Mass: 300, At: 2000, Height: 900, Wheels: [2]float64{400, 3600}}
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), -1e6, 1e300} {
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
		for i, err := range []error{e1, e2, e3, e4, e5, e6, e7, e8, e9, e10, e11, e12, e13} {
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
