package survey

import "cmp"

// HandOver is what was tested before a gate was handed over, what was built in, and
// who signed for it.
type HandOver struct {
	// StopShut and StopOpen say whether the hard stops held a push by hand, before
	// there was power: Holds, Fails.
	StopShut string `json:"stopShut,omitempty"`
	StopOpen string `json:"stopOpen,omitempty"`
	// Released says what the leaf does with the motor released: Stays, RollsAway.
	Released string `json:"released,omitempty"`
	// Pull is the force that moves it then, N, by a spring balance.
	Pull Value `json:"pull,omitzero"`
	// Forces were measured at the edges with a gauge.
	Forces []EdgeForce `json:"forces,omitempty"`
	// Reverses says whether the leaf went back after it met something: Yes, No.
	Reverses string `json:"reverses,omitempty"`
	// Beams says whether a hand in each beam kept the leaf: Yes, No, NoBeams.
	Beams string `json:"beams,omitempty"`
	// Shown says whether the owner released and moved the leaf by hand: Yes, No.
	Shown string `json:"shown,omitempty"`
	// Latch are the tests of the leaf on the side of the latch post where two meet; those
	// above are of the other then. Meets says whether they shut in their order and hold
	// each other: Yes, No.
	Latch LeafTests `json:"latch,omitzero"`
	Meets string    `json:"meets,omitempty"`
	// Parts are what was built in, with serial and setting.
	Parts []BuiltIn `json:"parts,omitempty"`
	// ServiceEvery is the time between two services, months.
	ServiceEvery Value `json:"serviceEvery,omitzero"`
	// Services are those that were done.
	Services []Service `json:"services,omitempty"`
	// Fitter and Owner signed; their signatures are strokes as [ReadStrokes] reads
	// them. Signed is when, RFC 3339, and SignedFor names what they signed.
	Fitter     string `json:"fitter,omitempty"`
	FitterSign string `json:"fitterSign,omitempty"`
	Owner      string `json:"owner,omitempty"`
	OwnerSign  string `json:"ownerSign,omitempty"`
	Signed     string `json:"signed,omitempty"`
	SignedFor  string `json:"signedFor,omitempty"`
	// Hours and Loads are what was used: hours of work by all hands, trailer loads of
	// spoil. The bags stand with the pour. Spoil is the same spoil by its loose volume,
	// m³, where a skip or a heap told it.
	Hours Value `json:"hours,omitzero"`
	Loads Value `json:"loads,omitzero"`
	Spoil Value `json:"spoil,omitzero"`
	// Of Hours, those by task; the rest is whatever else was done.
	HoursDig  Value `json:"hoursDig,omitzero"`  // digging
	HoursForm Value `json:"hoursForm,omitzero"` // edge forms
	HoursPour Value `json:"hoursPour,omitzero"` // mixing and placing concrete
	HoursHang Value `json:"hoursHang,omitzero"` // hanging the leaf and setting its rollers
	HoursWire Value `json:"hoursWire,omitzero"` // fitting, wiring and setting the motor
}

// LeafTests are the tests of one leaf of two, as of [HandOver].
type LeafTests struct {
	StopShut string `json:"stopShut,omitempty"`
	StopOpen string `json:"stopOpen,omitempty"`
	Released string `json:"released,omitempty"`
	Pull     Value  `json:"pull,omitzero"`
	Reverses string `json:"reverses,omitempty"`
	Beams    string `json:"beams,omitempty"`
	Shown    string `json:"shown,omitempty"`
}

// IsZero reports whether nothing at all was tested, so that it does not appear in a document.
func (l LeafTests) IsZero() bool { return l == LeafTests{} }

// Leaf are the tests of the first leaf, or of that on the side of the latch post.
func (h *HandOver) Leaf(latch bool) LeafTests {
	if latch {
		return h.Latch
	}
	return LeafTests{h.StopShut, h.StopOpen, h.Released, h.Pull, h.Reverses, h.Beams, h.Shown}
}

// Choices of HandOver.
const (
	Holds = "holds"
	Fails = "fails"

	Stays     = "stays"
	RollsAway = "rolls away"

	NoBeams = "none"

	EdgeClosing = "closing"
	EdgeOpening = "opening"

	EdgeClosingLatch = "closing latch" // of the leaf on the side of the latch post, where two meet
	EdgeOpeningLatch = "opening latch"
)

// EdgeForce is one reading of a gauge between the leaf's edge and what stands still.
type EdgeForce struct {
	Edge   string `json:"edge,omitempty"`    // EdgeClosing, EdgeOpening and those of the latch side
	Gap    Value  `json:"gap,omitzero"`      // left open where the gauge stood, mm
	Height Value  `json:"height,omitzero"`   // above the drive, mm
	Peak   Value  `json:"peak,omitzero"`     // at the first, N
	Long   Value  `json:"duration,omitzero"` // from the blow until it fell to what may remain, s
	Rest   Value  `json:"rest,omitzero"`     // remaining after that, N
}

// At is the edge at which it was read: the closing one where none is named.
func (f *EdgeForce) At() string { return cmp.Or(f.Edge, EdgeClosing) }

// EdgeOf is the closing or the opening edge of the first leaf, or of that on the side of
// the latch post.
func EdgeOf(latch, opening bool) string {
	switch {
	case latch && opening:
		return EdgeOpeningLatch
	case latch:
		return EdgeClosingLatch
	case opening:
		return EdgeOpening
	}
	return EdgeClosing
}

// Opens reports whether it is an edge that opens.
func (f *EdgeForce) Opens() bool { return f.Edge == EdgeOpening || f.Edge == EdgeOpeningLatch }

// BuiltIn is one thing built in.
type BuiltIn struct {
	What    string `json:"what,omitempty"`
	Serial  string `json:"serial,omitempty"`
	Setting string `json:"setting,omitempty"`
}

// Service is one service that was done.
type Service struct {
	On   string `json:"on,omitempty"` // the day, 2025-03-14
	What string `json:"what,omitempty"`
	By   string `json:"by,omitempty"`
}

// The most entries of the lists of a hand-over.
const (
	MaxEdgeForces = 24
	MaxBuiltIn    = 30
	MaxServices   = 60
)

func (h HandOver) clone() HandOver {
	h.Forces = append([]EdgeForce(nil), h.Forces...)
	h.Parts = append([]BuiltIn(nil), h.Parts...)
	h.Services = append([]Service(nil), h.Services...)
	return h
}
