package draw

import "math"

// mapShapes maps what has a fixed place in the model and keeps the rest for
// placing.
func (p *placer) mapShapes() {
	for _, e := range p.scene.Elements {
		t := e.tag()
		if p.view.hides(t.Layer) || p.view.NoDimensions && isDimension(e) || !p.inWindow(e) {
			continue
		}
		switch e := e.(type) {
		case Line:
			g := p.shapeGroup(t, "line", 1)
			p.edge(g, false, p.kept(p.at(e.From), p.at(e.To)))
		case Polyline:
			g := p.shapeGroup(t, "line", 1)
			p.edge(g, e.Closed, p.mapped(e.Points))
		case Arc:
			g := p.shapeGroup(t, "arc", 1)
			p.edge(g, false, p.mapped(arcPoints(e.Centre, e.Radius, e.Start, e.Sweep)))
		case Circle:
			p.mapCircle(e)
		case Region:
			p.mapRegion(e)
		case Grid:
			p.mapGrid(e)
		default:
			p.notes = append(p.notes, Group{Tag: t})
			p.work = append(p.work, work{e, len(p.notes) - 1})
			if !t.Context {
				box := EmptyBox()
				e.cover(&box)
				if !box.Empty() {
					p.shape.Grow(p.at(box.Min))
					p.shape.Grow(p.at(box.Max))
				}
			}
		}
	}
	if !p.window.Empty() && !p.shape.Empty() {
		p.shape = Box{
			Point{max(p.shape.Min.X, p.window.Min.X), max(p.shape.Min.Y, p.window.Min.Y)},
			Point{min(p.shape.Max.X, p.window.Max.X), min(p.shape.Max.Y, p.window.Max.Y)},
		}
	}
	p.content.Join(p.shape)
	p.content.Join(p.window)
}

// inWindow tells whether an element is to be drawn: shapes that touch the
// window, annotations whose points all lie in it.
func (p *placer) inWindow(e Element) bool {
	if !p.view.windowed() {
		return true
	}
	box := EmptyBox()
	e.cover(&box)
	if box.Empty() {
		return true
	}
	switch e.(type) {
	case Line, Polyline, Arc, Circle, Region:
		return box.Meets(p.view.Window)
	}
	return p.view.Window.Holds(box.Min) && p.view.Window.Holds(box.Max)
}

func (p *placer) shapeGroup(t Tag, kind string, marks int) *Group {
	p.shapes = append(p.shapes, Group{Tag: t, Kind: kind, Marks: p.marks.take(marks)})
	return &p.shapes[len(p.shapes)-1]
}

func (p *placer) mapped(ps []Point) []Point {
	out := p.points.take(len(ps))[:len(ps)]
	for i := range ps {
		x, y := p.sign*ps[i].X, ps[i].Y
		if p.view.Turn {
			x, y = -y, x
		}
		out[i] = Point{p.scale * x, -p.scale * y}
	}
	return out
}

// edge adds a line of a drawn thing and keeps texts off it.
func (p *placer) edge(g *Group, closed bool, ps []Point) {
	p.mark(g, Mark{Kind: MarkStroke, Part: PartEdge, Closed: closed, Points: ps})
	p.keepOff(ps, closed, PartEdge, g.Context)
}

// keepOff records a broken line as something to keep clear of.
func (p *placer) keepOff(ps []Point, closed bool, part Part, context bool) {
	n := len(ps)
	for i := 1; i < n; i++ {
		p.keepOffSegment(ps[i-1], ps[i], part, context)
	}
	if closed && n > 2 {
		p.keepOffSegment(ps[n-1], ps[0], part, context)
	}
}

func (p *placer) keepOffSegment(a, b Point, part Part, context bool) {
	if part == PartEdge && !p.window.Empty() {
		var ok bool
		if a, b, ok = clipToBox(a, b, p.window); !ok {
			return
		}
	}
	l := newSegment(a, b, part, context)
	p.content.Grow(l.box.Min)
	p.content.Grow(l.box.Max)
	if part == PartEdge && !context {
		p.shape.Grow(l.box.Min)
		p.shape.Grow(l.box.Max)
	}
	p.segs = append(p.segs, l)
	if len(p.index.head) > 0 {
		p.index.add(len(p.segs)-1, &l.box)
	}
}

