package slab

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"
)

func someWheel() WheelLoad {
	return WheelLoad{Load: 20000, Radius: 100, Thickness: 150, Modulus: 27000, Poisson: 0.15, Subgrade: 0.04}
}

func responses(t *testing.T, w WheelLoad) map[string]Response {
	t.Helper()
	out := map[string]Response{}
	for name, find := range map[string]func() (Response, error){
		"interior": w.Interior, "edge": w.Edge, "half": w.EdgeHalf, "corner": w.Corner, "square": w.CornerSquare} {
		r, err := find()
		if err != nil {
			t.Fatalf("%s of %+v: %v", name, w, err)
		}
		out[name] = r
	}
	return out
}

func TestThickerStifferGroundSmallerLoad(t *testing.T) {
	base := responses(t, someWheel())
	for name, change := range map[string]func(*WheelLoad){
		"thicker":       func(w *WheelLoad) { w.Thickness *= 1.2 },
		"stiffer earth": func(w *WheelLoad) { w.Subgrade *= 1.5 },
		"lighter":       func(w *WheelLoad) { w.Load *= 0.8 },
	} {
		w := someWheel()
		change(&w)
		for place, r := range responses(t, w) {
			if r.Stress >= base[place].Stress || r.Deflection >= base[place].Deflection {
				t.Errorf("%s, %s: %+v, before %+v", name, place, r, base[place])
			}
		}
	}
	if !(base["interior"].Stress < base["edge"].Stress && base["edge"].Stress < base["half"].Stress) {
		t.Errorf("an edge is worse than the interior, half a wheel worse still: %+v", base)
	}
	if !(base["interior"].Deflection < base["edge"].Deflection && base["edge"].Deflection < base["corner"].Deflection) {
		t.Errorf("a corner sinks most: %+v", base)
	}
}

func TestTooGreatAContactIsRefused(t *testing.T) {
	w := someWheel()
	w.Radius = 900
	_, err := w.Corner()
	var e *ArgumentError
	if !errors.As(err, &e) || e.Argument != "contact radius" {
		t.Fatal(err)
	}
}

func someStrip() Strip { return Strip{300, 200, 27000, 0.04} }

// The free end must carry no moment and no shear, whatever the loads.
func TestFreeEndIsFree(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 200 {
		loads := []StripLoad{{r.Float64() * 3000, 1000 + r.Float64()*9000},
			{100 + r.Float64()*3000, 1000 + r.Float64()*9000}}
		m := func(x float64) float64 {
			got, err := someStrip().AtFromEnd(x, loads)
			if err != nil {
				t.Fatal(err)
			}
			return got.Moment
		}
		if math.Abs(m(0)) > 1e-3 {
			t.Fatalf("end moment %v", m(0))
		}
		if shear := (m(0.02) - m(0)) / 0.02; loads[0].At > 1 && math.Abs(shear) > 2 {
			t.Fatalf("end shear %v under %v", shear, loads)
		}
	}
}

// What the ground pushes back must equal what stands on the strip.
func TestGroundCarriesTheLoad(t *testing.T) {
	s := someStrip()
	loads := []StripLoad{{400, 8000}, {2400, 5000}}
	for _, fromEnd := range []bool{true, false} {
		sum, step := 0.0, 5.0
		for x := -20000.0; x < 30000; x += step {
			at := s.At
			if fromEnd {
				if x < 0 {
					continue
				}
				at = s.AtFromEnd
			}
			r, err := at(x+step/2, loads)
			if err != nil {
				t.Fatal(err)
			}
			sum += r.Pressure * s.Width * step
		}
		if math.Abs(sum-13000) > 13 {
			t.Errorf("from end %v: ground carries %v of 13000 N", fromEnd, sum)
		}
	}
}

// Far from the end, the end does not matter; at the end it does.
func TestEndMattersNearOnly(t *testing.T) {
	s := someStrip()
	far, near := []StripLoad{{12000, 9000}}, []StripLoad{{50, 9000}}
	a, _ := s.At(12000, far)
	b, err := s.AtFromEnd(12000, far)
	if err != nil || math.Abs(a.Moment-b.Moment) > 1e-3*a.Moment {
		t.Fatalf("%+v %+v %v", a, b, err)
	}
	c, err := s.AtFromEnd(50, near)
	if err != nil || c.Deflection < 3*a.Deflection {
		t.Fatalf("%+v %v", c, err)
	}
	sagging, hogging, pressure, err := s.Worst(near, true)
	if err != nil || -hogging.Moment < sagging.Moment || pressure.Pressure < c.Pressure {
		t.Fatalf("an end load hogs: %+v %+v %+v %v", sagging, hogging, pressure, err)
	}
}

