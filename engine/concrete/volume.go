package concrete

import (
	"math"

	"pegpour/engine/geom"
	"pegpour/engine/refusal"
)

// Prism is the volume of a flat-bottomed pour of one depth, mm³.
//
//	V = A·d
//
// a is the plan area, overlaps taken out (0 to a hectare), d the depth (0 to a
// kilometre).
func Prism(a, d float64) (float64, error) {
	if err := refusal.First(area("area", a), length("depth", d)); err != nil {
		return 0, err
	}
	return a * d, nil
}

// Plane is a sloping plane: the level at a point is Level + AlongX·x + AlongY·y,
// mm, the slopes as rise over run.
type Plane struct {
	Level, AlongX, AlongY float64
}

// At is the level of the plane above a point of the plan, mm.
func (p Plane) At(q geom.Point) float64 {
	return p.Level + float64(p.AlongX*q.X) + float64(p.AlongY*q.Y)
}

func (p Plane) arguments() []refusal.Allowed {
	return []refusal.Allowed{
		refusal.Allow("level of the bottom", p.Level, -mostLength, mostLength, "mm"),
		refusal.Allow("slope of the bottom along", p.AlongX, -1, 1, ""),
		refusal.Allow("slope of the bottom across", p.AlongY, -1, 1, ""),
	}
}

// LevelTop is the volume between a level top and a sloping plane bottom over a
// simple outline, mm³.
//
//	V = A · (top − z(centroid))
//
// Exact, because the depth is linear over the plan and its mean is therefore the
// depth at the centroid of area. It holds only while the depth is positive
// everywhere: a corner where it is not gives a *ArgumentError with that depth; then
// pour the part under the top only, with LevelTopWithin. Slopes up to 1:1.
//
// Source: first moment of area; common practice arithmetic. Checked by
// integration in the tests.
func LevelTop(outline geom.Polygon, top float64, bottom Plane) (float64, error) {
	if err := checkPlanes(outline, top, bottom); err != nil {
		return 0, err
	}
	for _, q := range outline {
		if err := refusal.First(positiveLength("depth at a corner", top-bottom.At(q))); err != nil {
			return 0, err
		}
	}
	return math.Abs(outline.Area()) * (top - bottom.At(outline.Centroid())), nil
}

// LevelTopWithin is the volume under a level top and above a sloping plane
// bottom, where the bottom is below the top; the rest of the outline counts as
// nothing, mm³. The area it covers comes with it, mm².
func LevelTopWithin(outline geom.Polygon, top float64, bottom Plane) (volume, covered float64, err error) {
	if err := checkPlanes(outline, top, bottom); err != nil {
		return 0, 0, err
	}
	depth := func(q geom.Point) float64 { return top - bottom.At(q) }
	var wet geom.Polygon
	for i, p := range outline {
		q := outline[(i+1)%len(outline)]
		dp, dq := depth(p), depth(q)
		if dp >= 0 {
			wet = append(wet, p)
		}
		if dp > 0 && dq < 0 || dp < 0 && dq > 0 {
			t := dp / (dp - dq)
			wet = append(wet, geom.Point{X: p.X + float64(t*(q.X-p.X)), Y: p.Y + float64(t*(q.Y-p.Y))})
		}
	}
	covered = math.Abs(wet.Area())
	if covered == 0 {
		return 0, 0, nil
	}
	return covered * max(0, depth(wet.Centroid())), covered, nil
}

func checkPlanes(outline geom.Polygon, top float64, bottom Plane) error {
	level := refusal.Allow("level of the top", top, -mostLength, mostLength, "mm")
	if err := refusal.First(append(bottom.arguments(), level)...); err != nil {
		return err
	}
	if err := outline.Check(); err != nil {
		return err
	}
	return refusal.First(area("area", math.Abs(outline.Area())))
}

// ParabolicCrown is the area of a strip's cross-section above the chord between
// its edges when the crown is a parabola, mm².
//
//	A = 2/3·w·h
//
// w is the width, h the rise in the middle (0 to half the width).
//
// Source: Archimedes, Quadrature of the Parabola. For the flat crowns of drives
// (h/w up to 1/20) a circular arc differs by less than a fifth of a percent.
func ParabolicCrown(w, h float64) (float64, error) {
	if err := checkCrown(w, h); err != nil {
		return 0, err
	}
	return 2 * w * h / 3, nil
}

// CircularCrown is the same for a crown that is an arc of a circle: the area of
// the circular segment, mm².
//
//	θ = 4·atan(2h/w), r = (w²/4 + h²)/2h, A = r²·(θ − sin θ)/2
//
// Valid from a flat crown to a half circle (h from 0 to w/2).
//
// Source: plane geometry; tables of segments of a circle. Checked:
// testdata/references, segment-*.
func CircularCrown(w, h float64) (float64, error) {
	if err := checkCrown(w, h); err != nil {
		return 0, err
	}
	if h == 0 {
		return 0, nil
	}
	angle := 4 * math.Atan(2*h/w)
	r := (float64(w*w)/4 + float64(h*h)) / (2 * h)
	if angle < 0.05 { // θ − sin θ loses figures; its series does not
		s := angle * angle
		return r * r * angle * s / 12 * (1 - float64(s/20*(1-s/42))), nil
	}
	return r * r * (angle - math.Sin(angle)) / 2, nil
}

func checkCrown(w, h float64) error {
	return refusal.First(positiveLength("width", w), refusal.Allow("crown", h, 0, w/2, "mm"))
}

// CrownedStrip is the volume of a strip of length l, width w and depth d at its
// edges, with a crown of rise h by CircularCrown or ParabolicCrown, mm³.
func CrownedStrip(l, w, d, crown float64) (float64, error) {
	if err := refusal.First(length("length", l), positiveLength("width", w), length("depth", d),
		area("area of the crown", crown)); err != nil {
		return 0, err
	}
	return l * (float64(w*d) + crown), nil
}

// RoundHole is the plan area of a bored hole of diameter d, mm².
func RoundHole(d float64) (float64, error) {
	if err := refusal.First(positiveLength("diameter", d)); err != nil {
		return 0, err
	}
	return math.Pi * d * d / 4, nil
}

// SquareHole is the plan area of a dug hole a by b, mm².
func SquareHole(a, b float64) (float64, error) {
	if err := refusal.First(positiveLength("width of the hole", a),
		positiveLength("length of the hole", b)); err != nil {
		return 0, err
	}
	return a * b, nil
}

// PostHole is what a post hole under a footing adds to it, mm³: its plan area by
// what lies between the underside of the footing and the bottom of the hole, both
// measured down from the same surface. Nothing when the hole ends within the
// footing. The steel of the post is not taken off: a hollow post fills or is
// capped, and what it displaces is less than the waste.
func PostHole(plan, underside, bottom float64) (float64, error) {
	if err := refusal.First(area("area of the hole", plan), length("depth of the footing", underside),
		length("depth of the hole", bottom)); err != nil {
		return 0, err
	}
	return plan * max(0, bottom-underside), nil
}
