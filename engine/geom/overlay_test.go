package geom

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	sf "github.com/peterstace/simplefeatures/geom"
)

// outlines makes seeded sets of convex outlines as a layout has them: upright
// rectangles on whole millimetres, parallelograms along a leaning edge and
// triangles.
func outlines(r *rand.Rand, most int) []Polygon {
	n := 1 + r.IntN(most)
	out := make([]Polygon, n)
	for i := range out {
		x, y := float64(r.IntN(4000)), float64(r.IntN(800))
		w, d := float64(50+r.IntN(2000)), float64(20+r.IntN(700))
		switch r.IntN(4) {
		case 0, 1:
			out[i] = Polygon{{x, y}, {x + w, y}, {x + w, y + d}, {x, y + d}}
		case 2:
			lean := (r.Float64() - 0.5) * d
			out[i] = Polygon{{x, y}, {x + w, y}, {x + w + lean, y + d}, {x + lean, y + d}}
		default:
			turned := r.Float64() * 2 * math.Pi
			for k := range 3 {
				a := turned + float64(k)*2*math.Pi/3
				out[i] = append(out[i], Point{x + w*math.Cos(a), y + w*math.Sin(a)})
			}
		}
	}
	return out
}

// clipConvex is the part of subject inside a convex ring: Sutherland and Hodgman
// 1974, written for these tests as a method that shares nothing with the slabs.
func clipConvex(subject, clip Polygon) Polygon {
	for i := range clip {
		a, b := clip[i], clip[(i+1)%len(clip)]
		var kept Polygon
		for k := range subject {
			p, q := subject[k], subject[(k+1)%len(subject)]
			dp := (b.X-a.X)*(p.Y-a.Y) - (b.Y-a.Y)*(p.X-a.X)
			dq := (b.X-a.X)*(q.Y-a.Y) - (b.Y-a.Y)*(q.X-a.X)
			if dp >= 0 {
				kept = append(kept, p)
			}
			if dp > 0 && dq < 0 || dp < 0 && dq > 0 {
				s := dp / (dp - dq)
				kept = append(kept, Point{p.X + s*(q.X-p.X), p.Y + s*(q.Y-p.Y)})
			}
		}
		subject = kept
	}
	return subject
}

// inclusionExclusion is the area of a union of convex polygons: the sum over all
// subsets of ± the area of their intersection.
func inclusionExclusion(ps []Polygon) float64 {
	var sum float64
	for set := 1; set < 1<<len(ps); set++ {
		var common Polygon
		sign := -1.0
		for i, p := range ps {
			if set>>i&1 == 0 {
				continue
			}
			sign = -sign
			if common == nil {
				common = p
			} else if common = clipConvex(common, p); common == nil {
				break
			}
		}
		sum += sign * common.Area()
	}
	return sum
}

const seeds = 400

func TestUnionAreaAgainstInclusionExclusion(t *testing.T) {
	for seed := range uint64(seeds) {
		ps := outlines(rand.New(rand.NewPCG(seed, 1)), 6)
		want := inclusionExclusion(ps)
		united, err := Union(ps...)
		if err != nil {
			t.Fatal(seed, err)
		}
		// Half a grid step along all sides, and the rounding of the check.
		slack := 1e-9*want + Grid*20000
		if got := UnionArea(ps...); math.Abs(got-want) > slack {
			t.Errorf("seed %d: UnionArea %v, want %v", seed, got, want)
		}
		if got := Area(united); math.Abs(got-want) > slack {
			t.Errorf("seed %d: area of Union %v, want %v", seed, got, want)
		}
		checkRegions(t, united)
	}
}

// checkRegions holds regions against what the package promises of them.
func checkRegions(t *testing.T, regions []Region) {
	t.Helper()
	ring := func(p Polygon, sign float64) {
		if len(p) < 3 || p.Area()*sign <= 0 {
			t.Fatalf("ring turns the wrong way or is empty: %v", p)
		}
		for i, q := range p {
			if q != onGrid(q) {
				t.Fatalf("%v is off the grid", q)
			}
			if i > 0 && comparePoints(p[0], q) >= 0 {
				t.Fatalf("ring does not start at its least point: %v", p)
			}
		}
		if err := p.Check(); err != nil {
			t.Fatal(err, p)
		}
	}
	for i, r := range regions {
		ring(r.Outer, 1)
		for _, h := range r.Holes {
			ring(h, -1)
		}
		if i > 0 && slices.CompareFunc(regions[i-1].Outer, r.Outer, comparePoints) >= 0 {
			t.Fatal("regions out of order")
		}
	}
}

func toShape(p Polygon) sf.Geometry {
	flat := make([]float64, 0, 2*len(p)+2)
	for i := range len(p) + 1 {
		flat = append(flat, p[i%len(p)].X, p[i%len(p)].Y)
	}
	return sf.NewPolygon([]sf.LineString{sf.NewLineString(sf.NewSequence(flat, sf.DimXY))}).AsGeometry()
}

