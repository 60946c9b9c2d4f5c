package draw

// segmentIndex finds the segments near a box: a coarse grid over the drawing,
// what lies outside it counted to the border cells. A segment may be found
// more than once.
type segmentIndex struct {
	x0, y0, inv float64
	nx, ny      int
	head        []int32 // first entry of each cell, -1 when empty
	entries     []indexEntry
}

type indexEntry struct{ segment, next int32 }

const indexCells = 48 // at most, each way

// startIndex lays the grid over what is there and its surroundings.
func (p *placer) startIndex() {
	box := p.content.Inset(-10 * p.t)
	if p.content.Empty() {
		box = Box{Max: Point{1, 1}}
	}
	cell := max(2.5*p.t, max(box.Width(), box.Height())/indexCells)
	ix := &p.index
	ix.x0, ix.y0, ix.inv = box.Min.X, box.Min.Y, 1/cell
	ix.nx = min(indexCells, int(box.Width()/cell)+1)
	ix.ny = min(indexCells, int(box.Height()/cell)+1)
	if cells := ix.nx * ix.ny; cap(ix.head) < cells {
		ix.head = make([]int32, cells, cells+cells/4)
	} else {
		ix.head = ix.head[:cells]
	}
	for i := range ix.head {
		ix.head[i] = -1
	}
	if cap(ix.entries) == 0 {
		ix.entries = make([]indexEntry, 0, 8*len(p.segs)+512)
	}
	for i := range p.segs {
		ix.add(i, &p.segs[i].box)
	}
}

// span returns the cells that a box touches.
func (ix *segmentIndex) span(b *Box) (c0, c1, r0, r1 int) {
	return clampCell((b.Min.X-ix.x0)*ix.inv, ix.nx), clampCell((b.Max.X-ix.x0)*ix.inv, ix.nx),
		clampCell((b.Min.Y-ix.y0)*ix.inv, ix.ny), clampCell((b.Max.Y-ix.y0)*ix.inv, ix.ny)
}

func clampCell(v float64, n int) int {
	if !(v > 0) {
		return 0
	}
	if v >= float64(n) {
		return n - 1
	}
	return int(v)
}

func (ix *segmentIndex) add(segment int, b *Box) {
	c0, c1, r0, r1 := ix.span(b)
	for r := r0; r <= r1; r++ {
		for c := c0; c <= c1; c++ {
			k := r*ix.nx + c
			ix.entries = append(ix.entries, indexEntry{int32(segment), ix.head[k]})
			ix.head[k] = int32(len(ix.entries) - 1)
		}
	}
}

// crossedBy reports whether any segment that counts crosses the slab; counts
// may be nil for all.
func (p *placer) crossedBy(s *slab, counts func(*segment) bool) bool {
	ix := &p.index
	c0, c1, r0, r1 := ix.span(&s.box)
	for r := r0; r <= r1; r++ {
		for c := c0; c <= c1; c++ {
			for e := ix.head[r*ix.nx+c]; e >= 0; e = ix.entries[e].next {
				l := &p.segs[ix.entries[e].segment]
				if l.box.Max.X < s.box.Min.X || l.box.Min.X > s.box.Max.X || l.box.Max.Y < s.box.Min.Y ||
					l.box.Min.Y > s.box.Max.Y {
					continue
				}
				if (counts == nil || counts(l)) && s.crossed(l) {
					return true
				}
			}
		}
	}
	return false
}
