package geom

// Box is an upright rectangle between two corners, mm. Low is the corner of least
// coordinates.
type Box struct {
	Low  Point `json:"low"`
	High Point `json:"high"`
}

// BoxOf is the box between two opposite corners in either order.
func BoxOf(a, b Point) Box {
	return Box{
		Low:  Point{min(a.X, b.X), min(a.Y, b.Y)},
		High: Point{max(a.X, b.X), max(a.Y, b.Y)},
	}
}

// Empty reports whether the box has no area; what is not a number makes it so.
func (b Box) Empty() bool { return !(b.Low.X < b.High.X && b.Low.Y < b.High.Y) }

// Area is width by depth, mm²; 0 when empty.
func (b Box) Area() float64 {
	if b.Empty() {
		return 0
	}
	return (b.High.X - b.Low.X) * (b.High.Y - b.Low.Y)
}

// Polygon is the box as a ring, anticlockwise from its low corner; nil when
// empty.
func (b Box) Polygon() Polygon {
	if b.Empty() {
		return nil
	}
	return Polygon{b.Low, {b.High.X, b.Low.Y}, b.High, {b.Low.X, b.High.Y}}
}

// Grown is the box with every side moved out by d; in, when d is negative, and
// empty when nothing is left.
func (b Box) Grown(d float64) Box {
	return Box{Low: Point{b.Low.X - d, b.Low.Y - d}, High: Point{b.High.X + d, b.High.Y + d}}
}

// Swept is all that the box covers while it moves by dx along and dy across, in
// a straight line: a polygon of up to six corners. Empty boxes sweep nothing.
func (b Box) Swept(dx, dy float64) Polygon {
	if b.Empty() {
		return nil
	}
	start := b.Polygon()
	return Hull(append(start, start.Moved(dx, dy)...))
}

// Beyond is the part of the box where x ≥ x_e(y), its near side following the
// edge; several polygons where the edge leaves no width between.
func (b Box) Beyond(edge Edge) []Polygon {
	return Band(b.Low.X, b.Low.Y, b.High.X, b.High.Y, &edge, nil)
}

// Before is the part of the box where x ≤ x_e(y).
func (b Box) Before(edge Edge) []Polygon {
	return Band(b.Low.X, b.Low.Y, b.High.X, b.High.Y, nil, &edge)
}
