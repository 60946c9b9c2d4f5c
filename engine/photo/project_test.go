package photo

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

func TestRefusals(t *testing.T) {
	c := phone()
	good := picked(c, siteGround()[:4], nil, 0)
	var inLine *InLineError
	var horizon *HorizonError
	var ranged *RangeError
	with := func(f func(p []Pair)) []Pair {
		p := slices.Clone(good)
		f(p)
		return p
	}
	for _, x := range []struct {
		name  string
		pairs []Pair
		as    any
	}{
		{"three points", good[:3], &ranged},
		{"NaN", with(func(p []Pair) { p[1].U = math.NaN() }), &ranged},
		{"infinite ground", with(func(p []Pair) { p[1].X = math.Inf(1) }), &ranged},
		{"all in line on the ground", picked(c, []Ground{{0, 0}, {1000, 0}, {2000, 0}, {3000, 0}}, nil, 0), &inLine},
		{"three in line", picked(c, []Ground{{0, 0}, {1000, 10}, {2000, 0}, {3000, 3000}}, nil, 0), &inLine},
		{"four of five in line", picked(c, []Ground{{0, 0}, {1000, 0}, {2000, 0}, {3000, 0}, {1500, 3000}}, nil, 0),
			&inLine},
		{"two in one spot of the picture", with(func(p []Pair) { p[1].U, p[1].V = p[0].U, p[0].V }), &inLine},
		{"two swapped", with(func(p []Pair) { p[0].U, p[0].V, p[1].U, p[1].V = p[1].U, p[1].V, p[0].U, p[0].V }),
			&horizon},
	} {
		_, err := Homography(x.pairs, 2)
		if err == nil || !errors.As(err, x.as) {
			t.Errorf("%s: %v", x.name, err)
		}
	}
	if _, err := Homography(good, 0); err == nil {
		t.Error("pointing of 0 accepted")
	}
	// Five are enough when four of them spread.
	five := picked(c, []Ground{{0, 0}, {2000, 0}, {4000, 0}, {4000, 3000}, {0, 3000}}, nil, 0)
	if _, err := Homography(five, 2); err != nil {
		t.Error(err)
	}
	mirrored := with(func(p []Pair) {
		for i := range p {
			p[i].X = -p[i].X
		}
	})
	f, err := Homography(mirrored, 2)
	if err != nil || !f.Mirrored {
		t.Error("a mirrored ground frame", err)
	}
}

func TestLinesAreClipped(t *testing.T) {
	c := phone()
	f, err := Homography(picked(c, siteGround(), nil, 0), 2)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := f.ToPicture(Ground{2000, -9000}); err == nil {
		t.Error("behind the camera")
	}
	// From behind the camera, before it, and behind again.
	runs := f.Line([]Ground{{2000, -9000}, {2000, 2000}, {3000, 2000}, {3000, -9000}, {0, -9000}})
	if len(runs) != 1 || len(runs[0]) != 4 {
		t.Fatal(runs)
	}
	for _, p := range runs[0] {
		if g, err := f.ToGround(p); err != nil ||
			math.Min(math.Abs(g.X-2000), math.Min(math.Abs(g.X-3000), math.Abs(g.Y-2000))) > 1 {
			t.Error("a clipped point left its line", p, g, err)
		}
	}
	area := f.Area([]Ground{{1000, -9000}, {3000, -9000}, {3000, 2000}, {1000, 2000}})
	if len(area) != 4 {
		t.Error(area)
	}
	if f.Area([]Ground{{0, -9000}, {1, -9000}, {1, -9500}}) != nil {
		t.Error("nothing of it is before the camera")
	}
	if runs := f.Line([]Ground{{0, 0}, {100, 0}, {math.NaN(), 0}, {0, 100}, {0, 200}}); len(runs) != 2 {
		t.Error(runs)
	}
}

// Heckbert's closed form for the square, an independent way to the same map.
func heckbert(q [4]Pixel) matrix3 {
	sx, sy := q[0].U-q[1].U+q[2].U-q[3].U, q[0].V-q[1].V+q[2].V-q[3].V
	dx1, dx2, dy1, dy2 := q[1].U-q[2].U, q[3].U-q[2].U, q[1].V-q[2].V, q[3].V-q[2].V
	d := dx1*dy2 - dx2*dy1
	g, h := (sx*dy2-dx2*sy)/d, (dx1*sy-sx*dy1)/d
	return matrix3{q[1].U - q[0].U + g*q[1].U, q[3].U - q[0].U + h*q[3].U, q[0].U, q[1].V - q[0].V + g*q[1].V, q[3].V -
		q[0].V + h*q[3].V, q[0].V, g, h, 1}
}

func TestAgainstHeckbert(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 8))
	square := []Ground{{0, 0}, {1, 0}, {1, 1}, {0, 1}}
	for range 500 {
		var q [4]Pixel
		for i, g := range square {
			q[i] = Pixel{1000*g.X + 350*(r.Float64()-0.5), 1000*g.Y + 350*(r.Float64()-0.5)}
		}
		var pairs []Pair
		for i, g := range square {
			pairs = append(pairs, Pair{X: g.X * 5000, Y: g.Y * 5000, U: q[i].U, V: q[i].V})
		}
		f, err := Homography(pairs, 1)
		if err != nil {
			t.Fatal(err)
		}
		h := heckbert(q)
		x, y := r.Float64(), r.Float64()
		a, b, w := h.apply(x, y)
		p, err := f.ToPicture(Ground{x * 5000, y * 5000})
		if err != nil || math.Hypot(p.U-a/w, p.V-b/w) > 1e-8 {
			t.Fatal(p, a/w, b/w, err)
		}
	}
}

