package solid

import (
	"math"
	"math/rand"
	"strconv"
	"testing"

	"pegpour/engine/draw"
)

// hill is ground of two triangles for each field of a grid, its corners at the
// heights of a function.
func hill(x1, y1, x2, y2, step float64, z func(x, y float64) float64) [][3]Point {
	var all [][3]Point
	at := func(x, y float64) Point { return Point{x, y, z(x, y)} }
	for x := x1; x < x2-1; x += step {
		for y := y1; y < y2-1; y += step {
			a, b, c, d := at(x, y), at(x+step, y), at(x+step, y+step), at(x, y+step)
			all = append(all, [3]Point{a, b, c}, [3]Point{a, c, d})
		}
	}
	return all
}

// On ground that slopes, with a slot cut into it between two offsets, one sees
// what rays see: what stands in the slot behind its near side is hidden.
func TestDrawOnGroundSeesWhatRaysSee(t *testing.T) {
	for seed := range int64(60) {
		r := rand.New(rand.NewSource(seed))
		dx, dy := (r.Float64()-0.5)*0.2, (r.Float64()-0.5)*0.2
		plane := func(drop float64) func(x, y float64) float64 {
			return func(x, y float64) float64 { return 1000 - drop + dx*x + dy*y }
		}
		lay := func(id string, y1, y2, drop float64) Body {
			return must(t)(Relief(named(id), named(id), hill(0, y1, 4000, y2, 400, plane(drop)), 0, nil))
		}
		ground := []Body{lay("near", -1200, 0, 0), lay("slot", 0, 800, 400), lay("far", 800, 2400, 0)}
		var bodies []Body
		for i := range 3 + r.Intn(6) {
			x, y, drop := float64(r.Intn(9))*400, float64(r.Intn(8))*400-1200, 0.0
			l, w, h := float64(1+r.Intn(2))*300, 300.0, 200+float64(r.Intn(4))*200
			if y >= 0 && y < 800 {
				drop = 400
			}
			foot := Level{1000 - drop, dx, dy}
			top := foot
			top.Z += h
			bodies = append(bodies,
				must(t)(Prism(named("b"+strconv.Itoa(i)), draw.RectRing(x, y+40, x+l, y+40+w), foot, top)))
		}
		c := Camera{r.Float64() * 7, 0.35 + r.Float64()}
		elements, err := DrawOnGround(ground, bodies, nil, draw.Tag{}, []float64{0, 800}, Level{DX: dx, DY: dy}, c)
		if err != nil {
			t.Fatal(err)
		}
		all := append(append([]Body{}, ground...), bodies...)
		seen := 0
		for range 600 {
			q := c.Project(Point{r.Float64() * 4000, r.Float64()*3600 - 1200, 800 + r.Float64()*800})
			want, margin := seenAt(all, c, q)
			if margin < 1e-3 || want == "" {
				continue
			}
			seen++
			if got := shownAt(elements, q); got != want {
				t.Fatalf("seed %d: at %v one sees %q, the drawing shows %q (camera %+v)", seed, q, want, got, c)
			}
		}
		if seen < 100 {
			t.Fatalf("seed %d: only %d places looked at", seed, seen)
		}
	}
}

// A relief is closed by its rim: from every side its sides and its top cover
// one another's outline, and its corners are those it was given and the bottom.
func TestReliefCorners(t *testing.T) {
	z := func(x, y float64) float64 { return 500 + x*x/1e4 - y/10 }
	b := must(t)(Relief(named("top"), named("side"), hill(0, 0, 1200, 800, 400, z), 100, func(a, b Point) bool {
		return true
	}))
	low := 0
	for _, p := range b.Corners() {
		if p.Z == 100 {
			low++
		} else if math.Abs(p.Z-z(p.X, p.Y)) > 1e-9 {
			t.Errorf("corner %v", p)
		}
	}
	if want := 2 * 2 * (3 + 2); low != want {
		t.Errorf("%d corners on the bottom, want %d: two for each side of the rim", low, want)
	}
}

func TestReliefRefuses(t *testing.T) {
	for _, bad := range []float64{100, 99, math.NaN(), math.Inf(1)} {
		if _, err := Relief(named("a"), named("b"), [][3]Point{{{0, 0, 200}, {100, 0, bad}, {0, 100, 200}}}, 100,
			nil); err != ErrBody {
			t.Errorf("%v: %v", bad, err)
		}
	}
	if _, err := DrawOnGround(nil, nil, nil, draw.Tag{}, nil, Level{}, Camera{math.NaN(), 0}); err != ErrCamera {
		t.Error(err)
	}
}
