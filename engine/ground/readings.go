package ground

import (
	"cmp"
	"errors"
	"math"
	"strconv"

	"pegpour/engine/input"
	"pegpour/engine/levels"
	"pegpour/engine/plan"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// stringReadings turns drops below the string line into levels.
func stringReadings(r *survey.Reader, slab bool) []plan.GroundReading {
	drops := r.Survey().Ground.Levels.Drops
	n := r.Entries(survey.GroundLevelsDrops, "Points under the string line", len(drops), survey.MaxReadings)
	line, _ := r.Number(survey.GroundLevelsString)
	out := make([]plan.GroundReading, 0, n)
	name, on, down, along, offset := survey.ColumnOf(survey.DropName), survey.ColumnOf(survey.DropOn),
		survey.ColumnOf(survey.DropDown), survey.ColumnOf(survey.DropAlong), survey.ColumnOf(survey.DropOffset)
	for i := range n {
		d := &drops[i]
		r.EntryAccepted(&name, i, d.Name)
		onSlab := r.EntryAccepted(&on, i, d.On) && slab && d.On == survey.OnSlab
		sigma, okDown := r.EntryReading(&down, i, d.Down)
		_, okAlong := r.EntryReading(&along, i, d.Along)
		if !okDown || !okAlong {
			continue // started and not taken yet
		}
		out = append(out, plan.GroundReading{Path: string(down.At(i)), Name: readingName(d.Name, i), Chainage: d.Along.Size,
			Offset: r.EntryNumber(&offset, i, d.Offset),
			Level:  line - d.Down.Size, Sigma: math.Hypot(sigma, r.Practice().SurfaceRoughness), OnSlab: onSlab})
	}
	return out
}

func readingName(typed string, i int) text.Name {
	if typed != "" {
		return text.TypedName(typed)
	}
	return text.Name(strconv.Itoa(i + 1))
}

// bookReadings reduces the page of staff readings, closes it where a closing
// level is known, and returns the rows that have a place on the ground.
func bookReadings(r *survey.Reader, slab bool) ([]plan.GroundReading, *plan.Booking) {
	book := r.Survey().Ground.Levels.Book
	n := r.Entries(survey.GroundLevelsBook, "Rows of the level book", len(book), survey.MaxReadings)
	start, _ := r.Number(survey.GroundLevelsStart)
	rows := make([]levels.Row, 0, n)
	index := make([]int, 0, n) // of the rows with a reading
	onSlab := make([]bool, n)
	sights := make([]levels.SightSigma, 0, n)
	station, on, along, offset := survey.ColumnOf(survey.BookStation), survey.ColumnOf(survey.BookOn),
		survey.ColumnOf(survey.BookAlong), survey.ColumnOf(survey.BookOffset)
	back, intermediate, fore := survey.ColumnOf(survey.BookBack), survey.ColumnOf(survey.BookIntermediate),
		survey.ColumnOf(survey.BookFore)
	for i := range n {
		b := &book[i]
		r.EntryAccepted(&station, i, b.Station)
		onSlab[i] = r.EntryAccepted(&on, i, b.On) && slab && b.On == survey.OnSlab
		row := levels.Row{Station: cmp.Or(b.Station, strconv.Itoa(i+1))}
		var sigma levels.SightSigma
		sight := func(c *survey.Column, v survey.Value, sigma *float64) levels.Sight {
			u, ok := r.EntryReading(c, i, v)
			if !ok {
				return levels.Sight{}
			}
			*sigma = u
			return levels.Read(v.Size)
		}
		row.Back = sight(&back, b.Back, &sigma.Back)
		row.Intermediate, row.Fore = sight(&intermediate, b.Intermediate, &sigma.Forward), sight(&fore, b.Fore, &sigma.Forward)
		if !row.Back.Taken && !row.Intermediate.Taken && !row.Fore.Taken {
			continue // started and not read yet
		}
		if _, ok := r.EntryReading(&along, i, b.Along); ok {
			row.Located, row.Chainage, row.Offset = true, b.Along.Size, r.EntryNumber(&offset, i, b.Offset)
		}
		rows, index, sights = append(rows, row), append(index, i), append(sights, sigma)
	}
	if len(rows) == 0 {
		return nil, nil
	}
	reduced, err := levels.Reduce(rows, start)
	refuseFaults(r, err, index)
	booking := bookingOf(rows, &reduced)
	if reduced.StoppedAt >= 0 {
		booking.StoppedAt = index[reduced.StoppedAt] + 1
	}
	closing := closePage(r, rows, &reduced, booking)
	sigmas := adjustPage(&page{rows, &reduced, index, sights, book, start}, closing, booking)

	var out []plan.GroundReading
	for i := range rows {
		if !reduced.Rows[i].Known || !rows[i].Located {
			continue
		}
		out = append(out, plan.GroundReading{Path: string(sightOf(&rows[i]).At(index[i])),
			Name: readingName(book[index[i]].Station, index[i]), Chainage: rows[i].Chainage, Offset: rows[i].Offset,
			Level: booking.Rows[i].Adjusted, Sigma: math.Hypot(sigmas[i], r.Practice().SurfaceRoughness),
			OnSlab: onSlab[index[i]]})
	}
	return out, booking
}

func sightOf(row *levels.Row) survey.ListPath {
	switch {
	case row.Intermediate.Taken:
		return survey.BookIntermediate
	case row.Fore.Taken:
		return survey.BookFore
	}
	return survey.BookBack
}

func bookingOf(rows []levels.Row, reduced *levels.Reduction) *plan.Booking {
	c := &reduced.Check
	b := &plan.Booking{Rows: make([]plan.BookingRow, len(rows)), BackLessFore: c.BackLessFore,
		RiseLessFall: c.RiseLessFall, LastLessFirst: c.LastLessFirst,
		ArithmeticHolds: c.RiseAndFallHolds && c.CollimationHolds, Setups: reduced.Setups}
	for i := range rows {
		q := &reduced.Rows[i]
		b.Rows[i] = plan.BookingRow{Station: rows[i].Station, Known: q.Known, Rise: q.Rise, Fall: q.Fall,
			Collimation: q.Collimation,
			Level:       q.ByRiseAndFall, Adjusted: q.ByRiseAndFall}
	}
	return b
}

// closePage compares the page with its known closing level, and returns that
// level, held unless it says how sure it is, for adjustPage to share the misclosure out; nil where none is known, or
// where the page is beyond the allowance: it is left as it was read, and must be
// levelled again.
func closePage(r *survey.Reader, rows []levels.Row, reduced *levels.Reduction, b *plan.Booking) *levels.KnownHeight {
	known, _, given := r.Reading(survey.GroundLevelsClose)
	if !given || reduced.Setups < 1 {
		return nil
	}
	allowance, err := levels.BySetups(r.Practice().LevelAllowance, reduced.Setups)
	if err != nil {
		return nil
	}
	closure, err := levels.Close(rows, reduced, known.Size, allowance, levels.EqualSetups)
	if err != nil {
		return nil
	}
	b.Closed, b.Misclosure, b.Allowance, b.Within = true, closure.Misclosure, closure.Allowance, closure.Within
	if !closure.Within {
		return nil
	}
	return &levels.KnownHeight{Level: known.Size, Sigma: known.Sigma}
}

// refuseFaults turns the faults of a page into refusals at the fields they stand
// in.
func refuseFaults(r *survey.Reader, err error, index []int) {
	var faults levels.BookingErrors
	if !errors.As(err, &faults) {
		return
	}
	for _, fault := range faults {
		var path survey.Path = survey.GroundLevelsStart
		if fault.Row >= 0 && fault.Row < len(index) {
			column := survey.BookIntermediate
			switch fault.Column {
			case levels.BacksightColumn:
				column = survey.BookBack
			case levels.ForesightColumn:
				column = survey.BookFore
			}
			path = column.At(index[fault.Row])
		}
		r.Refuse(input.FieldError{Path: string(path), Name: survey.FieldOf(path).Name, Dimension: text.Length,
			Given: fault.Given, Reason: input.Impossible, Detail: text.Say(faultWords(fault))})
	}
}

func faultWords(fault levels.BookingError) string {
	switch fault.Fault {
	case levels.ForesightMissing:
		return "the level was moved here and the staff was not read from its old place first: no level is carried past this row"
	case levels.TwoBacksights:
		return "a second backsight with no foresight between: no level is carried past this row"
	case levels.NoInstrument:
		return "there is no backsight before this reading: the first row holds the backsight on the known point"
	case levels.TwoSightsOneRow:
		return "an intermediate sight stands in a row of its own"
	}
	return string(fault.Fault)
}
