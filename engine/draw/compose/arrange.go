package compose

import (
	"math"
	"slices"

	"pegpour/engine/sorting"
)

// inOrder puts the pages in the order of what is on them, by the mean number of their boxes,
// the page with the first box first; but no table goes on before it begins. Pieces come page
// by page.
func inOrder(pieces []Piece, n int) []Piece {
	sum, count := make([]float64, n), make([]float64, n)
	for _, q := range pieces {
		sum[q.Page] += float64(q.Box)
		count[q.Page]++
		if q.Box == 0 {
			sum[q.Page] = math.Inf(-1)
		}
	}
	waits := func(page int, done []int) bool {
		return slices.ContainsFunc(pieces, func(q Piece) bool {
			return q.Page == page && q.From > 0 && slices.ContainsFunc(pieces, func(first Piece) bool {
				return first.Box == q.Box && first.From < q.From && first.Page != page && !slices.Contains(done, first.Page)
			})
		})
	}
	var order []int
	for range n {
		next := -1
		for k := range n {
			if slices.Contains(order, k) || waits(k, order) {
				continue
			}
			if mean := sum[k] / max(1, count[k]); next < 0 || mean < sum[next]/max(1, count[next]) {
				next = k
			}
		}
		order = append(order, next)
	}
	for k := range pieces {
		pieces[k].Page = slices.Index(order, pieces[k].Page)
	}
	sorting.Stable(pieces, func(a, b Piece) int { return a.Page - b.Page })
	return pieces
}

// alignLeft moves pieces to the left as far as there is room beside them.
func (p *Page) alignLeft(pieces []Piece) {
	for k := range pieces {
		q := &pieces[k]
		free := func(column int) bool {
			return !slices.ContainsFunc(pieces, func(o Piece) bool {
				return o != *q && o.Page == q.Page && column < o.Column+o.Shape.Columns && o.Column < column+q.Shape.Columns &&
					q.Y < o.Y+o.Shape.Height+p.Gutter-1e-9 && o.Y < q.Y+q.Shape.Height+p.Gutter-1e-9
			})
		}
		for q.Column > 0 && free(q.Column-1) {
			q.Column--
		}
	}
}
