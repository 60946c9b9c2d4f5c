package drawing

import (
	"math"

	"pegpour/engine/draw"
	"pegpour/engine/draw/solid"
	"pegpour/engine/plan"
	"pegpour/engine/text"
)

// hanging draws what a leaf that hangs free has in place of wheels and track: counter
// part and brace, carriages on their block, and the drive with the gaps over it. The
// elevation's heights count from the block's top.
func (e *elevation) hanging() {
	h, leaf := e.p.Leaf.Hanging, &e.p.Leaf
	panel := &leaf.Panels[0]
	foot := leaf.Foot
	end, rear := panel.ShutAt+leaf.Frame, panel.ShutAt+h.Whole
	high := foot + leaf.Height - leaf.RailSize
	e.s.Add(draw.Line{Tag: e.tag("leaf.1.brace", LayerLeaf, draw.RoleGate), From: e.at(end, high),
		To: e.at(rear, foot+leaf.BottomSize)})
	for o := range e.p.Parts(plan.PartPad) {
		low, far := o.Ring.Bounds()
		e.s.Add(draw.Region{Tag: e.tag(o.ID, LayerConcrete, draw.RoleCut),
			Outer: draw.RectRing(low.X, -o.Deep(), far.X, 0), Hatch: draw.HatchConcrete})
		e.size("hanging.deep", draw.Pt(far.X, -o.Deep()), draw.Pt(far.X, 0), draw.Vertical, draw.Right, o.Deep())
	}
	for o := range e.p.Parts(plan.PartCarriage) {
		low, far := o.Ring.Bounds()
		e.s.Add(draw.Region{Tag: e.tag(o.ID, LayerGate, draw.RoleSteel),
			Outer: draw.RectRing(low.X, 0, far.X, foot+leaf.BottomSize/2), Hatch: draw.HatchPaper})
	}
	e.size("hanging.between", e.at(h.Front, 0), e.at(h.Rear, 0), draw.Horizontal, draw.Below, h.Between)
	e.drive(h)
}

// drive draws the surface under the shut leaf, and the gap where it is widest.
func (e *elevation) drive(h *plan.Hanging) {
	var line []draw.Point
	for i := range h.Gaps {
		line = append(line, draw.Pt(h.Gaps[i].Chainage, h.Gaps[i].Ground-h.BlockTop))
	}
	if len(line) > 1 {
		e.s.Add(draw.Polyline{Tag: e.tag("ground", LayerSite, draw.RoleGround), Points: line})
	}
	w := &h.Widest
	e.note("hanging.gap", draw.Pt(w.Chainage, w.Ground-h.BlockTop+w.Gap/2), draw.Below, text.Say("gap {0}", text.MM(w.Gap)))
}

// hangingLine draws the underside of a leaf that hangs free into the long section,
// shut and as far as it runs, with the gap where it is widest.
func (l *longSection) hangingLine(h *plan.Hanging) {
	leaf := &l.p.Leaf
	l.s.Add(draw.Line{Tag: draw.Tag{ID: "leaf.shut", Layer: LayerGate, Role: draw.RoleGate},
		From: l.at(leaf.ShutAt, h.Level), To: l.at(leaf.ShutAt+h.Whole, h.Level)})
	l.s.Add(draw.Line{Tag: draw.Tag{ID: "leaf.open", Layer: LayerGate, Role: draw.RoleMotion},
		From: l.at(leaf.ShutAt+h.Whole, h.Level), To: l.at(leaf.RearOpen, h.Level)})
	w := &h.Widest
	l.s.Add(draw.Dimension{Tag: draw.Tag{ID: "dim.hanging.gap", Layer: LayerSizes, Role: draw.RoleNote,
		Voice: draw.VoiceWorkedOut}, Direction: draw.Vertical, Side: draw.Left,
		From: l.at(w.Chainage, w.Ground), To: l.at(w.Chainage, h.Level), Text: l.o.figure(text.MM(w.Gap))})
	low := (min(h.BlockTop, l.p.Ground.TrackLevel(l.p.Opening)) - 250 - l.base) * l.times
	size := func(id string, from, to float64) {
		l.s.Add(draw.Dimension{Tag: draw.Tag{ID: id, Layer: LayerSizes, Role: draw.RoleNote, Voice: draw.VoiceWorkedOut},
			Direction: draw.Horizontal, Side: draw.Below,
			From: draw.Pt(from, low), To: draw.Pt(to, low), Text: l.o.figure(text.MM(to - from))})
	}
	size("dim.opening", 0, l.p.Opening)
	size("dim.hanging.between", h.Front, h.Rear)
	mark := func(id string, x, level float64) {
		l.s.Add(draw.LevelMark{Tag: draw.Tag{ID: "level." + id, Layer: LayerSizes, Role: draw.RoleNote,
			Voice: draw.VoiceWorkedOut}, At: l.at(x, level), Text: l.o.figure(text.MM(level))})
	}
	mark("leaf", leaf.ShutAt+h.Whole, h.Level)
	mark("block", h.Rear, h.BlockTop)
}

