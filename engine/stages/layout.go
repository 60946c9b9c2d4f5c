package stages

import (
	"math"

	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// Placement is where tracks, posts, motor and pad stand: boxes in the frame, mm.
type Placement struct {
	Carries bool // the driveway carries the track as it is

	TrackOffset         float64
	LeafFront, LeafBack float64 // offsets of the leaf's faces, cladding included, of all its panels together
	Panels              int     // one behind another
	wheelInset          float64 // wheel in from each end of a panel
	Pitch, Shift        float64 // from one panel's track to the next, from the first to the last
	StripWidth          float64 // under all tracks
	DriveWidth          float64 // of the strip that vehicles cross
	Guide, Plate, hole  geom.Rectangle
	Motor, Outlet       geom.Rectangle
	HasGuide, HasPlate  bool
	HasHole, HasMotor   bool
	hasOutlet, HasPad   bool
	PadFar, PadOut      float64
	Pinion, rollers     float64
	FootDepth           float64
	Front, Rear         float64 // chainages of the carriages of a leaf that hangs free
}

// StripEnds are where the run-back strip, or the steel footing in its place,
// ends and what stands there.
type StripEnds struct {
	StripEnd  float64        // chainage
	StripRule float64        // the same by the shop's rule alone
	stop      geom.Rectangle // the hard stop
}

// Layout is where everything stands.
type Layout struct {
	Placement
	StripEnds
}

// carriesTrack reports whether the driveway takes the track as it is: sound
// concrete does, and so do pavers glued to concrete.
func (in *Inputs) carriesTrack() bool {
	switch in.Surface {
	case survey.SurfaceConcrete:
		return in.concreteSound
	case survey.SurfacePavers:
		return in.paverBase == survey.PaverOnConcrete
	}
	return false
}

// Place puts guide post, motor and pad as near to the driveway edge as every
// one of their corners allows, whatever the edge's angle and shape: a box of
// offsets y1 to y2 stands clear when its near side is at the largest x_e(y)
// over [y1, y2].
func Place(in *Inputs, p *practice.Practice) Placement {
	var l Placement
	l.Carries = in.Hangs || in.carriesTrack()
	l.TrackOffset = p.TrackOffset + in.Cladding
	aside := in.Cladding // by how much everything behind the leaf stands farther back
	if in.Hangs {
		more := max(0, p.HangOffset-p.TrackOffset)
		l.TrackOffset, aside = l.TrackOffset+more, aside+more
	}
	l.LeafFront = l.TrackOffset - p.LeafThickness/2 - in.Cladding
	l.Panels = in.Panels
	l.Pitch = p.TrackPitch + in.Cladding
	l.Shift = float64(l.Panels-1) * l.Pitch
	l.LeafBack = l.TrackOffset + l.Shift + p.LeafThickness/2
	l.wheelInset = p.WheelInset
	if l.Panels > 1 { // a short panel stands on wheels nearer to its ends
		frame := (in.Width + p.OverlapLatch + p.OverlapRunBack + float64(l.Panels-1)*p.PanelOverlap) / float64(l.Panels)
		l.wheelInset = min(l.wheelInset, frame/p.ShortInset)
	}
	l.StripWidth, l.DriveWidth = p.StripWidth+l.Shift, p.DriveStripWidth+l.Shift
	l.FootDepth = p.StripDepth
	if in.Soil == survey.SoilSoft || in.Soil == survey.SoilWet {
		l.FootDepth = max(p.StripDepth, in.DepthToFirm)
	}

	l.HasGuide = in.Guide == survey.GuideCastIn || in.Guide == survey.GuideBasePlate
	l.HasMotor = in.Motor != survey.MotorNone
	l.HasPlate = in.Guide == survey.GuideBasePlate
	l.HasHole = in.Guide == survey.GuideCastIn
	l.HasPad = l.HasMotor || l.HasPlate || in.Hangs
	l.hasOutlet = in.Motor == survey.MotorPlugIn && (in.Outlet != survey.OutletGuidePost || !l.HasGuide)

	edge := in.RunBackEdge
	clear := func(y1, y2 float64) float64 { return edge.MaxOver(y1, y2) + p.EdgeGap }
	next := math.Inf(-1) // nearest chainage for what comes beside the guide post
	l.PadOut = p.PadOut + l.Shift
	if in.Hangs {
		l.placeHanging(in, p)
	}
	front := p.GuideSetback + aside + l.Shift
	if l.HasGuide {
		if l.HasPlate {
			// The post stands flush with the front of its plate, so that the
			// plate never reaches under the leaf.
			y2 := front + p.PlateSize
			x := clear(front-p.PlateMargin, y2+p.PlateMargin) + p.PlateMargin
			l.Plate = geom.RectangleOf(x, front, x+p.PlateSize, y2)
			post := x + (p.PlateSize-p.GuidePostSize)/2
			l.Guide = geom.RectangleOf(post, front, post+p.GuidePostSize, front+p.GuidePostSize)
			next = l.Plate.X2 + p.MotorGap
			l.PadOut = max(l.PadOut, y2+p.PlateMargin)
		} else {
			y2 := front + p.GuidePostSize
			x := clear(front, y2)
			l.Guide = geom.RectangleOf(x, front, x+p.GuidePostSize, y2)
			next = l.Guide.X2 + p.MotorGap
			mid := (front + y2) / 2
			l.hole = geom.RectangleOf(x, mid-p.GuideHoleSize/2, 0, mid+p.GuideHoleSize/2)
			// As long as the hole's size clear of the edge at every offset.
			l.hole.X2 = max(x, edge.MaxOver(l.hole.Y1, l.hole.Y2)) + p.GuideHoleSize
		}
		next += l.standGuide(in.Stands)
		l.rollers = (l.Guide.X1+l.Guide.X2)/2 + p.BracketOffset
	} else {
		l.rollers = in.Width + in.PostRunBack/2 + p.BracketOffset
	}
	if l.HasMotor {
		y1 := p.MotorFront + aside + l.Shift
		y2 := y1 + p.MotorWidth
		x := max(clear(y1, y2), next)
		if in.Stands != nil && in.Stands.Pinion.Known() {
			x = in.Stands.Pinion.Size - p.MotorLength/2
		}
		l.Motor = geom.RectangleOf(x, y1, x+p.MotorLength, y2)
		l.Pinion = x + p.MotorLength/2
		l.PadOut = max(l.PadOut, y2+p.PadMargin)
		if l.hasOutlet {
			ox := l.Motor.X2 + p.MotorGap
			l.Outlet = geom.RectangleOf(ox, y1, ox+p.OutletPostSize, y1+p.OutletPostSize)
		}
	}
	if l.HasPad {
		l.PadFar = edge.MaxOver(0, l.PadOut) + p.PadAlong
		if l.HasMotor {
			l.PadFar = max(l.PadFar, l.Motor.X2+p.PadMargin)
		}
		if l.hasOutlet {
			l.PadFar = max(l.PadFar, l.Outlet.X2+p.PadMargin)
		}
		if l.HasPlate {
			l.PadFar = max(l.PadFar, l.Plate.X2+p.PlateMargin)
		}
	}
	if in.Hangs {
		l.Front = max(in.Width+p.HangFront, clear(0, l.PadOut)+p.HangEdge)
	}
	return l
}

// standGuide moves the guide post, with its plate and hole, to where it stands
// already, and returns how far along.
func (l *Placement) standGuide(s *survey.Stands) (along float64) {
	if s == nil {
		return 0
	}
	out := 0.0
	if s.GuideAlong.Known() {
		along = s.GuideAlong.Size - l.Guide.X1
	}
	if s.GuideOut.Known() {
		out = s.GuideOut.Size - l.Guide.Y1
	}
	for _, r := range []*geom.Rectangle{&l.Guide, &l.Plate, &l.hole} {
		*r = geom.RectangleOf(r.X1+along, r.Y1+out, r.X2+along, r.Y2+out)
	}
	return along
}

// EndStrip finds where the run-back strip ends: as far beyond the run-back post
// as the opening is wide, with the hard stop's extra where one is fitted, or
// further where the leaf, its tail and the stop need it. A steel footing ends
// where the rear wheel, or the hard stop, needs it.
func EndStrip(in *Inputs, p *practice.Practice, l *Placement, leaf *plan.Leaf) (ends StripEnds) {
	n := float64(l.Panels)
	ends.StripRule = in.Width + (in.Width+(n-1)*p.PanelOverlap)/n
	ends.StripEnd = ends.StripRule
	stopEnd := leaf.RearOpen + p.StopAllowance
	if in.HardStop {
		ends.StripRule += p.StripStopExtra
		ends.StripEnd = max(ends.StripRule, stopEnd)
		half := p.StopPart * p.StripWidth
		mid := min(l.TrackOffset, p.StripWidth-half/2)
		ends.stop = geom.RectangleOf(leaf.RearOpen, mid-half/2, stopEnd, mid+half/2+l.Shift)
	}
	wheels := leaf.OpenAt + leaf.Frame - l.wheelInset + p.EngagementMargin
	ends.StripEnd = max(ends.StripEnd, wheels)
	if in.Hangs {
		return StripEnds{StripEnd: l.PadFar, StripRule: l.PadFar}
	}
	if in.OnSteel() {
		end := leaf.OpenAt + leaf.Frame - leaf.Panels[0].Wheels[0].At + p.EngagementMargin
		if in.HardStop {
			end = max(end, stopEnd)
		}
		ends.StripEnd, ends.StripRule = end, end
	}
	return ends
}
