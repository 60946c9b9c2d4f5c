package drawing

import (
	"math"
	"strconv"

	"pegpour/engine/draw"
	"pegpour/engine/plan"
)

// crossReach bounds how far above and below the track a section shows the
// ground, mm: what lies beyond is no work of ours.
const crossReach = 4000.0

// groundAt is the level of the ground at an offset, over the track's level at
// the cut; 0 where the site is level, and on the floor of a cavity.
func (c *crossing) groundAt(y float64) float64 {
	g := c.p.Ground
	if !g.Known() {
		return 0
	}
	x := c.cut.Chainage
	if r := g.Rising; r != nil && x >= r.Start && x <= r.End && y >= 0 && y <= r.Width {
		return 0
	}
	level, _ := g.GroundLevel(x, y)
	return max(-crossReach, min(crossReach, level-g.SurfaceLevel(x, c.p.Track.Offset)))
}

// groundLine is the ground between two offsets.
func (c *crossing) groundLine(from, to float64) []draw.Point {
	if !c.p.Ground.Known() {
		return []draw.Point{draw.Pt(from, 0), draw.Pt(to, 0)}
	}
	const parts = 16
	line := make([]draw.Point, 0, parts+5)
	// The ends are looked at from inside: where one lies on the edge of a
	// cavity, the ground stops there upright.
	const inside = 0.02
	at := func(y float64) {
		line = append(line, draw.Pt(y, c.groundAt(max(from+inside, min(to-inside, y)))))
	}
	y := from
	next := func(to float64) {
		for i := 1; i <= parts; i++ {
			at(y + (to-y)*float64(i)/parts)
		}
		y = to
	}
	at(from)
	// Upright where the cavity is cut.
	if r := c.p.Ground.Rising; r != nil && c.cut.Chainage >= r.Start && c.cut.Chainage <= r.End {
		for _, edge := range [...][2]float64{{-0.01, 0}, {r.Width, r.Width + 0.01}} {
			if edge[0] > y && edge[1] < to {
				next(edge[0])
				y = edge[1]
				at(y)
			}
		}
	}
	next(to)
	return line
}

// gatherGround widens the window for ground that is not level, puts the pad at
// its own level, and notes the wall.
func (c *crossing) gatherGround() {
	g := c.p.Ground
	if !g.Known() {
		return
	}
	if g.Pad != nil && g.Pad.HasLevel {
		for i := range c.concrete {
			s := &c.concrete[i]
			if s.part.Kind == plan.PartPad || s.part.Kind == plan.PartPostHole {
				s.top = g.Pad.Level - g.SurfaceLevel(c.cut.Chainage, c.p.Track.Offset)
				s.bottom = s.top - s.part.Deep()
				c.low = min(c.low, s.bottom)
			}
		}
	} else if c.p.Footing != nil {
		for i := range c.concrete { // no pad holds the hole at the level of the track
			if s := &c.concrete[i]; s.part.Kind == plan.PartPostHole {
				s.top = c.groundAt((s.y1 + s.y2) / 2)
				s.bottom = s.top - s.part.Deep()
				c.low = min(c.low, s.bottom)
			}
		}
	}
	if r := g.Rising; r != nil && c.cut.ID == "cavity" {
		c.right = max(c.right, r.Width+500)
	}
	if f := c.p.Footing; f != nil && c.cut.ID == "footing" {
		for i := range f.Posts {
			q := &f.Posts[i]
			if math.Abs(q.Chainage-c.cut.Chainage) <= 1 {
				c.right = max(c.right, q.Offset+f.HoleSize)
				c.low = min(c.low, c.groundAt(q.Offset)-q.Depth)
			}
		}
	}
	for y := c.left; y <= c.right+150; y += 50 {
		z := c.groundAt(y)
		c.low = min(c.low, z-100)
	}
}

// wall draws the wall of a cavity with its height.
func (c *crossing) wall() {
	g := c.p.Ground
	if c.cut.ID != "cavity" || g == nil || g.Rising == nil || len(g.Rising.Wall) == 0 {
		return
	}
	wall := &g.Rising.Wall[0]
	for i := range g.Rising.Wall {
		if w := &g.Rising.Wall[i]; math.Abs(w.Chainage-c.cut.Chainage) < math.Abs(wall.Chainage-c.cut.Chainage) {
			wall = w
		}
	}
	thick := wallShown
	for o := range c.p.Parts(plan.PartWall) {
		if y1, y2, ok := across(o, c.cut.Chainage); ok && y1 >= 0 && y2-y1 < g.Rising.Width {
			thick = y2 - y1
		}
	}
	foot := -g.Rising.Formation
	c.s.Add(draw.Region{Tag: c.layered("wall", draw.RoleCut, LayerGround),
		Outer: draw.RectRing(g.Rising.Width, foot, g.Rising.Width+thick, wall.Height), Hatch: draw.HatchPavers})
	c.note("wall.name", g.Rising.Width+thick, wall.Height*0.7, draw.Right, "Wall")
	c.size("wall.high", draw.Pt(g.Rising.Width, 0), draw.Pt(g.Rising.Width, wall.Height), draw.Vertical, draw.Right,
		wall.Height)
	c.size("cavity.wide", draw.Pt(0, 0), draw.Pt(g.Rising.Width, 0), draw.Horizontal, draw.Below, g.Rising.Width)
}

// wallShown is how thick a wall is drawn when the plan has no outline of it, mm.
const wallShown = 150.0

// footing draws the posts of a steel footing at the cut.
func (c *crossing) footing() {
	f := c.p.Footing
	if c.cut.ID != "footing" || f == nil {
		return
	}
	for i := range f.Posts {
		q := &f.Posts[i]
		if math.Abs(q.Chainage-c.cut.Chainage) > 1 {
			continue
		}
		id := "footing." + strconv.Itoa(q.Number)
		ground := c.groundAt(q.Offset)
		bottom := ground - q.Depth
		half := postShown / 2
		c.s.Add(draw.Region{Tag: c.layered(id+".hole", draw.RoleCut, LayerConcrete),
			Outer: draw.RectRing(q.Offset-f.HoleSize/2, bottom, q.Offset+f.HoleSize/2, ground), Hatch: draw.HatchConcrete},
			draw.Region{Tag: c.layered(id+".post", draw.RoleCut, LayerGate),
				Outer: draw.RectRing(q.Offset-half, bottom+postOverBottom, q.Offset+half, ground+max(1, q.Above)),
				Hatch: draw.HatchSteel})
		if top := ground + q.Above; top < -1 {
			c.s.Add(draw.Region{Tag: c.layered(id+".bar", draw.RoleSteel, LayerGate),
				Outer: draw.RectRing(q.Offset-half, top, q.Offset+half, 0), Hatch: draw.HatchPaper})
		}
		c.size(id+".deep", draw.Pt(q.Offset+f.HoleSize/2, ground), draw.Pt(q.Offset+f.HoleSize/2, bottom), draw.Vertical,
			draw.Right, q.Depth)
		c.size(id+".wide", draw.Pt(q.Offset-f.HoleSize/2, bottom), draw.Pt(q.Offset+f.HoleSize/2, bottom), draw.Horizontal,
			draw.Below, f.HoleSize)
		if q.Above > 1 {
			c.size(id+".above", draw.Pt(q.Offset+half, ground), draw.Pt(q.Offset+half, ground+q.Above), draw.Vertical,
				draw.Right, q.Above)
		}
	}
}

// postShown is how wide a post of the footing is drawn, mm: its section stands
// in the cut list.
const postShown = 65.0
