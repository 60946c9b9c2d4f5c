package geom

import (
	"math"
	"slices"
)

// UnionArea is the area covered by at least one of the polygons, mm². Between
// two neighbouring offsets at which a side starts, ends or crosses another,
// every side is straight and none cross, so that the covered length at
// half height times the height is exact.
func UnionArea(polygons ...Polygon) float64 {
	sides := make([]side, 0, 8*len(polygons))
	for i, p := range polygons {
		for k := range p {
			a, b := p[k], p[(k+1)%len(p)]
			if a.Y > b.Y {
				a, b = b, a
			}
			if a.Y < b.Y {
				sides = append(sides, side{a, b, i})
			}
		}
	}
	ys := make([]float64, 0, 4*len(sides))
	for i := range sides {
		ys = append(ys, sides[i].low.Y, sides[i].high.Y)
		for k := range i {
			if y, ok := sides[i].meets(sides[k]); ok {
				ys = append(ys, y)
			}
		}
	}
	slices.Sort(ys)
	ys = slices.Compact(ys)
	var area float64
	cuts := make([]cut, 0, len(sides))
	open := make([]bool, len(polygons))
	for i := 1; i < len(ys); i++ {
		mid := (ys[i-1] + ys[i]) / 2
		cuts = cuts[:0]
		for _, s := range sides {
			if s.low.Y < mid && mid < s.high.Y {
				cuts = append(cuts, cut{s.at(mid), s.of})
			}
		}
		slices.SortFunc(cuts, func(a, b cut) int {
			switch {
			case a.x < b.x:
				return -1
			case a.x > b.x:
				return 1
			}
			return a.of - b.of
		})
		clear(open)
		covered, inside, from := 0.0, 0, 0.0
		for _, c := range cuts {
			if open[c.of] = !open[c.of]; open[c.of] {
				if inside++; inside == 1 {
					from = c.x
				}
			} else if inside--; inside == 0 {
				covered += c.x - from
			}
		}
		area += covered * (ys[i] - ys[i-1])
	}
	return area
}

type side struct {
	low, high Point
	of        int
}

type cut struct {
	x  float64
	of int
}

func (s side) at(y float64) float64 {
	if s.low.X == s.high.X {
		return s.low.X
	}
	return s.low.X + (y-s.low.Y)*(s.high.X-s.low.X)/(s.high.Y-s.low.Y)
}

// meets is the offset at which two sides cross within both.
func (s side) meets(o side) (float64, bool) {
	y1, y2 := math.Max(s.low.Y, o.low.Y), math.Min(s.high.Y, o.high.Y)
	if y1 >= y2 {
		return 0, false
	}
	d1, d2 := s.at(y1)-o.at(y1), s.at(y2)-o.at(y2)
	if d1*d2 >= 0 {
		return 0, false
	}
	y := y1 + (y2-y1)*d1/(d1-d2)
	return y, y > y1 && y < y2
}

// AreaBeyond is the area of p that none of the others cover, mm².
func AreaBeyond(p Polygon, others []Polygon) float64 {
	if len(others) == 0 {
		return math.Abs(p.Area())
	}
	own := UnionArea(append(slices.Clone(others), p)...) - UnionArea(others...)
	if own < 1e-6 { // less than the arithmetic can tell from nothing
		return 0
	}
	return own
}

// Distance is the shortest way between two polygons; 0 when they touch or
// overlap.
func Distance(a, b Polygon) float64 {
	if len(a) == 0 || len(b) == 0 {
		return math.Inf(1)
	}
	if a.Contains(b[0]) || b.Contains(a[0]) {
		return 0
	}
	least := math.Inf(1)
	for i := range a {
		a1, a2 := a[i], a[(i+1)%len(a)]
		for k := range b {
			b1, b2 := b[k], b[(k+1)%len(b)]
			if cross(a1, a2, b1, b2) {
				return 0
			}
			least = min(least, toSegment(a1, b1, b2), toSegment(b1, a1, a2))
		}
	}
	return least
}

func turn(a, b, c Point) float64 { return (b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X) }

func cross(a1, a2, b1, b2 Point) bool {
	return turn(a1, a2, b1)*turn(a1, a2, b2) < 0 && turn(b1, b2, a1)*turn(b1, b2, a2) < 0
}

func toSegment(q, a, b Point) float64 {
	dx, dy := b.X-a.X, b.Y-a.Y
	t := 0.0
	if d := dx*dx + dy*dy; d > 0 {
		t = math.Max(0, math.Min(1, ((q.X-a.X)*dx+(q.Y-a.Y)*dy)/d))
	}
	return math.Hypot(q.X-a.X-t*dx, q.Y-a.Y-t*dy)
}
