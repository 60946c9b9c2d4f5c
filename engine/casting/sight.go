package casting

import (
	"math"

	"pegpour/engine/levels"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// Sight is a set-up as it was read.
type Sight struct {
	// Plane is the level of the sight or the string above the plan's datum, mm.
	Plane float64
	// Drive is set where no level of the fixed point was given: it is a point of the
	// finished drive, and its level is the plan's.
	Drive bool
	// Closed says that the fixed point was read again; Apart is the closing reading less
	// the first, Allowed how far that may be, mm.
	Closed         bool
	Apart, Allowed float64
	// Problem is why nothing is judged by it; empty where it holds.
	Problem text.Text
	// Open says what is still to do; empty where nothing is.
	Open text.Text
}

// Holds reports whether levels can be told by it.
func (s *Sight) Holds() bool { return s.Problem.Empty() }

// setUpPaths are where a set-up stands in the survey.
type setUpPaths struct{ level, along, open, shut survey.Path }

// sightOf reads a set-up.
func sightOf(r *survey.Reader, at setUpPaths, made *plan.Plan) (s Sight) {
	open, _, taken := r.Reading(at.open)
	if !taken {
		s.Problem = text.Say("Cannot be judged yet: read the fixed point first.")
		return s
	}
	level, _, given := r.Reading(at.level)
	if along, _, _ := r.Reading(at.along); !given {
		s.Drive, level.Size = true, trackLevel(made, along.Size)
	}
	s.Plane = level.Size + open.Size
	shut, _, closed := r.Reading(at.shut)
	if !closed {
		s.Open = text.Say("Not closed yet: read the fixed point once more at the end.")
		return s
	}
	s.Closed, s.Apart = true, shut.Size-open.Size
	var err error
	if s.Allowed, err = levels.BySetups(r.Practice().LevelAllowance, 1); err != nil || math.Abs(s.Apart) > s.Allowed {
		s.Problem = text.Say(
			"Cannot be judged: the set-up does not close by {0}, and {1} is allowed. Something was knocked. Set up again and read everything once more.",
			text.MM(math.Abs(s.Apart)), text.MM(s.Allowed))
	}
	return s
}

// trackLevel is the level of the track at a chainage: of two leaves that of the side on
// which it lies.
func trackLevel(made *plan.Plan, chainage float64) float64 {
	if made.Pair == nil {
		return made.Ground.TrackLevel(chainage)
	}
	side := sideAt(made, chainage < made.Pair.Meeting.At)
	return side.Ground.TrackLevel(side.From(chainage))
}

// sideAt is one of two sides.
func sideAt(made *plan.Plan, latch bool) plan.Side {
	sides := made.Sides()
	if latch {
		return sides[1]
	}
	return sides[0]
}

// part is a part that has forms.
type part struct {
	kind plan.PartKind
	name text.Name
}

// partOf is the part of an entry; the run-back strip where none was chosen.
func partOf(chosen string, made *plan.Plan) part {
	switch chosen {
	case survey.CastDrive:
		return part{plan.PartDriveStrip, "Drive strip"}
	case survey.CastLatch:
		return part{plan.PartLatchStrip, "Strip before the drive"}
	case survey.CastPad:
		for o := range made.Parts(plan.PartPad) {
			if o.Piece == 0 {
				return part{plan.PartPad, o.Name} // or the block under the carriages
			}
		}
		return part{plan.PartPad, "Motor pad"}
	case survey.CastHole:
		return part{plan.PartPostHole, "Guide post hole"}
	}
	return part{plan.PartRunBackStrip, "Run-back strip"}
}

// pieceAt is the piece of a part at a chainage, a little beyond its ends too, where
// forms stand; nil where there is none.
func pieceAt(p *plan.Plan, kind plan.PartKind, chainage float64) *plan.Outline {
	const beyond = 100 // mm
	var nearest *plan.Outline
	least := beyond + plan.Tolerance
	for o := range p.Parts(kind) {
		low, high := o.Ring.Bounds()
		if off := max(low.X-chainage, chainage-high.X); off < least {
			nearest, least = o, max(off, -1)
		}
	}
	return nearest
}

// nowhere says that a part is not where something was read of it.
func nowhere(p *plan.Plan, of part, chainage float64) text.Text {
	low, high, there := p.Extent(of.kind)
	if !there {
		return text.Say("Cannot be judged: this site has no such part: {0}. Choose the part that was read.", text.Word(of.name))
	}
	return text.Say("Cannot be judged: {0} runs from {1} to {2}, not at {3}. Put part or place right.", text.Word(of.name),
		text.MM(low.X), text.MM(high.X), text.MM(chainage))
}

// read makes a reader of a survey with rules that are in their ranges.
func read(s *survey.Survey, p *practice.Practice) *survey.Reader {
	own := *p
	own.ReplaceRefused()
	return survey.NewReader(s, &own)
}
