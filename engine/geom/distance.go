package geom

import "math"

// Distance is the shortest way between two polygons; 0 when they touch or
// overlap, infinite when one is empty.
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

// DistanceTo is the shortest way from a point to the polygon; 0 inside it and on
// its boundary, infinite when it is empty.
func (p Polygon) DistanceTo(q Point) float64 {
	if p.Contains(q) {
		return 0
	}
	least := math.Inf(1)
	for i := range p {
		least = min(least, toSegment(q, p[i], p[(i+1)%len(p)]))
	}
	return least
}

// cross reports whether two stretches cross inside both.
func cross(a1, a2, b1, b2 Point) bool {
	return opposite(turn(a1, a2, b1), turn(a1, a2, b2)) && opposite(turn(b1, b2, a1), turn(b1, b2, a2))
}

func opposite(a, b float64) bool { return a < 0 && b > 0 || a > 0 && b < 0 }

func toSegment(q, a, b Point) float64 {
	dx, dy := b.X-a.X, b.Y-a.Y
	t := 0.0
	if d := float64(dx*dx) + float64(dy*dy); d > 0 {
		t = max(0, min(1, (float64((q.X-a.X)*dx)+float64((q.Y-a.Y)*dy))/d))
	}
	return hypot(q.X-a.X-float64(t*dx), q.Y-a.Y-float64(t*dy))
}
