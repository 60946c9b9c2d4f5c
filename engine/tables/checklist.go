package tables

import (
	"math"
	"strconv"

	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/text"
)

// ChecklistStage is one part of the pour day.
type ChecklistStage struct {
	// ID is "before", "during" or "after".
	ID    string
	Name  string
	Items []ChecklistItem
}

// ChecklistItem is one thing to look after and tick.
type ChecklistItem struct {
	// ID names the item for good, so that a tick stays with it.
	ID    string
	Words text.Text
	// Photo says that it disappears under the concrete: a photo of it is wanted first.
	Photo bool
}

// Tick is the name under which a document keeps the tick of an item.
func (i ChecklistItem) Tick() string { return "pour." + i.ID }

// PourChecklist lists what to look after before, during and after the pour: only
// what this plan has. The figures in it are the plan's own; the waiting times
// are common practice, no published source, and the maker of the mix may say
// more.
func PourChecklist(p *plan.Plan, practice *practice.Practice) []ChecklistStage {
	before := ChecklistStage{ID: "before", Name: "Before the concrete"}
	during := ChecklistStage{ID: "during", Name: "While pouring"}
	after := ChecklistStage{ID: "after", Name: "After the pour"}
	q := &p.Quantities
	hole, hasMotor := p.Deepest(plan.PartPostHole), p.Has(plan.PartMotor)
	drive := p.Deepest(plan.PartDriveStrip)
	says := checklistSays(p.HangsFree())

	before.add("services", text.Say("Buried services located and marked; dug by hand near them."))
	before.add("diagonals", text.Say("Pegs stand: both tapes to each peg and the {0} diagonals agree.",
		text.Number(float64(len(p.Diagonals)))))
	for _, side := range p.Sides() {
		own := ChecklistStage{}
		own.digs(side.Plan)
		if hole := side.Deepest(plan.PartPostHole); hole != nil {
			low, high, _ := side.Extent(plan.PartPostHole)
			own.buries("hole", text.Say(
				"Post hole {0} deep and {1} out from the fence line, bottom clean, covered until the pour.", text.MM(hole.Deep()),
				text.MM(high.Y-low.Y)))
		}
		before.addSide(&side, own)
	}
	if foot, ok := p.Part(plan.PartMeetingFooting, 1); ok {
		before.buries("meetingFooting", text.Say("Footing of the stop in the drive dug {0} deep, the stop's legs held upright in it.",
			text.MM(foot.Depth)))
	}
	if drive != nil {
		before.add("driveStrip",
			text.Say("Drive strip dug {0} deep below the finished surface, sides straight.", text.MM(drive.Depth)))
	}
	if q.SawCut > 0 {
		before.add("sawCut", text.Say("{0} of edge sawn, wet, with a fitted mask on.", text.MM(q.SawCut)))
	}
	if q.PaversLifted > 0 {
		before.add("pavers", text.Say("{0} of pavers lifted; those to go back cleaned and stacked out of the way.",
			text.SquareMM(q.PaversLifted)))
	}
	for i := range p.Conduits {
		before.buries("conduit."+strconv.Itoa(i+1),
			text.Say("Conduit in for {0}: {1} long, bends swept, ends taped over and held upright.",
				text.Word(p.Conduits[i].For), text.MM(p.Conduits[i].Length)))
	}
	if q.Mesh > 0 {
		before.buries("mesh", text.Say("Trench mesh in on chairs: {0} of concrete under and beside it, laps {1}.",
			text.MM(practice.MeshCover), text.MM(practice.MeshLap)))
	}
	before.add("levels", text.Say(says.levels))
	if q.ReadyMix {
		before.add("supply", text.Say("Ready-mix for {0} confirmed, with a way in for the truck and a barrow run.",
			text.CubicMM(q.Order)))
	} else {
		before.add("supply", text.Say("On site for {1}: bags {0}, mixer and water ready; batches {2}.",
			text.Number(float64(q.Bags)), text.CubicMM(q.Order), text.Number(float64(q.Batches))))
	}
	if q.Tinted > 0 {
		before.add("tint", text.Say("Tint for {0} in one lot; a sample dried beside the drive.", text.CubicMM(q.Tinted)))
	}
	before.add("gear", text.Say("Gloves, boots, glasses and clean water at hand; covers against sun and rain."))

	if hole != nil {
		during.add("holeFirst", text.Say(says.hole))
	}
	for _, side := range p.Sides() {
		guide, hasGuide := side.Part(plan.PartGuidePost, 1)
		if hasGuide && !side.Has(plan.PartBasePlate) {
			low, _ := guide.Ring.Bounds()
			own := ChecklistStage{}
			own.add("plumb", text.Say(
				"Guide post plumb both ways and {0} back from the fence line, braced until the concrete holds it.", text.MM(low.Y)))
			during.addSide(&side, own)
		}
	}
	during.add("rodded", text.Say("Concrete rodded or vibrated along forms and around conduits: no hollows."))
	if drive != nil && drive.Crown > 0 {
		during.add("crown", text.Say("Drive strip struck off with a crown of {0} in the middle.", text.MM(drive.Crown)))
	}
	if drive != nil && drive.Top > 0 {
		during.add("top", text.Say("Top of the drive strip kept {0} below the finished surface, for the pavers.",
			text.MM(drive.Top)))
	}
	during.add("track", text.Say(says.top))
	if hasMotor {
		during.add("pad", text.Say("Pad floated level for the motor; conduits where the motor wants them."))
	}
	during.add("bystanders", text.Say("Nobody else, and no child or animal, near the open trench and the wet concrete."))

	after.add("cover", text.Say("Covered and kept damp for three days at the least; a barrier where people pass."))
	if drive != nil {
		after.add("traffic", text.Say("No vehicle over the drive strip for seven days."))
	}
	after.add("anchors", text.Say(
		"Anchors drilled only when the concrete is hard: a week, or as the anchor's maker says."))
	for _, side := range p.Sides() {
		after.addSide(&side, runOf(&side))
	}
	if hasMotor {
		after.add("electrician",
			text.Say("Mains connected by a licensed electrician; force limits, beams and edges tested before handing over."))
	}
	after.add("clean", text.Counted(q.Loads, "Wash-out kept out of drains; spoil carted: one load.",
		"Wash-out kept out of drains; spoil carted: {0} loads."))
	return []ChecklistStage{before, during, after}
}

