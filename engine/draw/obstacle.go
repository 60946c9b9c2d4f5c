package draw

import "math"

// slab is an upright or turned rectangle: the room that a text or a symbol
// takes. Sheet coordinates.
type slab struct {
	c      Point   // centre
	hw, hh float64 // half width along u, half height across
	ux, uy float64 // unit vector along the text
	symbol bool    // a peg or mark rather than lettering
	box    Box
}

// newSlab returns the rectangle around c, w by h, its long axis turned by
// angle (rad, counter-clockwise as seen, so against y down).
func newSlab(c Point, w, h, angle float64) slab {
	s := slab{c: c, hw: w / 2, hh: h / 2, ux: 1}
	if angle != 0 {
		sin, cos := math.Sincos(angle)
		s.ux, s.uy = cos, -sin
	}
	ex := math.Abs(s.ux)*s.hw + math.Abs(s.uy)*s.hh
	ey := math.Abs(s.uy)*s.hw + math.Abs(s.ux)*s.hh
	s.box = Box{Point{c.X - ex, c.Y - ey}, Point{c.X + ex, c.Y + ey}}
	return s
}

// grown returns the slab widened by d on all sides.
func (s slab) grown(d float64) slab {
	s.hw += d
	s.hh += d
	ex := math.Abs(s.ux)*s.hw + math.Abs(s.uy)*s.hh
	ey := math.Abs(s.uy)*s.hw + math.Abs(s.ux)*s.hh
	s.box = Box{Point{s.c.X - ex, s.c.Y - ey}, Point{s.c.X + ex, s.c.Y + ey}}
	return s
}

// meets reports whether two slabs overlap (separating axes).
func (s *slab) meets(o *slab) bool {
	if !s.box.Meets(o.box) {
		return false
	}
	return !s.apart(o) && !o.apart(s)
}

func (s *slab) apart(o *slab) bool {
	dx, dy := o.c.X-s.c.X, o.c.Y-s.c.Y
	cos := math.Abs(s.ux*o.ux + s.uy*o.uy)
	sin := math.Abs(s.ux*o.uy - s.uy*o.ux)
	return math.Abs(dx*s.ux+dy*s.uy) > s.hw+o.hw*cos+o.hh*sin ||
		math.Abs(-dx*s.uy+dy*s.ux) > s.hh+o.hw*sin+o.hh*cos
}

// cut returns the part [t0, t1] of the segment a-b inside the slab; t0 > t1
// when there is none.
func (s *slab) cut(a, b Point) (t0, t1 float64) {
	ax, ay := a.X-s.c.X, a.Y-s.c.Y
	bx, by := b.X-a.X, b.Y-a.Y
	pu, pv := ax*s.ux+ay*s.uy, -ax*s.uy+ay*s.ux
	du, dv := bx*s.ux+by*s.uy, -bx*s.uy+by*s.ux
	t0, t1 = 0, 1
	t0, t1 = clipSpan(pu, du, s.hw, t0, t1)
	return clipSpan(pv, dv, s.hh, t0, t1)
}

func clipSpan(p, d, h, t0, t1 float64) (float64, float64) {
	if math.Abs(d) < 1e-12 {
		if math.Abs(p) > h {
			return 1, 0
		}
		return t0, t1
	}
	lo, hi := (-h-p)/d, (h-p)/d
	if lo > hi {
		lo, hi = hi, lo
	}
	if lo > t0 {
		t0 = lo
	}
	if hi < t1 {
		t1 = hi
	}
	return t0, t1
}

func (s *slab) crossed(l *segment) bool {
	if !s.box.Meets(l.box) {
		return false
	}
	t0, t1 := s.cut(l.a, l.b)
	return t0 <= t1
}

// segment is a straight piece of line that texts, and some lines, keep clear
// of.
type segment struct {
	a, b    Point
	box     Box
	part    Part
	context bool
}

func newSegment(a, b Point, part Part, context bool) segment {
	box := Box{a, a}
	box.Grow(b)
	return segment{a, b, box, part, context}
}

// crosses reports whether two segments properly cross.
func (l *segment) crosses(o *segment) bool {
	if !l.box.Meets(o.box) {
		return false
	}
	d1 := cross(l.a, l.b, o.a)
	d2 := cross(l.a, l.b, o.b)
	d3 := cross(o.a, o.b, l.a)
	d4 := cross(o.a, o.b, l.b)
	return d1*d2 < 0 && d3*d4 < 0
}

func cross(o, a, b Point) float64 {
	return (a.X-o.X)*(b.Y-o.Y) - (a.Y-o.Y)*(b.X-o.X)
}

// clipToBox returns the part of a-b inside box, and whether there is any.
func clipToBox(a, b Point, box Box) (Point, Point, bool) {
	s := newSlab(box.Centre(), box.Width(), box.Height(), 0)
	t0, t1 := s.cut(a, b)
	if t0 > t1 {
		return a, b, false
	}
	return between(a, b, t0), between(a, b, t1), true
}

func between(a, b Point, t float64) Point {
	return Point{a.X + (b.X-a.X)*t, a.Y + (b.Y-a.Y)*t}
}

func distance(a, b Point) float64 { return math.Hypot(b.X-a.X, b.Y-a.Y) }
