package levels

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

func scatter(r *rand.Rand, n int, z func(x, y float64) float64, sigma float64) []Point {
	out := make([]Point, n)
	for i := range out {
		x, y := 6000*r.Float64(), 3000*r.Float64()
		out[i] = Point{Chainage: x, Offset: y, Level: z(x, y) + sigma*r.NormFloat64(), Sigma: math.Max(sigma, 1)}
	}
	return out
}

func TestPlaneFallsThatCannotBeKnown(t *testing.T) {
	at := func(xy ...float64) (out []Point) {
		for i := 0; i < len(xy); i += 2 {
			out = append(out, Point{Chainage: xy[i], Offset: xy[i+1], Sigma: 1})
		}
		return out
	}
	for _, c := range []struct {
		name   string
		points []Point
		want   Unknowable
	}{
		{"none", nil, NoLevel},
		{"one", at(1, 1), NoFall},
		{"all in a spot", at(0, 0, 1, 1, 2, 0), NoFall},
		{"two along", at(0, 0, 3000, 0), NoCrossFall},
		{"along the fence", at(0, 300, 1000, 300, 3000, 301), NoCrossFall},
		{"across", at(500, 0, 500, 400, 500, 900), NoGrade},
		{"askew", at(0, 0, 1000, 1000, 2000, 2000), NoSquareFall},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := FitPlane(c.points)
			var d *DegenerateError
			if !errors.As(err, &d) || d.CannotKnow != c.want {
				t.Errorf("got %v, want %v", err, c.want)
			}
			if len(c.points) > 0 {
				if _, err := NewSurface(c.points); err == nil && c.name != "all in a spot" &&
					c.name != "along the fence" {
					t.Error("surface through points in line")
				}
			}
		})
	}
	if _, err := FitPlane([]Point{{Sigma: 0}}); err == nil {
		t.Error("no uncertainty accepted")
	}
	if _, err := FitLine(at(5, 0, 5, 900)); err == nil {
		t.Error("line through one chainage")
	}
}

func TestPlaneNamesTheSuspiciousReading(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	z := func(x, y float64) float64 { return 10000 + 0.02*x - 0.015*y }
	hit := 0
	const trials = 200
	for range trials {
		points := scatter(r, 9, z, 2)
		bad := r.IntN(len(points))
		points[bad].Level += 40
		p, err := FitPlane(points)
		if err != nil {
			t.Fatal(err)
		}
		if slices.Equal(p.Suspects, []int{bad}) {
			hit++
		}
	}
	if hit < trials*9/10 {
		t.Errorf("named %d of %d misread staffs of 20σ", hit, trials)
	}
	// With one redundant point nobody can say which is wrong.
	four := []Point{{Sigma: 1, Level: 50}, {Chainage: 1000, Sigma: 1}, {Chainage: 1000, Offset: 1000, Sigma: 1},
		{Offset: 1000, Sigma: 1}}
	p, err := FitPlane(four)
	if err != nil || len(p.Suspects) != 4 {
		t.Errorf("suspects %v %v", p.Suspects, err)
	}
	three, err := FitPlane(four[:3])
	if err != nil || three.Residuals[0].Checked || three.DegreesOfFreedom != 0 {
		t.Errorf("three points have no check: %+v %v", three, err)
	}
}

func TestPlaneCovarianceHolds(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	z := func(x, y float64) float64 { return 1000 + 0.02*x - 0.015*y }
	var inGrade, inLevel, trials int
	for range 2000 {
		points := scatter(r, 8, z, 3)
		p, err := FitPlane(points)
		if err != nil {
			continue
		}
		trials++
		if math.Abs(float64(p.Grade)-0.02) < 1.95996*math.Sqrt(p.Covariance[1][1]) {
			inGrade++
		}
		level, sigma := p.At(9000, -2000)
		if math.Abs(level-z(9000, -2000)) < 1.95996*sigma {
			inLevel++
		}
	}
	for _, n := range []int{inGrade, inLevel} {
		// 95 % of 2000 with standard deviation 0.5 %: four of them either way.
		if share := float64(n) / float64(trials); math.Abs(share-0.95) > 0.02 {
			t.Errorf("95 %% interval held %.3f", share)
		}
	}
}

