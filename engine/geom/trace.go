package geom

import (
	"math"
	"slices"

	"pegpour/engine/sorting"
)

// arrow is a piece of a boundary with the inside on its left.
type arrow struct {
	from, to Point
	used     bool
}

// step is where a label begins or ends along a line of equal offset.
type step struct {
	x     float64
	side  int // 0 below the line, 1 above
	label int // what begins; 0 where a stretch ends
}

// regions traces the boundary of every label from 1 to labels.
func (w *sweep) regions(labels int, label func(open []bool) int) [][]Region {
	out := make([][]Region, labels+1)
	if len(w.ys) < 2 {
		return out
	}
	arrows := make([][]arrow, labels+1)
	for i := 1; i <= labels; i++ {
		arrows[i] = make([]arrow, 0, 2*len(w.sides))
	}
	var room [3][16]step
	below, above, next := room[0][:0], room[1][:0], room[2][:0]
	for i := range w.ys {
		above = above[:0]
		if i+1 < len(w.ys) {
			y0, y1 := w.ys[i], w.ys[i+1]
			bottom, top := math.Inf(-1), math.Inf(-1)
			next = next[:0]
			for _, r := range w.slab(i, label) {
				// Sides keep their order within the slab; where rounding says
				// otherwise at its ends they meet there.
				l0 := max(bottom, w.sides[r.left].at(y0))
				r0 := max(l0, w.sides[r.right].at(y0))
				l1 := max(top, w.sides[r.left].at(y1))
				r1 := max(l1, w.sides[r.right].at(y1))
				bottom, top = r0, r1
				above = append(above, step{l0, 1, r.label}, step{r0, 1, 0})
				next = append(next, step{l1, 0, r.label}, step{r1, 0, 0})
				a := &arrows[r.label]
				*a = append(*a, arrow{from: Point{l1, y1}, to: Point{l0, y0}},
					arrow{from: Point{r0, y0}, to: Point{r1, y1}})
			}
			levels(below, above, w.ys[i], arrows)
			below, next = next, below
			continue
		}
		levels(below, above, w.ys[i], arrows)
	}
	for i := 1; i <= labels; i++ {
		out[i] = assemble(arrows[i])
	}
	return out
}

// levels puts the level pieces of the boundaries along offset y: where the label
// below differs from the label above.
func levels(below, above []step, y float64, arrows [][]arrow) {
	b, a := 0, 0
	under, over := 0, 0
	from := 0.0
	for b < len(below) || a < len(above) {
		x := math.Inf(1)
		if b < len(below) {
			x = below[b].x
		}
		if a < len(above) {
			x = min(x, above[a].x)
		}
		if under != over && x > from {
			if under != 0 {
				arrows[under] = append(arrows[under], arrow{from: Point{x, y}, to: Point{from, y}})
			}
			if over != 0 {
				arrows[over] = append(arrows[over], arrow{from: Point{from, y}, to: Point{x, y}})
			}
		}
		for b < len(below) && below[b].x == x {
			under = below[b].label
			b++
		}
		for a < len(above) && above[a].x == x {
			over = above[a].label
			a++
		}
		from = x
	}
}

// assemble joins arrows into rings and rings into regions.
func assemble(arrows []arrow) []Region {
	// Pieces without length say nothing, but keep the rest in balance.
	arrows = slices.DeleteFunc(arrows, func(a arrow) bool { return a.from == a.to })
	sorting.By(arrows, func(a, b arrow) int {
		if c := comparePoints(a.from, b.from); c != 0 {
			return c
		}
		return comparePoints(a.to, b.to)
	})
	var outers, holes []Polygon
	ring := make(Polygon, 0, len(arrows))
	for i := range arrows {
		if arrows[i].used {
			continue
		}
		ring = ring[:0]
		for k := i; k >= 0; k = follow(arrows, k) {
			arrows[k].used = true
			ring = append(ring, arrows[k].from)
		}
		for _, simple := range simpleRings(ring) {
			switch area := simple.Area(); {
			case math.Abs(area) <= Grid*simple.Perimeter(): // thinner than the grid
			case area > 0:
				outers = append(outers, rotated(simple))
			default:
				holes = append(holes, rotated(simple))
			}
		}
	}
	out := make([]Region, len(outers))
	for i, p := range outers {
		out[i].Outer = p
	}
	sorting.By(out, func(a, b Region) int { return slices.CompareFunc(a.Outer, b.Outer, comparePoints) })
	sorting.By(holes, func(a, b Polygon) int { return slices.CompareFunc(a, b, comparePoints) })
	for _, h := range holes {
		if i := owner(out, h); i >= 0 {
			out[i].Holes = append(out[i].Holes, h)
		}
	}
	return out
}

