package draw

import "math"

// placeCloseDimensions places the dimensions that stay by their points. What
// has least choice comes first: the lines of Through dimensions, their
// figures, angles, then Close and slanting dimensions.
func (p *placer) placeCloseDimensions() {
	for _, w := range p.work {
		e, ok := w.element.(Dimension)
		if ok && p.nothingLong(e) {
			g := &p.notes[w.group]
			g.Kind, g.Marks = "dimension", p.marks.take(2)
			if e.Text != "" {
				p.late = append(p.late, lateLabel{group: w.group, at: p.at(e.From), lines: []string{e.spoken(e.Text)},
					plain: true})
			}
			continue
		}
		if ok && e.Placing == Through {
			a, b := p.at(e.From), p.at(e.To)
			p.dimensionLines(&p.notes[w.group], a, b, a, b, PartTape)
		}
	}
	for _, w := range p.work {
		if e, ok := w.element.(Dimension); ok && e.Placing == Through && !p.nothingLong(e) {
			p.throughText(w.group, e)
		}
	}
	for _, w := range p.work {
		switch e := w.element.(type) {
		case AngleDimension:
			p.placeAngle(w.group, e)
		case RadiusDimension:
			p.placeRadius(w.group, e)
		}
	}
	for _, w := range p.work {
		if e, ok := w.element.(Dimension); ok && p.notes[w.group].Marks == nil &&
			(e.Placing == Close || flat(e) == Aligned) {
			p.placeClose(w.group, e)
		}
	}
}

// nothingLong reports whether a dimension has no length to draw: its figure is
// then only pointed at.
func (p *placer) nothingLong(e Dimension) bool {
	dx, dy := math.Abs(e.To.X-e.From.X), math.Abs(e.To.Y-e.From.Y)
	const least = 1e-3 // mm of model
	switch e.Direction {
	case Horizontal:
		return dx < least
	case Vertical:
		return dy < least
	}
	return dx < least && dy < least
}

func (p *placer) throughText(group int, e Dimension) {
	a, b := p.at(e.From), p.at(e.To)
	text := e.spoken(e.Text)
	if text == "" || p.dimensionText(&p.notes[group], a, b, text) {
		return
	}
	p.late = append(p.late, lateLabel{group: group, at: between(a, b, 0.5), lines: []string{text}, plain: true})
}

// placeRadius leaves the figure of a radius to a leader that points at the arc
// from outside, along the radius if it can.
func (p *placer) placeRadius(group int, e RadiusDimension) {
	p.notes[group].Kind = "radius"
	tip, centre := p.at(e.OnArc), p.at(e.Centre)
	d := max(distance(tip, centre), 1e-9)
	text := "R" + e.Text
	p.late = append(p.late, lateLabel{group: group, at: tip, lines: []string{e.spoken(text)},
		prefer: Point{(tip.X - centre.X) / d, (tip.Y - centre.Y) / d}})
}

// placeClose moves the dimension line out from its points step by step, on the
// preferred side first, until line and text are free.
func (p *placer) placeClose(group int, e Dimension) {
	g := &p.notes[group]
	a, b := p.at(e.From), p.at(e.To)
	var normal Point
	switch p.flat(e) {
	case Horizontal:
		normal = Point{0, -1}
	case Vertical:
		normal = Point{-1, 0}
	default:
		d := distance(a, b)
		if d < 1e-9 {
			normal = Point{0, -1}
			break
		}
		normal = Point{(b.Y - a.Y) / d, -(b.X - a.X) / d}
	}
	normal = p.faceSide(e.Side, normal, between(a, b, 0.5))
	text := e.spoken(e.Text)
	farthest := math.Hypot(p.content.Width(), p.content.Height()) + 8*p.t
	var line [2]Point
	found := false
	for off, tries := 0.95*p.t, 0; off < farthest && tries < 40; off += max(0.75*p.t, off/12) {
		for _, dir := range [...]float64{1, -1} {
			from, to := p.offsetLine(a, b, normal, dir*off)
			if !p.lineFree(from, to) {
				continue
			}
			tries++
			if !found {
				line, found = [2]Point{from, to}, true
			}
			if text == "" || p.dimensionText(g, from, to, text) {
				p.dimensionLines(g, a, b, from, to, PartDimension)
				return
			}
		}
	}
	if !found {
		line[0], line[1] = p.offsetLine(a, b, normal, farthest)
	}
	p.dimensionLines(g, a, b, line[0], line[1], PartDimension)
	p.late = append(p.late, lateLabel{group: group, at: between(line[0], line[1], 0.5), lines: []string{text},
		prefer: normal, plain: true})
}

