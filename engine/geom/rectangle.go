package geom

import (
	"math"
)

// Rectangle is a rectangle square to the axes, from X1 to X2 and from Y1 to Y2,
// mm. X1 may be −∞ where [Between] cuts it at an edge.
type Rectangle struct{ X1, Y1, X2, Y2 float64 }

// Ring is the rectangle as a ring, anticlockwise from its corner of least
// coordinates.
func (b Rectangle) Ring() Polygon {
	return Polygon{{X: b.X1, Y: b.Y1}, {X: b.X2, Y: b.Y1}, {X: b.X2, Y: b.Y2}, {X: b.X1, Y: b.Y2}}
}

// Middle is the middle of the rectangle, mm.
func (b Rectangle) Middle() Point { return Point{X: (b.X1 + b.X2) / 2, Y: (b.Y1 + b.Y2) / 2} }

// Between returns the part of a rectangle that lies beyond the near edge and
// before the far edge, either of which may be nil. The sides along an edge follow
// it. An X1 of −∞ starts at the near edge.
func Between(b Rectangle, near, far *Edge) []Polygon {
	x1 := b.X1
	if near != nil && math.IsInf(x1, -1) {
		x1 = near.MinOver(b.Y1, b.Y2)
	}
	return Band(x1, b.Y1, b.X2, b.Y2, near, far)
}

// RectangleOf is the rectangle from x1 to x2 and from y1 to y2.
func RectangleOf(x1, y1, x2, y2 float64) Rectangle { return Rectangle{X1: x1, Y1: y1, X2: x2, Y2: y2} }
