package engine

import (
	"cmp"
	"math"
	"slices"

	"pegpour/engine/geom"
	"pegpour/engine/levels"
)

// groundBreak is a place on a line through the ground where the ground changes
// slope: its distance from the start and the model's level without its trend.
type groundBreak struct{ d, z float64 }

// along walks a line through the ground: its two ends and every side of a
// triangle that it crosses. Between two crossings the ground is straight.
func (m *groundModel) along(x0, y0, x1, y1 float64) []groundBreak {
	long := math.Hypot(x1-x0, y1-y0)
	if !(long > 0) {
		return nil
	}
	ux, uy := (x1-x0)/long, (y1-y0)/long
	out := make([]groundBreak, 0, 24)
	out = append(out, groundBreak{0, m.surface.At(x0, y0, levels.HoldBeyond).Level}, groundBreak{long, m.surface.At(x1, y1, levels.HoldBeyond).Level})
	for i := range m.sides {
		a, b := &m.sides[i].a, &m.sides[i].b
		da := ux*(a.Offset-y0) - uy*(a.Chainage-x0)
		db := ux*(b.Offset-y0) - uy*(b.Chainage-x0)
		if da*db > 0 || da == db {
			continue
		}
		k := da / (da - db)
		d := ux*(a.Chainage+k*(b.Chainage-a.Chainage)-x0) + uy*(a.Offset+k*(b.Offset-a.Offset)-y0)
		if d > 0 && d < long {
			out = append(out, groundBreak{d, a.Level + k*(b.Level-a.Level)})
		}
	}
	slices.SortStableFunc(out, func(a, b groundBreak) int { return cmp.Compare(a.d, b.d) })
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

// excess is the area of the ground above the track's plane along a line, mm²:
// the ground is straight between crossings, so that each piece is a trapezoid
// or, where it dips under the plane, a triangle.
func (g *GroundPlan) excess(x0, y0, x1, y1 float64) float64 {
	line := g.model.along(x0, y0, x1, y1)
	if len(line) == 0 {
		return 0
	}
	long := line[len(line)-1].d
	above := func(c groundBreak) float64 {
		x, y := x0+(x1-x0)*c.d/long, y0+(y1-y0)*c.d/long
		return c.z + g.model.trend.At(x, y) - g.Track.At(x, y)
	}
	var area float64
	h := above(line[0])
	for i := 1; i < len(line); i++ {
		next := above(line[i])
		area += positive(line[i].d-line[i-1].d, h, next)
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
func (g *GroundPlan) batter(x, y, ux, uy, slope float64) float64 {
	if slope <= 0 {
		return 0
	}
	foot := g.Track.At(x, y)
	ground, _ := g.GroundLevel(x, y)
	if ground <= foot {
		return 0
	}
	const farthest = 8000 // mm: four metres at the flattest batter that leans back twice its height
	reach := math.Min(farthest, math.Max(100, 4*slope*(ground-foot)))
	line := g.model.along(x, y, x+ux*reach, y+uy*reach)
	above := func(c groundBreak) float64 {
		return c.z + g.model.trend.At(x+ux*c.d, y+uy*c.d) - foot - c.d/slope
	}
	var area float64
	h := above(line[0])
	for i := 1; i < len(line) && h > 0; i++ {
		next := above(line[i])
		area += positive(line[i].d-line[i-1].d, h, next)
		h = next
	}
	return area
}

// spansAt are the stretches of offsets over which a polygon lies at a chainage,
// which must not be that of a corner.
func spansAt(ring geom.Polygon, x float64) [][2]float64 {
	var ys []float64
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if (a.X > x) != (b.X > x) {
			ys = append(ys, a.Y+(x-a.X)*(b.Y-a.Y)/(b.X-a.X))
		}
	}
	slices.Sort(ys)
	spans := make([][2]float64, 0, len(ys)/2)
	for i := 0; i+1 < len(ys); i += 2 {
		spans = append(spans, [2]float64{ys[i], ys[i+1]})
	}
	return spans
}
