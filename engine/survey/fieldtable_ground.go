package survey

import (
	"pegpour/engine/text"
)

// AssumedDatum is the level given to a first point or a string of which none is
// known, mm: levels then come out positive. Common practice of the level book.
const AssumedDatum = 100000

// steepest slopes that are taken for a reading and not for a slip, rise over run.
const (
	driveSteepest = 0.6
	bankSteepest  = 4
)

// notLevel: the ground on this side is not; someNotLevel: on either side.
func notLevel(s *Survey) bool { return uneven(s) }

func someNotLevel(s *Survey) bool {
	return uneven(s) || Paired(s) && uneven(s.Pair.Other.own())
}
func rises(s *Survey) bool { return s.Ground.Shape == GroundRises }

func takenBy(way string) func(*Survey) bool {
	return func(s *Survey) bool {
		taken := s.Ground.Levels.Taken
		return someNotLevel(s) && (taken == way || taken == "" && way == LevelsByString)
	}
}

func both(a, b func(*Survey) bool) func(*Survey) bool {
	return func(s *Survey) bool { return a(s) && b(s) }
}

// SignedFall reports whether ground that falls off the edge was read with a sign, as
// surveys used to be, and not as a fall.
func SignedFall(s *Survey) bool {
	l := &s.Ground.Levels
	return (l.BankStep.Known() || l.BankAlong.Known()) && !l.FallStep.Known() && !l.FallAlong.Known()
}

// bySign: ground beside the drive that is read with a sign.
func bySign(s *Survey) bool { return rises(s) || Falls(s) && SignedFall(s) }

// byFall: ground that falls off the edge, of which the fall is asked.
func byFall(s *Survey) bool { return Falls(s) && !SignedFall(s) }

func slabThere(s *Survey) bool { return s.Ground.Slab == Yes }

// How the ground lies and what is built into it.
const (
	GroundShape           = "ground.shape"
	GroundLevelsTaken     = "ground.levels.taken"
	GroundLevelsStart     = "ground.levels.start"
	GroundLevelsClose     = "ground.levels.close"
	GroundLevelsString    = "ground.levels.string"
	GroundLevelsAlong     = "ground.levels.along"
	GroundLevelsOut       = "ground.levels.out"
	GroundLevelsBankStep  = "ground.levels.bankStep"
	GroundLevelsBankAlong = "ground.levels.bankAlong"
	GroundLevelsFallStep  = "ground.levels.fallStep"
	GroundLevelsFallAlong = "ground.levels.fallAlong"
	GroundSlab            = "ground.slab"
	GroundLevelsSlabStep  = "ground.levels.slabStep"
	GroundLevelsSlabAlong = "ground.levels.slabAlong"
	GroundChannel         = "ground.channel"
	GroundCavityWall      = "ground.cavity.wall"
	GroundCavityDrain     = "ground.cavity.drain"
	GroundCavityLoad      = "ground.cavity.load"
)

