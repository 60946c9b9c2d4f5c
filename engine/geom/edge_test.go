package geom

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

func TestNewEdge(t *testing.T) {
	for name, points := range map[string][]Point{
		"one point": {{0, 0}}, "none": nil, "same offset": {{0, 0}, {1, 0}, {2, 5}},
		"NaN": {{0, 0}, {math.NaN(), 1}}, "infinite": {{0, 0}, {1, math.Inf(1)}},
	} {
		if e, err := NewEdge(points); !errors.Is(err, ErrEdge) {
			t.Error(name, e, err)
		}
	}
}

func TestEdge(t *testing.T) {
	e, err := NewEdge([]Point{{100, 400}, {0, 0}, {-50, 200}}) // in any order
	if err != nil {
		t.Fatal(err)
	}
	for y, want := range map[float64]float64{0: 0, 100: -25, 200: -50, 300: 25, 400: 100, -100: 25, 600: 250} {
		if got := e.At(y); got != want {
			t.Errorf("x_e(%v) = %v, want %v", y, got, want)
		}
	}
	for _, c := range []struct{ y1, y2, most, least float64 }{
		{0, 400, 100, -50}, {100, 300, 25, -50}, {0, 200, 0, -50}, {-100, 100, 25, -25}, {500, 600, 250, 175},
		{200, 200, -50, -50},
	} {
		if most, least := e.MaxOver(c.y1, c.y2), e.MinOver(c.y1, c.y2); most != c.most || least != c.least {
			t.Errorf("over %v to %v: %v and %v, want %v and %v", c.y1, c.y2, most, least, c.most, c.least)
		}
	}
}

func randomEdge(r *rand.Rand) Edge {
	n := 2 + r.IntN(4)
	points := make([]Point, n)
	y := float64(r.IntN(200)) - 100
	for i := range points {
		points[i] = Point{4000 + 600*(r.Float64()-0.5), y}
		y += 1 + float64(r.IntN(400))
	}
	r.Shuffle(n, func(i, k int) { points[i], points[k] = points[k], points[i] })
	e, _ := NewEdge(points)
	return e
}

// MaxOver is never less than the edge anywhere in its range, and met somewhere.
func TestMaxOverAgainstSamples(t *testing.T) {
	for seed := range uint64(seeds) {
		r := rand.New(rand.NewPCG(seed, 9))
		e := randomEdge(r)
		y1 := float64(r.IntN(900)) - 300
		y2 := y1 + float64(r.IntN(900))
		most, least := e.MaxOver(y1, y2), e.MinOver(y1, y2)
		sampled, lowest := math.Inf(-1), math.Inf(1)
		for i := range 2001 {
			x := e.At(y1 + (y2-y1)*float64(i)/2000)
			sampled, lowest = math.Max(sampled, x), math.Min(lowest, x)
		}
		if sampled > most+1e-9 || lowest < least-1e-9 || most-sampled > 700 || least-lowest < -700 {
			t.Errorf("seed %d: %v to %v, sampled %v to %v", seed, least, most, lowest, sampled)
		}
		if most-sampled > (y2-y1)/2000*600+1e-9 { // steepest side: 600 along in 1 across
			t.Errorf("seed %d: MaxOver %v is not reached, %v", seed, most, sampled)
		}
	}
}

