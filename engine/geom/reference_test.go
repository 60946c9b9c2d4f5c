package geom

import (
	"encoding/json"
	"math"
	"os"
	"slices"
	"testing"

	sf "github.com/peterstace/simplefeatures/geom"

	"pegpour/engine/reference/record"
)

type referenceCase struct {
	ID     string
	Topic  string
	Title  string
	Inputs struct {
		Points [][2]float64
		Rects  [][4]float64
		Op     string
		A, B   string
	}
	Expected  map[string]any
	Tolerance map[string]float64 `json:"rel_tolerance"`
}

func references(t *testing.T) []referenceCase {
	t.Helper()
	raw, err := os.ReadFile("../../testdata/references/geom.json")
	if err != nil {
		t.Fatal(err)
	}
	var cases []referenceCase
	if err := json.Unmarshal(raw, &cases); err != nil || len(cases) < 50 {
		t.Fatal(err, len(cases))
	}
	return cases
}

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
	for _, c := range references(t) {
		t.Run(c.ID+" "+c.Title, func(t *testing.T) {
			want := func(name string, got float64) {
				t.Helper()
				w := c.Expected[name].(float64)
				record.Got(c.ID, name, got)
				if math.Abs(got-w) > c.Tolerance["*"]*math.Abs(w) {
					t.Errorf("%s %v, want %v", name, got, w)
				}
			}
			switch c.Topic {
			case "polygon area":
				var p Polygon
				for _, q := range c.Inputs.Points {
					p = append(p, Point{q[0], q[1]})
				}
				want("area", math.Abs(p.Area()))
				want("area", UnionArea(p))
			case "polygon union":
				var ps []Polygon
				for _, r := range c.Inputs.Rects {
					ps = append(ps, Polygon{{r[0], r[1]}, {r[2], r[1]}, {r[2], r[3]}, {r[0], r[3]}})
				}
				want("area_mm2", UnionArea(ps...))
				united, err := Union(ps...)
				if err != nil || len(united) != 1 {
					t.Fatal(united, err)
				}
				want("area_mm2", united[0].Area())
			case "overlay":
				a, b := fromWKT(t, c.Inputs.A), fromWKT(t, c.Inputs.B)
				var got []Region
				var err error
				switch c.Inputs.Op {
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
				if toJSON(got) == toJSON(expected) || len(got)+len(expected) == 0 {
					record.Got(c.ID, "wkt", 1)
				}
				if err != nil || toJSON(got) != toJSON(expected) && len(got)+len(expected) > 0 {
					t.Errorf("%v\ngot  %s\nwant %s", err, toJSON(got), toJSON(expected))
				}
			case "centroid":
				p := Centroid(fromWKT(t, c.Inputs.A)...)
				want("x", p.X)
				want("y", p.Y)
			case "distance":
				b := fromWKT(t, c.Inputs.B)[0].Outer
				if g, err := sf.UnmarshalWKT(c.Inputs.A); err == nil && g.IsPoint() {
					xy, _ := g.MustAsPoint().XY()
					want("distance", b.DistanceTo(Point{xy.X, xy.Y}))
					return
				}
				a := fromWKT(t, c.Inputs.A)[0].Outer
				want("distance", Distance(a, b))
				want("distance", Distance(b, a))
			default:
				t.Errorf("no check for topic %q", c.Topic)
			}
		})
	}
}
