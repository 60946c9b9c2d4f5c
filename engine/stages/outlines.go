package stages

import (
	"math"
	"slices"
	"strconv"

	"pegpour/engine/geom"
	"pegpour/engine/ground"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// OutlineList are parts in plan, in the order in which they are built.
type OutlineList []plan.Outline

// Add adds a part in one or more pieces. Several pieces of one part get numbers,
// slivers none: they are dropped first, so that the one piece left is the part.
// The slice is the list's from then on.
func (list *OutlineList) Add(o plan.Outline, pieces []geom.Polygon) {
	o.Number = max(1, o.Number)
	id, name := o.Kind.ID(o.Number), o.Name
	o.ID = id
	pieces = slices.DeleteFunc(pieces, sliver)
	for i, ring := range pieces {
		o.Ring = ring
		o.Area = math.Abs(ring.Area())
		if len(pieces) > 1 {
			n := strconv.Itoa(i + 1)
			o.Piece, o.ID, o.Name = i+1, id+"."+n, text.Named("{0} {1}", name, text.Name(n))
		}
		*list = append(*list, o)
	}
}

// sliver reports whether a piece is nothing to build: narrower in the mean than a
// tape can tell, or below one square millimetre.
func sliver(ring geom.Polygon) bool {
	area := math.Abs(ring.Area())
	return !(area >= 1 && 2*area >= plan.Tolerance*ring.Perimeter())
}

// stand adds a part that stands on a box, the numberth of its kind.
func (list *OutlineList) stand(kind plan.PartKind, number int, name text.Name, b geom.Rectangle) {
	list.Add(plan.Outline{Kind: kind, Number: number, Name: name}, []geom.Polygon{b.Ring()})
}

// OutlineParts outlines everything that is poured and everything that stands on
// it. How deep parts go, and how far their tops lie below the surface, is for
// GiveDepths to say.
func OutlineParts(in *Inputs, p *practice.Practice, l *Layout, t *DriveTreatment, leaf *plan.Leaf, track *plan.Track,
	footing *plan.Footing, excavation *ground.Excavation) []plan.Outline {
	room := 12
	if excavation != nil {
		room += 2
	}
	if footing != nil {
		room += 2*len(footing.Posts) + len(track.Lines)
	}
	list := make(OutlineList, 0, room+2*len(leaf.Panels))
	if t.Strip {
		list.Add(plan.Outline{Kind: plan.PartDriveStrip, Name: "Drive strip", Concrete: true, Crown: t.crown, Mesh: t.mesh,
			Tint: t.tint},
			geom.Between(geom.RectangleOf(0, 0, l.StripEnd, l.DriveWidth), &in.latchEdge, &in.RunBackEdge))
	}
	if !in.Hangs {
		list.Add(plan.Outline{Kind: plan.PartLatchStrip, Name: "Strip before the drive", Concrete: true},
			geom.Between(geom.RectangleOf(0, 0, in.Width, latchWidth(in, p, &l.Placement, track)), nil, &in.latchEdge))
	}
	if footing == nil && !in.Hangs {
		list.Add(plan.Outline{Kind: plan.PartRunBackStrip, Name: "Run-back strip", Concrete: true},
			geom.Between(geom.RectangleOf(0, 0, l.StripEnd, l.StripWidth), &in.RunBackEdge, nil))
	}
	if l.HasPad && in.PadOnSteel() {
		list.Add(plan.Outline{Kind: plan.PartPadPlate, Name: "Steel plate under the motor"},
			geom.Between(geom.RectangleOf(math.Inf(-1), l.LeafBack+p.FootPost/2, l.PadFar, l.PadOut), &in.RunBackEdge, nil))
	} else if l.HasPad {
		list.Add(plan.Outline{Kind: plan.PartPad, Name: padName(in), Concrete: true},
			geom.Between(geom.RectangleOf(math.Inf(-1), 0, l.PadFar, l.PadOut), &in.RunBackEdge, nil))
	}
	if l.HasHole {
		list.Add(plan.Outline{Kind: plan.PartPostHole, Name: "Guide post hole", Concrete: true},
			geom.Between(geom.RectangleOf(math.Inf(-1), l.hole.Y1, l.hole.X2, l.hole.Y2), &in.RunBackEdge, nil))
	}
	if footing != nil {
		list.outlineFooting(p, footing, track)
	}
	if l.HasPlate {
		list.stand(plan.PartBasePlate, 1, "Base plate", l.Plate)
	}
	if l.HasGuide {
		list.stand(plan.PartGuidePost, 1, "Guide post", l.Guide)
	}
	if l.HasMotor {
		list.stand(plan.PartMotor, 1, "Motor", l.Motor)
	}
	if l.hasOutlet {
		list.stand(plan.PartOutletPost, 1, "Outlet post", l.Outlet)
	}
	if in.HardStop && !in.Hangs {
		list.stand(plan.PartHardStop, 1, "Hard stop", l.stop)
	}
	list.outlineLeaf(l, leaf)
	if in.Hangs {
		list.outlineHanging(p, l, leaf)
	}
	if excavation != nil {
		list.Add(plan.Outline{Kind: plan.PartCavity, Name: "Cavity"}, []geom.Polygon{excavation.Cavity})
		list.Add(plan.Outline{Kind: plan.PartWall, Name: "Retaining wall"}, []geom.Polygon{excavation.Walls})
	}
	return list
}

// padName is what stands under the motor, or under the carriages as well.
func padName(in *Inputs) text.Name {
	if in.Hangs {
		return "Block under the carriages"
	}
	return "Motor pad"
}

// outlineLeaf adds all panels, shut and open.
func (list *OutlineList) outlineLeaf(l *Layout, leaf *plan.Leaf) {
	for i := range leaf.Panels {
		panel := &leaf.Panels[i]
		shut, open := text.Name("Leaf, shut"), text.Name("Leaf, open")
		if i > 0 {
			shut, open = text.Numbered("Leaf, shut, panel {0}", i+1), text.Numbered("Leaf, open, panel {0}", i+1)
		}
		front, back := l.panelFaces(leaf, i)
		list.stand(plan.PartLeafShut, panel.Number, shut,
			geom.RectangleOf(panel.ShutAt, front, panel.ShutAt+leaf.Frame, back))
		list.stand(plan.PartLeafOpen, panel.Number, open,
			geom.RectangleOf(leaf.OpenAt, front, panel.Rear(leaf, leaf.OpenAt), back))
	}
}

// GiveDepths says how deep every part goes and how far its top lies below the
// finished surface: by the layout, by the level of the pad, by how deep the guide
// post stands, and over a steel footing by how far the ground falls and by the
// holes of its posts.
func GiveDepths(parts []plan.Outline, l *Layout, t *DriveTreatment, pad []ground.PadDepth,
	footing *plan.Footing, hole *guideHole) []plan.Outline {
	out := make([]plan.Outline, len(parts))
	copy(out, parts)
	drop := 0.0
	if footing != nil {
		drop = footing.PadDrop
	}
	for i := range out {
		switch o := &out[i]; o.Kind {
		case plan.PartDriveStrip:
			o.Depth, o.Top = t.Depth+t.top, t.top
		case plan.PartLatchStrip, plan.PartRunBackStrip:
			o.Depth = l.FootDepth
		case plan.PartPad:
			o.Depth = l.FootDepth
			for _, d := range pad {
				if d.Piece == o.Piece {
					o.Depth, o.Top = d.Depth, d.Top
				}
			}
			o.Depth += drop
		case plan.PartPostHole:
			o.Top = PadTop(pad)
			o.Depth = hole.Depth + o.Top
		case plan.PartFootingHole:
			o.Depth = footing.Posts[o.Number-1].Depth
		}
	}
	return out
}

// PadTop is how far the top of the motor pad lies below the finished surface, mm:
// of its pieces the highest, 0 where its level is not known.
func PadTop(pad []ground.PadDepth) float64 {
	top := 0.0
	for i, d := range pad {
		if i == 0 || d.Top < top {
			top = d.Top
		}
	}
	return top
}

// Raise lets the hole start at a pad whose top stands above the finished surface:
// it counts from there, and its bottom stays where it is in the ground.
func (h *guideHole) Raise(top float64) {
	if top < 0 {
		h.Above -= top
		h.Depth -= top
	}
}

// UnitePoured makes one outline of all that is poured in one level.
func UnitePoured(parts []plan.Outline) ([]geom.Region, []plan.Refusal) {
	poured := make([]geom.Polygon, 0, len(parts))
	for i := range parts {
		if o := &parts[i]; o.Concrete {
			poured = append(poured, o.Ring)
		}
	}
	united, err := geom.Union(poured...)
	return united, plan.AppendRefusal(nil, plan.QuestionOutlinesUnjudged, plan.Warning, "The outline of all concrete",
		err, survey.DriveRunBackEdgeGiven)
}
