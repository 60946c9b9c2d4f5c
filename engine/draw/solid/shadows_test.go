package solid

import (
	"math/rand"
	"strconv"
	"testing"

	"pegpour/engine/draw"
)

// hit reports whether a ray from a place meets a body.
func hit(bodies []Body, from, way Point) bool {
	for _, b := range bodies {
		for _, f := range b.faces {
			slope := dot(f.normal, way)
			if slope > -1e-9 && slope < 1e-9 {
				continue
			}
			t := (f.dist - dot(f.normal, from)) / slope
			if t < 1e-3 {
				continue
			}
			at := Point{from.X + t*way.X, from.Y + t*way.Y, from.Z + t*way.Z}
			in := true
			for i, a := range f.ps {
				side := crossProduct(f.normal, minus(f.ps[(i+1)%len(f.ps)], a))
				in = in && dot(side, minus(at, a)) >= 0
			}
			if in {
				return true
			}
		}
	}
	return false
}

// within reports whether a place of the drawing lies in a ring that turns one way.
func within(ring draw.Ring, q draw.Point) bool {
	in := true
	for i, a := range ring {
		in = in && turn(a, ring[(i+1)%len(ring)], q) >= 0
	}
	return in
}

// A place on sloping, broken ground with a slot in it lies in a shadow where a ray to the
// sun meets something, and nowhere else.
func TestShadowsOnSlopesAreWhereRaysMeetSomething(t *testing.T) {
	dark, lit := 0, 0
	for seed := range int64(40) {
		r := rand.New(rand.NewSource(seed))
		dx, dy, bent := (r.Float64()-0.5)*0.3, (r.Float64()-0.5)*0.3, (r.Float64()-0.5)*0.4
		plane := func(drop float64) func(x, y float64) float64 {
			return func(x, y float64) float64 { return 2000 - drop + dx*x + dy*y + bent*max(0, x-2000) }
		}
		tag := func(id string) draw.Tag { return draw.Tag{ID: id, Material: draw.MaterialEarth} }
		lay := func(id string, y1, y2, drop float64) Body {
			return must(t)(Relief(tag(id), tag(id), hill(0, y1, 4000, y2, 400, plane(drop)), 0, nil))
		}
		ground := []Body{lay("near", -1200, 0, 0), lay("slot", 0, 800, 400), lay("far", 800, 2400, 0)}
		all := append([]Body(nil), ground...)
		for i := range 3 + r.Intn(6) {
			x, y := r.Float64()*3400, r.Float64()*3000-1200
			z := plane(400)(x, y)
			all = append(all, must(t)(Box(tag("b"+strconv.Itoa(i)), Point{x, y, z}, Point{x + 100 + 500*r.Float64(), y + 100 +
				400*r.Float64(), z + 500 + 1200*r.Float64()})))
		}
		c := Camera{r.Float64() * 7, 0.35 + r.Float64()}
		sun, thrown := c.Sun(), newShadows(all, c)
		pieces, err := paint(ground, c)
		if err != nil {
			t.Fatal(err)
		}
		for i := range pieces {
			p := &pieces[i]
			if p.light == draw.LightShade {
				if rings := thrown.on(p); len(rings) > 0 {
					t.Fatal("a shadow on what the sun does not reach")
				}
				continue
			}
			rings := thrown.on(p)
			for range 6 {
				var at Point
				sum := 0.0
				for _, q := range p.of.ps {
					w := 0.05 + r.Float64()
					at, sum = Point{at.X + w*q.X, at.Y + w*q.Y, at.Z + w*q.Z}, sum+w
				}
				at = Point{at.X / sum, at.Y / sum, at.Z / sum}
				want, clear := hit(all, at, sun), true
				for _, d := range [...]Point{{X: 12}, {X: -12}, {Y: 12}, {Y: -12}} { // none at the rim of a shadow
					d.Z = -(p.of.normal.X*d.X + p.of.normal.Y*d.Y) / p.of.normal.Z
					if p.of.normal.Z < 0.2 {
						d = Point{}
					}
					clear = clear && hit(all, Point{at.X + d.X, at.Y + d.Y, at.Z + d.Z}, sun) == want
				}
				if !clear {
					continue
				}
				got := false
				for _, ring := range rings {
					got = got || within(ring, c.Project(at))
				}
				if got != want {
					t.Fatalf("seed %d: %v on %s lies in a shadow: %v, not %v (camera %+v)", seed, at, p.tag.ID, got, want, c)
				}
				if want {
					dark++
				} else {
					lit++
				}
			}
		}
	}
	if dark < 1000 || lit < 1000 {
		t.Fatalf("%d places in shadows and %d in the sun", dark, lit)
	}
}
