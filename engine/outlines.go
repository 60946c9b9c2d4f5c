package engine

import (
	"math"
	"strconv"

	"pegpour/engine/geom"
)

// driveTreatment says how the strip that vehicles cross is made.
type driveTreatment struct {
	strip       bool
	depth, top  float64
	crown       float64
	mesh, tint  bool
	sawCut      bool
	liftsPavers bool
	how         Text
}

func treat(in *inputs, p *Practice, l *layout) driveTreatment {
	if l.carries {
		if in.surface == SurfacePavers {
			return driveTreatment{how: say("The pavers are glued to concrete: the track is fixed straight to them.")}
		}
		return driveTreatment{how: say("The sound concrete carries the track: nothing is poured in the drive.")}
	}
	t := driveTreatment{strip: true, depth: p.DriveStripDepth, mesh: true}
	switch in.surface {
	case SurfaceConcrete:
		t.sawCut = true
		t.how = say("The concrete is not sound: cut a strip {0} wide out and pour it {1} deep with trench mesh.", mm(l.driveWidth), mm(t.depth))
	case SurfacePavers:
		t.liftsPavers = true
		if in.paverMethod == PaverOver {
			t.top = in.paverThickness + p.PaverBedding
			t.how = say("Lift a strip of pavers {0} wide, pour {1} of concrete with trench mesh with its top {2} down, and glue the pavers back on top.", mm(l.driveWidth), mm(t.depth), mm(t.top))
		} else {
			t.tint = true
			t.how = say("Lift a strip of pavers {0} wide and pour {1} of concrete with trench mesh, tinted to match.", mm(l.driveWidth), mm(t.depth))
		}
	case SurfaceBitumen:
		t.sawCut, t.tint = true, true
		t.how = say("Cut a strip of bitumen {0} wide out and pour {1} of concrete with trench mesh, tinted to match.", mm(l.driveWidth), mm(t.depth))
	case SurfaceGravel:
		t.crown = p.CrownRise
		t.how = say("Pour a strip {0} wide and {1} deep with trench mesh, crowned {2} in the middle so that stones stay off the track.", mm(l.driveWidth), mm(t.depth), mm(t.crown))
	default:
		t.how = say("Pour a strip {0} wide and {1} deep with trench mesh.", mm(l.driveWidth), mm(t.depth))
	}
	return t
}

// stripLimits finds where the run-back strip ends: as far beyond the run-back
// post as the opening is wide, with the hard stop's extra where one is fitted,
// or further where the leaf, its tail and the stop need it.
func stripLimits(in *inputs, p *Practice, l *layout, leaf *LeafPlan) {
	n := float64(l.panels)
	l.stripRule = in.width + (in.width+(n-1)*p.PanelOverlap)/n
	l.stripEnd = l.stripRule
	if in.hardStop {
		l.stripRule += p.StripStopExtra
		l.stripEnd = math.Max(l.stripRule, leaf.RearOpen+p.StopAllowance)
		half := p.StripWidth / 2
		mid := math.Min(l.trackOffset, p.StripWidth-half/2)
		l.stop = box{leaf.RearOpen, mid - half/2, leaf.RearOpen + p.StopAllowance, mid + half/2 + l.shift}
	}
	wheels := leaf.OpenAt + leaf.Frame - l.wheelInset + p.EngagementMargin
	l.stripEnd = math.Max(l.stripEnd, wheels)
}

// outline adds a part. Several pieces of one part get numbers.
func (plan *Plan) outline(o Outline, pieces []geom.Polygon) {
	o.Number = max(o.Number, 1)
	id, name := o.ID, o.Name
	for i, ring := range pieces {
		o.Ring = ring
		o.Area = math.Abs(ring.Area())
		if o.Area < 1 { // a sliver below one square millimetre is nothing to build
			continue
		}
		if len(pieces) > 1 {
			n := strconv.Itoa(i + 1)
			o.Piece, o.ID, o.Name = i+1, id+"."+n, fill("{0} {1}", name, n)
		}
		plan.Outlines = append(plan.Outlines, o)
	}
}

// pour lays out everything that is poured and everything that stands on it.
func (plan *Plan) pour(in *inputs, p *Practice, l *layout, t *driveTreatment) {
	if t.strip {
		plan.outline(Outline{ID: "driveStrip", Kind: PartDriveStrip, Name: "Drive strip", Concrete: true, Depth: t.depth + t.top, Top: t.top,
			Crown: t.crown, Mesh: t.mesh, Tint: t.tint},
			between(box{0, 0, l.stripEnd, l.driveWidth}, &in.latchEdge, &in.runBackEdge))
	}
	plan.outline(Outline{ID: "latchStrip", Kind: PartLatchStrip, Name: "Strip before the drive", Concrete: true, Depth: l.footDepth},
		between(box{0, 0, in.width, plan.latchWidth(in, p, l)}, nil, &in.latchEdge))
	if plan.Footing == nil {
		plan.outline(Outline{ID: "strip", Kind: PartRunBackStrip, Name: "Run-back strip", Concrete: true, Depth: l.footDepth},
			between(box{0, 0, l.stripEnd, l.stripWidth}, &in.runBackEdge, nil))
	}
	if l.hasPad && in.padOnSteel() {
		plan.outline(Outline{ID: "padPlate", Kind: PartPadPlate, Name: "Steel plate under the motor"},
			between(box{math.Inf(-1), l.leafBack + p.FootPost/2, l.padFar, l.padOut}, &in.runBackEdge, nil))
	} else if l.hasPad {
		plan.outline(Outline{ID: "pad", Kind: PartPad, Name: "Motor pad", Concrete: true, Depth: l.footDepth},
			between(box{math.Inf(-1), 0, l.padFar, l.padOut}, &in.runBackEdge, nil))
	}
	if l.hasHole {
		plan.outline(Outline{ID: "hole", Kind: PartPostHole, Name: "Guide post hole", Concrete: true, Depth: l.holeDepth},
			between(box{math.Inf(-1), l.hole.y1, l.hole.x2, l.hole.y2}, &in.runBackEdge, nil))
	}
	if plan.Footing != nil {
		plan.pourFooting(p, l)
	}
	stand := func(id string, kind PartKind, name string, b box, there bool) {
		if there {
			plan.outline(Outline{ID: id, Kind: kind, Name: name}, []geom.Polygon{b.ring()})
		}
	}
	stand("plate", PartBasePlate, "Base plate", l.plate, l.hasPlate)
	stand("guide", PartGuidePost, "Guide post", l.guide, l.hasGuide)
	stand("motor", PartMotor, "Motor", l.motor, l.hasMotor)
	stand("outlet", PartOutletPost, "Outlet post", l.outlet, l.hasOutlet)
	stand("stop", PartHardStop, "Hard stop", l.stop, in.hardStop)
	plan.standPanels(p, l)
}

// between returns the part of a box that lies beyond the near edge and before
// the far edge, either of which may be nil. The sides along an edge follow it.
func between(b box, near, far *geom.Edge) []geom.Polygon {
	x1 := b.x1
	if near != nil && math.IsInf(x1, -1) {
		x1 = near.MinOver(b.y1, b.y2)
	}
	return geom.Band(x1, b.y1, b.x2, b.y2, near, far)
}
