package pegs

import (
	"pegpour/engine/geom"
	"pegpour/engine/text"
)

// Verdict is what the tapes say about one peg.
type Verdict string

// The verdicts.
const (
	// Within: nearer to its place than its tolerance, and known that well.
	Within Verdict = "within"
	// Off: farther than its tolerance, whichever tape is left out.
	Off Verdict = "off"
	// Unsure: as much off as it is unsure.
	Unsure Verdict = "unsure"
	// PegOrTape: off, or one of its tapes is wrong.
	PegOrTape Verdict = "peg or tape"
	// Loose: its tapes do not fix it.
	Loose Verdict = "loose"
	// Doubted: one of several tapes is wrong, and they do not tell which.
	Doubted Verdict = "doubted"
	// Mirrored: on the other side of the fence line.
	Mirrored Verdict = "mirrored"
	// Swapped: where another peg belongs, and that one here.
	Swapped Verdict = "swapped"
	// Gone: the plan has no such peg any more.
	Gone Verdict = "gone"
)

// Settled reports whether no tape more is wanted for a peg.
func (v Verdict) Settled() bool {
	return v == Within || v == Off || v == Mirrored || v == Swapped || v == Gone
}

// Peg is one peg as set.
type Peg struct {
	Key  string
	Name string // on the peg
	Of   text.Name
	// Planned is where the plan of now has it; where it has none, where it was.
	Planned geom.Point
	// Tolerance is how far off it may stand, mm.
	Tolerance float64
	// Placed is set where the tapes fix it; what follows holds only then.
	Placed bool
	At     geom.Point
	// Along and Out are how far it stands from its place, mm: towards the run-back, and
	// into the property.
	Along, Out float64
	// SigmaAlong and SigmaOut are their standard uncertainties, mm.
	SigmaAlong, SigmaOut float64
	// Range is how far off it may be from where the tapes put it, in its least sure
	// direction, with 95 %, mm.
	Range float64
	// Major95, Minor95 and Direction are the ellipse that holds it with 95 %.
	Major95, Minor95, Direction float64

	Verdict Verdict
	Words   text.Text // what the verdict says of this peg
	Move    text.Text // what to do; empty where nothing
}

// Tape is how one of the tapes sits among the others.
type Tape struct {
	Index    int    // in the survey
	From, To string // keys of its ends
	Name     text.Name
	// Length is the reading, level, mm; Planned what the plan has there.
	Length, Planned float64
	Sigma           float64
	// Used is set where it took part.
	Used bool
	// Residual is adjusted less taped, mm; of a tape left out, what the others make of it.
	Residual float64
	// Checked is set where other tapes check it; Suspect where it is most likely wrong,
	// Tied where it is one of several that cannot be told apart.
	Checked, Suspect, Tied bool
	// Words say what is wrong with it, Note what to look at; empty where nothing is.
	Words, Note text.Text
}

// Report is the pegs as set against the plan.
type Report struct {
	// Pegs that were taped, as one walks.
	Pegs  []Peg
	Tapes []Tape // those with a reading, in the order of the survey
	// Problem says what keeps everything from being judged; empty where nothing does.
	Problem text.Text
	// Spare is how many tapes there are more than the pegs need.
	Spare int
	// Next are the ends of the tape that would tell most; empty where none is wanted, or
	// none can be taken.
	Next [2]string
	// Changed says what the plan did since pegs were taped.
	Changed []text.Text
}

// Peg is the peg of a key; nil where it was not taped.
func (r *Report) Peg(key string) *Peg {
	for i := range r.Pegs {
		if r.Pegs[i].Key == key {
			return &r.Pegs[i]
		}
	}
	return nil
}

// Count is how many pegs have a verdict.
func (r *Report) Count(v Verdict) int {
	n := 0
	for i := range r.Pegs {
		if r.Pegs[i].Verdict == v {
			n++
		}
	}
	return n
}
