package engine

import (
	"strconv"
	"strings"
)

// assumedDatum is the level given to a first point or a string of which none is
// known, mm: levels then come out positive. Common practice of the level book.
const assumedDatum = 100000

// steepest slopes that are taken for a reading and not for a slip, rise over run.
const (
	driveSteepest = 0.6
	bankSteepest  = 4
)

func notLevel(s *Survey) bool { return s.Ground.Shape != "" && s.Ground.Shape != GroundLevel }
func offEdge(s *Survey) bool {
	return s.Ground.Shape == GroundRises || s.Ground.Shape == GroundFalls
}
func rises(s *Survey) bool { return s.Ground.Shape == GroundRises }

func takenBy(way string) func(*Survey) bool {
	return func(s *Survey) bool {
		taken := s.Ground.Levels.Taken
		return notLevel(s) && (taken == way || taken == "" && way == LevelsByString)
	}
}

func both(a, b func(*Survey) bool) func(*Survey) bool {
	return func(s *Survey) bool { return a(s) && b(s) }
}

func slabThere(s *Survey) bool { return s.Ground.Slab == Yes }

// groundFields are the readings of how the ground lies, and what follows from it.
var groundFields = []Field{
	{Path: "ground.shape", Group: GroupGround, Name: "How the ground lies in the run-back", Dimension: Choice,
		Help:    "Stand at the edge of the drive and look along the fence.",
		Options: []Option{{GroundLevel, "Level"}, {GroundSlopes, "Slopes on with the drive"}, {GroundRises, "Rises off the edge"}, {GroundFalls, "Falls off the edge"}},
		words:   func(s *Survey) *string { return &s.Ground.Shape }},
	{Path: "ground.levels.taken", Group: GroupGround, Name: "Levels taken with", Dimension: Choice, needed: notLevel,
		Options: []Option{{LevelsByString, "A string line and a tape"}, {LevelsByStaff, "A level and a staff"}, {LevelsBySlopes, "A slope read from the ground"}},
		words:   func(s *Survey) *string { return &s.Ground.Levels.Taken }},
	{Path: "ground.levels.start", Group: GroupGround, Name: "Level of the first point of the book", Dimension: Length, Low: -9e6, High: 9e6,
		Help: "Any figure will do where none is known: 100 metres.", assumed: fixed(assumedDatum), needed: takenBy(LevelsByStaff),
		number: func(s *Survey) *Value { return &s.Ground.Levels.Start }},
	{Path: "ground.levels.close", Group: GroupGround, Name: "Known level of the last point of the book", Dimension: Length, Low: -9e6, High: 9e6,
		Help: "Go back to where you began: then the page is closed and proves itself.", needed: takenBy(LevelsByStaff),
		number: func(s *Survey) *Value { return &s.Ground.Levels.Close }},
	{Path: "ground.levels.string", Group: GroupGround, Name: "Level of the string line", Dimension: Length, Low: -9e6, High: 9e6,
		Help: "Any figure will do where none is known: 100 metres. The string must be level from end to end.", assumed: fixed(assumedDatum), needed: takenBy(LevelsByString),
		number: func(s *Survey) *Value { return &s.Ground.Levels.String }},
	{Path: "ground.levels.along", Group: GroupGround, Name: "Slope of the drive along the fence", Dimension: Grade, Low: -driveSteepest, High: driveSteepest,
		Help: "Where the track goes. Plus climbs towards the run-back, minus falls.", assumed: fixed(0), needed: takenBy(LevelsBySlopes),
		number: func(s *Survey) *Value { return &s.Ground.Levels.Along }},
	{Path: "ground.levels.out", Group: GroupGround, Name: "Slope of the drive from the fence inwards", Dimension: Grade, Low: -driveSteepest, High: driveSteepest,
		Help: "Plus climbs into the property, minus falls.", assumed: fixed(0), needed: takenBy(LevelsBySlopes),
		number: func(s *Survey) *Value { return &s.Ground.Levels.Out }},
	{Path: "ground.levels.bankStep", Group: GroupGround, Name: "Ground just beyond the edge of the drive, higher by", Dimension: Length, Low: -4000, High: 4000,
		Help: "Plus where it stands above the drive, minus where it lies below.", assumed: fixed(0), needed: both(takenBy(LevelsBySlopes), offEdge),
		number: func(s *Survey) *Value { return &s.Ground.Levels.BankStep }},
	{Path: "ground.levels.bankAlong", Group: GroupGround, Name: "Slope of the ground beyond the edge, along the fence", Dimension: Grade, Low: -bankSteepest, High: bankSteepest,
		Help: "Plus climbs away from the drive, minus falls.", needed: both(takenBy(LevelsBySlopes), offEdge),
		number: func(s *Survey) *Value { return &s.Ground.Levels.BankAlong }},
	{Path: "ground.slab", Group: GroupGround, Name: "Is there a slab in the run-back already?", Dimension: Choice, needed: notLevel,
		Options: []Option{{No, "No"}, {Yes, "Yes"}}, words: func(s *Survey) *string { return &s.Ground.Slab }},
	{Path: "ground.levels.slabStep", Group: GroupGround, Name: "That slab at the edge of the drive, higher by", Dimension: Length, Low: -2000, High: 2000,
		Help: "Plus where it stands above the drive.", assumed: fixed(0), needed: both(takenBy(LevelsBySlopes), slabThere),
		number: func(s *Survey) *Value { return &s.Ground.Levels.SlabStep }},
	{Path: "ground.levels.slabAlong", Group: GroupGround, Name: "Slope of that slab along the fence", Dimension: Grade, Low: -driveSteepest, High: driveSteepest,
		Help: "Plus climbs away from the drive.", assumed: fixed(0), needed: both(takenBy(LevelsBySlopes), slabThere),
		number: func(s *Survey) *Value { return &s.Ground.Levels.SlabAlong }},
	{Path: "ground.channel", Group: GroupGround, Name: "A drain or dished channel around the motor pad?", Dimension: Choice, needed: notLevel,
		Help:    "It takes the rainwater that would run against the pad, and must run out on the low side.",
		Options: []Option{{No, "No"}, {Yes, "Yes"}}, words: func(s *Survey) *string { return &s.Ground.Channel }},
	{Path: "ground.cavity.wall", Group: GroupGround, Name: "Retaining wall of", Dimension: Choice, needed: rises,
		Options: []Option{{WallOnBase, "Blocks on a base"}, {WallOfPosts, "Sleepers between posts"}}, words: func(s *Survey) *string { return &s.Ground.Cavity.Wall }},
	{Path: "ground.cavity.drain", Group: GroupGround, Name: "Drain behind the retaining wall", Dimension: Choice, needed: rises,
		Options: []Option{{Yes, "Pipe in gravel, running out"}, {No, "None"}}, words: func(s *Survey) *string { return &s.Ground.Cavity.Drain }},
	{Path: "ground.cavity.load", Group: GroupGround, Name: "What stands behind the retaining wall", Dimension: Choice, needed: rises,
		Help:    "Within as far as the wall is high.",
		Options: []Option{{LoadGarden, "Garden"}, {LoadVehicles, "Cars park or drive there"}, {LoadBuilding, "A building"}}, words: func(s *Survey) *string { return &s.Ground.Cavity.Load }},
}

