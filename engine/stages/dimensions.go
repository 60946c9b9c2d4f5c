package stages

import (
	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// DimensionLines are the dimension lines of the set-out plan. Each names the
// figure or the field it shows; measured ones carry the field's path so that a
// screen can show which figure is being asked for.
func DimensionLines(in *Inputs, p *practice.Practice, l *Layout, t *DriveTreatment, rearOpen float64,
	obstructions []plan.ObstructionBox) []plan.DimensionLine {
	lines := make([]plan.DimensionLine, 0, 24+2*len(in.taped)+4*len(obstructions))
	voice := func(path string) plan.Voice {
		if in.AssumedPaths[path] {
			return plan.VoiceAssumed
		}
		return plan.VoiceMeasured
	}
	along := func(id, path string, v plan.Voice, x1, x2, y float64) {
		if x2-x1 > plan.Tolerance || path != "" {
			lines = append(lines, plan.DimensionLine{ID: id, Path: path, Voice: v, Value: x2 - x1,
				From: geom.Point{X: x1, Y: y}, To: geom.Point{X: x2, Y: y}})
		}
	}
	out := func(id, path string, v plan.Voice, x, y1, y2 float64) {
		if y2-y1 > plan.Tolerance || path != "" {
			lines = append(lines, plan.DimensionLine{ID: id, Path: path, Voice: v, Value: y2 - y1, Across: true,
				From: geom.Point{X: x, Y: y1}, To: geom.Point{X: x, Y: y2}})
		}
	}
	along(survey.OpeningWidth, survey.OpeningWidth, voice(survey.OpeningWidth), 0, in.Width, -in.PostDepth)
	if in.Hangs {
		along("hanging.front", "", plan.VoiceWorkedOut, in.Width, l.Front, l.TrackOffset)
		along("hanging.between", "", plan.VoiceWorkedOut, l.Front, l.Rear, l.TrackOffset)
	} else {
		along("strip.length", "", plan.VoiceWorkedOut, in.Width, l.StripEnd, 0)
	}
	if !in.OnSteel() && !in.Hangs {
		out("strip.width", "", plan.VoiceWorkedOut, l.StripEnd, 0, l.StripWidth)
	}
	if in.RoomKnown {
		along(survey.RunBackRoom, survey.RunBackRoom, plan.VoiceMeasured, in.Width, in.Width+in.Room, -in.PostDepth)
	} else {
		along(survey.RunBackRoom, survey.RunBackRoom, plan.VoiceAssumed, in.Width, rearOpen, -in.PostDepth)
		lines[len(lines)-1].Unknown = true
	}
	along(survey.OpeningPostRunBack, survey.OpeningPostRunBack, voice(survey.OpeningPostRunBack), in.Width,
		in.Width+in.PostRunBack, -in.PostDepth)
	if !in.Meets {
		along(survey.OpeningPostLatch, survey.OpeningPostLatch, voice(survey.OpeningPostLatch), -in.PostLatch, 0,
			-in.PostDepth)
	}
	out(survey.OpeningPostDepth, survey.OpeningPostDepth, voice(survey.OpeningPostDepth), in.Width+in.PostRunBack,
		-in.PostDepth, 0)
	if edge := in.RunBackEdge.At(0); edge > in.Width+plan.Tolerance {
		along(survey.DriveRunBackEdgeAlong, survey.DriveRunBackEdgeAlong, voice(survey.DriveRunBackEdgeAlong), in.Width,
			edge, 0)
	} else if edge < in.Width-plan.Tolerance {
		along(survey.DriveRunBackEdgeAlong, survey.DriveRunBackEdgeAlong, voice(survey.DriveRunBackEdgeAlong), edge,
			in.Width, 0)
	}
	lines = dimensionTaped(lines, in, obstructions)
	if edge := in.latchEdge.At(0); edge > plan.Tolerance {
		along(survey.DriveLatchEdgeAlong, survey.DriveLatchEdgeAlong, voice(survey.DriveLatchEdgeAlong), 0, edge, 0)
	} else if edge < -plan.Tolerance {
		along(survey.DriveLatchEdgeAlong, survey.DriveLatchEdgeAlong, voice(survey.DriveLatchEdgeAlong), edge, 0, 0)
	}
	if t.Strip {
		out("drive.stripWidth", "", plan.VoiceWorkedOut, 0, 0, l.DriveWidth)
	}
	if l.HasPad {
		along("pad.along", "", plan.VoiceWorkedOut, in.RunBackEdge.At(0), l.PadFar, l.PadOut)
		out("pad.out", "", plan.VoiceWorkedOut, l.PadFar, 0, l.PadOut)
	}
	if l.HasGuide {
		out("guide.setback", "", plan.VoiceWorkedOut, l.Guide.X1, 0, l.Guide.Y1)
		if l.Guide.X1-in.Width > plan.Tolerance {
			along("guide.at", "", plan.VoiceWorkedOut, in.Width, l.Guide.X1, l.Guide.Y2)
		} else if in.Width-l.Guide.X1 > plan.Tolerance {
			along("guide.at", "", plan.VoiceWorkedOut, l.Guide.X1, in.Width, l.Guide.Y2)
		}
	}
	if l.HasMotor && l.Motor.X1-in.Width > plan.Tolerance {
		along("motor.at", "", plan.VoiceWorkedOut, in.Width, l.Motor.X1, l.Motor.Y2)
	}
	for i := range lines {
		switch lines[i].ID {
		case survey.OpeningPostRunBack, survey.OpeningPostLatch, survey.OpeningPostDepth:
			lines[i].OnlyAsked = true
		case "pad.along", "pad.out", "guide.setback", "guide.at", "motor.at", survey.DriveRunBackEdgeAlong, "strip.width":
			lines[i].Detail = true
		}
	}
	depth := in.Depth
	if !in.DepthKnown {
		depth = l.PadOut
	}
	out(survey.RunBackDepth, survey.RunBackDepth, voice(survey.RunBackDepth), l.PadFar+p.PadAlong, 0, depth)
	last := &lines[len(lines)-1]
	last.Unknown, last.Detail = !in.DepthKnown, true
	return lines
}

// dimensionTaped adds how each taped point of an edge was measured, and each
// obstruction's place.
func dimensionTaped(lines []plan.DimensionLine, in *Inputs, obstructions []plan.ObstructionBox) []plan.DimensionLine {
	for i := range in.taped {
		t := &in.taped[i]
		along, offset := string(t.Edge.PointAlong.At(t.Index)), string(t.Edge.PointOffset.At(t.Index))
		lines = append(lines,
			plan.DimensionLine{ID: along, Path: along, Voice: plan.VoiceMeasured, Value: t.X - t.Base, OnlyAsked: true,
				From: geom.Point{X: min(t.Base, t.X), Y: t.Y}, To: geom.Point{X: max(t.Base, t.X), Y: t.Y}},
			plan.DimensionLine{ID: offset, Path: offset, Voice: plan.VoiceMeasured, Value: t.Y, Across: true, OnlyAsked: true,
				From: geom.Point{X: t.X, Y: min(0, t.Y)}, To: geom.Point{X: t.X, Y: max(0, t.Y)}})
	}
	for i := range obstructions {
		ob := &obstructions[i]
		low, high := ob.Box.Bounds()
		line := func(field survey.ListPath, a, b geom.Point, value float64, across bool) {
			path := string(field.At(ob.Index))
			voice := plan.VoiceMeasured
			switch {
			case ob.Voice == plan.VoiceWorkedOut:
				voice = plan.VoiceWorkedOut
			case in.AssumedPaths[path]:
				voice = plan.VoiceAssumed
			}
			lines = append(lines, plan.DimensionLine{ID: path, Path: path, Voice: voice, Value: value, From: a,
				To: b, Across: across, OnlyAsked: true})
		}
		line(survey.ObstructionAlong, geom.Point{X: min(in.Width, low.X), Y: low.Y},
			geom.Point{X: max(in.Width, low.X), Y: low.Y}, low.X-in.Width, false)
		line(survey.ObstructionOffset, geom.Point{X: low.X, Y: min(0, low.Y)},
			geom.Point{X: low.X, Y: max(0, low.Y)}, low.Y, true)
		line(survey.ObstructionLength, low, geom.Point{X: high.X, Y: low.Y}, high.X-low.X, false)
		line(survey.ObstructionWidth, geom.Point{X: high.X, Y: low.Y}, high, high.Y-low.Y, true)
	}
	return lines
}