func TestPlaneShiftInvariance(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	points := scatter(r, 10, func(x, y float64) float64 { return 0.01*x + 0.02*y }, 5)
	a, err := FitPlane(points)
	if err != nil {
		t.Fatal(err)
	}
	moved := slices.Clone(points)
	for i := range moved {
		moved[i].Level += 1e6
		moved[i].Chainage += 5e4
		moved[i].Offset -= 3e4
	}
	b, err := FitPlane(moved)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(float64(a.Grade-b.Grade)) > 1e-12 || math.Abs(float64(a.CrossFall-b.CrossFall)) > 1e-12 {
		t.Errorf("falls moved: %v %v", a, b)
	}
	za, sa := a.At(100, 200)
	zb, sb := b.At(50100, -29800)
	if math.Abs(za+1e6-zb) > 1e-6 || math.Abs(sa-sb) > 1e-9 {
		t.Errorf("level %v ± %v against %v ± %v", za, sa, zb, sb)
	}
}

func TestSurfaceCoversItsHull(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 10))
	for trial := range 200 {
		n := 3 + r.IntN(60)
		points := scatter(r, n, func(x, y float64) float64 { return x }, 0)
		if trial%3 == 0 { // a grid, full of points in line and on circles
			for i := range points {
				points[i].Chainage = float64(i%7) * 500
				points[i].Offset = float64(i/7) * 500
			}
			if n < 9 {
				continue
			}
		}
		s, err := NewSurface(points)
		if err != nil {
			t.Fatal(err)
		}
		var sum, hull float64
		for _, tri := range s.corners {
			a, b, c := s.points[tri[0]], s.points[tri[1]], s.points[tri[2]]
			area := ((b.Chainage-a.Chainage)*(c.Offset-a.Offset) - (b.Offset-a.Offset)*(c.Chainage-a.Chainage)) / 2
			if area <= 0 {
				t.Fatalf("trial %d: triangle %v has area %v", trial, tri, area)
			}
			sum += area
		}
		o := s.points[s.outline[0]]
		for i := 1; i+1 < len(s.outline); i++ {
			b, c := s.points[s.outline[i]], s.points[s.outline[i+1]]
			hull += ((b.Chainage-o.Chainage)*(c.Offset-o.Offset) - (b.Offset-o.Offset)*(c.Chainage-o.Chainage)) / 2
		}
		if math.Abs(sum-hull) > 1e-9*hull {
			t.Fatalf("trial %d: triangles cover %v of %v", trial, sum, hull)
		}
		if want := 2*n - 2 - len(s.outline); len(s.corners) != want { // Euler
			t.Fatalf("trial %d: %d triangles, Euler says %d", trial, len(s.corners), want)
		}
		for _, tri := range s.corners { // Delaunay, by brute force
			for i, p := range s.points {
				if slices.Contains(tri[:], i) {
					continue
				}
				v := func(k int) vertex {
					q := s.points[k]
					return vertex{x: int64(q.Chainage / gridStep), y: int64(q.Offset / gridStep)}
				}
				if inCircle(v(tri[0]), v(tri[1]), v(tri[2]), v(i)) {
					t.Fatalf("trial %d: point %v inside the circle of %v", trial, p, tri)
				}
			}
		}
	}
}

func TestSurfaceInterpolation(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	z := func(x, y float64) float64 { return 100 + 0.03*x - 0.05*y }
	points := scatter(r, 40, z, 0)
	s, err := NewSurface(points)
	if err != nil {
		t.Fatal(err)
	}
	for range 500 {
		x, y := 6000*r.Float64(), 3000*r.Float64()
		g := s.At(x, y, RefuseBeyond)
		if g.Known && math.Abs(g.Level-z(x, y)) > 1e-3 {
			t.Fatalf("a plane must come back: %v at %v %v", g, x, y)
		}
		if !g.Known && (!g.Extrapolated || g.Outside <= 0) {
			t.Fatalf("unknown inside: %+v", g)
		}
	}
	far := s.At(20000, 1500, RefuseBeyond)
	held := s.At(20000, 1500, HoldBeyond)
	if far.Known || !held.Known || !held.Extrapolated || held.Outside < 13000 || held.Level > z(6000, 0)+1 {
		t.Errorf("beyond: %+v %+v", far, held)
	}
	for i, p := range s.points {
		if g := s.At(p.Chainage, p.Offset, RefuseBeyond); !g.Known || math.Abs(g.Level-p.Level) > 1e-9 {
			t.Fatalf("point %d is not on its own surface: %+v", i, g)
		}
	}
	if g := s.At(math.NaN(), 0, HoldBeyond); g.Known {
		t.Error("NaN place known")
	}
}