// Moving, turning and scaling the picture moves the result with it.
func TestInvariance(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 6))
	pairs := picked(phone(), siteGround(), r, 3)
	f, err := Homography(pairs, 3)
	if err != nil {
		t.Fatal(err)
	}
	turn := func(p Pixel) Pixel {
		return Pixel{0.5*(p.U*math.Cos(1)-p.V*math.Sin(1)) + 700, 0.5*(p.U*math.Sin(1)+p.V*math.Cos(1)) - 90}
	}
	moved := slices.Clone(pairs)
	for i, p := range pairs {
		q := turn(Pixel{p.U, p.V})
		moved[i].U, moved[i].V = q.U, q.V
		moved[i].X += 50000
	}
	g, err := Homography(moved, 1.5)
	if err != nil {
		t.Fatal(err)
	}
	a, _ := f.ToPicture(Ground{2500, 2500})
	b, _ := g.ToPicture(Ground{52500, 2500})
	if w := turn(a); math.Hypot(b.U-w.U, b.V-w.V) > 1e-5 {
		t.Error(b, w)
	}
	if math.Abs(f.UnitDeviation-g.UnitDeviation) > 1e-6 {
		t.Error(f.UnitDeviation, g.UnitDeviation)
	}
}

func FuzzHomography(f *testing.F) {
	f.Add([]byte{0, 0, 10, 200, 100, 0, 200, 210, 100, 100, 180, 40, 0, 100, 30, 50})
	f.Add([]byte{0, 0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 2, 2, 2, 2, 3, 3, 3, 3})
	f.Fuzz(func(t *testing.T, data []byte) {
		var pairs []Pair
		for i := 0; i+3 < len(data) && len(pairs) < 8; i += 4 {
			pairs = append(pairs, Pair{X: float64(data[i]) * 40, Y: float64(data[i+1]) * 40, U: float64(data[i+2]) * 9,
				V: float64(data[i+3]) * 7})
		}
		h, err := Homography(pairs, 2)
		if err != nil {
			_ = err.Error()
			return
		}
		for _, r := range h.Residuals {
			for _, v := range []float64{r.Pixels, r.Ground, r.Standardized, r.PredictedPixels, r.PredictedGround} {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					t.Fatalf("%+v", r)
				}
			}
		}
		for x := -20000.0; x <= 20000; x += 5000 {
			g := Ground{x, x / 3}
			if p, err := h.ToPicture(g); err == nil && (math.IsNaN(p.U) || math.IsInf(p.V, 0)) {
				t.Fatal(p)
			}
			if a, b, err := h.Uncertainty(g); err == nil && (math.IsNaN(a) || math.IsNaN(b)) {
				t.Fatal(a, b)
			}
		}
		for _, run := range h.Line([]Ground{{-1e5, -1e5}, {1e5, 1e5}, {-1e5, 1e5}, {1e5, -1e5}}) {
			for _, p := range run {
				if math.IsNaN(p.U) || math.IsInf(p.U, 0) {
					t.Fatal(run)
				}
			}
		}
	})
}

func BenchmarkHomography(b *testing.B) {
	pairs := picked(phone(), siteGround(), rand.New(rand.NewPCG(1, 2)), 2)
	for b.Loop() {
		if _, err := Homography(pairs, 2); err != nil {
			b.Fatal(err)
		}
	}
}

// The uncertainty on the ground, against derivatives by differences.
func TestSureAgainstDifferences(t *testing.T) {
	c := phone()
	c.pan = 0.7 // so that the errors of U and V hang together
	pairs := picked(c, siteGround(), nil, 0)
	f, err := Homography(pairs[1:6], 3)
	if err != nil {
		t.Fatal(err)
	}
	for _, g := range []Ground{{5000, 2500}, {1000, 6000}, {8000, -500}} {
		p, err := f.ToPicture(g)
		if err != nil {
			t.Fatal(err)
		}
		const h = 1e-2
		u1, _ := f.ToGround(Pixel{p.U + h, p.V})
		u0, _ := f.ToGround(Pixel{p.U - h, p.V})
		v1, _ := f.ToGround(Pixel{p.U, p.V + h})
		v0, _ := f.ToGround(Pixel{p.U, p.V - h})
		xu, yu, xv, yv := (u1.X-u0.X)/(2*h), (u1.Y-u0.Y)/(2*h), (v1.X-v0.X)/(2*h), (v1.Y-v0.Y)/(2*h)
		uu, uv, vv := f.picture(g.X, g.Y)
		want := longer(xu*xu*uu+2*xu*xv*uv+xv*xv*vv, xu*yu*uu+(xu*yv+xv*yu)*uv+xv*yv*vv, yu*yu*uu+2*yu*yv*uv+yv*yv*vv)
		pixels, ground, err := f.Uncertainty(g)
		if err != nil || math.Abs(ground-want) > 1e-4*want || math.Abs(pixels-longer(uu, uv, vv)) > 1e-9 || want <= 0 {
			t.Errorf("at %v: %v mm, by differences %v (%v)", g, ground, want, err)
		}
	}
}
