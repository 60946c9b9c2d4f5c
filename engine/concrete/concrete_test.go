package concrete

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"pegpour/engine/geom"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance*math.Max(1, math.Abs(want))) {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

func must[T any](v T, err error) func(t *testing.T) T {
	return func(t *testing.T) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

// tetrahedra integrates a level top over a plane bottom triangle by triangle:
// the mean of the three corner depths by the area.
func tetrahedra(p geom.Polygon, depth func(geom.Point) float64) float64 {
	var sum float64
	for i := 1; i+1 < len(p); i++ {
		tri := geom.Polygon{p[0], p[i], p[i+1]}
		sum += tri.Area() * (depth(p[0]) + depth(p[i]) + depth(p[i+1])) / 3
	}
	return math.Abs(sum)
}

func TestLevelTop(t *testing.T) {
	pad := geom.Polygon{{X: 0, Y: 0}, {X: 800, Y: 0}, {X: 900, Y: 500}, {X: 400, Y: 700}, {X: 50, Y: 500}}
	bottom := Plane{Level: -150, AlongX: 1.0 / 12, AlongY: -0.02}
	depth := func(q geom.Point) float64 { return 20 - bottom.At(q) }
	near(t, "over a plane", must(LevelTop(pad, 20, bottom))(t), tetrahedra(pad, depth), 1e-12)
	within, covered, err := LevelTopWithin(pad, 20, bottom)
	near(t, "within", within, tetrahedra(pad, depth), 1e-12)
	near(t, "covered", covered, pad.Area(), 1e-12)
	if err != nil {
		t.Error(err)
	}
	// A level bottom is a prism.
	near(t, "level", must(LevelTop(pad, 0, Plane{Level: -100}))(t), must(Prism(pad.Area(), 100))(t), 1e-15)

	// A wedge that runs out: half the plan is dry.
	square := geom.BoxOf(geom.Point{}, geom.Point{X: 1000, Y: 1000}).Polygon()
	slope := Plane{Level: -100, AlongX: 0.2}
	var e *ArgumentError
	if _, err := LevelTop(square, 0, slope); !errors.As(err, &e) || e.Argument != "depth at a corner" ||
		e.Given != -100 {
		t.Error(err)
	}
	v, covered, err := LevelTopWithin(square, 0, slope)
	if err != nil || v != 500*1000*50 || covered != 500*1000 {
		t.Error(v, covered, err)
	}
	if v, covered, err := LevelTopWithin(square, -500, slope); err != nil || v != 0 || covered != 0 {
		t.Error(v, covered, err)
	}
}

// Against a column-by-column sum, on random outlines and planes, with the wedge
// that runs out too.
func TestLevelTopWithinAgainstColumns(t *testing.T) {
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 1))
		var points []geom.Point
		for range 6 {
			points = append(points, geom.Point{X: 1000 * r.Float64(), Y: 1000 * r.Float64()})
		}
		p := geom.Hull(points)
		bottom := Plane{Level: -300 * r.Float64(), AlongX: r.Float64() - 0.5, AlongY: r.Float64() - 0.5}
		got, _, err := LevelTopWithin(p, 0, bottom)
		if err != nil {
			t.Fatal(err)
		}
		const cells = 250
		var sum float64
		for i := range cells {
			for k := range cells {
				q := geom.Point{X: (float64(i) + 0.5) * 1000 / cells, Y: (float64(k) + 0.5) * 1000 / cells}
				if p.Contains(q) {
					sum += math.Max(0, -bottom.At(q)) * (1000 / cells) * (1000 / cells)
				}
			}
		}
		// Columns of 4 mm: what the outline cuts is known to half a column.
		if slack := p.Perimeter() * 4 * 800 / 8; math.Abs(got-sum) > slack {
			t.Errorf("seed %d: %v, by columns %v, slack %v", seed, got, sum, slack)
		}
	}
}

