package survey

import "pegpour/engine/text"

// GroupSetPegs holds the pegs as set and their tapes. They have a screen of their own
// and are no part of the walk.
const GroupSetPegs = "Pegs as set"

// The pegs as set and the tapes between them.
const (
	SetPegList            = "build.pegs.pegs"
	SetPegMark   ListPath = SetPegList + ".*.mark"
	SetPegName   ListPath = SetPegList + ".*.name"
	SetPegAlong  ListPath = SetPegList + ".*.along"
	SetPegOffset ListPath = SetPegList + ".*.offset"

	SetTapeList            = "build.pegs.tapes"
	SetTapeFrom   ListPath = SetTapeList + ".*.from"
	SetTapeTo     ListPath = SetTapeList + ".*.to"
	SetTapeLength ListPath = SetTapeList + ".*.length"
	SetTapeRise   ListPath = SetTapeList + ".*.rise"
)

var setPegList = list{
	path: SetPegList, most: MaxSetPegs, group: GroupSetPegs, askedIf: never,
	count: func(s *Survey) int { return len(s.Build.Pegs.Pegs) },
	fields: []Field{
		{column: SetPegMark, Name: "Set peg {0}: what it marks", Dimension: text.Words,
			entryText: ofSetPeg(func(p *SetPeg) *string { return &p.Mark })},
		{column: SetPegName, Name: "Set peg {0}: its name", Dimension: text.Words,
			entryText: ofSetPeg(func(p *SetPeg) *string { return &p.Name })},
		{column: SetPegAlong, Name: "Set peg {0}: planned place, along", Low: -100e3, High: 100e3,
			entryNumber: ofSetPeg(func(p *SetPeg) *Value { return &p.Along })},
		{column: SetPegOffset, Name: "Set peg {0}: planned place, out from the fence", Low: -100e3, High: 100e3,
			entryNumber: ofSetPeg(func(p *SetPeg) *Value { return &p.Offset })},
	},
}

var setTapeList = list{
	path: SetTapeList, most: MaxSetTapes, group: GroupSetPegs, askedIf: never,
	count: func(s *Survey) int { return len(s.Build.Pegs.Tapes) },
	fields: []Field{
		{column: SetTapeFrom, Name: "Tape {0} of the set pegs: from", Dimension: text.Words,
			entryText: ofSetTape(func(t *SetTape) *string { return &t.From })},
		{column: SetTapeTo, Name: "Tape {0} of the set pegs: to", Dimension: text.Words,
			entryText: ofSetTape(func(t *SetTape) *string { return &t.To })},
		{column: SetTapeLength, Name: "Tape {0} of the set pegs: as read", Low: -2000, High: 60e3,
			Help:        "As the tape says. Square to the string, minus on the street side.",
			entryNumber: ofSetTape(func(t *SetTape) *Value { return &t.Length })},
		{column: SetTapeRise, Name: "Tape {0} of the set pegs: one end higher by", Low: -20e3, High: 20e3,
			Help:        "Leave it out where the tape was held level.",
			entryNumber: ofSetTape(func(t *SetTape) *Value { return &t.Rise })},
	},
}

func ofSetPeg[Part any](part func(*SetPeg) *Part) func(*Survey, int) *Part {
	return entryOf(func(s *Survey) []SetPeg { return s.Build.Pegs.Pegs }, part)
}

func ofSetTape[Part any](part func(*SetTape) *Part) func(*Survey, int) *Part {
	return entryOf(func(s *Survey) []SetTape { return s.Build.Pegs.Tapes }, part)
}
