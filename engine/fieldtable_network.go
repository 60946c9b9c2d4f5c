package engine

import (
	"strconv"
	"strings"
)

// GroupNetwork holds the pegs and tapes of a network. It has a screen of its
// own and is no part of the walk.
const GroupNetwork = "Tape network"

const (
	networkPegPath  = "network.pegs."
	networkTapePath = "network.tapes."
)

// appendNetwork adds the fields of every peg and tape.
func appendNetwork(all []Field, s *Survey) []Field {
	list := func(prefix string, n int, names ...string) {
		for i := range n {
			for _, name := range names {
				if f, ok := networkField(prefix + strconv.Itoa(i) + "." + name); ok {
					all = append(all, f)
				}
			}
		}
	}
	list(networkPegPath, min(len(s.Network.Pegs), MaxNetworkPegs), "name", "role", "thing", "along", "offset")
	list(networkTapePath, min(len(s.Network.Tapes), MaxNetworkTapes), "from", "to", "length", "rise", "warmth", "hung")
	return all
}

// networkField is the field of one peg or one tape.
func networkField(path string) (Field, bool) {
	if rest, ok := strings.CutPrefix(path, networkPegPath); ok {
		if i, name, ok := indexed(rest, MaxNetworkPegs); ok {
			return networkPegField(path, i, name)
		}
	}
	if rest, ok := strings.CutPrefix(path, networkTapePath); ok {
		if i, name, ok := indexed(rest, MaxNetworkTapes); ok {
			return networkTapeField(path, i, name)
		}
	}
	return Field{}, false
}

func never(*Survey) bool { return false }

var pegRoles = []Option{{PegPlain, "A peg of its own"}, {PegLatch, "Latch post: inner face, back of the fence"}, {PegRunBack, "Run-back post: inner face, back of the fence"},
	{PegRunBackEdge, "Driveway edge, run-back side"}, {PegLatchEdge, "Driveway edge, latch side"}, {PegCorner, "Corner of something in the way"},
	{PegRoomEnd, "What stops the leaf at the end of the run-back"}, {PegDepthEnd, "What stops the pad, out from the fence"}}

func networkPegField(path string, i int, name string) (Field, bool) {
	f := Field{Path: path, Group: GroupNetwork, needed: never}
	at := func(s *Survey) *NetworkPeg {
		if i < len(s.Network.Pegs) {
			return &s.Network.Pegs[i]
		}
		return nil
	}
	words := func(pick func(*NetworkPeg) *string) func(*Survey) *string {
		return func(s *Survey) *string {
			if p := at(s); p != nil {
				return pick(p)
			}
			return nil
		}
	}
	number := func(pick func(*NetworkPeg) *Value) func(*Survey) *Value {
		return func(s *Survey) *Value {
			if p := at(s); p != nil {
				return pick(p)
			}
			return nil
		}
	}
	nth := strconv.Itoa(i + 1)
	switch name {
	case "name":
		f.Name, f.Dimension, f.words = fill("Peg {0}: its name", nth), Words, words(func(p *NetworkPeg) *string { return &p.Name })
	case "role":
		f.Name, f.Dimension, f.Options, f.words = fill("Peg {0}: what it marks", nth), Choice, pegRoles, words(func(p *NetworkPeg) *string { return &p.Role })
	case "thing":
		f.Name, f.Dimension, f.words = fill("Peg {0}: what it is a corner of", nth), Words, words(func(p *NetworkPeg) *string { return &p.Thing })
	case "along":
		f.Name, f.Dimension, f.Low, f.High = fill("Peg {0}: on the sketch, along", nth), Length, -100e3, 100e3
		f.number = number(func(p *NetworkPeg) *Value { return &p.Along })
	case "offset":
		f.Name, f.Dimension, f.Low, f.High = fill("Peg {0}: on the sketch, out from the fence", nth), Length, -100e3, 100e3
		f.Help = "Minus on the street side."
		f.number = number(func(p *NetworkPeg) *Value { return &p.Offset })
	default:
		return Field{}, false
	}
	return f, true
}

func networkTapeField(path string, i int, name string) (Field, bool) {
	f := Field{Path: path, Group: GroupNetwork, Dimension: Length}
	at := func(s *Survey) *NetworkTape {
		if i < len(s.Network.Tapes) {
			return &s.Network.Tapes[i]
		}
		return nil
	}
	words := func(pick func(*NetworkTape) *string) func(*Survey) *string {
		return func(s *Survey) *string {
			if t := at(s); t != nil {
				return pick(t)
			}
			return nil
		}
	}
	number := func(pick func(*NetworkTape) *Value) func(*Survey) *Value {
		return func(s *Survey) *Value {
			if t := at(s); t != nil {
				return pick(t)
			}
			return nil
		}
	}
	// What was not taken is not asked for outside the network's own screen.
	taken := func(pick func(*NetworkTape) *Value) func(*Survey) bool {
		return func(s *Survey) bool {
			t := at(s)
			return t != nil && pick(t).Known()
		}
	}
	nth := strconv.Itoa(i + 1)
	switch name {
	case "from":
		f.Name, f.Dimension, f.needed, f.words = fill("Tape {0}: from peg", nth), Words, never, words(func(t *NetworkTape) *string { return &t.From })
	case "to":
		f.Name, f.Dimension, f.needed, f.words = fill("Tape {0}: to peg", nth), Words, never, words(func(t *NetworkTape) *string { return &t.To })
	case "length":
		f.Name, f.Low, f.High = fill("Tape {0}: as read", nth), 10, 100e3
		f.needed = taken(func(t *NetworkTape) *Value { return &t.Length })
		f.Help = "Peg to peg, as the tape says."
		f.number = number(func(t *NetworkTape) *Value { return &t.Length })
	case "rise":
		f.Name, f.Low, f.High = fill("Tape {0}: one end higher by", nth), -20e3, 20e3
		f.needed = taken(func(t *NetworkTape) *Value { return &t.Rise })
		f.Help = "Leave it out where the tape was held level."
		f.number = number(func(t *NetworkTape) *Value { return &t.Rise })
	case "warmth":
		f.Name, f.Dimension, f.Low, f.High, f.needed = fill("Tape {0}: temperature of the tape, °C", nth), Ratio, -30, 70, never
		f.number = number(func(t *NetworkTape) *Value { return &t.Warmth })
	case "hung":
		f.Name, f.Low, f.High, f.needed = fill("Tape {0}: length that hung free", nth), 0, 100e3, never
		f.Help = "Leave it out where the tape lay on the ground, or was a laser."
		f.number = number(func(t *NetworkTape) *Value { return &t.Hung })
	default:
		return Field{}, false
	}
	return f, true
}