func TestCrown(t *testing.T) {
	near(t, "half circle", must(CircularCrown(2000, 1000))(t), math.Pi*1e6/2, 1e-12)
	for _, ratio := range []float64{1e-6, 1e-4, 0.005, 0.01, 0.0125, 0.02, 0.05} {
		h := 3000 * ratio
		round, flat := must(CircularCrown(3000, h))(t), must(ParabolicCrown(3000, h))(t)
		if d := round/flat - 1; !(d >= -1e-12 && d < 0.002) {
			t.Errorf("at h/w %v the arc is %v over the parabola", ratio, d)
		}
		// Next term of the series: 4/5·(h/w)².
		near(t, "series", round/flat, 1+0.8*ratio*ratio, 4e-6)
	}
	if v := must(CircularCrown(3000, 0))(t); v != 0 {
		t.Error(v)
	}
	crown := must(ParabolicCrown(250, 15))(t)
	near(t, "strip", must(CrownedStrip(4400, 250, 100, crown))(t), 4400*(25000+2500), 1e-15)
}

func TestPostHole(t *testing.T) {
	round := must(RoundHole(300))(t)
	near(t, "round", must(PostHole(round, 100, 500))(t), math.Pi*150*150*400, 1e-15)
	if v := must(PostHole(round, 500, 300))(t); v != 0 {
		t.Error("a hole within the footing adds", v)
	}
}

func TestCounts(t *testing.T) {
	if n := must(Bags(3*0.009e9, 0.009e9))(t); n != 3 {
		t.Error("exactly three bags are", n)
	}
	if n := must(Bags(0.0271e9, 0.009e9))(t); n != 4 {
		t.Error(n)
	}
	if n := must(Bags(0, 0.009e9))(t); n != 0 {
		t.Error(n)
	}
	if n := must(Batches(0.25e9, 0.08e9))(t); n != 4 {
		t.Error(n)
	}
	near(t, "order", must(Order(0.132e9, 0.1))(t), 0.1452e9, 1e-15)
	// The sum of exact thirds must not ask for one more.
	if n := must(Batches(0.1e9+0.2e9, 0.1e9))(t); n != 3 {
		t.Error(n)
	}
	if n := must(Loads(1e9, 1.5e9, 1800, 750))(t); n != 3 { // the mass governs
		t.Error(n)
	}
	if n := must(Loads(4e9, 1.5e9, 1800, 750))(t); n != 3 { // the volume governs
		t.Error(n)
	}
}

func TestReadyMix(t *testing.T) {
	for _, c := range []struct {
		order, minimum, step float64
		want                 Delivery
	}{
		{0.45e9, 1e9, 0.2e9, Delivery{1e9, 0.55e9, true}},
		{1e9, 1e9, 0.2e9, Delivery{1e9, 0, false}},
		{1.3e9, 1e9, 0.2e9, Delivery{1.4e9, 0.1e9, false}},
		{1.3e9, 0, 0, Delivery{1.3e9, 0, false}},
		{0, 1e9, 0.2e9, Delivery{}},
	} {
		d := must(ReadyMix(c.order, c.minimum, c.step))(t)
		near(t, "billed", d.Billed, c.want.Billed, 1e-12)
		near(t, "over", d.Over, c.want.Over, 1e-6)
		if d.Short != c.want.Short {
			t.Errorf("%+v: %+v", c, d)
		}
	}
}