// The judge: a general-purpose overlay library.
func TestOverlaysAgainstLibrary(t *testing.T) {
	judged := 0
	for seed := range uint64(seeds) {
		r := rand.New(rand.NewPCG(seed, 2))
		pa, pb := outlines(r, 4), outlines(r, 3)
		shape := func(ps []Polygon) sf.Geometry {
			var gs []sf.Geometry
			for _, p := range ps {
				gs = append(gs, toShape(p))
			}
			g, err := sf.UnionMany(gs)
			if err != nil {
				t.Fatal(seed, err)
			}
			return g
		}
		ga, gb := shape(pa), shape(pb)
		a, err1 := Union(pa...)
		b, err2 := Union(pb...)
		if err1 != nil || err2 != nil {
			t.Fatal(seed, err1, err2)
		}
		for _, op := range []struct {
			name    string
			own     func(a, b []Region) ([]Region, error)
			library func(a, b sf.Geometry) (sf.Geometry, error)
		}{{"unite", Unite, sf.Union}, {"intersect", Intersect, sf.Intersection},
			{"difference", Difference, sf.Difference}} {
			got, err := op.own(a, b)
			if err != nil {
				t.Fatal(seed, op.name, err)
			}
			checkRegions(t, got)
			g, err := op.library(ga, gb)
			if err != nil {
				continue // the library gives up on some inputs
			}
			judged++
			want := fromShape(g)
			if d := math.Abs(Area(got) - g.Area()); d > Grid*40000 {
				t.Errorf("seed %d: %s area %v, library %v", seed, op.name, Area(got), g.Area())
			}
			holes := func(rs []Region) (n int) {
				for _, r := range rs {
					n += len(r.Holes)
				}
				return n
			}
			if len(got) != len(want) || holes(got) != holes(want) {
				t.Errorf("seed %d: %s has %d regions and %d holes, library %d and %d", seed, op.name, len(got),
					holes(got), len(want), holes(want))
			}
			var perimeter, wanted float64
			for _, r := range got {
				perimeter += r.Perimeter()
			}
			for _, r := range want {
				wanted += r.Perimeter()
			}
			if math.Abs(perimeter-wanted) > 1e-4 {
				t.Errorf("seed %d: %s perimeter %v, library %v", seed, op.name, perimeter, wanted)
			}
		}
	}
	if judged < 3*seeds*9/10 {
		t.Errorf("the library judged only %d overlays", judged)
	}
}

func TestAreasOfUnionAndIntersection(t *testing.T) {
	for seed := range uint64(seeds) {
		r := rand.New(rand.NewPCG(seed, 3))
		a, _ := Union(outlines(r, 4)...)
		b, _ := Union(outlines(r, 4)...)
		u, _ := Unite(a, b)
		i, _ := Intersect(a, b)
		d, _ := Difference(a, b)
		e, _ := Difference(b, a)
		const slack = Grid * 40000
		if x := Area(u) - (Area(a) + Area(b) - Area(i)); math.Abs(x) > slack {
			t.Errorf("seed %d: union differs by %v", seed, x)
		}
		if x := Area(u) - (Area(d) + Area(e) + Area(i)); math.Abs(x) > slack {
			t.Errorf("seed %d: parts differ by %v", seed, x)
		}
		c := Centroid(u...)
		ca, ci, ce := Centroid(d...), Centroid(i...), Centroid(e...)
		if x := Area(d)*ca.X + Area(i)*ci.X + Area(e)*ce.X - Area(u)*c.X; math.Abs(x) > slack*10000 {
			t.Errorf("seed %d: moments differ by %v", seed, x)
		}
	}
}

// Rectangles on whole millimetres have exact areas, whatever the order, and
// equal bytes.
func TestUnionOfWholeRectanglesIsExact(t *testing.T) {
	for seed := range uint64(seeds) {
		r := rand.New(rand.NewPCG(seed, 4))
		n := 2 + r.IntN(6)
		ps := make([]Polygon, n)
		grid := [60][60]bool{}
		for i := range ps {
			x, y, w, d := r.IntN(40), r.IntN(40), 1+r.IntN(20), 1+r.IntN(20)
			ps[i] = Box{Point{float64(x), float64(y)}, Point{float64(x + w), float64(y + d)}}.Polygon()
			for a := range w {
				for b := range d {
					grid[x+a][y+b] = true
				}
			}
		}
		want := 0.0
		for _, column := range grid {
			for _, full := range column {
				if full {
					want++
				}
			}
		}
		united, err := Union(ps...)
		if err != nil || Area(united) != want || UnionArea(ps...) != want {
			t.Errorf("seed %d: %v and %v, counted %v", seed, Area(united), UnionArea(ps...), want)
		}
		text := toJSON(united)
		slices.Reverse(ps)
		for i := range ps { // another start, another turn
			ps[i] = append(ps[i][2:], ps[i][:2]...)
			slices.Reverse(ps[i])
		}
		if again, _ := Union(ps...); toJSON(again) != text {
			t.Errorf("seed %d: order changes the bytes\n%s\n%s", seed, text, toJSON(again))
		}
	}
}