// appendGroundEntries adds the fields of the rows and drops after the field
// that heads them.
func appendGroundEntries(all []Field, after string, s *Survey) []Field {
	list := func(prefix string, n int, table []Field) {
		for i := range min(n, MaxReadings) {
			for k := range table {
				if f, ok := groundEntryField(prefix + strconv.Itoa(i) + "." + table[k].Path); ok {
					all = append(all, f)
				}
			}
		}
	}
	switch after {
	case "ground.levels.close":
		list(bookPath, len(s.Ground.Levels.Book), bookFields)
	case "ground.levels.string":
		list(dropPath, len(s.Ground.Levels.Drops), dropFields)
	}
	return all
}

const (
	bookPath = "ground.levels.book."
	dropPath = "ground.levels.drops."
)

// trackLine is the offset assumed of a reading whose own was not taped.
func trackLine(s *Survey, p *Practice) (float64, bool) {
	return p.TrackOffset + s.Gate.Cladding.Size, true
}

var onOptions = []Option{{OnGround, "The drive or the ground"}, {OnSlab, "The slab that is there"}}

const highestSight = 8000 // mm on the staff

// bookFields are those of one row of the book, by the last part of their paths;
// the names lack the row's number.
var bookFields = []Field{
	{Path: "station", Name: "Row {0}: point", Dimension: Words, entryWords: ofBook(func(r *BookRow) *string { return &r.Station })},
	{Path: "back", Name: "Row {0}: backsight", High: highestSight, Help: "The first reading after the level was set up.", entryNumber: ofBook(func(r *BookRow) *Value { return &r.Back })},
	{Path: "intermediate", Name: "Row {0}: intermediate sight", High: highestSight, entryNumber: ofBook(func(r *BookRow) *Value { return &r.Intermediate })},
	{Path: "fore", Name: "Row {0}: foresight", High: highestSight, Help: "The last reading before the level is moved.", entryNumber: ofBook(func(r *BookRow) *Value { return &r.Fore })},
	{Path: "along", Name: "Row {0}: along the fence from the latch post", Low: -20000, High: 40000, Help: "Leave it empty for a point that only carries the level.",
		entryNumber: ofBook(func(r *BookRow) *Value { return &r.Along })},
	{Path: "offset", Name: "Row {0}: out from the back of the fence", Low: -20000, High: 30000, Help: "On the track line where it was not taped.", assumed: trackLine,
		entryNumber: ofBook(func(r *BookRow) *Value { return &r.Offset })},
	{Path: "on", Name: "Row {0}: taken on", Dimension: Choice, Options: onOptions, needed: both(takenBy(LevelsByStaff), slabThere), entryWords: ofBook(func(r *BookRow) *string { return &r.On })},
}

