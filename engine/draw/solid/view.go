package solid

import (
	"math"

	"pegpour/engine/draw"
	"pegpour/engine/refusal"
)

// Camera is where one looks from, infinitely far away.
type Camera struct {
	// Azimuth turns the viewer around, rad: 0 stands at negative y looking
	// along y, positive moves the viewer to the right.
	Azimuth float64
	// Elevation above the ground, rad, 0 to π/2 (straight down).
	Elevation float64
}

// Corner is the usual view: a little from the right, well from above.
var Corner = Camera{Azimuth: math.Pi / 6, Elevation: math.Pi / 6}

// ErrCamera is returned for a camera whose angles are not numbers or whose
// elevation is outside 0 to π/2.
var ErrCamera = error(refusal.Error("azimuth must be a number, elevation 0 to π/2 rad"))

// frame returns the camera's directions: right and up on the drawing, and
// towards the viewer.
func (c Camera) frame() (right, up, toward Point) {
	sa, ca := math.Sincos(c.Azimuth)
	se, ce := math.Sincos(c.Elevation)
	return Point{ca, sa, 0}, Point{-sa * se, ca * se, ce}, Point{sa * ce, -ca * ce, se}
}

// Draw returns the bodies as elements of a scene, back to front: each visible
// face as an area (HatchTint in shade, HatchPaper in light) followed by its
// edges, under the tag of its body. The coordinates are mm in the plane of the
// drawing, true along the camera's right and up. Returns ErrCamera.
func Draw(bodies []Body, c Camera) ([]draw.Element, error) {
	pieces, err := paint(bodies, c)
	if err != nil {
		return nil, err
	}
	var out []draw.Element
	for i := range pieces {
		p := &pieces[i]
		area := p.area()
		area.Open = true
		out = append(out, area)
		for k := range p.ring {
			if p.edge[k] {
				out = append(out, draw.Line{Tag: p.tag, From: p.ring[k], To: p.ring[(k+1)%len(p.ring)]})
			}
		}
	}
	return out, nil
}

// piece is a face, or part of one, on the drawing.
type piece struct {
	tag   draw.Tag
	ring  draw.Ring
	edge  []bool
	shade bool
	light draw.Light // of a body of a material
}

// area is the piece as an area: of its material in its light, or pale in shade where the
// body has none.
func (p *piece) area() draw.Region {
	hatch := draw.HatchPaper
	switch {
	case p.light != draw.LightNone:
		hatch = draw.HatchNone
	case p.shade:
		hatch = draw.HatchTint
	}
	return draw.Region{Tag: p.tag, Outer: p.ring, Hatch: hatch, Light: p.light}
}

// paint returns the visible pieces from the back to the front.
func paint(bodies []Body, c Camera) ([]piece, error) {
	if math.IsNaN(c.Azimuth) || math.IsInf(c.Azimuth, 0) || !(c.Elevation >= 0 && c.Elevation <= math.Pi/2) {
		return nil, ErrCamera
	}
	right, up, toward := c.frame()
	var faces []face
	for _, b := range bodies {
		faces = append(faces, b.faces...)
	}
	size := 1.0
	for _, f := range faces {
		for _, p := range f.ps {
			size = max(size, max(math.Abs(p.X), max(math.Abs(p.Y), math.Abs(p.Z))))
		}
	}
	light := unit(Point{-0.5*right.X - 0.2*toward.X, -0.5*right.Y - 0.2*toward.Y, 0.9})
	sun := c.Sun()
	var out []piece
	build(faces, 1e-9*size).walk(toward, func(f *face) {
		if dot(f.normal, toward) <= 1e-9 {
			return // turned away from the viewer, or seen edge on
		}
		p := piece{tag: f.tag, edge: f.edge, shade: dot(f.normal, light) < 0.3, ring: make(draw.Ring, len(f.ps))}
		for i, q := range f.ps {
			p.ring[i] = draw.Pt(dot(q, right), dot(q, up))
		}
		if f.tag.Material != draw.MaterialNone {
			p.light = Light(f.normal, sun)
		}
		out = append(out, p)
	})
	return out, nil
}

// node of the partition: a plane with the faces in it, what lies before it and
// what lies behind.
type node struct {
	faces         []face
	normal        Point
	front, behind *node
}

// build partitions faces; eps (mm) is the distance up to which a point counts
// as lying in a plane.
func build(faces []face, eps float64) *node {
	if len(faces) == 0 {
		return nil
	}
	first := faces[0]
	n := &node{normal: first.normal, faces: []face{first}}
	var front, behind []face
	for _, f := range faces[1:] {
		before, after := false, false
		for _, p := range f.ps {
			switch d := dot(first.normal, p) - first.dist; {
			case d > eps:
				before = true
			case d < -eps:
				after = true
			}
		}
		switch {
		case before && after:
			a, b := split(f, first.normal, first.dist, eps)
			if len(a.ps) > 2 {
				front = append(front, a)
			}
			if len(b.ps) > 2 {
				behind = append(behind, b)
			}
		case before:
			front = append(front, f)
		case after:
			behind = append(behind, f)
		default:
			n.faces = append(n.faces, f)
		}
	}
	n.front, n.behind = build(front, eps), build(behind, eps)
	return n
}

// split cuts a face at a plane into the part before and the part behind. The
// cut is no real edge.
func split(f face, normal Point, dist, eps float64) (front, behind face) {
	front, behind = f, f
	front.ps, front.edge, behind.ps, behind.edge = nil, nil, nil, nil
	n := len(f.ps)
	for i := range n {
		a, b := f.ps[i], f.ps[(i+1)%n]
		da, db := dot(normal, a)-dist, dot(normal, b)-dist
		if da >= -eps {
			front.ps = append(front.ps, a)
			// From here the outline of the front part runs along the old edge,
			// or along the cut when the old edge leaves at once.
			front.edge = append(front.edge, f.edge[i] && !(da <= eps && db < -eps))
		}
		if da <= eps {
			behind.ps = append(behind.ps, a)
			behind.edge = append(behind.edge, f.edge[i] && !(da >= -eps && db > eps))
		}
		if da > eps && db < -eps || da < -eps && db > eps {
			t := da / (da - db)
			cut := Point{a.X + t*(b.X-a.X), a.Y + t*(b.Y-a.Y), a.Z + t*(b.Z-a.Z)}
			front.ps, behind.ps = append(front.ps, cut), append(behind.ps, cut)
			front.edge = append(front.edge, f.edge[i] && da < 0)
			behind.edge = append(behind.edge, f.edge[i] && da > 0)
		}
	}
	return front, behind
}

// walk visits all faces from the back to the front as seen from far away in
// the direction toward.
func (n *node) walk(toward Point, visit func(*face)) {
	if n == nil {
		return
	}
	first, last := n.behind, n.front
	if dot(n.normal, toward) < 0 {
		first, last = n.front, n.behind
	}
	first.walk(toward, visit)
	for i := range n.faces {
		visit(&n.faces[i])
	}
	last.walk(toward, visit)
}
