package solid

import "pegpour/engine/draw"

// Project returns where a point of the model appears on the drawing that
// [Draw] makes, mm in its plane. The camera's angles must be numbers.
func (c Camera) Project(p Point) draw.Point {
	right, up, _ := c.frame()
	return draw.Pt(dot(p, right), dot(p, up))
}

// Near is how far a point lies towards the viewer, mm: of two points at one
// place of the drawing the one with the larger value hides the other.
func (c Camera) Near(p Point) float64 {
	_, _, toward := c.frame()
	return dot(p, toward)
}
