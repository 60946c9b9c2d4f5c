package levels

import (
	"math"
	"math/rand/v2"
	"testing"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol*math.Max(1, math.Abs(want))) {
		t.Errorf("%s: got %.12g, want %.12g", what, got, want)
	}
}

func TestPrismoidIsExact(t *testing.T) {
	r := rand.New(rand.NewPCG(15, 16))
	for range 100 {
		a, l := 1e6*r.Float64(), 1e4*r.Float64()
		pyramid, _ := Prismoid(l, a, a/4, 0)
		near(t, "pyramid", pyramid, a*l/3, 1e-12)
		wedge, _ := Prismoid(l, a, a/2, 0)
		near(t, "wedge", wedge, a*l/2, 1e-12)
		// Frustum: areas k², ((k+1)/2)², 1.
		k := 1 + 4*r.Float64()
		frustum, _ := Prismoid(l, a*k*k, a*(k+1)*(k+1)/4, a)
		near(t, "frustum", frustum, a*l*(k*k+k+1)/3, 1e-12)
		batch, err := Prismoidal([]Section{{0, a}, {l / 2, a / 4}, {l, 0}})
		if err != nil {
			t.Fatal(err)
		}
		near(t, "series", batch, a*l/3, 1e-12)
	}
}

func TestSectionsRefused(t *testing.T) {
	for _, s := range [][]Section{nil, {{0, 1}}, {{0, 1}, {10, 1}}, {{0, 1}, {4, 1}, {20, 1}},
		{{0, 1}, {5, -1}, {10, 1}}, {{0, 1}, {-5, 1}, {10, 1}}, {{0, 1}, {5, math.NaN()}, {10, 1}}} {
		if _, err := Prismoidal(s); err == nil {
			t.Errorf("%v accepted", s)
		}
	}
	if _, err := EndArea([]Section{{0, 1}, {math.Inf(1), 1}}); err == nil {
		t.Error("infinite chainage accepted")
	}
}

func TestCutSection(t *testing.T) {
	flat, _ := NewGroundLine([]Point{{Chainage: -3000, Level: 500}, {Chainage: 3000, Level: 500}})
	a, short, err := CutSection(flat, 0, 600, 0, 0, 1)
	if err != nil || short {
		t.Fatal(err, short)
	}
	want, _ := LevelSection(600, 500, 1)
	near(t, "level ground", a, want, 1e-12)
	// Two-level section on ground with cross-slope 1 in r (b, s, d as usual):
	// by the areas of its triangles.
	sloped, _ := NewGroundLine([]Point{{Chainage: -3000, Level: 500 - 600}, {Chainage: 3000, Level: 500 + 600}})
	a, _, _ = CutSection(sloped, -300, 300, 0, 0, 1)
	// Left: level 500+0.2y meets −(y+300): y=−800/1.2; right: y−300 → y=800/0.8.
	l, rr := -800/1.2, 1000.0
	exact := (rr-l)*500 + 0.2*(rr*rr-l*l)/2 - (rr-300)*(rr-300)/2 - (l+300)*(l+300)/2
	near(t, "two-level section", a, exact, 1e-12)
	// Formation half above the ground counts the cut only.
	tilted, _ := NewGroundLine([]Point{{Chainage: 0, Level: -100}, {Chainage: 1000, Level: 100}})
	a, _, _ = CutSection(tilted, 0, 1000, 0, 0, 0)
	near(t, "side-hill", a, 500*100/2, 1e-12)
	if _, short, _ := CutSection(tilted, 0, 1000, -500, 0, 5); !short {
		t.Error("a batter that runs off the readings must say so")
	}
}

func box(x0, x1, y0, y1 float64) []Place { return []Place{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}} }

func TestDifferenceIsExact(t *testing.T) {
	plane := func(x, y float64) float64 { return 300 + 0.1*x - 0.2*y }
	r := rand.New(rand.NewPCG(17, 18))
	points := scatter(r, 60, plane, 0)
	for _, c := range box(-100, 6100, -100, 3100) {
		points = append(points, Point{Chainage: c.Chainage, Offset: c.Offset, Level: plane(c.Chainage, c.Offset)})
	}
	s, err := NewSurface(points)
	if err != nil {
		t.Fatal(err)
	}
	// All cut: prism by the level at the centroid.
	cf, err := s.Difference(box(1000, 4000, 500, 1100), Formation{Z0: -1000})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "prism", cf.Cut, 3000*600*(plane(2500, 800)+1000), 1e-6)
	near(t, "fill", cf.Fill, 0, 1e-6)
	near(t, "area", cf.CutArea, 3000*600, 1e-9)
	if cf.Uncovered != 0 {
		t.Error("uncovered", cf.Uncovered)
	}
	// Through the middle: two equal wedges.
	cf, _ = s.Difference(box(1000, 3000, 0, 1000), Formation{Z0: 300 + 0.1*2000, CrossFall: -0.2})
	wedge := 1000.0 * 1000 * 100 / 2
	near(t, "wedge cut", cf.Cut, wedge, 1e-5)
	near(t, "wedge fill", cf.Fill, wedge, 1e-5)
	near(t, "greatest cut", cf.GreatestCut, 100, 1e-4)
	// Concave outline, either way round.
	ell := []Place{{0, 0}, {2000, 0}, {2000, 500}, {500, 500}, {500, 2000}, {0, 2000}}
	a, _ := s.Difference(ell, Formation{Z0: -1000})
	parts := 0.0
	for _, b := range [][]Place{box(0, 2000, 0, 500), box(0, 500, 500, 2000)} {
		v, _ := s.Difference(b, Formation{Z0: -1000})
		parts += v.Cut
	}
	near(t, "L is its two parts", a.Cut, parts, 1e-9)
	for i, j := 0, len(ell)-1; i < j; i, j = i+1, j-1 {
		ell[i], ell[j] = ell[j], ell[i]
	}
	b, _ := s.Difference(ell, Formation{Z0: -1000})
	near(t, "other way round", b.Cut, a.Cut, 1e-12)
	// Half off the surface.
	off, _ := s.Difference(box(5100, 7100, 0, 1000), Formation{Z0: -1000})
	near(t, "uncovered", off.Uncovered, 1000*1000, 1e-6)
}

