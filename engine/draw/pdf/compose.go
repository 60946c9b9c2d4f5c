package pdf

import (
	"slices"
	"sync"

	"golang.org/x/text/unicode/bidi"
)

// composed puts letters and the accents after them together to the letters of the face, as
// Unicode's normal form C does (UAX #15): devices write é as one letter or as two. What the
// face has no letter for stays as it is.
func composed(s string) []rune {
	runes := make([]rune, 0, len(s))
	accents := false
	for _, r := range s {
		runes = append(runes, r)
		accents = accents || r >= 0x300 && isMark(r)
	}
	if !accents {
		return runes
	}
	out := make([]rune, 0, len(runes))
	for i := 0; i < len(runes); {
		// All apart first, so that each mark finds its place.
		letter, marks := runes[i], []rune(nil)
		for made := find(0, 0, letter); made != [3]rune{}; made = find(0, 0, letter) {
			letter, marks = made[0], slices.Insert(marks, 0, made[1])
		}
		for i++; i < len(runes) && isMark(runes[i]); i++ {
			marks = append(marks, runes[i])
		}
		slices.SortStableFunc(marks, func(a, b rune) int { return rank(a) - rank(b) })
		left, last := marks[:0], 0
		for _, m := range marks {
			if last == 0 || last < rank(m) {
				if made := find(letter, m, 0); made[2] != 0 {
					letter = made[2]
					continue
				}
			}
			left, last = append(left, m), rank(m)
		}
		out = append(append(out, letter), left...)
	}
	return out
}

// find is the letter, the mark and what they make, by the two or by what they make.
func find(letter, mark, made rune) [3]rune {
	all := composing()
	if made != 0 {
		return all.made[made]
	}
	return all.pairs[[2]rune{letter, mark}]
}

// composing is the compositions by what they make and by what makes them, read when the first
// line with an accent of its own is set.
var composing = sync.OnceValue(func() (all struct {
	made  map[rune][3]rune
	pairs map[[2]rune][3]rune
}) {
	all.made, all.pairs = map[rune][3]rune{}, map[[2]rune][3]rune{}
	for rest := []rune(compositions); len(rest) > 0; rest = rest[3:] {
		three := [3]rune(rest)
		all.made[three[2]], all.pairs[[2]rune(rest)] = three, three
	}
	return all
})

func isMark(r rune) bool {
	p, _ := bidi.LookupRune(r)
	return p.Class() == bidi.NSM
}

// rank is the canonical combining class of the marks that letters of the face are made with, and
// of Arabic vowels, by the Unicode Character Database; of all others that of marks above.
func rank(mark rune) int {
	switch {
	case mark >= 0x64b && mark <= 0x652:
		return 27 + int(mark) - 0x64b
	case mark == 0x670:
		return 35
	case mark == 0x31b:
		return 216
	case mark == 0x327 || mark == 0x328:
		return 202
	case mark >= 0x323 && mark <= 0x326 || mark == 0x655:
		return 220
	}
	return 230
}
