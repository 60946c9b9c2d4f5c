// Package solid turns boxes and prisms into a drawing seen from a corner, with
// what lies behind hidden by what lies before it.
//
// Faces are put in a binary space partition and painted from the back to the
// front, split where they cut through one another; so the order is right for
// any arrangement, cyclic overlaps included, and not only for the common ones.
// The projection is parallel: equal lengths along one direction stay equal,
// as one expects of a drawing.
//
// Source of the method: H. Fuchs, Z. Kedem, B. Naylor, "On visible surface
// generation by a priori tree structures", SIGGRAPH 1980 (memory). Checked by
// casting rays through random scenes, see the tests.
package solid

import (
	"math"
	"slices"

	"pegpour/engine/draw"
	"pegpour/engine/refusal"
)

// Point in the model, mm: x and y as in a plan, z up.
type Point struct{ X, Y, Z float64 }

// Level is a plane z = Z + DX·x + DY·y: a level or a slope. Z in mm, DX and DY
// as plain ratios.
type Level struct{ Z, DX, DY float64 }

// At is the height of the level at x, y (mm).
func (l Level) At(x, y float64) float64 { return l.Z + l.DX*x + l.DY*y }

// ErrBody is returned for a body that has no volume or bad figures.
var ErrBody = error(refusal.Error(
	"an outline needs three or more finite corners, an area above 0 and no crossing sides, and the top must lie above the bottom at every corner"))

// Body is a solid with plane faces. Make it with [Box], [Prism] or [Extrude].
type Body struct {
	ownTag draw.Tag
	faces  []face
}

// face is a plane convex polygon, counter-clockwise seen from outside.
type face struct {
	tag    draw.Tag
	ps     []Point
	edge   []bool // edge i, from ps[i] to ps[i+1], is a real one
	normal Point  // unit, outwards
	dist   float64
}

// Box returns the box between two opposite corners. It returns ErrBody when
// they are not apart in all three directions.
func Box(tag draw.Tag, a, b Point) (Body, error) {
	ring := draw.RectRing(a.X, a.Y, b.X, b.Y)
	return Prism(tag, ring, Level{Z: min(a.Z, b.Z)}, Level{Z: max(a.Z, b.Z)})
}

// Prism returns the body over a plan outline (mm, either direction of turning,
// any simple polygon) between two levels. It returns ErrBody.
func Prism(tag draw.Tag, outline draw.Ring, bottom, top Level) (Body, error) {
	ring, ok := tidy(outline)
	if !ok {
		return Body{}, ErrBody
	}
	low, high := make([]Point, len(ring)), make([]Point, len(ring))
	for i, p := range ring {
		low[i] = Point{p.X, p.Y, bottom.At(p.X, p.Y)}
		high[i] = Point{p.X, p.Y, top.At(p.X, p.Y)}
		if !(high[i].Z > low[i].Z) || math.IsInf(high[i].Z, 0) || math.IsInf(low[i].Z, 0) {
			return Body{}, ErrBody
		}
	}
	return caps(tag, ring, low, high)
}

// Extrude returns the body between an outline (as for [Prism]) set up at two places:
// near and far say where each point of it lies (mm), so that each of the two comes to lie
// in a plane, and far on the side from which the outline turns counter-clockwise. Where near
// is nil the outline is a sheet, seen from that side only. It returns ErrBody.
func Extrude(tag draw.Tag, outline draw.Ring, near, far func(draw.Point) Point) (Body, error) {
	ring, ok := tidy(outline)
	if !ok {
		return Body{}, ErrBody
	}
	var low []Point
	high := make([]Point, len(ring))
	for i, p := range ring {
		high[i] = far(p)
		if near != nil {
			low = append(low, near(p))
		}
	}
	return caps(tag, ring, low, high)
}

// caps makes the faces at both ends of a body and between them; low is empty for a sheet.
func caps(tag draw.Tag, ring draw.Ring, low, high []Point) (Body, error) {
	n := len(ring)
	b := Body{ownTag: tag, faces: make([]face, 0, 3*n)}
	var triangles [][3]int
	if convex(ring) { // one face, not many
		b.add(high, every(n))
		if len(low) > 0 {
			turned := slices.Clone(low)
			slices.Reverse(turned)
			b.add(turned, every(n))
		}
	} else if triangles, _ = earClip(ring); triangles == nil {
		return Body{}, ErrBody
	}
	for _, t := range triangles {
		real := [3]bool{t[1] == (t[0]+1)%n, t[2] == (t[1]+1)%n, t[0] == (t[2]+1)%n}
		b.add([]Point{high[t[0]], high[t[1]], high[t[2]]}, real[:])
		if len(low) > 0 {
			b.add([]Point{low[t[2]], low[t[1]], low[t[0]]}, []bool{real[1], real[0], real[2]})
		}
	}
	for i := range low {
		j := (i + 1) % n
		b.add([]Point{low[i], low[j], high[j], high[i]}, []bool{true, true, true, true})
	}
	return b, nil
}

