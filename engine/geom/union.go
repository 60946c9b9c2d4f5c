package geom

import (
	"math"
	"slices"

	sf "github.com/peterstace/simplefeatures/geom"
)

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

// Union unites polygons into regions that do not touch along a side, ordered
// by their first points. An error means that a polygon was not simple.
func Union(polygons ...Polygon) ([]Region, error) {
	shapes := make([]sf.Geometry, 0, len(polygons))
	for _, p := range polygons {
		if len(p) < 3 {
			continue
		}
		shape := toShape(p)
		if err := shape.Validate(); err != nil {
			return nil, err
		}
		shapes = append(shapes, shape.AsGeometry())
	}
	if len(shapes) == 0 {
		return nil, nil
	}
	united, err := sf.UnionMany(shapes)
	if err != nil {
		return nil, err
	}
	return regions(united), nil
}

func toShape(p Polygon) sf.Polygon {
	flat := make([]float64, 0, 2*len(p)+2)
	for _, q := range p {
		flat = append(flat, q.X, q.Y)
	}
	flat = append(flat, p[0].X, p[0].Y)
	return sf.NewPolygon([]sf.LineString{sf.NewLineString(sf.NewSequence(flat, sf.DimXY))})
}

func regions(g sf.Geometry) []Region {
	var out []Region
	add := func(p sf.Polygon) {
		if p.IsEmpty() {
			return
		}
		r := Region{Outer: ring(p.ExteriorRing(), 1)}
		for i := range p.NumInteriorRings() {
			r.Holes = append(r.Holes, ring(p.InteriorRingN(i), -1))
		}
		out = append(out, r)
	}
	switch {
	case g.IsPolygon():
		add(g.MustAsPolygon())
	case g.IsMultiPolygon():
		m := g.MustAsMultiPolygon()
		for i := range m.NumPolygons() {
			add(m.PolygonN(i))
		}
	}
	slices.SortFunc(out, func(a, b Region) int { return comparePoints(a.Outer[0], b.Outer[0]) })
	return out
}

func ring(l sf.LineString, turn float64) Polygon {
	s := l.Coordinates()
	p := make(Polygon, 0, s.Length())
	for i := range s.Length() - 1 {
		xy := s.GetXY(i)
		p = append(p, Point{xy.X, xy.Y})
	}
	p = tidy(p)
	if p.Area()*turn < 0 {
		slices.Reverse(p)
	}
	first := 0
	for i := range p {
		if comparePoints(p[i], p[first]) < 0 {
			first = i
		}
	}
	return append(slices.Clone(p[first:]), p[:first]...)
}

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

// Perimeter is the length of the outer ring and of the holes, mm.
func (r Region) Perimeter() float64 {
	sum := length(r.Outer)
	for _, h := range r.Holes {
		sum += length(h)
	}
	return sum
}

func length(p Polygon) float64 {
	var sum float64
	for i := range p {
		a, b := p[i], p[(i+1)%len(p)]
		sum += math.Hypot(b.X-a.X, b.Y-a.Y)
	}
	return sum
}
