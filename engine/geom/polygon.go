// Package geom is plane geometry for layouts: simple polygons, broken-line
// edges, unions and areas. It knows no gates. Lengths are mm, areas mm².
package geom

import "math"

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
		sum += (p[i].X-p[0].X)*(p[j].Y-p[0].Y) - (p[j].X-p[0].X)*(p[i].Y-p[0].Y)
	}
	return sum / 2
}

// Centroid is the centre of area; the mean of the points where there is no
// area.
func (p Polygon) Centroid() Point {
	if len(p) == 0 {
		return Point{}
	}
	var cx, cy, twice float64
	for i := range p {
		a, b := p[i], p[(i+1)%len(p)]
		w := (a.X-p[0].X)*(b.Y-p[0].Y) - (b.X-p[0].X)*(a.Y-p[0].Y)
		cx += (a.X + b.X - 2*p[0].X) * w
		cy += (a.Y + b.Y - 2*p[0].Y) * w
		twice += w
	}
	if twice == 0 {
		var m Point
		for _, q := range p {
			m.X += q.X / float64(len(p))
			m.Y += q.Y / float64(len(p))
		}
		return m
	}
	return Point{p[0].X + cx/(3*twice), p[0].Y + cy/(3*twice)}
}

// Bounds are the least and greatest coordinates.
func (p Polygon) Bounds() (low, high Point) {
	low, high = Point{math.Inf(1), math.Inf(1)}, Point{math.Inf(-1), math.Inf(-1)}
	for _, q := range p {
		low.X, low.Y = math.Min(low.X, q.X), math.Min(low.Y, q.Y)
		high.X, high.Y = math.Max(high.X, q.X), math.Max(high.Y, q.Y)
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
		if (a.Y > q.Y) != (b.Y > q.Y) && q.X < a.X+(q.Y-a.Y)*(b.X-a.X)/(b.Y-a.Y) {
			inside = !inside
		}
	}
	return inside
}

func onSegment(a, b, q Point) bool {
	return (b.X-a.X)*(q.Y-a.Y)-(b.Y-a.Y)*(q.X-a.X) == 0 &&
		math.Min(a.X, b.X) <= q.X && q.X <= math.Max(a.X, b.X) &&
		math.Min(a.Y, b.Y) <= q.Y && q.Y <= math.Max(a.Y, b.Y)
}
