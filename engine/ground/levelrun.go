package ground

import (
	"pegpour/engine/input"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// LevelRun is the page of the level book as it is being booked, row by row of
// the survey, whether or not the ground's shape asks for it yet.
type LevelRun struct {
	// Rows are those of the survey's book.
	Rows []RunRow
	// Booking holds the checks; nil while nothing was read.
	Booking *plan.Booking
	// SumBack, SumFore, SumRise and SumFall stand at the foot of the page, mm.
	SumBack, SumFore, SumRise, SumFall float64
	// Step is what the staff and the level do next.
	Step RunStep
	// Faults are what stands in the wrong place, by field.
	Faults input.Refusals
}

// RunRow is one row of the page.
type RunRow struct {
	Read bool // holds a reading that counts
	plan.BookingRow
	// Height of collimation that the row's backsight gives, mm; 0 where there is none.
	Height float64
	// HasRise says that the row closes a step from the row before.
	HasRise bool
	// Placed says where on the ground it was read: chainage and offset, mm.
	Placed           bool
	Chainage, Offset float64
	// Turning is a change point, half done while only one of its two sights was
	// taken.
	Turning, HalfDone bool
}

// RunStep is the next thing to do in a level run.
type RunStep string

// Steps of a level run.
const (
	RunBackFirst RunStep = "first backsight"   // staff on the known point
	RunOpen      RunStep = "open"              // read points, move the level, or close
	RunTurnFore  RunStep = "turning foresight" // read the staff before the level is moved
	RunDone      RunStep = "done"              // the page ends on a foresight
)

// BookLevels reduces the page as it stands. Levels are mm above the survey's
// datum, by rise and fall and by height of collimation. Rules of practice out of
// range stand at their defaults, as in [Design].
func BookLevels(s survey.Survey, p practice.Practice) LevelRun {
	p.ReplaceRefused()
	r := survey.NewReader(&s, &p)
	_, booking := bookReadings(r, false)
	run := LevelRun{Booking: booking, Faults: r.Refused()}
	read := 0
	for i := range min(len(s.Ground.Levels.Book), survey.MaxReadings) {
		row := &s.Ground.Levels.Book[i]
		out := RunRow{}
		taken := func(sight survey.ListPath) bool { _, _, ok := r.Reading(sight.At(i)); return ok }
		back, between, fore := taken(survey.BookBack), taken(survey.BookIntermediate), taken(survey.BookFore)
		if (back || between || fore) && booking != nil && read < len(booking.Rows) {
			out.Read, out.BookingRow = true, booking.Rows[read]
			out.HasRise = read > 0 && out.Known
			if back && out.Known {
				out.Height = out.Level + row.Back.Size
			}
			if out.Known {
				run.SumRise += out.Rise
				run.SumFall += out.Fall
			}
			read++
		}
		if back {
			run.SumBack += row.Back.Size
		}
		if fore {
			run.SumFore += row.Fore.Size
		}
		if along, _, ok := r.Reading(survey.BookAlong.At(i)); ok {
			out.Placed, out.Chainage = true, along.Size
			out.Offset, _ = r.Number(survey.BookOffset.At(i))
		}
		out.Turning = back && fore
		out.HalfDone = i > 0 && back != fore && !between
		run.Rows = append(run.Rows, out)
	}
	run.Step = stepOf(s.Ground.Levels.Book)
	return run
}

// stepOf says what comes next from the last row that was begun. A foresight
// that was called for and not read yet is a turning one.
func stepOf(book []survey.BookRow) RunStep {
	if len(book) == 0 || !book[0].Back.Known() {
		return RunBackFirst
	}
	last := &book[len(book)-1]
	switch {
	case len(book) == 1:
		return RunOpen
	case last.Fore.Known() && !last.Back.Known():
		return RunDone
	case last.Back.Known() && !last.Fore.Known():
		return RunTurnFore
	}
	return RunOpen
}
