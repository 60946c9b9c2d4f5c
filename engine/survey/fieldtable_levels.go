package survey

import (
	"pegpour/engine/practice"
	"pegpour/engine/text"
)

// The level book, one entry a row, and the points under the string line.
const (
	GroundLevelsBook          = "ground.levels.book"
	BookStation      ListPath = GroundLevelsBook + ".*.station"
	BookBack         ListPath = GroundLevelsBook + ".*.back"
	BookIntermediate ListPath = GroundLevelsBook + ".*.intermediate"
	BookFore         ListPath = GroundLevelsBook + ".*.fore"
	BookAlong        ListPath = GroundLevelsBook + ".*.along"
	BookOffset       ListPath = GroundLevelsBook + ".*.offset"
	BookOn           ListPath = GroundLevelsBook + ".*.on"

	GroundLevelsDrops          = "ground.levels.drops"
	DropName          ListPath = GroundLevelsDrops + ".*.name"
	DropDown          ListPath = GroundLevelsDrops + ".*.down"
	DropAlong         ListPath = GroundLevelsDrops + ".*.along"
	DropOffset        ListPath = GroundLevelsDrops + ".*.offset"
	DropOn            ListPath = GroundLevelsDrops + ".*.on"
)

// trackLine is the offset assumed of a reading whose own was not taped.
func trackLine(s *Survey, p *practice.Practice) (float64, bool) {
	return p.TrackOffset + s.Gate.Cladding.Size, true
}

var onOptions = []Option{{OnGround, "The drive or the ground"}, {OnSlab, "The slab that is there"}}

const highestSight = 8000 // mm on the staff

var bookList = list{
	path: GroundLevelsBook, most: MaxReadings, after: GroundLevelsClose, group: GroupGround,
	askedIf: takenBy(LevelsByStaff),
	count:   func(s *Survey) int { return len(s.Ground.Levels.Book) },
	fields: []Field{
		{column: BookStation, Name: "Row {0}: point", Dimension: text.Words,
			entryText: ofBook(func(r *BookRow) *string { return &r.Station })},
		{column: BookBack, Name: "Row {0}: backsight", High: highestSight,
			Help:        "The first reading after the level was set up.",
			entryNumber: ofBook(func(r *BookRow) *Value { return &r.Back })},
		{column: BookIntermediate, Name: "Row {0}: intermediate sight", High: highestSight,
			entryNumber: ofBook(func(r *BookRow) *Value { return &r.Intermediate })},
		{column: BookFore, Name: "Row {0}: foresight", High: highestSight,
			Help:        "The last reading before the level is moved.",
			entryNumber: ofBook(func(r *BookRow) *Value { return &r.Fore })},
		{column: BookAlong, Name: "Row {0}: along the fence from the latch post", Low: -20000, High: 40000,
			Help:        "Leave it empty for a point that only carries the level.",
			entryNumber: ofBook(func(r *BookRow) *Value { return &r.Along })},
		{column: BookOffset, Name: "Row {0}: out from the back of the fence", Low: -20000, High: 30000,
			Help: "On the track line where it was not taped.", standIn: trackLine,
			entryNumber: ofBook(func(r *BookRow) *Value { return &r.Offset })},
		{column: BookOn, Name: "Row {0}: taken on", Dimension: text.Choice, Options: onOptions,
			askedIf: both(takenBy(LevelsByStaff), slabThere), entryText: ofBook(func(r *BookRow) *string { return &r.On })},
	},
}

var dropList = list{
	path: GroundLevelsDrops, most: MaxReadings, after: GroundLevelsString, group: GroupGround,
	askedIf: takenBy(LevelsByString),
	count:   func(s *Survey) int { return len(s.Ground.Levels.Drops) },
	fields: []Field{
		{column: DropName, Name: "Point {0}: name", Dimension: text.Words,
			entryText: ofDrop(func(d *StringDrop) *string { return &d.Name })},
		{column: DropAlong, Name: "Point {0}: along the fence from the latch post", Low: -20000, High: 40000,
			entryNumber: ofDrop(func(d *StringDrop) *Value { return &d.Along })},
		{column: DropOffset, Name: "Point {0}: out from the back of the fence", Low: -20000, High: 30000,
			Help: "On the track line where it was not taped.", standIn: trackLine,
			entryNumber: ofDrop(func(d *StringDrop) *Value { return &d.Offset })},
		{column: DropDown, Name: "Point {0}: from the string down to the ground", Low: -8000, High: 8000,
			Help:        "Minus where the ground stands above the string.",
			entryNumber: ofDrop(func(d *StringDrop) *Value { return &d.Down })},
		{column: DropOn, Name: "Point {0}: taken on", Dimension: text.Choice, Options: onOptions,
			askedIf: both(takenBy(LevelsByString), slabThere), entryText: ofDrop(func(d *StringDrop) *string { return &d.On })},
	},
}

func ofBook[Part any](part func(*BookRow) *Part) func(*Survey, int) *Part {
	return entryOf(func(s *Survey) []BookRow { return s.Ground.Levels.Book }, part)
}

func ofDrop[Part any](part func(*StringDrop) *Part) func(*Survey, int) *Part {
	return entryOf(func(s *Survey) []StringDrop { return s.Ground.Levels.Drops }, part)
}
