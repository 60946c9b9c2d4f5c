package engine

import (
	"math"
	"strconv"

	"pegpour/engine/geom"
)

// outlineList are parts in plan, in the order in which they are built.
type outlineList []Outline

// add adds a part in one or more pieces. Several pieces of one part get numbers.
func (list *outlineList) add(o Outline, pieces []geom.Polygon) {
	o.Number = max(1, o.Number)
	id, name := o.Kind.ID(o.Number), o.Name
	o.ID = id
	for i, ring := range pieces {
		o.Ring = ring
		o.Area = math.Abs(ring.Area())
		if o.Area < 1 { // a sliver below one square millimetre is nothing to build
			continue
		}
		if len(pieces) > 1 {
			n := strconv.Itoa(i + 1)
			o.Piece, o.ID, o.Name = i+1, id+"."+n, Fill("{0} {1}", name, n)
		}
		*list = append(*list, o)
	}
}

// stand adds a part that stands on a box, the numberth of its kind.
func (list *outlineList) stand(kind PartKind, number int, name string, b box) {
	list.add(Outline{Kind: kind, Number: number, Name: name}, []geom.Polygon{b.ring()})
}

// outlineParts outlines everything that is poured and everything that stands on
// it. How deep parts go, and how far their tops lie below the surface, is for
// giveDepths to say.
func outlineParts(in *inputs, p *Practice, l *layout, t *driveTreatment, leaf *LeafPlan, track *TrackPlan, footing *FootingPlan, slot *slot) []Outline {
	room := 12
	if slot != nil {
		room += 2
	}
	if footing != nil {
		room += 2*len(footing.Posts) + len(track.Lines)
	}
	list := make(outlineList, 0, room+2*len(leaf.Panels))
	if t.strip {
		list.add(Outline{Kind: PartDriveStrip, Name: "Drive strip", Concrete: true, Crown: t.crown, Mesh: t.mesh, Tint: t.tint},
			between(box{0, 0, l.stripEnd, l.driveWidth}, &in.latchEdge, &in.runBackEdge))
	}
	list.add(Outline{Kind: PartLatchStrip, Name: "Strip before the drive", Concrete: true},
		between(box{0, 0, in.width, latchWidth(in, p, &l.placement, track)}, nil, &in.latchEdge))
	if footing == nil {
		list.add(Outline{Kind: PartRunBackStrip, Name: "Run-back strip", Concrete: true},
			between(box{0, 0, l.stripEnd, l.stripWidth}, &in.runBackEdge, nil))
	}
	if l.hasPad && in.padOnSteel() {
		list.add(Outline{Kind: PartPadPlate, Name: "Steel plate under the motor"},
			between(box{math.Inf(-1), l.leafBack + p.FootPost/2, l.padFar, l.padOut}, &in.runBackEdge, nil))
	} else if l.hasPad {
		list.add(Outline{Kind: PartPad, Name: "Motor pad", Concrete: true},
			between(box{math.Inf(-1), 0, l.padFar, l.padOut}, &in.runBackEdge, nil))
	}
	if l.hasHole {
		list.add(Outline{Kind: PartPostHole, Name: "Guide post hole", Concrete: true},
			between(box{math.Inf(-1), l.hole.y1, l.hole.x2, l.hole.y2}, &in.runBackEdge, nil))
	}
	if footing != nil {
		list.outlineFooting(p, footing, track)
	}
	if l.hasPlate {
		list.stand(PartBasePlate, 1, "Base plate", l.plate)
	}
	if l.hasGuide {
		list.stand(PartGuidePost, 1, "Guide post", l.guide)
	}
	if l.hasMotor {
		list.stand(PartMotor, 1, "Motor", l.motor)
	}
	if l.hasOutlet {
		list.stand(PartOutletPost, 1, "Outlet post", l.outlet)
	}
	if in.hardStop {
		list.stand(PartHardStop, 1, "Hard stop", l.stop)
	}
	list.outlineLeaf(l, leaf)
	if slot != nil {
		list.add(Outline{Kind: PartCavity, Name: "Cavity"}, []geom.Polygon{slot.cavity})
		list.add(Outline{Kind: PartWall, Name: "Retaining wall"}, []geom.Polygon{slot.walls})
	}
	return list
}

// outlineLeaf adds all panels, shut and open.
func (list *outlineList) outlineLeaf(l *layout, leaf *LeafPlan) {
	for i := range leaf.Panels {
		panel := &leaf.Panels[i]
		shut, open := "Leaf, shut", "Leaf, open"
		if i > 0 {
			n := strconv.Itoa(i + 1)
			shut, open = Fill("Leaf, shut, panel {0}", n), Fill("Leaf, open, panel {0}", n)
		}
		front, back := l.panelFaces(leaf, i)
		list.stand(PartLeafShut, panel.Number, shut, box{panel.ShutAt, front, panel.ShutAt + leaf.Frame, back})
		list.stand(PartLeafOpen, panel.Number, open, box{leaf.OpenAt, front, panel.rear(leaf, leaf.OpenAt), back})
	}
}

// giveDepths says how deep every part goes and how far its top lies below the
// finished surface: by the layout, by the level of the pad, and over a steel
// footing by how far the ground falls and by the holes of its posts.
func giveDepths(parts []Outline, l *layout, t *driveTreatment, pad []padDepth, footing *FootingPlan) []Outline {
	out := make([]Outline, len(parts))
	copy(out, parts)
	drop := 0.0
	if footing != nil {
		drop = footing.PadDrop
	}
	for i := range out {
		switch o := &out[i]; o.Kind {
		case PartDriveStrip:
			o.Depth, o.Top = t.depth+t.top, t.top
		case PartLatchStrip, PartRunBackStrip:
			o.Depth = l.footDepth
		case PartPad:
			o.Depth = l.footDepth
			for _, d := range pad {
				if d.piece == o.Piece {
					o.Depth, o.Top = d.depth, d.top
				}
			}
			o.Depth += drop
		case PartPostHole:
			o.Depth = l.holeDepth
			if l.hasPad {
				o.Depth += drop
			}
		case PartFootingHole:
			o.Depth = footing.Posts[o.Number-1].Depth
		}
	}
	return out
}

// unitePoured makes one outline of all that is poured in one level.
func unitePoured(parts []Outline) ([]geom.Region, []Refusal) {
	poured := make([]geom.Polygon, 0, len(parts))
	for i := range parts {
		if o := &parts[i]; o.Concrete {
			poured = append(poured, o.Ring)
		}
	}
	united, err := geom.Union(poured...)
	return united, appendRefusal(nil, QuestionOutlinesUnjudged, Warning, "The outline of all concrete", err, DriveRunBackEdgeGiven)
}
