package solid

import (
	"errors"
	"math"
	"math/rand"
	"strconv"
	"testing"

	"pegpour/engine/draw"
	"pegpour/engine/draw/golden"
)

const goldenDir = "../../../testdata/drawings"

func named(id string) draw.Tag { return draw.Tag{ID: id, Role: draw.RoleOutline, Context: true} }

func must(t testing.TB) func(Body, error) Body {
	return func(b Body, err error) Body {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
}

// topAt is the body seen at a place of the drawing: the last piece painted
// over it.
func topAt(pieces []piece, q draw.Point) string {
	for i := len(pieces) - 1; i >= 0; i-- {
		if inside(pieces[i].ring, q) {
			return pieces[i].tag.ID
		}
	}
	return ""
}

func inside(ring draw.Ring, q draw.Point) bool {
	in := false
	for i := range ring {
		a, b := ring[i], ring[(i+1)%len(ring)]
		if (a.Y > q.Y) != (b.Y > q.Y) && q.X < a.X+(q.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			in = !in
		}
	}
	return in
}

// seenAt is the same by a ray towards the scene: the face hit nearest to the
// viewer. depth tells how clearly it is the nearest.
func seenAt(bodies []Body, c Camera, q draw.Point) (id string, margin float64) {
	right, up, toward := c.frame()
	from := Point{right.X*q.X + up.X*q.Y, right.Y*q.X + up.Y*q.Y, right.Z*q.X + up.Z*q.Y}
	best, second := math.Inf(-1), math.Inf(-1)
	for _, b := range bodies {
		for _, f := range b.faces {
			along := dot(f.normal, toward)
			if along <= 1e-9 {
				continue
			}
			depth := (f.dist - dot(f.normal, from)) / along
			ring := make(draw.Ring, len(f.ps))
			for i, p := range f.ps {
				ring[i] = draw.Pt(dot(p, right), dot(p, up))
			}
			if !inside(ring, q) {
				continue
			}
			switch {
			case depth > best:
				best, second, id = depth, best, b.ownTag.ID
			case depth > second:
				second = depth
			}
		}
	}
	return id, best - second
}

func wantOrder(t *testing.T, bodies []Body, c Camera, r *rand.Rand, samples int) {
	t.Helper()
	pieces, err := paint(bodies, c)
	if err != nil {
		t.Fatal(err)
	}
	box := draw.EmptyBox()
	for _, p := range pieces {
		for _, q := range p.ring {
			box.Grow(q)
		}
	}
	for range samples {
		q := draw.Pt(box.Min.X+r.Float64()*box.Width(), box.Min.Y+r.Float64()*box.Height())
		want, margin := seenAt(bodies, c, q)
		if margin < 1e-3 {
			continue // two faces at one depth: either may show
		}
		if got := topAt(pieces, q); got != want {
			t.Fatalf("at %v one sees %q, the drawing shows %q (camera %+v)", q, want, got, c)
		}
	}
}

func TestDrawOrderRandomBodies(t *testing.T) {
	for seed := range int64(120) {
		r := rand.New(rand.NewSource(seed))
		var bodies []Body
		for i := range 2 + r.Intn(9) {
			x, y, z := r.Float64()*3000, r.Float64()*3000, r.Float64()*1000
			l, w := 100+r.Float64()*2000, 100+r.Float64()*1200
			var ring draw.Ring
			switch r.Intn(3) {
			case 0:
				ring = draw.RectRing(x, y, x+l, y+w)
			case 1: // L
				ring = draw.Ring{{X: x, Y: y}, {X: x + l, Y: y}, {X: x + l, Y: y + w/3}, {X: x + l/3, Y: y + w/3},
					{X: x + l/3, Y: y + w}, {X: x, Y: y + w}}
			case 2: // turned
				s, co := math.Sincos(r.Float64() * 3)
				for _, p := range draw.RectRing(0, 0, l, w) {
					ring = append(ring, draw.Pt(x+p.X*co-p.Y*s, y+p.X*s+p.Y*co))
				}
			}
			top := Level{Z: z + 1500, DX: 0.05 * (r.Float64() - 0.5), DY: 0.05 * (r.Float64() - 0.5)}
			bodies = append(bodies, must(t)(Prism(named("b"+strconv.Itoa(i)), ring, Level{Z: z}, top)))
		}
		wantOrder(t, bodies, Camera{r.Float64() * 7, 0.1 + r.Float64()*1.3}, r, 300)
	}
}

// Three bars each over the next and under the last: no order of whole bodies is
// right, only splitting is.
func TestDrawOrderCyclicOverlap(t *testing.T) {
	bars := []Body{
		must(t)(Prism(named("a"), draw.RectRing(0, 0, 1000, 100), Level{Z: 0, DX: 0.3}, Level{Z: 50, DX: 0.3})),
		must(t)(Prism(named("b"), draw.RectRing(900, 0, 1000, 1000), Level{Z: 100, DY: 0.3}, Level{Z: 150, DY: 0.3})),
		must(t)(Prism(named("c"), draw.Ring{{X: 0, Y: -60}, {X: 1060, Y: 1000}, {X: 940, Y: 1000}, {X: -120, Y: -60}},
			Level{Z: 200, DX: -0.1}, Level{Z: 250, DX: -0.1})),
	}
	r := rand.New(rand.NewSource(1))
	for _, e := range []float64{0.3, 0.8, 1.5, math.Pi / 2} {
		for a := 0.0; a < 6.3; a += 0.7 {
			wantOrder(t, bars, Camera{a, e}, r, 300)
		}
	}
}

func TestPrismFacesCloseTheBody(t *testing.T) {
	ring := draw.Ring{{X: 0, Y: 0}, {X: 900, Y: 0}, {X: 900, Y: 300}, {X: 400, Y: 300}, {X: 400, Y: 700},
		{X: 0, Y: 700}}
	b := must(t)(Prism(named("l"), ring, Level{}, Level{Z: 350}))
	// By the divergence theorem the volume is a third of Σ area·distance.
	volume := 0.0
	for _, f := range b.faces {
		for i := 1; i+1 < len(f.ps); i++ {
			volume += dot(f.ps[0], crossProduct(f.ps[i], f.ps[i+1])) / 6
		}
	}
	if want := (900*300 + 400*400) * 350.0; math.Abs(volume-want) > 1e-3 {
		t.Errorf("volume %g, want %g", volume, want)
	}
}

// Seen straight down a body is its plan.
func TestDrawFromAboveIsThePlan(t *testing.T) {
	b := must(t)(Box(named("box"), Point{100, 200, 0}, Point{500, 300, 50}))
	elements, err := Draw([]Body{b}, Camera{0, math.Pi / 2})
	if err != nil {
		t.Fatal(err)
	}
	box := draw.EmptyBox()
	lines := 0
	for _, e := range elements {
		switch e := e.(type) {
		case draw.Region:
			for _, p := range e.Outer {
				box.Grow(p)
			}
		case draw.Line:
			lines++
		}
	}
	if math.Abs(box.Min.X-100)+math.Abs(box.Min.Y-200)+math.Abs(box.Width()-400)+math.Abs(box.Height()-100) > 1e-9 ||
		lines != 4 {
		t.Errorf("box %v with %d lines, want the plan with 4", box, lines)
	}
}

func TestRefuses(t *testing.T) {
	nan := math.NaN()
	for name, f := range map[string]func() (Body, error){
		"flat box": func() (Body, error) { return Box(named("x"), Point{}, Point{1, 1, 0}) },
		"NaN":      func() (Body, error) { return Box(named("x"), Point{}, Point{nan, 1, 1}) },
		"NaN level": func() (Body, error) {
			return Prism(named("x"), draw.RectRing(0, 0, 1, 1), Level{}, Level{Z: nan})
		},
		"two corners": func() (Body, error) {
			return Prism(named("x"), draw.Ring{{X: 0}, {X: 1}}, Level{}, Level{Z: 1})
		},
		"no area": func() (Body, error) {
			return Prism(named("x"), draw.Ring{{X: 0}, {X: 1}, {X: 2}}, Level{}, Level{Z: 1})
		},
		"levels crossed": func() (Body, error) {
			return Prism(named("x"), draw.RectRing(0, 0, 9, 9), Level{}, Level{Z: 1, DX: -1})
		},
	} {
		if _, err := f(); !errors.Is(err, ErrBody) {
			t.Errorf("%s: %v", name, err)
		}
	}
	for _, c := range []Camera{{nan, 0}, {0, nan}, {0, -0.1}, {0, 2}, {math.Inf(1), 0}} {
		if _, err := Draw(nil, c); !errors.Is(err, ErrCamera) {
			t.Errorf("%+v: %v", c, err)
		}
	}
}

func footing(t testing.TB) []Body {
	gate := named("gate")
	gate.Role = draw.RoleGate
	return []Body{
		must(t)(Prism(named("footing"), draw.Ring{{X: 0, Y: 0}, {X: 7200, Y: 0}, {X: 7200, Y: 400}, {X: 5100, Y: 400},
			{X: 5100, Y: 1100}, {X: 4200, Y: 1100}, {X: 4200, Y: 400}, {X: 0, Y: 400}}, Level{Z: -350}, Level{})),
		must(t)(Box(named("post.latch"), Point{-100, -100, -300}, Point{0, 0, 1800})),
		must(t)(Box(named("post.runback"), Point{4000, -100, -300}, Point{4100, 0, 1800})),
		must(t)(Box(gate, Point{300, 170, 80}, Point{4400, 230, 1780})),
		must(t)(Box(named("motor"), Point{4450, 400, 0}, Point{4750, 700, 350})),
	}
}

func TestDrawGolden(t *testing.T) {
	elements, err := Draw(footing(t), Camera{-0.5, 0.5})
	if err != nil {
		t.Fatal(err)
	}
	s := &draw.Scene{Title: "Seen from the street", Desc: "Footing, posts, gate half open and motor."}
	s.Add(elements...)
	s.Add(draw.Leader{Tag: draw.Tag{ID: "note"}, At: elements[0].(draw.Region).Outer[0], Text: "Footing"})
	got, err := draw.Render(s, draw.Phone(390, 0), draw.Options{Standalone: true})
	if err != nil {
		t.Fatal(err)
	}
	golden.Compare(t, goldenDir+"/solid.svg", got)
}

func BenchmarkDraw(b *testing.B) {
	bodies := footing(b)
	for b.Loop() {
		if _, err := Draw(bodies, Corner); err != nil {
			b.Fatal(err)
		}
	}
}