// groundFields are the readings of how the ground lies, and what follows from it.
var groundFields = []Field{
	{Path: GroundShape, Group: GroupGround, Name: "How the ground lies in the run-back", Dimension: text.Choice,
		Help: "Stand at the edge of the drive and look along the fence.",
		Options: []Option{{GroundLevel, "Level"}, {GroundSlopes, "Slopes on with the drive"},
			{GroundRises, "Rises off the edge"}, {GroundFalls, "Falls off the edge"}},
		text: func(s *Survey) *string { return &s.Ground.Shape }},
	{Path: GroundLevelsTaken, Group: GroupGround, Name: "Levels taken with", Dimension: text.Choice, askedIf: someNotLevel,
		Options: []Option{{LevelsByString, "A string line and a tape"}, {LevelsByStaff, "A level and a staff"},
			{LevelsBySlopes, "A slope read from the ground"}},
		text: func(s *Survey) *string { return &s.Ground.Levels.Taken }},
	{Path: GroundLevelsStart, Group: GroupGround, Name: "Level of the first point of the book", Dimension: text.Length,
		Low: -9e6, High: 9e6,
		Help: "Any figure will do where none is known: 100 metres.", standIn: fixed(AssumedDatum),
		askedIf: takenBy(LevelsByStaff),
		number:  func(s *Survey) *Value { return &s.Ground.Levels.Start }},
	{Path: GroundLevelsClose, Group: GroupGround, Name: "Known level of the last point of the book",
		Dimension: text.Length, Low: -9e6, High: 9e6,
		Help: "Go back to where you began: then the page is closed and proves itself.", askedIf: takenBy(LevelsByStaff),
		number: func(s *Survey) *Value { return &s.Ground.Levels.Close }},
	{Path: GroundLevelsString, Group: GroupGround, Name: "Level of the string line", Dimension: text.Length, Low: -9e6,
		High:    9e6,
		Help:    "Any figure will do where none is known: 100 metres. The string must be level from end to end.",
		standIn: fixed(AssumedDatum), askedIf: takenBy(LevelsByString),
		number: func(s *Survey) *Value { return &s.Ground.Levels.String }},
	{Path: GroundLevelsAlong, Group: GroupGround, Name: "Slope of the drive along the fence", Dimension: text.Grade,
		Low: -driveSteepest, High: driveSteepest,
		Help: "Where the track goes. Plus climbs towards the run-back, minus falls.", standIn: fixed(0),
		askedIf: takenBy(LevelsBySlopes),
		number:  func(s *Survey) *Value { return &s.Ground.Levels.Along }},
	{Path: GroundLevelsOut, Group: GroupGround, Name: "Slope of the drive from the fence inwards", Dimension: text.Grade,
		Low: -driveSteepest, High: driveSteepest,
		Help: "Plus climbs into the property, minus falls.", standIn: fixed(0), askedIf: takenBy(LevelsBySlopes),
		number: func(s *Survey) *Value { return &s.Ground.Levels.Out }},
	{Path: GroundLevelsBankStep, Group: GroupGround, Name: "Ground just beyond the edge of the drive, higher by",
		Dimension: text.Length, Low: -4000, High: 4000,
		Help: "Plus where it stands above the drive, minus where it lies below.", standIn: fixed(0),
		askedIf: both(takenBy(LevelsBySlopes), bySign),
		number:  func(s *Survey) *Value { return &s.Ground.Levels.BankStep }},
	{Path: GroundLevelsBankAlong, Group: GroupGround, Name: "Slope of the ground beyond the edge, along the fence",
		Dimension: text.Grade, Low: -bankSteepest, High: bankSteepest,
		Help: "Plus climbs away from the drive, minus falls.", askedIf: both(takenBy(LevelsBySlopes), bySign),
		number: func(s *Survey) *Value { return &s.Ground.Levels.BankAlong }},
	{Path: GroundLevelsFallStep, Group: GroupGround, Name: "Ground just beyond the edge of the drive, lower by",
		Dimension: text.Length, Low: 0, High: 4000,
		Help: "How far it drops at the edge itself; 0 where it begins level with the drive.", standIn: fixed(0),
		askedIf: both(takenBy(LevelsBySlopes), byFall),
		number:  func(s *Survey) *Value { return &s.Ground.Levels.FallStep }},
	{Path: GroundLevelsFallAlong, Group: GroupGround, Name: "Fall of the ground from there on, along the fence",
		Dimension: text.Grade, Low: 0, High: bankSteepest,
		Help:    "How steeply it goes on falling away from the drive; 0 where it lies level.",
		askedIf: both(takenBy(LevelsBySlopes), byFall),
		number:  func(s *Survey) *Value { return &s.Ground.Levels.FallAlong }},
	{Path: GroundSlab, Group: GroupGround, Name: "Is there a slab in the run-back already?", Dimension: text.Choice,
		askedIf: notLevel,
		Options: []Option{{No, "No"}, {Yes, "Yes"}}, text: func(s *Survey) *string { return &s.Ground.Slab }},
	{Path: GroundLevelsSlabStep, Group: GroupGround, Name: "That slab at the edge of the drive, higher by",
		Dimension: text.Length, Low: -2000, High: 2000,
		Help: "Plus where it stands above the drive.", standIn: fixed(0), askedIf: both(takenBy(LevelsBySlopes), slabThere),
		number: func(s *Survey) *Value { return &s.Ground.Levels.SlabStep }},
	{Path: GroundLevelsSlabAlong, Group: GroupGround, Name: "Slope of that slab along the fence", Dimension: text.Grade,
		Low: -driveSteepest, High: driveSteepest,
		Help: "Plus climbs away from the drive.", standIn: fixed(0), askedIf: both(takenBy(LevelsBySlopes), slabThere),
		number: func(s *Survey) *Value { return &s.Ground.Levels.SlabAlong }},
	{Path: GroundChannel, Group: GroupGround, Name: "A drain or dished channel around the motor pad?",
		Dimension: text.Choice, askedIf: notLevel,
		Help:    "It takes the rainwater that would run against the pad, and must run out on the low side.",
		Options: []Option{{No, "No"}, {Yes, "Yes"}}, text: func(s *Survey) *string { return &s.Ground.Channel }},
	{Path: GroundCavityWall, Group: GroupGround, Name: "Retaining wall of", Dimension: text.Choice, askedIf: rises,
		Options: []Option{{WallOnBase, "Blocks on a base"}, {WallOfPosts, "Sleepers between posts"}},
		text:    func(s *Survey) *string { return &s.Ground.Cavity.Wall }},
	{Path: GroundCavityDrain, Group: GroupGround, Name: "Drain behind the retaining wall", Dimension: text.Choice,
		askedIf: rises,
		Options: []Option{{Yes, "Pipe in gravel, running out"}, {No, "None"}},
		text:    func(s *Survey) *string { return &s.Ground.Cavity.Drain }},
	{Path: GroundCavityLoad, Group: GroupGround, Name: "What stands behind the retaining wall", Dimension: text.Choice,
		askedIf: rises,
		Help:    "Within as far as the wall is high.",
		Options: []Option{{LoadGarden, "Garden"}, {LoadVehicles, "Cars park or drive there"}, {LoadBuilding, "A building"}},
		text:    func(s *Survey) *string { return &s.Ground.Cavity.Load }},
	// It is looked at once the hole is dug, or stays as assumed.
	{Path: GroundClass, Group: GroupGround, Name: "What the firm ground is", Dimension: text.Choice,
		Help: "Rub a handful: sand is gritty and falls apart, clay rolls into a thread.",
		Options: []Option{{ClassUnknown, "Not looked at"}, {"clay", "Clay or silt"},
			{"sand", "Sand, or gravel with silt or clay in it"},
			{"gravel", "Clean gravel"}, {"soft-rock", "Layered or soft rock"}, {"rock", "Sound rock"},
			{"fill", "Fill, nobody knows how placed"}},
		askedIf: func(s *Survey) bool { return s.Ground.Soil != "" },
		text:    func(s *Survey) *string { return &s.Ground.Class }},
	{Path: GroundExpansive, Group: GroupGround, Name: "Does the clay swell and shrink?", Dimension: text.Choice,
		Help:    "Wide cracks in dry weather, doors that stick in wet: then it does. Neighbours and the council know.",
		Options: []Option{{ClassUnknown, "Not known"}, {No, "No"}, {Yes, "Yes"}},
		askedIf: mayBeClay, text: func(s *Survey) *string { return &s.Ground.Expansive }},
	{Path: GroundFrost, Group: GroupGround, Name: "Frost goes into the ground", Dimension: text.Length, Low: 0,
		High: 3000,
		Help: "Ask the council; 0 where the ground never freezes.", standIn: frostGuess,
		askedIf: func(s *Survey) bool { return s.Ground.Soil == "" || !LiesStill(s.Ground.Soil, s.Ground.Class) },
		number:  func(s *Survey) *Value { return &s.Ground.Frost }},
}
