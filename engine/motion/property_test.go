package motion

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"
)

func TestPullGrowsAndMirrors(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 500 {
		roll := Roll{Mass: 50 + r.Float64()*1500, Grade: (r.Float64() - 0.5) * 0.3, Resistance: r.Float64() * 0.05,
			Start: 1 + r.Float64()}
		p, err := roll.Pull()
		if err != nil {
			t.Fatal(err)
		}
		mirrored := roll
		mirrored.Grade = -roll.Grade
		m, err := mirrored.Pull()
		if err != nil || m.Forward != p.Backward || m.BackStart != p.ForwardStart || m.Runaway != p.Runaway {
			t.Fatalf("%+v seen from the other side: %+v %+v", roll, p, m)
		}
		if p.Runaway != (math.Min(p.Forward, p.Backward) < 0) {
			t.Fatalf("runs away %v but %+v", p.Runaway, p)
		}
		if p.Runaway && math.Abs(p.Holding+math.Min(p.Forward, p.Backward)) > 1e-9 {
			t.Fatalf("holding %v: %+v", p.Holding, p)
		}
		heavier := roll
		heavier.Mass *= 1.1
		h, _ := heavier.Pull()
		if h.Greatest <= p.Greatest || p.ForwardStart < p.Forward {
			t.Fatalf("%+v %+v", p, h)
		}
		if v, err := roll.RunawaySpeed(2000); err != nil || (v > 0) != p.Runaway {
			t.Fatalf("%v %v", v, err)
		}
	}
}

// A leaf let go at rest on a grade, with more inertia than weight and something
// that rubs, against a step-by-step run of it over its way.
func TestRunawaySpeedAgainstSteps(t *testing.T) {
	for _, roll := range []Roll{{Mass: 168.3, Grade: -math.Atan(0.016248), Resistance: 0.005, Start: 1.5},
		{Mass: 300, Grade: math.Atan(0.05), Resistance: 0.02, Start: 1, Inertia: 450, Side: 30}} {
		const dt, way = 1e-4, 4000.0
		want, err := roll.RunawaySpeed(way)
		if err != nil {
			t.Fatal(err)
		}
		sin, cos := math.Sincos(math.Abs(roll.Grade))
		force := roll.Mass*Gravity*(sin-roll.Resistance*cos) - roll.Side
		x, v := 0.0, 0.0
		for x < way {
			v += force / roll.inertia() * 1000 * dt
			x += v * dt
		}
		if math.Abs(v/want-1) > 1e-3 {
			t.Errorf("%+v: %v, stepped %v", roll, want, v)
		}
	}
}

// The time and the peak of a springy stop against a step-by-step run of it.
func TestSpringyStopAgainstSteps(t *testing.T) {
	for _, i := range []Impact{{300, 200, 0}, {300, 200, 500}, {800, 120, 900}} {
		const k, dt = 80.0, 1e-6
		r, err := i.Springy(k)
		if err != nil {
			t.Fatal(err)
		}
		x, v, time := 0.0, i.Speed, 0.0
		for v > 0 {
			v += (i.Drive - k*x) / i.Mass * 1000 * dt
			x += v * dt
			time += dt
		}
		if math.Abs(x-r.Distance) > 1e-3*x || math.Abs(k*x-r.Peak) > 1e-3*r.Peak ||
			math.Abs(time-r.Seconds) > 1e-3*time {
			t.Errorf("%+v: %+v, stepped %v mm in %v s", i, r, x, time)
		}
	}
}

func TestStopsGrow(t *testing.T) {
	base, err := Impact{400, 200, 300}.Springy(100)
	if err != nil {
		t.Fatal(err)
	}
	for name, r := range map[string]func() (StopResult, error){
		"faster":  func() (StopResult, error) { return Impact{400, 220, 300}.Springy(100) },
		"heavier": func() (StopResult, error) { return Impact{440, 200, 300}.Springy(100) },
		"driven":  func() (StopResult, error) { return Impact{400, 200, 400}.Springy(100) },
		"stiffer": func() (StopResult, error) { return Impact{400, 200, 300}.Springy(120) },
	} {
		if got, err := r(); err != nil || got.Peak <= base.Peak {
			t.Errorf("%s: %+v %v", name, got, err)
		}
	}
	// An even force over the same way is half a spring's peak, drive aside.
	spring, _ := Impact{400, 200, 0}.Springy(100)
	even, err := Impact{400, 200, 0}.Within(spring.Distance)
	if err != nil || math.Abs(even.Peak-spring.Peak/2) > 1e-9 {
		t.Fatalf("%+v %+v %v", even, spring, err)
	}
}

