package geom

import (
	"pegpour/engine/sorting"

	"math"
	"slices"

	"pegpour/engine/refusal"
)

// Edge is a broken line that is a function x_e(y): one chainage for every
// offset. Beyond its ends it runs on straight. The zero Edge is the line x = 0.
type Edge struct{ points []Point }

// ErrEdge is returned for points that are not a function of the offset.
var ErrEdge = error(refusal.Error("an edge needs two points or more, each at an offset of its own"))

// NewEdge makes an edge of two points or more in any order. It returns
// ErrEdge when two share an offset or a coordinate is not finite.
func NewEdge(points []Point) (Edge, error) {
	if len(points) < 2 {
		return Edge{}, ErrEdge
	}
	sorted := slices.Clone(points)
	sorting.By(sorted, func(a, b Point) int {
		switch {
		case a.Y < b.Y:
			return -1
		case a.Y > b.Y:
			return 1
		}
		return 0
	})
	for i, p := range sorted {
		if math.IsNaN(p.X-p.X) || math.IsNaN(p.Y-p.Y) || i > 0 && p.Y <= sorted[i-1].Y {
			return Edge{}, ErrEdge
		}
	}
	return Edge{points: sorted}, nil
}

// At is x_e(y).
func (e Edge) At(y float64) float64 {
	n := len(e.points)
	if n < 2 {
		return 0
	}
	i := 1
	for i < n-1 && y > e.points[i].Y {
		i++
	}
	a, b := e.points[i-1], e.points[i]
	if a.X == b.X {
		return a.X
	}
	return a.X + (y-a.Y)*(b.X-a.X)/(b.Y-a.Y)
}

// MaxOver is the greatest x_e(y) for y1 ≤ y ≤ y2: at one of the ends or at a
// vertex between.
func (e Edge) MaxOver(y1, y2 float64) float64 {
	most := max(e.At(y1), e.At(y2))
	for _, p := range e.points {
		if p.Y > y1 && p.Y < y2 {
			most = max(most, p.X)
		}
	}
	return most
}

// MinOver is the least x_e(y) for y1 ≤ y ≤ y2.
func (e Edge) MinOver(y1, y2 float64) float64 {
	least := min(e.At(y1), e.At(y2))
	for _, p := range e.points {
		if p.Y > y1 && p.Y < y2 {
			least = min(least, p.X)
		}
	}
	return least
}

// Between is the edge from y1 to y2 as a polyline, for drawing.
func (e Edge) Between(y1, y2 float64) []Point {
	line := []Point{{e.At(y1), y1}}
	for _, p := range e.points {
		if p.Y > y1 && p.Y < y2 && !e.straightAt(p.Y) {
			line = append(line, p)
		}
	}
	return append(line, Point{e.At(y2), y2})
}

// straightAt reports whether the edge does not bend at its vertex of offset y.
func (e Edge) straightAt(y float64) bool {
	for i := 1; i < len(e.points)-1; i++ {
		if e.points[i].Y == y {
			a, b, c := e.points[i-1], e.points[i], e.points[i+1]
			return (b.X-a.X)*(c.Y-b.Y) == (c.X-b.X)*(b.Y-a.Y)
		}
	}
	return true
}

// Band returns the part of the box x1..x2, y1..y2 with near(y) ≤ x ≤ far(y);
// either edge may be nil. The sides along an edge follow it; where the edges
// leave no width the band falls into several polygons, from the least offset
// upwards. Each turns anticlockwise and starts at its lowest, nearest corner.
func Band(x1, y1, x2, y2 float64, near, far *Edge) []Polygon {
	if !(y2 > y1) || !(x2 > x1) {
		return nil
	}
	left := func(y float64) float64 {
		if near == nil {
			return x1
		}
		return max(x1, near.At(y))
	}
	right := func(y float64) float64 {
		if far == nil {
			return x2
		}
		return min(x2, far.At(y))
	}
	ys := breaks(x1, y1, x2, y2, near, far)
	var out []Polygon
	var lower, upper []Point // far side going up, near side going up
	flush := func() {
		if len(lower) >= 2 {
			ring := make(Polygon, 0, len(lower)+len(upper))
			ring = append(ring, upper[0])
			ring = append(ring, lower...)
			for i := len(upper) - 1; i > 0; i-- {
				ring = append(ring, upper[i])
			}
			if ring = tidy(ring); len(ring) >= 3 {
				out = append(out, ring)
			}
		}
		lower, upper = lower[:0:0], upper[:0:0]
	}
	for i := 1; i < len(ys); i++ {
		mid := (ys[i-1] + ys[i]) / 2
		if right(mid) <= left(mid) {
			flush()
			continue
		}
		for _, y := range ys[i-1 : i+1] {
			if n := len(upper); n == 0 || upper[n-1].Y != y {
				l, r := left(y), max(left(y), right(y))
				upper, lower = append(upper, Point{l, y}), append(lower, Point{r, y})
			}
		}
	}
	flush()
	return out
}

// breaks are the offsets at which a side of the band bends, in order.
func breaks(x1, y1, x2, y2 float64, near, far *Edge) []float64 {
	ys := []float64{y1, y2}
	add := func(y float64) {
		if y > y1 && y < y2 {
			ys = append(ys, y)
		}
	}
	cross := func(e *Edge, x float64) {
		if e == nil {
			return
		}
		for i := 1; i < len(e.points); i++ {
			a, b := e.points[i-1], e.points[i]
			if a.X == b.X {
				continue
			}
			y := a.Y + (x-a.X)*(b.Y-a.Y)/(b.X-a.X)
			if (i == 1 || y >= a.Y) && (i == len(e.points)-1 || y <= b.Y) {
				add(y)
			}
		}
	}
	for _, e := range [...]*Edge{near, far} {
		if e != nil {
			for _, p := range e.points {
				add(p.Y)
			}
			cross(e, x1)
			cross(e, x2)
		}
	}
	if near != nil && far != nil {
		crossings(near, far, add)
	}
	slices.Sort(ys)
	return slices.Compact(ys)
}

// crossings adds every offset at which two edges meet.
func crossings(a, b *Edge, add func(float64)) {
	ys := make([]float64, 0, len(a.points)+len(b.points)+2)
	for _, e := range [...]*Edge{a, b} {
		for _, p := range e.points {
			ys = append(ys, p.Y)
		}
	}
	slices.Sort(ys)
	if len(ys) == 0 {
		return
	}
	const far = 1e7
	ys = append(append([]float64{ys[0] - far}, ys...), ys[len(ys)-1]+far)
	for i := 1; i < len(ys); i++ {
		d1, d2 := a.At(ys[i-1])-b.At(ys[i-1]), a.At(ys[i])-b.At(ys[i])
		if d1*d2 < 0 {
			add(ys[i-1] + (ys[i]-ys[i-1])*d1/(d1-d2))
		}
	}
}

// tidy drops repeated points and points on a straight stretch.
func tidy(ring Polygon) Polygon {
	for again := true; again && len(ring) >= 3; {
		again = false
		for i := 0; i < len(ring); i++ {
			a, b, c := ring[(i+len(ring)-1)%len(ring)], ring[i], ring[(i+1)%len(ring)]
			if a == b || (b.X-a.X)*(c.Y-b.Y) == (c.X-b.X)*(b.Y-a.Y) {
				ring = slices.Delete(ring, i, i+1)
				again = true
				break
			}
		}
	}
	return ring
}
