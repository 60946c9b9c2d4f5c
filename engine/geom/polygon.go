package geom

import "math"

// Grid is the spacing to which overlays round coordinates, mm.
const Grid = 1e-6

// Farthest is the greatest coordinate an overlay takes, mm: ten kilometres.
const Farthest = 1e7

// Point is a place in the plan: X along, Y across, mm.
type Point struct {
	X float64 `json:"x"`
	Y float64 `json:"y"`
}

// Polygon is a simple closed ring without its first point repeated; a
// positive area means that it turns anticlockwise.
type Polygon []Point

// Area is the signed area by the shoelace formula, mm².
func (p Polygon) Area() float64 {
	var sum float64
	for i := range p {
		j := i + 1
		if j == len(p) {
			j = 0
		}
		// Taken from the first point, so that far-off frames lose nothing.
		sum += turn(p[0], p[i], p[j])
	}
	return sum / 2
}

// Centroid is the centre of area; the mean of the points where there is no
// area.
func (p Polygon) Centroid() Point {
	if len(p) == 0 {
		return Point{}
	}
	twice, mx, my := p.moments()
	if twice == 0 {
		var m Point
		for _, q := range p {
			m.X += q.X / float64(len(p))
			m.Y += q.Y / float64(len(p))
		}
		return m
	}
	return Point{p[0].X + mx/(3*twice), p[0].Y + my/(3*twice)}
}

// moments are twice the signed area and six times its moments about the first
// point.
func (p Polygon) moments() (twice, mx, my float64) {
	for i := range p {
		a, b := p[i], p[(i+1)%len(p)]
		w := turn(p[0], a, b)
		mx += float64((a.X + b.X - 2*p[0].X) * w)
		my += float64((a.Y + b.Y - 2*p[0].Y) * w)
		twice += w
	}
	return twice, mx, my
}

// Perimeter is the length all round, mm.
func (p Polygon) Perimeter() float64 {
	var sum float64
	for i := range p {
		a, b := p[i], p[(i+1)%len(p)]
		sum += hypot(b.X-a.X, b.Y-a.Y)
	}
	return sum
}

// Bounds are the least and greatest coordinates.
func (p Polygon) Bounds() (low, high Point) {
	low, high = Point{math.Inf(1), math.Inf(1)}, Point{math.Inf(-1), math.Inf(-1)}
	for _, q := range p {
		low.X, low.Y = min(low.X, q.X), min(low.Y, q.Y)
		high.X, high.Y = max(high.X, q.X), max(high.Y, q.Y)
	}
	return low, high
}

// Contains reports whether q lies inside p or on its boundary.
func (p Polygon) Contains(q Point) bool {
	inside := false
	for i := range p {
		a, b := p[i], p[(i+1)%len(p)]
		if onSegment(a, b, q) {
			return true
		}
		if (a.Y > q.Y) != (b.Y > q.Y) && q.X < a.X+float64((q.Y-a.Y)*(b.X-a.X))/(b.Y-a.Y) {
			inside = !inside
		}
	}
	return inside
}

// Moved is p shifted by dx and dy.
func (p Polygon) Moved(dx, dy float64) Polygon {
	moved := make(Polygon, len(p))
	for i, q := range p {
		moved[i] = Point{q.X + dx, q.Y + dy}
	}
	return moved
}

// Region is p as a region without holes.
func (p Polygon) Region() Region { return Region{Outer: p} }

func onSegment(a, b, q Point) bool {
	return turn(a, b, q) == 0 &&
		min(a.X, b.X) <= q.X && q.X <= max(a.X, b.X) &&
		min(a.Y, b.Y) <= q.Y && q.Y <= max(a.Y, b.Y)
}

// turn is twice the area of the triangle a, b, c: positive when it turns
// anticlockwise. The products are rounded on their own, so that every machine
// gives the same bits.
func turn(a, b, c Point) float64 {
	return float64((b.X-a.X)*(c.Y-a.Y)) - float64((b.Y-a.Y)*(c.X-a.X))
}

// hypot is the length of (dx, dy). The standard library's has machine code of
// its own on some machines and may differ there in the last bit; a square root
// does not.
func hypot(dx, dy float64) float64 { return math.Sqrt(float64(dx*dx) + float64(dy*dy)) }

func comparePoints(a, b Point) int {
	switch {
	case a.Y < b.Y:
		return -1
	case a.Y > b.Y:
		return 1
	case a.X < b.X:
		return -1
	case a.X > b.X:
		return 1
	}
	return 0
}

// onGrid is the nearest place of the grid.
func onGrid(p Point) Point { return Point{toGrid(p.X), toGrid(p.Y)} }

// toGrid adds nothing at the end to make a negative nothing a plain one.
func toGrid(v float64) float64 { return math.Round(v*(1/Grid))/(1/Grid) + 0 }
