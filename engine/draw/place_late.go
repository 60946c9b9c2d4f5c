package draw

import (
	"math"
	"slices"
)

// placeLate brings out the labels that found no room, nearest free place
// first, with as few lines crossed as can be.
func (p *placer) placeLate() {
	for _, group := range p.view.first {
		for i := range p.late {
			if p.late[i].group == group {
				p.placeLeader(&p.late[i])
			}
		}
	}
	for i := range p.late {
		if !slices.Contains(p.view.first, p.late[i].group) {
			p.placeLeader(&p.late[i])
		}
	}
}

// leaderLine is the slanting part of a leader that was placed.
type leaderLine struct {
	group int
	line  segment
}

// tangles counts the leaders that cross one another; next is the group of one that has not
// gone first yet, that which came later if it can be, -1 where all have.
func (p *placer) tangles() (n, next int) {
	next = -1
	for i := range p.leaders {
		for k := range i {
			if !p.leaders[i].line.crosses(&p.leaders[k].line) {
				continue
			}
			n++
			for _, group := range [...]int{p.leaders[k].group, p.leaders[i].group} {
				if !slices.Contains(p.view.first, group) {
					next = group
				}
			}
		}
	}
	return n, next
}

// untangled places anew where leaders cross: one that found no way of its own goes
// first, a few times over, and the best is kept.
func (p *placer) untangled() *placer {
	best, q := p, p
	least, next := p.tangles()
	for n := least; n > 0 && next >= 0 && len(q.view.first) < 8; {
		v := q.view
		v.first = append([]int{next}, v.first...)
		q = place(nil, p.scene, v, p.scale)
		if n, next = q.tangles(); n < least && (q.fits() || !p.fits()) && q.content.Height() < p.content.Height()+4*p.t {
			best, least = q, n
		}
	}
	return best
}

// leaderSpot is a place for a label and the leader to it.
type leaderSpot struct {
	elbow Point
	dir   float64 // +1 text to the right of the elbow, -1 to the left
	room  slab
	cost  float64
}

func (p *placer) placeLeader(l *lateLabel) {
	size := p.t
	if l.large {
		size *= 1.25
	}
	w, h := blockSize(l.lines, size)
	best := leaderSpot{cost: math.Inf(1)}
	farthest := p.content.Width() + p.content.Height() + 12*p.t
	first := math.Atan2(l.prefer.Y, l.prefer.X)
	free := l.prefer == Point{}
	if free {
		first = -math.Pi / 4
	}
	tried, ways := 0, 16
	if len(p.view.first) > 0 {
		ways = 48
	}
	for far := 1.3 * p.t; far < farthest; {
		if far/p.t >= best.cost || tried > 100*ways && !math.IsInf(best.cost, 1) {
			break
		}
		for k := range ways {
			turn := float64((k+1)/2) * 2 * math.Pi / float64(ways)
			if k%2 == 0 {
				turn = -turn
			}
			sin, cos := math.Sincos(first + turn)
			elbow := Point{l.at.X + far*cos, l.at.Y + far*sin}
			cost := far / p.t
			if !free {
				cost += math.Abs(turn) * 1.5
			}
			tried++
			if cost >= best.cost {
				continue
			}
			for _, dir := range [...]float64{1, -1} {
				if dir*cos < -0.4 {
					continue // the text would lie back over its leader
				}
				spot := leaderSpot{elbow: elbow, dir: dir, cost: cost}
				spot.room = newSlab(Point{elbow.X + dir*(w/2+0.15*p.t), elbow.Y - liftGap*p.t - h/2}, w, h, 0)
				if p.judge(&spot, l, w, best.cost) {
					best = spot
				}
			}
		}
		far += max(0.75*p.t, far/12)
	}
	if math.IsInf(best.cost, 1) {
		// Only where a text lies on the very place pointed at: straight down
		// below everything, the leader broken where it meets a text.
		best.elbow = Point{l.at.X, p.content.Max.Y + 2.2*p.t + h}
		best.dir = 1
		best.room = newSlab(Point{best.elbow.X + w/2 + 0.15*p.t, best.elbow.Y - liftGap*p.t - h/2}, w, h, 0)
	}
	g := &p.notes[l.group]
	p.lettersAligned(g, best.room.c, l.lines, size, best.dir)
	end := Point{best.elbow.X + best.dir*(w+0.3*p.t), best.elbow.Y}
	p.stroke(g, PartLeader, l.at, best.elbow, end)
	p.leaders = append(p.leaders, leaderLine{l.group, newSegment(l.at, best.elbow, PartLeader, false)},
		leaderLine{l.group, newSegment(best.elbow, end, PartLeader, false)})
	if !l.plain {
		p.arrow(g, l.at, best.elbow, 0.6*p.t)
	}
}

