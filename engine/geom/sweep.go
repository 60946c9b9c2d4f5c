package geom

import (
	"slices"
)

// thinnest is the least height of a slab, mm: a crossing nearer to another
// offset of the sweep than that makes no slab of its own.
const thinnest = 1e-9

// together is how near sides lie that count as one, mm.
const together = Grid / 10

// side is a side of a ring that is not level, with the operand it belongs to.
type side struct {
	low, high Point
	of        int
}

func (s *side) at(y float64) float64 {
	switch {
	case s.low.X == s.high.X || y <= s.low.Y:
		return s.low.X
	case y >= s.high.Y:
		return s.high.X
	}
	return s.low.X + float64((y-s.low.Y)*(s.high.X-s.low.X))/(s.high.Y-s.low.Y)
}

// meets is the offset at which two sides cross within both.
func (s *side) meets(o *side) (float64, bool) {
	y1, y2 := max(s.low.Y, o.low.Y), min(s.high.Y, o.high.Y)
	if y1 >= y2 {
		return 0, false
	}
	d1, d2 := s.at(y1)-o.at(y1), s.at(y2)-o.at(y2)
	if !(d1 < 0 && d2 > 0 || d1 > 0 && d2 < 0) {
		return 0, false
	}
	y := y1 + float64((y2-y1)*(d1/(d1-d2)))
	return y, y > y1 && y < y2
}

// sweep holds the sides of some operands, each of which is inside itself by the
// even-odd rule, and the offsets between which nothing crosses.
type sweep struct {
	sides []side
	ys    []float64
	open  []bool // by operand, while a slab is walked
	cuts  []cut
	runs  []run
	few   struct { // room for what most sweeps need
		open [16]bool
		cuts [16]cut
		runs [8]run
	}
}

type cut struct {
	x    float64
	side int
}

// run is a stretch of a slab with one label, between two sides.
type run struct {
	left, right int // sides
	label       int
}

// newSweep makes a sweep; add rings, then prepare.
func newSweep(operands, points int) *sweep {
	w := &sweep{sides: make([]side, 0, points)}
	w.open, w.cuts, w.runs = w.few.open[:0], w.few.cuts[:0], w.few.runs[:0]
	if operands > len(w.few.open) {
		w.open = make([]bool, 0, operands)
	}
	w.open = w.open[:operands]
	return w
}

func (w *sweep) add(ring Polygon, operand int) {
	for i := range ring {
		a, b := onGrid(ring[i]), onGrid(ring[(i+1)%len(ring)])
		if a.Y > b.Y {
			a, b = b, a
		}
		if a.Y < b.Y { // false for what is not a number
			w.sides = append(w.sides, side{a, b, operand})
		}
	}
}

// prepare finds the slabs.
func (w *sweep) prepare() {
	w.ys = make([]float64, 0, 3*len(w.sides))
	for i := range w.sides {
		w.ys = append(w.ys, w.sides[i].low.Y, w.sides[i].high.Y)
	}
	slices.Sort(w.ys)
	w.ys = slices.Compact(w.ys)
	ends := len(w.ys)
	for i := range w.sides {
		for k := range i {
			if y, ok := w.sides[i].meets(&w.sides[k]); ok {
				w.ys = append(w.ys, y)
			}
		}
	}
	crossings := w.ys[ends:]
	if len(crossings) == 0 {
		return
	}
	slices.Sort(crossings)
	merged := make([]float64, 0, len(w.ys))
	for i, k := 0, 0; i < ends; {
		if k < len(crossings) && crossings[k] < w.ys[i] {
			// The ends of sides always stand; a crossing gives way to them.
			if y := crossings[k]; y-merged[len(merged)-1] > thinnest && w.ys[i]-y > thinnest {
				merged = append(merged, y)
			}
			k++
			continue
		}
		merged = append(merged, w.ys[i])
		i++
	}
	w.ys = merged
}

// slab walks the slab above offset i and gives the runs of equal label from
// left to right; label 0 is outside and has no run. label looks at w.open.
func (w *sweep) slab(i int, label func(open []bool) int) []run {
	y0, y1 := w.ys[i], w.ys[i+1]
	mid := (y0 + y1) / 2
	w.cuts, w.runs = w.cuts[:0], w.runs[:0]
	for k := range w.sides {
		if s := &w.sides[k]; s.low.Y <= y0 && y1 <= s.high.Y {
			w.cuts = append(w.cuts, cut{s.at(mid), k})
		}
	}
	// Few and nearly in order: insertion sort, stable for equal places.
	for k := 1; k < len(w.cuts); k++ {
		c := w.cuts[k]
		j := k
		for ; j > 0 && w.cuts[j-1].x > c.x; j-- {
			w.cuts[j] = w.cuts[j-1]
		}
		w.cuts[j] = c
	}
	clear(w.open)
	now := 0
	for k := 0; k < len(w.cuts); {
		// Sides in one place, as of outlines that abut, count together: there is
		// nothing between them.
		c := w.cuts[k]
		for ; k < len(w.cuts) && w.cuts[k].x-c.x <= together; k++ {
			of := w.sides[w.cuts[k].side].of
			w.open[of] = !w.open[of]
		}
		next := label(w.open)
		if next == now {
			continue
		}
		if now != 0 {
			w.runs[len(w.runs)-1].right = c.side
		}
		if next != 0 {
			w.runs = append(w.runs, run{left: c.side, label: next})
		}
		now = next
	}
	if now != 0 { // cannot be: every operand closes again
		w.runs = w.runs[:len(w.runs)-1]
	}
	return w.runs
}

// area is the area of all runs, mm².
func (w *sweep) area(label func(open []bool) int) float64 {
	var area float64
	for i := range len(w.ys) - 1 {
		mid := (w.ys[i] + w.ys[i+1]) / 2
		var across float64
		for _, r := range w.slab(i, label) {
			across += w.sides[r.right].at(mid) - w.sides[r.left].at(mid)
		}
		area += float64(across * (w.ys[i+1] - w.ys[i]))
	}
	return area
}

// volume is the sum over all runs of their areas by the depth of their label,
// the first depth being that of label 1, mm³.
func (w *sweep) volume(depths []float64, label func(open []bool) int) float64 {
	var volume float64
	for i := range len(w.ys) - 1 {
		mid := (w.ys[i] + w.ys[i+1]) / 2
		var section float64
		for _, r := range w.slab(i, label) {
			section += float64((w.sides[r.right].at(mid) - w.sides[r.left].at(mid)) * depths[r.label-1])
		}
		volume += float64(section * (w.ys[i+1] - w.ys[i]))
	}
	return volume
}

// anyOpen labels what at least one operand covers.
func anyOpen(open []bool) int {
	for _, o := range open {
		if o {
			return 1
		}
	}
	return 0
}
