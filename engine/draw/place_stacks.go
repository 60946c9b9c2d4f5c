package draw

import (
	"math"

	"pegpour/engine/sorting"
)

// Distances of dimension rows, in text heights. A row below or to the right
// has its text between the line and the drawing, so its first row is farther.
const (
	firstInner = 1.55 // first row whose text lies towards the drawing
	firstOuter = 0.95 // first row whose text lies away from it
	rowStep    = 1.45
	extendBy   = 0.35 // extension line beyond the dimension line
	startGap   = 0.25 // between the point and its extension line
	pegGap     = 1.0  // first rows stand this much farther out where pegs are
	tickHalf   = 0.2  // half the width of an oblique stroke
)

// stackedDimension is a dimension in a row or column.
type stackedDimension struct {
	group  int
	text   string
	a, b   Point // the points, a at the lower coordinate along the row
	lo, hi float64
	row    int
	from   Point // ends of the dimension line
	to     Point
}

// Sheet sides of a stack.
const (
	sideBelow = iota
	sideAbove
	sideLeft
	sideRight
)

// placeStacks lays the dimension lines of all stacks first and their texts
// afterwards, so that a text knows every line it has to keep clear of.
func (p *placer) placeStacks() {
	for _, w := range p.work {
		e, ok := w.element.(Dimension)
		if !ok || p.notes[w.group].Marks != nil {
			continue
		}
		a, b := p.at(e.From), p.at(e.To)
		d := stackedDimension{group: w.group, text: e.spoken(e.Text)}
		side := p.sideOf(e, a, b)
		if side == sideBelow || side == sideAbove {
			if b.X < a.X {
				a, b = b, a
			}
			d.lo, d.hi = a.X, b.X
		} else {
			if b.Y < a.Y {
				a, b = b, a
			}
			d.lo, d.hi = a.Y, b.Y
		}
		d.a, d.b = a, b
		p.stacks[side] = append(p.stacks[side], d)
	}
	base := p.content
	pegs := 0.0
	for _, w := range p.work {
		if _, ok := w.element.(Peg); ok {
			pegs = pegGap * p.t
			break
		}
	}
	for side := range p.stacks {
		p.placeRows(side, base, pegs)
	}
	p.placePegNumbers()
	for side := range p.stacks {
		for i := range p.stacks[side] {
			d := &p.stacks[side][i]
			g := &p.notes[d.group]
			if d.text == "" || p.dimensionText(g, d.from, d.to, d.text) {
				continue
			}
			p.late = append(p.late, lateLabel{
				group: d.group, at: between(d.from, d.to, 0.5), lines: []string{d.text},
				prefer: outward[side], plain: true,
			})
		}
	}
}

// outward is the direction away from the drawing on each side.
var outward = [4]Point{sideBelow: {0, 1}, sideAbove: {0, -1}, sideLeft: {-1, 0}, sideRight: {1, 0}}

// sideOf chooses the sheet side of a stacked dimension.
func (p *placer) sideOf(e Dimension, a, b Point) int {
	want := p.sheetSide(e.Side)
	c := p.content
	if p.flat(e) == Horizontal {
		switch want {
		case Above:
			return sideAbove
		case Below:
			return sideBelow
		}
		if a.Y+b.Y < c.Min.Y+c.Max.Y-1e-6*c.Height() {
			return sideAbove
		}
		return sideBelow
	}
	switch want {
	case Left:
		return sideLeft
	case Right:
		return sideRight
	}
	if a.X+b.X > c.Min.X+c.Max.X+1e-6*c.Width() {
		return sideRight
	}
	return sideLeft
}

// sheetSide is the side on the sheet that a side of the model comes to lie on.
func (p *placer) sheetSide(side Side) Side {
	if p.view.Mirror {
		switch side {
		case Left:
			side = Right
		case Right:
			side = Left
		}
	}
	if p.view.Turn {
		side = [...]Side{SideAuto: SideAuto, Right: Above, Above: Left, Left: Below, Below: Right}[side]
	}
	return side
}

