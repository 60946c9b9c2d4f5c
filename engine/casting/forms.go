package casting

import (
	"math"

	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/stages"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// Forms are the tops of forms against the plan.
type Forms struct {
	Sight Sight
	Tops  []Top // one an entry of the survey
}

// Top is the top of a form at one place.
type Top struct {
	Chainage float64 // mm
	Part     text.Name
	// Level is where it is, Planned where it shall be, mm; Up how far it is to be
	// raised, negative to be lowered. Only of what is Judged.
	Level, Planned, Up float64
	Judged, Within     bool
	// Words say what to do.
	Words text.Text
}

// Sound reports whether every form that was read is judged and within tolerance, and
// any was.
func (f *Forms) Sound() bool {
	for i := range f.Tops {
		if !f.Tops[i].Within {
			return false
		}
	}
	return len(f.Tops) > 0
}

// ReadForms compares the tops of forms with the plan that was made of the survey.
func ReadForms(s survey.Survey, made *plan.Plan, p practice.Practice) Forms {
	r := read(&s, &p)
	f := Forms{Sight: sightOf(r, setUpPaths{survey.CastingBenchLevel, survey.CastingBenchAlong, survey.CastingOpen,
		survey.CastingClose}, made)}
	tops := s.Build.Casting.Tops
	for i := range tops[:min(len(tops), survey.MaxFormTops)] {
		f.Tops = append(f.Tops, readTop(r, i, &f.Sight, made))
	}
	return f
}

func readTop(r *survey.Reader, i int, sight *Sight, made *plan.Plan) Top {
	of := partOf(r.Words(survey.FormTopPart.At(i)), made)
	along, _, placed := r.Reading(survey.FormTopAlong.At(i))
	down, _, taken := r.Reading(survey.FormTopDown.At(i))
	top := Top{Chainage: along.Size, Part: of.name}
	switch {
	case !placed:
		top.Words = text.Say("Cannot be judged yet: say where along the fence it was read.")
		return top
	case !taken:
		top.Words = text.Say("Cannot be judged yet: read down to its top.")
		return top
	case !sight.Holds():
		top.Words = sight.Problem
		return top
	}
	piece := pieceAt(made, of.kind, along.Size)
	if piece == nil {
		top.Words = nowhere(made, of, along.Size)
		return top
	}
	planned, known := PlannedTop(made, piece, along.Size)
	if !known {
		top.Words = text.Say("Cannot be judged: the plan has no level for {0} yet. The watch-outs say what is missing.",
			text.Word(of.name))
		return top
	}
	top.Judged, top.Level, top.Planned = true, sight.Plane-down.Size, planned
	top.Up = planned - top.Level
	switch top.Within = math.Abs(top.Up) <= r.Practice().FormsWithin; {
	case top.Within:
		top.Words = text.Say("Stands right, off by {0}.", text.MM(math.Abs(top.Up)))
	case top.Up > 0:
		top.Words = text.Say("Raise {0}", text.MM(top.Up))
	default:
		top.Words = text.Say("Lower {0}", text.MM(-top.Up))
	}
	return top
}

// PlannedTop is the level of the top of a part's concrete on the track line at a
// chainage, above the plan's datum; false where the plan has none.
func PlannedTop(made *plan.Plan, o *plan.Outline, chainage float64) (level float64, known bool) {
	if made.Pair != nil {
		side := sideAt(made, o.Latch || o.Kind == plan.PartDriveStrip && chainage < made.Pair.Meeting.At)
		along := side.From(chainage)
		if own := pieceAt(side.Plan, o.Kind, along); own != nil {
			return PlannedTop(side.Plan, own, along)
		}
		return 0, false
	}
	at := made.Track.Offset
	if h := made.Leaf.Hanging; h != nil && made.Ground == nil && o.Kind == plan.PartPad {
		return h.BlockTop, true
	}
	if made.Ground == nil { // level ground: the drive is the datum
		return -max(0, o.Top), true
	}
	if o.Kind == plan.PartPad || o.Kind == plan.PartPostHole {
		_, at = middle(o)
	}
	return stages.ConcreteLevel(made.Ground, o, geom.Point{X: chainage, Y: at})
}

func middle(o *plan.Outline) (x, y float64) {
	low, high := o.Ring.Bounds()
	return (low.X + high.X) / 2, (low.Y + high.Y) / 2
}
