package survey

// Network is pegs with names and the tapes between them, in any order: from it
// come the opening, the driveway's edges and what stands in the way, each with
// how well it is known.
type Network struct {
	Pegs  []NetworkPeg  `json:"pegs,omitempty"`
	Tapes []NetworkTape `json:"tapes,omitempty"`
}

// NetworkPeg is a named point: a peg, a nail, a corner of something.
type NetworkPeg struct {
	Name string `json:"name,omitempty"`
	// Role says what the peg marks; a PegRole constant.
	Role string `json:"role,omitempty"`
	// Thing names what stands in the way, where the peg marks a corner of it:
	// pegs with the same Thing are corners of the same one.
	Thing string `json:"thing,omitempty"`
	// Along and Offset place the peg on the sketch, mm: chainage from the latch
	// post and offset from the back of the fence. Rough as they are, they say on
	// which side of the fence the peg lies, and nothing more.
	Along  Value `json:"along,omitzero"`
	Offset Value `json:"offset,omitzero"`
}

// What a peg of the network can mark.
const (
	PegPlain       = "plain"        // helps to fix the others
	PegLatch       = "latch"        // latch post: inner face at the back of the fence
	PegRunBack     = "run-back"     // run-back post: inner face at the back of the fence
	PegRunBackEdge = "runBackEdge"  // on the driveway edge on the run-back side
	PegLatchEdge   = "latchEdge"    // on the driveway edge on the latch side
	PegCorner      = "corner"       // corner of something in the way
	PegRoomEnd     = "end of room"  // the first thing that stops the leaf
	PegDepthEnd    = "end of depth" // the first thing that stops the pad
)

// NetworkTape is one distance taped between two pegs, named as they are.
type NetworkTape struct {
	From   string `json:"from,omitempty"`
	To     string `json:"to,omitempty"`
	Length Value  `json:"length,omitzero"` // as read, mm
	// Rise is the height of one end above the other, mm; not measured where the
	// tape was held level.
	Rise Value `json:"rise,omitzero"`
	// Temperature of the tape, °C; not measured counts as the one at which it is
	// true.
	Temperature Value `json:"warmth,omitzero"`
	// Unsupported is the length that hung free, mm; not measured where the tape
	// lay or was a laser.
	Unsupported Value `json:"hung,omitzero"`
}

// The most pegs and tapes of a network.
const (
	MaxNetworkPegs  = 22
	MaxNetworkTapes = 120
)

// Used reports whether the survey holds anything of a network.
func (n *Network) Used() bool { return len(n.Pegs) > 0 || len(n.Tapes) > 0 }

func (n Network) clone() Network {
	n.Pegs = append([]NetworkPeg(nil), n.Pegs...)
	n.Tapes = append([]NetworkTape(nil), n.Tapes...)
	return n
}