// flat says how a dimension runs on the sheet; Aligned when it slants.
func (p *placer) flat(e Dimension) Direction {
	d := flat(e)
	if !p.view.Turn {
		return d
	}
	return [...]Direction{Aligned: Aligned, Horizontal: Vertical, Vertical: Horizontal}[d]
}

// flat says whether a dimension runs along x or y; Aligned when it slants.
func flat(e Dimension) Direction {
	if e.Direction != Aligned {
		return e.Direction
	}
	dx, dy := math.Abs(e.To.X-e.From.X), math.Abs(e.To.Y-e.From.Y)
	switch {
	case dy <= 1e-6*dx:
		return Horizontal
	case dx <= 1e-6*dy:
		return Vertical
	}
	return Aligned
}

// placeRows gives each dimension of a side its row, shorter ones nearer and
// never a longer one inside a shorter one that it overlaps, then draws lines,
// extension lines and strokes.
func (p *placer) placeRows(side int, base Box, pegs float64) {
	ds := p.stacks[side]
	sorting.Stable(ds, func(x, y stackedDimension) int {
		wx, wy := x.hi-x.lo, y.hi-y.lo
		switch {
		case wx < wy-1e-6:
			return -1
		case wx > wy+1e-6:
			return 1
		case x.lo < y.lo-1e-6:
			return -1
		case x.lo > y.lo+1e-6:
			return 1
		}
		return 0
	})
	tol := 1e-6 + 1e-9*(base.Width()+base.Height())
	for i := range ds {
		for j := range i {
			if ds[i].lo < ds[j].hi-tol && ds[j].lo < ds[i].hi-tol {
				ds[i].row = max(ds[i].row, ds[j].row+1)
			}
		}
	}
	for i := range ds {
		d := &ds[i]
		inner, outer := firstInner*p.t+pegs, firstOuter*p.t+pegs
		step := rowStep * p.t * float64(d.row)
		switch side {
		case sideBelow:
			y := base.Max.Y + inner + step
			d.from, d.to = Point{d.lo, y}, Point{d.hi, y}
		case sideAbove:
			y := base.Min.Y - outer - step
			d.from, d.to = Point{d.lo, y}, Point{d.hi, y}
		case sideLeft:
			x := base.Min.X - outer - step
			d.from, d.to = Point{x, d.lo}, Point{x, d.hi}
		case sideRight:
			x := base.Max.X + inner + step
			d.from, d.to = Point{x, d.lo}, Point{x, d.hi}
		}
		p.dimensionLines(&p.notes[d.group], d.a, d.b, d.from, d.to, PartDimension)
	}
}

// dimensionLines draws the dimension line from-to, the extension lines from
// the points a and b to its ends, and the terminating strokes.
func (p *placer) dimensionLines(g *Group, a, b, from, to Point, part Part) {
	g.Kind = "dimension"
	if g.Marks == nil {
		g.Marks = p.marks.take(6)
	}
	p.extension(g, a, from)
	p.extension(g, b, to)
	p.stroke(g, part, from, to)
	d := distance(from, to)
	if d == 0 {
		d = 1
	}
	ux, uy := (to.X-from.X)/d, (to.Y-from.Y)/d
	// At 45° to the line, rising to the right as the text reads.
	if ux < -1e-9 || math.Abs(ux) <= 1e-9 && uy > 0 {
		ux, uy = -ux, -uy
	}
	k := tickHalf * p.t
	sx, sy := k*(ux+uy), k*(uy-ux)
	for _, c := range [...]Point{from, to} {
		p.stroke(g, PartTerminator, Point{c.X - sx, c.Y - sy}, Point{c.X + sx, c.Y + sy})
	}
}

// extension draws the extension line from a point to the end of its dimension
// line and a little beyond; nothing when the point lies at the end.
func (p *placer) extension(g *Group, a, end Point) {
	d := distance(a, end)
	if d <= startGap*p.t {
		return
	}
	ux, uy := (end.X-a.X)/d, (end.Y-a.Y)/d
	p.stroke(g, PartExtension,
		Point{a.X + ux*startGap*p.t, a.Y + uy*startGap*p.t},
		Point{end.X + ux*extendBy*p.t, end.Y + uy*extendBy*p.t})
}