// convex reports whether a counter-clockwise ring turns one way at every corner.
func convex(ring draw.Ring) bool {
	n := len(ring)
	turned := 0.0 // a star turns one way too, but more than once round
	for i, p := range ring {
		q, r := ring[(i+1)%n], ring[(i+2)%n]
		a := turn(p, q, r)
		if a <= 0 {
			return false
		}
		turned += math.Atan2(a, (q.X-p.X)*(r.X-q.X)+(q.Y-p.Y)*(r.Y-q.Y))
	}
	return turned < 3*math.Pi
}

// every is n edges that are all real.
func every(n int) []bool {
	out := make([]bool, n)
	for i := range out {
		out[i] = true
	}
	return out
}

func (b *Body) add(ps []Point, edge []bool) {
	n := unit(crossProduct(minus(ps[1], ps[0]), minus(ps[2], ps[0])))
	if n == (Point{}) {
		return
	}
	b.faces = append(b.faces, face{b.ownTag, ps, append([]bool(nil), edge...), n, dot(n, ps[0])})
}

// tidy returns the outline counter-clockwise without repeated points.
func tidy(outline draw.Ring) (draw.Ring, bool) {
	var ring draw.Ring
	for _, p := range outline {
		if !(math.Abs(p.X) <= 1e7) || !(math.Abs(p.Y) <= 1e7) {
			return nil, false
		}
		if len(ring) == 0 || p != ring[len(ring)-1] {
			ring = append(ring, p)
		}
	}
	for len(ring) > 1 && ring[0] == ring[len(ring)-1] {
		ring = ring[:len(ring)-1]
	}
	area := 0.0
	for i, p := range ring {
		q := ring[(i+1)%len(ring)]
		area += p.X*q.Y - q.X*p.Y
	}
	if len(ring) < 3 || math.Abs(area) < 1e-6 {
		return nil, false
	}
	if area < 0 {
		for i, j := 0, len(ring)-1; i < j; i, j = i+1, j-1 {
			ring[i], ring[j] = ring[j], ring[i]
		}
	}
	return ring, true
}

// earClip cuts a simple counter-clockwise polygon into triangles of indices.
func earClip(ring draw.Ring) ([][3]int, bool) {
	left := make([]int, len(ring))
	for i := range left {
		left[i] = i
	}
	var out [][3]int
	for len(left) > 3 {
		cut := false
		for i := range left {
			a, b, c := left[(i+len(left)-1)%len(left)], left[i], left[(i+1)%len(left)]
			if turn(ring[a], ring[b], ring[c]) <= 0 || holdsAny(ring, left, a, b, c) {
				continue
			}
			out = append(out, [3]int{a, b, c})
			left = append(left[:i], left[i+1:]...)
			cut = true
			break
		}
		if cut {
			continue
		}
		// Only corners in one line are left over: drop one.
		for i := range left {
			a, b, c := left[(i+len(left)-1)%len(left)], left[i], left[(i+1)%len(left)]
			if turn(ring[a], ring[b], ring[c]) == 0 {
				left = append(left[:i], left[i+1:]...)
				cut = true
				break
			}
		}
		if !cut {
			return nil, false
		}
	}
	return append(out, [3]int{left[0], left[1], left[2]}), true
}

func holdsAny(ring draw.Ring, left []int, a, b, c int) bool {
	for _, k := range left {
		if k == a || k == b || k == c {
			continue
		}
		p := ring[k]
		if p == ring[a] || p == ring[b] || p == ring[c] {
			continue
		}
		if turn(ring[a], ring[b], p) >= 0 && turn(ring[b], ring[c], p) >= 0 && turn(ring[c], ring[a], p) >= 0 {
			return true
		}
	}
	return false
}

func turn(a, b, c draw.Point) float64 {
	return (b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X)
}

func minus(a, b Point) Point { return Point{a.X - b.X, a.Y - b.Y, a.Z - b.Z} }

func dot(a, b Point) float64 { return a.X*b.X + a.Y*b.Y + a.Z*b.Z }

func crossProduct(a, b Point) Point {
	return Point{a.Y*b.Z - a.Z*b.Y, a.Z*b.X - a.X*b.Z, a.X*b.Y - a.Y*b.X}
}

func unit(a Point) Point {
	l := math.Sqrt(dot(a, a))
	if !(l > 0) {
		return Point{}
	}
	return Point{a.X / l, a.Y / l, a.Z / l}
}
