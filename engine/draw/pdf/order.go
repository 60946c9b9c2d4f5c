package pdf

import (
	"slices"
	"strings"

	"golang.org/x/text/unicode/bidi"
)

// visual puts the letters of a line in the order in which they stand on paper, from the left, and
// tells which letter of the line each is:
// the Unicode bidirectional algorithm (UAX #9), rules P2 to L4, with letters' classes from the
// library's tables. Marks for embedding and isolating are taken out first: names and notes that
// people type have none. The line begins on the side of its first letter with a direction, or
// from the right where the language of the page does.
func visual(runes []rune, fromRight bool) (line []rune, from []int) {
	if !fromRight && !slices.ContainsFunc(runes, fromTheRight) {
		for n := range runes {
			from = append(from, n)
		}
		return runes, from
	}
	var classes []bidi.Class
	base := bidi.Class(bidi.ON)
	if fromRight {
		base = bidi.R
	}
	for n, r := range runes {
		c := classOf(r)
		if c == bidi.BN || c > bidi.AL || fromRight && r == apart {
			continue
		}
		if base == bidi.ON && (c == bidi.L || c == bidi.R || c == bidi.AL) {
			base = strong(c)
		}
		line, from, classes = append(line, r), append(from, n), append(classes, c)
	}
	if base == bidi.ON {
		base = bidi.L
	}
	levels := lineLevels(line, classes, base)
	for i, r := range line {
		if levels[i]%2 == 1 {
			line[i] = mirrored(r)
		}
	}
	// L3: where a letter is read from the right its marks go before it, so that they come after
	// it once the line is turned round.
	for i := 0; i < len(line); i++ {
		first := i
		for i+1 < len(line) && isMark(line[i+1]) && levels[i+1]%2 == 1 {
			i++
		}
		slices.Reverse(line[first : i+1])
		slices.Reverse(from[first : i+1])
	}
	// L2: from the deepest level up, what stands on it or deeper is turned round.
	for level := 2; level > 0; level-- {
		for i := 0; i < len(line); i++ {
			first := i
			for i < len(line) && levels[i] >= level {
				i++
			}
			slices.Reverse(line[first:i])
			slices.Reverse(from[first:i])
			slices.Reverse(levels[first:i])
		}
	}
	return line, from
}

// classOf is the direction of a letter, or of the form of one.
func classOf(r rune) bidi.Class {
	if r >= firstForm {
		return bidi.AL
	}
	p, _ := bidi.LookupRune(r)
	return p.Class()
}

// apart is the mark that is a letter from the left, but not seen.
const apart = '\u200e'

// Apart is a name as it goes into a longer line: where it is written from the right, a mark
// after it keeps figures that follow from being drawn into it. On a page of a language that is
// written from the right they are where they should be without it.
func Apart(name string) string {
	if strings.ContainsFunc(name, fromTheRight) {
		return name + string(apart)
	}
	return name
}

// fromTheRight reports whether a letter belongs to a script that is written from the right, or
// is the mark that stands for one.
func fromTheRight(r rune) bool {
	return r >= 0x590 && r <= 0x8ff || r >= firstForm || r == 0x200f || r >= 0xfb1d && r <= 0xfdff ||
		r >= 0xfe70 && r <= 0xfefe ||
		r >= 0x10800 && r <= 0x10fff || r >= 0x1e800 && r <= 0x1efff
}

// strong is the direction that a class has among neutrals: numbers count as from the right.
func strong(c bidi.Class) bidi.Class {
	switch c {
	case bidi.L:
		return bidi.L
	case bidi.R, bidi.AL, bidi.EN, bidi.AN:
		return bidi.R
	}
	return bidi.ON
}

// lineLevels are the levels of the letters of a line: even from the left, odd from the right.
// The classes are changed on the way.
func lineLevels(runes []rune, classes []bidi.Class, base bidi.Class) []int {
	n := len(classes)
	given := slices.Clone(classes)
	weak(classes, base)
	brackets(runes, given, classes, base)
	// N1, N2: neutrals go with what is on both sides of them, else with the line.
	for i := 0; i < n; i++ {
		from := i
		for i < n && strong(classes[i]) == bidi.ON {
			i++
		}
		before, after := base, base
		if from > 0 {
			before = strong(classes[from-1])
		}
		if i < n {
			after = strong(classes[i])
		}
		if before != after {
			before = base
		}
		for k := from; k < i; k++ {
			classes[k] = before
		}
	}
	// I1, I2.
	levels := make([]int, n)
	for i, c := range classes {
		if base == bidi.R {
			levels[i] = 1
			if c != bidi.R {
				levels[i] = 2
			}
		} else if c == bidi.R {
			levels[i] = 1
		} else if c != bidi.L {
			levels[i] = 2
		}
	}
	// L1: blanks at the end go with the line.
	for i := n - 1; i >= 0 && (given[i] == bidi.WS || given[i] == bidi.S || given[i] == bidi.B); i-- {
		levels[i] = 0
		if base == bidi.R {
			levels[i] = 1
		}
	}
	return levels
}

