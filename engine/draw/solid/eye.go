package solid

import "pegpour/engine/draw"

// Eye looks at a place from a distance, so that what is near looks larger.
type Eye struct {
	// Camera says from which side.
	Camera
	// At is what lies in the middle of the picture, mm, and Away how far from there
	// the eye stands, mm.
	At   Point
	Away float64
	// Half is the tangent of half the angle that the picture is wide.
	Half float64
}

// Matrix takes places in homogeneous coordinates, mm, to those of a picture: x to the
// right and y up from -w to w, and with nearer things the smaller z, from -w to w.
type Matrix [4][4]float64

// Apply is where the picture has a place: x and y from -1 to 1, y up, and w, which is
// above 0 for what lies before the eye.
func (m *Matrix) Apply(p Point) (x, y, w float64) {
	at := func(r int) float64 { return m[r][0]*p.X + m[r][1]*p.Y + m[r][2]*p.Z + m[r][3] }
	w = at(3)
	return at(0) / w, at(1) / w, w
}

// Columns are the entries column by column, as graphics processors take them.
func (m *Matrix) Columns() (out [16]float32) {
	for r := range m {
		for c := range m[r] {
			out[4*c+r] = float32(m[r][c])
		}
	}
	return out
}

// Place is where the eye stands, mm.
func (e *Eye) Place() Point {
	_, _, toward := e.frame()
	return Point{e.At.X + e.Away*toward.X, e.At.Y + e.Away*toward.Y, e.At.Z + e.Away*toward.Z}
}

// Matrix of a picture that is shape times as high as wide and shows what lies up to depth
// (mm) before and behind the middle.
//
// Source: central projection from the eye's own axes, as J. Foley and others, Computer
// Graphics: Principles and Practice, ch. 6 (memory). Checked: TestEyeIsAPinhole.
func (e *Eye) Matrix(shape, depth float64) Matrix {
	right, up, toward := e.frame()
	near, far := max(e.Away-depth, e.Away/50), e.Away+depth
	row := func(d Point, by, more float64) [4]float64 {
		return [4]float64{by * d.X, by * d.Y, by * d.Z, more - by*dot(d, e.At)}
	}
	// w is the distance ahead of the eye.
	ahead := row(toward, -1, e.Away)
	k, l := (far+near)/(far-near), 2*far*near/(far-near)
	deep := row(toward, -k, k*e.Away-l)
	return Matrix{row(right, 1/e.Half, 0), row(up, 1/(e.Half*shape), 0), deep, ahead}
}

// Fit enlarges and moves a picture so that all places before the eye lie within the share of
// it inside its rim. It is as if a piece were cut out of a larger picture.
func (m *Matrix) Fit(places []Point, inside float64) {
	box := draw.EmptyBox()
	for _, p := range places {
		if x, y, w := m.Apply(p); w > 0 {
			box.Grow(draw.Pt(x, y))
		}
	}
	if box.Empty() || !(max(box.Width(), box.Height()) > 0) {
		return
	}
	by, c := 2*inside/max(box.Width(), box.Height()), box.Centre()
	m.Cut(by, c.X, c.Y)
}

// Cut enlarges a picture round a place of it, which comes to its middle.
func (m *Matrix) Cut(by, x, y float64) {
	for c := range 4 {
		m[0][c] = by * (m[0][c] - x*m[3][c])
		m[1][c] = by * (m[1][c] - y*m[3][c])
	}
}

// SunMatrix is the picture that the sun has, from -1 to 1, of what lies within a
// distance (mm) of a place.
func SunMatrix(sun, at Point, within float64) Matrix {
	right := unit(crossProduct(Point{Z: 1}, sun))
	up := crossProduct(sun, right)
	row := func(d Point, by float64) [4]float64 {
		by /= within
		return [4]float64{by * d.X, by * d.Y, by * d.Z, -by * dot(d, at)}
	}
	return Matrix{row(right, 1), row(up, 1), row(sun, -1), {0, 0, 0, 1}}
}
