package survey

import "pegpour/engine/text"

// GroupHandOver holds the tests of a hand-over. It has a screen of its own and is no
// part of the walk.
const GroupHandOver = "Hand-over"

// The fields of a hand-over.
const (
	HandOverStopShut     = "build.handOver.stopShut"
	HandOverStopOpen     = "build.handOver.stopOpen"
	HandOverReleased     = "build.handOver.released"
	HandOverPull         = "build.handOver.pull"
	HandOverReverses     = "build.handOver.reverses"
	HandOverBeams        = "build.handOver.beams"
	HandOverShown        = "build.handOver.shown"
	HandOverMeets        = "build.handOver.meets"
	HandOverServiceEvery = "build.handOver.serviceEvery"
	HandOverFitter       = "build.handOver.fitter"
	HandOverFitterSign   = "build.handOver.fitterSign"
	HandOverOwner        = "build.handOver.owner"
	HandOverOwnerSign    = "build.handOver.ownerSign"
	HandOverSigned       = "build.handOver.signed"
	HandOverSignedFor    = "build.handOver.signedFor"
	HandOverHours        = "build.handOver.hours"
	HandOverLoads        = "build.handOver.loads"
	HandOverSpoil        = "build.handOver.spoil"
	HandOverHoursDig     = "build.handOver.hoursDig"
	HandOverHoursForm    = "build.handOver.hoursForm"
	HandOverHoursPour    = "build.handOver.hoursPour"
	HandOverHoursHang    = "build.handOver.hoursHang"
	HandOverHoursWire    = "build.handOver.hoursWire"

	HandOverLatchStopShut = "build.handOver.latch.stopShut"
	HandOverLatchStopOpen = "build.handOver.latch.stopOpen"
	HandOverLatchReleased = "build.handOver.latch.released"
	HandOverLatchPull     = "build.handOver.latch.pull"
	HandOverLatchReverses = "build.handOver.latch.reverses"
	HandOverLatchBeams    = "build.handOver.latch.beams"
	HandOverLatchShown    = "build.handOver.latch.shown"

	HandOverForces               = "build.handOver.forces"
	HandOverForceEdge   ListPath = HandOverForces + ".*.edge"
	HandOverForceGap    ListPath = HandOverForces + ".*.gap"
	HandOverForceHeight ListPath = HandOverForces + ".*.height"
	HandOverForcePeak   ListPath = HandOverForces + ".*.peak"
	HandOverForceLong   ListPath = HandOverForces + ".*.duration"
	HandOverForceRest   ListPath = HandOverForces + ".*.rest"

	HandOverParts                = "build.handOver.parts"
	HandOverPartWhat    ListPath = HandOverParts + ".*.what"
	HandOverPartSerial  ListPath = HandOverParts + ".*.serial"
	HandOverPartSetting ListPath = HandOverParts + ".*.setting"

	HandOverServices             = "build.handOver.services"
	HandOverServiceOn   ListPath = HandOverServices + ".*.on"
	HandOverServiceWhat ListPath = HandOverServices + ".*.what"
	HandOverServiceBy   ListPath = HandOverServices + ".*.by"
)

var (
	heldOrNot = []Option{{"", "Not tried yet"}, {Holds, "It holds"}, {Fails, "It does not hold"}}
	yesOrNo   = []Option{{"", "Not tried yet"}, {Yes, "Yes"}, {No, "No"}}
)

func handOverWords(path string, name text.Name, d text.Dimension, at func(*HandOver) *string, options ...Option) Field {
	return Field{Path: path, Group: GroupHandOver, Name: name, Dimension: d, Options: options, askedIf: never,
		text: func(s *Survey) *string { return at(&s.Build.HandOver) }}
}

func handOverNumber(path string, name text.Name, d text.Dimension, low, high float64, help string,
	at func(*HandOver) *Value) Field {
	return Field{Path: path, Group: GroupHandOver, Name: name, Dimension: d, Low: low, High: high, Help: help,
		askedIf: never, number: func(s *Survey) *Value { return at(&s.Build.HandOver) }}
}

func handOverHours(path string, name text.Name, at func(*HandOver) *Value) Field {
	return handOverNumber(path, name, text.Ratio, 0, 2000, "All hands together.", at)
}

// OfLeaf is the path of a test of the first leaf as it is for the leaf on the side of the
// latch post.
func OfLeaf(path string, latch bool) string {
	if latch {
		return "build.handOver.latch." + path[len("build.handOver."):]
	}
	return path
}

