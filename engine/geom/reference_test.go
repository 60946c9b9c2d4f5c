package geom

import (
	"encoding/json"
	"math"
	"slices"
	"testing"

	sf "github.com/peterstace/simplefeatures/geom"

	"pegpour/engine/reference/cases"
)

// fromWKT reads polygons with the judge's reader and puts them in our order.
func fromWKT(t *testing.T, text string) []Region {
	t.Helper()
	g, err := sf.UnmarshalWKT(text)
	if err != nil {
		t.Fatalf("%s: %v", text, err)
	}
	return fromShape(g)
}

func fromShape(g sf.Geometry) []Region {
	var out []Region
	ring := func(l sf.LineString, turn float64) Polygon {
		s := l.Coordinates()
		var p Polygon
		for i := range s.Length() - 1 {
			xy := s.GetXY(i)
			p = append(p, Point{xy.X, xy.Y})
		}
		p = straight(p, Grid)
		if p.Area()*turn < 0 {
			slices.Reverse(p)
		}
		return rotated(p)
	}
	add := func(p sf.Polygon) {
		if p.IsEmpty() {
			return
		}
		r := Region{Outer: ring(p.ExteriorRing(), 1)}
		for i := range p.NumInteriorRings() {
			if h := ring(p.InteriorRingN(i), -1); len(h) > 0 {
				r.Holes = append(r.Holes, h)
			}
		}
		slices.SortFunc(r.Holes, func(a, b Polygon) int { return slices.CompareFunc(a, b, comparePoints) })
		if len(r.Outer) > 0 {
			out = append(out, r)
		}
	}
	switch {
	case g.IsPolygon():
		add(g.MustAsPolygon())
	case g.IsMultiPolygon():
		m := g.MustAsMultiPolygon()
		for i := range m.NumPolygons() {
			add(m.PolygonN(i))
		}
	case g.IsGeometryCollection():
		c := g.MustAsGeometryCollection()
		for i := range c.NumGeometries() {
			out = append(out, fromShape(c.GeometryN(i))...)
		}
	}
	slices.SortFunc(out, func(a, b Region) int { return slices.CompareFunc(a.Outer, b.Outer, comparePoints) })
	return out
}

func toJSON(v any) string {
	raw, _ := json.Marshal(v)
	return string(raw)
}

func TestReferences(t *testing.T) {
	all := cases.Read(t, "geom.json")
	if len(all) < 50 {
		t.Error("only", len(all))
	}
	for _, c := range all {
		t.Run(c.ID+" "+c.Title, func(t *testing.T) {
			switch c.Topic {
			case "polygon area":
				var p Polygon
				for _, q := range c.Rows("points") {
					p = append(p, Point{q[0], q[1]})
				}
				c.Compare(t, "area", math.Abs(p.Area()))
				c.Compare(t, "area", UnionArea(p))
			case "polygon union":
				var ps []Polygon
				for _, r := range c.Rows("rects") {
					ps = append(ps, Polygon{{r[0], r[1]}, {r[2], r[1]}, {r[2], r[3]}, {r[0], r[3]}})
				}
				c.Compare(t, "area_mm2", UnionArea(ps...))
				united, err := Union(ps...)
				if err != nil || len(united) != 1 {
					t.Fatal(united, err)
				}
				c.Compare(t, "area_mm2", united[0].Area())
			case "overlay":
				a, b := fromWKT(t, c.Word("a")), fromWKT(t, c.Word("b"))
				var got []Region
				var err error
				switch c.Word("op") {
				case "u":
					got, err = Unite(a, b)
				case "i":
					got, err = Intersect(a, b)
				case "d":
					got, err = Difference(a, b)
				case "r":
					got, err = Difference(b, a)
				}
				expected := fromWKT(t, c.Expected["wkt"].(string))
				same := toJSON(got) == toJSON(expected) || len(got)+len(expected) == 0
				c.CompareShape(t, "wkt", same)
				if err != nil || !same {
					t.Errorf("%v\ngot  %s\nwant %s", err, toJSON(got), toJSON(expected))
				}
			case "centroid":
				p := Centroid(fromWKT(t, c.Word("a"))...)
				c.Compare(t, "x", p.X)
				c.Compare(t, "y", p.Y)
			case "distance":
				b := fromWKT(t, c.Word("b"))[0].Outer
				if g, err := sf.UnmarshalWKT(c.Word("a")); err == nil && g.IsPoint() {
					xy, _ := g.MustAsPoint().XY()
					c.Compare(t, "distance", b.DistanceTo(Point{xy.X, xy.Y}))
					return
				}
				a := fromWKT(t, c.Word("a"))[0].Outer
				c.Compare(t, "distance", Distance(a, b))
				c.Compare(t, "distance", Distance(b, a))
			default:
				t.Errorf("no check for topic %q", c.Topic)
			}
		})
	}
}
