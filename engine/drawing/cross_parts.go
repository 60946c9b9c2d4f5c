package drawing

import (
	"strconv"

	"pegpour/engine/draw"
	"pegpour/engine/plan"
	"pegpour/engine/text"
)

// pour draws the concrete with its reinforcement, and pavers put back on top.
func (c *crossing) pour() {
	profile := c.profile()
	for i := 0; i < len(profile); {
		k := i + 1
		for k < len(profile) && profile[k].y1 == profile[k-1].y2 {
			k++
		}
		c.s.Add(draw.Region{Tag: c.layered("concrete", draw.RoleCut, LayerConcrete), Outer: c.outlineOf(profile[i:k]),
			Hatch: draw.HatchConcrete})
		i = k
	}
	for i := range c.concrete {
		s := &c.concrete[i]
		if s.reinforced {
			c.mesh(s)
		}
		if s.top < 0 && s.part.Kind == plan.PartDriveStrip {
			t := c.layered("pavers", draw.RoleOutline, LayerConcrete)
			c.s.Add(draw.Region{Tag: t, Outer: draw.RectRing(s.y1, s.top, s.y2, 0), Hatch: draw.HatchPavers})
			c.note("pavers.name", (s.y1+s.y2)/2, s.top/2, draw.Below, "Pavers glued back on top")
		}
	}
}

func (c *crossing) layered(id string, role draw.Role, layer string) draw.Tag {
	t := c.tag(id, role)
	t.Layer = layer
	return t
}

// bottomOf is the bottom of a part as this section draws it.
func (c *crossing) bottomOf(o *plan.Outline) float64 {
	for i := range c.concrete {
		if c.concrete[i].part.ID == o.ID {
			return c.concrete[i].bottom
		}
	}
	return -o.Depth
}

// outlineOf is the outline of stretches that touch one another: along the
// undersides, back along the tops. The top of a crowned strip is a parabola.
func (c *crossing) outlineOf(run []span) draw.Ring {
	var ring draw.Ring
	for _, s := range run {
		ring = append(ring, draw.Pt(s.y1, s.bottom), draw.Pt(s.y2, s.bottom))
	}
	for i := len(run) - 1; i >= 0; i-- {
		s := run[i]
		crown := 0.0
		for k := range c.concrete {
			if q := &c.concrete[k]; q.crown > 0 && q.y1 <= s.y1 && q.y2 >= s.y2 {
				crown = q.crown
			}
		}
		if crown == 0 {
			ring = append(ring, draw.Pt(s.y2, s.top), draw.Pt(s.y1, s.top))
			continue
		}
		const parts = 12
		for k := parts; k >= 0; k-- {
			f := float64(k) / parts
			ring = append(ring, draw.Pt(s.y1+f*(s.y2-s.y1), s.top+crown*4*f*(1-f)))
		}
	}
	return tidyRing(ring)
}

// tidyRing leaves out points that repeat the one before.
func tidyRing(ring draw.Ring) draw.Ring {
	out := ring[:0:0]
	for _, p := range ring {
		if len(out) == 0 || p != out[len(out)-1] {
			out = append(out, p)
		}
	}
	return out
}

// mesh draws the bars of the trench mesh as dots, in the lower part of the
// strip with the cover under and beside them.
func (c *crossing) mesh(s *span) {
	cover := c.rules.MeshCover
	wide := min(c.rules.MeshWidth, s.y2-s.y1-2*cover)
	if wide <= 0 {
		return
	}
	const bars = 3
	mid, z := (s.y1+s.y2)/2, s.bottom+cover
	for i := range bars {
		y := mid - wide/2 + wide*float64(i)/(bars-1)
		c.s.Add(draw.Circle{Tag: c.layered("mesh", draw.RoleSteel, LayerConcrete), Centre: draw.Pt(y, z), Radius: 5,
			Hatch: draw.HatchSteel})
	}
	c.s.Add(draw.Line{Tag: c.layered("mesh", draw.RoleThin, LayerConcrete), From: draw.Pt(mid-wide/2, z),
		To: draw.Pt(mid+wide/2, z)})
	c.note("mesh.name", mid+wide/2, z, draw.Right, "Trench mesh")
}