// Force and moment balance with any number of wheels and pushes.
func TestWheelsBalance(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 1))
	for range 500 {
		var parts []Part
		for range 1 + r.IntN(8) {
			parts = append(parts, Part{1 + r.Float64()*100, r.Float64() * 6000, r.Float64() * 2000})
		}
		wheels := []float64{r.Float64() * 1000}
		for range 1 + r.IntN(4) {
			wheels = append(wheels, wheels[len(wheels)-1]+500+r.Float64()*2000)
		}
		grade := (r.Float64() - 0.5) * 0.4
		pushes := []Push{{r.Float64() * 500, r.Float64() * 400}}
		w, err := Wheels(parts, wheels, grade, pushes)
		if err != nil {
			t.Fatal(err)
		}
		force := w.Mass * Gravity * math.Cos(grade)
		moment := force*w.Centre - w.Mass*Gravity*math.Sin(grade)*w.Height + pushes[0].Force*pushes[0].Height
		for i, x := range wheels {
			force -= w.Loads[i]
			moment -= w.Loads[i] * x
		}
		if math.Abs(force) > 1e-6 || math.Abs(moment) > 1e-2 {
			t.Fatalf("left over %v N and %v N·mm", force, moment)
		}
		if len(wheels) == 2 && w.Lifts != (w.Balance < 0) {
			t.Fatalf("lifts %v, balance %v", w.Lifts, w.Balance)
		}
		if w.Lifts != (w.Least < 0) || w.Most < w.Least {
			t.Fatalf("%+v", w)
		}
	}
}

func TestThrustMargin(t *testing.T) {
	m, err := ThrustMargin(-200, 600, 1.5)
	if err != nil || m.Needed != 300 || m.Spare != 300 || m.Use != 0.5 {
		t.Fatalf("%+v %v", m, err)
	}
	if m, _ := ThrustMargin(500, 600, 1.5); m.Spare >= 0 || m.Use <= 1 {
		t.Fatalf("%+v", m)
	}
	if f, err := (Roll{Mass: 400, Start: 1}).Accelerating(200, 0.5); err != nil || f != 160 {
		t.Fatalf("%v %v", f, err)
	}
	last := 0.0
	for _, l := range HandLimits() {
		if l.Force <= last || l.Source == "" {
			t.Errorf("%+v", l)
		}
		last = l.Force
	}
}

func TestRefusals(t *testing.T) {
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), -1, 1e300} {
		_, e1 := Roll{Mass: v, Start: 1}.Pull()
		_, e2 := Roll{Mass: 100, Resistance: v, Start: 1}.Pull()
		_, e3 := Impact{100, v, 0}.Springy(10)
		_, e4 := Impact{100, 100, 0}.Within(v)
		_, e5 := Wheels([]Part{{v, 0, 0}}, []float64{0, 1000}, 0, nil)
		_, e6 := Wheels([]Part{{100, 0, 0}}, []float64{0, v}, 0, nil)
		_, e7 := ThrustMargin(100, v, 1)
		_, e8 := WheelResistance(v, 20, Treads()[0], Bearings()[0])
		for i, err := range []error{e1, e2, e3, e4, e5, e6, e7, e8} {
			var e *ArgumentError
			if !errors.As(err, &e) || e.Error() == "" {
				t.Errorf("call %d takes %v: %v", i+1, v, err)
			}
		}
	}
	if _, err := Wheels([]Part{{0, 0, 0}}, []float64{0, 1000}, 0, nil); err == nil {
		t.Error("a leaf without mass taken")
	}
	if _, err := Wheels([]Part{{100, 0, 0}}, []float64{1000, 0}, 0, nil); err == nil {
		t.Error("wheels out of order taken")
	}
}

func FuzzMotion(f *testing.F) {
	f.Add(400.0, 0.05, 0.02, 1.5, 200.0, 100.0, 1200.0, 900.0, 400.0, 3600.0)
	f.Fuzz(func(t *testing.T, m, grade, c, start, v, k, at, h, w1, w2 float64) {
		if p, err := (Roll{Mass: m, Grade: grade, Resistance: c, Start: start}).Pull(); err == nil &&
			(math.IsNaN(p.Greatest) || math.IsInf(p.Greatest, 0) || p.Holding < 0) {
			t.Fatalf("%+v", p)
		}
		if r, err := (Impact{m, v, c}).Springy(k); err == nil &&
			!(r.Peak >= 0 && r.Distance >= 0 && r.Seconds >= 0 && r.Peak < 1e12) {
			t.Fatalf("%+v", r)
		}
		if w, err := Wheels([]Part{{m, at, h}}, []float64{w1, w2}, grade, nil); err == nil &&
			(math.IsNaN(w.Most) || math.IsInf(w.Most, 0)) {
			t.Fatalf("%+v", w)
		}
	})
}
