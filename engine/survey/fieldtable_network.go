package survey

import (
	"pegpour/engine/text"
)

// GroupNetwork holds the pegs and tapes of a network. It has a screen of its
// own and is no part of the walk.
const GroupNetwork = "Tape network"

// The pegs and the tapes of a network.
const (
	NetworkPegs               = "network.pegs"
	NetworkPegName   ListPath = NetworkPegs + ".*.name"
	NetworkPegRole   ListPath = NetworkPegs + ".*.role"
	NetworkPegThing  ListPath = NetworkPegs + ".*.thing"
	NetworkPegAlong  ListPath = NetworkPegs + ".*.along"
	NetworkPegOffset ListPath = NetworkPegs + ".*.offset"

	NetworkTapes                    = "network.tapes"
	NetworkTapeFrom        ListPath = NetworkTapes + ".*.from"
	NetworkTapeTo          ListPath = NetworkTapes + ".*.to"
	NetworkTapeLength      ListPath = NetworkTapes + ".*.length"
	NetworkTapeRise        ListPath = NetworkTapes + ".*.rise"
	NetworkTapeTemperature ListPath = NetworkTapes + ".*.warmth"
	NetworkTapeUnsupported ListPath = NetworkTapes + ".*.hung"
)

func never(*Survey) bool { return false }

var pegRoles = []Option{{PegPlain, "A peg of its own"}, {PegLatch, "Latch post: inner face, back of the fence"},
	{PegRunBack, "Run-back post: inner face, back of the fence"}, {PegRunBackEdge, "Driveway edge, run-back side"},
	{PegLatchEdge, "Driveway edge, latch side"}, {PegCorner, "Corner of something in the way"},
	{PegRoomEnd, "What stops the leaf at the end of the run-back"},
	{PegDepthEnd, "What stops the pad, out from the fence"}}

var pegList = list{
	path: NetworkPegs, most: MaxNetworkPegs, group: GroupNetwork, askedIf: never,
	count: func(s *Survey) int { return len(s.Network.Pegs) },
	fields: []Field{
		{column: NetworkPegName, Name: "Peg {0}: its name", Dimension: text.Words,
			entryText: ofPeg(func(p *NetworkPeg) *string { return &p.Name })},
		{column: NetworkPegRole, Name: "Peg {0}: what it marks", Dimension: text.Choice, Options: pegRoles,
			entryText: ofPeg(func(p *NetworkPeg) *string { return &p.Role })},
		{column: NetworkPegThing, Name: "Peg {0}: what it is a corner of", Dimension: text.Words,
			entryText: ofPeg(func(p *NetworkPeg) *string { return &p.Thing })},
		{column: NetworkPegAlong, Name: "Peg {0}: on the sketch, along", Low: -100e3, High: 100e3,
			entryNumber: ofPeg(func(p *NetworkPeg) *Value { return &p.Along })},
		{column: NetworkPegOffset, Name: "Peg {0}: on the sketch, out from the fence", Low: -100e3, High: 100e3,
			Help:        "Minus on the street side.",
			entryNumber: ofPeg(func(p *NetworkPeg) *Value { return &p.Offset })},
	},
}

var tapeList = list{
	path: NetworkTapes, most: MaxNetworkTapes, group: GroupNetwork, askedIf: never,
	count: func(s *Survey) int { return len(s.Network.Tapes) },
	fields: []Field{
		{column: NetworkTapeFrom, Name: "Tape {0}: from peg", Dimension: text.Words,
			entryText: ofTape(func(t *NetworkTape) *string { return &t.From })},
		{column: NetworkTapeTo, Name: "Tape {0}: to peg", Dimension: text.Words,
			entryText: ofTape(func(t *NetworkTape) *string { return &t.To })},
		{column: NetworkTapeLength, Name: "Tape {0}: as read", Low: 10, High: 100e3, Help: "Peg to peg, as the tape says.",
			onceTaken: true, entryNumber: ofTape(func(t *NetworkTape) *Value { return &t.Length })},
		{column: NetworkTapeRise, Name: "Tape {0}: one end higher by", Low: -20e3, High: 20e3,
			Help:      "Leave it out where the tape was held level.",
			onceTaken: true, entryNumber: ofTape(func(t *NetworkTape) *Value { return &t.Rise })},
		{column: NetworkTapeTemperature, Name: "Tape {0}: temperature of the tape, °C", Dimension: text.Ratio, Low: -30,
			High:        70,
			entryNumber: ofTape(func(t *NetworkTape) *Value { return &t.Temperature })},
		{column: NetworkTapeUnsupported, Name: "Tape {0}: length that hung free", High: 100e3,
			Help:        "Leave it out where the tape lay on the ground, or was a laser.",
			entryNumber: ofTape(func(t *NetworkTape) *Value { return &t.Unsupported })},
	},
}

func ofPeg[Part any](part func(*NetworkPeg) *Part) func(*Survey, int) *Part {
	return entryOf(func(s *Survey) []NetworkPeg { return s.Network.Pegs }, part)
}

func ofTape[Part any](part func(*NetworkTape) *Part) func(*Survey, int) *Part {
	return entryOf(func(s *Survey) []NetworkTape { return s.Network.Tapes }, part)
}