// brace runs from the top of the leaf's rear down to the end of its beam.
func (v *ownerView) brace(b panelBox, front, thick, low, high float64) {
	falls := (high - low) / b.tail
	bottom := solid.Level{Z: v.atLeaf(high).Z + falls*b.x2 - frameMember*math.Hypot(1, falls), DX: -falls}
	top := solid.Level{Z: v.atLeaf(high).Z + falls*b.x2, DX: -falls}
	v.lean("leaf", draw.RectRing(b.x2, front, b.x2+b.tail, front+thick), bottom, top)
}

// underLeaf is the underside of a leaf that hangs free over the finished surface of a
// cross section, mm.
func (c *crossing) underLeaf(h *plan.Hanging) float64 {
	return h.Level - c.p.Ground.SurfaceLevel(c.cut.Chainage, c.p.Track.Offset)
}

// hangingLeaf draws the leaf over its beam, the gap under it, and a carriage that is
// cut. The beam is as wide as the carriages' feet.
func (c *crossing) hangingLeaf(h *plan.Hanging, s *span) {
	gate := func(id string, role draw.Role) draw.Tag { return c.layered(id, role, LayerGate) }
	middle, z := c.p.Track.Offset, c.underLeaf(h)
	half, wide := c.rules.LeafThickness/2, c.rules.HangBeamWidth/2
	top := z + h.Beam.Height
	if x := c.cut.Chainage; x < c.p.Opening || x < c.p.Leaf.OpenAt+c.p.Leaf.Frame {
		c.s.Add(draw.Region{Tag: gate("leaf", draw.RoleGate), Outer: draw.RectRing(middle-half, top, middle+half, c.high*0.9),
			Hatch: draw.HatchPaper})
		if s.y1 < middle-half-plan.Tolerance && s.y1 < middle-wide-plan.Tolerance {
			c.s.Add(draw.Region{Tag: gate("cladding", draw.RoleThin), Outer: draw.RectRing(s.y1, z, middle-half, c.high*0.9),
				Hatch: draw.HatchTint})
		}
	}
	c.s.Add(draw.Region{Tag: gate("beam", draw.RoleSteel), Outer: draw.RectRing(middle-wide, z, middle+wide, top),
		Hatch: draw.HatchNone})
	c.note("leaf.name", middle+half, c.high*0.75, draw.Right, "Leaf")
	for o := range c.p.Parts(plan.PartCarriage) {
		if _, _, ok := across(o, c.cut.Chainage); ok {
			c.s.Add(draw.Region{Tag: gate("carriage", draw.RoleCut),
				Outer: draw.RectRing(middle-wide/2, z-h.Under, middle+wide/2, z+h.Beam.Height/2), Hatch: draw.HatchSteel})
			c.note("carriage.name", middle+wide, z+h.Beam.Height/2, draw.Right, "Carriage in the beam")
			return
		}
	}
	if c.cut.ID == "drive" {
		c.size("gap", draw.Pt(middle-wide, 0), draw.Pt(middle-wide, z), draw.Vertical, draw.Left, z)
	}
}
