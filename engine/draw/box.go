package draw

import "math"

// Box is an upright rectangle from Min to Max, in the units of its points.
type Box struct{ Min, Max Point }

// EmptyBox returns the box around nothing; it grows over the first point.
func EmptyBox() Box {
	inf := math.Inf(1)
	return Box{Point{inf, inf}, Point{-inf, -inf}}
}

// Empty reports whether the box holds no point at all.
func (b Box) Empty() bool { return !(b.Min.X <= b.Max.X && b.Min.Y <= b.Max.Y) }

// Comparisons instead of min and max: in a browser these two are calls, and a key's
// drawing grows boxes some ten thousand times.

// Width is the extent in x, 0 when empty.
func (b Box) Width() float64 {
	if w := b.Max.X - b.Min.X; w > 0 {
		return w
	}
	return 0
}

// Height is the extent in y, 0 when empty.
func (b Box) Height() float64 {
	if h := b.Max.Y - b.Min.Y; h > 0 {
		return h
	}
	return 0
}

// Centre of the box; the origin when empty.
func (b Box) Centre() Point {
	if b.Empty() {
		return Point{}
	}
	return Point{(b.Min.X + b.Max.X) / 2, (b.Min.Y + b.Max.Y) / 2}
}

// Grow widens the box over p.
func (b *Box) Grow(p Point) {
	if p.X < b.Min.X {
		b.Min.X = p.X
	}
	if p.Y < b.Min.Y {
		b.Min.Y = p.Y
	}
	if p.X > b.Max.X {
		b.Max.X = p.X
	}
	if p.Y > b.Max.Y {
		b.Max.Y = p.Y
	}
}

// Join widens the box over o.
func (b *Box) Join(o Box) {
	if !o.Empty() {
		b.Grow(o.Min)
		b.Grow(o.Max)
	}
}

// Inset returns the box moved in by d on all sides (out when d < 0).
func (b Box) Inset(d float64) Box {
	return Box{Point{b.Min.X + d, b.Min.Y + d}, Point{b.Max.X - d, b.Max.Y - d}}
}

// Meets reports whether the two boxes share a point.
func (b Box) Meets(o Box) bool {
	return b.Min.X <= o.Max.X && o.Min.X <= b.Max.X && b.Min.Y <= o.Max.Y && o.Min.Y <= b.Max.Y
}

// Holds reports whether p lies in the box or on its edge.
func (b Box) Holds(p Point) bool {
	return p.X >= b.Min.X && p.X <= b.Max.X && p.Y >= b.Min.Y && p.Y <= b.Max.Y
}

func (b *Box) growAll(ps []Point) {
	for _, p := range ps {
		b.Grow(p)
	}
}

func (b *Box) growRound(c Point, r float64) {
	b.Grow(Point{c.X - r, c.Y - r})
	b.Grow(Point{c.X + r, c.Y + r})
}
