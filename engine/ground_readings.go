package engine

import (
	"errors"
	"math"
	"strconv"

	"pegpour/engine/levels"
)

// stringReadings turns drops below the string line into levels.
func stringReadings(r *Reader, slab bool) []GroundReading {
	drops := r.Survey().Ground.Levels.Drops
	n := r.Entries(GroundLevelsDrops, "Points under the string line", len(drops), MaxReadings)
	line, _ := r.Number(GroundLevelsString)
	out := make([]GroundReading, 0, n)
	name, on, down, along, offset := ColumnOf(DropName), ColumnOf(DropOn), ColumnOf(DropDown), ColumnOf(DropAlong), ColumnOf(DropOffset)
	for i := range n {
		d := &drops[i]
		r.EntryAccepted(&name, i, d.Name)
		onSlab := r.EntryAccepted(&on, i, d.On) && slab && d.On == OnSlab
		sigma, okDown := r.EntryReading(&down, i, d.Down)
		_, okAlong := r.EntryReading(&along, i, d.Along)
		if !okDown || !okAlong {
			continue // started and not taken yet
		}
		out = append(out, GroundReading{Path: string(down.At(i)), Name: readingName(d.Name, i), Chainage: d.Along.Size, Offset: r.EntryNumber(&offset, i, d.Offset),
			Level: line - d.Down.Size, Sigma: math.Hypot(sigma, r.Practice().SurfaceRoughness), OnSlab: onSlab})
	}
	return out
}

func readingName(name string, i int) string {
	if name != "" {
		return name
	}
	return strconv.Itoa(i + 1)
}

// bookReadings reduces the page of staff readings, closes it where a closing
// level is known, and returns the rows that have a place on the ground.
func bookReadings(r *Reader, slab bool) ([]GroundReading, *Booking) {
	book := r.Survey().Ground.Levels.Book
	n := r.Entries(GroundLevelsBook, "Rows of the level book", len(book), MaxReadings)
	start, _ := r.Number(GroundLevelsStart)
	rows := make([]levels.Row, 0, n)
	index := make([]int, 0, n) // of the rows with a reading
	onSlab := make([]bool, n)
	sigma := r.Practice().SigmaStaff
	station, on, along, offset := ColumnOf(BookStation), ColumnOf(BookOn), ColumnOf(BookAlong), ColumnOf(BookOffset)
	back, intermediate, fore := ColumnOf(BookBack), ColumnOf(BookIntermediate), ColumnOf(BookFore)
	for i := range n {
		b := &book[i]
		r.EntryAccepted(&station, i, b.Station)
		onSlab[i] = r.EntryAccepted(&on, i, b.On) && slab && b.On == OnSlab
		row := levels.Row{Station: readingName(b.Station, i)}
		sight := func(c *Column, v Value) levels.Sight {
			u, ok := r.EntryReading(c, i, v)
			if !ok {
				return levels.Sight{}
			}
			if v.Sigma > 0 {
				sigma = math.Max(sigma, u)
			}
			return levels.Read(v.Size)
		}
		row.Back, row.Intermediate, row.Fore = sight(&back, b.Back), sight(&intermediate, b.Intermediate), sight(&fore, b.Fore)
		if !row.Back.Taken && !row.Intermediate.Taken && !row.Fore.Taken {
			continue // started and not read yet
		}
		if _, ok := r.EntryReading(&along, i, b.Along); ok {
			row.Located, row.Chainage, row.Offset = true, b.Along.Size, r.EntryNumber(&offset, i, b.Offset)
		}
		rows, index = append(rows, row), append(index, i)
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
	closePage(r, rows, &reduced, booking)

	var out []GroundReading
	for i := range rows {
		if !reduced.Rows[i].Known || !rows[i].Located {
			continue
		}
		setup := math.Max(1, float64(reduced.Rows[i].Setup))
		out = append(out, GroundReading{Path: string(sightOf(&rows[i]).At(index[i])), Name: rows[i].Station, Chainage: rows[i].Chainage, Offset: rows[i].Offset,
			Level: booking.Rows[i].Adjusted, Sigma: math.Hypot(sigma*math.Sqrt(2*setup), r.Practice().SurfaceRoughness), OnSlab: onSlab[index[i]]})
	}
	return out, booking
}

func sightOf(row *levels.Row) ListPath {
	switch {
	case row.Intermediate.Taken:
		return BookIntermediate
	case row.Fore.Taken:
		return BookFore
	}
	return BookBack
}

func bookingOf(rows []levels.Row, reduced *levels.Reduction) *Booking {
	c := &reduced.Check
	b := &Booking{Rows: make([]BookingRow, len(rows)), BackLessFore: c.BackLessFore, RiseLessFall: c.RiseLessFall, LastLessFirst: c.LastLessFirst,
		ArithmeticHolds: c.RiseAndFallHolds && c.CollimationHolds, Setups: reduced.Setups}
	for i := range rows {
		q := &reduced.Rows[i]
		b.Rows[i] = BookingRow{Station: rows[i].Station, Known: q.Known, Rise: q.Rise, Fall: q.Fall, Collimation: q.Collimation,
			Level: q.ByRiseAndFall, Adjusted: q.ByRiseAndFall}
	}
	return b
}

// closePage compares the page with its known closing level and shares a misclosure
// within the allowance out. A page beyond it is left as it was read: it must be
// levelled again.
func closePage(r *Reader, rows []levels.Row, reduced *levels.Reduction, b *Booking) {
	known, _, given := r.Reading(GroundLevelsClose)
	if !given || reduced.Setups < 1 {
		return
	}
	allowance, err := levels.BySetups(r.Practice().LevelAllowance, reduced.Setups)
	if err != nil {
		return
	}
	closure, err := levels.Close(rows, reduced, known.Size, allowance, levels.EqualSetups)
	if err != nil {
		return
	}
	b.Closed, b.Misclosure, b.Allowance, b.Within = true, closure.Misclosure, closure.Allowance, closure.Within
	if !closure.Within {
		return
	}
	for i := range b.Rows {
		if b.Rows[i].Known {
			b.Rows[i].Correction, b.Rows[i].Adjusted = closure.Corrections[i], closure.Adjusted[i]
		}
	}
}

// refuseFaults turns the faults of a page into refusals at the fields they stand
// in.
func refuseFaults(r *Reader, err error, index []int) {
	var faults levels.BookingErrors
	if !errors.As(err, &faults) {
		return
	}
	for _, fault := range faults {
		var path Path = GroundLevelsStart
		if fault.Row >= 0 && fault.Row < len(index) {
			column := BookIntermediate
			switch fault.Column {
			case levels.BacksightColumn:
				column = BookBack
			case levels.ForesightColumn:
				column = BookFore
			}
			path = column.At(index[fault.Row])
		}
		r.Refuse(FieldError{Path: string(path), Name: FieldOf(path).Name, Dimension: Length, Given: fault.Given, Reason: Impossible, Detail: say(faultWords(fault))})
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
