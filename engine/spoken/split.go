package spoken

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// longest is the greatest length of what is read, in bytes.
const longest = 200

// split takes what was heard apart into tokens; false where something in it is not known.
func (g *grammar) split(heard string) (tokens []token, ok bool) {
	if len(heard) > longest {
		return nil, false
	}
	rest := strings.ReplaceAll(strings.ToLower(heard), "per cent", "percent")
	for rest != "" {
		of, width := g.next(rest, len(tokens) == 0)
		if width == 0 {
			return nil, false
		}
		tokens, rest = append(tokens, of...), rest[width:]
	}
	return tokens, true
}

// next is what stands first in a text, and its length; 0 where it is not known.
func (g *grammar) next(text string, first bool) (of []token, width int) {
	r, width := utf8.DecodeRuneInString(text)
	after := rune(' ')
	if width < len(text) {
		after, _ = utf8.DecodeRuneInString(text[width:])
	}
	switch {
	case unicode.IsSpace(r):
		return nil, width
	case isDigit(r):
		width = end(text, func(r rune) bool { return isDigit(r) || strings.ContainsRune(".,/", r) })
		for !isDigit(rune(text[width-1])) { // the end of a sentence
			width--
		}
		of = g.figure(text[:width])
	case r == '-' && first && isDigit(after):
		of = []token{{kind: minus}}
	case (r == '.' || r == ',') && first && isDigit(after):
		of = []token{{kind: point}}
	case r == '-' || strings.ContainsRune(".,!?", r) && unicode.IsSpace(after):
		return nil, width
	case unicode.IsLetter(r):
		width = end(text, unicode.IsLetter)
		of = g.word(text[:width])
	default:
		of = find(written, text[:width])
	}
	if of == nil {
		width = 0
	}
	return of, width
}

// end is how many bytes of a text hold what is wanted, from its beginning.
func end(text string, wanted func(rune) bool) int {
	if n := strings.IndexFunc(text, func(r rune) bool { return !wanted(r) }); n >= 0 {
		return n
	}
	return len(text)
}

func isDigit(r rune) bool { return r >= '0' && r <= '9' }

// find looks a whole word up; nil where it is not known.
func find(all []word, spoken string) []token {
	for i := range all {
		if all[i].spoken == spoken {
			return []token{all[i].token}
		}
	}
	return nil
}

// word takes a word apart, from the longest of the parts that it begins with on.
func (g *grammar) word(spoken string) (tokens []token) {
	for _, all := range [...][]word{g.words, g.alone, written} {
		if of := find(all, spoken); of != nil {
			return of
		}
	}
	for spoken != "" {
		best := -1
		for i := range g.words {
			if w := g.words[i].spoken; strings.HasPrefix(spoken, w) && (best < 0 || len(w) > len(g.words[best].spoken)) {
				best = i
			}
		}
		if best < 0 {
			return nil
		}
		tokens = append(tokens, g.words[best].token)
		spoken = spoken[len(g.words[best].spoken):]
	}
	return tokens
}

// figure reads digits as they were written: the sign between thousands is the language's
// where one sign alone stands before three digits, else the last sign is the decimal one.
func (g *grammar) figure(written string) []token {
	if above, below, ok := strings.Cut(written, "/"); ok {
		if len(above) == 0 || len(above) > 2 || len(below) == 0 || len(below) > 2 || strings.ContainsAny(above+below, ".,/") {
			return nil
		}
		return []token{{kind: part, text: " " + written}}
	}
	groups := strings.FieldsFunc(written, func(r rune) bool { return !isDigit(r) })
	signs := strings.Join(strings.FieldsFunc(written, isDigit), "")
	if len(groups) != len(signs)+1 || len(written) > 12 {
		return nil
	}
	n := len(signs)
	decimal := n > 0 && (n == 1 || signs[n-1] != signs[0])
	if n == 1 && signs[0] == g.parts && len(groups[1]) == 3 && len(groups[0]) <= 3 && groups[0][0] != '0' {
		decimal = false
	}
	whole := groups
	if decimal {
		whole = groups[:n]
	}
	if len(whole) > 1 && (len(whole[0]) > 3 || slices.ContainsFunc(whole[1:], func(s string) bool { return len(s) != 3 }) ||
		strings.Count(signs[:len(whole)-1], signs[:1]) != len(whole)-1) {
		return nil
	}
	text := strings.Join(whole, "")
	if decimal {
		text += "." + groups[n]
	}
	return []token{{kind: figure, text: text}}
}