func (p *placer) mapCircle(e Circle) {
	g := p.shapeGroup(e.Tag, "circle", 2)
	c, r := p.at(e.Centre), e.Radius*p.scale
	if e.Hatch != HatchNone {
		p.mark(g, Mark{Kind: MarkRound, Part: PartFill, Points: p.kept(c), Radius: r, Hatch: e.Hatch})
		c = Point{c.X, c.Y}
	}
	p.mark(g, Mark{Kind: MarkRound, Part: PartEdge, Points: p.kept(c), Radius: r})
	p.roundEdge(c, r, e.Context)
}

// roundEdge keeps off a circle by a polygon around it.
func (p *placer) roundEdge(c Point, r float64, context bool) {
	const n = 16
	r /= math.Cos(math.Pi / n)
	last := Point{c.X + r, c.Y}
	for i := 1; i <= n; i++ {
		s, co := math.Sincos(2 * math.Pi * float64(i) / n)
		next := Point{c.X + r*co, c.Y + r*s}
		p.keepOffSegment(last, next, PartEdge, context)
		last = next
	}
}

func (p *placer) mapRegion(e Region) {
	g := p.shapeGroup(e.Tag, "region", 2+len(e.Holes))
	if e.Light != LightNone || e.Hatch != HatchNone {
		rings := p.rings.take(1 + len(e.Holes))
		rings = append(rings, p.mapped(e.Outer))
		for _, h := range e.Holes {
			rings = append(rings, p.mapped(h))
		}
		p.mark(g, Mark{Kind: MarkArea, Part: PartFill, Rings: rings, Hatch: e.Hatch, Light: e.Light})
	}
	if e.Open {
		box := EmptyBox()
		e.cover(&box)
		if e.Light != LightNone {
			p.content.Grow(p.at(box.Min))
			p.content.Grow(p.at(box.Max))
		}
		if !e.Context {
			p.shape.Grow(p.at(box.Min))
			p.shape.Grow(p.at(box.Max))
		}
		return
	}
	p.edge(g, true, p.mapped(e.Outer))
	for _, h := range e.Holes {
		p.edge(g, true, p.mapped(h))
	}
}

// mapGrid draws the grid lines over the part of the model that is shown; a
// grid finer than a third of the text height, or of more than 1000 lines, is
// left out.
func (p *placer) mapGrid(e Grid) {
	box := p.scene.shown(p.view)
	if e.Step*p.scale < p.t/3 || (box.Width()+box.Height())/e.Step > 1000 {
		return
	}
	g := p.shapeGroup(e.Tag, "grid", 16)
	g.Role = RoleGrid
	for x := math.Ceil(box.Min.X/e.Step) * e.Step; x <= box.Max.X; x += e.Step {
		p.mark(g, Mark{Kind: MarkStroke, Part: PartFill,
			Points: p.kept(p.at(Pt(x, box.Min.Y)), p.at(Pt(x, box.Max.Y)))})
	}
	for y := math.Ceil(box.Min.Y/e.Step) * e.Step; y <= box.Max.Y; y += e.Step {
		p.mark(g, Mark{Kind: MarkStroke, Part: PartFill,
			Points: p.kept(p.at(Pt(box.Min.X, y)), p.at(Pt(box.Max.X, y)))})
	}
}

// stroke adds a line of an annotation and keeps texts off it.
func (p *placer) stroke(g *Group, part Part, ps ...Point) {
	own := p.kept(ps...)
	p.mark(g, Mark{Kind: MarkStroke, Part: part, Points: own})
	for i := 1; i < len(ps); i++ {
		p.keepOffSegment(ps[i-1], ps[i], part, g.Context)
	}
}

// solid adds a closed figure (arrow head, triangle) and keeps texts off it.
func (p *placer) solid(g *Group, part Part, filled bool, ps ...Point) {
	own := p.kept(ps...)
	p.mark(g, Mark{Kind: MarkStroke, Part: part, Closed: true, Solid: filled, Points: own})
	p.keepOff(own, true, part, g.Context)
}

// arrow adds an arrow head with its tip at tip, pointing away from tail; none
// where a text stands in its way.
func (p *placer) arrow(g *Group, tip, tail Point, length float64) {
	d := distance(tip, tail)
	if d == 0 || !p.headFree(tip, tail) {
		return
	}
	ux, uy := (tail.X-tip.X)/d, (tail.Y-tip.Y)/d
	const half = 0.2 // tan of half the head's angle: a little under 23° in all
	p.solid(g, PartTerminator, true, tip,
		Point{tip.X + length*(ux-half*uy), tip.Y + length*(uy+half*ux)},
		Point{tip.X + length*(ux+half*uy), tip.Y + length*(uy-half*ux)})
}
