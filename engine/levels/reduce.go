package levels

import "math"

// ReducedRow is one row of the page with what follows from it.
type ReducedRow struct {
	Known bool // whether a level was carried to this row
	Setup int  // which instrument position read it, from 1; 0 for the start
	// Rise and Fall from the sight before it in the same setup, mm, never
	// negative, at most one of them over 0.
	Rise, Fall float64
	// Collimation is the level of the line of sight that read this row, mm.
	Collimation float64
	// ByRiseAndFall and ByCollimation are the level by each method, mm.
	ByRiseAndFall, ByCollimation float64
}

// Arithmetic holds both arithmetic checks of a page. They prove the
// reduction, not the readings.
type Arithmetic struct {
	Back, Intermediate, Fore float64 // sums of the columns over the rows reduced, mm
	Rise, Fall               float64
	First, Last              float64 // levels, mm
	// BackLessFore = RiseLessFall = LastLessFirst. A page that ends on an
	// intermediate sight counts it as a foresight here, as one does at the foot
	// of a page.
	BackLessFore, RiseLessFall, LastLessFirst float64
	RiseAndFallHolds                          bool
	// The full check by collimation takes in the intermediate sights:
	// Σ RL (but the first) + Σ IS + Σ FS = Σ (collimation × sights taken from it).
	LevelsAndSights, CollimationTimesSights float64
	CollimationHolds                        bool
}

// Reduction is a page reduced by both methods.
type Reduction struct {
	Rows   []ReducedRow
	Check  Arithmetic
	Setups int // instrument positions from which a level was carried
	// StoppedAt is the row whose fault stops the carrying of levels, -1 when
	// none. Its own level may still be known; no later one is.
	StoppedAt int
}

// Levels are the rows whose level is known and whose place was measured.
// sigma is the standard uncertainty of one staff reading, mm; each setup adds
// two readings: u = σ√(2·setup).
func (r *Reduction) Levels(rows []Row, sigma float64) []Point {
	var out []Point
	for i, red := range r.Rows {
		if i >= len(rows) || !red.Known || !rows[i].Located {
			continue
		}
		out = append(out, Point{
			Name: rows[i].Station, Chainage: rows[i].Chainage, Offset: rows[i].Offset,
			Level: red.ByRiseAndFall, Sigma: sigma * math.Sqrt(2*max(1, float64(red.Setup))),
		})
	}
	return out
}

// Reduce carries levels from start, the level of the first row in mm, through
// the page by rise and fall and by height of collimation.
//
//	collimation = RL + BS;  RL = collimation − IS or FS
//	rise = sight before − this sight (a fall when negative)
//
// Any fault comes back as BookingErrors naming row and column; the reduction
// that comes with it holds every level that can still be known. A reading out
// of range loses its own row; at a change point, or where the instrument moved
// unread, it loses every row from there on: StoppedAt.
//
// Source: common to the surveying texts; checked against testdata/references/levels.json.
func Reduce(rows []Row, start float64) (Reduction, error) {
	out := Reduction{Rows: make([]ReducedRow, len(rows)), StoppedAt: -1}
	var faults BookingErrors
	if !(math.Abs(start) <= MaxLevel) {
		faults = append(faults, BookingError{Row: -1, Column: StartColumn, Fault: StartOutOfRange, Given: start,
			Low: -MaxLevel, High: MaxLevel, Stops: true})
		return stopAll(out, faults)
	}
	if len(rows) > MaxPoints {
		faults = append(faults, BookingError{Row: -1, Column: BacksightColumn, Fault: TooManyRows,
			Given: float64(len(rows)), Low: 0, High: MaxPoints, Stops: true})
		return stopAll(out, faults)
	}
	b := booker{out: &out, faults: faults, level: start}
	for i := range rows {
		b.row(i, &rows[i])
	}
	b.finish(start)
	if len(b.faults) > 0 {
		return out, b.faults
	}
	return out, nil
}

func stopAll(out Reduction, faults BookingErrors) (Reduction, error) {
	out.StoppedAt = 0
	return out, faults
}

// booker walks down the page.
type booker struct {
	out         *Reduction
	faults      BookingErrors
	standing    bool    // the instrument has a backsight
	sinceBack   bool    // something was read since that backsight
	stopped     bool    // levels are lost from here on
	collimation float64 // level of the line of sight
	level       float64 // by rise and fall, of the last sight
	reading     float64 // the last sight
	last        int     // last row reduced
	state       pageState
}

// pageState is what the last sight carried was: it says how the foot of the
// page, or of the part that could be reduced, enters the arithmetic check.
type pageState int

const (
	closed     pageState = iota // by a foresight
	openUnread                  // a backsight from which nothing was carried yet
	openRead                    // an intermediate sight
)

func (b *booker) fault(i int, r *Row, c Column, f BookingFault, given float64, stops bool) {
	stops = stops && !b.stopped
	b.faults = append(b.faults, BookingError{Row: i, Station: r.Station, Column: c, Fault: f, Given: given,
		Stops: stops})
	if stops {
		b.stop(i)
	}
}

func (b *booker) stop(i int) {
	if !b.stopped {
		b.stopped = true
		b.out.StoppedAt = i
	}
}

