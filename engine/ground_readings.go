package engine

import (
	"errors"
	"math"
	"strconv"

	"pegpour/engine/levels"
)

// reading returns a field's own value; false where it was not taken or was
// refused. Unlike number it assumes nothing and lists nothing.
func (r *resolver) reading(path string) (value Value, sigma float64, taken bool) {
	f, ok := FieldAt(path)
	if !ok {
		return Value{}, 0, false
	}
	value = f.Value(r.survey)
	if e := f.checkValue(value); e != nil {
		r.in.refused = append(r.in.refused, *e)
		return Value{}, 0, false
	}
	return value, r.practice.sigma(&f, value), value.Known()
}

// column is one field of every entry of a list: that of the first entry, from
// which the others differ only in name and path.
type column struct {
	Field
	list, name string
}

func columnOf(list, name string) column {
	f, _ := FieldAt(list + "0." + name)
	return column{Field: f, list: list, name: name}
}

// at is the path of the column's field in entry i.
func (c *column) at(i int) string { return c.list + strconv.Itoa(i) + "." + c.name }

// entry is reading for the value v of entry i. Fields of their own are made only
// for what is refused.
func (r *resolver) entry(c *column, i int, v Value) (sigma float64, taken bool) {
	if c.checkValue(v) != nil {
		_, sigma, taken = r.reading(c.at(i))
		return sigma, taken
	}
	return r.practice.sigma(&c.Field, v), v.Known()
}

// entryOr is number for the value v of entry i.
func (r *resolver) entryOr(c *column, i int, v Value) float64 {
	if v.Known() && c.checkValue(v) == nil {
		return v.Size
	}
	size, _ := r.number(c.at(i))
	return size
}

// entryWords checks the words w of entry i; false when they were refused.
func (r *resolver) entryWords(c *column, i int, w string) bool {
	if c.checkWords(w) != nil {
		r.words(c.at(i))
		return false
	}
	return true
}

func (r *resolver) tooMany(path, name string, n int) int {
	if n <= MaxReadings {
		return n
	}
	r.in.refused = append(r.in.refused, FieldError{Path: path, Name: name, Dimension: Count, Given: float64(n), High: MaxReadings, Reason: OutOfRange})
	return MaxReadings
}

// stringReadings turns drops below the string line into levels.
func (r *resolver) stringReadings(slab bool) []GroundReading {
	drops := r.survey.Ground.Levels.Drops
	n := r.tooMany("ground.levels.drops", "Points under the string line", len(drops))
	line, _ := r.number("ground.levels.string")
	out := make([]GroundReading, 0, n)
	name, on, down, along, offset := columnOf(dropPath, "name"), columnOf(dropPath, "on"), columnOf(dropPath, "down"), columnOf(dropPath, "along"), columnOf(dropPath, "offset")
	for i := range n {
		d := &drops[i]
		r.entryWords(&name, i, d.Name)
		onSlab := r.entryWords(&on, i, d.On) && slab && d.On == OnSlab
		sigma, okDown := r.entry(&down, i, d.Down)
		_, okAlong := r.entry(&along, i, d.Along)
		if !okDown || !okAlong {
			continue // started and not taken yet
		}
		out = append(out, GroundReading{Path: down.at(i), Name: readingName(d.Name, i), Chainage: d.Along.Size, Offset: r.entryOr(&offset, i, d.Offset),
			Level: line - d.Down.Size, Sigma: math.Hypot(sigma, r.practice.SurfaceRoughness), OnSlab: onSlab})
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
func (r *resolver) bookReadings(slab bool) ([]GroundReading, *Booking) {
	book := r.survey.Ground.Levels.Book
	n := r.tooMany("ground.levels.book", "Rows of the level book", len(book))
	start, _ := r.number("ground.levels.start")
	rows := make([]levels.Row, 0, n)
	index := make([]int, 0, n) // of the rows with a reading
	onSlab := make([]bool, n)
	sigma := r.practice.SigmaStaff
	station, on, along, offset := columnOf(bookPath, "station"), columnOf(bookPath, "on"), columnOf(bookPath, "along"), columnOf(bookPath, "offset")
	back, intermediate, fore := columnOf(bookPath, "back"), columnOf(bookPath, "intermediate"), columnOf(bookPath, "fore")
	for i := range n {
		b := &book[i]
		r.entryWords(&station, i, b.Station)
		onSlab[i] = r.entryWords(&on, i, b.On) && slab && b.On == OnSlab
		row := levels.Row{Station: readingName(b.Station, i)}
		sight := func(c *column, v Value) levels.Sight {
			u, ok := r.entry(c, i, v)
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
		if _, ok := r.entry(&along, i, b.Along); ok {
			row.Located, row.Chainage, row.Offset = true, b.Along.Size, r.entryOr(&offset, i, b.Offset)
		}
		rows, index = append(rows, row), append(index, i)
	}
	if len(rows) == 0 {
		return nil, nil
	}
	reduced, err := levels.Reduce(rows, start)
	r.bookFaults(err, index)
	booking := bookingOf(rows, &reduced)
	if reduced.StoppedAt >= 0 {
		booking.StoppedAt = index[reduced.StoppedAt] + 1
	}
	r.close(rows, &reduced, booking)

	var out []GroundReading
	for i := range rows {
		if !reduced.Rows[i].Known || !rows[i].Located {
			continue
		}
		setup := math.Max(1, float64(reduced.Rows[i].Setup))
		at := bookPath + strconv.Itoa(index[i]) + "."
		out = append(out, GroundReading{Path: at + sightOf(&rows[i]), Name: rows[i].Station, Chainage: rows[i].Chainage, Offset: rows[i].Offset,
			Level: booking.Rows[i].Adjusted, Sigma: math.Hypot(sigma*math.Sqrt(2*setup), r.practice.SurfaceRoughness), OnSlab: onSlab[index[i]]})
	}
	return out, booking
}

func sightOf(row *levels.Row) string {
	switch {
	case row.Intermediate.Taken:
		return "intermediate"
	case row.Fore.Taken:
		return "fore"
	}
	return "back"
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

// close compares the page with its known closing level and shares a misclosure
// within the allowance out. A page beyond it is left as it was read: it must be
// levelled again.
func (r *resolver) close(rows []levels.Row, reduced *levels.Reduction, b *Booking) {
	known, _, given := r.reading("ground.levels.close")
	if !given || reduced.Setups < 1 {
		return
	}
	allowance, err := levels.BySetups(r.practice.LevelAllowance, reduced.Setups)
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

// bookFaults turns the faults of a page into refusals at the fields they stand in.
func (r *resolver) bookFaults(err error, index []int) {
	var faults levels.BookingErrors
	if !errors.As(err, &faults) {
		return
	}
	for _, fault := range faults {
		path := "ground.levels.start"
		if fault.Row >= 0 && fault.Row < len(index) {
			column := "intermediate"
			switch fault.Column {
			case levels.BacksightColumn:
				column = "back"
			case levels.ForesightColumn:
				column = "fore"
			}
			path = bookPath + strconv.Itoa(index[fault.Row]) + "." + column
		}
		name := "Level book"
		if f, ok := FieldAt(path); ok {
			name = f.Name
		}
		r.in.refused = append(r.in.refused, FieldError{Path: path, Name: name, Dimension: Length, Given: fault.Given, Reason: Impossible, Detail: say(faultWords(fault))})
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
