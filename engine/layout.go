package engine

import (
	"math"

	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// placement is where tracks, posts, motor and pad stand: boxes in the frame, mm.
type placement struct {
	carries bool // the driveway carries the track as it is

	trackOffset         float64
	leafFront, leafBack float64 // offsets of the leaf's faces, cladding included, of all its panels together
	panels              int     // one behind another
	wheelInset          float64 // wheel in from each end of a panel
	pitch, shift        float64 // from one panel's track to the next, from the first to the last
	stripWidth          float64 // under all tracks
	driveWidth          float64 // of the strip that vehicles cross
	guide, plate, hole  geom.Rectangle
	motor, outlet       geom.Rectangle
	hasGuide, hasPlate  bool
	hasHole, hasMotor   bool
	hasOutlet, hasPad   bool
	padFar, padOut      float64
	pinion, rollers     float64
	footDepth           float64
}

// stripEnds are where the run-back strip, or the steel footing in its place,
// ends and what stands there.
type stripEnds struct {
	stripEnd  float64        // chainage
	stripRule float64        // the same by the shop's rule alone
	stop      geom.Rectangle // the hard stop
}

// layout is where everything stands.
type layout struct {
	placement
	stripEnds
}

// carriesTrack reports whether the driveway takes the track as it is: sound
// concrete does, and so do pavers glued to concrete.
func (in *inputs) carriesTrack() bool {
	switch in.surface {
	case survey.SurfaceConcrete:
		return in.concreteSound
	case survey.SurfacePavers:
		return in.paverBase == survey.PaverOnConcrete
	}
	return false
}

// place puts guide post, motor and pad as near to the driveway edge as every
// one of their corners allows, whatever the edge's angle and shape: a box of
// offsets y1 to y2 stands clear when its near side is at the largest x_e(y)
// over [y1, y2].
func place(in *inputs, p *practice.Practice) placement {
	var l placement
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
		l.wheelInset = math.Min(l.wheelInset, frame/p.ShortInset)
	}
	l.stripWidth, l.driveWidth = p.StripWidth+l.shift, p.DriveStripWidth+l.shift
	l.footDepth = p.StripDepth
	if in.soil == survey.SoilSoft || in.soil == survey.SoilWet {
		l.footDepth = math.Max(p.StripDepth, in.depthToFirm)
	}

	l.hasGuide = in.guide == survey.GuideCastIn || in.guide == survey.GuideBasePlate
	l.hasMotor = in.motor != survey.MotorNone
	l.hasPlate = in.guide == survey.GuideBasePlate
	l.hasHole = in.guide == survey.GuideCastIn
	l.hasPad = l.hasMotor || l.hasPlate
	l.hasOutlet = in.motor == survey.MotorPlugIn && (in.outlet != survey.OutletGuidePost || !l.hasGuide)

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
			l.plate = geom.RectangleOf(x, front, x+p.PlateSize, y2)
			post := x + (p.PlateSize-p.GuidePostSize)/2
			l.guide = geom.RectangleOf(post, front, post+p.GuidePostSize, front+p.GuidePostSize)
			next = l.plate.X2 + p.MotorGap
			l.padOut = math.Max(l.padOut, y2+p.PlateMargin)
		} else {
			y2 := front + p.GuidePostSize
			x := clear(front, y2)
			l.guide = geom.RectangleOf(x, front, x+p.GuidePostSize, y2)
			next = l.guide.X2 + p.MotorGap
			mid := (front + y2) / 2
			l.hole = geom.RectangleOf(x, mid-p.GuideHoleSize/2, 0, mid+p.GuideHoleSize/2)
			// As long as the hole's size clear of the edge at every offset.
			l.hole.X2 = math.Max(x, edge.MaxOver(l.hole.Y1, l.hole.Y2)) + p.GuideHoleSize
		}
		l.rollers = (l.guide.X1+l.guide.X2)/2 + p.BracketOffset
	} else {
		l.rollers = in.width + in.postRunBack/2 + p.BracketOffset
	}
	if l.hasMotor {
		y1 := p.MotorFront + in.cladding + l.shift
		y2 := y1 + p.MotorWidth
		x := math.Max(clear(y1, y2), next)
		l.motor = geom.RectangleOf(x, y1, x+p.MotorLength, y2)
		l.pinion = x + p.MotorLength/2
		l.padOut = math.Max(l.padOut, y2+p.PadMargin)
		if l.hasOutlet {
			ox := l.motor.X2 + p.MotorGap
			l.outlet = geom.RectangleOf(ox, y1, ox+p.OutletPostSize, y1+p.OutletPostSize)
		}
	}
	if l.hasPad {
		l.padFar = edge.MaxOver(0, l.padOut) + p.PadAlong
		if l.hasMotor {
			l.padFar = math.Max(l.padFar, l.motor.X2+p.PadMargin)
		}
		if l.hasOutlet {
			l.padFar = math.Max(l.padFar, l.outlet.X2+p.PadMargin)
		}
		if l.hasPlate {
			l.padFar = math.Max(l.padFar, l.plate.X2+p.PlateMargin)
		}
	}
	return l
}

// endStrip finds where the run-back strip ends: as far beyond the run-back post
// as the opening is wide, with the hard stop's extra where one is fitted, or
// further where the leaf, its tail and the stop need it. A steel footing ends
// where the rear wheel, or the hard stop, needs it.
func endStrip(in *inputs, p *practice.Practice, l *placement, leaf *plan.Leaf) (ends stripEnds) {
	n := float64(l.panels)
	ends.stripRule = in.width + (in.width+(n-1)*p.PanelOverlap)/n
	ends.stripEnd = ends.stripRule
	stopEnd := leaf.RearOpen + p.StopAllowance
	if in.hardStop {
		ends.stripRule += p.StripStopExtra
		ends.stripEnd = math.Max(ends.stripRule, stopEnd)
		half := p.StopPart * p.StripWidth
		mid := math.Min(l.trackOffset, p.StripWidth-half/2)
		ends.stop = geom.RectangleOf(leaf.RearOpen, mid-half/2, stopEnd, mid+half/2+l.shift)
	}
	wheels := leaf.OpenAt + leaf.Frame - l.wheelInset + p.EngagementMargin
	ends.stripEnd = math.Max(ends.stripEnd, wheels)
	if in.onSteel() {
		end := leaf.OpenAt + leaf.Frame - leaf.Panels[0].Wheels[0].At + p.EngagementMargin
		if in.hardStop {
			end = math.Max(end, stopEnd)
		}
		ends.stripEnd, ends.stripRule = end, end
	}
	return ends
}
