package words

import (
	"strconv"
	"strings"
	"unicode"
)

// pattern is a text with holes, cut at them: the pieces between stand for
// themselves.
type pattern struct {
	key    string
	pieces []string
	holes  []int // hole i stands behind piece i
	weight int   // bytes of the pieces
}

// patternOf cuts a text at its holes; false when it has none, or nothing of its
// own by which it could be known.
func patternOf(key string) (pattern, bool) {
	p := pattern{key: key}
	rest := key
	for {
		open := strings.IndexByte(rest, '{')
		if open < 0 {
			break
		}
		end := strings.IndexByte(rest[open:], '}')
		if end < 0 {
			break
		}
		n, err := strconv.Atoi(rest[open+1 : open+end])
		if err != nil {
			return p, false
		}
		p.pieces, p.holes = append(p.pieces, rest[:open]), append(p.holes, n)
		rest = rest[open+end+1:]
	}
	p.pieces = append(p.pieces, rest)
	letters := false
	for i, s := range p.pieces {
		p.weight += len(s)
		letters = letters || strings.IndexFunc(s, unicode.IsLetter) >= 0
		if i > 0 && i < len(p.pieces)-1 && s == "" {
			return p, false // two holes with nothing between
		}
	}
	return p, len(p.holes) > 0 && letters
}

// match finds what stands in the holes.
func (p *pattern) match(text string) ([]string, bool) {
	last := len(p.pieces) - 1
	if len(text) <= p.weight || !strings.HasPrefix(text, p.pieces[0]) || !strings.HasSuffix(text, p.pieces[last]) {
		return nil, false
	}
	rest := text[len(p.pieces[0]) : len(text)-len(p.pieces[last])]
	parts := make([]string, len(p.holes))
	put := func(i int, s string) bool {
		n := p.holes[i]
		if s == "" || n >= len(parts) || parts[n] != "" {
			return false
		}
		parts[n] = s
		return true
	}
	for i := 1; i < last; i++ {
		at := strings.Index(rest, p.pieces[i])
		if at < 0 || !put(i-1, rest[:at]) {
			return nil, false
		}
		rest = rest[at+len(p.pieces[i]):]
	}
	return parts, put(last-1, rest)
}

// match says a name in the words of the pattern that has most in common with
// it; what stands in the holes is said as well.
func (l *Language) match(english string) string {
	var best *pattern
	var parts []string
	for i := range l.patterns {
		p := &l.patterns[i]
		if best != nil && (p.weight < best.weight || p.weight == best.weight && p.key > best.key) {
			continue
		}
		if found, ok := p.match(english); ok {
			best, parts = p, found
		}
	}
	if best == nil {
		return Bare(english)
	}
	for i, part := range parts {
		if t, ok := l.texts[part]; ok {
			part = t.plain
		} else if len(part) < len(english) {
			part = l.match(part)
		}
		parts[i] = part
	}
	return Fill(l.texts[best.key].plain, parts...)
}