func TestDifferencePyramid(t *testing.T) {
	// A pit: four corners at 0, bottom at −300 in the middle; filled to 0.
	points := []Point{{}, {Chainage: 1000}, {Chainage: 1000, Offset: 1000}, {Offset: 1000},
		{Chainage: 500, Offset: 500, Level: -300}}
	s, err := NewSurface(points)
	if err != nil {
		t.Fatal(err)
	}
	cf, _ := s.Difference(box(0, 1000, 0, 1000), Formation{})
	near(t, "pyramid", cf.Fill, 1e6*300/3, 1e-9)
	// Dig to −100: the lower two thirds of the pit are a pyramid of fill.
	cf, _ = s.Difference(box(0, 1000, 0, 1000), Formation{Z0: -100})
	k := 2.0 / 3
	near(t, "pit below", cf.Fill, 1e6*k*k*200/3, 1e-9)
	near(t, "cut against fill", cf.Cut, cf.Fill+1e6*(100-300.0/3), 1e-9)
}

func TestDatumShift(t *testing.T) {
	r := rand.New(rand.NewPCG(19, 20))
	points := scatter(r, 30, func(x, y float64) float64 { return 0 }, 80)
	moved := make([]Point, len(points))
	for i, p := range points {
		p.Level += 100000
		moved[i] = p
	}
	a, err := NewSurface(points)
	if err != nil {
		t.Fatal(err)
	}
	b, _ := NewSurface(moved)
	for range 50 {
		x, y := 4000*r.Float64(), 2000*r.Float64()
		o := box(x, x+1500, y, y+600)
		f := Formation{Z0: 100*r.Float64() - 50, Grade: Grade(0.02 * r.Float64())}
		va, _ := a.Difference(o, f)
		f.Z0 += 100000
		vb, _ := b.Difference(o, f)
		near(t, "cut", vb.Cut, va.Cut, 1e-7)
		near(t, "fill", vb.Fill, va.Fill, 1e-7)
		net, _ := a.Difference(o, Formation{Z0: -1e6})
		all, _ := a.Difference(o, Formation{Z0: f.Z0 - 100000, Grade: f.Grade})
		// Cut − fill does not depend on where the sign changes.
		area := 1500.0*600 - all.Uncovered
		if all.Uncovered == 0 {
			mean := f.Z0 - 100000 + float64(f.Grade)*(x+750)
			near(t, "cut − fill", all.Cut-all.Fill, net.Cut-area*(mean+1e6), 1e-6)
		}
	}
}

// Sections taken closer and closer come to the surface difference.
func TestPrismoidalMeetsSurfaceDifference(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 22))
	for range 20 {
		points := scatter(r, 25, func(x, y float64) float64 { return 600 + 0.05*x }, 60)
		for _, c := range box(-500, 6500, -3500, 6500) {
			points = append(points, Point{Chainage: c.Chainage, Offset: c.Offset, Level: 600 + 0.05*c.Chainage})
		}
		s, err := NewSurface(points)
		if err != nil {
			t.Fatal(err)
		}
		f := Formation{Z0: 100, Grade: 0.05}
		const left, right = 1000, 1600
		for _, batter := range []float64{0, 0.5} {
			want, err := s.DifferenceBattered(1000, 5000, left, right, f, batter, 900)
			if err != nil || !want.Reached {
				t.Fatal(err, want)
			}
			last := math.Inf(1)
			for _, n := range []int{8, 32, 128} {
				var sections []Section
				for i := range 2*n + 1 {
					x := 1000 + 4000*float64(i)/float64(2*n)
					breaks, _ := s.Breaks(x, -400, x, 3400)
					prof, _ := s.Profile(x, -400, x, 3400, breaks, RefuseBeyond)
					var line []Point
					for _, p := range prof {
						line = append(line, Point{Chainage: p.Offset, Level: p.Level})
					}
					g, err := NewGroundLine(line)
					if err != nil {
						t.Fatal(err)
					}
					area, short, err := CutSection(g, left, right, f.At(x, 0), 0, batter)
					if err != nil || short {
						t.Fatal(err, short)
					}
					sections = append(sections, Section{x, area})
				}
				v, err := Prismoidal(sections)
				if err != nil {
					t.Fatal(err)
				}
				e, _ := EndArea(sections)
				// Kinks of the ground between sections are what is left: the error
				// falls with the square of the spacing.
				off := math.Abs(v-want.Cut) / want.Cut
				if limit := 0.5 / float64(n*n); off > math.Max(limit, 1e-6) && off > last {
					t.Errorf("batter %v, %d prismoids: off by %.2g", batter, n, off)
				}
				if n == 128 && (off > 2e-4 || math.Abs(e-want.Cut)/want.Cut > 2e-4) {
					t.Errorf("batter %v: prismoidal off by %.2g, end area %.6g of %.6g", batter, off, e, want.Cut)
				}
				last = off
			}
		}
	}
}

