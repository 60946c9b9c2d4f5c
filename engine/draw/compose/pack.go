package compose

import "math"

// Columns of a page: a box takes one or more whole ones.
const Columns = 12

// Shape is one way to lay a box: as wide as so many columns, Height mm high.
type Shape struct {
	Columns int
	Height  float64
	// Parts is how many columns of text a table is broken into side by side; 0 counts as 1.
	Parts int
	// Mark tells the caller's shapes apart.
	Mark int
}

// Box is something that needs a place.
type Box struct {
	// Topics are the bits of what the box is about: the page that it stands on carries what
	// belongs to them, which takes room.
	Topics uint
	// Sizes are the sizes at which it can be drawn, the smallest first, each with the shapes
	// that it may take; a box that is not drawn to scale has one. One without a shape does
	// not fit any page.
	Sizes [][]Shape
	// Group is the number of those that are drawn at one size; below 0 it has its own size.
	Group int
	// Table may be broken; nil may not.
	Table *Table
	Need  Need
}

// Page is what all pages have in common, mm.
type Page struct {
	Width, Gutter float64
	// Height is what boxes may take of a page that is about these topics.
	Height func(topics uint) float64
}

// Across is the width of so many columns.
func (p *Page) Across(columns int) float64 {
	return (p.Width+p.Gutter)/Columns*float64(columns) - p.Gutter
}

// Left is where a column begins.
func (p *Page) Left(column int) float64 { return (p.Width + p.Gutter) / Columns * float64(column) }

// ColumnsFor is how many columns something of this width takes; more than Columns where it
// is wider than the page.
func (p *Page) ColumnsFor(width float64) int {
	return int(math.Ceil((width+p.Gutter)*Columns/(p.Width+p.Gutter) - 1e-9))
}

// Piece is a box, or a part of a broken table, in its place.
type Piece struct {
	Box, Page   int
	Column      int
	Y           float64
	Shape       Shape
	Size        int // of Sizes
	From, Until int // rows of the table
}

// pages are those being filled.
type pages struct {
	page   *Page
	sky    [][Columns]float64 // how far down each column is taken
	topics []uint
	pieces []Piece
}

func newPages(page *Page, n int) *pages {
	return &pages{page: page, sky: make([][Columns]float64, n), topics: make([]uint, n)}
}

// room is how far down a page boxes may go once it is about these topics too; below 0 where
// what stands there already would be in the way.
func (p *pages) room(n int, topics uint) float64 {
	room := p.page.Height(p.topics[n] | topics)
	for _, y := range p.sky[n] {
		if y-p.page.Gutter > room+1e-9 {
			return -1
		}
	}
	return room
}

// spot is a place for a shape.
type spot struct {
	column   int
	y, score float64
}

// find looks for the best place of a shape on a page down to room.
func (p *pages) find(n int, s Shape, room float64, how rule) (spot, bool) {
	best, found := spot{score: math.Inf(1)}, false
	for c := 0; c+s.Columns <= Columns; c++ {
		y := 0.0
		for _, h := range p.sky[n][c : c+s.Columns] {
			y = max(y, h)
		}
		if y+s.Height > room+1e-9 {
			continue
		}
		lost := 0.0
		for _, h := range p.sky[n][c : c+s.Columns] {
			lost += y - h
		}
		score := how.low*(y+s.Height) + how.lost*lost + how.area*float64(s.Columns)*s.Height/Columns
		if score < best.score-1e-9 {
			best, found = spot{c, y, score}, true
		}
	}
	return best, found
}

// rule is what makes a place a good one: that the box ends high on the page, that little is
// lost above it, that it is laid in the shape that takes least.
type rule struct{ low, lost, area float64 }

var rules = [...]rule{{1, 1, 1}, {0.2, 1, 1}, {1, 0.2, 1}, {0.05, 1, 3}}

// put lays a piece in its place.
func (p *pages) put(piece Piece, topics uint) {
	p.topics[piece.Page] |= topics
	end := piece.Column + piece.Shape.Columns
	for c := piece.Column; c < end; c++ {
		p.sky[piece.Page][c] = piece.Y + piece.Shape.Height + p.page.Gutter
	}
	p.pieces = append(p.pieces, piece)
}

// place finds room for a whole box on the first page that has any.
func (p *pages) place(number int, b *Box, size int, how rule) bool {
	for n := range p.sky {
		room := p.room(n, b.Topics)
		best, shape, found := spot{score: math.Inf(1)}, Shape{}, false
		for _, s := range b.Sizes[size] {
			if at, ok := p.find(n, s, room, how); ok && at.score < best.score-1e-9 {
				best, shape, found = at, s, true
			}
		}
		if found {
			p.put(Piece{Box: number, Page: n, Column: best.column, Y: best.y, Shape: shape, Size: size,
				Until: b.Table.rows()}, b.Topics)
			return true
		}
	}
	return b.Table != nil && p.breakUp(number, b)
}

// Full is the part of each page's room that the pieces take.
func Full(page *Page, boxes []Box, pieces []Piece, n int) []float64 {
	all, topics := make([]float64, n), make([]uint, n)
	for _, q := range pieces {
		all[q.Page] += page.Across(q.Shape.Columns) * q.Shape.Height
		topics[q.Page] |= boxes[q.Box].Topics
	}
	for k := range all {
		all[k] /= page.Width * page.Height(topics[k])
	}
	return all
}
