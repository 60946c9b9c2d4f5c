package levels

import (
	"math"
	"slices"

	"pegpour/engine/refusal"
	"pegpour/engine/sorting"
)

// Surface is ground through every point: Delaunay triangles, each a plane.
type Surface struct {
	points  []Point  // plan coordinates on the grid
	corners [][3]int // of each triangle, anticlockwise
	beside  [][3]int // the triangle beyond each side, or outside
	reaches []reach  // of each triangle, so that At passes most of them by
	outline []int    // anticlockwise
}

// reach is where a triangle lies, a hair's breadth wider on all sides.
type reach struct{ left, right, front, back float64 }

func (s *Surface) reachOf(t [3]int) reach {
	const hair = 1e-3 // mm, far more than rounding
	a, b, c := &s.points[t[0]], &s.points[t[1]], &s.points[t[2]]
	return reach{
		min(a.Chainage, b.Chainage, c.Chainage) - hair, max(a.Chainage, b.Chainage, c.Chainage) + hair,
		min(a.Offset, b.Offset, c.Offset) - hair, max(a.Offset, b.Offset, c.Offset) + hair,
	}
}

// SamePlaceError names two points taken at the same place.
type SamePlaceError struct{ First, Second int }

// Error is the refusal in one sentence.
func (e *SamePlaceError) Error() string { return e.Refusal().String() }

// Refusal is the sentence with its values.
func (e *SamePlaceError) Refusal() refusal.Message {
	return refusal.Say("points {0} and {1} stand at the same place", refusal.Count(e.First+1),
		refusal.Count(e.Second+1))
}

// NewSurface triangulates three or more points that do not all lie on a line;
// else DegenerateError (use a GroundLine then). Plan coordinates are rounded
// to 1/256 mm. Sigma is not used.
func NewSurface(points []Point) (*Surface, error) {
	if err := checkPoints(points, false); err != nil {
		return nil, err
	}
	s := &Surface{points: slices.Clone(points)}
	vs := make([]vertex, len(points))
	for i := range s.points {
		p := &s.points[i]
		v := vertex{int64(math.Round(p.Chainage / gridStep)), int64(math.Round(p.Offset / gridStep))}
		p.Chainage, p.Offset = float64(v.x)*gridStep, float64(v.y)*gridStep
		vs[i] = v
	}
	order := leftToRight(vs)
	if first, again, ok := samePlace(vs, order); ok {
		return nil, &SamePlaceError{first, again}
	}
	m, ok := triangulate(vs, order)
	if !ok {
		if err := planeKnowable(points); err != nil {
			return nil, err
		}
		return nil, &DegenerateError{Points: len(points), CannotKnow: NoSquareFall}
	}
	m.flipToDelaunay()
	s.corners, s.beside, s.outline = m.triangles, m.beside, m.hull
	s.reaches = make([]reach, len(s.corners))
	for i, t := range s.corners {
		s.reaches[i] = s.reachOf(t)
	}
	return s, nil
}

// samePlace finds the first vertex that stands where one before it does.
func samePlace(vs []vertex, order []int) (first, again int, ok bool) {
	again = len(vs)
	for k := 1; k < len(order); k++ {
		if i := order[k]; vs[i] == vs[order[k-1]] && i < again {
			first, again = order[k-1], i
		}
	}
	return first, again, again < len(vs)
}

// Side is a side of one or two triangles, by its ends, the lower index first.
type Side struct{ A, B int }

// Sides are the sides of all triangles, each once.
func (s *Surface) Sides() []Side {
	out := make([]Side, 0, (3*len(s.corners)+len(s.outline))/2)
	for t, corners := range s.corners {
		for e, beyond := range s.beside[t] {
			if beyond == outside || beyond > t {
				a, b := corners[e], corners[(e+1)%3]
				out = append(out, Side{min(a, b), max(a, b)})
			}
		}
	}
	return out
}

// Triangles are the corners of each triangle, as indices of the points given,
// anticlockwise.
func (s *Surface) Triangles() [][3]int { return slices.Clone(s.corners) }

// Hull is the outline of the surface, as indices of the points, anticlockwise.
func (s *Surface) Hull() []int { return slices.Clone(s.outline) }

// Beyond says what a profile does where nothing was measured.
type Beyond string

// Policies beyond the outermost readings.
const (
	// RefuseBeyond leaves the level unknown.
	RefuseBeyond Beyond = "refuse"
	// HoldBeyond carries the level of the nearest edge of the ground outwards
	// and marks it as extrapolated.
	HoldBeyond Beyond = "hold"
)

// GroundLevel is the level of the ground at one place.
type GroundLevel struct {
	Chainage, Offset float64 // mm
	Level            float64 // mm; meaningless unless Known
	Known            bool
	Extrapolated     bool    // nothing was measured as far out as this
	Outside          float64 // how far outside the readings, mm
}

// At is the level at one place.
func (s *Surface) At(chainage, offset float64, beyond Beyond) GroundLevel {
	g := GroundLevel{Chainage: chainage, Offset: offset}
	if !(math.Abs(chainage) <= MaxCoordinate && math.Abs(offset) <= MaxCoordinate) {
		return g
	}
	for i := range s.reaches {
		if r := &s.reaches[i]; chainage < r.left || chainage > r.right || offset < r.front || offset > r.back {
			continue
		}
		if level, ok := s.inTriangle(&s.corners[i], chainage, offset); ok {
			g.Level, g.Known = level, true
			return g
		}
	}
	level, away := s.nearestEdge(chainage, offset)
	if away <= 2*gridStep { // on the outline, but for rounding
		g.Level, g.Known = level, true
		return g
	}
	g.Outside, g.Extrapolated = away, true
	if beyond == HoldBeyond {
		g.Level, g.Known = level, true
	}
	return g
}

