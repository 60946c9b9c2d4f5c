package soil

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"
)

func somePost(r *rand.Rand) EmbeddedPost {
	return EmbeddedPost{Force: 50 + r.Float64()*3000, Height: 100 + r.Float64()*2500, Width: 200 + r.Float64()*500,
		Lateral: (100 + r.Float64()*200) * psfPerFoot, Factor: 1 + r.Float64()}
}

func TestDeeperHoldsMore(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 500 {
		p := somePost(r)
		d := 200 + r.Float64()*6000
		for _, f := range []func(float64) (float64, error){p.NonconstrainedCapacity, p.ConstrainedCapacity} {
			a, err := f(d)
			b, err2 := f(d * 1.05)
			if err != nil || err2 != nil || b <= a {
				t.Fatalf("%+v: %v N at %v, %v N deeper (%v %v)", p, a, d, b, err, err2)
			}
		}
	}
}

// The depth found must satisfy the code's own form of the equations, and hold
// exactly the force.
func TestDepthSatisfiesTheCode(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 1))
	for range 500 {
		p := somePost(r)
		n, err := p.Nonconstrained()
		if err != nil {
			t.Fatal(err)
		}
		if want := 0.5 * n.TermA * (1 + math.Sqrt(1+4.36*p.Height/n.TermA)); math.Abs(n.Depth-want) > 1e-6*want {
			t.Fatalf("%+v: depth %v, equation 18-1 gives %v", p, n.Depth, want)
		}
		held, err := p.NonconstrainedCapacity(n.Depth)
		if err != nil || math.Abs(held-p.Force) > 1e-6*p.Force {
			t.Fatalf("depth %v holds %v of %v (%v)", n.Depth, held, p.Force, err)
		}
		c, err := p.Constrained()
		if err != nil || math.Abs(c.Depth*c.Depth-4.25*c.Moment/(c.Pressure*p.Width)) > 1e-6*c.Depth*c.Depth {
			t.Fatalf("%+v: %+v %v", p, c, err)
		}
		more := p
		more.Force *= 1.1
		if d, err := more.Nonconstrained(); err != nil || d.Depth <= n.Depth {
			t.Fatalf("more force, no more depth: %+v %v", d, err)
		}
		wider := p
		wider.Width *= 1.2
		if d, err := wider.Nonconstrained(); err != nil || d.Depth >= n.Depth {
			t.Fatalf("wider, no less depth: %+v %v", d, err)
		}
	}
}

func TestHoldingBeyondTheDeepestIsRefused(t *testing.T) {
	_, err := EmbeddedPost{Force: 1e6, Height: 3000, Width: 100, Lateral: 100 * psfPerFoot, Factor: 1}.Nonconstrained()
	var e *ArgumentError
	if !errors.As(err, &e) || e.High <= 0 || e.High >= 1e6 {
		t.Fatalf("%v", err)
	}
}

func TestLateralPressureStopsAtTwelveFeet(t *testing.T) {
	p := EmbeddedPost{Force: 1, Height: 1000, Width: 300, Lateral: 100 * psfPerFoot, Factor: 1}
	d := 6000.0
	got, err := p.NonconstrainedCapacity(d)
	want := 100 * psfPerFoot * 12 * 304.8 / 3 * 300 * d * d / (2.34 * (d + 1090))
	if err != nil || math.Abs(got-want) > 1e-9*want {
		t.Fatalf("%v, want %v (%v)", got, want, err)
	}
}

func blockWall() Wall {
	return Wall{StemHeight: 900, StemTop: 250, FaceBatter: 50, Toe: 250, Heel: 450, BaseThickness: 200,
		WallWeight:    24e-6,
		FrictionAngle: 32 * degree, UnitWeight: 18e-6, SaturatedWeight: 20e-6, BaseFriction: 22 * degree}
}

func stability(t *testing.T, w Wall) WallResult {
	t.Helper()
	r, err := w.Stability()
	if err != nil {
		t.Fatalf("%+v: %v", w, err)
	}
	return r
}

func TestWallGetsWorseWithEveryLoad(t *testing.T) {
	base := stability(t, blockWall())
	for name, change := range map[string]func(*Wall){
		"surcharge": func(w *Wall) { w.Surcharge = 0.005 },
		"water":     func(w *Wall) { w.WaterHeight = 600 },
		"weaker":    func(w *Wall) { w.FrictionAngle = 28 * degree },
		"heavier":   func(w *Wall) { w.UnitWeight = 20e-6; w.Heel = 0 },
		"thinner":   func(w *Wall) { w.StemTop = 150 },
		"no toe":    func(w *Wall) { w.Toe = 0 },
	} {
		w := blockWall()
		change(&w)
		if r := stability(t, w); r.Overturning >= base.Overturning {
			t.Errorf("%s: overturning %v, before %v", name, r.Overturning, base.Overturning)
		}
	}
	w := blockWall()
	w.Backslope = 20 * degree
	if r := stability(t, w); r.Sliding >= base.Sliding || r.Active <= base.Active {
		t.Errorf("backslope: %+v", r)
	}
}

