package draw

// Room is what laying a scene out and writing it takes, kept from one drawing to the
// next: making it anew costs a fourth of both. The zero Room is ready. A sheet that it
// laid out is good until it lays out the next.
type Room struct {
	placers []*placer
	taken   int // of placers, by the sheet that is being laid out
	text    []byte
}

// Layout is [Layout] in this room.
func (r *Room) Layout(s *Scene, v View) (*Sheet, error) {
	v.room, r.taken = r, 0
	return Layout(s, v)
}

// Parts is [Parts] in this room.
func (r *Room) Parts(s *Sheet, o Options) (head, body string) {
	svg, n := write(r.text[:0], s, o)
	r.text = svg
	return string(svg[:n]), string(svg[n:])
}

// placer has room for a scene of n elements. A nil Room makes it anew.
func (r *Room) placer(n int) *placer {
	if r == nil {
		return newPlacer(n)
	}
	if r.taken == len(r.placers) {
		r.placers = append(r.placers, newPlacer(n))
	}
	r.taken++
	return r.placers[r.taken-1]
}

// store hands out pieces of one room, so that laying out a scene anew makes
// nothing of its own.
type store[T any] struct {
	room []T
	used int // in all since the store was emptied
}

// take gives an empty piece with room for n.
func (s *store[T]) take(n int) []T {
	s.used += n
	if cap(s.room)-len(s.room) < n {
		s.room = make([]T, 0, max(n, cap(s.room)/2)) // pieces given out keep the old one
	}
	at := len(s.room)
	s.room = s.room[:at+n]
	return s.room[at : at : at+n]
}

// empty takes back every piece. What did not fit will the next time.
func (s *store[T]) empty() {
	if s.used > cap(s.room) {
		s.room = make([]T, 0, s.used)
	}
	s.room, s.used = s.room[:0], 0
}

// newPlacer has room for a scene of n elements.
func newPlacer(n int) *placer {
	return &placer{
		shapes: make([]Group, 0, n), notes: make([]Group, 0, n), work: make([]work, 0, n),
		segs: make([]segment, 0, 8*n), slabs: make([]slab, 0, n),
		points: store[Point]{room: make([]Point, 0, 8*n)}, marks: store[Mark]{room: make([]Mark, 0, 3*n)},
		rings: store[[]Point]{room: make([][]Point, 0, n)},
	}
}

// emptied is the placer with nothing placed, but with all its room.
func (p *placer) emptied() placer {
	p.points.empty()
	p.marks.empty()
	p.rings.empty()
	q := placer{
		shapes: p.shapes[:0], notes: p.notes[:0], work: p.work[:0], segs: p.segs[:0], slabs: p.slabs[:0],
		late: p.late[:0], leaders: p.leaders[:0],
		index: segmentIndex{head: p.index.head[:0], entries: p.index.entries[:0]}, points: p.points, marks: p.marks,
		rings: p.rings,
	}
	for side := range p.stacks {
		q.stacks[side] = p.stacks[side][:0]
	}
	return q
}

// mark adds a mark to a group.
func (p *placer) mark(g *Group, m Mark) {
	if g.Marks == nil {
		g.Marks = p.marks.take(6) // of a dimension
	}
	g.Marks = append(g.Marks, m)
}

// kept is a copy of points that the sheet may keep.
func (p *placer) kept(ps ...Point) []Point { return append(p.points.take(len(ps)), ps...) }