// The box parted by an edge is the box again, and each part follows the edge.
func TestBoxPartedByEdge(t *testing.T) {
	for seed := range uint64(seeds) {
		r := rand.New(rand.NewPCG(seed, 10))
		e := randomEdge(r)
		b := BoxOf(Point{3700 + float64(r.IntN(300)), float64(r.IntN(300))},
			Point{4100 + float64(r.IntN(300)), 400 + float64(r.IntN(500))})
		beyond, before := b.Beyond(e), b.Before(e)
		var sum float64
		for i, parts := range [][]Polygon{beyond, before} {
			for _, p := range parts {
				if p.Area() <= 0 {
					t.Errorf("seed %d: turns the wrong way %v", seed, p)
				}
				sum += p.Area()
				for _, q := range p {
					if x := e.At(q.Y); i == 0 && q.X < x-1e-6 || i == 1 && q.X > x+1e-6 {
						t.Errorf("seed %d: %v on the wrong side of %v", seed, q, x)
					}
				}
			}
		}
		if math.Abs(sum-b.Area()) > 1e-6*b.Area() {
			t.Errorf("seed %d: parts %v, box %v", seed, sum, b.Area())
		}
		// The overlay agrees with the band.
		low, high := b.Low.Y-1, b.High.Y+1
		side := Polygon(e.Between(low, high))
		side = append(side, Point{1e6, high}, Point{1e6, low})
		slices.Reverse(side)
		common, err := Intersect([]Region{b.Polygon().Region()}, []Region{side.Region()})
		var want float64
		for _, p := range beyond {
			want += p.Area()
		}
		if err != nil || math.Abs(Area(common)-want) > Grid*5000 {
			t.Errorf("seed %d: overlay %v, band %v, %v", seed, Area(common), want, err)
		}
	}
}

func TestBox(t *testing.T) {
	b := BoxOf(Point{10, 40}, Point{0, 20})
	if b != (Box{Point{0, 20}, Point{10, 40}}) || b.Area() != 200 {
		t.Error(b, b.Area())
	}
	if g := b.Grown(5); g.Area() != 20*30 {
		t.Error(g)
	}
	if g := b.Grown(-5); !g.Empty() || g.Area() != 0 || g.Polygon() != nil || g.Swept(1, 1) != nil {
		t.Error(g)
	}
	if nan := (Box{Point{math.NaN(), 0}, Point{1, 1}}); !nan.Empty() {
		t.Error(nan)
	}
	// A box of 10 by 20 moved by (30, 40) covers itself, and the band between.
	if s := b.Swept(30, 40); s.Area() != 200+30*20+40*10 || len(s) != 6 {
		t.Error(s, s.Area())
	}
	if s := b.Swept(-30, 0); s.Area() != 40*20 || len(s) != 4 {
		t.Error(s)
	}
}

func TestHull(t *testing.T) {
	got := Hull([]Point{{0, 0}, {10, 0}, {5, 0}, {10, 10}, {5, 5}, {0, 10}, {0, 0}, {0, 5}})
	if toJSON(got) != toJSON(Polygon{{0, 0}, {10, 0}, {10, 10}, {0, 10}}) {
		t.Error(got)
	}
	for _, none := range [][]Point{nil, {{1, 1}}, {{0, 0}, {1, 1}, {2, 2}}} {
		if got := Hull(none); got != nil {
			t.Error(got)
		}
	}
}

func TestContainsAndDistance(t *testing.T) {
	u := Polygon{{0, 0}, {30, 0}, {30, 30}, {20, 30}, {20, 10}, {10, 10}, {10, 30}, {0, 30}}
	for q, want := range map[Point]float64{{5, 5}: 0, {15, 10}: 0, {15, 20}: 5, {15, 40}: math.Hypot(5, 10),
		{-3, -4}: 5, {30, 30}: 0} {
		if got := u.DistanceTo(q); got != want {
			t.Errorf("%v: %v, want %v", q, got, want)
		}
		if u.Contains(q) != (want == 0) {
			t.Errorf("contains %v", q)
		}
	}
	inNotch := Box{Point{13, 15}, Point{18, 25}}.Polygon()
	if d := Distance(u, inNotch); d != 2 {
		t.Error(d)
	}
	if d := Distance(u, nil); !math.IsInf(d, 1) {
		t.Error(d)
	}
	ring := Region{Outer: Box{Point{0, 0}, Point{30, 30}}.Polygon(),
		Holes: []Polygon{{{10, 10}, {10, 20}, {20, 20}, {20, 10}}}}
	for q, want := range map[Point]bool{{5, 5}: true, {15, 15}: false, {10, 15}: true, {31, 5}: false} {
		if ring.Contains(q) != want {
			t.Error(q)
		}
	}
	if ring.Area() != 800 || ring.Perimeter() != 160 || ring.Centroid() != (Point{15, 15}) {
		t.Error(ring.Area(), ring.Perimeter(), ring.Centroid())
	}
}
