package levels

import (
	"strings"

	"pegpour/engine/refusal"
)

// Sight is one staff reading in one column of the page, or none.
type Sight struct {
	Taken    bool
	Reading  float64 // mm; negative only on an inverted staff
	Inverted bool    // the staff was held upside down against something overhead
}

// Read is a reading on an upright staff, mm, 0 to MaxStaff.
func Read(mm float64) Sight { return Sight{Taken: true, Reading: mm} }

// ReadInverted is a reading on an inverted staff, booked negative as on paper:
// −MaxStaff to 0 mm.
func ReadInverted(mm float64) Sight { return Sight{Taken: true, Reading: mm, Inverted: true} }

// MaxStaff is the longest staff in trade use, mm. Common practice, no
// published source: telescopic staffs are sold up to 7.6 m.
const MaxStaff = 8000

// Row is one line of the level book: one place where the staff stood.
//
// The first row holds the backsight on the point whose level is known. A row
// with a foresight and a backsight is a change point: the instrument moved
// while the staff stayed. Every other row holds one intermediate sight or the
// last foresight.
type Row struct {
	Station                  string // name of the point or a remark
	Back, Intermediate, Fore Sight
	Located                  bool    // whether Chainage and Offset were measured
	Chainage, Offset         float64 // mm
	// Run is how far the level was carried by the setup that this row's
	// foresight closes: backsight length plus foresight length, mm. 0 when not
	// measured; needed only to adjust by distance.
	Run float64
}

// Column is where on the page a reading stands.
type Column string

// Columns of the level book.
const (
	BacksightColumn    Column = "BS"
	IntermediateColumn Column = "IS"
	ForesightColumn    Column = "FS"
	RunColumn          Column = "run"
	StartColumn        Column = "RL"
)

// BookingFault is what is wrong with a row.
type BookingFault string

// Faults of a level book.
const (
	// ReadingOutOfRange: not a number, or longer than any staff.
	ReadingOutOfRange BookingFault = "reading out of range"
	// NegativeUpright: a negative reading that was not flagged as inverted.
	NegativeUpright BookingFault = "negative reading on an upright staff"
	// PositiveInverted: an inverted reading is booked negative.
	PositiveInverted BookingFault = "positive reading on an inverted staff"
	// TwoBacksights: a second backsight with nothing read between.
	TwoBacksights BookingFault = "two backsights without a foresight between"
	// ForesightMissing: the instrument moved and the staff was not read from
	// its old place: no level is carried to this row or beyond.
	ForesightMissing BookingFault = "foresight missing at a change point"
	// NoInstrument: a sight with no backsight before it.
	NoInstrument BookingFault = "no backsight before this reading"
	// TwoSightsOneRow: an intermediate sight shares its row.
	TwoSightsOneRow BookingFault = "intermediate sight in a row with another sight"
	// EmptyRow: a row without any reading; only its own level stays unknown.
	EmptyRow BookingFault = "no reading in this row"
	// StartOutOfRange: the known starting level.
	StartOutOfRange BookingFault = "starting level out of range"
	// RunOutOfRange: a carried distance that cannot be.
	RunOutOfRange BookingFault = "run out of range"
	// TooManyRows: more than MaxPoints.
	TooManyRows BookingFault = "too many rows"
)

// BookingError names the row and column of one booking fault, what was given
// and what is allowed.
type BookingError struct {
	Row       int // from 0; -1 for the page as a whole
	Station   string
	Column    Column
	Fault     BookingFault
	Given     float64
	Low, High float64 // allowed readings where the fault is of size, else both 0
	// Stops says whether levels from this row on are lost because of it.
	Stops bool
}

// Error is the fault in one sentence.
func (e *BookingError) Error() string { return e.Refusal().String() }

// Refusal is the sentence with its values.
func (e *BookingError) Refusal() refusal.Message {
	fault := refusal.Say("{0}: {1}", refusal.Name(string(e.Column)), refusal.Name(string(e.Fault)))
	if e.Low != e.High {
		fault = refusal.Say("{0}: {1}: given {2}, allowed {3} to {4}", refusal.Name(string(e.Column)),
			refusal.Name(string(e.Fault)),
			refusal.Number(e.Given, "mm"), refusal.Number(e.Low, "mm"), refusal.Number(e.High, "mm"))
	}
	switch {
	case e.Row < 0:
		return fault
	case e.Station == "":
		return refusal.Say("row {0}, {1}", refusal.Count(e.Row+1), refusal.Part(fault))
	}
	return refusal.Say("row {0} ({1}), {2}", refusal.Count(e.Row+1), refusal.Typed(e.Station), refusal.Part(fault))
}

// BookingErrors are all the faults of a page, in the order of its rows.
type BookingErrors []BookingError

// Error lists the faults, one a line.
func (e BookingErrors) Error() string {
	lines := make([]string, len(e))
	for i := range e {
		lines[i] = e[i].Error()
	}
	return strings.Join(lines, "\n")
}

// Refusal is the first fault, which as a rule brings the others along.
func (e BookingErrors) Refusal() refusal.Message {
	if len(e) == 0 {
		return refusal.Message{}
	}
	return e[0].Refusal()
}

// Stop is the first fault that stops the reduction, or nil.
func (e BookingErrors) Stop() *BookingError {
	for i := range e {
		if e[i].Stops {
			return &e[i]
		}
	}
	return nil
}

func checkSight(row int, station string, column Column, s Sight) *BookingError {
	if !s.Taken {
		return nil
	}
	e := &BookingError{Row: row, Station: station, Column: column, Given: s.Reading, Low: 0, High: MaxStaff}
	if s.Inverted {
		e.Low, e.High = -MaxStaff, 0
	}
	if s.Reading >= e.Low && s.Reading <= e.High {
		return nil
	}
	switch {
	case s.Inverted && s.Reading > 0 && s.Reading <= MaxStaff:
		e.Fault = PositiveInverted
	case !s.Inverted && s.Reading < 0 && s.Reading >= -MaxStaff:
		e.Fault = NegativeUpright
	default:
		e.Fault = ReadingOutOfRange
	}
	return e
}
