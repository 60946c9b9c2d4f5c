package ground

import (
	"slices"

	"pegpour/engine/geom"
	"pegpour/engine/plan"
)

// sectionWalk measures sections across ground that stands above the track's
// plane, one line at a time.
type sectionWalk struct {
	plan.GroundWalk
	track plan.TrackGrade
	spans []offsetSpan
}

// excess is the area of the ground above the track's plane along a line, mm²:
// the ground is straight between breaks, so that each piece is a trapezoid or,
// where it dips under the plane, a triangle.
func (w *sectionWalk) excess(x0, y0, x1, y1 float64) float64 {
	line := w.Along(x0, y0, x1, y1)
	if len(line) == 0 {
		return 0
	}
	long := line[len(line)-1].Distance
	var area, h float64
	for i, c := range line {
		x, y := x0+(x1-x0)*c.Distance/long, y0+(y1-y0)*c.Distance/long
		next := c.Level + w.Model.Trend.At(x, y) - w.track.At(x, y)
		if i > 0 {
			area += positive(c.Distance-line[i-1].Distance, h, next)
		}
		h = next
	}
	return area
}

// positive is the area above nothing of a straight line from height a to b.
func positive(long, a, b float64) float64 {
	switch {
	case a >= 0 && b >= 0:
		return long * (a + b) / 2
	case a <= 0 && b <= 0:
		return 0
	case a > 0:
		return long * a / (a - b) * a / 2
	}
	return long * b / (b - a) * b / 2
}

// batter is the area of the ground above a face that leans back from the
// track's plane at x, y in the direction ux, uy, one up for every slope along.
func (w *sectionWalk) batter(x, y, ux, uy, slope float64) float64 {
	if slope <= 0 {
		return 0
	}
	foot := w.track.At(x, y)
	ground := w.Model.Trend.At(x, y)
	if q := w.SurfaceAt(x, y); q.Known {
		ground = q.Level + ground
	}
	if ground <= foot {
		return 0
	}
	const (
		nearest  = 100  // mm that are looked over at least
		farthest = 8000 // mm: a face four metres high that leans back twice its height
		climbs   = 4    // over what the face itself takes, for ground that climbs on behind it
	)
	reach := min(farthest, max(nearest, climbs*slope*(ground-foot)))
	var area, h float64
	line := w.Along(x, y, x+ux*reach, y+uy*reach)
	for i, c := range line {
		d := c.Distance
		next := c.Level + w.Model.Trend.At(x+ux*d, y+uy*d) - foot - d/slope
		if i > 0 {
			area += positive(d-line[i-1].Distance, h, next)
		}
		if h = next; h <= 0 {
			break
		}
	}
	return area
}

// offsetSpan is a stretch of offsets.
type offsetSpan struct{ from, to float64 }

// spansAt are the stretches of offsets over which a polygon lies at a chainage,
// which must not be that of a corner. They hold until the next.
func (w *sectionWalk) spansAt(ring geom.Polygon, x float64) []offsetSpan {
	var few [16]float64
	ys := few[:0]
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if (a.X > x) != (b.X > x) {
			ys = append(ys, a.Y+(x-a.X)*(b.Y-a.Y)/(b.X-a.X))
		}
	}
	slices.Sort(ys)
	w.spans = w.spans[:0]
	for i := 0; i+1 < len(ys); i += 2 {
		w.spans = append(w.spans, offsetSpan{ys[i], ys[i+1]})
	}
	return w.spans
}