// checklistWords are those that differ for a leaf that hangs free.
type checklistWords struct{ levels, hole, top, stop, dug string }

func checklistSays(hangs bool) checklistWords {
	if hangs {
		return checklistWords{
			"Level of the block's top pegged from the highest place of the drive under the leaf; forms checked against it.",
			"Post hole poured first, rodded in layers, then the block in one go.",
			"Top of the block level and true where the carriages stand; their places marked on it while it is green.",
			"Stops sit in the beam at both ends before the leaf is run onto its carriages.",
			"Dug {0} deep under the block, down to firm and dry ground, loose soil out."}
	}
	return checklistWords{
		"String set along the track line; forms and levels checked against it from end to end.",
		"Post hole poured first, rodded in layers, then the pad and the strip in one go.",
		"Top true under the track: a straight edge finds no hump or hollow, string checked again.",
		"Something that stops the leaf at both ends is fitted before the leaf is put on the track.",
		"Dug {0} deep under the pad, down to firm and dry ground, loose soil out."}
}

// runOf is what is looked after before and as a leaf is first run.
func runOf(side *plan.Side) (own ChecklistStage) {
	stop, hasStop := side.Part(plan.PartHardStop, 1)
	low, _ := stop.Ring.Bounds()
	switch {
	case hasStop && side.Name == "":
		own.add("hardStop", text.Say(
			"Hard stop bolted down at {0} from the latch post before the leaf is put on the track.", text.MM(low.X)))
	case hasStop:
		own.add("hardStop", text.Say(
			"Hard stop bolted down at {0} from the gate post before the leaf is put on the track.", text.MM(low.X-side.Opening)))
	default:
		own.add("hardStop", text.Say(checklistSays(side.HangsFree()).stop))
	}
	own.add("byHand", text.Say("Leaf run by hand over its whole {0}, from stop to stop, with nobody in its path.",
		text.MM(side.Leaf.Travel)))
	return own
}

// addSide adds what is looked after on one side, with the side in words of the place.
func (s *ChecklistStage) addSide(side *plan.Side, own ChecklistStage) {
	for _, item := range own.Items {
		if item.Words = side.Said(item.Words); side.Latch {
			item.ID = "other." + item.ID
		}
		s.Items = append(s.Items, item)
	}
}

// digs says how deep to dig under the strips and under the pad: as deep as the
// strips unless the pad's own level, or the lack of a strip, asks for more.
func (s *ChecklistStage) digs(p *plan.Plan) {
	pad, strip := p.Deepest(plan.PartPad), p.Strip()
	under := 0.0 // how deep the dig for the pad is
	if pad != nil {
		under = pad.Depth
		if p.Footing != nil {
			under -= p.Footing.PadDrop
		}
	}
	switch {
	case pad == nil && strip == nil:
	case pad == nil:
		s.add("depth", text.Say("Dug {0} deep under the strip, down to firm and dry ground, loose soil out.",
			text.MM(strip.Depth)))
	case strip == nil:
		s.add("depth", text.Say(checklistSays(p.HangsFree()).dug, text.MM(under)))
	case math.Abs(strip.Depth-under) < plan.Tolerance:
		s.add("depth", text.Say("Dug {0} deep under strip and pad, down to firm and dry ground, loose soil out.",
			text.MM(strip.Depth)))
	default:
		s.add("depth", text.Say("Dug {0} deep under the strip and {1} under the pad, down to firm and dry ground, loose soil out.",
			text.MM(strip.Depth), text.MM(under)))
	}
}

// buries adds an item that disappears under the concrete.
func (s *ChecklistStage) buries(id string, words text.Text) {
	s.add(id, words)
	s.Items[len(s.Items)-1].Photo = true
}

// Open is the stage that is to be looked at now, by its place: the first in which
// anything is not ticked; the last where all is.
func Open(stages []ChecklistStage, ticks map[string]bool) int {
	for i := range stages {
		if stages[i].Unticked(ticks) > 0 {
			return i
		}
	}
	return len(stages) - 1
}

// Unticked counts the items that are not ticked.
func (s *ChecklistStage) Unticked(ticks map[string]bool) (n int) {
	for i := range s.Items {
		if !ticks[s.Items[i].Tick()] {
			n++
		}
	}
	return n
}

// Missing are the sentences of what is missing in a stage: what is not ticked, and what
// is to be buried and was photographed in none of the pictures of those ticks.
func (s *ChecklistStage) Missing(ticks, pictured map[string]bool) (missing []text.Text) {
	for i := range s.Items {
		switch item := &s.Items[i]; {
		case !ticks[item.Tick()]:
			missing = append(missing, item.Words)
		case item.Photo && !pictured[item.Tick()]:
			missing = append(missing, text.Say("Photo before it is buried: {0}", text.List(item.Words)))
		}
	}
	return missing
}

func (s *ChecklistStage) add(id string, words text.Text) {
	s.Items = append(s.Items, ChecklistItem{ID: id, Words: words})
}
