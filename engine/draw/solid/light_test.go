package solid

import (
	"math"
	"math/rand"
	"testing"

	"pegpour/engine/draw"
)

// Lambert's law: a face turned by an angle from the sun gets the cosine of it, none when
// turned away. The steps follow it.
func TestLightFollowsTheCosine(t *testing.T) {
	sun := Camera{}.Sun()
	across := unit(crossProduct(sun, Point{Z: 1}))
	last := draw.LightFull
	for deg := 0.0; deg <= 180; deg++ {
		sin, cos := math.Sincos(deg * math.Pi / 180)
		normal := Point{cos*sun.X + sin*across.X, cos*sun.Y + sin*across.Y, cos*sun.Z + sin*across.Z}
		got := Light(normal, sun)
		if got > last {
			t.Errorf("brighter at %g° than before", deg)
		}
		last = got
		want := draw.LightShade
		for _, step := range []struct {
			least float64
			light draw.Light
		}{{0.6, draw.LightFull}, {0.4, draw.LightHalf}, {0.1, draw.LightLow}} {
			if cos > step.least {
				want = step.light
				break
			}
		}
		if got != want && math.Abs(cos-0.6) > 1e-9 && math.Abs(cos-0.4) > 1e-9 && math.Abs(cos-0.1) > 1e-9 {
			t.Errorf("light %d at %g°, want %d", got, deg, want)
		}
	}
}

// From both sides of the fence its face is lit, the ground more so, and the end in view is
// in shade.
func TestSunStandsBehindTheViewer(t *testing.T) {
	for _, c := range []Camera{{-math.Pi / 5, math.Pi / 6}, {math.Pi + math.Pi/5, math.Pi / 6}} {
		sun := c.Sun()
		if l := math.Sqrt(dot(sun, sun)); math.Abs(l-1) > 1e-12 {
			t.Errorf("length %g", l)
		}
		_, _, toward := c.frame()
		for normal, want := range map[Point]draw.Light{{Z: 1}: draw.LightFull, {Y: math.Copysign(1, toward.Y)}: draw.LightHalf,
			{X: math.Copysign(1, toward.X)}: draw.LightShade} {
			if dot(normal, toward) <= 0 {
				t.Fatalf("%v is not in view", normal)
			}
			if got := Light(normal, sun); got != want {
				t.Errorf("light %d on %v, want %d", got, normal, want)
			}
		}
	}
}

// A place on the ground is in shadow where a line from it to the sun meets a body.
func TestShadowIsWhereTheSunIsHidden(t *testing.T) {
	r := rand.New(rand.NewSource(3))
	low, high := draw.Pt(-1500, -1000), draw.Pt(2500, 3000)
	dark, bright := 0, 0
	for range 40 {
		sun := Camera{Azimuth: r.Float64() * 7, Elevation: 0.5}.Sun()
		type block struct{ a, b Point }
		var blocks []block
		var bodies []Body
		for range 1 + r.Intn(4) {
			a := Point{r.Float64() * 2000, r.Float64() * 2000, r.Float64() * 500}
			b := Point{a.X + 50 + r.Float64()*1000, a.Y + 50 + r.Float64()*1000, a.Z + 50 + r.Float64()*1500}
			blocks = append(blocks, block{a, b})
			bodies = append(bodies, must(t)(Box(named("b"), a, b)))
		}
		rings := Shadow(bodies, sun, low, high)
		for _, ring := range rings {
			turned := 0.0
			for i, q := range ring {
				n := ring[(i+1)%len(ring)]
				turned += q.X*n.Y - n.X*q.Y
				if q.X < low.X-1e-3 || q.X > high.X+1e-3 || q.Y < low.Y-1e-3 || q.Y > high.Y+1e-3 {
					t.Fatalf("%v lies outside", q)
				}
			}
			if turned < -1e-6 {
				t.Fatal("a ring turns the other way")
			}
		}
		for range 300 {
			q := draw.Pt(low.X+r.Float64()*(high.X-low.X), low.Y+r.Float64()*(high.Y-low.Y))
			want, close := false, false
			for _, b := range blocks {
				from, to := 0.0, math.Inf(1)
				for _, axis := range [][4]float64{{q.X, sun.X, b.a.X, b.b.X}, {q.Y, sun.Y, b.a.Y, b.b.Y},
					{0, sun.Z, b.a.Z, b.b.Z}} {
					s, e := (axis[2]-axis[0])/axis[1], (axis[3]-axis[0])/axis[1]
					from, to = math.Max(from, math.Min(s, e)), math.Min(to, math.Max(s, e))
				}
				want = want || to > from
				close = close || math.Abs(to-from) < 1e-3
			}
			got := false
			for _, ring := range rings {
				got = got || inside(ring, q)
			}
			if got != want && !close {
				t.Fatalf("at %v shadow %v, want %v", q, got, want)
			}
			if want {
				dark++
			} else {
				bright++
			}
		}
	}
	if dark < 500 || bright < 500 {
		t.Errorf("%d places in shadow, %d in the sun", dark, bright)
	}
}

// A body of a material has a light on each face; one of none is hatched as before.
func TestDrawLightsMaterials(t *testing.T) {
	for _, m := range []draw.Material{draw.MaterialNone, draw.MaterialSteel} {
		tag := named("box")
		tag.Material = m
		box := must(t)(Box(tag, Point{}, Point{100, 200, 300}))
		one, err := Draw([]Body{box}, Camera{-0.5, 0.5})
		if err != nil {
			t.Fatal(err)
		}
		two, err := DrawApart([]Body{box}, Camera{-0.5, 0.5})
		if err != nil {
			t.Fatal(err)
		}
		for _, elements := range [][]draw.Element{one, two} {
			lights := map[draw.Light]int{}
			for _, e := range elements {
				if r, ok := e.(draw.Region); ok {
					lights[r.Light]++
					if (r.Hatch == draw.HatchNone) != (m != draw.MaterialNone) {
						t.Errorf("material %d: hatch %d", m, r.Hatch)
					}
				}
			}
			if m == draw.MaterialNone && lights[draw.LightNone] != 3 || m != draw.MaterialNone &&
				(lights[draw.LightFull] != 1 || lights[draw.LightHalf] != 1 || lights[draw.LightShade] != 1) {
				t.Errorf("material %d: %v", m, lights)
			}
		}
	}
}
