package drawing

import (
	"math"
	"strconv"

	"pegpour/engine/draw"
	"pegpour/engine/plan"
	"pegpour/engine/text"
)

// The layers of the elevations.
const (
	LayerLeaf    = "Leaf"
	LayerFooting = "Footing"
)

// elevation draws what stands on the track, chainage to the right, heights up
// from the track at chainage 0, as seen from the street.
type elevation struct {
	p     *plan.Plan
	o     *SceneOptions
	s     *draw.Scene
	slope float64 // rise over run
}

// at puts a chainage and a height above the foot of the track on the drawing.
func (e *elevation) at(x, height float64) draw.Point {
	return draw.Pt(x, e.slope*x+height)
}

// raked is a bar between two chainages and two heights, running along the track
// with plumb ends.
func (e *elevation) raked(x1, x2, low, high float64) draw.Ring {
	return draw.Ring{e.at(x1, low), e.at(x2, low), e.at(x2, high), e.at(x1, high)}
}

func (e *elevation) tag(id, layer string, role draw.Role) draw.Tag {
	return draw.Tag{ID: id, Layer: layer, Role: role}
}

func (e *elevation) size(id string, from, to draw.Point, d draw.Direction, side draw.Side, v float64) {
	t := e.tag("dim."+id, LayerSizes, draw.RoleNote)
	t.Voice = draw.VoiceWorkedOut
	e.s.Add(draw.Dimension{Tag: t, From: from, To: to, Direction: d, Side: side, Text: e.o.figure(text.MM(v))})
}

func (e *elevation) note(id string, at draw.Point, side draw.Side, t text.Text) {
	e.s.Add(draw.Leader{Tag: e.tag(id, LayerSizes, draw.RoleNote), At: at, Side: side, Text: e.o.label(t)})
}

// LeafScene draws the leaf in elevation, shut and open, raked to the track, with
// the cut lengths of its members, its wheels, rack, guide rail and what holds it.
func LeafScene(p *plan.Plan, o SceneOptions) *draw.Scene {
	e := &elevation{p: p, o: &o, s: &draw.Scene{Title: o.words("Leaf, shut and open")}, slope: math.Tan(p.Leaf.Slope)}
	leaf := &p.Leaf
	desc := text.Say("Leaf of {0}, frame {1} long and {2} high, seen from the street.", text.Kilograms(leaf.Mass),
		text.MM(leaf.Frame), text.MM(leaf.Height))
	if len(leaf.Panels) > 1 {
		desc = text.Say("{3} panels, {0} together, each {1} long and {2} high, seen from the street.",
			append(desc.Args, text.Number(float64(len(leaf.Panels))))...)
	}
	e.s.Desc = o.sentence(desc)
	e.posts()
	for i := len(leaf.Panels) - 1; i >= 0; i-- {
		panel := &leaf.Panels[i]
		low, high := p.Leaf.Foot, p.Leaf.Foot+leaf.Height
		ring := draw.Ring{e.at(leaf.OpenAt, low), e.at(panel.Rear(leaf, leaf.OpenAt), low),
			e.at(panel.Rear(leaf, leaf.OpenAt), high), e.at(leaf.OpenAt, high)}
		e.s.Add(draw.Region{Tag: e.tag(plan.PartLeafOpen.ID(1), LayerLeaf, draw.RoleMotion), Outer: ring,
			Hatch: draw.HatchNone})
	}
	for i := len(leaf.Panels) - 1; i >= 0; i-- {
		e.panel(&leaf.Panels[i])
	}
	e.holding()
	if leaf.Hanging != nil {
		e.hanging()
	} else {
		t := p.Track.Lines[0]
		e.s.Add(draw.Line{Tag: e.tag("track", LayerLeaf, draw.RoleOutline), From: e.at(t.Start, 0), To: e.at(t.End, 0)})
	}
	e.cuts()
	e.s.Add(draw.HandArrow{Tag: e.tag("opens", LayerLeaf, draw.RoleNote), From: e.at(p.Opening*0.4, leaf.Height*0.55),
		To: e.at(p.Opening*0.6, leaf.Height*0.55), Text: o.words("opens")})
	e.s.Add(draw.ScaleBar{Tag: e.tag("scale", "", draw.RoleNote), Feet: o.Feet})
	return e.s
}

