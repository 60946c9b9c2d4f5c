package compose

// Table is a list that may be broken between its rows. Of each number of columns it says how
// high its parts are.
type Table struct {
	// Least and Most are the columns of the page between which it can be laid.
	Least, Most int
	// First and Again are the heights of what stands above the first row: of the heading
	// with the head, and of the head alone where the table goes on. Rows are those of its
	// rows. All by the columns that it takes, from Least on.
	First, Again []float64
	Rows         [][]float64
}

func (t *Table) rows() int {
	if t == nil {
		return 0
	}
	return len(t.Rows[0])
}

// Shapes are the ways to lay the whole table: in one piece, or in two or three side by side
// of as equal a height as can be.
func (t *Table) Shapes() []Shape {
	var all []Shape
	for c := t.Least; c <= t.Most; c++ {
		for parts := 1; parts <= 3 && parts*c <= Columns && (parts == 1 || parts <= t.rows()/4); parts++ {
			all = append(all, Shape{Columns: parts * c, Parts: parts, Height: t.side(c, parts)})
		}
	}
	return all
}

// side is the least height at which the table, c columns wide, goes into so many parts side
// by side.
func (t *Table) side(c, parts int) float64 {
	rows := t.Rows[c-t.Least]
	least, most := 0.0, t.First[c-t.Least]
	for _, h := range rows {
		least, most = max(least, h), most+h
	}
	if parts == 1 {
		return most
	}
	least += t.First[c-t.Least]
	for range 24 {
		if middle := (least + most) / 2; len(t.Breaks(c, parts, middle)) <= parts {
			most = middle
		} else {
			least = middle
		}
	}
	return most
}

// Breaks are the first rows of the parts into which the table falls, each at most height
// high; one more than parts where it does not go.
func (t *Table) Breaks(c, parts int, height float64) []int {
	rows, y := t.Rows[c-t.Least], t.First[c-t.Least]
	starts := []int{0}
	for n, h := range rows {
		if y+h > height+1e-6 {
			starts = append(starts, n)
			if y = t.First[c-t.Least]; len(starts) > parts { // side by side the rows of all begin at one height
				return starts
			}
		}
		y += h
	}
	return starts
}

// A piece of fewer rows is not worth its head, nor is it to break a table of less than three.
const fewest = 4

// breakUp lays the table in pieces where there is room, the most rows first come. It lays
// nothing where not all find room.
func (p *pages) breakUp(number int, b *Box) bool {
	t, before := b.Table, *p
	if t.rows() < 3*fewest {
		return false
	}
	p.sky, p.topics = append([][Columns]float64(nil), p.sky...), append([]uint(nil), p.topics...)
	row, n := 0, 0
	for row < t.rows() && n < len(p.sky) {
		room := p.room(n, b.Topics)
		best, piece := 0.0, Piece{}
		for c := t.Least; c <= t.Most; c++ {
			for left := 0; left+c <= Columns; left++ {
				y := 0.0
				for _, h := range p.sky[n][left : left+c] {
					y = max(y, h)
				}
				_, last := t.take(c, row, t.rows(), room-y)
				if left := t.rows() - last; left > 0 {
					last -= max(0, fewest-left)
				}
				if last-row < min(fewest, t.rows()-row) {
					continue
				}
				high, until := t.take(c, row, last, room-y)
				if worth := float64(until-row)/float64(c) - 0.01*y; best == 0 || worth > best+1e-9 {
					best, piece = worth, Piece{Box: number, Page: n, Column: left, Y: y,
						Shape: Shape{Columns: c, Height: high, Parts: 1}, From: row, Until: until}
				}
			}
		}
		if piece.Until == 0 {
			n++
			continue
		}
		p.put(piece, b.Topics)
		row = piece.Until
	}
	if row < t.rows() {
		*p = before
		return false
	}
	return true
}

// take is how many rows from one on, at most to the last, go into a height, and how high they
// are with their head.
func (t *Table) take(c, row, last int, room float64) (high float64, until int) {
	high = t.Again[c-t.Least]
	if row == 0 {
		high = t.First[c-t.Least]
	}
	for until = row; until < last; until++ {
		h := t.Rows[c-t.Least][until]
		if high+h > room+1e-9 {
			break
		}
		high += h
	}
	return high, until
}
