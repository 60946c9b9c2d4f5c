package geom

import (
	"math"
)

// Rectangle is a rectangle square to the fence: chainages x1 to x2, offsets y1 to y2.
type Rectangle struct{ X1, Y1, X2, Y2 float64 }

func (b Rectangle) Ring() Polygon {
	return Polygon{{X: b.X1, Y: b.Y1}, {X: b.X2, Y: b.Y1}, {X: b.X2, Y: b.Y2}, {X: b.X1, Y: b.Y2}}
}
func (b Rectangle) Middle() Point { return Point{X: (b.X1 + b.X2) / 2, Y: (b.Y1 + b.Y2) / 2} }

// Between returns the part of a box that lies beyond the near edge and before
// the far edge, either of which may be nil. The sides along an edge follow it.
func Between(b Rectangle, near, far *Edge) []Polygon {
	x1 := b.X1
	if near != nil && math.IsInf(x1, -1) {
		x1 = near.MinOver(b.Y1, b.Y2)
	}
	return Band(x1, b.Y1, b.X2, b.Y2, near, far)
}
