package steel

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func randomBar(r *rand.Rand) (Bar, []Wheel) {
	b := Bar{Elasticity: Elasticity, Inertia: 1e5, Uniform: r.Float64()}
	for range 1 + r.IntN(6) {
		b.Spans = append(b.Spans, 400+r.Float64()*2000)
	}
	var wheels []Wheel
	for range 1 + r.IntN(3) {
		wheels = append(wheels, Wheel{r.Float64() * 3000, 500 + r.Float64()*4000})
	}
	return b, wheels
}

func TestContinuousNeverWorseThanSimple(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 150 {
		b, wheels := randomBar(r)
		simple, err := b.Moving(wheels)
		if err != nil {
			t.Fatal(err)
		}
		b.Continuous = true
		through, err := b.Moving(wheels)
		if err != nil {
			t.Fatal(err)
		}
		if through.Sagging > simple.Sagging*(1+1e-9) || through.Deflection > simple.Deflection*(1+1e-9) {
			t.Fatalf("%+v %+v: continuous %+v, simple %+v", b, wheels, through, simple)
		}
		if simple.Hogging != 0 || simple.Uplift > 1e-6 {
			t.Fatalf("a simple span hogs or lifts: %+v", simple)
		}
	}
}

func TestReactionsBalanceLoads(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 200 {
		b, _ := randomBar(r)
		b.Continuous = r.IntN(2) == 0
		var loads []PointLoad
		force, moment := b.Uniform*b.Length(), b.Uniform*b.Length()*b.Length()/2
		for range r.IntN(5) {
			p := PointLoad{r.Float64() * b.Length(), r.Float64() * 5000}
			loads = append(loads, p)
			force += p.Force
			moment += p.Force * p.At
		}
		got, err := b.Under(loads)
		if err != nil {
			t.Fatal(err)
		}
		at := 0.0
		for i, v := range got.Reactions {
			force -= v
			moment -= v * at
			if i < len(b.Spans) {
				at += b.Spans[i]
			}
		}
		if math.Abs(force) > 1e-6 || math.Abs(moment) > 1e-3 {
			t.Fatalf("%+v: %v N and %v N·mm left over", b, force, moment)
		}
	}
}

// The moving search must meet a search ten times as fine.
func TestMovingMeetsAFineSearch(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 15 {
		b, wheels := randomBar(r)
		b.Continuous = true
		got, err := b.Moving(wheels)
		if err != nil {
			t.Fatal(err)
		}
		run := trainRun{line: newLine(b), wheels: wheels, loads: make([]PointLoad, len(wheels))}
		sagging, hogging, deflection := 0.0, 0.0, 0.0
		for at := 0.0; at <= b.Length()+3000; at += 4 {
			run.stand(at)
			m, _, h, _ := run.line.extremes()
			y, _ := run.line.deflectionPeak()
			sagging, hogging, deflection = math.Max(sagging, m), math.Max(hogging, h), math.Max(deflection, y)
		}
		for _, c := range [][2]float64{{got.Sagging, sagging}, {got.Hogging, hogging}, {got.Deflection, deflection}} {
			if c[0] < c[1]*(1-5e-4) || c[0] > c[1]*(1+1e-2)+1 {
				t.Fatalf("%+v %+v: found %v, fine search %v", b, wheels, c[0], c[1])
			}
		}
	}
}

func TestSpanOrderReversed(t *testing.T) {
	b := Bar{Spans: []float64{700, 1200, 900}, Elasticity: Elasticity, Inertia: 1e5, Uniform: .2, Continuous: true}
	one, err := b.Under([]PointLoad{{300, 2000}, {1500, 900}})
	if err != nil {
		t.Fatal(err)
	}
	slices.Reverse(b.Spans)
	two, err := b.Under([]PointLoad{{2800 - 300, 2000}, {2800 - 1500, 900}})
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(one.Sagging-two.Sagging) > 1e-6 || math.Abs(one.Deflection-two.Deflection) > 1e-7 ||
		math.Abs(one.Hogging-two.Hogging) > 1e-6 {
		t.Fatalf("%+v seen from the other end is %+v", one, two)
	}
}