// dropFields are those of one point under the string line, as bookFields.
var dropFields = []Field{
	{Path: "name", Name: "Point {0}: name", Dimension: Words, entryWords: ofDrop(func(d *StringDrop) *string { return &d.Name })},
	{Path: "down", Name: "Point {0}: from the string down to the ground", Low: -8000, High: 8000, Help: "Minus where the ground stands above the string.",
		entryNumber: ofDrop(func(d *StringDrop) *Value { return &d.Down })},
	{Path: "along", Name: "Point {0}: along the fence from the latch post", Low: -20000, High: 40000, entryNumber: ofDrop(func(d *StringDrop) *Value { return &d.Along })},
	{Path: "offset", Name: "Point {0}: out from the back of the fence", Low: -20000, High: 30000, Help: "On the track line where it was not taped.", assumed: trackLine,
		entryNumber: ofDrop(func(d *StringDrop) *Value { return &d.Offset })},
	{Path: "on", Name: "Point {0}: taken on", Dimension: Choice, Options: onOptions, needed: both(takenBy(LevelsByString), slabThere), entryWords: ofDrop(func(d *StringDrop) *string { return &d.On })},
}

var takenByStaff, takenByString = takenBy(LevelsByStaff), takenBy(LevelsByString)

// ofBook finds a part of a row of the book; nil where there is no such row.
func ofBook[T any](part func(*BookRow) *T) func(*Survey, int) *T {
	return func(s *Survey, i int) *T {
		if i < len(s.Ground.Levels.Book) {
			return part(&s.Ground.Levels.Book[i])
		}
		return nil
	}
}

// ofDrop finds a part of a point under the string line; nil where there is no
// such point.
func ofDrop[T any](part func(*StringDrop) *T) func(*Survey, int) *T {
	return func(s *Survey, i int) *T {
		if i < len(s.Ground.Levels.Drops) {
			return part(&s.Ground.Levels.Drops[i])
		}
		return nil
	}
}

// groundEntryField is the field of one row of the book or one drop.
func groundEntryField(path string) (Field, bool) {
	if rest, ok := strings.CutPrefix(path, bookPath); ok {
		return entryField(bookFields, takenByStaff, path, rest)
	}
	if rest, ok := strings.CutPrefix(path, dropPath); ok {
		return entryField(dropFields, takenByString, path, rest)
	}
	return Field{}, false
}

// entryField is the field at path of an entry whose fields stand in a table;
// rest is the path from the entry's number on.
func entryField(table []Field, needed func(*Survey) bool, path, rest string) (Field, bool) {
	i, name, ok := indexed(rest, MaxReadings)
	if !ok {
		return Field{}, false
	}
	for k := range table {
		if table[k].Path != name {
			continue
		}
		f := table[k]
		f.Path, f.Group, f.Name, f.entry = path, GroupGround, fill(f.Name, strconv.Itoa(i+1)), i
		if f.Dimension == "" {
			f.Dimension = Length
		}
		if f.needed == nil {
			f.needed = needed
		}
		return f, true
	}
	return Field{}, false
}