func TestProfileIsStraightBetweenBreaks(t *testing.T) {
	r := rand.New(rand.NewPCG(13, 14))
	s, err := NewSurface(scatter(r, 30, func(x, y float64) float64 { return 0 }, 100))
	if err != nil {
		t.Fatal(err)
	}
	breaks, err := s.Breaks(-500, 200, 7000, 2500)
	if err != nil {
		t.Fatal(err)
	}
	for i := 1; i < len(breaks); i++ {
		a, b := breaks[i-1], breaks[i]
		w := b - a
		g, err := s.Profile(-500, 200, 7000, 2500, []float64{a + 0.25*w, a + 0.5*w, a + 0.75*w}, RefuseBeyond)
		if err != nil {
			t.Fatal(err)
		}
		if g[0].Known != g[2].Known {
			t.Fatalf("the outline was crossed between breaks %v and %v", a, b)
		}
		if g[0].Known && math.Abs(g[0].Level+g[2].Level-2*g[1].Level) > 1e-6 {
			t.Fatalf("bend between breaks %v and %v", a, b)
		}
	}
}

func TestCliffs(t *testing.T) {
	points := []Point{{}, {Chainage: 1000}, {Offset: 1000}, {Chainage: 1000, Offset: 1000, Level: 800}}
	s, err := NewSurface(points)
	if err != nil {
		t.Fatal(err)
	}
	cliffs := s.Cliffs(0.5)
	if len(cliffs) < 2 || cliffs[0].From != 3 && cliffs[0].To != 3 || math.Abs(float64(cliffs[0].Grade)) != 0.8 {
		t.Errorf("%+v", cliffs)
	}
	if len(s.Cliffs(0.9)) != 0 {
		t.Error("no edge is that steep")
	}
	g, err := NewGroundLine([]Point{{Chainage: 2000}, {Chainage: 0, Level: 1000}})
	if err != nil {
		t.Fatal(err)
	}
	if c := g.Cliffs(0.4); len(c) != 1 || c[0] != (Cliff{1, 0, -0.5}) {
		t.Errorf("%+v", c)
	}
	var same *SamePlaceError
	if _, err := NewSurface(append(points, Point{Level: 5})); !errors.As(err, &same) || same.First != 0 ||
		same.Second != 4 {
		t.Error(err)
	}
	if _, err := NewGroundLine([]Point{{}, {Offset: 4}}); !errors.As(err, &same) {
		t.Error(err)
	}
}

func TestGroundLine(t *testing.T) {
	g, err := NewGroundLine([]Point{{Chainage: 1000, Level: 20}, {Chainage: 0, Level: 10},
		{Chainage: 3000, Level: -20}})
	if err != nil {
		t.Fatal(err)
	}
	for x, want := range map[float64]float64{0: 10, 500: 15, 1000: 20, 2000: 0, 3000: -20} {
		if l := g.At(x, RefuseBeyond); !l.Known || l.Extrapolated || math.Abs(l.Level-want) > 1e-12 {
			t.Errorf("at %v: %+v", x, l)
		}
	}
	if l := g.At(4000, RefuseBeyond); l.Known || l.Outside != 1000 {
		t.Errorf("%+v", l)
	}
	if l := g.At(-100, HoldBeyond); !l.Known || !l.Extrapolated || l.Level != 10 {
		t.Errorf("%+v", l)
	}
}

func TestPackingAndGrinding(t *testing.T) {
	// Grade 1 in 100 from 0; a hump of 12 at 2000, a hollow of 9 at 4000.
	g, err := NewGroundLine([]Point{{Chainage: 0, Level: 0}, {Chainage: 1000, Level: 10}, {Chainage: 2000, Level: 32},
		{Chainage: 3000, Level: 30}, {Chainage: 4000, Level: 31}, {Chainage: 5000, Level: 52}})
	if err != nil {
		t.Fatal(err)
	}
	s, err := g.Against(0, 0.01, 3)
	if err != nil {
		t.Fatal(err)
	}
	want := []Treatment{WithinTolerance, WithinTolerance, Grind, WithinTolerance, Pack, WithinTolerance}
	for i, d := range s.Deviations {
		if d.Treatment != want[i] {
			t.Errorf("%+v", d)
		}
	}
	if len(s.Stretches) != 2 {
		t.Fatalf("%+v", s.Stretches)
	}
	hump, hollow := s.Stretches[0], s.Stretches[1]
	if hump.Treatment != Grind || math.Abs(hump.From-1250) > 1e-9 || math.Abs(hump.To-2750) > 1e-9 ||
		hump.Greatest != -12 || hump.At != 2000 {
		t.Errorf("hump %+v", hump)
	}
	// From 9·t=3 to where 9−11t=3.
	if hollow.Treatment != Pack || math.Abs(hollow.From-(3000+1000.0/3)) > 1e-9 ||
		math.Abs(hollow.To-(4000+6000.0/11)) > 1e-9 || math.Abs(hollow.Greatest-9) > 1e-12 {
		t.Errorf("hollow %+v", hollow)
	}
	if _, err := g.Against(0, 0.01, -1); err == nil {
		t.Error("negative tolerance accepted")
	}
}