func (b *booker) row(i int, r *Row) {
	back := b.usable(i, r, BacksightColumn, r.Back)
	inter := b.usable(i, r, IntermediateColumn, r.Intermediate)
	fore := b.usable(i, r, ForesightColumn, r.Fore)
	if !r.Back.Taken && !r.Intermediate.Taken && !r.Fore.Taken {
		b.fault(i, r, IntermediateColumn, EmptyRow, 0, i == 0)
		return
	}
	if r.Intermediate.Taken && (r.Back.Taken || r.Fore.Taken) {
		b.fault(i, r, IntermediateColumn, TwoSightsOneRow, r.Intermediate.Reading, true)
		inter = false
	}
	if r.Fore.Taken && !(r.Run >= 0 && r.Run <= MaxCoordinate) {
		b.faults = append(b.faults, BookingError{Row: i, Station: r.Station, Column: RunColumn, Fault: RunOutOfRange,
			Given: r.Run, Low: 0, High: MaxCoordinate})
	}
	for _, s := range []struct {
		sight Sight
		col   Column
	}{{r.Intermediate, IntermediateColumn}, {r.Fore, ForesightColumn}} {
		if s.sight.Taken && !b.standing {
			b.fault(i, r, s.col, NoInstrument, s.sight.Reading, true)
		}
	}
	switch {
	case inter && b.standing:
		b.carry(i, r.Intermediate.Reading)
		if !b.stopped {
			b.out.Check.Intermediate += r.Intermediate.Reading
			b.state = openRead
		}
	case r.Intermediate.Taken:
		b.sinceBack = true
	}
	if r.Fore.Taken {
		if b.standing && fore {
			b.carry(i, r.Fore.Reading)
			if !b.stopped {
				b.out.Check.Fore += r.Fore.Reading
				b.state = closed
			}
		} else if r.Back.Taken {
			b.stop(i)
		}
		b.standing = false
	}
	if r.Back.Taken {
		b.setUp(i, r, back)
	}
}

// usable reports whether a sight was taken and can be used.
func (b *booker) usable(i int, r *Row, c Column, s Sight) bool {
	e := checkSight(i, r.Station, c, s)
	if e == nil {
		return s.Taken
	}
	e.Stops = r.Back.Taken && c != IntermediateColumn && !b.stopped
	b.faults = append(b.faults, *e)
	if e.Stops && c == ForesightColumn {
		b.stop(i)
	}
	return false
}

func (b *booker) setUp(i int, r *Row, usable bool) {
	if b.standing {
		f := ForesightMissing
		if !b.sinceBack {
			f = TwoBacksights
		}
		b.fault(i, r, BacksightColumn, f, r.Back.Reading, true)
	}
	if i > 0 && !b.standing && !b.stopped && !b.out.Rows[i].Known {
		// The foresight stands a row above, or was refused: this row has no level.
		b.fault(i, r, BacksightColumn, ForesightMissing, r.Back.Reading, true)
	}
	b.standing, b.sinceBack = true, false
	if i == 0 {
		b.out.Rows[0] = ReducedRow{Known: true, ByRiseAndFall: b.level, ByCollimation: b.level}
	}
	if !usable {
		b.stop(i)
	}
	if b.stopped {
		return
	}
	b.out.Setups++
	b.collimation = b.out.Rows[i].ByCollimation + r.Back.Reading
	b.state = openUnread
	b.reading = r.Back.Reading
	b.out.Check.Back += r.Back.Reading
	b.last = i
}

func (b *booker) carry(i int, reading float64) {
	b.sinceBack = true
	if b.stopped {
		return
	}
	change := b.reading - reading
	b.level += change
	b.reading = reading
	red := ReducedRow{Known: true, Setup: b.out.Setups, Collimation: b.collimation, ByRiseAndFall: b.level,
		ByCollimation: b.collimation - reading}
	if change >= 0 {
		red.Rise = change
	} else {
		red.Fall = -change
	}
	c := &b.out.Check
	c.Rise += red.Rise
	c.Fall += red.Fall
	c.LevelsAndSights += red.ByCollimation + reading
	c.CollimationTimesSights += b.collimation
	b.out.Rows[i] = red
	b.last = i
}

func (b *booker) finish(start float64) {
	c := &b.out.Check
	c.First = start
	c.Last = start
	if b.last < len(b.out.Rows) && b.out.Rows[b.last].Known {
		c.Last = b.out.Rows[b.last].ByRiseAndFall
	}
	fore, back := c.Fore, c.Back
	switch b.state {
	case openRead:
		fore += b.reading
	case openUnread:
		back -= b.reading
	}
	c.BackLessFore = back - fore
	c.RiseLessFall = c.Rise - c.Fall
	c.LastLessFirst = c.Last - c.First
	// Sums of up to a thousand readings of a few metres: far below a micrometre
	// of rounding.
	const rounding = 1e-5
	c.RiseAndFallHolds = math.Abs(c.BackLessFore-c.RiseLessFall) < rounding &&
		math.Abs(c.RiseLessFall-c.LastLessFirst) < rounding
	c.CollimationHolds = math.Abs(c.LevelsAndSights-c.CollimationTimesSights) <=
		1e-12*math.Abs(c.CollimationTimesSights)+rounding
}