// From TruckFrom upwards the truck costs no more than bags, below it more.
func TestCompareSupply(t *testing.T) {
	for seed := range uint64(200) {
		r := rand.New(rand.NewPCG(seed, 2))
		yield := 0.001e9 // fine bags, so that the rounding is small
		perBag, perMetre, charge, minimum := r.Float64(), 800*r.Float64(), 200*r.Float64(), 2e9*r.Float64()
		at := func(order float64) Supply {
			return must(CompareSupply(order, yield, perBag, must(ReadyMix(order, minimum, 0))(t), perMetre, charge,
				minimum))(t)
		}
		from := at(1e9).TruckFrom
		if math.IsInf(from, 1) {
			if s := at(1e12); s.ByTruck < s.ByBags*0.999 {
				t.Errorf("seed %d: never, yet %+v", seed, s)
			}
			continue
		}
		if s := at(math.Min(from*1.02, 1e13)); s.ByTruck > s.ByBags+perBag {
			t.Errorf("seed %d above %v: %+v", seed, from, s)
		}
		if s := at(from * 0.98); s.ByTruck < s.ByBags-perBag {
			t.Errorf("seed %d below %v: %+v", seed, from, s)
		}
	}
}

func TestMixByCement(t *testing.T) {
	m := must(MixByCement(0.5e9, 320, 0.5))(t)
	if m.Cement != 160 || m.Water != 80 || m.Sand != 0 {
		t.Error(m)
	}
	if w := must(WaterFor(316.8, 0.45))(t); w != 316.8*0.45 {
		t.Error(w)
	}
}

func TestLapRun(t *testing.T) {
	for _, c := range []struct {
		l, cover, stock, lap float64
		want                 []float64
	}{
		{6100, 50, 6000, 500, []float64{6000}},
		{6101, 50, 6000, 500, []float64{6000, 501}},
		{11600, 50, 6000, 500, []float64{6000, 6000}},
		{14000, 50, 6000, 500, []float64{6000, 6000, 2900}},
		{4400, 50, 6000, 500, []float64{4300}},
	} {
		r := must(LapRun(c.l, c.cover, c.stock, c.lap))(t)
		if len(r.Pieces) != len(c.want) || r.Laps != len(c.want)-1 {
			t.Errorf("%+v: %+v", c, r)
			continue
		}
		for i, p := range c.want {
			if r.Pieces[i] != p {
				t.Errorf("%+v: %+v", c, r)
			}
		}
	}
	// Pieces less their laps make the run; none longer than stock, none a scrap.
	for seed := range uint64(500) {
		r := rand.New(rand.NewPCG(seed, 3))
		l, stock, lap := 300+30000*r.Float64(), 2000+5000*r.Float64(), 900*r.Float64()
		run := must(LapRun(l, 50, stock, lap))(t)
		near(t, "run", run.Cut-float64(run.Laps)*lap, l-100, 1e-12)
		for _, p := range run.Pieces {
			if p > stock || len(run.Pieces) > 1 && p < lap-1e-6 {
				t.Errorf("seed %d: %+v of %v", seed, run, stock)
			}
		}
	}
}

func TestMeshAndBars(t *testing.T) {
	w, ok, err := TrenchMesh(350, TrenchMeshRoom/2, 200, 300, 400, 250)
	if w != 250 || !ok || err != nil {
		t.Error(w, ok, err)
	}
	if w, ok, err := TrenchMesh(250, 50, 200, 300); w != 0 && !ok || err != nil {
		t.Error(w, ok, err)
	}
	if _, ok, err := TrenchMesh(200, 50, 200); ok || err != nil {
		t.Error(ok, err)
	}
	if n := must(CrossBars(4400, 50, 300))(t); n != 16 { // 4300/300 = 14.3: 15 spaces
		t.Error(n)
	}
	if n := must(CrossBars(1000, 50, 300))(t); n != 4 {
		t.Error(n)
	}
	if a := must(Formwork(9200, 4400, 100))(t); a != 480000 {
		t.Error(a)
	}
	for _, g := range Grounds() {
		if loose := must(Loose(1e9, g.Swell))(t); loose <= 1e9 || g.Name == "" {
			t.Error(g)
		}
	}
}

