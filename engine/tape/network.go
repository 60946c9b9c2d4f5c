package tape

import (
	"math"

	"pegpour/engine/refusal"
)

// Side is on which side of a base line a peg lies, looking from its first peg
// to its second.
type Side string

// Sides.
const (
	Unsaid Side = ""
	Left   Side = "left"
	Right  Side = "right"
)

func (s Side) sign() float64 {
	if s == Right {
		return -1
	}
	return 1
}

// Peg is a named point of the network.
type Peg struct {
	Name string
	// Known pegs hold the coordinates X and Y given, mm, without uncertainty.
	Known bool
	X, Y  float64
	// Side of the line Base[0] → Base[1] on which the peg lies; the base line
	// of the network when Base is empty. Needed where tapes fix a peg on
	// either side alike.
	Side Side
	Base [2]string
}

// Taped is one distance between two pegs.
type Taped struct {
	From, To string
	Length   float64 // level distance, mm, 1 to MaxLength
	Sigma    float64 // its standard uncertainty, mm, 0.01 to 1000
}

// Network is pegs and the tapes between them, in any order. Where no two pegs
// are known, the first known peg (or the first peg, at 0, 0) and Along (or the
// next peg) hold the frame: Along lies on the X axis from it.
type Network struct {
	Pegs  []Peg
	Tapes []Taped
	Along string
}

// PegError refuses a peg or a tape by its names.
type PegError struct {
	Peg   string
	Tape  int // index, -1 when the fault is the peg's
	Fault PegFault
}

// PegFault is what is wrong with a peg or the naming of a tape.
type PegFault string

// Faults of naming.
const (
	NoName      PegFault = "has no name"
	NameTwice   PegFault = "stands twice in the list"
	NoSuchPeg   PegFault = "is not in the list of pegs"
	TapedToSelf PegFault = "is taped to itself"
	SameSpot    PegFault = "is known at the same place as another peg"
	NotASide    PegFault = "has a side other than left or right"
	BadBase     PegFault = "has a base line of one peg"
	SideOfOwn   PegFault = "has itself in its base line"
)

// Error is the refusal in one sentence.
func (e *PegError) Error() string { return e.Refusal().String() }

// Refusal is the sentence with its values.
func (e *PegError) Refusal() refusal.Message {
	if e.Tape >= 0 {
		return refusal.Say("tape {0}: peg “{1}” {2}", refusal.Count(e.Tape+1), refusal.Typed(e.Peg),
			refusal.Name(string(e.Fault)))
	}
	return refusal.Say("peg “{0}” {1}", refusal.Typed(e.Peg), refusal.Name(string(e.Fault)))
}

// UnderDeterminedError says which pegs the tapes do not fix, and a tape that
// would help.
type UnderDeterminedError struct {
	Pegs []string // not fixed
	// MissingFrom and MissingTo are the ends of one distance to tape next.
	MissingFrom, MissingTo string
}

// Error is the refusal in one sentence.
func (e *UnderDeterminedError) Error() string { return e.Refusal().String() }

// Refusal is the sentence with its values.
func (e *UnderDeterminedError) Refusal() refusal.Message {
	if e.MissingFrom == "" {
		return refusal.Say("no tape fixes {0}", refusal.Each(e.Pegs...))
	}
	return refusal.Say("no tape fixes {0}: tape from {1} to {2}", refusal.Each(e.Pegs...), refusal.Typed(e.MissingFrom),
		refusal.Typed(e.MissingTo))
}

// SideError asks on which side a peg lies: its tapes allow two places, mirror
// images in the line Base[0] → Base[1].
type SideError struct {
	Peg  string
	Base [2]string
	// Contradicts: a side was given and the tapes say the other one.
	Contradicts bool
}

// Error is the question in one sentence.
func (e *SideError) Error() string { return e.Refusal().String() }

// Refusal is the question with its values.
func (e *SideError) Refusal() refusal.Message {
	peg, from, to := refusal.Typed(e.Peg), refusal.Typed(e.Base[0]), refusal.Typed(e.Base[1])
	if e.Contradicts {
		return refusal.Say("the tapes put {0} on the other side of the line {1} → {2}", peg, from, to)
	}
	return refusal.Say("on which side of the line {1} → {2} does {0} lie?", peg, from, to)
}

// MeetError says that two tapes to a peg cannot meet: with the distance
// between their other ends they make no triangle.
type MeetError struct {
	Peg   string
	Tapes [2]int  // indices
	Gap   float64 // by how much, mm
}

// Error is the refusal in one sentence.
func (e *MeetError) Error() string { return e.Refusal().String() }

// Refusal is the sentence with its values.
func (e *MeetError) Refusal() refusal.Message {
	return refusal.Say("tapes {0} and {1} cannot meet at {2}: they miss by {3}", refusal.Count(e.Tapes[0]+1),
		refusal.Count(e.Tapes[1]+1), refusal.Typed(e.Peg), refusal.Number(math.Round(e.Gap*10)/10, "mm"))
}