// faceSide turns a normal to the wanted side, or away from the middle of the
// drawing.
func (p *placer) faceSide(side Side, n, mid Point) Point {
	want := sideVector(p.sheetSide(side))
	dot := n.X*want.X + n.Y*want.Y
	if math.Abs(dot) < 1e-9 {
		c := p.shape.Centre()
		dot = n.X*(mid.X-c.X) + n.Y*(mid.Y-c.Y)
	}
	if dot < 0 {
		return Point{-n.X, -n.Y}
	}
	return n
}

// offsetLine is the dimension line for the points a and b at the offset given
// from the farther of them.
func (p *placer) offsetLine(a, b, n Point, off float64) (Point, Point) {
	pa, pb := a.X*n.X+a.Y*n.Y, b.X*n.X+b.Y*n.Y
	level := max(pa, pb) + off
	if off < 0 {
		level = min(pa, pb) + off
	}
	return Point{a.X + n.X*(level-pa), a.Y + n.Y*(level-pa)}, Point{b.X + n.X*(level-pb), b.Y + n.Y*(level-pb)}
}

// placeAngle draws the arc between two rays at the first radius where it and
// its figure are free.
func (p *placer) placeAngle(group int, e AngleDimension) {
	g := &p.notes[group]
	g.Kind = "angle"
	v, a, b := p.at(e.Vertex), p.at(e.From), p.at(e.To)
	start := math.Atan2(v.Y-a.Y, a.X-v.X)
	sweep := math.Remainder(math.Atan2(v.Y-b.Y, b.X-v.X)-start, 2*math.Pi)
	text := e.spoken(e.Text)
	w := TextWidth(text, p.t)
	arcAt := func(r float64) []Point {
		ps := arcPoints(Point{}, r, start, sweep)
		for i := range ps {
			ps[i] = Point{v.X + ps[i].X, v.Y - ps[i].Y}
		}
		return ps
	}
	radius, centre, set, clear := 2.2*p.t, Point{}, false, false
	head := 0.6 * p.t
search:
	for r := 2.2 * p.t; r <= 9*p.t; r += 0.8 * p.t {
		arc := arcAt(r)
		if !p.arcClear(arc, head) {
			continue
		}
		if !clear {
			radius, clear = r, true
		}
		for _, f := range [...]float64{0.5, 0.35, 0.65, 0.2, 0.8, -0.1, 1.1} {
			for _, side := range [...]float64{1, -1} {
				sin, cos := math.Sincos(start + sweep*f)
				out := r + side*(0.25*p.t+math.Abs(cos)*w/2+math.Abs(sin)*boxHeight*p.t/2)
				if out < 0.8*p.t {
					continue
				}
				c := Point{v.X + out*cos, v.Y - out*sin}
				s := newSlab(c, w, boxHeight*p.t, 0)
				if p.free(&s) && arcMisses(arc, &s) {
					radius, centre, set = r, c, true
					break search
				}
			}
		}
	}
	arc := arcAt(radius)
	p.stroke(g, PartTape, arc...)
	if n := len(arc); n > 2 && math.Abs(sweep)*radius > 2.5*head {
		p.arrow(g, arc[0], chordBack(arc, head), head)
		p.arrow(g, arc[n-1], chordBack(reversed(arc), head), head)
	}
	p.ray(g, v, a, arc[0])
	p.ray(g, v, b, arc[len(arc)-1])
	if set {
		p.letter(g, centre, text, p.t, 0)
		return
	}
	p.late = append(p.late, lateLabel{group: group, at: arc[len(arc)/2], lines: []string{text}, plain: true})
}

// ray draws the extension of a short ray out to the arc.
func (p *placer) ray(g *Group, v, end, onArc Point) {
	if distance(v, end)+startGap*p.t < distance(v, onArc) {
		p.extension(g, end, onArc)
	}
}

// arcClear reports whether an arc with its two arrow heads touches no text.
func (p *placer) arcClear(arc []Point, head float64) bool {
	for i := 1; i < len(arc); i++ {
		if !p.clear(arc[i-1], arc[i]) {
			return false
		}
	}
	return p.headFree(arc[0], chordBack(arc, head)) && p.headFree(arc[len(arc)-1], chordBack(reversed(arc), head))
}

func arcMisses(arc []Point, s *slab) bool {
	for i := 1; i < len(arc); i++ {
		l := newSegment(arc[i-1], arc[i], PartTape, false)
		big := s.grown(0.1 * boxHeight * s.hh)
		if big.crossed(&l) {
			return false
		}
	}
	return true
}

// chordBack is the point on the arc about d from its start.
func chordBack(arc []Point, d float64) Point {
	for _, q := range arc {
		if distance(arc[0], q) >= d {
			return q
		}
	}
	return arc[len(arc)-1]
}

func reversed(ps []Point) []Point {
	out := make([]Point, len(ps))
	for i, q := range ps {
		out[len(ps)-1-i] = q
	}
	return out
}