// breakExtensions interrupts extension and leader lines where they would run
// through a text, as ISO 129-1 has it.
func (p *placer) breakExtensions() {
	for gi := range p.notes {
		g := &p.notes[gi]
		for mi := 0; mi < len(g.Marks); mi++ {
			m := &g.Marks[mi]
			if m.Kind != MarkStroke || m.Closed || m.Part != PartExtension && m.Part != PartLeader &&
				(m.Part != PartTape || g.Kind != "angle") {
				continue
			}
			for i := 1; i < len(m.Points); i++ {
				if pieces, broken := p.around(m.Points[i-1], m.Points[i]); broken {
					p.replace(g, mi, i, pieces)
					mi = -1 // the marks have moved: look through them again
					break
				}
			}
		}
	}
}

// around returns the pieces of a-b outside all texts.
func (p *placer) around(a, b Point) ([][2]Point, bool) {
	l := newSegment(a, b, PartLeader, false)
	hit := false
	for i := range p.slabs {
		if p.slabs[i].box.Inset(-textGap * p.t).Meets(l.box) {
			hit = true
			break
		}
	}
	if !hit {
		return nil, false
	}
	pieces := [][2]Point{{a, b}}
	broken := false
	for i := range p.slabs {
		s := p.slabs[i].grown(textGap * p.t / 3)
		if !s.crossed(&l) {
			continue
		}
		var next [][2]Point
		for _, q := range pieces {
			t0, t1 := s.cut(q[0], q[1])
			if (t1-t0)*distance(q[0], q[1]) < 1e-3*p.t {
				next = append(next, q)
				continue
			}
			broken = true
			if t0 > 0 {
				next = append(next, [2]Point{q[0], between(q[0], q[1], t0)})
			}
			if t1 < 1 {
				next = append(next, [2]Point{between(q[0], q[1], t1), q[1]})
			}
		}
		pieces = next
	}
	return pieces, broken
}

// replace puts the pieces of the i-th stretch of mark mi in its place.
func (p *placer) replace(g *Group, mi, i int, pieces [][2]Point) {
	old := g.Marks[mi]
	rest := p.kept(old.Points[i:]...)
	g.Marks[mi].Points = old.Points[:i]
	if i == 1 {
		g.Marks[mi].Points = nil
	}
	for _, q := range pieces {
		p.mark(g, Mark{Kind: MarkStroke, Part: old.Part, Points: p.kept(q[0], q[1])})
	}
	if len(rest) > 1 {
		p.mark(g, Mark{Kind: MarkStroke, Part: old.Part, Points: rest})
	}
	kept := g.Marks[:0]
	for _, m := range g.Marks {
		if m.Kind != MarkStroke || len(m.Points) > 1 {
			kept = append(kept, m)
		}
	}
	g.Marks = kept
}

// judge adds what a label costs at the spot and reports whether it may stand there for
// less than most. What is found soonest is asked first.
func (p *placer) judge(spot *leaderSpot, l *lateLabel, w, most float64) bool {
	over := p.overflow(&spot.room)
	if spot.cost+over >= most { // what comes on top is never below 0
		return false
	}
	elbow := spot.elbow
	end := Point{elbow.X + spot.dir*(w+0.3*p.t), elbow.Y}
	// The leader must not run through its own text.
	lead := newSegment(l.at, elbow, PartLeader, false)
	if own := spot.room.grown(0.05 * p.t); own.crossed(&lead) {
		return false
	}
	if !p.free(&spot.room) || !p.clear(l.at, elbow) || !p.clear(elbow, end) || !l.plain && !p.headFree(l.at, elbow) {
		return false
	}
	spot.cost += over + 2*p.crossings(l.at, elbow) + 4*p.crossings(elbow, end) + p.crowding(elbow, end)
	return spot.cost < most
}

// overflow is the cost of a label that widens the drawing beyond its target.
func (p *placer) overflow(s *slab) float64 {
	all := p.content
	all.Join(s.box)
	cost := 0.0
	if over := all.Width() - (p.view.Width - 2*p.view.Margin); over > 0 && all.Width() > p.content.Width() {
		cost += 60 + 4*over/p.t
	}
	if over := all.Height() - (p.view.Height - 2*p.view.Margin); p.view.Height > 0 && over > 0 &&
		all.Height() > p.content.Height() {
		cost += 1 + over/p.t/2
	}
	return cost
}

// crowding is the cost of a line so near to the shelf under a text that the two
// would be taken for one.
func (p *placer) crowding(a, b Point) float64 {
	s := newSlab(between(a, b, 0.5), distance(a, b), 0.5*p.t, 0)
	if p.crossedBy(&s, nil) {
		return 1.5
	}
	return 0
}

// headFree reports whether an arrow head at tip, its line coming from tail,
// touches no text.
func (p *placer) headFree(tip, tail Point) bool {
	d := distance(tip, tail)
	if d == 0 {
		return true
	}
	k := min(0.6*p.t/d, 1)
	s := newSlab(between(tip, tail, k/2), 0.6*p.t, 0.3*p.t, math.Atan2(tip.Y-tail.Y, tail.X-tip.X))
	for i := range p.slabs {
		if !p.slabs[i].symbol && s.meets(&p.slabs[i]) {
			return false
		}
	}
	return true
}
