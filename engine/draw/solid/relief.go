package solid

import (
	"math"

	"pegpour/engine/draw"
)

// Sides returns the body with all its faces that do not look up under another
// tag.
func (b Body) Sides(tag draw.Tag) Body {
	out := Body{ownTag: b.ownTag, faces: append([]face(nil), b.faces...)}
	for i := range out.faces {
		if out.faces[i].normal.Z < 1e-9 {
			out.faces[i].tag = tag
		}
	}
	return out
}

// Relief returns the body between a surface of triangles (in any direction of
// turning, corners in mm) and a level bottom under it: the surface under one tag, the
// upright sides round its rim under another. lined says which sides of the rim
// are drawn as edges; inside the surface none is. Triangles of no area in plan
// are left out. It returns ErrBody when a corner is no number or not above the
// bottom.
func Relief(top, side draw.Tag, triangles [][3]Point, bottom float64, lined func(a, b Point) bool) (Body, error) {
	type rim struct{ a, b Point }
	var faces [][3]Point
	sides := map[rim]int{}
	for _, t := range triangles {
		for _, p := range t {
			if !(p.Z > bottom) || math.IsInf(p.Z, 0) || !(math.Abs(p.X) <= 1e7) || !(math.Abs(p.Y) <= 1e7) {
				return Body{}, ErrBody
			}
		}
		area := (t[1].X-t[0].X)*(t[2].Y-t[0].Y) - (t[1].Y-t[0].Y)*(t[2].X-t[0].X)
		if math.Abs(area) < 1e-3 {
			continue
		}
		if area < 0 {
			t[1], t[2] = t[2], t[1]
		}
		faces = append(faces, t)
		for k := range t {
			sides[rim{t[k], t[(k+1)%3]}]++
		}
	}
	b, under := Body{ownTag: top}, Body{ownTag: side}
	low := func(p Point) Point { return Point{p.X, p.Y, bottom} }
	for _, t := range faces {
		edge := make([]bool, 3)
		for k := range t {
			p, q := t[k], t[(k+1)%3]
			if sides[rim{q, p}] > 0 {
				continue // another triangle lies beyond
			}
			edge[k] = lined != nil && lined(p, q)
			under.add([]Point{low(p), low(q), q, p}, []bool{false, false, edge[k], false})
		}
		b.add(t[:], edge)
	}
	b.faces = append(b.faces, under.faces...)
	return b, nil
}

// Tag is what the body was made with.
func (b Body) Tag() draw.Tag { return b.ownTag }

// Corners lists the corners of the body's faces, each as often as a face has it.
func (b Body) Corners() []Point {
	var all []Point
	for i := range b.faces {
		all = append(all, b.faces[i].ps...)
	}
	return all
}

// DrawOnGround is [DrawApart] for bodies that stand on ground. Cuts are the
// offsets y (mm, rising) at which the ground may step; between two of them it
// may hide none of the bodies that stand there, which holds wherever it climbs
// less steeply than the camera looks down. The ground itself, with whatever
// reaches into it, goes through one partition for each strip between two cuts.
// Bodies that reach across a cut are parted there. lean is the fall that most of
// the bodies share (its Z is not read); it only makes for fewer pieces. The shadows of
// casters lie on the ground under the tag given. Returns ErrCamera.
func DrawOnGround(ground, bodies, casters []Body, shadow draw.Tag, cuts []float64, lean Level, c Camera) ([]draw.Element, error) {
	if math.IsNaN(c.Azimuth) || math.IsInf(c.Azimuth, 0) || !(c.Elevation >= 0 && c.Elevation <= math.Pi/2) {
		return nil, ErrCamera
	}
	_, _, toward := c.frame()
	strips := len(cuts) + 1
	dark := newShadows(casters, c)
	var out []draw.Element
	for i := range strips {
		k := i // from the strip farthest away
		if toward.Y < 0 {
			k = strips - 1 - i
		}
		low, high := math.Inf(-1), math.Inf(1)
		if k > 0 {
			low = cuts[k-1]
		}
		if k < len(cuts) {
			high = cuts[k]
		}
		pieces, err := paint(between(ground, low, high), c)
		if err != nil {
			return nil, err
		}
		for i := range pieces {
			out = append(out, pieces[i].elements()...)
			if rings := dark.on(&pieces[i]); len(rings) > 0 {
				out = append(out, draw.Region{Tag: shadow, Outer: rings[0], Holes: rings[1:], Light: draw.LightShadow, Open: true})
			}
		}
		standing, err := paintApart(between(bodies, low, high), c, lean)
		if err != nil {
			return nil, err
		}
		out = append(out, standing...)
	}
	return out, nil
}

// between returns what of the bodies lies between two offsets.
func between(bodies []Body, low, high float64) []Body {
	const eps = 1e-6 // mm
	var out []Body
	for _, b := range bodies {
		part := Body{ownTag: b.ownTag}
		for _, f := range b.faces {
			if !math.IsInf(low, 0) {
				f, _ = split(f, Point{Y: 1}, low, eps)
			}
			if len(f.ps) > 2 && !math.IsInf(high, 0) {
				f, _ = split(f, Point{Y: -1}, -high, eps)
			}
			if len(f.ps) > 2 && !flatIn(f.ps, low, eps) && !flatIn(f.ps, high, eps) {
				part.faces = append(part.faces, f)
			} else if len(f.ps) > 2 && (f.normal.Y > 0 && flatIn(f.ps, high, eps) || f.normal.Y < 0 &&
				flatIn(f.ps, low, eps)) {
				part.faces = append(part.faces, f) // it closes the body on this side of the cut
			}
		}
		if len(part.faces) > 0 {
			out = append(out, part)
		}
	}
	return out
}

// flatIn reports whether all points lie at an offset.
func flatIn(ps []Point, y, eps float64) bool {
	for _, p := range ps {
		if !(math.Abs(p.Y-y) <= eps) {
			return false
		}
	}
	return true
}