// ofLatch are the tests of the leaf on the side of the latch post: as the first one's.
func ofLatch(tests []Field) []Field {
	all := tests[:len(tests):len(tests)]
	numbers := map[string]func(*LeafTests) *Value{HandOverPull: func(l *LeafTests) *Value { return &l.Pull }}
	words := map[string]func(*LeafTests) *string{
		HandOverStopShut: func(l *LeafTests) *string { return &l.StopShut },
		HandOverStopOpen: func(l *LeafTests) *string { return &l.StopOpen },
		HandOverReleased: func(l *LeafTests) *string { return &l.Released },
		HandOverReverses: func(l *LeafTests) *string { return &l.Reverses },
		HandOverBeams:    func(l *LeafTests) *string { return &l.Beams },
		HandOverShown:    func(l *LeafTests) *string { return &l.Shown },
	}
	for _, f := range tests {
		number, word := numbers[f.Path], words[f.Path]
		if number != nil {
			f.number = func(s *Survey) *Value { return number(&s.Build.HandOver.Latch) }
		} else if word != nil {
			f.text = func(s *Survey) *string { return word(&s.Build.HandOver.Latch) }
		} else {
			continue
		}
		f.Path, f.Name = OfLeaf(f.Path, true), text.Named("{0}, {1}", f.Name, "latch side")
		all = append(all, f)
	}
	return all
}

var handOverFields = ofLatch([]Field{
	handOverWords(HandOverStopShut, "Hard stop at the latch side, pushed by hand", text.Choice,
		func(h *HandOver) *string { return &h.StopShut }, heldOrNot...),
	handOverWords(HandOverStopOpen, "Hard stop at the open end, pushed by hand", text.Choice,
		func(h *HandOver) *string { return &h.StopOpen }, heldOrNot...),
	handOverWords(HandOverReleased, "The leaf left to itself, motor released", text.Choice,
		func(h *HandOver) *string { return &h.Released },
		Option{"", "Not tried yet"}, Option{Stays, "It stays where it is, everywhere"}, Option{RollsAway, "It rolls away somewhere"}),
	handOverNumber(HandOverPull, "Force that moves the leaf by hand", text.Force, 0, 3000,
		"With a spring balance, motor released, where it goes hardest.", func(h *HandOver) *Value { return &h.Pull }),
	handOverWords(HandOverReverses, "The leaf goes back when it meets something, both ways", text.Choice,
		func(h *HandOver) *string { return &h.Reverses }, yesOrNo...),
	handOverWords(HandOverBeams, "Each beam keeps the leaf from closing", text.Choice,
		func(h *HandOver) *string { return &h.Beams },
		append(yesOrNo[:len(yesOrNo):len(yesOrNo)], Option{NoBeams, "There is no beam"})...),
	handOverWords(HandOverShown, "The owner released and moved it by hand", text.Choice,
		func(h *HandOver) *string { return &h.Shown }, yesOrNo...),
	handOverWords(HandOverMeets, "Both leaves shut in their order and hold each other", text.Choice,
		func(h *HandOver) *string { return &h.Meets }, yesOrNo...),
	handOverNumber(HandOverServiceEvery, "Months between two services", text.Count, 1, 60,
		"As the motor's maker asks.", func(h *HandOver) *Value { return &h.ServiceEvery }),
	handOverWords(HandOverFitter, "Name of who hands over", text.Words, func(h *HandOver) *string { return &h.Fitter }),
	handOverWords(HandOverFitterSign, "Signature of who hands over", text.Words, func(h *HandOver) *string { return &h.FitterSign }),
	handOverWords(HandOverOwner, "Name of the owner", text.Words, func(h *HandOver) *string { return &h.Owner }),
	handOverWords(HandOverOwnerSign, "Signature of the owner", text.Words, func(h *HandOver) *string { return &h.OwnerSign }),
	handOverWords(HandOverSigned, "Signed on", text.Words, func(h *HandOver) *string { return &h.Signed }),
	handOverWords(HandOverSignedFor, "What was signed", text.Words, func(h *HandOver) *string { return &h.SignedFor }),
	handOverNumber(HandOverHours, "Hours worked, all hands together", text.Ratio, 0, 2000, "",
		func(h *HandOver) *Value { return &h.Hours }),
	handOverNumber(HandOverLoads, "Trailer loads of spoil taken away", text.Count, 0, 500, "",
		func(h *HandOver) *Value { return &h.Loads }),
	handOverNumber(HandOverSpoil, "Loose spoil taken away, m³", text.Ratio, 0, 500,
		"Where a skip, a heap or a truck's box told its volume; loads alone do where the trailer is full by volume.",
		func(h *HandOver) *Value { return &h.Spoil }),
	handOverHours(HandOverHoursDig, "Hours of digging", func(h *HandOver) *Value { return &h.HoursDig }),
	handOverHours(HandOverHoursForm, "Hours of edge forms", func(h *HandOver) *Value { return &h.HoursForm }),
	handOverHours(HandOverHoursPour, "Hours of mixing and placing concrete", func(h *HandOver) *Value { return &h.HoursPour }),
	handOverHours(HandOverHoursHang, "Hours of hanging the leaf and setting its rollers", func(h *HandOver) *Value { return &h.HoursHang }),
	handOverHours(HandOverHoursWire, "Hours of fitting, wiring and setting the motor", func(h *HandOver) *Value { return &h.HoursWire }),
})