func TestSections(t *testing.T) {
	m, err := CrackingMoment(300, 150, 3.1)
	if err != nil || math.Abs(m-3.1*300*150*150/6) > 1e-6 {
		t.Fatalf("%v %v", m, err)
	}
	if f, err := MeanFlexural(25, 200); err != nil || math.Abs(f-1.4*0.3*math.Pow(25, 2.0/3)) > 1e-12 {
		t.Fatalf("%v %v", f, err)
	}
	if f, err := MeanFlexural(25, 900); err != nil || math.Abs(f-0.3*math.Pow(25, 2.0/3)) > 1e-12 {
		t.Fatalf("%v %v", f, err)
	}
	if u, err := Use(-1.5, 3, 2); err != nil || u != 1 {
		t.Fatalf("%v %v", u, err)
	}
	if p, err := (Strip{300, 150, 27000, .04}).SpreadPressure(9000, 100); err != nil ||
		math.Abs(p-9000/(300*400.0)) > 1e-12 {
		t.Fatalf("%v %v", p, err)
	}
	if a, err := ContactRadius(math.Pi*10000*0.5, 0.5); err != nil || math.Abs(a-100) > 1e-9 {
		t.Fatalf("%v %v", a, err)
	}
	if e, err := ModulusACI(25); err != nil || e != 23500 {
		t.Fatalf("%v %v", e, err)
	}
	last := 0.0
	for area := 50.0; area < 3000; area += 50 {
		m, err := Reinforced{300, 120, area, 500, 25}.Moment()
		if err != nil {
			var e *ArgumentError
			if !errors.As(err, &e) || area < e.High {
				t.Fatalf("%v: %v", area, err)
			}
			break
		}
		if m.Nominal <= last || m.Design > m.Nominal || m.TooMuchSteel != (m.Strain < 0.004) {
			t.Fatalf("%v mm²: %+v after %v", area, m, last)
		}
		last = m.Nominal
	}
}

func TestRefusals(t *testing.T) {
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), -1, 1e300} {
		w := someWheel()
		w.Load = v
		_, e1 := w.Interior()
		w = someWheel()
		w.Subgrade = v
		_, e2 := w.Edge()
		_, e3 := Strip{300, v, 27000, .04}.Lambda()
		_, e4 := someStrip().At(0, []StripLoad{{0, v}})
		_, e5 := RuptureACI(v)
		_, e6 := MeanTensile(v)
		_, e7 := Reinforced{300, 120, v, 500, 25}.Moment()
		_, e8 := CrackingMoment(v, 100, 3)
		for i, err := range []error{e1, e2, e3, e4, e5, e6, e7, e8} {
			var e *ArgumentError
			if !errors.As(err, &e) || e.Error() == "" {
				t.Errorf("call %d takes %v: %v", i+1, v, err)
			}
		}
	}
}

func FuzzWheel(f *testing.F) {
	f.Add(20000.0, 100.0, 150.0, 27000.0, 0.15, 0.04)
	f.Fuzz(func(t *testing.T, p, a, h, e, nu, k float64) {
		w := WheelLoad{p, a, h, e, nu, k}
		for i, find := range []func() (Response, error){w.Interior, w.Edge, w.EdgeHalf, w.Corner, w.CornerSquare} {
			r, err := find()
			if err == nil && !(r.Stress > 0 && r.Deflection > 0 && r.Stress < 1e9) {
				t.Fatalf("%d of %+v: %+v", i, w, r)
			}
		}
	})
}

func FuzzStrip(f *testing.F) {
	f.Add(300.0, 200.0, 0.04, 100.0, 5000.0, 400.0)
	f.Fuzz(func(t *testing.T, b, h, k, at, p, x float64) {
		s := Strip{b, h, 27000, k}
		for _, find := range []func(float64, []StripLoad) (StripResponse, error){s.At, s.AtFromEnd} {
			r, err := find(x, []StripLoad{{at, p}})
			if err == nil && (math.IsNaN(r.Moment+r.Deflection) || math.IsInf(r.Moment+r.Deflection, 0)) {
				t.Fatalf("%+v: %+v", s, r)
			}
		}
	})
}

// f'c = 42 MPa has β1 = 0.75; the strain here lies between 0.002 and 0.005.
func TestStrengthReduction(t *testing.T) {
	m, err := Reinforced{Width: 300, Depth: 200, BarArea: 1874, Yield: 500, Cylinder: 42}.Moment()
	block := 1874 * 500 / (0.85 * 42 * 300.0)
	axis := block / 0.75
	strain := 0.003 * (200 - axis) / axis
	if want := 0.65 + (strain-0.002)*0.25/0.003; err != nil || math.Abs(m.Strain-strain) > 1e-12 ||
		math.Abs(m.Phi-want) > 1e-12 || !(m.Phi > 0.65 && m.Phi < 0.9) {
		t.Fatalf("%+v %v, strain %v", m, err, strain)
	}
}
