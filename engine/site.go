package engine

import (
	"math"

	"pegpour/engine/geom"
	"pegpour/engine/soil"
)

// readSite reads the survey: its values, the taped obstructions in the frame,
// and the ground.
func readSite(r *Reader, network *NetworkPlan) (in inputs, obstructions []ObstructionBox, ground groundSurvey) {
	in = resolve(r)
	obstructions = resolveObstructions(r, in.width)
	network.outline(obstructions)
	ground = readGround(r)
	in.assumedPaths = r.AssumedPaths()
	return in, obstructions, ground
}

// resolveObstructions puts the taped obstructions into the frame.
func resolveObstructions(r *Reader, opening float64) []ObstructionBox {
	list := r.Survey().RunBack.Obstructions
	list = list[:r.Entries(RunBackObstructions, "Things in the way", len(list), MaxObstructions)]
	boxes := make([]ObstructionBox, 0, len(list))
	for i := range list {
		// What was started and not measured yet is not drawn.
		if !list[i].Along.Known() && !list[i].Offset.Known() {
			continue
		}
		kind := r.Choice(ObstructionKind.At(i))
		r.Words(ObstructionName.At(i))
		along, _ := r.Number(ObstructionAlong.At(i))
		offset, _ := r.Number(ObstructionOffset.At(i))
		length, _ := r.Number(ObstructionLength.At(i))
		width, _ := r.Number(ObstructionWidth.At(i))
		x := opening + along
		boxes = append(boxes, ObstructionBox{Index: i, Kind: kind, Name: list[i].Name, Box: box{x, offset, x + length, offset + width}.ring()})
	}
	return boxes
}

// outlineSite is what stands there, as far as the drawing shows it.
func outlineSite(in *inputs, p *Practice, l *placement, obstructions []ObstructionBox) SiteOutline {
	site := SiteOutline{Surface: in.surface, CarriesTrack: l.carries, Obstructions: obstructions,
		Room: in.width + in.room, RoomKnown: in.roomKnown, Depth: in.depth, DepthKnown: in.depthKnown}
	site.PostLatch = box{-in.postLatch, -in.postDepth, 0, 0}.ring()
	site.PostRunBack = box{in.width, -in.postDepth, in.width + in.postRunBack, 0}.ring()
	// Far enough in to show the pad and a car's length of drive, and a little
	// of the street side.
	inner := math.Max(l.padOut, math.Max(p.PadOut, 0)) + in.width/3
	outer := -in.postDepth - in.width/8
	site.RunBackEdge = in.runBackEdge.Between(outer, inner)
	site.LatchEdge = in.latchEdge.Between(outer, inner)
	site.Drive = make(geom.Polygon, 0, len(site.RunBackEdge)+len(site.LatchEdge))
	site.Drive = append(site.Drive, site.RunBackEdge...)
	for i := len(site.LatchEdge) - 1; i >= 0; i-- {
		site.Drive = append(site.Drive, site.LatchEdge[i])
	}
	return site
}

// driveway is where the drive lies.
func (in *inputs) driveway() driveway { return driveway{in.width, in.latchEdge, in.runBackEdge} }

// groundSiteOf is what the ground is asked about.
func groundSiteOf(in *inputs, l *layout, slot *slot) groundSite {
	return groundSite{drive: in.driveway(), stripEnd: l.stripEnd, stripWidth: l.stripWidth, footDepth: l.footDepth, padOut: l.padOut, pinion: l.pinion,
		motorOnPad: l.hasMotor && l.hasPad, slot: slot, class: soilClass(in), soft: in.softDepth()}
}

// softDepth is how deep soft or wet ground lies over the firm, mm.
func (in *inputs) softDepth() float64 {
	if in.soil == SoilSoft || in.soil == SoilWet {
		return in.depthToFirm
	}
	return 0
}

// soilClass is the class of ground that stands for what a spade finds. Ground
// that was not looked at counts as fill of which nothing is known.
func soilClass(in *inputs) soil.Class {
	key := "clay"
	switch {
	case in.soilClass != "":
		key = in.soilClass
	case !in.soilKnown:
		key = "fill"
	case in.soil == SoilSoft || in.soil == SoilWet:
		key = "soft"
	case in.soil == SoilRock:
		key = "soft-rock"
	}
	c, _ := soil.ClassOf(key)
	return c
}

// slotReach is how far out and how far along the leaf, the hard stop, the motor
// and the pad reach, with room for a hand, mm.
func slotReach(in *inputs, p *Practice, l *layout, leaf *LeafPlan) (back, end float64) {
	back = l.leafBack + p.HandRoom
	if l.hasMotor {
		back = math.Max(back, l.motor.y2+p.HandRoom)
	}
	if l.hasPad {
		back = math.Max(back, l.padOut)
	}
	end = math.Max(l.stripEnd, leaf.RearOpen)
	if in.hardStop {
		end = math.Max(end, l.stop.x2)
	}
	return back, end
}
