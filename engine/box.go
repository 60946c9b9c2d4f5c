package engine

import (
	"math"

	"pegpour/engine/geom"
)

// box is a rectangle square to the fence: chainages x1 to x2, offsets y1 to y2.
type box struct{ x1, y1, x2, y2 float64 }

func (b box) ring() geom.Polygon {
	return geom.Polygon{{X: b.x1, Y: b.y1}, {X: b.x2, Y: b.y1}, {X: b.x2, Y: b.y2}, {X: b.x1, Y: b.y2}}
}
func (b box) middle() geom.Point { return geom.Point{X: (b.x1 + b.x2) / 2, Y: (b.y1 + b.y2) / 2} }

// between returns the part of a box that lies beyond the near edge and before
// the far edge, either of which may be nil. The sides along an edge follow it.
func between(b box, near, far *geom.Edge) []geom.Polygon {
	x1 := b.x1
	if near != nil && math.IsInf(x1, -1) {
		x1 = near.MinOver(b.y1, b.y2)
	}
	return geom.Band(x1, b.y1, b.x2, b.y2, near, far)
}