// surfaceAt is the level of what carries the track at an offset.
func (c *crossing) surfaceAt(y float64) float64 {
	for i := range c.concrete {
		s := &c.concrete[i]
		if y < s.y1 || y > s.y2 || s.crown == 0 {
			continue
		}
		f := (y - s.y1) / (s.y2 - s.y1)
		return s.crown * 4 * f * (1 - f)
	}
	return 0
}

// stand draws what stands on the ground: the post behind the cut, track, wheel
// and leaf, guide post or base plate, motor.
func (c *crossing) stand() {
	post := c.tag("post", draw.RoleExisting)
	foot := c.groundAt(-postDepth(c.p) / 2)
	top := max(c.high, foot+crossHigh/2)
	c.s.Add(draw.Region{Tag: post, Outer: draw.RectRing(-postDepth(c.p), foot, 0, top), Hatch: draw.HatchTint})
	name := "Fence"
	if c.cut.ID == "drive" {
		name = "Post"
	}
	c.note("post.name", -postDepth(c.p)/2, foot+(top-foot)*0.8, draw.Left, name)
	c.wall()
	c.footing()
	for i := range c.leaves {
		c.leaf(&c.leaves[i])
	}
	gate := func(id string, role draw.Role) draw.Tag { return c.layered(id, role, LayerGate) }
	for i := range c.p.Outlines {
		o := &c.p.Outlines[i]
		y1, y2, ok := across(o, c.cut.Chainage)
		if !ok {
			continue
		}
		switch o.Kind {
		case plan.PartGuidePost:
			foot := 0.0
			if hole := c.p.Deepest(plan.PartPostHole); hole != nil {
				foot = c.bottomOf(hole) + postOverBottom
			} else if c.p.Has(plan.PartBasePlate) {
				foot = plateThick
			}
			c.s.Add(draw.Region{Tag: gate("guide", draw.RoleCut), Outer: draw.RectRing(y1, foot, y2, c.high),
				Hatch: draw.HatchSteel})
			c.note("guide.name", y2, c.high*0.8, draw.Right, "Guide post")
		case plan.PartBasePlate:
			c.s.Add(draw.Region{Tag: gate("plate", draw.RoleCut), Outer: draw.RectRing(y1, 0, y2, plateThick),
				Hatch: draw.HatchSteel})
			c.note("plate.name", y2-20, plateThick/2, draw.Right, "Base plate, anchored")
		case plan.PartMotor:
			c.s.Add(draw.Region{Tag: gate("motor", draw.RoleOutline), Outer: draw.RectRing(y1, 0, y2, c.high*0.7),
				Hatch: draw.HatchPaper})
			c.note("motor.name", (y1+y2)/2, c.high*0.5, draw.Right, "Motor")
		}
	}
}

// Sizes that only the drawing needs, mm.
const (
	postOverBottom = 50 // the cast-in post stands clear of the bottom of its hole
	plateThick     = 10
	trackHigh      = 18
	wheelRadius    = 40
	leafClear      = 55 // from the ground to the underside of the frame
)