// Every function refuses each of its arguments when it is no number, infinite or
// out of range, names it, and gives nothing.
func TestRefusals(t *testing.T) {
	square := geom.BoxOf(geom.Point{}, geom.Point{X: 1000, Y: 1000}).Polygon()
	one := func(v float64, err error) (bool, error) { return v == 0, err }
	whole := func(v int, err error) (bool, error) { return v == 0, err }
	for name, f := range map[string]struct {
		good []float64
		call func(a []float64) (bool, error)
	}{
		"Prism": {[]float64{1e6, 100}, func(a []float64) (bool, error) { return one(Prism(a[0], a[1])) }},
		"LevelTop": {[]float64{0, -100, 0.01, 0.02}, func(a []float64) (bool, error) {
			return one(LevelTop(square, a[0], Plane{a[1], a[2], a[3]}))
		}},
		"Within": {[]float64{0, -100, 0.01, 0.02}, func(a []float64) (bool, error) {
			v, c, err := LevelTopWithin(square, a[0], Plane{a[1], a[2], a[3]})
			return v == 0 && c == 0, err
		}},
		"Parabolic": {[]float64{250, 15}, func(a []float64) (bool, error) {
			return one(ParabolicCrown(a[0], a[1]))
		}},
		"Circular": {[]float64{250, 15}, func(a []float64) (bool, error) { return one(CircularCrown(a[0], a[1])) }},
		"CrownedStrip": {[]float64{4400, 250, 100, 2500}, func(a []float64) (bool, error) {
			return one(CrownedStrip(a[0], a[1], a[2], a[3]))
		}},
		"RoundHole":  {[]float64{300}, func(a []float64) (bool, error) { return one(RoundHole(a[0])) }},
		"SquareHole": {[]float64{300, 300}, func(a []float64) (bool, error) { return one(SquareHole(a[0], a[1])) }},
		"PostHole": {[]float64{90000, 100, 500}, func(a []float64) (bool, error) {
			return one(PostHole(a[0], a[1], a[2]))
		}},
		"Order":    {[]float64{1e9, 0.1}, func(a []float64) (bool, error) { return one(Order(a[0], a[1])) }},
		"BagYield": {[]float64{20, 2160}, func(a []float64) (bool, error) { return one(BagYield(a[0], a[1])) }},
		"Bags":     {[]float64{1e9, 9e6}, func(a []float64) (bool, error) { return whole(Bags(a[0], a[1])) }},
		"Batches":  {[]float64{1e9, 9e7}, func(a []float64) (bool, error) { return whole(Batches(a[0], a[1])) }},
		"ReadyMix": {[]float64{1e9, 1e9, 2e8}, func(a []float64) (bool, error) {
			d, err := ReadyMix(a[0], a[1], a[2])
			return d == Delivery{}, err
		}},
		"CompareSupply": {[]float64{1e9, 9e6, 9, 1e9, 300, 100, 1e9}, func(a []float64) (bool, error) {
			s, err := CompareSupply(a[0], a[1], a[2], Delivery{Billed: a[3]}, a[4], a[5], a[6])
			return s == Supply{}, err
		}},
		"MixByVolume": {[]float64{1e9, 1, 2, 4, 1.54, 1440}, func(a []float64) (bool, error) {
			m, err := MixByVolume(a[0], Proportions{a[1], a[2], a[3]}, a[4], a[5])
			return m == Materials{}, err
		}},
		"MixByCement": {[]float64{1e9, 320, 0.5}, func(a []float64) (bool, error) {
			m, err := MixByCement(a[0], a[1], a[2])
			return m == Materials{}, err
		}},
		"WaterFor":      {[]float64{300, 0.5}, func(a []float64) (bool, error) { return one(WaterFor(a[0], a[1])) }},
		"CementBags":    {[]float64{300, 20}, func(a []float64) (bool, error) { return whole(CementBags(a[0], a[1])) }},
		"BarMass":       {[]float64{12}, func(a []float64) (bool, error) { return one(BarMass(a[0])) }},
		"BarMassByRule": {[]float64{12}, func(a []float64) (bool, error) { return one(BarMassByRule(a[0])) }},
		"LapRun": {[]float64{4400, 50, 6000, 500}, func(a []float64) (bool, error) {
			r, err := LapRun(a[0], a[1], a[2], a[3])
			return r.Cut == 0 && r.Pieces == nil, err
		}},
		"TrenchMesh": {[]float64{300, 50, 200}, func(a []float64) (bool, error) {
			w, ok, err := TrenchMesh(a[0], a[1], a[2])
			return w == 0 && !ok, err
		}},
		"CrossBars": {[]float64{4400, 50, 300}, func(a []float64) (bool, error) {
			return whole(CrossBars(a[0], a[1], a[2]))
		}},
		"Formwork": {[]float64{9200, 4400, 100}, func(a []float64) (bool, error) {
			return one(Formwork(a[0], a[1], a[2]))
		}},
		"Loose": {[]float64{1e9, 0.25}, func(a []float64) (bool, error) { return one(Loose(a[0], a[1])) }},
		"Loads": {[]float64{1e9, 1e9, 1800, 750}, func(a []float64) (bool, error) {
			return whole(Loads(a[0], a[1], a[2], a[3]))
		}},
	} {
		if zero, err := f.call(f.good); err != nil || zero {
			t.Errorf("%s refuses good arguments: %v", name, err)
		}
		for i := range f.good {
			for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1e300, -1e8} {
				args := append([]float64(nil), f.good...)
				args[i] = bad
				zero, err := f.call(args)
				var e *ArgumentError
				if !errors.As(err, &e) || !zero {
					t.Errorf("%s takes %v as argument %d (%v)", name, bad, i, err)
				} else if e.Argument == "" || e.Error() == "" || e.Given == e.Given && e.Given >= e.Low &&
					e.Given <= e.High {
					t.Errorf("%s argument %d: incomplete refusal %+v", name, i, e)
				}
			}
		}
	}
	if _, err := LevelTop(geom.Polygon{{X: 0, Y: 0}, {X: 10, Y: 10}, {X: 10, Y: 0}, {X: 0, Y: 10}}, 0,
		Plane{Level: -1}); !errors.Is(err, geom.ErrPolygon) {
		t.Error(err)
	}
	if _, err := LapRun(90, 50, 6000, 500); err == nil {
		t.Error("a run of less than nothing")
	}
	want := "diameter of the bar: given 100 mm, allowed 3 mm to 60 mm"
	if _, err := BarMass(100); err == nil || err.Error() != want {
		t.Error(err)
	}
}

