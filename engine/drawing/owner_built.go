package drawing

import (
	"slices"

	"pegpour/engine/draw"
	"pegpour/engine/draw/solid"
	"pegpour/engine/plan"
)

// concrete is what is poured: strips on the track's grade, the pad level.
func (s *ownerSlope) concrete() {
	p := s.v.p
	deep := 100.0
	if o := p.Deepest(plan.PartRunBackStrip); o != nil && o.Depth > 0 {
		deep = o.Depth
	}
	top := trackPlane(s.g)
	under := top
	under.Z -= deep
	for i := range p.Poured {
		b, err := solid.Prism(s.v.tag("poured"), ringOf(p.Poured[i].Outer), under, top)
		s.add(b, err)
	}
	for o := range p.Parts(plan.PartPad) {
		under, pad := under, s.g.Pad
		if len(s.g.Both) > 1 {
			s.v.latch = o.Latch
			pad = s.v.side().Ground.Pad
		}
		if pad == nil || !pad.HasLevel {
			continue
		}
		for _, q := range o.Ring {
			under.Z = min(under.Z, under.Z-under.At(q.X, q.Y)+pad.Level-1)
		}
		b, err := solid.Prism(s.v.tag("poured"), ringOf(o.Ring), under, solid.Level{Z: pad.Level})
		s.add(b, err)
	}
}

// walls hold the ground back on the far side and at the end of the cavity.
func (s *ownerSlope) walls() {
	r := s.g.Rising
	if r == nil {
		return
	}
	straight := func(all []plan.WallSection, along func(*plan.WallSection) float64) []plan.WallSection {
		var at []float64
		for i := range all {
			at = append(at, along(&all[i]))
		}
		var out []plan.WallSection
		for _, x := range straightened(at, func(x float64) []float64 { return []float64{all[slices.Index(at, x)].Top} }) {
			out = append(out, all[slices.Index(at, x)])
		}
		return out
	}
	wall := func(sections []plan.WallSection, corner func(w *plan.WallSection, outer bool) (x, y float64)) {
		var triangles [][3]solid.Point
		at := func(w *plan.WallSection, outer bool) solid.Point {
			x, y := corner(w, outer)
			return solid.Point{X: x, Y: y, Z: w.Top}
		}
		for i := 1; i < len(sections); i++ {
			a, b := &sections[i-1], &sections[i]
			triangles = append(triangles, [3]solid.Point{at(a, false), at(b, false), at(b, true)},
				[3]solid.Point{at(a, false), at(b, true), at(a, true)})
		}
		if len(triangles) == 0 {
			return
		}
		t := s.v.tag("wall")
		b, err := solid.Relief(t, t, triangles, s.bottom, func(solid.Point, solid.Point) bool { return true })
		s.add(b, err)
	}
	wall(straight(r.Wall, func(w *plan.WallSection) float64 { return w.Chainage }),
		func(w *plan.WallSection, outer bool) (x, y float64) {
			if outer {
				return w.Chainage, r.Width + r.Thickness
			}
			return w.Chainage, r.Width
		})
	wall(straight(r.EndWall, func(w *plan.WallSection) float64 { return w.Offset }),
		func(w *plan.WallSection, outer bool) (x, y float64) {
			y = min(w.Offset, r.Width)
			if outer {
				return r.End + r.Thickness, y
			}
			return r.End, y
		})
}

// footing is the steel that carries the track over falling ground.
func (s *ownerSlope) footing() {
	for _, side := range s.v.p.Sides() {
		if side.Footing != nil {
			s.footingOf(side)
		}
	}
}

func (s *ownerSlope) footingOf(side plan.Side) {
	f := side.Footing
	under := func(size float64) solid.Level { return s.v.carried(-size) }
	half := max(f.PostSize, footingPosts) / 2
	for i := range f.Posts {
		q := &f.Posts[i]
		x := side.At(q.Chainage)
		ring := draw.RectRing(x-half, q.Offset-half, x+half, q.Offset+half)
		deep := f.Deep
		if q.Panel == 0 {
			deep = f.Plate
		}
		foot, top := s.v.foot(ring[0].X, ring[0].Y, ring[2].X, ring[2].Y), under(max(deep, 1))
		clear := true // a post that comes out of the ground no higher than its bar is not seen
		for _, c := range ring {
			clear = clear && top.At(c.X, c.Y) > foot.At(c.X, c.Y)+1
		}
		if clear {
			s.v.lean("footing", ring, foot, top)
		}
	}
	for i := range s.v.p.Outlines {
		o := &s.v.p.Outlines[i]
		if o.Latch != side.Latch {
			continue
		}
		deep := 0.0
		switch o.Kind {
		case plan.PartFootingBar:
			deep = f.Deep
		case plan.PartPadPlate:
			deep = f.Plate
		}
		if deep <= 0 {
			continue
		}
		s.v.lean("footing", ringOf(o.Ring), under(deep), under(0))
	}
}