// weak settles numbers and what stands about them: rules W1 to W7.
func weak(classes []bidi.Class, base bidi.Class) {
	n := len(classes)
	before := base
	for i, c := range classes { // W1
		if c == bidi.NSM {
			classes[i] = before
		}
		before = classes[i]
	}
	before = base
	for i, c := range classes { // W2, W3
		switch {
		case c == bidi.EN && before == bidi.AL:
			classes[i] = bidi.AN
		case c == bidi.L || c == bidi.R || c == bidi.AL:
			before = c
		}
	}
	for i, c := range classes {
		if c == bidi.AL {
			classes[i] = bidi.R
		}
	}
	for i := 1; i+1 < n; i++ { // W4
		if a := classes[i-1]; a == classes[i+1] &&
			(a == bidi.EN && classes[i] == bidi.ES || (a == bidi.EN || a == bidi.AN) && classes[i] == bidi.CS) {
			classes[i] = a
		}
	}
	for i := 0; i < n; i++ { // W5, W6
		from := i
		for i < n && classes[i] == bidi.ET {
			i++
		}
		to := bidi.Class(bidi.ON)
		if from > 0 && classes[from-1] == bidi.EN || i < n && classes[i] == bidi.EN {
			to = bidi.EN
		}
		for k := from; k < i; k++ {
			classes[k] = to
		}
		if i < n && (classes[i] == bidi.ES || classes[i] == bidi.CS) {
			classes[i] = bidi.ON
		}
	}
	before = base
	for i, c := range classes { // W7
		switch {
		case c == bidi.EN && before == bidi.L:
			classes[i] = bidi.L
		case c == bidi.L || c == bidi.R:
			before = c
		}
	}
}

// brackets settles pairs of brackets as a whole, rule N0: with the line where what they hold has
// a letter of its direction, else with what stands before them where that is of the other.
func brackets(runes []rune, given, classes []bidi.Class, base bidi.Class) {
	type pair struct{ open, shut int }
	var open []int
	var pairs []pair
	for i, r := range runes {
		p, _ := bidi.LookupRune(r)
		if classes[i] != bidi.ON || r >= firstForm || !p.IsBracket() {
			continue
		}
		if p.IsOpeningBracket() {
			open = append(open, i)
			continue
		}
		for k := len(open) - 1; k >= 0; k-- {
			if mirrored(runes[open[k]]) == r {
				pairs, open = append(pairs, pair{open[k], i}), open[:k]
				break
			}
		}
	}
	slices.SortFunc(pairs, func(a, b pair) int { return a.open - b.open })
	for _, p := range pairs {
		same, other := false, false
		for _, c := range classes[p.open+1 : p.shut] {
			same = same || strong(c) == base
			other = other || strong(c) != bidi.ON && strong(c) != base
		}
		to := base
		if !same {
			if !other {
				continue
			}
			for i := p.open - 1; i >= 0; i-- {
				if c := strong(classes[i]); c != bidi.ON {
					to = c
					break
				}
			}
		}
		for _, i := range [...]int{p.open, p.shut} {
			classes[i] = to
			for k := i + 1; k < len(given) && given[k] == bidi.NSM; k++ {
				classes[k] = to // marks on a bracket go with it
			}
		}
	}
}

// mirrored is the sign that a sign becomes where it is read from the right.
func mirrored(r rune) rune {
	switch r {
	case '<':
		return '>'
	case '>':
		return '<'
	case '«':
		return '»'
	case '»':
		return '«'
	case '≤':
		return '≥'
	case '≥':
		return '≤'
	}
	if r >= firstForm {
		return r
	}
	return []rune(bidi.ReverseString(string(r)))[0] // brackets
}
