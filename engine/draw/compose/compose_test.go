package compose

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// sheet is a page whose room gets less with each topic.
func sheet() *Page {
	return &Page{Width: 194, Gutter: 3.5, Height: func(topics uint) float64 {
		high := 260.0
		for ; topics > 0; topics &= topics - 1 {
			high -= 4
		}
		return high
	}}
}

// drawn are boxes by chance: some that are drawn at up to four sizes, some tables.
func drawn(r *rand.Rand, page *Page) (boxes []Box, wanted []int) {
	for range 1 + r.IntN(30) {
		b := Box{Topics: 1 << r.IntN(4), Group: -1, Need: Need(r.IntN(5))}
		if r.IntN(2) == 0 {
			t := &Table{Least: 1 + r.IntN(6)}
			t.Most = t.Least + r.IntN(Columns+1-t.Least)
			n := 1 + r.IntN(40)
			for c := t.Least; c <= t.Most; c++ {
				t.First, t.Again = append(t.First, 12), append(t.Again, 10)
				rows := make([]float64, n)
				for k := range rows {
					rows[k] = 5 + 30*r.Float64()/float64(c)
				}
				t.Rows = append(t.Rows, rows)
			}
			b.Table, b.Sizes = t, [][]Shape{t.Shapes()}
		} else {
			wide, high := 10+20*r.Float64(), 8+20*r.Float64()
			for k := range 1 + r.IntN(4) {
				c := page.ColumnsFor(wide * float64(k+1))
				if c > Columns {
					break
				}
				b.Sizes = append(b.Sizes, []Shape{{Columns: c, Height: high * float64(k+1)}})
			}
			if r.IntN(3) == 0 {
				b.Group = r.IntN(3)
			}
		}
		boxes, wanted = append(boxes, b), append(wanted, r.IntN(len(b.Sizes)))
	}
	return boxes, wanted
}

// Whatever is to be laid: nothing is cut, nothing stands over another, the rows of a table
// stand there once and in their order, what must be there is, and the same boxes give the
// same pages again.
func TestNothingIsCutOrOverAnother(t *testing.T) {
	for seed := range uint64(60) {
		page := sheet()
		boxes, wanted := drawn(rand.New(rand.NewPCG(seed, 5)), page)
		l := Lay(boxes, wanted, page, 4, 2.0/3)
		assert.Equal(t, l, Lay(boxes, wanted, page, 4, 2.0/3), seed)
		require.LessOrEqual(t, l.Pages, 4, seed)
		topics, rows, laid := make([]uint, l.Pages), map[int]int{}, map[int]bool{}
		for _, q := range l.Pieces {
			topics[q.Page] |= boxes[q.Box].Topics
		}
		for k, q := range l.Pieces {
			laid[q.Box] = true
			require.GreaterOrEqual(t, q.Column, 0, seed)
			require.LessOrEqual(t, q.Column+q.Shape.Columns, Columns, seed)
			require.LessOrEqual(t, q.Y+q.Shape.Height, page.Height(topics[q.Page])+1e-6, seed)
			for _, o := range l.Pieces[:k] {
				apart := o.Page != q.Page || q.Column >= o.Column+o.Shape.Columns || o.Column >= q.Column+q.Shape.Columns ||
					q.Y >= o.Y+o.Shape.Height+page.Gutter-1e-6 || o.Y >= q.Y+q.Shape.Height+page.Gutter-1e-6
				require.True(t, apart, "%d: box %d over %d", seed, q.Box, o.Box)
			}
			if m := boxes[q.Box].Table; m != nil {
				require.Equal(t, rows[q.Box], q.From, seed)
				rows[q.Box] = q.Until
				high, c := 0.0, q.Shape.Columns/max(1, q.Shape.Parts)
				for _, h := range m.Rows[c-m.Least][q.From:q.Until] {
					high += h
				}
				require.GreaterOrEqual(t, q.Shape.Height*float64(max(1, q.Shape.Parts)), high,
					"%d: rows of %d have no room", seed, q.Box)
			}
		}
		out := map[int]bool{}
		for _, b := range l.Out {
			out[b] = true
		}
		for b := range boxes {
			require.NotEqual(t, laid[b], out[b], "%d: box %d is laid or named as out", seed, b)
			if boxes[b].Table != nil && laid[b] {
				require.Equal(t, boxes[b].Table.rows(), rows[b], seed)
			}
		}
	}
}

// Boxes that fill a page to the last millimetre go on one page, and one hair more on two.
func TestFewestPages(t *testing.T) {
	page := &Page{Width: 120, Gutter: 0, Height: func(uint) float64 { return 200 }}
	box := func(columns int, high float64) Box {
		return Box{Group: -1, Sizes: [][]Shape{{{Columns: columns, Height: high}}}}
	}
	// 95 of 100 of the room is as much as is tried.
	boxes := []Box{box(6, 190), box(6, 90), box(3, 100), box(3, 100)}
	assert.Equal(t, 1, Lay(boxes, make([]int, 4), page, 4, 0).Pages)
	boxes[1] = box(6, 100.1)
	assert.Equal(t, 2, Lay(boxes, make([]int, 4), page, 4, 0).Pages)
}

// Sizes are raised as far as there is room, those of a group together.
func TestSizesAreRaised(t *testing.T) {
	page := &Page{Width: 120, Gutter: 0, Height: func(uint) float64 { return 200 }}
	sizes := [][]Shape{{{Columns: 6, Height: 50}}, {{Columns: 6, Height: 90}}, {{Columns: 12, Height: 150}}}
	boxes := []Box{{Sizes: sizes, Group: 0}, {Sizes: sizes, Group: 0}}
	l := Lay(boxes, []int{0, 0}, page, 1, 0)
	require.Len(t, l.Pieces, 2)
	for _, q := range l.Pieces {
		assert.Equal(t, 1, q.Size)
	}
}

// A table is broken where it has to be, with no piece of less than four rows, and goes on
// after it begins.
func TestTablesAreBroken(t *testing.T) {
	page := &Page{Width: 120, Gutter: 4, Height: func(uint) float64 { return 100 }}
	rows := make([]float64, 30)
	for k := range rows {
		rows[k] = 5
	}
	long := &Table{Least: 4, Most: 4, First: []float64{10}, Again: []float64{10}, Rows: [][]float64{rows}}
	boxes := []Box{{Group: -1, Sizes: [][]Shape{{{Columns: 8, Height: 60}}}},
		{Group: -1, Table: long, Sizes: [][]Shape{long.Shapes()}}}
	l := Lay(boxes, []int{0, 0}, page, 4, 0)
	require.Empty(t, l.Out)
	next := 0
	for _, q := range l.Pieces {
		if q.Box == 1 {
			assert.Equal(t, next, q.From)
			assert.GreaterOrEqual(t, q.Until-q.From, fewest)
			next = q.Until
		}
	}
	assert.Equal(t, len(rows), next)
}
