package draw

import (
	"math"
	"strconv"
)

// placeFurniture puts scale bar and north arrow in a strip below everything,
// the bar at the left, the arrow at the right.
func (p *placer) placeFurniture() {
	if p.content.Empty() {
		return
	}
	top := p.content.Max.Y + 1.2*p.t
	leftEdge, rightEdge := p.content.Min.X, p.content.Max.X
	for _, w := range p.work {
		g := &p.notes[w.group]
		switch e := w.element.(type) {
		case ScaleBar:
			g.Kind = "scalebar"
			p.scaleBar(g, e, leftEdge, top, rightEdge-leftEdge)
		case NorthArrow:
			g.Kind = "north"
			p.northArrow(g, e, Point{rightEdge - 1.2*p.t, top + 1.2*p.t})
		}
	}
}

const mmPerFoot = 304.8

// scaleBar draws a bar of a round length, about a third of the width at most,
// in two parts, the first dark.
func (p *placer) scaleBar(g *Group, e ScaleBar, x, top, room float64) {
	unit := 1000.0
	if e.Feet {
		unit = mmPerFoot
	}
	want := max(room*0.33, 4*p.t) / p.scale / unit
	n := roundDown(want)
	length := n * unit * p.scale
	h := 0.3 * p.t
	y := top + 1.3*p.t
	half := x + length/2
	p.solid(g, PartSymbol, true, Point{x, y}, Point{half, y}, Point{half, y + h}, Point{x, y + h})
	p.solid(g, PartSymbol, false, Point{half, y}, Point{x + length, y}, Point{x + length, y + h}, Point{half, y + h})
	word := strconv.FormatFloat(n, 'f', -1, 64) + " m"
	switch {
	case e.Feet:
		word = strconv.FormatFloat(n, 'f', -1, 64) + " ft"
	case n < 1:
		word = strconv.FormatFloat(math.Round(n*1000), 'f', -1, 64) + " mm"
	}
	cy := y - (liftGap+boxHeight/2)*p.t
	p.letter(g, Point{x + TextWidth("0", p.t)/2, cy}, "0", p.t, 0)
	p.letter(g, Point{max(x+length, x+2*p.t+TextWidth(word, p.t)/2), cy}, word, p.t, 0)
}

// roundDown returns the largest of 1, 2, 5 × 10ⁿ not above v.
func roundDown(v float64) float64 {
	e := math.Floor(math.Log10(v) + 1e-9)
	for _, m := range [...]float64{5, 2, 1} {
		// Dividing by a positive power keeps 0.5, 0.2 exact in print.
		n := m * math.Pow(10, e)
		if e < 0 {
			n = m / math.Pow(10, -e)
		}
		if n <= v*(1+1e-9) {
			return n
		}
	}
	return math.Pow(10, e)
}

func (p *placer) northArrow(g *Group, e NorthArrow, c Point) {
	sin, cos := math.Sincos(e.Angle)
	u := p.at(Point{cos, sin})
	ux, uy := u.X/p.scale, u.Y/p.scale
	r := 1.1 * p.t
	tip, tail := Point{c.X + r*ux, c.Y + r*uy}, Point{c.X - r*ux, c.Y - r*uy}
	w := 0.45 * p.t
	p.solid(g, PartSymbol, true, tip, Point{tail.X - w*uy, tail.Y + w*ux}, Point{c.X - 0.6*r*ux, c.Y - 0.6*r*uy})
	p.solid(g, PartSymbol, false, tip, Point{c.X - 0.6*r*ux, c.Y - 0.6*r*uy}, Point{tail.X + w*uy, tail.Y - w*ux})
	p.letter(g, Point{c.X - 1.9*p.t, c.Y}, "N", p.t, 0)
	p.symbol(newSlab(c, 2*r, 2*r, 0))
}
