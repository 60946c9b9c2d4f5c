package geom

import "math"

// Region is a polygon with holes. The outer ring turns anticlockwise, the holes
// clockwise; each starts at its least offset, then least chainage.
type Region struct {
	Outer Polygon   `json:"outer"`
	Holes []Polygon `json:"holes,omitempty"`
}

// Area of the region, mm².
func (r Region) Area() float64 {
	a := math.Abs(r.Outer.Area())
	for _, h := range r.Holes {
		a -= math.Abs(h.Area())
	}
	return a
}

// Perimeter is the length of the outer ring and of the holes, mm.
func (r Region) Perimeter() float64 {
	sum := r.Outer.Perimeter()
	for _, h := range r.Holes {
		sum += h.Perimeter()
	}
	return sum
}

// Bounds are the least and greatest coordinates.
func (r Region) Bounds() (low, high Point) { return r.Outer.Bounds() }

// Contains reports whether q lies in the region or on its boundary.
func (r Region) Contains(q Point) bool {
	if !r.Outer.Contains(q) {
		return false
	}
	for _, h := range r.Holes {
		if h.Contains(q) && !h.onBoundary(q) {
			return false
		}
	}
	return true
}

func (p Polygon) onBoundary(q Point) bool {
	for i := range p {
		if onSegment(p[i], p[(i+1)%len(p)], q) {
			return true
		}
	}
	return false
}

// Centroid is the centre of area.
func (r Region) Centroid() Point { return Centroid(r) }

// Centroid is the common centre of area of regions that do not overlap; the
// first region's mean point where there is no area.
func Centroid(regions ...Region) Point {
	var area, mx, my float64
	for _, r := range regions {
		add := func(p Polygon, sign float64) {
			if len(p) == 0 {
				return
			}
			a := math.Abs(p.Area()) * sign
			c := p.Centroid()
			area, mx, my = area+a, mx+float64(a*c.X), my+float64(a*c.Y)
		}
		add(r.Outer, 1)
		for _, h := range r.Holes {
			add(h, -1)
		}
	}
	switch {
	case area > 0:
		return Point{mx / area, my / area}
	case len(regions) > 0:
		return regions[0].Outer.Centroid()
	}
	return Point{}
}

// Area is the sum of the regions' areas, mm².
func Area(regions []Region) float64 {
	var sum float64
	for _, r := range regions {
		sum += r.Area()
	}
	return sum
}
