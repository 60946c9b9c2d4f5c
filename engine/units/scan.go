package units

import "unicode/utf8"

// longest is the greatest length of a text in bytes. A laser sends twenty.
const longest = 80

// mostDigits is how many digits a number may have: as many as are exact in
// every unit.
const mostDigits = 12

// scanner reads one measurement, character by character, with the typographic
// forms of marks folded into the plain ones.
type scanner struct {
	text    string
	at      int
	allowed string
}

// peek is the character at the offset, folded, and its width in bytes; 0 at
// the end.
func (s *scanner) peek() (rune, int) { return s.peekFrom(s.at) }

func (s *scanner) peekFrom(at int) (rune, int) {
	if at >= len(s.text) {
		return 0, 0
	}
	r, n := utf8.DecodeRuneInString(s.text[at:])
	r = fold(r)
	if r == '\'' { // two single marks make an inch mark
		if next, width := utf8.DecodeRuneInString(s.text[at+n:]); fold(next) == '\'' {
			return '"', n + width
		}
	}
	return r, n
}

func fold(r rune) rune {
	switch r {
	case ' ', '\t', '\r', '\n', '\u00a0', '\u1680', '\u202f', '\u205f', '\u3000', '\ufeff':
		return ' '
	case '’', '‘', '′', 'ʹ', '´', '`', 'ʼ', '‛':
		return '\''
	case '”', '“', '″', 'ʺ', '„', '‟', '˝':
		return '"'
	case '−', '–', '—', '‐', '‑', '‒', '﹣', '-':
		return '-'
	case '+':
		return '+'
	case '⁄', '∕', '/':
		return '/'
	case '٫':
		return ','
	}
	if r >= '\u2000' && r <= '\u200b' {
		return ' '
	}
	if r >= 'A' && r <= 'Z' {
		return r + ('a' - 'A')
	}
	return r
}

func (s *scanner) skipSpace() {
	for {
		if r, n := s.peek(); n > 0 && r == ' ' {
			s.at += n
			continue
		}
		return
	}
}

// sign takes a leading + or −.
func (s *scanner) sign() float64 {
	s.skipSpace()
	switch r, n := s.peek(); r {
	case '-':
		s.at += n
		s.skipSpace()
		return -1
	case '+':
		s.at += n
		s.skipSpace()
	}
	return 1
}

// digits takes a run of the digits 0 to 9.
func (s *scanner) digits() string {
	from := s.at
	for s.at < len(s.text) && s.text[s.at] >= '0' && s.text[s.at] <= '9' {
		s.at++
	}
	return s.text[from:s.at]
}

// word takes letters, or one mark that stands for a unit.
func (s *scanner) word() string {
	r, n := s.peek()
	switch {
	case r == '\'' || r == '"' || r == '%' || r == '°' || r == ':':
		s.at += n
		return string(r)
	case !letter(r):
		return ""
	}
	var w []rune
	for r, n = s.peek(); letter(r); r, n = s.peek() {
		w = append(w, r)
		s.at += n
	}
	return string(w)
}

func letter(r rune) bool { return r >= 'a' && r <= 'z' || r > 127 && r != '°' && vulgar(r).below == 0 }

func (s *scanner) refuse(at int, why Reason) *ParseError {
	e := &ParseError{Text: s.text, At: min(at, len(s.text)), Reason: why, Allowed: s.allowed}
	if at < len(s.text) {
		_, n := utf8.DecodeRuneInString(s.text[at:])
		e.Found = s.text[at : at+n]
	}
	return e
}

// refuseWord names the whole word that stands at the offset.
func (s *scanner) refuseWord(at int, why Reason) *ParseError {
	e := s.refuse(at, why)
	if s.at > at {
		e.Found = s.text[at:s.at]
	}
	return e
}

// fraction is a tape fraction; below is 0 when there is none.
type fraction struct{ above, below int64 }

func vulgar(r rune) fraction {
	switch r {
	case '½':
		return fraction{1, 2}
	case '¼':
		return fraction{1, 4}
	case '¾':
		return fraction{3, 4}
	case '⅛':
		return fraction{1, 8}
	case '⅜':
		return fraction{3, 8}
	case '⅝':
		return fraction{5, 8}
	case '⅞':
		return fraction{7, 8}
	}
	return fraction{}
}