func TestPostUseGrowsWithEachLoad(t *testing.T) {
	s, err := Hollow(60, 60, 3)
	if err != nil {
		t.Fatal(err)
	}
	use := func(n, v, w, length float64) float64 {
		r, err := Post{Section: s, Length: length, K: 2, Elasticity: Elasticity, Yield: 235, Safety: 1.67, Axial: n,
			Vertical: v, Sideways: w}.Check()
		if err != nil {
			t.Fatal(err)
		}
		if math.IsNaN(r.Utilisation) || math.IsInf(r.Utilisation, 0) {
			t.Fatalf("use %v", r.Utilisation)
		}
		if r.Unstable && r.Utilisation <= 1 {
			t.Fatalf("unstable but use %v", r.Utilisation)
		}
		return r.Utilisation
	}
	r := rand.New(rand.NewPCG(7, 8))
	for range 500 {
		n, v, w, l := r.Float64()*2000, r.Float64()*1e6, r.Float64()*1e6, 300+r.Float64()*2000
		base := use(n, v, w, l)
		if use(n*1.1, v, w, l) <= base || use(n, v*1.1, w, l) <= base || use(n, v, w*1.1, l) <= base ||
			use(n, v, w, l*1.1) <= base {
			t.Fatalf("not growing at %v %v %v %v", n, v, w, l)
		}
	}
	use(1e7, 0, 0, 5000) // far beyond buckling: finite, over 1
}

func TestBiaxial(t *testing.T) {
	s, err := Flat(100, 10)
	if err != nil {
		t.Fatal(err)
	}
	// W = 10·100²/6 and 100·10²/6
	got, err := BiaxialUse(s, 1e6, -1e5, 250, 1.5)
	if want := (60.0 + 60.0) / (250 / 1.5); err != nil || math.Abs(got-want) > 1e-9 {
		t.Fatalf("use %v (%v), want %v", got, err, want)
	}
	flat := s.Turned()
	if flat.InertiaVertical != s.InertiaSideways || flat.Height != 10 ||
		math.Abs(flat.ModulusVertical-100*100/6.0) > 1e-9 {
		t.Fatalf("turned: %+v", flat)
	}
}

func TestStock(t *testing.T) {
	all := Stock()
	seen := map[string]bool{}
	for _, s := range all {
		if seen[s.Name] {
			t.Errorf("%s twice", s.Name)
		}
		seen[s.Name] = true
		if s.Area <= 0 || s.InertiaVertical <= 0 || s.InertiaLeast <= 0 ||
			s.InertiaLeast > math.Min(s.InertiaVertical, s.InertiaSideways)*(1+1e-12) {
			t.Errorf("%s: %+v", s.Name, s)
		}
		if found, ok := Find(s.Name); !ok || found != s {
			t.Errorf("%s not found again", s.Name)
		}
	}
	want := len(flatStock) + len(roundStock) + len(angleStock)
	for _, h := range hollowStock {
		want += len(h.walls)
	}
	if len(all) != want {
		t.Errorf("%d sections, %d listed: one cannot be computed", len(all), want)
	}
	if _, ok := Find("shs 50×50×3"); !ok {
		t.Error("letter case, blanks and the sign of multiplication should not matter")
	}
	if _, ok := Find("SHS 51x51x3"); ok {
		t.Error("found a section that is not stocked")
	}
}

// A thin-walled hollow section must approach the closed forms of a sharp box.
func TestHollowAgainstSharpBox(t *testing.T) {
	s, err := Hollow(200, 100, 0.5)
	if err != nil {
		t.Fatal(err)
	}
	sharp := (100*200*200*200 - 99*199*199*199.0) / 12
	if math.Abs(s.InertiaVertical-sharp) > 0.005*sharp || s.InertiaVertical >= sharp {
		t.Fatalf("%v against %v", s.InertiaVertical, sharp)
	}
}

func TestRefusals(t *testing.T) {
	bad := []float64{math.NaN(), math.Inf(1), math.Inf(-1), -1, 1e300}
	for _, v := range bad {
		_, e1 := Hollow(v, 50, 3)
		_, e2 := Hollow(50, 50, v)
		_, e3 := Flat(10, v)
		_, e4 := Pipe(v, 2)
		_, e5 := Angle(50, 50, 5, v)
		_, e6 := Bar{Spans: []float64{v}, Elasticity: Elasticity, Inertia: 1e5}.Under(nil)
		_, e7 := Bar{Spans: []float64{1000}, Elasticity: Elasticity, Inertia: 1e5}.Moving([]Wheel{{0, v}})
		_, e8 := EulerLoad(Elasticity, 1e5, v, 1)
		_, e9 := NestStock([]Piece{{"a", v, 1}}, []float64{6000}, 3)
		_, e10 := NestStock([]Piece{{"a", 10, 1}}, []float64{6000}, v)
		_, e11 := BasePlate{Width: v, Depth: 200, Anchors: []Anchor{{0, 0}}, StressArea: 100, ModularRatio: 8}.Demand()
		_, _, e12 := Cantilever(v, 100, Elasticity, 1e5)
		for i, err := range []error{e1, e2, e3, e4, e5, e6, e7, e8, e9, e10, e11, e12} {
			var argument *ArgumentError
			if !errors.As(err, &argument) || argument.Argument == "" || argument.Error() == "" {
				t.Errorf("call %d takes %v: %v", i+1, v, err)
			}
		}
	}
	if _, err := Hollow(20, 20, 6); err == nil {
		t.Error("corners that do not fit were taken")
	}
}

