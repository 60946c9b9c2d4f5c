package plan

import (
	"math"

	"pegpour/engine/geom"
	"pegpour/engine/levels"
)

// GroundModel is the ground as a surface of triangles through the readings and
// through what is known of the drive. The trend is taken off first and added
// again, so that ground beyond the readings keeps its cross-fall.
type GroundModel struct {
	Trend   TrackGrade
	Surface *levels.Surface // over the whole site, through Points
	Points  []levels.Point
	Sides   []levels.Side      // of its triangles, each once
	Bank    *levels.Surface    // through the readings beside the drive; nil when they lie on a line
	Line    *levels.GroundLine // by distance from the edge of the drive
	Lone    *levels.Point      // the only reading beside the drive
	// The readings beside the drive lie between these.
	Low, High geom.Point
	// LatchEdge and RunBackEdge are the edges of the drive.
	LatchEdge, RunBackEdge geom.Edge
}

// HoldReach is how far from a line of readings the ground still counts as read, mm.
const HoldReach = 500

// HasBank reports whether anything was read beside the drive.
func (m *GroundModel) HasBank() bool {
	return m != nil && (m.Bank != nil || m.Line != nil || m.Lone != nil)
}

// Beside is the ground beside the drive without its trend, held beyond the readings.
func (m *GroundModel) Beside(x, y float64) float64 {
	switch {
	case m.Bank != nil:
		return m.Bank.At(x, y, levels.HoldBeyond).Level
	case m.Line != nil:
		return m.Line.At(x-m.RunBackEdge.At(y), levels.HoldBeyond).Level
	case m.Lone != nil:
		return m.Lone.Level
	}
	return 0
}

// At is the level of the ground, extrapolated where nothing was read near.
func (m *GroundModel) At(x, y float64) (level float64, extrapolated bool) {
	q := m.Surface.At(x, y, levels.HoldBeyond)
	level = q.Level + m.Trend.At(x, y)
	if !q.Known {
		return m.Trend.At(x, y), true
	}
	if x >= m.LatchEdge.At(y)-Tolerance && x <= m.RunBackEdge.At(y)+Tolerance {
		return level, false
	}
	spare, tells := m.Spare(x, y)
	return level, !tells || spare < 0
}

// Spare is how much farther than a place beside the drive the ground still counts
// as read, mm; below 0 it does not. It moves evenly with the readings. What a lone
// reading tells has no such reach.
func (m *GroundModel) Spare(x, y float64) (spare float64, tells bool) {
	switch {
	case m.Bank != nil:
		spare = HoldReach + min(m.High.X-x, min(m.High.Y-y, y-m.Low.Y))
		if x > m.Low.X { // between the edge and the first readings the ground is straight
			spare = min(spare, HoldReach-m.Bank.At(x, y, levels.HoldBeyond).Outside)
		}
		return spare, true
	case m.Line != nil:
		return HoldReach + m.High.X - x, true
	}
	return 0, false
}

// GroundBreak is a place on a line through the ground where the ground changes
// slope: its distance from the start of the line, mm, and the model's level
// without its trend.
type GroundBreak struct{ Distance, Level float64 }

// Along walks one line through the ground: its two ends and every side of a
// triangle that it crosses. Between two breaks the ground is straight.
func (m *GroundModel) Along(x0, y0, x1, y1 float64) []GroundBreak {
	w := GroundWalk{Model: m}
	return w.Along(x0, y0, x1, y1)
}

// GroundWalk has room for one line at a time through the ground, so that a
// sweep of sections makes no lists of its own.
type GroundWalk struct {
	Model  *GroundModel
	breaks []GroundBreak
	off    []float64          // of each point of the ground, how far it lies off the line, mm
	last   levels.GroundLevel // where a line ends the next one often begins
}

// SurfaceAt is the model's surface at a place, without its trend.
func (w *GroundWalk) SurfaceAt(x, y float64) levels.GroundLevel {
	if !w.last.Known || w.last.Chainage != x || w.last.Offset != y {
		w.last = w.Model.Surface.At(x, y, levels.HoldBeyond)
	}
	return w.last
}

// Along is the model's. The breaks hold until w walks its next line.
func (w *GroundWalk) Along(x0, y0, x1, y1 float64) []GroundBreak {
	long := math.Hypot(x1-x0, y1-y0)
	if !(long > 0) {
		return nil
	}
	ux, uy := (x1-x0)/long, (y1-y0)/long
	points := w.Model.Points
	if cap(w.breaks) == 0 {
		w.breaks, w.off = make([]GroundBreak, 0, 24), make([]float64, len(points))
	}
	out := append(w.breaks[:0], GroundBreak{0, w.SurfaceAt(x0, y0).Level}, GroundBreak{long, w.SurfaceAt(x1, y1).Level})
	off := w.off
	for i := range points {
		q := &points[i]
		off[i] = ux*(q.Offset-y0) - uy*(q.Chainage-x0)
	}
	for _, s := range w.Model.Sides {
		da, db := off[s.A], off[s.B]
		if da*db > 0 || da == db {
			continue
		}
		a, b := &points[s.A], &points[s.B]
		k := da / (da - db)
		d := ux*(a.Chainage+k*(b.Chainage-a.Chainage)-x0) + uy*(a.Offset+k*(b.Offset-a.Offset)-y0)
		if d > 0 && d < long {
			out = append(out, GroundBreak{d, a.Level + k*(b.Level-a.Level)})
		}
	}
	w.breaks = out
	// A score at most: insertion sort, which keeps equal places in order.
	for i := 1; i < len(out); i++ {
		c, k := out[i], i
		for ; k > 0 && out[k-1].Distance > c.Distance; k-- {
			out[k] = out[k-1]
		}
		out[k] = c
	}
	const same = 0.01 // mm
	// The first and the last stay: they are the ends.
	kept := out[:1]
	for _, c := range out[1:] {
		if c.Distance-kept[len(kept)-1].Distance >= same {
			kept = append(kept, c)
		}
	}
	kept[len(kept)-1].Distance = long
	return kept
}
