package solid

import (
	"math"
	"math/rand"
	"strconv"
	"testing"

	"pegpour/engine/draw"
)

// shownAt is the body that the last area over a place belongs to.
func shownAt(elements []draw.Element, q draw.Point) string {
	for i := len(elements) - 1; i >= 0; i-- {
		if r, ok := elements[i].(draw.Region); ok && inside(r.Outer, q) {
			return r.ID
		}
	}
	return ""
}

// Painted apart, one sees what rays see: boxes that stand clear, that touch and
// that cut through one another.
func TestDrawApartSeesWhatRaysSee(t *testing.T) {
	for seed := range int64(60) {
		r := rand.New(rand.NewSource(seed))
		var bodies []Body
		for i := range 4 + r.Intn(12) {
			// On a coarse grid, so that many touch.
			x, y, z := float64(r.Intn(6))*400, float64(r.Intn(6))*400, float64(r.Intn(3))*300
			l, w, h := float64(1+r.Intn(3))*400, float64(1+r.Intn(2))*200, float64(1+r.Intn(4))*300
			bodies = append(bodies,
				must(t)(Box(named("b"+strconv.Itoa(i)), Point{x, y, z}, Point{x + l, y + w, z + h})))
		}
		c := Camera{r.Float64() * 7, 0.1 + r.Float64()*1.3}
		elements, err := DrawApart(bodies, c)
		if err != nil {
			t.Fatal(err)
		}
		box := draw.EmptyBox()
		for _, e := range elements {
			if a, ok := e.(draw.Region); ok {
				for _, q := range a.Outer {
					box.Grow(q)
				}
			}
		}
		for range 300 {
			q := draw.Pt(box.Min.X+r.Float64()*box.Width(), box.Min.Y+r.Float64()*box.Height())
			want, margin := seenAt(bodies, c, q)
			if margin < 1e-3 {
				continue
			}
			if got := shownAt(elements, q); got != want {
				t.Fatalf("seed %d: at %v one sees %q, the drawing shows %q (camera %+v)", seed, q, want, got, c)
			}
		}
	}
}

func TestDrawApartRefuses(t *testing.T) {
	for _, c := range []Camera{{math.NaN(), 0}, {0, math.NaN()}, {0, -0.1}, {math.Inf(1), 0}} {
		if _, err := DrawApart(nil, c); err != ErrCamera {
			t.Errorf("%+v: %v", c, err)
		}
	}
}

// The projection of a point is where Draw puts it.
func TestProjectAgreesWithDraw(t *testing.T) {
	c := Camera{0.7, 0.4}
	elements, err := Draw([]Body{must(t)(Box(named("box"), Point{0, 0, 0}, Point{500, 300, 50}))}, c)
	if err != nil {
		t.Fatal(err)
	}
	want, found := c.Project(Point{500, 300, 50}), false
	for _, e := range elements {
		if a, ok := e.(draw.Region); ok {
			for _, q := range a.Outer {
				found = found || math.Hypot(q.X-want.X, q.Y-want.Y) < 1e-9
			}
		}
	}
	if !found {
		t.Errorf("no corner at %v", want)
	}
	if !(c.Near(Point{0, -100, 0}) > c.Near(Point{0, 100, 0})) {
		t.Error("the viewer stands at negative y, and what is there is nearer")
	}
}
