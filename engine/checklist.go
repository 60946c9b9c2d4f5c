package engine

import "strconv"

// ChecklistStage is one part of the pour day.
type ChecklistStage struct {
	// ID is "before", "during" or "after".
	ID    string
	Name  string
	Items []ChecklistItem
}

// ChecklistItem is one thing to see to and tick.
type ChecklistItem struct {
	// ID names the item for good, so that a tick stays with it.
	ID    string
	Words Text
}

// Tick is the name under which a document keeps the tick of an item.
func (i ChecklistItem) Tick() string { return "pour." + i.ID }

// PourChecklist lists what to see to before, during and after the pour: only
// what this plan has. The figures in it are the plan's own; the waiting times
// are common practice, no published source, and the maker of the mix may say
// more.
func PourChecklist(p *Plan, practice *Practice) []ChecklistStage {
	before := ChecklistStage{ID: "before", Name: "Before the concrete"}
	during := ChecklistStage{ID: "during", Name: "While pouring"}
	after := ChecklistStage{ID: "after", Name: "After the pour"}
	q := &p.Quantities
	hole, hasHole := p.Part(PartPostHole, 1)
	_, hasMotor := p.Part(PartMotor, 1)
	stop, hasStop := p.Part(PartHardStop, 1)
	guide, hasGuide := p.Part(PartGuidePost, 1)
	_, plated := p.Part(PartBasePlate, 1)
	drive, hasDrive := p.Part(PartDriveStrip, 1)
	if !hasDrive {
		drive, hasDrive = p.Piece(PartDriveStrip, 1, 1)
	}

	before.add("services", say("Buried services located and marked; dug by hand near them."))
	before.add("diagonals", say("Pegs stand: both tapes to each peg and the {0} diagonals agree.", number(float64(len(p.Diagonals)))))
	if f, ok := p.Figure(FigureFootDepth); ok {
		before.add("depth", say("Dug {0} deep under strip and pad, down to firm and dry ground, loose soil out.", mm(f.Value)))
	}
	if hasHole {
		low, high := hole.Ring.Bounds()
		before.add("hole", say("Post hole {0} deep and {1} out from the fence line, bottom clean, covered until the pour.", mm(hole.Depth), mm(high.Y-low.Y)))
	}
	if hasDrive {
		before.add("driveStrip", say("Drive strip dug {0} deep below the finished surface, sides straight.", mm(drive.Depth)))
	}
	if q.SawCut > 0 {
		before.add("sawCut", say("{0} of edge sawn, wet, with a fitted mask on.", mm(q.SawCut)))
	}
	if q.PaversLifted > 0 {
		before.add("pavers", say("{0} of pavers lifted; those to go back cleaned and stacked out of the way.", mm2(q.PaversLifted)))
	}
	for i := range p.Conduits {
		before.add("conduit."+strconv.Itoa(i+1), say("Conduit in for {0}: {1} long, bends swept, ends taped over and held upright.", wordArg(p.Conduits[i].For), mm(p.Conduits[i].Length)))
	}
	if q.Mesh > 0 {
		before.add("mesh", say("Trench mesh in on chairs: {0} of concrete under and beside it, laps {1}.", mm(practice.MeshCover), mm(practice.MeshLap)))
	}
	before.add("levels", say("String set along the track line; forms and levels checked against it from end to end."))
	if q.ReadyMix {
		before.add("supply", say("Ready-mix for {0} confirmed, with a way in for the truck and a barrow run.", mm3(q.Order)))
	} else {
		before.add("supply", say("{0} bags for {1} on site, mixer and water ready for {2} batches.", number(float64(q.Bags)), mm3(q.Order), number(float64(q.Batches))))
	}
	if q.Tinted > 0 {
		before.add("tint", say("Tint for {0} in one lot; a sample dried beside the drive.", mm3(q.Tinted)))
	}
	before.add("gear", say("Gloves, boots, glasses and clean water at hand; covers against sun and rain."))

	if hasHole {
		during.add("holeFirst", say("Post hole poured first, rodded in layers, then the pad and the strip in one go."))
	}
	if hasGuide && !plated {
		low, _ := guide.Ring.Bounds()
		during.add("plumb", say("Guide post plumb both ways and {0} back from the fence line, braced until the concrete holds it.", mm(low.Y)))
	}
	during.add("rodded", say("Concrete rodded or vibrated along forms and around conduits: no hollows."))
	if hasDrive && drive.Crown > 0 {
		during.add("crown", say("Drive strip struck off with a crown of {0} in the middle.", mm(drive.Crown)))
	}
	if hasDrive && drive.Top > 0 {
		during.add("top", say("Top of the drive strip kept {0} below the finished surface, for the pavers.", mm(drive.Top)))
	}
	during.add("track", say("Top true under the track: a straight edge finds no hump or hollow, string checked again."))
	if hasMotor {
		during.add("pad", say("Pad floated level for the motor; conduits where the motor wants them."))
	}
	during.add("bystanders", say("Nobody else, and no child or animal, near the open trench and the wet concrete."))

	after.add("cover", say("Covered and kept damp for three days at the least; a barrier where people pass."))
	if hasDrive {
		after.add("traffic", say("No vehicle over the drive strip for seven days."))
	}
	after.add("anchors", say("Anchors drilled only when the concrete is hard: a week, or as the anchor's maker says."))
	if hasStop {
		low, _ := stop.Ring.Bounds()
		after.add("hardStop", say("Hard stop bolted down at {0} from the latch post before the leaf is put on the track.", mm(low.X)))
	} else {
		after.add("hardStop", say("Something that stops the leaf at both ends is fitted before the leaf is put on the track."))
	}
	after.add("byHand", say("Leaf run by hand over its whole {0}, from stop to stop, with nobody in its path.", mm(p.Leaf.Travel)))
	if hasMotor {
		after.add("electrician", say("Mains connected by a licensed electrician; force limits, beams and edges tested before handing over."))
	}
	after.add("clean", say("Wash-out kept out of drains; spoil carted: {0} loads.", number(float64(q.Loads))))
	return []ChecklistStage{before, during, after}
}

func (s *ChecklistStage) add(id string, words Text) {
	s.Items = append(s.Items, ChecklistItem{ID: id, Words: words})
}
