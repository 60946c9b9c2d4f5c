package stages

import (
	"pegpour/engine/geom"
	"pegpour/engine/ground"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// ReadSite reads the survey: its values, the taped obstructions in the frame,
// and the ground.
func ReadSite(r *survey.Reader, network *plan.Network) (in Inputs, obstructions []plan.ObstructionBox,
	land ground.Survey) {
	in = Resolve(r)
	obstructions = resolveObstructions(r, in.Width)
	network.OutlineObstructions(obstructions)
	land = ground.Read(r)
	in.AssumedPaths = r.AssumedPaths()
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

// OutlineSite is what stands there, as far as the drawing shows it.
func OutlineSite(in *Inputs, p *practice.Practice, l *Placement, obstructions []plan.ObstructionBox) plan.SiteOutline {
	site := plan.SiteOutline{Surface: in.Surface, CarriesTrack: l.Carries, Obstructions: obstructions,
		RunBackAngle: in.angleVoice(),
		Room:         in.Width + in.Room, RoomKnown: in.RoomKnown, Depth: in.Depth, DepthKnown: in.DepthKnown}
	if !in.Meets {
		site.PostLatch = geom.RectangleOf(-in.PostLatch, -in.PostDepth, 0, 0).Ring()
	}
	site.PostRunBack = geom.RectangleOf(in.Width, -in.PostDepth, in.Width+in.PostRunBack, 0).Ring()
	inner := max(l.PadOut, max(p.PadOut, 0)) + in.Width/drawnInside
	outer := -in.PostDepth - in.Width/drawnOutside
	site.RunBackEdge = in.RunBackEdge.Between(outer, inner)
	site.LatchEdge = in.latchEdge.Between(outer, inner)
	site.Drive = make(geom.Polygon, 0, len(site.RunBackEdge)+len(site.LatchEdge))
	site.Drive = append(site.Drive, site.RunBackEdge...)
	for i := len(site.LatchEdge) - 1; i >= 0; i-- {
		site.Drive = append(site.Drive, site.LatchEdge[i])
	}
	return site
}

// angleVoice says where the angle of the run-back edge comes from.
func (in *Inputs) angleVoice() plan.Voice {
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
	case in.AssumedPaths[survey.DriveRunBackEdgeAngle]:
		return plan.VoiceAssumed
	}
	return plan.VoiceMeasured
}

// Driveway is where the drive lies.
func (in *Inputs) Driveway() ground.Driveway {
	return ground.Driveway{Width: in.Width, LatchEdge: in.latchEdge, RunBackEdge: in.RunBackEdge}
}

// GroundSiteOf is what the ground is asked about.
func GroundSiteOf(in *Inputs, l *Layout, excavation *ground.Excavation) ground.Site {
	return ground.Site{Drive: in.Driveway(), StripEnd: l.StripEnd, StripWidth: l.StripWidth, FootDepth: l.FootDepth,
		PadOut: l.PadOut, Pinion: l.Pinion, Block: in.Hangs,
		MotorOnPad: l.HasMotor && l.HasPad && !in.Hangs, Excavation: excavation, Bearing: in.Bearing}
}

// CavityReach is how far out and how far along the leaf, the hard stop, the motor
// and the pad reach, with room for a hand, mm.
func CavityReach(in *Inputs, p *practice.Practice, l *Layout, leaf *plan.Leaf) (back, end float64) {
	back = l.LeafBack + p.HandRoom
	if l.HasMotor {
		back = max(back, l.Motor.Y2+p.HandRoom)
	}
	if l.HasPad {
		back = max(back, l.PadOut)
	}
	end = max(l.StripEnd, leaf.RearOpen)
	if in.HardStop {
		end = max(end, l.stop.X2)
	}
	return back, end
}