// Vertical and moment equilibrium of the ground pressures.
func TestBearingBalances(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	for range 500 {
		w := blockWall()
		w.Toe, w.Heel, w.StemTop = r.Float64()*500, r.Float64()*900, 150+r.Float64()*300
		w.StemHeight, w.WaterHeight = 400+r.Float64()*900, r.Float64()*400
		w.Backslope = r.Float64() * 25 * degree
		res, err := w.Stability()
		if err != nil {
			continue
		}
		if !res.InsideBase {
			continue
		}
		force := (res.ToePressure + res.HeelPressure) / 2 * res.Contact
		if math.Abs(force-res.Vertical) > 1e-9*force {
			t.Fatalf("%+v: %v N/mm pressed, %v weigh", w, force, res.Vertical)
		}
		if res.MiddleThird != (math.Abs(res.Contact-res.Base) < 1e-9) {
			t.Fatalf("middle third %v, contact %v of %v", res.MiddleThird, res.Contact, res.Base)
		}
		if res.PeakPressure < res.ToePressure {
			t.Fatalf("peak %v below toe %v", res.PeakPressure, res.ToePressure)
		}
	}
}

func TestFallingWall(t *testing.T) {
	w := Wall{StemHeight: 2000, StemTop: 100, WallWeight: 24e-6, FrictionAngle: 28 * degree, UnitWeight: 19e-6,
		BaseFriction: 20 * degree}
	r := stability(t, w)
	if r.InsideBase || r.Overturning >= 1 || r.ToePressure != 0 || r.PeakPressure != 0 {
		t.Fatalf("%+v", r)
	}
}

func TestSteepBackslopeIsRefused(t *testing.T) {
	for _, slope := range []float64{30, 30.5, 45} {
		if k, err := Active(30*degree, slope*degree); err == nil {
			t.Errorf("slope %v on 30: %v", slope, k)
		}
	}
	if k, err := Active(30*degree, 29.9*degree); err != nil || math.IsNaN(k) || k > math.Cos(29.9*degree) {
		t.Errorf("%v %v", k, err)
	}
}

func TestClasses(t *testing.T) {
	last := math.Inf(1)
	for _, c := range Classes() {
		if c.Bearing > last || c.Presumed != (c.Bearing > 0) {
			t.Errorf("%s out of order: %+v", c.Key, c)
		}
		last = c.Bearing
		for _, s := range []Span{c.FrictionAngle, c.UnitWeight, c.SubgradeModulus} {
			if !(0 < s.Low && s.Low <= s.Typical && s.Typical <= s.High) {
				t.Errorf("%s: %+v", c.Key, s)
			}
		}
		f, err := c.SlidingResistance(10, 400)
		if err != nil || f > 10 || c.Presumed && f <= 0 {
			t.Errorf("%s: slides at %v (%v)", c.Key, f, err)
		}
	}
	clay, _ := ClassOf("clay")
	// 130 psf on 400 mm is 2.49 N/mm; half of 3 N/mm governs.
	if f, _ := clay.SlidingResistance(3, 400); f != 1.5 {
		t.Errorf("half the dead load governs: %v", f)
	}
	if _, ok := ClassOf("granite"); ok {
		t.Error("unknown class found")
	}
}

func FuzzWall(f *testing.F) {
	f.Add(900.0, 250.0, 250.0, 450.0, 200.0, 0.1, 0.55, 0.005, 300.0)
	f.Add(6000.0, 30.0, 0.0, 0.0, 0.0, 0.0, 0.1, 0.1, 20000.0)
	f.Fuzz(func(t *testing.T, h, top, toe, heel, base, slope, angle, q, water float64) {
		w := blockWall()
		w.StemHeight, w.StemTop, w.Toe, w.Heel, w.BaseThickness = h, top, toe, heel, base
		w.Backslope, w.FrictionAngle, w.Surcharge, w.WaterHeight = slope, angle, q, water
		r, err := w.Stability()
		if err != nil {
			return
		}
		for _, v := range []float64{r.Overturning, r.Sliding, r.Eccentricity, r.ToePressure, r.HeelPressure,
			r.PeakPressure, r.StemMoment, r.StemShear, r.Active} {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("%+v gives %+v", w, r)
			}
		}
		if r.Overturning <= 0 || r.ToePressure < 0 || r.HeelPressure < 0 {
			t.Fatalf("%+v gives %+v", w, r)
		}
	})
}

func FuzzEmbedment(f *testing.F) {
	f.Add(500.0, 1200.0, 300.0, 2e-5, 2.0)
	f.Fuzz(func(t *testing.T, p, h, b, s, factor float64) {
		post := EmbeddedPost{p, h, b, s, factor}
		for _, find := range []func() (EmbedmentResult, error){post.Nonconstrained, post.Constrained} {
			if r, err := find(); err == nil && !(r.Depth > 0 && r.Depth <= MaxEmbedment && r.Pressure > 0) {
				t.Fatalf("%+v: %+v", post, r)
			}
		}
	})
}