func FuzzVolumes(f *testing.F) {
	f.Add(0.0, -100.0, 0.1, 0.02, 250.0, 15.0, 4400.0, 6000.0)
	f.Add(5.0, -1e5, -1.0, 1.0, 1e-3, 1e-9, 1e6, 10.0)
	f.Fuzz(func(t *testing.T, top, level, gx, gy, w, h, l, stock float64) {
		square := geom.BoxOf(geom.Point{}, geom.Point{X: 1000, Y: 500}).Polygon()
		sound := func(what string, v float64, err error) {
			if math.IsNaN(v) || math.IsInf(v, 0) || v < 0 || err != nil && v != 0 {
				t.Fatalf("%s: %v, %v", what, v, err)
			}
		}
		whole, err := LevelTop(square, top, Plane{level, gx, gy})
		sound("LevelTop", whole, err)
		part, covered, err2 := LevelTopWithin(square, top, Plane{level, gx, gy})
		sound("LevelTopWithin", part, err2)
		if covered > 500000*(1+1e-9) || err == nil && math.Abs(part-whole) > 1e-9*whole {
			t.Fatalf("within %v of %v, covered %v", part, whole, covered)
		}
		round, err := CircularCrown(w, h)
		sound("CircularCrown", round, err)
		if err == nil && (round > w*h*(1+1e-9) || round < w*h/2*(1-1e-9)) {
			t.Fatalf("a crown of %v in a box of %v", round, w*h)
		}
		run, err := LapRun(l, 50, stock, 500)
		sound("LapRun", run.Cut, err)
	})
}