// follow is the arrow after k: of those that start where it ends, the one that
// turns most to the left, which keeps to the same piece of the inside; -1 when
// the ring is closed.
func follow(arrows []arrow, k int) int {
	at := arrows[k].to
	first, _ := slices.BinarySearchFunc(arrows, at, func(a arrow, p Point) int { return comparePoints(a.from, p) })
	best, left := -1, math.Inf(-1)
	for i := first; i < len(arrows) && arrows[i].from == at; i++ {
		if arrows[i].used {
			continue
		}
		if best < 0 && (i+1 == len(arrows) || arrows[i+1].from != at) {
			return i // no choice
		}
		if t := bend(arrows[k], arrows[i]); t > left {
			best, left = i, t
		}
	}
	return best
}

// bend is the angle from a to b, in (-π, π].
func bend(a, b arrow) float64 {
	ax, ay := a.to.X-a.from.X, a.to.Y-a.from.Y
	bx, by := b.to.X-b.from.X, b.to.Y-b.from.Y
	return math.Atan2(float64(ax*by)-float64(ay*bx), float64(ax*bx)+float64(ay*by))
}

// simpleRings puts a ring on the grid, parts it where it touches itself and then
// drops points on straight stretches.
func simpleRings(ring Polygon) []Polygon {
	for i := range ring {
		ring[i] = onGrid(ring[i])
	}
	var out []Polygon
	for _, simple := range apart(slices.Compact(ring)) {
		// A point between two others is off their line by three roundings at most.
		if simple = straight(simple, 2*Grid); len(simple) > 0 {
			out = append(out, simple)
		}
	}
	return out
}

// straight drops every point that lies within slack of the line between its
// neighbours, repeated points and spikes included. It works in place.
func straight(ring Polygon, slack float64) Polygon {
	for again := true; again; {
		again = false
		for i := 0; i < len(ring) && len(ring) >= 3; {
			n := len(ring)
			a, b, c := ring[(i+n-1)%n], ring[i], ring[(i+1)%n]
			long := hypot(c.X-a.X, c.Y-a.Y)
			if a == b || long == 0 || math.Abs(turn(a, b, c)) <= slack*long {
				ring = slices.Delete(ring, i, i+1)
				again = true
				continue
			}
			i++
		}
	}
	if len(ring) < 3 {
		return ring[:0]
	}
	return ring
}

// apart parts a ring that touches itself at a point into rings that do not.
func apart(ring Polygon) []Polygon {
	for i := range ring {
		for k := i + 1; k < len(ring); k++ {
			if ring[i] == ring[k] {
				inner := slices.Clone(ring[i:k])
				rest := append(slices.Clone(ring[:i]), ring[k:]...)
				return append(apart(inner), apart(rest)...)
			}
		}
	}
	if len(ring) < 3 {
		return nil
	}
	return []Polygon{ring}
}

// rotated is a copy of the ring that starts at its least point.
func rotated(ring Polygon) Polygon {
	first := 0
	for i := range ring {
		if comparePoints(ring[i], ring[first]) < 0 {
			first = i
		}
	}
	return append(append(make(Polygon, 0, len(ring)), ring[first:]...), ring[:first]...)
}

// owner is the smallest outer ring around a hole, touching it or not; -1 when
// there is none.
func owner(regions []Region, hole Polygon) int {
	best, least := -1, math.Inf(1)
	size := math.Abs(hole.Area())
	for i := range regions {
		if a := regions[i].Outer.Area(); a > size && a < least && surrounds(regions[i].Outer, hole) {
			best, least = i, a
		}
	}
	return best
}

func surrounds(outer, hole Polygon) bool {
	for _, q := range hole {
		if outer.DistanceTo(q) > 4*Grid {
			return false
		}
	}
	return true
}
