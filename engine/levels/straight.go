package levels

import (
	"math"
	"slices"

	"pegpour/engine/refusal"
)

// Laying says how a straight line is laid along a surface that is not straight.
type Laying string

// Ways of laying a line.
const (
	LayPacked  Laying = "packed"  // nothing is ground off, and as little packed as can be
	LayLeast   Laying = "least"   // the least material moved, packed and ground together
	LaySquares Laying = "squares" // the least sum of squares
)

// Straight is a straight line along a surface: z = Z0 + Grade·chainage, mm.
type Straight struct {
	Z0    float64
	Grade Grade
	// Pack is the greatest height of the line above a point, Grind that of a point
	// above the line, mm, 0 or more.
	Pack, Grind float64
	// Moved is the mean height that is packed or ground along the line, mm.
	Moved float64
}

// At is the level of the line at a chainage, mm.
func (s *Straight) At(chainage float64) float64 { return s.Z0 + float64(s.Grade)*chainage }

// TooUnevenError refuses a surface along which no straight line lies within what
// may be packed and ground.
type TooUnevenError struct {
	// Needed is the least that packing and grinding together must reach, Allowed
	// what they may, mm.
	Needed, Allowed float64
}

// Error implements error.
func (e *TooUnevenError) Error() string { return e.Refusal().String() }

// Refusal says it in words.
func (e *TooUnevenError) Refusal() refusal.Message {
	return refusal.Say("no straight line lies within {0} of these points: it takes {1}", refusal.Number(e.Allowed, "mm"),
		refusal.Number(math.Ceil(e.Needed*10)/10, "mm"))
}

// mostMoved is the most that may be packed or ground, mm.
const mostMoved = 1000

// Lay finds the straight line along two or more points at different chainages that
// lies nowhere more than pack above and grind below them (mm, 0 to 1000). Laid
// packed, grind counts as 0.
//
// With d = z − g·x for a grade g, every height a of the line from
//
//	max d − grind  to  min d + pack
//
// may be had; of these the best is the lowest, the weighted median or the weighted
// mean, brought into the range. What is moved by it is convex in g, and so is the
// range max d − min d that has to fit: thirds of the interval between the flattest and
// the steepest step close in on each. A point weighs as the length of line that is
// nearer to it than to others. Where several grades move as little, the one with the
// smaller range is taken.
//
// Source: geometry; least squares and least absolute deviation, any textbook.
// Checked: the tests hold it against every line through two points, and the squares
// against FitLine.
func Lay(points []Point, way Laying, grind, pack float64) (Straight, error) {
	if err := within("height that is ground off", -1, grind, 0, mostMoved); err != nil {
		return Straight{}, err
	}
	if err := within("height that is packed", -1, pack, 0, mostMoved); err != nil {
		return Straight{}, err
	}
	line, err := NewGroundLine(points)
	if err != nil {
		return Straight{}, err
	}
	if way == LayPacked {
		grind = 0
	}
	l := laid{points: line.points, way: way, grind: grind, pack: pack}
	return l.best()
}

// laid is a line that is being laid.
type laid struct {
	points      []Point // by chainage
	way         Laying
	grind, pack float64
	middle      float64   // chainage from which grades turn the line, so that heights keep their figures
	weights     []float64 // of the points; together 1
	d, sorted   []height
}

type height struct{ d, weight float64 }

func (l *laid) best() (Straight, error) {
	n := len(l.points)
	first, last := l.points[0].Chainage, l.points[n-1].Chainage
	l.middle, l.weights, l.d = (first+last)/2, make([]float64, n), make([]height, n)
	least, most := math.Inf(1), math.Inf(-1)
	for i := 1; i < n; i++ {
		a, b := l.points[i-1], l.points[i]
		grade := (b.Level - a.Level) / (b.Chainage - a.Chainage)
		least, most = min(least, grade), max(most, grade)
		half := (b.Chainage - a.Chainage) / 2 / (last - first)
		l.weights[i-1] += half
		l.weights[i] += half
	}
	flattest := lowest(least, most, l.spread)
	const fits = 1e-9 // mm
	if needed := l.spread(flattest); needed > l.grind+l.pack+fits {
		return Straight{}, &TooUnevenError{Needed: needed, Allowed: l.grind + l.pack}
	}
	low, high := l.within(flattest, least), l.within(flattest, most)
	grade := lowest(low, high, func(g float64) float64 {
		moved := l.moved(l.height(g))
		if l.way != LaySquares { // of equals the one with the smaller range
			moved += 1e-7 * l.spread(g)
		}
		return moved
	})
	a := l.height(grade)
	out := Straight{Z0: a - grade*l.middle, Grade: Grade(grade)}
	for _, h := range l.d { // as height left them
		over := a - h.d
		out.Pack, out.Grind = max(out.Pack, over), max(out.Grind, -over)
		out.Moved += h.weight * math.Abs(over)
	}
	return out, nil
}

// lean fills d for a grade.
func (l *laid) lean(g float64) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for i, q := range l.points {
		d := q.Level - g*(q.Chainage-l.middle)
		l.d[i] = height{d, l.weights[i]}
		low, high = min(low, d), max(high, d)
	}
	return low, high
}

// spread is the range that packing and grinding must reach together for a grade, mm.
func (l *laid) spread(g float64) float64 {
	low, high := l.lean(g)
	return high - low
}

// within is the grade farthest from a fitting one towards another at which a line
// still fits.
func (l *laid) within(fitting, towards float64) float64 {
	if l.spread(towards) <= l.grind+l.pack {
		return towards
	}
	for range 100 {
		mid := (fitting + towards) / 2
		if l.spread(mid) <= l.grind+l.pack {
			fitting = mid
		} else {
			towards = mid
		}
	}
	return fitting
}

// height is the best height of the line at the middle for a grade, mm.
func (l *laid) height(g float64) float64 {
	low, high := l.lean(g)
	from, to := high-l.grind, low+l.pack
	best := from
	switch l.way {
	case LayLeast:
		l.sorted = append(l.sorted[:0], l.d...)
		slices.SortFunc(l.sorted, func(a, b height) int {
			switch {
			case a.d < b.d:
				return -1
			case a.d > b.d:
				return 1
			}
			return 0
		})
		sum := 0.0
		for _, h := range l.sorted {
			if sum += h.weight; sum >= 0.5-1e-12 {
				best = h.d
				break
			}
		}
	case LaySquares:
		best = 0
		for _, h := range l.d {
			best += h.weight * h.d
		}
	}
	return max(from, min(best, to))
}

// moved is what a line of a height costs by the way it is laid, for the grade of the
// last call of height.
func (l *laid) moved(a float64) float64 {
	sum := 0.0
	for _, h := range l.d {
		over := math.Abs(a - h.d)
		if l.way == LaySquares {
			over *= over
		}
		sum += h.weight * over
	}
	return sum
}

// lowest is where a convex function is least between two places.
func lowest(low, high float64, f func(float64) float64) float64 {
	for range 120 {
		third := (high - low) / 3
		a, b := low+third, high-third
		if f(a) <= f(b) {
			high = b
		} else {
			low = a
		}
	}
	return (low + high) / 2
}
