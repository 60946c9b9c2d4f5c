package survey

import (
	"pegpour/engine/text"
)

// GroupCasting holds forms, depths and the pour, GroupPoured what was poured. Each
// has a screen of its own and is no part of the walk.
const (
	GroupCasting = "Forms and pour"
	GroupPoured  = "As poured"
)

// What is read before the pour, and noted of it.
const (
	CastingBenchLevel = "build.casting.setUp.level"
	CastingBenchAlong = "build.casting.setUp.along"
	CastingOpen       = "build.casting.setUp.open"
	CastingClose      = "build.casting.setUp.close"

	CastingTops            = "build.casting.tops"
	FormTopPart   ListPath = CastingTops + ".*.part"
	FormTopAlong  ListPath = CastingTops + ".*.along"
	FormTopDown   ListPath = CastingTops + ".*.down"
	CastingDepths          = "build.casting.depths"
	DugDepthPart  ListPath = CastingDepths + ".*.part"
	DugDepthAlong ListPath = CastingDepths + ".*.along"
	DugDepthOut   ListPath = CastingDepths + ".*.out"
	DugDepthDepth ListPath = CastingDepths + ".*.depth"
	PourHours              = "build.casting.pour.hours"
	CuredAtAfter  ListPath = PourHours + ".*.after"
	CuredAtWarmth ListPath = PourHours + ".*.warmth"
	PourBags               = "build.casting.pour.bags"
	PourDocket             = "build.casting.pour.docket"
	PourDelivered          = "build.casting.pour.delivered"
	PourBegan              = "build.casting.pour.began"
	PourEnded              = "build.casting.pour.ended"
	PourCement             = "build.casting.pour.cement"
	PourStrength           = "build.casting.pour.strength"
	PourWarmth             = "build.casting.pour.warmth"
	PourExpected           = "build.casting.pour.expected"
)

// partOptions are the parts that have forms, the one most often read first.
var partOptions = []Option{{CastRunBack, "Run-back strip"}, {CastDrive, "Drive strip"}, {CastLatch, "Strip before the drive"},
	{CastPad, "Motor pad"}}

var benchHelp = "A point that keeps its level and can be found again. Leave the level out for a point of the finished drive on the track line."

// setUpFields are the fields of a set-up, which stands at the paths given.
func setUpFields(group, level, along, open, shut string, of func(*Survey) *SetUp) []Field {
	return []Field{
		{Path: level, Group: group, Name: "Level of the fixed point", Dimension: text.Length, Low: -100e3, High: 100e3,
			Help: benchHelp, askedIf: never, number: func(s *Survey) *Value { return &of(s).Level }},
		{Path: along, Group: group, Name: "Fixed point: along the fence from the latch post", Dimension: text.Length,
			Low: -20e3, High: 40e3, Help: benchHelp, askedIf: never, number: func(s *Survey) *Value { return &of(s).Along }},
		{Path: open, Group: group, Name: "Fixed point: first reading", Dimension: text.Length, Low: -highestSight,
			High: highestSight, Help: "From the laser, the level's sight or the string down to the point, before all others.",
			askedIf: never, number: func(s *Survey) *Value { return &of(s).Open }},
		{Path: shut, Group: group, Name: "Fixed point: closing reading", Dimension: text.Length, Low: -highestSight,
			High: highestSight, Help: "The same point once more, after all others: it shows whether anything was knocked.",
			askedIf: never, number: func(s *Survey) *Value { return &of(s).Close }},
	}
}

var castingFields = append(
	setUpFields(GroupCasting, CastingBenchLevel, CastingBenchAlong, CastingOpen, CastingClose,
		func(s *Survey) *SetUp { return &s.Build.Casting.Forms }),
	Field{Path: PourBags, Group: GroupCasting, Name: "Bags used", Dimension: text.Count, High: 5000, askedIf: never,
		number: func(s *Survey) *Value { return &s.Build.Casting.Pour.Bags }},
	Field{Path: PourDocket, Group: GroupCasting, Name: "Number of the delivery docket", Dimension: text.Words, askedIf: never,
		text: func(s *Survey) *string { return &s.Build.Casting.Pour.Docket }},
	Field{Path: PourDelivered, Group: GroupCasting, Name: "Concrete delivered by truck, m³", Dimension: text.Ratio, High: 50,
		Help: "As the docket says, less what went back with the truck.", askedIf: never,
		number: func(s *Survey) *Value { return &s.Build.Casting.Pour.Delivered }},
	Field{Path: PourBegan, Group: GroupCasting, Name: "Pour began", Dimension: text.Words, askedIf: never,
		text: func(s *Survey) *string { return &s.Build.Casting.Pour.Began }},
	Field{Path: PourEnded, Group: GroupCasting, Name: "Pour ended", Dimension: text.Words, askedIf: never,
		text: func(s *Survey) *string { return &s.Build.Casting.Pour.Ended }},
	Field{Path: PourCement, Group: GroupCasting, Name: "How fast the cement hardens", Dimension: text.Choice,
		Options: []Option{{CementNormal, "Normal: class N, or not known"}, {CementRapid, "Fast: class R"}, {CementSlow, "Slowly: class S"}},
		askedIf: never, text: func(s *Survey) *string { return &s.Build.Casting.Pour.Cement }},
	Field{Path: PourStrength, Group: GroupCasting, Name: "Cylinder strength at 28 days, MPa", Dimension: text.Ratio, Low: 8,
		High: 100, Help: "The first number of its class on bag or docket: 25 of C25/30.", askedIf: never,
		number: func(s *Survey) *Value { return &s.Build.Casting.Pour.Strength }},
	Field{Path: PourWarmth, Group: GroupCasting, Name: "Temperature since the pour, °C", Dimension: text.Ratio, Low: -60,
		High: 90, Help: "Of the concrete, felt under its cover; the mean of day and night.", askedIf: never,
		number: func(s *Survey) *Value { return &s.Build.Casting.Pour.Warmth }},
	Field{Path: PourExpected, Group: GroupCasting, Name: "Temperature expected from now on, °C", Dimension: text.Ratio,
		Low: -60, High: 90, Help: "The mean of day and night.", askedIf: never,
		number: func(s *Survey) *Value { return &s.Build.Casting.Pour.Expected }},
)

