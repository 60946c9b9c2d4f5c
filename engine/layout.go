package engine

import (
	"math"

	"pegpour/engine/geom"
)

// layout is where everything stands: boxes in the frame, mm.
type layout struct {
	carries bool // the driveway carries the track as it is

	trackOffset          float64
	leafFront, leafBack  float64 // offsets of the leaf's faces, cladding included, of all its panels together
	panels               int     // one behind another
	wheelInset           float64 // wheel in from each end of a panel
	pitch, shift         float64 // from one panel's track to the next, from the first to the last
	stripWidth           float64 // under all tracks
	driveWidth           float64 // of the strip that vehicles cross
	guide, plate, hole   box
	motor, outlet        box
	hasGuide, hasPlate   bool
	hasHole, hasMotor    bool
	hasOutlet, hasPad    bool
	padFar, padOut       float64
	stripEnd, stripRule  float64
	stop                 box
	pinion, rollers      float64
	footDepth, holeDepth float64
}

// shortInset is the panel's length over the farthest that a wheel stands in from
// the end of a stacked panel. Common practice, no published source.
const shortInset = 8

// box is a rectangle square to the fence: chainages x1 to x2, offsets y1 to y2.
type box struct{ x1, y1, x2, y2 float64 }

func (b box) ring() geom.Polygon {
	return geom.Polygon{{X: b.x1, Y: b.y1}, {X: b.x2, Y: b.y1}, {X: b.x2, Y: b.y2}, {X: b.x1, Y: b.y2}}
}
func (b box) middle() geom.Point { return geom.Point{X: (b.x1 + b.x2) / 2, Y: (b.y1 + b.y2) / 2} }

// carriesTrack reports whether the driveway takes the track as it is: sound
// concrete does, and so do pavers glued to concrete.
func (in *inputs) carriesTrack() bool {
	switch in.surface {
	case SurfaceConcrete:
		return in.concreteSound
	case SurfacePavers:
		return in.paverBase == PaverOnConcrete
	}
	return false
}

// place puts guide post, motor and pad as near to the driveway edge as every
// one of their corners allows, whatever the edge's angle and shape: a box of
// offsets y1 to y2 stands clear when its near side is at the largest x_e(y)
// over [y1, y2].
func place(in *inputs, p *Practice) layout {
	var l layout
	l.carries = in.carriesTrack()
	l.trackOffset = p.TrackOffset + in.cladding
	l.leafFront = l.trackOffset - p.LeafThickness/2 - in.cladding
	l.panels = in.panels
	l.pitch = p.TrackPitch + in.cladding
	l.shift = float64(l.panels-1) * l.pitch
	l.leafBack = l.trackOffset + l.shift + p.LeafThickness/2
	l.wheelInset = p.WheelInset
	if l.panels > 1 { // a short panel stands on wheels nearer to its ends
		frame := (in.width + p.OverlapLatch + p.OverlapRunBack + float64(l.panels-1)*p.PanelOverlap) / float64(l.panels)
		l.wheelInset = math.Min(l.wheelInset, frame/shortInset)
	}
	l.stripWidth, l.driveWidth = p.StripWidth+l.shift, p.DriveStripWidth+l.shift
	l.footDepth = p.StripDepth
	if in.soil == SoilSoft || in.soil == SoilWet {
		l.footDepth = math.Max(p.StripDepth, in.depthToFirm)
	}
	// The post keeps the depth into firm ground that it has where firm ground
	// starts at the surface.
	l.holeDepth = p.GuideHoleDepth + (l.footDepth - p.StripDepth)

	l.hasGuide = in.guide == GuideCastIn || in.guide == GuideBasePlate
	l.hasMotor = in.motor != MotorNone
	l.hasPlate = in.guide == GuideBasePlate
	l.hasHole = in.guide == GuideCastIn
	l.hasPad = l.hasMotor || l.hasPlate
	l.hasOutlet = in.motor == MotorPlugIn && (in.outlet != OutletGuidePost || !l.hasGuide)

	edge := in.runBackEdge
	clear := func(y1, y2 float64) float64 { return edge.MaxOver(y1, y2) + p.EdgeGap }
	next := math.Inf(-1) // nearest chainage for what comes beside the guide post
	l.padOut = p.PadOut + l.shift
	front := p.GuideSetback + in.cladding + l.shift
	if l.hasGuide {
		if l.hasPlate {
			// The post stands flush with the front of its plate, so that the
			// plate never reaches under the leaf.
			y2 := front + p.PlateSize
			x := clear(front-p.PlateMargin, y2+p.PlateMargin) + p.PlateMargin
			l.plate = box{x, front, x + p.PlateSize, y2}
			post := x + (p.PlateSize-p.GuidePostSize)/2
			l.guide = box{post, front, post + p.GuidePostSize, front + p.GuidePostSize}
			next = l.plate.x2 + p.MotorGap
			l.padOut = math.Max(l.padOut, y2+p.PlateMargin)
		} else {
			y2 := front + p.GuidePostSize
			x := clear(front, y2)
			l.guide = box{x, front, x + p.GuidePostSize, y2}
			next = l.guide.x2 + p.MotorGap
			mid := (front + y2) / 2
			l.hole = box{x, mid - p.GuideHoleSize/2, 0, mid + p.GuideHoleSize/2}
			// As long as the hole's size clear of the edge at every offset.
			l.hole.x2 = math.Max(x, edge.MaxOver(l.hole.y1, l.hole.y2)) + p.GuideHoleSize
		}
		l.rollers = (l.guide.x1+l.guide.x2)/2 + p.BracketOffset
	} else {
		l.rollers = in.width + in.postRunBack/2 + p.BracketOffset
	}
	if l.hasMotor {
		y1 := p.MotorFront + in.cladding + l.shift
		y2 := y1 + p.MotorWidth
		x := math.Max(clear(y1, y2), next)
		l.motor = box{x, y1, x + p.MotorLength, y2}
		l.pinion = x + p.MotorLength/2
		l.padOut = math.Max(l.padOut, y2+p.PadMargin)
		if l.hasOutlet {
			ox := l.motor.x2 + p.MotorGap
			l.outlet = box{ox, y1, ox + p.OutletPostSize, y1 + p.OutletPostSize}
		}
	}
	if l.hasPad {
		l.padFar = edge.MaxOver(0, l.padOut) + p.PadAlong
		if l.hasMotor {
			l.padFar = math.Max(l.padFar, l.motor.x2+p.PadMargin)
		}
		if l.hasOutlet {
			l.padFar = math.Max(l.padFar, l.outlet.x2+p.PadMargin)
		}
		if l.hasPlate {
			l.padFar = math.Max(l.padFar, l.plate.x2+p.PlateMargin)
		}
	}
	return l
}
