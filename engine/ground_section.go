package engine

import (
	"math"
	"slices"

	"pegpour/engine/geom"
	"pegpour/engine/levels"
)

// groundBreak is a place on a line through the ground where the ground changes
// slope: its distance from the start and the model's level without its trend.
type groundBreak struct{ d, z float64 }

// groundWalk has room for one line at a time through the ground, so that a
// sweep of sections makes no lists of its own.
type groundWalk struct {
	breaks []groundBreak
	off    []float64 // of each point of the ground, how far it lies off the line, mm
	spans  []offsetSpan
	last   levels.GroundLevel // where a line ends the next one often begins
}

// surfaceAt is the model's surface at a place, without its trend.
func (w *groundWalk) surfaceAt(m *groundModel, x, y float64) levels.GroundLevel {
	if !w.last.Known || w.last.Chainage != x || w.last.Offset != y {
		w.last = m.surface.At(x, y, levels.HoldBeyond)
	}
	return w.last
}

// along walks a line through the ground: its two ends and every side of a
// triangle that it crosses. Between two crossings the ground is straight. The
// breaks hold until w walks its next line.
func (w *groundWalk) along(m *groundModel, x0, y0, x1, y1 float64) []groundBreak {
	long := math.Hypot(x1-x0, y1-y0)
	if !(long > 0) {
		return nil
	}
	ux, uy := (x1-x0)/long, (y1-y0)/long
	if cap(w.breaks) == 0 {
		w.breaks, w.off = make([]groundBreak, 0, 24), make([]float64, len(m.points))
	}
	out := append(w.breaks[:0], groundBreak{0, w.surfaceAt(m, x0, y0).Level}, groundBreak{long, w.surfaceAt(m, x1, y1).Level})
	off := w.off
	for i := range m.points {
		q := &m.points[i]
		off[i] = ux*(q.Offset-y0) - uy*(q.Chainage-x0)
	}
	for _, s := range m.sides {
		da, db := off[s.A], off[s.B]
		if da*db > 0 || da == db {
			continue
		}
		a, b := &m.points[s.A], &m.points[s.B]
		k := da / (da - db)
		d := ux*(a.Chainage+k*(b.Chainage-a.Chainage)-x0) + uy*(a.Offset+k*(b.Offset-a.Offset)-y0)
		if d > 0 && d < long {
			out = append(out, groundBreak{d, a.Level + k*(b.Level-a.Level)})
		}
	}
	w.breaks = out
	// A score at most: insertion sort, steady for equal places.
	for i := 1; i < len(out); i++ {
		c, k := out[i], i
		for ; k > 0 && out[k-1].d > c.d; k-- {
			out[k] = out[k-1]
		}
		out[k] = c
	}
	const same = 0.01 // mm
	// The first and the last stay: they are the ends.
	kept := out[:1]
	for _, c := range out[1:] {
		if c.d-kept[len(kept)-1].d >= same {
			kept = append(kept, c)
		}
	}
	kept[len(kept)-1].d = long
	return kept
}

// along is groundWalk's for a single line.
func (m *groundModel) along(x0, y0, x1, y1 float64) []groundBreak {
	var w groundWalk
	return w.along(m, x0, y0, x1, y1)
}

// excess is the area of the ground above the track's plane along a line, mm²:
// the ground is straight between crossings, so that each piece is a trapezoid
// or, where it dips under the plane, a triangle.
func (g *GroundPlan) excess(w *groundWalk, x0, y0, x1, y1 float64) float64 {
	line := w.along(g.model, x0, y0, x1, y1)
	if len(line) == 0 {
		return 0
	}
	long := line[len(line)-1].d
	var area, h float64
	for i, c := range line {
		x, y := x0+(x1-x0)*c.d/long, y0+(y1-y0)*c.d/long
		next := c.z + g.model.trend.At(x, y) - g.Track.At(x, y)
		if i > 0 {
			area += positive(c.d-line[i-1].d, h, next)
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
func (g *GroundPlan) batter(w *groundWalk, x, y, ux, uy, slope float64) float64 {
	if slope <= 0 {
		return 0
	}
	foot := g.Track.At(x, y)
	ground := g.model.trend.At(x, y)
	if q := w.surfaceAt(g.model, x, y); q.Known {
		ground = q.Level + ground
	}
	if ground <= foot {
		return 0
	}
	const farthest = 8000 // mm: four metres at the flattest batter that leans back twice its height
	reach := math.Min(farthest, math.Max(100, 4*slope*(ground-foot)))
	var area, h float64
	line := w.along(g.model, x, y, x+ux*reach, y+uy*reach)
	for i, c := range line {
		next := c.z + g.model.trend.At(x+ux*c.d, y+uy*c.d) - foot - c.d/slope
		if i > 0 {
			area += positive(c.d-line[i-1].d, h, next)
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
func (w *groundWalk) spansAt(ring geom.Polygon, x float64) []offsetSpan {
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