var formTopList = list{
	path: CastingTops, most: MaxFormTops, group: GroupCasting, askedIf: never,
	count: func(s *Survey) int { return len(s.Build.Casting.Tops) },
	fields: []Field{
		{column: FormTopPart, Name: "Form {0}: of which part", Dimension: text.Choice, Options: partOptions,
			entryText: ofTop(func(f *FormTop) *string { return &f.Part })},
		{column: FormTopAlong, Name: "Form {0}: along the fence from the latch post", Low: -20e3, High: 40e3,
			entryNumber: ofTop(func(f *FormTop) *Value { return &f.Along })},
		{column: FormTopDown, Name: "Form {0}: down to its top", Low: -highestSight, High: highestSight,
			Help:        "From the laser, the level's sight or the string. Minus where it stands above.",
			entryNumber: ofTop(func(f *FormTop) *Value { return &f.Down })},
	},
}

var dugDepthList = list{
	path: CastingDepths, most: MaxDugDepths, group: GroupCasting, askedIf: never,
	count: func(s *Survey) int { return len(s.Build.Casting.Depths) },
	fields: []Field{
		{column: DugDepthPart, Name: "Depth {0}: of which part", Dimension: text.Choice,
			Options:   append(partOptions[:len(partOptions):len(partOptions)], Option{CastHole, "Guide post hole"}),
			entryText: ofDepth(func(d *DugDepth) *string { return &d.Part })},
		{column: DugDepthAlong, Name: "Depth {0}: along the fence from the latch post", Low: -20e3, High: 40e3,
			entryNumber: ofDepth(func(d *DugDepth) *Value { return &d.Along })},
		{column: DugDepthOut, Name: "Depth {0}: out from the back of the fence", Low: -2e3, High: 20e3,
			Help: "Of the pad; leave it out for a strip.", entryNumber: ofDepth(func(d *DugDepth) *Value { return &d.Out })},
		{column: DugDepthDepth, Name: "Depth {0}: from the top of the concrete to the bottom", Low: 0, High: 4000,
			Help:        "From the top of the forms, or a straight edge over them, down to firm ground.",
			entryNumber: ofDepth(func(d *DugDepth) *Value { return &d.Depth })},
	},
}

var curedAtList = list{
	path: PourHours, most: MaxCuredAt, group: GroupCasting, askedIf: never,
	count: func(s *Survey) int { return len(s.Build.Casting.Pour.Hours) },
	fields: []Field{
		{column: CuredAtAfter, Name: "Temperature {0}: hours after the pour", Dimension: text.Ratio, High: 2000,
			entryNumber: ofHour(func(h *CuredAt) *Value { return &h.After })},
		{column: CuredAtWarmth, Name: "Temperature {0}: °C", Dimension: text.Ratio, Low: -60, High: 90,
			entryNumber: ofHour(func(h *CuredAt) *Value { return &h.Warmth })},
	},
}

func ofTop[Part any](part func(*FormTop) *Part) func(*Survey, int) *Part {
	return entryOf(func(s *Survey) []FormTop { return s.Build.Casting.Tops }, part)
}

func ofDepth[Part any](part func(*DugDepth) *Part) func(*Survey, int) *Part {
	return entryOf(func(s *Survey) []DugDepth { return s.Build.Casting.Depths }, part)
}

func ofHour[Part any](part func(*CuredAt) *Part) func(*Survey, int) *Part {
	return entryOf(func(s *Survey) []CuredAt { return s.Build.Casting.Pour.Hours }, part)
}