func (e *elevation) posts() {
	top := e.p.Leaf.Height + e.p.Leaf.Foot
	for _, post := range [...]struct {
		id   string
		ring []draw.Point
	}{{"post.latch", lineOf(e.p.Site.PostLatch)}, {"post.runBack", lineOf(e.p.Site.PostRunBack)}} {
		if len(post.ring) == 0 {
			continue // where leaves meet no post stands
		}
		x1, x2 := post.ring[0].X, post.ring[0].X
		for _, q := range post.ring {
			x1, x2 = min(x1, q.X), max(x2, q.X)
		}
		e.s.Add(draw.Region{Tag: e.tag(post.id, LayerSite, draw.RoleExisting),
			Outer: draw.Ring{draw.Pt(x1, e.slope*x1), draw.Pt(x2, e.slope*x2), draw.Pt(x2, e.slope*x2+top),
				draw.Pt(x1, e.slope*x1+top)}, Hatch: draw.HatchTint})
	}
}

// panel draws one panel shut: frame, wheels, guide rail and rack.
func (e *elevation) panel(panel *plan.Panel) {
	leaf := &e.p.Leaf
	id := "leaf." + strconv.Itoa(panel.Number)
	s, foot := panel.ShutAt, leaf.Foot
	top := foot + leaf.Height
	cos := math.Cos(leaf.Slope)
	rail, bottom := leaf.RailSize/cos, leaf.BottomSize/cos
	frame := e.tag(id, LayerLeaf, draw.RoleGate)
	e.s.Add(draw.Region{Tag: frame, Outer: e.raked(s, s+leaf.Frame+panel.Tail, foot, foot+bottom), Hatch: draw.HatchPaper})
	e.s.Add(draw.Region{Tag: frame, Outer: e.raked(s, s+leaf.Frame, top-rail, top), Hatch: draw.HatchPaper})
	pitch := (leaf.Frame - leaf.RailSize) / float64(leaf.Bays)
	for i := 0; i <= leaf.Bays; i++ {
		x := s + pitch*float64(i)
		e.s.Add(draw.Region{Tag: frame, Outer: e.raked(x, x+leaf.RailSize, foot+bottom, top-rail), Hatch: draw.HatchPaper})
	}
	e.s.Add(draw.Line{Tag: e.tag(id+".guideRail", LayerLeaf, draw.RoleSteel), From: e.at(s, top),
		To: e.at(s+leaf.Frame+panel.RailOver, top)})
	if panel.Driven {
		e.s.Add(draw.Line{Tag: e.tag(id+".rack", LayerLeaf, draw.RoleHidden), From: e.at(s, leaf.RackAt),
			To: e.at(s+leaf.Rack, leaf.RackAt)})
	}
	for _, w := range panel.Wheels {
		if leaf.Hanging != nil {
			break
		}
		e.s.Add(draw.Circle{Tag: e.tag(id+".wheel", LayerLeaf, draw.RoleSteel), Centre: e.at(s+w.At, foot*0.7),
			Radius: max(foot*0.7, 10), Hatch: draw.HatchPaper})
	}
}

// holding draws rollers, pinion, guide post and stop.
func (e *elevation) holding() {
	leaf := &e.p.Leaf
	top := leaf.Foot + leaf.Height
	if o, ok := e.p.Part(plan.PartGuidePost, 1); ok {
		low, high := o.Ring.Bounds()
		t := e.tag(o.ID, LayerGate, draw.RoleHidden)
		e.s.Add(draw.Region{Tag: t, Outer: e.raked(low.X, high.X, 0, top+60), Hatch: draw.HatchNone})
	}
	for _, side := range [2]float64{-0.5, 0.5} {
		e.s.Add(draw.Circle{Tag: e.tag("rollers", LayerGate, draw.RoleSteel),
			Centre: e.at(leaf.RollersAt+side*leaf.RollerGap, top+15), Radius: 18, Hatch: draw.HatchPaper})
	}
	if leaf.Rack > 0 {
		if o, ok := e.p.Part(plan.PartMotor, 1); ok {
			low, high := o.Ring.Bounds()
			e.s.Add(draw.Region{Tag: e.tag(o.ID, LayerGate, draw.RoleHidden), Outer: e.raked(low.X, high.X, 0, 320),
				Hatch: draw.HatchNone})
		}
		e.s.Add(draw.Circle{Tag: e.tag("pinion", LayerGate, draw.RoleSteel), Centre: e.at(leaf.PinionAt, leaf.RackAt-35),
			Radius: 35, Hatch: draw.HatchNone})
	}
	if o, ok := e.p.Part(plan.PartHardStop, 1); ok {
		low, high := o.Ring.Bounds()
		e.s.Add(draw.Region{Tag: e.tag(o.ID, LayerGate, draw.RoleCut), Outer: e.raked(low.X, high.X, 0, 150),
			Hatch: draw.HatchSteel})
	}
}