func TestLineUncertainty(t *testing.T) {
	points := []Point{{Chainage: 1000, Sigma: 2}, {Chainage: 2000, Level: 20, Sigma: 2},
		{Chainage: 6000, Level: 97, Sigma: 2}}
	l, err := FitLine(points)
	if err != nil {
		t.Fatal(err)
	}
	// σ²(1/n + (x − x̄)²/Sxx), the textbook interval of a regression line.
	for _, x := range []float64{0, 3000, 9000} {
		_, got := l.At(x)
		near(t, "uncertainty of the line", got, 2*math.Sqrt(1.0/3+(x-3000)*(x-3000)/14e6), 1e-12)
	}
	if l.Covariance[0][1] != l.Covariance[1][0] {
		t.Error("covariance is not symmetric")
	}
}

func TestAThinBandGivesNoCrossFall(t *testing.T) {
	// 6 mm off a line of 200 m is the tape, not a width.
	band := []Point{{Sigma: 1}, {Chainage: 100000, Offset: 13, Sigma: 1}, {Chainage: 200000, Sigma: 1}}
	var d *DegenerateError
	if _, err := FitPlane(band); !errors.As(err, &d) || d.CannotKnow != NoCrossFall {
		t.Error(err)
	}
}

func TestStretchTakesItsWorst(t *testing.T) {
	g, err := NewGroundLine([]Point{{Chainage: 0, Level: 9}, {Chainage: 1000, Level: 5}, {Chainage: 2000}})
	if err != nil {
		t.Fatal(err)
	}
	s, err := g.Against(0, 0, 3)
	if err != nil || len(s.Stretches) != 1 || s.Stretches[0].Greatest != -9 || s.Stretches[0].At != 0 ||
		s.Stretches[0].From != 0 || s.Stretches[0].To != 1400 {
		t.Errorf("%+v %v", s.Stretches, err)
	}
}

// TestNeighbours: each side of a triangle is either on the hull or belongs to
// exactly one neighbour, which runs it the other way.
func TestNeighbours(t *testing.T) {
	tried := 0
	for seed := range uint64(300) {
		r := rand.New(rand.NewPCG(seed, 5))
		var points []Point
		for range 3 + r.IntN(60) {
			// Every third site on a raster, which has many points on one circle.
			x, y := 9000*r.Float64(), 4000*r.Float64()
			if seed%3 == 0 {
				x, y = 500*math.Round(x/500), 500*math.Round(y/500)
			}
			if !slices.ContainsFunc(points, func(p Point) bool { return p.Chainage == x && p.Offset == y }) {
				points = append(points, Point{Chainage: x, Offset: y, Level: 1000 * r.Float64(), Sigma: 1})
			}
		}
		s, err := NewSurface(points)
		if err != nil {
			continue
		}
		rim := 0
		for k, corners := range s.corners {
			for e, beyond := range s.beside[k] {
				if beyond == outside {
					rim++
					continue
				}
				other := slices.Index(s.corners[beyond][:], corners[(e+1)%3])
				if other < 0 || s.corners[beyond][(other+1)%3] != corners[e] || s.beside[beyond][other] != k {
					t.Fatal(seed, "triangle", k, corners, "and", beyond, s.corners[beyond], "do not share a side")
				}
			}
		}
		if rim != len(s.outline) || len(s.Sides()) != (3*len(s.corners)+rim)/2 {
			t.Fatal(seed, rim, len(s.outline), len(s.Sides()), len(s.corners))
		}
		tried++
	}
	if tried < 250 {
		t.Error("only", tried, "surfaces")
	}
}