// leaf draws one panel over its track.
func (c *crossing) leaf(s *span) {
	gate := func(id string, role draw.Role) draw.Tag { return c.layered(id, role, LayerGate) }
	if h := c.p.Leaf.Hanging; h != nil {
		c.hangingLeaf(h, s)
		return
	}
	frame := min(c.rules.LeafThickness, s.y2-s.y1)
	track := s.y2 - frame/2
	z := c.surfaceAt(track)
	c.s.Add(draw.Region{Tag: gate("leaf", draw.RoleGate), Outer: draw.RectRing(s.y2-frame, z+leafClear, s.y2, c.high*0.9),
		Hatch: draw.HatchPaper})
	if s.y2-frame-s.y1 > plan.Tolerance {
		c.s.Add(draw.Region{Tag: gate("cladding", draw.RoleThin),
			Outer: draw.RectRing(s.y1, z+leafClear, s.y2-frame, c.high*0.9), Hatch: draw.HatchTint})
	}
	c.s.Add(draw.Region{Tag: gate("track", draw.RoleSteel),
		Outer: draw.RectRing(track-c.rules.TrackWidth/2, z, track+c.rules.TrackWidth/2, z+trackHigh/3),
		Hatch: draw.HatchSteel},
		draw.Circle{Tag: gate("wheel", draw.RoleThin), Centre: draw.Pt(track, z+trackHigh+wheelRadius), Radius: wheelRadius},
		draw.Region{Tag: gate("track", draw.RoleSteel),
			Outer: draw.RectRing(track-trackHigh/2, z+trackHigh/3, track+trackHigh/2, z+trackHigh), Hatch: draw.HatchSteel})
	c.note("leaf.name", s.y2, c.high*0.6, draw.Right, "Leaf")
}

// within says that a part lies wholly inside another at this cut, so that
// nobody could measure it there.
func (c *crossing) within(s *span) bool {
	for i := range c.concrete {
		q := &c.concrete[i]
		if q.part != s.part && q.y1 <= s.y1 && q.y2 >= s.y2 && q.bottom <= s.bottom &&
			(q.y1 < s.y1 || q.y2 > s.y2 || q.bottom < s.bottom) {
			return true
		}
	}
	return false
}

// sizes writes the dimensions: widths below, what stands above it above, depths
// at the sides. A size that two parts share is written once.
func (c *crossing) sizes() {
	wide, deep := map[[2]float64]bool{}, map[float64]bool{}
	for i := range c.concrete {
		s := &c.concrete[i]
		if key := [2]float64{s.y1, s.y2}; !wide[key] && !c.within(s) {
			wide[key] = true
			if s.y1 > plan.Tolerance {
				c.size(s.part.ID+".from", draw.Pt(0, 0), draw.Pt(s.y1, s.bottom), draw.Horizontal, draw.Below, s.y1)
			}
			c.size(s.part.ID+".wide", draw.Pt(s.y1, s.bottom), draw.Pt(s.y2, s.bottom), draw.Horizontal, draw.Below, s.y2-s.y1)
		}
		if !deep[s.bottom] {
			deep[s.bottom] = true
			c.size(s.part.ID+".deep", draw.Pt(s.y2, s.top), draw.Pt(s.y2, s.bottom), draw.Vertical, draw.Right, s.top-s.bottom)
		}
		if s.top < 0 {
			c.size(s.part.ID+".down", draw.Pt(s.y2, 0), draw.Pt(s.y2, s.top), draw.Vertical, draw.Right, -s.top)
		}
		if s.crown > 0 {
			t := text.Say("Crown {0}", text.MM(s.crown))
			c.note("crown", (s.y1+s.y2)/2, s.crown, draw.Left, c.o.label(t))
		}
	}
	for i := range c.leaves {
		s := &c.leaves[i]
		track := s.y2 - min(c.rules.LeafThickness, s.y2-s.y1)/2
		if c.p.HangsFree() {
			track = c.p.Track.Offset
		}
		c.size("track."+strconv.Itoa(i+1), draw.Pt(0, c.high*0.9), draw.Pt(track, c.high*0.9), draw.Horizontal, draw.Above,
			track)
	}
	for i := range c.p.Outlines {
		o := &c.p.Outlines[i]
		if o.Kind != plan.PartGuidePost && o.Kind != plan.PartMotor {
			continue
		}
		if y1, y2, ok := across(o, c.cut.Chainage); ok {
			c.size(o.ID+".front", draw.Pt(0, c.high*0.7), draw.Pt(y1, c.high*0.7), draw.Horizontal, draw.Above, y1)
			c.size(o.ID+".wide", draw.Pt(y1, c.high*0.7), draw.Pt(y2, c.high*0.7), draw.Horizontal, draw.Above, y2-y1)
		}
	}
}