var forceList = list{
	path: HandOverForces, most: MaxEdgeForces, group: GroupHandOver, askedIf: never,
	count: func(s *Survey) int { return len(s.Build.HandOver.Forces) },
	fields: []Field{
		{column: HandOverForceEdge, Name: "Force {0}: at which edge", Dimension: text.Choice,
			Options: []Option{{EdgeClosing, "The closing edge"}, {EdgeOpening, "The opening edge"},
				{EdgeClosingLatch, "The closing edge of the latch side"}, {EdgeOpeningLatch, "The opening edge of the latch side"}},
			entryText: ofForce(func(f *EdgeForce) *string { return &f.Edge })},
		{column: HandOverForceGap, Name: "Force {0}: gap left where the gauge stood", Low: 0, High: 12000,
			entryNumber: ofForce(func(f *EdgeForce) *Value { return &f.Gap })},
		{column: HandOverForceHeight, Name: "Force {0}: height above the drive", Low: 0, High: 4000,
			entryNumber: ofForce(func(f *EdgeForce) *Value { return &f.Height })},
		{column: HandOverForcePeak, Name: "Force {0}: at the first", Dimension: text.Force, Low: 0, High: 20000,
			Help:        "The highest the gauge shows.",
			entryNumber: ofForce(func(f *EdgeForce) *Value { return &f.Peak })},
		{column: HandOverForceLong, Name: "Force {0}: seconds until it fell", Dimension: text.Ratio, Low: 0, High: 60,
			Help:        "From the blow until it fell to what may remain.",
			entryNumber: ofForce(func(f *EdgeForce) *Value { return &f.Long })},
		{column: HandOverForceRest, Name: "Force {0}: remaining", Dimension: text.Force, Low: 0, High: 20000,
			entryNumber: ofForce(func(f *EdgeForce) *Value { return &f.Rest })},
	},
}

var builtInList = list{
	path: HandOverParts, most: MaxBuiltIn, group: GroupHandOver, askedIf: never,
	count: func(s *Survey) int { return len(s.Build.HandOver.Parts) },
	fields: []Field{
		{column: HandOverPartWhat, Name: "Built in {0}: what", Dimension: text.Words,
			entryText: ofBuiltIn(func(b *BuiltIn) *string { return &b.What })},
		{column: HandOverPartSerial, Name: "Built in {0}: serial number", Dimension: text.Words,
			entryText: ofBuiltIn(func(b *BuiltIn) *string { return &b.Serial })},
		{column: HandOverPartSetting, Name: "Built in {0}: how it is set", Dimension: text.Words,
			entryText: ofBuiltIn(func(b *BuiltIn) *string { return &b.Setting })},
	},
}

var serviceList = list{
	path: HandOverServices, most: MaxServices, group: GroupHandOver, askedIf: never,
	count: func(s *Survey) int { return len(s.Build.HandOver.Services) },
	fields: []Field{
		{column: HandOverServiceOn, Name: "Service {0}: day", Dimension: text.Words,
			entryText: ofService(func(v *Service) *string { return &v.On })},
		{column: HandOverServiceWhat, Name: "Service {0}: what was done", Dimension: text.Words,
			entryText: ofService(func(v *Service) *string { return &v.What })},
		{column: HandOverServiceBy, Name: "Service {0}: by whom", Dimension: text.Words,
			entryText: ofService(func(v *Service) *string { return &v.By })},
	},
}

func ofForce[Part any](part func(*EdgeForce) *Part) func(*Survey, int) *Part {
	return entryOf(func(s *Survey) []EdgeForce { return s.Build.HandOver.Forces }, part)
}

func ofBuiltIn[Part any](part func(*BuiltIn) *Part) func(*Survey, int) *Part {
	return entryOf(func(s *Survey) []BuiltIn { return s.Build.HandOver.Parts }, part)
}

func ofService[Part any](part func(*Service) *Part) func(*Survey, int) *Part {
	return entryOf(func(s *Survey) []Service { return s.Build.HandOver.Services }, part)
}