// cuts writes the cut lengths at the members, and the sizes of the whole.
func (e *elevation) cuts() {
	leaf := &e.p.Leaf
	lead, last := &leaf.Panels[0], &leaf.Panels[len(leaf.Panels)-1]
	foot, top := leaf.Foot, leaf.Foot+leaf.Height
	s := lead.ShutAt
	e.size("leaf.height", e.at(s, foot), e.at(s, top), draw.Vertical, draw.Left, leaf.Height)
	e.size("leaf.frame", e.at(s, foot), e.at(s+leaf.Frame, foot), draw.Horizontal, draw.Below, leaf.Frame)
	e.size("leaf.travel", e.at(leaf.ShutAt, foot), e.at(leaf.OpenAt, foot), draw.Horizontal, draw.Below, leaf.Travel)
	if leaf.Tail > plan.Tolerance {
		for i := range leaf.Panels {
			if q := &leaf.Panels[i]; q.Driven {
				e.size("leaf.tail", e.at(q.ShutAt+leaf.Frame, foot), e.at(q.ShutAt+leaf.Frame+q.Tail, foot), draw.Horizontal,
					draw.Below, q.Tail)
			}
		}
	}
	if last.RailOver > plan.Tolerance {
		e.size("leaf.railOver", e.at(last.ShutAt+leaf.Frame, top), e.at(last.ShutAt+leaf.Frame+last.RailOver, top),
			draw.Horizontal, draw.Above, last.RailOver)
	}
	if math.Abs(leaf.Rise) >= 1 {
		e.s.Add(draw.AngleDimension{Tag: e.tag("dim.leaf.slope", LayerSizes, draw.RoleNote), Vertex: e.at(0, top),
			From: draw.Pt(1000, e.at(0, top).Y), To: e.at(1000, top), Text: e.o.figure(text.Radians(math.Abs(leaf.Slope)))})
	}
	cos := math.Cos(leaf.Slope)
	bottom := foot + leaf.BottomSize/cos/2
	places := map[text.Name]draw.Point{
		"Bottom rail":           e.at(s+leaf.Frame*0.25, bottom),
		"Bottom rail with tail": e.at(last.ShutAt+leaf.Frame*0.75, bottom),
		"Top rail":              e.at(s+leaf.Frame*0.3, top-leaf.RailSize/cos/2),
		"Stile":                 e.at(s+leaf.RailSize/2+(leaf.Frame-leaf.RailSize)/float64(leaf.Bays), foot+leaf.Height*0.85),
		"Guide rail":            e.at(last.ShutAt+leaf.Frame*0.7, top),

		"Beam with counter part":    e.at(s+leaf.Frame*0.25, bottom),
		"Brace of the counter part": e.at(s+leaf.Frame+leaf.Tail*0.4, top-(top-foot-leaf.BottomSize)*0.4),
	}
	for i := range leaf.Panels {
		if q := &leaf.Panels[i]; q.Driven {
			places["Rack"] = e.at(q.ShutAt+leaf.Frame*0.5, leaf.RackAt)
		}
	}
	for i := range leaf.Members {
		m := &leaf.Members[i]
		at, ok := places[m.Mark]
		if m.Mark == "Guide rail" && math.Abs(m.Length*cos-leaf.Frame-last.RailOver) > plan.Tolerance {
			at = e.at(s+leaf.Frame*0.7, top) // of a panel that leads
		}
		if !ok {
			at = e.at(s+leaf.Frame*0.4, foot+leaf.Height*0.4)
		}
		side := draw.Above
		if m.Mark == "Bottom rail" || m.Mark == "Bottom rail with tail" || m.Mark == "Rack" ||
			m.Mark == "Beam with counter part" {
			side = draw.Below
		}
		words := text.Say("{0}", text.Number(float64(i+1)))
		if !e.o.Keyed {
			words = text.Say("{0}: {1} of {2}", text.Word(m.Mark), text.Number(float64(m.Count)), text.MM(m.Length))
		}
		e.note("cut."+strconv.Itoa(i+1), at, side, words)
	}
}
