package geom

import (
	"math"
	"slices"

	"pegpour/engine/refusal"
)

// ErrPolygon is what every *PolygonError is (errors.Is).
var ErrPolygon = error(refusal.Error("a polygon needs coordinates within ten kilometres and sides that do not cross"))

// The reasons for refusing a polygon.
const (
	NotFinite  = "a coordinate or depth is not finite"
	TooFar     = "a coordinate is beyond ten kilometres"
	SidesCross = "sides cross each other"
)

// PolygonError says which polygon no overlay can use, where and why.
type PolygonError struct {
	Index  int    // of the polygon among those given; 0 for a single one
	At     Point  // the corner where it goes wrong
	Reason string // NotFinite, TooFar or SidesCross
}

// Error gives the refusal in one sentence.
func (e *PolygonError) Error() string { return e.Refusal().String() }

// Refusal is the sentence with its values.
func (e *PolygonError) Refusal() refusal.Message {
	return refusal.Say("outline {0} at {1}, {2}: {3}", refusal.Count(e.Index+1), refusal.Number(e.At.X, "mm"),
		refusal.Number(e.At.Y, "mm"), refusal.Name(e.Reason))
}

// Unwrap makes the error an ErrPolygon.
func (e *PolygonError) Unwrap() error { return ErrPolygon }

// Check returns a *PolygonError for a ring that overlays refuse. A ring of less
// than three points is empty and passes.
func (p Polygon) Check() error {
	if e := p.fault(0); e != nil {
		return e
	}
	return nil
}

func (p Polygon) fault(index int) *PolygonError {
	for _, q := range p {
		switch {
		case math.Abs(q.X) <= Farthest && math.Abs(q.Y) <= Farthest:
		case math.IsNaN(q.X-q.X) || math.IsNaN(q.Y-q.Y):
			return &PolygonError{index, q, NotFinite}
		default:
			return &PolygonError{index, q, TooFar}
		}
	}
	for i := range p {
		a1, a2 := p[i], p[(i+1)%len(p)]
		for k := i + 2; k < len(p); k++ {
			if cross(a1, a2, p[k], p[(k+1)%len(p)]) {
				return &PolygonError{index, p[k], SidesCross}
			}
		}
	}
	return nil
}

func checkAll(regions []Region) error {
	for i, r := range regions {
		if e := r.Outer.fault(i); e != nil {
			return e
		}
		for _, h := range r.Holes {
			if e := h.fault(i); e != nil {
				return e
			}
		}
	}
	return nil
}

// Union unites polygons into regions that do not touch along a side, ordered
// by their first points. It returns a *PolygonError when a polygon is not simple.
func Union(polygons ...Polygon) ([]Region, error) {
	w, err := polygonSweep(polygons)
	if err != nil {
		return nil, err
	}
	return w.regions(1, anyOpen)[1], nil
}

func polygonSweep(polygons []Polygon) (*sweep, error) {
	points := 0
	for i, p := range polygons {
		if e := p.fault(i); e != nil {
			return nil, e
		}
		points += len(p)
	}
	w := newSweep(len(polygons), points)
	for i, p := range polygons {
		w.add(p, i)
	}
	w.prepare()
	return w, nil
}

// Unite is what a or b covers. The regions of each must not overlap one another;
// Union brings any polygons to that. A *PolygonError as for Union.
func Unite(a, b []Region) ([]Region, error) {
	return overlay(a, b, anyOpen)
}

// Intersect is what a and b both cover; requirements as for Unite. Shapes that
// only touch share nothing.
func Intersect(a, b []Region) ([]Region, error) {
	return overlay(a, b, func(open []bool) int {
		if open[0] && open[1] {
			return 1
		}
		return 0
	})
}

// Difference is what a covers and b does not; requirements as for Unite.
func Difference(a, b []Region) ([]Region, error) {
	return overlay(a, b, func(open []bool) int {
		if open[0] && !open[1] {
			return 1
		}
		return 0
	})
}

func overlay(a, b []Region, label func(open []bool) int) ([]Region, error) {
	for _, regions := range [...][]Region{a, b} {
		if err := checkAll(regions); err != nil {
			return nil, err
		}
	}
	w := newSweep(2, 16)
	for operand, regions := range [...][]Region{a, b} {
		for _, r := range regions {
			w.add(r.Outer, operand)
			for _, h := range r.Holes {
				w.add(h, operand)
			}
		}
	}
	w.prepare()
	return w.regions(1, label)[1], nil
}

// UnionArea is the area covered by at least one of the polygons, mm², without
// tracing its outline: a fifth of the time of Union. A polygon that is not simple
// counts by the even-odd rule; sides that are not finite count as nothing.
func UnionArea(polygons ...Polygon) float64 {
	points := 0
	for _, p := range polygons {
		points += len(p)
	}
	w := newSweep(len(polygons), points)
	for i, p := range polygons {
		w.addFinite(p, i)
	}
	w.prepare()
	return w.area(anyOpen)
}

// AreaBeyond is the area of p that none of the others cover, mm².
func AreaBeyond(p Polygon, others []Polygon) float64 {
	if len(others) == 0 {
		return math.Abs(p.Area())
	}
	w := newSweep(len(others)+1, 8*len(others))
	w.addFinite(p, 0)
	for i, o := range others {
		w.addFinite(o, i+1)
	}
	w.prepare()
	area := w.area(func(open []bool) int {
		if open[0] && !slices.Contains(open[1:], true) {
			return 1
		}
		return 0
	})
	if area < Grid*p.Perimeter() { // thinner than the grid
		return 0
	}
	return area
}

// addFinite adds a ring unless a coordinate is beyond what the grid can hold.
func (w *sweep) addFinite(p Polygon, operand int) {
	for _, q := range p {
		if !(math.Abs(q.X) <= Farthest && math.Abs(q.Y) <= Farthest) {
			return
		}
	}
	w.add(p, operand)
}