func BenchmarkMoving(b *testing.B) {
	bar := Bar{Spans: []float64{900, 900, 900, 900, 900}, Elasticity: Elasticity, Inertia: 1e5, Continuous: true}
	for b.Loop() {
		if _, err := bar.Moving([]Wheel{{0, 3000}, {2500, 3000}}); err != nil {
			b.Fatal(err)
		}
	}
}

func FuzzMoving(f *testing.F) {
	f.Add(900.0, 1200.0, 3000.0, 500.0, 0.1, true)
	f.Add(10.0, 50000.0, 1e7, 0.0, 0.0, true)
	f.Fuzz(func(t *testing.T, a, b, p, behind, w float64, continuous bool) {
		bar := Bar{Spans: []float64{a, b, a}, Elasticity: Elasticity, Inertia: 1e5, Uniform: w, Continuous: continuous}
		r, err := bar.Moving([]Wheel{{0, p}, {behind, p}})
		if err != nil {
			return
		}
		for _, v := range append(r.Reactions, r.Sagging, r.Hogging, r.Deflection, r.Uplift) {
			if math.IsNaN(v) || math.IsInf(v, 0) || v < 0 {
				t.Fatalf("%+v", r)
			}
		}
	})
}

// EN 10219-2 annex B, memory: the radii step at 6 and at 10 mm.
func TestCornerRadii_EN_10219_memory(t *testing.T) {
	for thickness, want := range map[float64][2]float64{2: {4, 2}, 6: {12, 6}, 8: {20, 12}, 10: {25, 15},
		12: {36, 24}} {
		outer, inner := CornerRadii(thickness)
		assert.Equal(t, want, [2]float64{outer, inner}, "%v mm", thickness)
	}
}

// A flat of 60 × 10 by hand: W = 60·10²/6 = 1000 and 10·60²/6 = 6000 mm³.
func TestBiaxialStressByHand(t *testing.T) {
	flat, err := Flat(60, 10)
	require.NoError(t, err)
	low, high := flat.ModulusVertical, flat.ModulusSideways
	stress, err := BiaxialStress(flat, 50*low, -20*high)
	require.NoError(t, err)
	assert.InDelta(t, 70, stress, 1e-9)
	assert.InDelta(t, 7000, low+high, 1e-6)
	_, err = BiaxialStress(flat, math.NaN(), 0)
	assert.Error(t, err)
}

// TestUnloadedSagBounds: no span without point loads sags more than it is said
// to at most, nor does stationPeak, which passes by spans on the strength of it,
// miss the greatest.
func TestUnloadedSagBounds(t *testing.T) {
	unloaded, passed := 0, 0
	for seed := range uint64(300) {
		r := rand.New(rand.NewPCG(seed, 9))
		bar, wheels := randomBar(r)
		bar.Continuous = seed%4 > 0
		if bar.check() != nil {
			continue
		}
		run := trainRun{line: newLine(bar), wheels: wheels, loads: make([]PointLoad, len(wheels))}
		l := run.line
		run.stand(r.Float64() * l.starts[len(bar.Spans)])
		for i, span := range bar.Spans {
			if len(l.inSpan[i]) > 0 {
				continue
			}
			unloaded++
			most := l.unloadedSag(i)
			for k := range 101 {
				if y := l.sag(i, span*float64(k)/100); y > most {
					t.Fatal(seed, i, k, y, most)
				}
			}
		}
		all, at := l.stationPeak(0)
		for _, least := range []float64{all / 2, all * 0.999} {
			if y, x := l.stationPeak(least); y != all || x != at {
				t.Fatal(seed, least, y, all)
			}
			passed++
		}
	}
	if unloaded < 100 || passed < 100 {
		t.Error("only", unloaded, "spans", passed, "peaks")
	}
}