// weights are the barycentric coordinates of x, y in triangle t.
func (s *Surface) weights(t *[3]int, x, y float64) (u, v, w float64) {
	a, b, c := &s.points[t[0]], &s.points[t[1]], &s.points[t[2]]
	area := (b.Chainage-a.Chainage)*(c.Offset-a.Offset) - (b.Offset-a.Offset)*(c.Chainage-a.Chainage)
	v = ((x-a.Chainage)*(c.Offset-a.Offset) - (y-a.Offset)*(c.Chainage-a.Chainage)) / area
	w = ((b.Chainage-a.Chainage)*(y-a.Offset) - (b.Offset-a.Offset)*(x-a.Chainage)) / area
	return 1 - v - w, v, w
}

func (s *Surface) inTriangle(t *[3]int, x, y float64) (float64, bool) {
	u, v, w := s.weights(t, x, y)
	const slack = -1e-12
	if u < slack || v < slack || w < slack {
		return 0, false
	}
	a, b, c := s.points[t[0]].Level, s.points[t[1]].Level, s.points[t[2]].Level
	return a + v*(b-a) + w*(c-a), true
}

func (s *Surface) nearestEdge(x, y float64) (level, away float64) {
	away = math.Inf(1)
	for i := range s.outline {
		a, b := &s.points[s.outline[i]], &s.points[s.outline[(i+1)%len(s.outline)]]
		dx, dy := b.Chainage-a.Chainage, b.Offset-a.Offset
		t := ((x-a.Chainage)*dx + (y-a.Offset)*dy) / (dx*dx + dy*dy)
		t = max(0, min(1, t))
		if d := math.Hypot(x-a.Chainage-t*dx, y-a.Offset-t*dy); d < away {
			level, away = a.Level+t*(b.Level-a.Level), d
		}
	}
	return level, away
}

// Profile is the ground along the straight line from one place to another at
// the distances given from its start, mm. Distances out of range come back
// unknown.
func (s *Surface) Profile(fromChainage, fromOffset, toChainage, toOffset float64, distances []float64,
	beyond Beyond) ([]GroundLevel, error) {
	ux, uy, err := direction(fromChainage, fromOffset, toChainage, toOffset)
	if err != nil {
		return nil, err
	}
	out := make([]GroundLevel, len(distances))
	for i, d := range distances {
		out[i] = s.At(fromChainage+ux*d, fromOffset+uy*d, beyond)
	}
	return out, nil
}

// Breaks are the distances from the start of the line at which it crosses an
// edge between triangles, ascending, its two ends included: between two
// breaks the ground is straight.
func (s *Surface) Breaks(fromChainage, fromOffset, toChainage, toOffset float64) ([]float64, error) {
	ux, uy, err := direction(fromChainage, fromOffset, toChainage, toOffset)
	if err != nil {
		return nil, err
	}
	length := math.Hypot(toChainage-fromChainage, toOffset-fromOffset)
	out := []float64{0, length}
	for _, t := range s.corners {
		for e := range 3 {
			a, b := s.points[t[e]], s.points[t[(e+1)%3]]
			// Signed distances of the edge's ends from the line.
			da := ux*(a.Offset-fromOffset) - uy*(a.Chainage-fromChainage)
			db := ux*(b.Offset-fromOffset) - uy*(b.Chainage-fromChainage)
			if da*db > 0 || da == db {
				continue
			}
			k := da / (da - db)
			d := ux*(a.Chainage+k*(b.Chainage-a.Chainage)-fromChainage) + uy*(a.Offset+k*(b.Offset-a.Offset)-fromOffset)
			if d > 0 && d < length {
				out = append(out, d)
			}
		}
	}
	slices.Sort(out)
	const same = 1e-6
	return slices.CompactFunc(out, func(a, b float64) bool { return math.Abs(b-a) < same }), nil
}

func direction(x0, y0, x1, y1 float64) (ux, uy float64, err error) {
	for _, v := range []float64{x0, y0, x1, y1} {
		if err := within("end of the line", -1, v, -MaxCoordinate, MaxCoordinate); err != nil {
			return 0, 0, err
		}
	}
	length := math.Hypot(x1-x0, y1-y0)
	if err := within("length of the line", -1, length, 1, 3*MaxCoordinate); err != nil {
		return 0, 0, err
	}
	return (x1 - x0) / length, (y1 - y0) / length, nil
}

// Cliff is a step between two neighbouring readings too steep to be ground
// that was meant: a wall, a kerb, or a misread staff.
type Cliff struct {
	From, To int // indices of the points
	Grade    Grade
}

// Cliffs are the triangle edges steeper than limit, steepest first.
func (s *Surface) Cliffs(limit Grade) []Cliff {
	var out []Cliff
	for k, t := range s.corners {
		for e := range 3 {
			i, j := t[e], t[(e+1)%3]
			if i > j && s.beside[k][e] != outside {
				continue // named once, from the other side
			}
			if c, steep := stepBetween(s.points, i, j, limit); steep {
				out = append(out, c)
			}
		}
	}
	sortCliffs(out)
	return out
}

func stepBetween(points []Point, i, j int, limit Grade) (Cliff, bool) {
	a, b := points[i], points[j]
	g := Grade((b.Level - a.Level) / math.Hypot(b.Chainage-a.Chainage, b.Offset-a.Offset))
	return Cliff{From: i, To: j, Grade: g}, math.Abs(float64(g)) > math.Abs(float64(limit))
}

func sortCliffs(cs []Cliff) {
	sorting.Stable(cs, func(a, b Cliff) int {
		switch d := math.Abs(float64(b.Grade)) - math.Abs(float64(a.Grade)); {
		case d > 0:
			return 1
		case d < 0:
			return -1
		}
		return 0
	})
}