// Every listed moment is its force times its arm, and the totals are their sums.
func TestPartsExplainTheTotals(t *testing.T) {
	w := blockWall()
	w.WaterHeight, w.Surcharge, w.Backslope, w.BackBatter = 400, 0.005, 10*degree, 80
	r := stability(t, w)
	hold, turn, lift := 0.0, 0.0, 0.0
	for i, list := range [][]WallPart{r.Holding, r.Pushing} {
		for _, p := range list {
			if p.Name == "" || math.Abs(p.Moment-p.Force*p.Arm) > 1e-9*math.Abs(p.Moment) {
				t.Errorf("%+v", p)
			}
			if i == 0 {
				hold += p.Moment
				lift += p.Force
			} else {
				turn += p.Moment
			}
		}
	}
	if math.Abs(hold-r.HoldMoment) > 1e-6 || math.Abs(turn-r.TurnMoment) > 1e-6 || lift <= r.Vertical {
		t.Errorf("%v %v against %+v", hold, turn, r)
	}
}

func TestRefusals(t *testing.T) {
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), -1, 1e300} {
		post := EmbeddedPost{Force: 500, Height: 1000, Width: 300, Lateral: 150 * psfPerFoot, Factor: 1}
		_, e1 := post.NonconstrainedCapacity(v)
		_, e2 := post.ConstrainedCapacity(v)
		post.Width = v
		_, e3 := post.Nonconstrained()
		_, e4 := post.Constrained()
		_, e5 := post.NonconstrainedCapacity(800)
		_, e6 := post.ConstrainedCapacity(800)
		_, e7 := Active(v, 0)
		_, e8 := Passive(v)
		_, e9 := PostedWall(v, 1000, 18e-6, 30*degree, 0, 0)
		_, e10 := Classes()[0].SlidingResistance(v, 100)
		w := blockWall()
		w.StemTop = v
		_, e11 := w.Stability()
		for i, err := range []error{e1, e2, e3, e4, e5, e6, e7, e8, e9, e10, e11} {
			var e *ArgumentError
			if !errors.As(err, &e) || e.Error() == "" {
				t.Errorf("call %d takes %v: %v", i+1, v, err)
			}
		}
		if a := post.TermA(v); a != 0 {
			t.Errorf("term A of %v: %v", v, a)
		}
	}
	light := blockWall()
	light.WallWeight, light.Heel, light.WaterHeight, light.StemHeight, light.StemTop = 10e-6, 0, 1100, 900, 30
	light.Toe = 2000
	var e *ArgumentError
	if _, err := light.Stability(); !errors.As(err, &e) || e.Argument != "height of water" {
		t.Errorf("a wall that floats: %v", err)
	}
	dry := blockWall()
	dry.WaterHeight, dry.SaturatedWeight = 500, 0
	if _, err := dry.Stability(); err == nil {
		t.Error("wet ground without its weight taken")
	}
	bare := blockWall()
	bare.BaseThickness = 0
	if _, err := bare.Stability(); err == nil {
		t.Error("a toe without a base taken")
	}
}

func TestConstrainedNeedsLessDepth(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 1))
	for range 200 {
		p := somePost(r)
		n, err := p.Nonconstrained()
		c, err2 := p.Constrained()
		if err != nil || err2 != nil || c.Depth >= n.Depth {
			t.Fatalf("%+v: %v held at the ground, %v free", p, c.Depth, n.Depth)
		}
	}
}

// Slices of the water's height, each pushing with the weight of what stands
// above its middle.
func TestWaterOnPostAgainstSlices_hydrostatics(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 3))
	for range 100 {
		height, spacing := 1+3000*r.Float64(), 50+3000*r.Float64()
		got, err := WaterOnPost(height, spacing)
		if err != nil {
			t.Fatal(err)
		}
		const slices = 1000
		thick := height / slices
		force, moment := 0.0, 0.0
		for i := range slices {
			up := (float64(i) + 0.5) * thick
			push := WaterWeight * (height - up) * thick * spacing
			force, moment = force+push, moment+push*up
		}
		if math.Abs(got.Force/force-1) > 1e-9 || math.Abs(got.Moment/moment-1) > 1e-5 ||
			math.Abs(got.Force*got.Height/got.Moment-1) > 1e-12 {
			t.Fatalf("%v high: %+v, in slices %v N and %v N·mm", height, got, force, moment)
		}
	}
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), -1, 1e300} {
		_, high := WaterOnPost(v, 1000)
		_, apart := WaterOnPost(1000, v)
		for _, err := range []error{high, apart} {
			if refused := new(ArgumentError); !errors.As(err, &refused) {
				t.Errorf("%v taken: %v", v, err)
			}
		}
	}
}
