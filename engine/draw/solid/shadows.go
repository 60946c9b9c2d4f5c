package solid

import (
	"math"

	"pegpour/engine/draw"
)

// shadows finds the shadows that bodies throw on the faces of ground that is not level.
type shadows struct {
	sun, right, up Point
	faces          []face     // those that look to the sun
	boxes          []draw.Box // of the same, along the sun
}

func newShadows(casters []Body, c Camera) *shadows {
	s := &shadows{sun: c.Sun()}
	s.right, s.up, _ = c.frame()
	for _, b := range casters {
		for _, f := range b.faces {
			if dot(f.normal, s.sun) > 1e-6 {
				s.faces, s.boxes = append(s.faces, f), append(s.boxes, s.along(f.ps))
			}
		}
	}
	return s
}

// along is the box round points as the sun sees them on level ground: what throws a shadow
// on something lies in the same place of it.
func (s *shadows) along(ps []Point) draw.Box {
	box := draw.EmptyBox()
	for _, p := range ps {
		box.Grow(draw.Pt(p.X-p.Z*s.sun.X/s.sun.Z, p.Y-p.Z*s.sun.Y/s.sun.Z))
	}
	return box
}

// leastShadow is the area of a shadow below which it is none, mm²: faces that share an edge
// throw such on one another by rounding.
const leastShadow = 100.0

// on are the shadows on a lit piece of the ground, as rings of the drawing that turn one way.
func (s *shadows) on(p *piece) (out []draw.Ring) {
	if p.light == draw.LightNone || p.light == draw.LightShade {
		return nil
	}
	const eps = 1e-6 // mm
	ground := p.of
	facing := dot(ground.normal, s.sun)
	here := s.along(ground.ps)
	for i := range s.faces {
		box := &s.boxes[i]
		if box.Min.X >= here.Max.X || box.Max.X <= here.Min.X || box.Min.Y >= here.Max.Y || box.Max.Y <= here.Min.Y {
			continue
		}
		f, _ := split(s.faces[i], ground.normal, ground.dist, eps) // what stands above the ground
		above := 0.0
		for _, q := range f.ps {
			above = max(above, dot(ground.normal, q)-ground.dist)
		}
		if above < 1e-3 {
			continue // the ground itself, or what goes on in its plane
		}
		for k, q := range f.ps {
			by := (dot(ground.normal, q) - ground.dist) / facing
			f.ps[k] = Point{q.X - by*s.sun.X, q.Y - by*s.sun.Y, q.Z - by*s.sun.Z}
		}
		for k, a := range ground.ps {
			if len(f.ps) < 3 {
				break
			}
			in := unit(crossProduct(ground.normal, minus(ground.ps[(k+1)%len(ground.ps)], a)))
			if in != (Point{}) {
				f, _ = split(f, in, dot(in, a), eps)
			}
		}
		if len(f.ps) < 3 {
			continue
		}
		ring, area := make(draw.Ring, len(f.ps)), Point{}
		for k, q := range f.ps {
			ring[k] = draw.Pt(dot(q, s.right), dot(q, s.up))
			a := crossProduct(minus(q, f.ps[0]), minus(f.ps[(k+1)%len(f.ps)], f.ps[0]))
			area = Point{area.X + a.X/2, area.Y + a.Y/2, area.Z + a.Z/2}
		}
		if math.Sqrt(dot(area, area)) >= leastShadow {
			out = append(out, ring)
		}
	}
	return out
}
