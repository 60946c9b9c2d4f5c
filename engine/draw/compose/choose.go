package compose

import (
	"cmp"
	"math"
	"slices"

	"pegpour/engine/sorting"
)

// Need says how much a box is needed.
type Need uint8

// The needs.
const (
	// Must is a box that decides how many pages there are.
	Must Need = iota
	// Should is one that does too, but is left out before the most pages are too few.
	Should
	// Could is one that comes before larger scales, May one after them, where they have room.
	Could
	May
)

// Layout is what was found: the pieces page by page, and the boxes that found no room.
type Layout struct {
	Pages  int
	Pieces []Piece
	Out    []int
	// Full is the part of each page's room that the pieces take.
	Full []float64
}

// search is for a layout on a number of pages.
type search struct {
	boxes []Box
	page  *Page
	pages int
	sizes []int // of each box
	out   []bool
	found *pages
	good  trial // by which it was found
}

// Lay finds the fewest pages, at most that many, that take all boxes that must or should be
// there at the sizes wanted or larger ones. Then what could be there is taken in and sizes are
// raised as far as there is room, and at last what may be there is taken in. Where even the
// most pages do not take all, sizes go below those wanted; where that is not enough, what
// should be there is taken in as far as there is room, the first of it first, and at last boxes
// are left out, the last first. In the end an order is looked for in which no page is less full
// than least.
func Lay(boxes []Box, wanted []int, page *Page, most int, least float64) Layout {
	var s *search
	for n := 1; n <= most; n++ {
		if s = begin(boxes, wanted, page, n, Should); s.packs(most / n * thorough) {
			break
		}
	}
	if s.found == nil { // all of it smaller, or less of it
		s = begin(boxes, wanted, page, most, Should)
		s.lower()
		s.take(Should)
	}
	s.take(Could)
	s.raise()
	s.take(May)
	s.raise()
	s.even(least)
	l := Layout{Pages: s.pages}
	if s.found != nil {
		l.Pieces = inOrder(s.found.pieces, s.pages)
		page.alignLeft(l.Pieces)
	}
	for i, out := range s.out {
		if out {
			l.Out = append(l.Out, i)
		}
	}
	l.Full = Full(page, boxes, l.Pieces, s.pages)
	return l
}

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
			if mean := sum[k] / math.Max(1, count[k]); next < 0 || mean < sum[next]/math.Max(1, count[next]) {
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

// begin begins a search for those boxes that are needed so much.
func begin(boxes []Box, wanted []int, page *Page, n int, need Need) *search {
	s := &search{boxes: boxes, page: page, pages: n, sizes: slices.Clone(wanted), out: make([]bool, len(boxes))}
	for i := range boxes {
		s.out[i] = boxes[i].Need > need
	}
	return s
}

// take takes in the boxes of a need as far as there is room.
func (s *search) take(need Need) {
	for i := range s.boxes {
		if s.out[i] && s.boxes[i].Need == need {
			s.out[i] = false
			s.out[i] = !s.packs(quick)
		}
	}
}

// lower makes the last group smaller by one, then the one before it as well, and so on, and
// all again, until there is room; then it leaves out what should be there, to be taken in one
// by one, and at last what comes last.
func (s *search) lower() {
	wanted := slices.Clone(s.sizes)
	groups := 0
	for i := range s.boxes {
		groups = max(groups, s.boxes[i].Group+1)
	}
	for lowered := true; lowered; {
		lowered = false
		for group := groups - 1; group >= 0; group-- {
			now := false
			for i := range s.sizes {
				if s.boxes[i].Group == group && s.sizes[i] > 0 {
					s.sizes[i], now, lowered = s.sizes[i]-1, true, true
				}
			}
			if now && s.packs(thorough/4) {
				return
			}
		}
	}
	for i := range s.boxes {
		s.out[i] = s.out[i] || s.boxes[i].Need == Should
	}
	smallest := slices.Clone(s.sizes)
	for _, s.sizes = range [...][]int{wanted, smallest} {
		if s.packs(thorough) {
			return
		}
	}
	for i := len(s.boxes) - 1; i > 0; i-- {
		if !s.out[i] {
			s.out[i] = true
			if s.packs(quick) {
				return
			}
		}
	}
}

// raise makes boxes larger one after the other, the smallest of them first, as long as there
// is room.
func (s *search) raise() {
	stuck := make([]bool, len(s.boxes))
	for {
		next := -1
		for i := range s.boxes {
			if !stuck[i] && !s.out[i] && s.sizes[i]+1 < len(s.boxes[i].Sizes) && (next < 0 || s.sizes[i] < s.sizes[next]) {
				next = i
			}
		}
		if next < 0 {
			return
		}
		before, group := slices.Clone(s.sizes), s.boxes[next].Group
		for i := range s.boxes {
			if i == next || group >= 0 && s.boxes[i].Group == group {
				s.sizes[i] = min(s.sizes[i]+1, len(s.boxes[i].Sizes)-1)
			}
		}
		if s.packs(quick) {
			continue
		}
		s.sizes = before
		for i := range s.boxes {
			stuck[i] = stuck[i] || i == next || group >= 0 && s.boxes[i].Group == group
		}
	}
}

// How often an order is changed before it is said that there is no room.
const (
	quick    = 40
	thorough = 600
)

// trial is an order in which boxes are laid, the rule by which they are, and the area of
// those that then had no room.
type trial struct {
	order []int
	how   int
	left  float64
}

// packs reports whether all that is not left out has room, and keeps how. It begins with the
// order that was good before, that of the boxes, and those by their size; then it moves boxes
// in the best of them as long as no less finds room (a hill climb over the orders of a packing,
// as in Burke, Kendall and Whitwell, A Simulated Annealing Enhancement of the Best-Fit
// Heuristic, INFORMS Journal on Computing 21, 2009: recalled).
func (s *search) packs(changes int) bool {
	const atMost = 0.95 // of the room: boxes of different sizes never fill more
	used := 0.0
	var given []int
	for i := range s.boxes {
		if s.out[i] {
			continue
		}
		if s.sizes[i] >= len(s.boxes[i].Sizes) || len(s.boxes[i].Sizes[s.sizes[i]]) == 0 {
			return false
		}
		given = append(given, i)
		used += s.least(i)
	}
	if used > atMost*float64(s.pages)*s.page.Width*s.page.Height(0) {
		return false
	}
	best := trial{left: used + 1}
	try := func(t trial) bool {
		p := newPages(s.page, s.pages)
		s.try(p, &t)
		if t.left <= best.left {
			best = t
		}
		if t.left == 0 {
			s.found, s.good = p, t
		}
		return t.left == 0
	}
	if s.good.order != nil && try(trial{order: s.again(given), how: s.good.how}) {
		return true
	}
	for _, order := range [...][]int{given, s.sorted(given, false), s.sorted(given, true)} {
		for how := range rules {
			if try(trial{order: order, how: how}) {
				return true
			}
		}
	}
	random := numbers(1)
	for range changes {
		if try(best.moved(&random)) {
			return true
		}
	}
	return false
}

// try lays the boxes on the pages, and finds the area of those without room.
func (s *search) try(p *pages, t *trial) {
	t.left = 0
	for _, i := range t.order {
		if !p.place(i, &s.boxes[i], s.sizes[i], rules[t.how]) {
			t.left += s.least(i)
		}
	}
}

// moved is a trial with one to three boxes moved, at times by another rule. The first box
// stays: it stands where one looks first.
func (t *trial) moved(random *numbers) trial {
	order, how := slices.Clone(t.order), t.how
	for range 1 + random.below(3) {
		if len(order) < 3 {
			break
		}
		from := 1 + random.below(len(order)-1)
		box := order[from]
		order = slices.Delete(order, from, from+1)
		order = slices.Insert(order, 1+random.below(len(order)), box)
	}
	if random.below(4) == 0 {
		how = random.below(len(rules))
	}
	return trial{order: order, how: how}
}

// numbers of a linear congruential generator, always the same: Press and others, Numerical
// Recipes, chapter 7 (recalled).
type numbers uint32

func (n *numbers) below(most int) int {
	*n = *n*1664525 + 1013904223
	return int(*n>>16) % most
}

// even moves boxes in the order that was found as long as the emptiest page gets no emptier,
// until none is less full than least.
func (s *search) even(least float64) {
	if s.found == nil {
		return
	}
	emptiest := func(p *pages) float64 { return slices.Min(Full(s.page, s.boxes, p.pieces, s.pages)) }
	best, random := emptiest(s.found), numbers(1)
	for k := 0; k < thorough && best < least; k++ {
		t := s.good.moved(&random)
		p := newPages(s.page, s.pages)
		if s.try(p, &t); t.left > 0 {
			continue
		}
		if full := emptiest(p); full >= best {
			best, s.found, s.good = full, p, t
		}
	}
}

// again is the order that was good before with the boxes of now.
func (s *search) again(given []int) []int {
	order := slices.DeleteFunc(slices.Clone(s.good.order), func(i int) bool { return s.out[i] })
	for _, i := range given {
		if !slices.Contains(order, i) {
			order = append(order, i)
		}
	}
	return order
}

// least is the least area that a box takes.
func (s *search) least(i int) float64 {
	area := 0.0
	for k, q := range s.boxes[i].Sizes[s.sizes[i]] {
		if a := s.page.Across(q.Columns) * q.Height; k == 0 || a < area {
			area = a
		}
	}
	return area
}

// sorted are the boxes by their size, the largest first, after the first of all; those that can be broken come after
// the others or among them.
func (s *search) sorted(given []int, among bool) []int {
	size := func(i int) float64 {
		if !among && s.boxes[i].Table != nil {
			return 0
		}
		return s.least(i)
	}
	order := slices.Clone(given)
	sorting.Stable(order[min(1, len(order)):], func(a, b int) int {
		return cmp.Compare(size(b), size(a))
	})
	return order
}
