package compose

import "slices"

// Need says how much a box is needed.
type Need uint8

// The needs.
const (
	// Keep is a box that is never left out.
	Keep Need = iota
	// Must is one that decides how many pages there are too, and is left out last of all.
	Must
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
		if !s.out[i] && s.boxes[i].Need == Must {
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