type link struct {
	a, b          int
	length, sigma float64
}

// net is the network in indices.
type net struct {
	pegs   []Peg
	links  []link
	fixed  []bool // both coordinates held
	onAxis int    // the peg that may only move along X, -1 when none
	origin int    // first peg of the base line
	along  int    // second peg of the base line
	byName map[string]int
}

func (n *Network) index() (*net, error) {
	if err := within("number of pegs", -1, float64(len(n.Pegs)), 2, MaxTapes); err != nil {
		return nil, err
	}
	if err := within("number of tapes", -1, float64(len(n.Tapes)), 1, MaxTapes); err != nil {
		return nil, err
	}
	out := &net{pegs: n.Pegs, byName: map[string]int{}, fixed: make([]bool, len(n.Pegs)), onAxis: -1,
		origin: -1, along: -1}
	known := 0
	for i, p := range n.Pegs {
		if err := out.addPeg(i, p); err != nil {
			return nil, err
		}
		if p.Known {
			known++
		}
	}
	if err := within("number of pegs to find", -1, float64(len(n.Pegs)-max(known, 2)), 0, MaxPegs-2); err != nil {
		return nil, err
	}
	for i, p := range n.Pegs {
		for _, b := range p.Base {
			if b == "" && p.Base[0]+p.Base[1] != "" {
				return nil, &PegError{p.Name, -1, BadBase}
			}
			if b == p.Name {
				return nil, &PegError{p.Name, -1, SideOfOwn}
			}
			if _, ok := out.byName[b]; !ok && b != "" {
				return nil, &PegError{b, -1, NoSuchPeg}
			}
		}
		if p.Base[0] != "" && p.Base[0] == p.Base[1] {
			return nil, &PegError{p.Name, -1, BadBase}
		}
		for j := range i {
			if p.Known && n.Pegs[j].Known && math.Hypot(p.X-n.Pegs[j].X, p.Y-n.Pegs[j].Y) < 1 {
				return nil, &PegError{p.Name, -1, SameSpot}
			}
		}
	}
	for i, t := range n.Tapes {
		if err := out.addTape(i, t); err != nil {
			return nil, err
		}
	}
	return out, out.holdFrame(known, n.Along)
}

func (n *net) addPeg(i int, p Peg) error {
	if p.Name == "" {
		return &PegError{p.Name, -1, NoName}
	}
	if _, twice := n.byName[p.Name]; twice {
		return &PegError{p.Name, -1, NameTwice}
	}
	n.byName[p.Name] = i
	if p.Side != Unsaid && p.Side != Left && p.Side != Right {
		return &PegError{p.Name, -1, NotASide}
	}
	if !p.Known {
		return nil
	}
	n.fixed[i] = true
	if err := within("known X of peg", i, p.X, -MaxCoordinate, MaxCoordinate); err != nil {
		return err
	}
	return within("known Y of peg", i, p.Y, -MaxCoordinate, MaxCoordinate)
}

func (n *net) addTape(i int, t Taped) error {
	a, okA := n.byName[t.From]
	b, okB := n.byName[t.To]
	switch {
	case !okA:
		return &PegError{t.From, i, NoSuchPeg}
	case !okB:
		return &PegError{t.To, i, NoSuchPeg}
	case a == b:
		return &PegError{t.From, i, TapedToSelf}
	}
	if err := within("length of tape", i, t.Length, 1, MaxLength); err != nil {
		return err
	}
	if err := within("standard uncertainty of tape", i, t.Sigma, 0.01, 1000); err != nil {
		return err
	}
	n.links = append(n.links, link{a, b, t.Length, t.Sigma})
	return nil
}

// holdFrame chooses the base line and what it holds.
func (n *net) holdFrame(known int, along string) error {
	n.along = -1
	if along != "" {
		i, ok := n.byName[along]
		if !ok {
			return &PegError{along, -1, NoSuchPeg}
		}
		n.along = i
	}
	for i, p := range n.pegs {
		if p.Known || known == 0 {
			if i != n.along || known > 1 {
				n.origin = i
				break
			}
		}
	}
	if n.origin < 0 { // the one known peg was named as Along
		return &PegError{along, -1, SameSpot}
	}
	if known >= 2 {
		if n.along < 0 || n.along == n.origin || !n.pegs[n.along].Known {
			for i, p := range n.pegs {
				if p.Known && i != n.origin {
					n.along = i
					break
				}
			}
		}
		return nil
	}
	n.fixed[n.origin] = true
	if n.along < 0 {
		n.along = n.firstTapedTo(n.origin)
	}
	n.onAxis = n.along
	return nil
}

// firstTapedTo is the first peg taped to i, else the first other peg.
func (n *net) firstTapedTo(i int) int {
	for j := range n.pegs {
		if j == i {
			continue
		}
		for _, l := range n.links {
			if l.a == i && l.b == j || l.a == j && l.b == i {
				return j
			}
		}
	}
	if i == 0 {
		return 1
	}
	return 0
}
