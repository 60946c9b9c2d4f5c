package compose

import (
	"cmp"
	"slices"

	"pegpour/engine/sorting"
)

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
