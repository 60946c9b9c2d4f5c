package engine

import (
	"math"

	"pegpour/engine/geom"
)

// dimensionLines are the dimension lines of the set-out plan. Each names the
// figure or the field it shows; measured ones carry the field's path so that a
// screen can show which figure is being asked for.
func dimensionLines(in *inputs, p *Practice, l *layout, t *driveTreatment, rearOpen float64, obstructions []ObstructionBox) []DimensionLine {
	lines := make([]DimensionLine, 0, 24+2*len(in.taped)+4*len(obstructions))
	voice := func(path string) Voice {
		if in.assumedPaths[path] {
			return VoiceAssumed
		}
		return VoiceMeasured
	}
	along := func(id, path string, v Voice, x1, x2, y float64) {
		if x2-x1 > tolerance || path != "" {
			lines = append(lines, DimensionLine{ID: id, Path: path, Voice: v, Value: x2 - x1,
				From: geom.Point{X: x1, Y: y}, To: geom.Point{X: x2, Y: y}})
		}
	}
	out := func(id, path string, v Voice, x, y1, y2 float64) {
		if y2-y1 > tolerance || path != "" {
			lines = append(lines, DimensionLine{ID: id, Path: path, Voice: v, Value: y2 - y1, Across: true,
				From: geom.Point{X: x, Y: y1}, To: geom.Point{X: x, Y: y2}})
		}
	}
	along(OpeningWidth, OpeningWidth, voice(OpeningWidth), 0, in.width, -in.postDepth)
	along("strip.length", "", VoiceWorkedOut, in.width, l.stripEnd, 0)
	if !in.onSteel() {
		out("strip.width", "", VoiceWorkedOut, l.stripEnd, 0, l.stripWidth)
	}
	if in.roomKnown {
		along(RunBackRoom, RunBackRoom, VoiceMeasured, in.width, in.width+in.room, -in.postDepth)
	} else {
		along(RunBackRoom, RunBackRoom, VoiceAssumed, in.width, rearOpen, -in.postDepth)
		lines[len(lines)-1].Unknown = true
	}
	along(OpeningPostRunBack, OpeningPostRunBack, voice(OpeningPostRunBack), in.width, in.width+in.postRunBack, -in.postDepth)
	along(OpeningPostLatch, OpeningPostLatch, voice(OpeningPostLatch), -in.postLatch, 0, -in.postDepth)
	out(OpeningPostDepth, OpeningPostDepth, voice(OpeningPostDepth), in.width+in.postRunBack, -in.postDepth, 0)
	if edge := in.runBackEdge.At(0); edge > in.width+tolerance {
		along(DriveRunBackEdgeAlong, DriveRunBackEdgeAlong, voice(DriveRunBackEdgeAlong), in.width, edge, 0)
	} else if edge < in.width-tolerance {
		along(DriveRunBackEdgeAlong, DriveRunBackEdgeAlong, voice(DriveRunBackEdgeAlong), edge, in.width, 0)
	}
	lines = dimensionTaped(lines, in, obstructions)
	if edge := in.latchEdge.At(0); edge > tolerance {
		along(DriveLatchEdgeAlong, DriveLatchEdgeAlong, voice(DriveLatchEdgeAlong), 0, edge, 0)
	} else if edge < -tolerance {
		along(DriveLatchEdgeAlong, DriveLatchEdgeAlong, voice(DriveLatchEdgeAlong), edge, 0, 0)
	}
	if t.strip {
		out("drive.stripWidth", "", VoiceWorkedOut, 0, 0, l.driveWidth)
	}
	if l.hasPad {
		along("pad.along", "", VoiceWorkedOut, in.runBackEdge.At(0), l.padFar, l.padOut)
		out("pad.out", "", VoiceWorkedOut, l.padFar, 0, l.padOut)
	}
	if l.hasGuide {
		out("guide.setback", "", VoiceWorkedOut, l.guide.x1, 0, l.guide.y1)
		if l.guide.x1-in.width > tolerance {
			along("guide.at", "", VoiceWorkedOut, in.width, l.guide.x1, l.guide.y2)
		} else if in.width-l.guide.x1 > tolerance {
			along("guide.at", "", VoiceWorkedOut, l.guide.x1, in.width, l.guide.y2)
		}
	}
	if l.hasMotor && l.motor.x1-in.width > tolerance {
		along("motor.at", "", VoiceWorkedOut, in.width, l.motor.x1, l.motor.y2)
	}
	for i := range lines {
		switch lines[i].ID {
		case OpeningPostRunBack, OpeningPostLatch, OpeningPostDepth:
			lines[i].OnlyAsked = true
		case "pad.along", "pad.out", "guide.setback", "guide.at", "motor.at", DriveRunBackEdgeAlong, "strip.width":
			lines[i].Detail = true
		}
	}
	depth := in.depth
	if !in.depthKnown {
		depth = l.padOut
	}
	out(RunBackDepth, RunBackDepth, voice(RunBackDepth), l.padFar+p.PadAlong, 0, depth)
	last := &lines[len(lines)-1]
	last.Unknown, last.Detail = !in.depthKnown, true
	return lines
}

// dimensionTaped adds how each taped point of an edge was measured, and each
// obstruction's place.
func dimensionTaped(lines []DimensionLine, in *inputs, obstructions []ObstructionBox) []DimensionLine {
	for i := range in.taped {
		t := &in.taped[i]
		along, offset := string(t.edge.PointAlong.At(t.index)), string(t.edge.PointOffset.At(t.index))
		lines = append(lines,
			DimensionLine{ID: along, Path: along, Voice: VoiceMeasured, Value: t.X - t.base, OnlyAsked: true,
				From: geom.Point{X: math.Min(t.base, t.X), Y: t.Y}, To: geom.Point{X: math.Max(t.base, t.X), Y: t.Y}},
			DimensionLine{ID: offset, Path: offset, Voice: VoiceMeasured, Value: t.Y, Across: true, OnlyAsked: true,
				From: geom.Point{X: t.X, Y: math.Min(0, t.Y)}, To: geom.Point{X: t.X, Y: math.Max(0, t.Y)}})
	}
	for i := range obstructions {
		ob := &obstructions[i]
		low, high := ob.Box.Bounds()
		line := func(field ListPath, a, b geom.Point, value float64, across bool) {
			path := string(field.At(ob.Index))
			lines = append(lines, DimensionLine{ID: path, Path: path, Voice: VoiceMeasured, Value: value, From: a, To: b, Across: across, OnlyAsked: true})
		}
		line(ObstructionAlong, geom.Point{X: math.Min(in.width, low.X), Y: low.Y}, geom.Point{X: math.Max(in.width, low.X), Y: low.Y}, low.X-in.width, false)
		line(ObstructionOffset, geom.Point{X: low.X, Y: math.Min(0, low.Y)}, geom.Point{X: low.X, Y: math.Max(0, low.Y)}, low.Y, true)
		line(ObstructionLength, low, geom.Point{X: high.X, Y: low.Y}, high.X-low.X, false)
		line(ObstructionWidth, geom.Point{X: high.X, Y: low.Y}, high, high.Y-low.Y, true)
	}
	return lines
}
