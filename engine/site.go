package engine

import (
	"math"

	"pegpour/engine/geom"
	"pegpour/engine/ground"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// readSite reads the survey: its values, the taped obstructions in the frame,
// and the ground.
func readSite(r *survey.Reader, network *plan.Network) (in inputs, obstructions []plan.ObstructionBox,
	land ground.Survey) {
	in = resolve(r)
	obstructions = resolveObstructions(r, in.width)
	network.OutlineObstructions(obstructions)
	land = ground.Read(r)
	in.assumedPaths = r.AssumedPaths()
	return in, obstructions, land
}

// resolveObstructions puts the taped obstructions into the frame.
func resolveObstructions(r *survey.Reader, opening float64) []plan.ObstructionBox {
	list := r.Survey().RunBack.Obstructions
	list = list[:r.Entries(survey.RunBackObstructions, "Things in the way", len(list), survey.MaxObstructions)]
	boxes := make([]plan.ObstructionBox, 0, len(list))
	for i := range list {
		// What was started and not measured yet is not drawn.
		if !list[i].Along.Known() && !list[i].Offset.Known() {
			continue
		}
		kind := r.Choice(survey.ObstructionKind.At(i))
		r.Words(survey.ObstructionName.At(i))
		along, _ := r.Number(survey.ObstructionAlong.At(i))
		offset, _ := r.Number(survey.ObstructionOffset.At(i))
		length, _ := r.Number(survey.ObstructionLength.At(i))
		width, _ := r.Number(survey.ObstructionWidth.At(i))
		x := opening + along
		voice := plan.VoiceMeasured
		for _, column := range [...]survey.ListPath{survey.ObstructionAlong, survey.ObstructionOffset,
			survey.ObstructionLength, survey.ObstructionWidth} {
			if r.IsAssumed(column.At(i)) {
				voice = plan.VoiceAssumed
			}
		}
		boxes = append(boxes, plan.ObstructionBox{Index: i, Kind: kind, Name: list[i].Name, Voice: voice,
			Box: geom.RectangleOf(x, offset, x+length, offset+width).Ring()})
	}
	return boxes
}

// How much of the site is drawn, as the opening's width over it: far enough in to
// show the pad and a car's length of drive, and a little of the street side.
const (
	drawnInside  = 3
	drawnOutside = 8
)

// outlineSite is what stands there, as far as the drawing shows it.
func outlineSite(in *inputs, p *practice.Practice, l *placement, obstructions []plan.ObstructionBox) plan.SiteOutline {
	site := plan.SiteOutline{Surface: in.surface, CarriesTrack: l.carries, Obstructions: obstructions,
		RunBackAngle: in.angleVoice(),
		Room:         in.width + in.room, RoomKnown: in.roomKnown, Depth: in.depth, DepthKnown: in.depthKnown}
	site.PostLatch = geom.RectangleOf(-in.postLatch, -in.postDepth, 0, 0).Ring()
	site.PostRunBack = geom.RectangleOf(in.width, -in.postDepth, in.width+in.postRunBack, 0).Ring()
	inner := math.Max(l.padOut, math.Max(p.PadOut, 0)) + in.width/drawnInside
	outer := -in.postDepth - in.width/drawnOutside
	site.RunBackEdge = in.runBackEdge.Between(outer, inner)
	site.LatchEdge = in.latchEdge.Between(outer, inner)
	site.Drive = make(geom.Polygon, 0, len(site.RunBackEdge)+len(site.LatchEdge))
	site.Drive = append(site.Drive, site.RunBackEdge...)
	for i := len(site.LatchEdge) - 1; i >= 0; i-- {
		site.Drive = append(site.Drive, site.LatchEdge[i])
	}
	return site
}

// angleVoice says where the angle of the run-back edge comes from.
func (in *inputs) angleVoice() plan.Voice {
	points := 0
	for i := range in.taped {
		if in.taped[i].Edge == &survey.RunBackEdgePaths {
			points++
		}
	}
	switch {
	case points > 1:
		return plan.VoiceWorkedOut
	case in.edgeSquare:
		return "" // there is none to draw
	case in.assumedPaths[survey.DriveRunBackEdgeAngle]:
		return plan.VoiceAssumed
	}
	return plan.VoiceMeasured
}

// driveway is where the drive lies.
func (in *inputs) driveway() ground.Driveway {
	return ground.Driveway{Width: in.width, LatchEdge: in.latchEdge, RunBackEdge: in.runBackEdge}
}

// groundSiteOf is what the ground is asked about.
func groundSiteOf(in *inputs, l *layout, excavation *ground.Excavation) ground.Site {
	return ground.Site{Drive: in.driveway(), StripEnd: l.stripEnd, StripWidth: l.stripWidth, FootDepth: l.footDepth,
		PadOut: l.padOut, Pinion: l.pinion,
		MotorOnPad: l.hasMotor && l.hasPad, Excavation: excavation, Bearing: in.bearing}
}

// cavityReach is how far out and how far along the leaf, the hard stop, the motor
// and the pad reach, with room for a hand, mm.
func cavityReach(in *inputs, p *practice.Practice, l *layout, leaf *plan.Leaf) (back, end float64) {
	back = l.leafBack + p.HandRoom
	if l.hasMotor {
		back = math.Max(back, l.motor.Y2+p.HandRoom)
	}
	if l.hasPad {
		back = math.Max(back, l.padOut)
	}
	end = math.Max(l.stripEnd, leaf.RearOpen)
	if in.hardStop {
		end = math.Max(end, l.stop.X2)
	}
	return back, end
}
