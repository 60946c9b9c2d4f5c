package survey

import (
	"pegpour/engine/text"
)

// What stands there after the pour.
const (
	PouredBenchLevel = "build.poured.setUp.level"
	PouredBenchAlong = "build.poured.setUp.along"
	PouredOpen       = "build.poured.setUp.open"
	PouredClose      = "build.poured.setUp.close"
	PouredOpening    = "build.poured.opening"
	PouredGuideAlong = "build.poured.guideAlong"
	PouredGuideOut   = "build.poured.guideOut"
	PouredMotorAlong = "build.poured.motorAlong"
	PouredPadDown    = "build.poured.padDown"
	PouredRoom       = "build.poured.room"
	PouredMeets      = "build.poured.meets"
	PouredLaid       = "build.poured.laid"

	PouredOtherGuideAlong = "build.poured.other.guideAlong"
	PouredOtherGuideOut   = "build.poured.other.guideOut"
	PouredOtherMotorAlong = "build.poured.other.motorAlong"
	PouredOtherPadDown    = "build.poured.other.padDown"
	PouredOtherRoom       = "build.poured.other.room"

	PouredLevels              = "build.poured.levels"
	PouredLevelAlong ListPath = PouredLevels + ".*.along"
	PouredLevelDown  ListPath = PouredLevels + ".*.down"
)

// pouredLength is a field of a length as it was poured.
func pouredLength(path string, name text.Name, low, high float64, help string, of func(*Poured) *Value) Field {
	return Field{Path: path, Group: GroupPoured, Name: name, Dimension: text.Length, Low: low, High: high, Help: help,
		askedIf: never, number: func(s *Survey) *Value { return of(&s.Build.Poured) }}
}

var pouredFields = append(
	setUpFields(GroupPoured, PouredBenchLevel, PouredBenchAlong, PouredOpen, PouredClose,
		func(s *Survey) *SetUp { return &s.Build.Poured.SetUp }),
	pouredLength(PouredOpening, "Opening between the posts, as it is", 800, 12000,
		"At the bottom, the middle and the top of the leaf: the smallest.", func(p *Poured) *Value { return &p.Opening }),
	pouredLength(PouredGuideAlong, "Guide post as it stands: near face from the latch post", 0, 30e3,
		"At the height of the rollers, along the fence.", func(p *Poured) *Value { return &p.GuideAlong }),
	pouredLength(PouredGuideOut, "Guide post as it stands: front face from the back of the fence", 0, 2000,
		"At the height of the rollers, square to the fence.", func(p *Poured) *Value { return &p.GuideOut }),
	pouredLength(PouredMotorAlong, "Motor as its bolts stand: middle from the latch post", 0, 30e3,
		"Midway between the bolts, along the fence: there the pinion stands.", func(p *Poured) *Value { return &p.MotorAlong }),
	pouredLength(PouredPadDown, "Motor pad: down to its top", -highestSight, highestSight,
		"From the laser, the level's sight or the string, where the motor stands.", func(p *Poured) *Value { return &p.PadDown }),
	pouredLength(PouredRoom, "Room in the run-back, as it is", 500, 30e3,
		"From the inner face of the run-back post to the first thing that stops the leaf.", func(p *Poured) *Value { return &p.Room }),
	pouredLength(PouredMeets, "Stop in the drive as it stands: middle from the latch post", 0, 30e3,
		"Along the fence: there the leaves meet.", func(p *Poured) *Value { return &p.Meets }),
	pouredLength(PouredOtherGuideAlong, "Guide post of the latch side as it stands: near face from the run-back post", 0, 30e3,
		"At the height of the rollers, along the fence, across the whole opening.",
		func(p *Poured) *Value { return &p.Other.GuideAlong }),
	pouredLength(PouredOtherGuideOut, "Guide post of the latch side as it stands: front face from the back of the fence", 0, 2000,
		"At the height of the rollers, square to the fence.", func(p *Poured) *Value { return &p.Other.GuideOut }),
	pouredLength(PouredOtherMotorAlong, "Motor of the latch side as its bolts stand: middle from the run-back post", 0, 30e3,
		"Midway between the bolts, along the fence: there the pinion stands.",
		func(p *Poured) *Value { return &p.Other.MotorAlong }),
	pouredLength(PouredOtherPadDown, "Motor pad of the latch side: down to its top", -highestSight, highestSight,
		"From the laser, the level's sight or the string, where the motor stands.",
		func(p *Poured) *Value { return &p.Other.PadDown }),
	pouredLength(PouredOtherRoom, "Room in the run-back of the latch side, as it is", 500, 30e3,
		"From the inner face of the latch post to the first thing that stops the leaf.",
		func(p *Poured) *Value { return &p.Other.Room }),
	Field{Path: PouredLaid, Group: GroupPoured, Name: "How the track is laid", Dimension: text.Choice,
		Options: []Option{{LaidPacked, "Packed only: nothing is ground off"}, {LaidLeast, "Packed and ground: the least of both"},
			{LaidSquares, "Packed and ground: the even mean"}},
		askedIf: never, text: func(s *Survey) *string { return &s.Build.Poured.Laid }},
)

var pouredLevelList = list{
	path: PouredLevels, most: MaxPouredLevels, group: GroupPoured, askedIf: never,
	count: func(s *Survey) int { return len(s.Build.Poured.Levels) },
	fields: []Field{
		{column: PouredLevelAlong, Name: "Level {0}: along the fence from the latch post", Low: -20e3, High: 40e3,
			entryNumber: ofPoured(func(l *PouredLevel) *Value { return &l.Along })},
		{column: PouredLevelDown, Name: "Level {0}: down to the concrete under the track", Low: -highestSight,
			High: highestSight, Help: "From the laser, the level's sight or the string. Minus where it stands above.",
			entryNumber: ofPoured(func(l *PouredLevel) *Value { return &l.Down })},
	},
}

func ofPoured[Part any](part func(*PouredLevel) *Part) func(*Survey, int) *Part {
	return entryOf(func(s *Survey) []PouredLevel { return s.Build.Poured.Levels }, part)
}
