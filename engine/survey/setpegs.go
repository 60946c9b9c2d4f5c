package survey

// SetPegs is pegs as they were set, by the tapes between them. No plan is made from
// them: they are held against it.
type SetPegs struct {
	Pegs  []SetPeg  `json:"pegs,omitempty"`
	Tapes []SetTape `json:"tapes,omitempty"`
}

// SetPeg is a peg in the ground and where the plan had it when it was first taped. A
// plan that is changed afterwards moves the place that is wanted, never the peg.
type SetPeg struct {
	// Mark is what the peg marks, whatever its number: the part and which of its
	// pegs, counted as one walks.
	Mark string `json:"mark,omitempty"`
	// Name is what stands on the peg: its number on the plan of then.
	Name string `json:"name,omitempty"`
	// Along and Offset are the place of then, mm: chainage, and offset from the back
	// of the fence.
	Along  Value `json:"along,omitzero"`
	Offset Value `json:"offset,omitzero"`
}

// SetTape is one distance taped when pegs stood.
type SetTape struct {
	// From and To are the marks of pegs, or SetLatch, SetRunBack, SetFence.
	From   string `json:"from,omitempty"`
	To     string `json:"to,omitempty"`
	Length Value  `json:"length,omitzero"` // as read, mm
	// Rise is the height of one end above the other, mm; not measured where the tape
	// was held level.
	Rise Value `json:"rise,omitzero"`
}

// The ends of a tape that are no pegs.
const (
	SetLatch   = "latch"    // back inner corner of the latch post
	SetRunBack = "run-back" // back inner corner of the run-back post
	// SetFence is the string along the back of the posts: taped square to it, minus
	// on the street side.
	SetFence = "fence"
)

// The most pegs and tapes of the pegs as set.
const (
	MaxSetPegs  = 40
	MaxSetTapes = 200
)

func (s SetPegs) clone() SetPegs {
	s.Pegs = append([]SetPeg(nil), s.Pegs...)
	s.Tapes = append([]SetTape(nil), s.Tapes...)
	return s
}