func TestUnionMirrored(t *testing.T) {
	mirror := func(ps []Polygon, f func(Point) Point) []Polygon {
		out := make([]Polygon, len(ps))
		for i, p := range ps {
			for _, q := range p {
				out[i] = append(out[i], f(q))
			}
			slices.Reverse(out[i])
		}
		return out
	}
	for seed := range uint64(seeds) {
		ps := outlines(rand.New(rand.NewPCG(seed, 5)), 6)
		a, _ := Union(ps...)
		for name, f := range map[string]func(Point) Point{
			"along":   func(p Point) Point { return Point{-p.X, p.Y} },
			"across":  func(p Point) Point { return Point{p.X, -p.Y} },
			"swapped": func(p Point) Point { return Point{p.Y, p.X} },
		} {
			b, err := Union(mirror(ps, f)...)
			if err != nil || len(a) != len(b) || math.Abs(Area(a)-Area(b)) > Grid*20000 {
				t.Errorf("seed %d mirrored %s: %d regions of %v, then %d of %v, %v", seed, name, len(a), Area(a),
					len(b), Area(b), err)
			}
		}
	}
}

func TestAreaBeyond(t *testing.T) {
	strip := Box{Point{0, 0}, Point{4400, 200}}.Polygon()
	pad := Box{Point{0, 0}, Point{400, 400}}.Polygon()
	if got := AreaBeyond(pad, []Polygon{strip}); got != 400*200 {
		t.Error(got)
	}
	if got := AreaBeyond(strip, []Polygon{strip}); got != 0 {
		t.Error(got)
	}
	if got := AreaBeyond(strip, nil); got != 4400*200 {
		t.Error(got)
	}
	for seed := range uint64(seeds) {
		ps := outlines(rand.New(rand.NewPCG(seed, 6)), 6)
		var sum float64
		for i, p := range ps {
			sum += AreaBeyond(p, ps[:i])
		}
		if want := UnionArea(ps...); math.Abs(sum-want) > Grid*60000 {
			t.Errorf("seed %d: parts sum to %v, union %v", seed, sum, want)
		}
	}
}

func TestOverlayRefuses(t *testing.T) {
	good := Box{Point{0, 0}, Point{10, 10}}.Polygon()
	for name, bad := range map[string]Polygon{
		"NaN":      {{0, 0}, {math.NaN(), 0}, {1, 1}},
		"infinite": {{0, 0}, {math.Inf(1), 0}, {1, 1}},
		"far":      {{0, 0}, {2e7, 0}, {1, 1}},
		"bow tie":  {{0, 0}, {10, 10}, {10, 0}, {0, 10}},
	} {
		got, err := Union(good, bad)
		var e *PolygonError
		if !errors.As(err, &e) || !errors.Is(err, ErrPolygon) || e.Index != 1 || e.Reason == "" || e.Error() == "" {
			t.Error(name, got, err)
		}
		if got, err := Difference([]Region{good.Region()}, []Region{{Outer: good, Holes: []Polygon{bad}}}); err == nil {
			t.Error(name, got)
		}
		if got, err := Zones([]Deep{{good, 1}, {bad, 2}}); err == nil {
			t.Error(name, got)
		}
		if got := UnionArea(good, bad); math.IsNaN(got) || got < 100 {
			t.Error(name, got)
		}
	}
	for _, empty := range []Polygon{nil, {}, {{1, 1}}, {{1, 1}, {2, 2}}, {{1, 1}, {2, 2}, {3, 3}}} {
		if got, err := Union(empty); err != nil || len(got) != 0 {
			t.Error(empty, got, err)
		}
		if got, err := Union(empty, good); err != nil || len(got) != 1 || got[0].Area() != 100 {
			t.Error(empty, got, err)
		}
	}
}

// Leaning outlines too give equal bytes in any order, from any first corner.
func TestUnionIsOrderless(t *testing.T) {
	for seed := range uint64(seeds) {
		ps := outlines(rand.New(rand.NewPCG(seed, 11)), 6)
		a, err := Union(ps...)
		slices.Reverse(ps)
		for i := range ps {
			ps[i] = append(slices.Clone(ps[i][1:]), ps[i][0])
		}
		b, err2 := Union(ps...)
		if err != nil || err2 != nil || toJSON(a) != toJSON(b) {
			t.Errorf("seed %d: %s\n%s", seed, toJSON(a), toJSON(b))
		}
	}
}
