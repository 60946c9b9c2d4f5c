package units

import "math"

// separation is how a number was parted.
type separation uint8

const (
	whole       separation = iota // 3204, 4 000, 1,234,567
	sure                          // 1,234.5: two kinds of separator say which is which
	singlePoint                   // 3.204
	singleComma                   // 3,204
)

// number is a decimal with no rounding: digits · 10^-decimals.
type number struct {
	from      int // offset in the text
	digits    int64
	decimals  int
	integers  int  // digits before the decimal sign
	nonzero   bool // the digits before it do not start with 0
	separated separation
	fraction  fraction
}

func (n number) isWhole() bool { return n.decimals == 0 }

// times is the number times a whole number of tenths of a millimetre, in mm.
// Products are exact below 2^53, so that there is one rounding, in the division.
func (n number) times(tenths int64) float64 {
	if n.fraction.below > 0 {
		return float64((n.digits*n.fraction.below+n.fraction.above)*tenths) / float64(10*n.fraction.below)
	}
	return float64(n.digits*tenths) / math.Pow10(n.decimals+1)
}

// value is the plain number.
func (n number) value() float64 { return n.times(10) }

// number takes digits with separators.
func (s *scanner) number() (number, *ParseError) {
	n := number{from: s.at}
	first := s.digits()
	all := first
	groups := []string{first}
	var marks []rune
	for {
		r, width := s.peek()
		if r != '.' && r != ',' && r != ' ' {
			break
		}
		at := s.at
		s.at += width
		if r == ' ' { // thousands only where exactly three digits follow
			group := s.digits()
			next, _ := s.peek()
			if len(group) != 3 || next == '/' || first == "" || len(first) > 3 || len(marks) > 0 &&
				marks[len(marks)-1] != ' ' {
				s.at = at
				break
			}
			groups, marks, all = append(groups, group), append(marks, r), all+group
			continue
		}
		group := s.digits()
		if group == "" {
			if len(marks) == 0 && first == "" {
				return n, s.refuse(at, NoNumber)
			}
			return n, s.refuse(at, Unfinished)
		}
		groups, marks, all = append(groups, group), append(marks, r), all+group
	}
	if all == "" {
		return n, s.refuse(n.from, NoNumber)
	}
	if len(all) > mostDigits {
		return n, s.refuse(n.from, TooLong)
	}
	for _, d := range []byte(all) {
		n.digits = 10*n.digits + int64(d-'0')
	}
	decimal, ok := decimalMark(marks)
	last := groups[len(groups)-1]
	thousands := groups
	if decimal {
		n.decimals = len(last)
		thousands = groups[:len(groups)-1]
		n.separated = sure
		if len(marks) == 1 {
			n.separated = singlePoint
			if marks[0] == ',' {
				n.separated = singleComma
			}
		}
	}
	n.integers = len(all) - n.decimals
	n.nonzero = first != "" && first[0] != '0'
	if !ok || !grouped(thousands) {
		return n, s.refuseWord(n.from, BadGroups)
	}
	return n, nil
}

// decimalMark reports whether the last separator is the decimal sign; ok is
// false when the separators make no sense together.
func decimalMark(marks []rune) (decimal, ok bool) {
	if len(marks) == 0 {
		return false, true
	}
	last := marks[len(marks)-1]
	before := marks[:len(marks)-1]
	for _, m := range before {
		if m != before[0] {
			return false, false
		}
	}
	switch {
	case last == ' ':
		return false, len(before) == 0 || before[0] == ' '
	case len(before) == 0:
		return true, true
	case before[0] == last:
		return false, true
	}
	return true, true
}

// grouped reports whether digits stand in groups of three after a first group
// of one to three.
func grouped(groups []string) bool {
	if len(groups) == 1 {
		return true
	}
	if len(groups[0]) < 1 || len(groups[0]) > 3 {
		return false
	}
	for _, g := range groups[1:] {
		if len(g) != 3 {
			return false
		}
	}
	return true
}

// tapeNumber takes a number with a tape fraction after it, or a fraction
// alone: 6 1/2, 6-1/2, 6½, 1/2.
func (s *scanner) tapeNumber() (number, *ParseError) {
	from := s.at
	if r, width := s.peek(); vulgar(r).below > 0 {
		s.at += width
		return number{from: from, fraction: vulgar(r)}, nil
	}
	n, err := s.number()
	if err != nil {
		return n, err
	}
	if r, _ := s.peek(); r == '/' {
		if !n.isWhole() || n.separated != whole {
			return n, s.refuseWord(from, BadFraction)
		}
		f, err := s.below(n.digits, from)
		return number{from: from, fraction: f}, err
	}
	back := s.at
	s.skipSpace()
	if r, width := s.peek(); r == '-' && s.at == back {
		s.at += width
	}
	at := s.at
	if r, width := s.peek(); vulgar(r).below > 0 {
		s.at += width
		n.fraction = vulgar(r)
	} else if above := s.digits(); above != "" && len(above) <= 2 {
		if r, _ := s.peek(); r == '/' {
			f, err := s.below(small(above), at)
			if err != nil {
				return n, err
			}
			n.fraction = f
		}
	}
	if n.fraction.below == 0 {
		s.at = back
		return n, nil
	}
	if !n.isWhole() {
		return n, s.refuseWord(from, BadFraction)
	}
	return n, nil
}

// below takes the line and the lower number of a fraction.
func (s *scanner) below(above int64, from int) (fraction, *ParseError) {
	_, width := s.peek()
	s.at += width
	d := s.digits()
	f := fraction{above: above}
	if len(d) <= 2 {
		f.below = small(d)
	}
	switch f.below {
	case 2, 4, 8, 16, 32, 64:
		if above < f.below {
			return f, nil
		}
	}
	return fraction{}, s.refuseWord(from, BadFraction)
}

func small(digits string) int64 {
	var n int64
	for _, d := range []byte(digits) {
		n = 10*n + int64(d-'0')
	}
	return n
}