func FuzzSurface(f *testing.F) {
	f.Add([]byte{0, 0, 9, 0, 100, 3, 100, 0, 5, 100, 100, 200}, 100.0, 0.01)
	f.Add([]byte{0, 0, 0, 1, 1, 1, 2, 2, 2}, math.NaN(), math.Inf(1))
	f.Fuzz(func(t *testing.T, data []byte, z0, grade float64) {
		var points []Point
		for i := 0; i+2 < len(data) && i < 120; i += 3 {
			points = append(points, Point{Chainage: float64(data[i]) * 31, Offset: float64(data[i+1]) * 17,
				Level: float64(data[i+2]) * 9, Sigma: 1 + float64(data[i]%7)})
		}
		if p, err := FitPlane(points); err == nil {
			z, u := p.At(z0, grade)
			if finite(z0) && finite(grade) && math.Abs(z0) < 1e9 && math.Abs(grade) < 1e9 &&
				(!finite(z) || !finite(u)) {
				t.Fatal("plane", z, u)
			}
			for _, r := range p.Residuals {
				if !finite(r.Value) || !finite(r.Standardized) || !finite(r.Redundancy) {
					t.Fatalf("%+v", r)
				}
			}
		}
		if g, err := NewGroundLine(points); err == nil {
			if s, err := g.Against(z0, Grade(grade), 3); err == nil {
				for _, x := range s.Stretches {
					if !finite(x.From) || !finite(x.To) || x.To < x.From-1e-9 {
						t.Fatalf("%+v", x)
					}
				}
			}
			if a, _, err := CutSection(g, 0, 1000, z0, Grade(grade), 1); err == nil && (!finite(a) || a < 0) {
				t.Fatal("section", a)
			}
		}
		s, err := NewSurface(points)
		if err != nil {
			return
		}
		o := []Place{{0, 0}, {3000, 200}, {1500, 900}, {2800, 3000}, {-100, 2500}}
		if cf, err := s.Difference(o, Formation{Z0: z0, Grade: Grade(grade)}); err == nil {
			for _, v := range []float64{cf.Cut, cf.Fill, cf.CutArea, cf.FillArea, cf.GreatestCut, cf.Uncovered} {
				if !finite(v) || v < -1e-3 {
					t.Fatalf("%+v", cf)
				}
			}
		}
		if g := s.At(z0, grade, HoldBeyond); g.Known && !finite(g.Level) {
			t.Fatal("level", g)
		}
	})
}

func BenchmarkDifference(b *testing.B) {
	r := rand.New(rand.NewPCG(23, 24))
	s, err := NewSurface(scatter(r, 40, func(x, y float64) float64 { return 0.02 * x }, 20))
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := s.Difference(box(1000, 5000, 500, 1100), Formation{Z0: -200, Grade: 0.02}); err != nil {
			b.Fatal(err)
		}
	}
}

func TestBatteredCutOnLevelGround(t *testing.T) {
	var points []Point
	for _, c := range box(-1000, 6000, -2000, 3000) {
		points = append(points, Point{Chainage: c.Chainage, Offset: c.Offset, Level: 400})
	}
	s, err := NewSurface(points)
	if err != nil {
		t.Fatal(err)
	}
	area, _ := LevelSection(600, 400, 0.5)
	got, err := s.DifferenceBattered(0, 5000, 0, 600, Formation{}, 0.5, 300)
	if err != nil || !got.Reached {
		t.Fatal(err, got)
	}
	near(t, "volume", got.Cut, 5000*area, 1e-9)
	near(t, "plan area", got.CutArea, 5000*(600+2*200), 1e-9)
	if short, _ := s.DifferenceBattered(0, 5000, 0, 600, Formation{}, 0.5, 150); short.Reached {
		t.Error("the ground still stands above the batter at its reach")
	}
	if off, _ := s.DifferenceBattered(0, 5000, 0, 600, Formation{Z0: -3900}, 1, 4100); off.Reached {
		t.Error("the batter runs off the readings")
	}
}
