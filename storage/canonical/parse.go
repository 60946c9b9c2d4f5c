// Package canonical reads JSON strictly and writes it in the one form of
// RFC 8785 (JSON Canonicalization Scheme), so that equal documents have equal
// bytes and a hash can name them.
//
// A document in memory is a tree of map[string]any, []any, string, float64,
// bool and nil.
package canonical

import (
	"math"
	"strconv"
	"unicode/utf16"
	"unicode/utf8"

	"pegpour/engine/refusal"
)

// Limits bounds what Parse accepts; zero means no limit.
type Limits struct {
	Bytes int // of the whole text
	Depth int // of arrays and objects inside one another
}

// SyntaxError says where a text stops being JSON that can be kept.
type SyntaxError struct {
	Offset int // in bytes from the start
	Reason refusal.Message
}

// Error gives the reason and the place.
func (e *SyntaxError) Error() string { return e.Refusal().String() }

// Refusal is the sentence with its values.
func (e *SyntaxError) Refusal() refusal.Message {
	return refusal.Say("byte {0}: {1}", refusal.Count(e.Offset), refusal.Part(e.Reason))
}

// Parse reads one JSON text (RFC 8259, as narrowed by RFC 7493). Refused with a
// SyntaxError, beside malformed text: a name given twice in one object, text
// that is not UTF-8, half a surrogate pair, a number beyond the range of a
// double, more than the limits allow, and anything after the value.
func Parse(text []byte, limits Limits) (any, error) {
	if limits.Bytes > 0 && len(text) > limits.Bytes {
		return nil, &SyntaxError{limits.Bytes, refusal.Say("longer than {0} bytes", refusal.Count(limits.Bytes))}
	}
	p := parser{text: text, depthLeft: limits.Depth}
	if limits.Depth <= 0 {
		p.depthLeft = math.MaxInt
	}
	p.space()
	v, err := p.value()
	if err != nil {
		return nil, err
	}
	p.space()
	if p.at < len(p.text) {
		return nil, p.fail("something follows the end")
	}
	return v, nil
}

type parser struct {
	text      []byte
	at        int
	depthLeft int
}

func (p *parser) fail(reason string) error { return p.refuse(refusal.Say(reason)) }

func (p *parser) refuse(reason refusal.Message) error { return &SyntaxError{p.at, reason} }

func (p *parser) space() {
	for p.at < len(p.text) {
		switch p.text[p.at] {
		case ' ', '\t', '\n', '\r':
			p.at++
		default:
			return
		}
	}
}

// peek returns the next byte, 0 at the end.
func (p *parser) peek() byte {
	if p.at < len(p.text) {
		return p.text[p.at]
	}
	return 0
}

func (p *parser) value() (any, error) {
	switch c := p.peek(); {
	case c == '{':
		return p.object()
	case c == '[':
		return p.array()
	case c == '"':
		return p.text8()
	case c == '-' || '0' <= c && c <= '9':
		return p.number()
	case c == 't':
		return true, p.word("true")
	case c == 'f':
		return false, p.word("false")
	case c == 'n':
		return nil, p.word("null")
	case p.at >= len(p.text):
		return nil, p.fail("cut short")
	}
	return nil, p.fail("a value was expected")
}

func (p *parser) word(w string) error {
	if len(p.text)-p.at < len(w) || string(p.text[p.at:p.at+len(w)]) != w {
		return p.fail("a value was expected")
	}
	p.at += len(w)
	return nil
}

func (p *parser) enter() error {
	if p.depthLeft == 0 {
		return p.fail("nested too deep")
	}
	p.depthLeft--
	p.at++
	p.space()
	return nil
}

func (p *parser) leave() {
	p.depthLeft++
	p.at++
}

func (p *parser) object() (any, error) {
	if err := p.enter(); err != nil {
		return nil, err
	}
	object := map[string]any{}
	for p.peek() != '}' {
		if len(object) > 0 {
			if p.peek() != ',' {
				return nil, p.fail("a comma or the end of the object was expected")
			}
			p.at++
			p.space()
		}
		if p.peek() != '"' {
			return nil, p.fail("a name was expected")
		}
		start := p.at
		name, err := p.text8()
		if err != nil {
			return nil, err
		}
		if _, twice := object[name]; twice {
			p.at = start
			return nil, p.refuse(refusal.Say("the name “{0}” stands twice in one object", refusal.Typed(name)))
		}
		p.space()
		if p.peek() != ':' {
			return nil, p.fail("a colon was expected")
		}
		p.at++
		p.space()
		v, err := p.value()
		if err != nil {
			return nil, err
		}
		object[name] = v
		p.space()
	}
	p.leave()
	return object, nil
}

func (p *parser) array() (any, error) {
	if err := p.enter(); err != nil {
		return nil, err
	}
	array := []any{}
	for p.peek() != ']' {
		if len(array) > 0 {
			if p.peek() != ',' {
				return nil, p.fail("a comma or the end of the array was expected")
			}
			p.at++
			p.space()
		}
		v, err := p.value()
		if err != nil {
			return nil, err
		}
		array = append(array, v)
		p.space()
	}
	p.leave()
	return array, nil
}

// number reads -?(0|[1-9][0-9]*)(.[0-9]+)?([eE][+-]?[0-9]+)?
func (p *parser) number() (any, error) {
	start := p.at
	if p.peek() == '-' {
		p.at++
	}
	switch {
	case p.peek() == '0':
		p.at++
	case p.digits() == 0:
		return nil, p.fail("a digit was expected")
	}
	if p.peek() == '.' {
		p.at++
		if p.digits() == 0 {
			return nil, p.fail("a digit was expected")
		}
	}
	if c := p.peek(); c == 'e' || c == 'E' {
		p.at++
		if c := p.peek(); c == '+' || c == '-' {
			p.at++
		}
		if p.digits() == 0 {
			return nil, p.fail("a digit was expected")
		}
	}
	f, err := strconv.ParseFloat(string(p.text[start:p.at]), 64)
	if err != nil {
		p.at = start
		return nil, p.fail("a number too large to keep")
	}
	return f, nil
}

func (p *parser) digits() int {
	start := p.at
	for c := p.peek(); '0' <= c && c <= '9'; c = p.peek() {
		p.at++
	}
	return p.at - start
}

// text8 reads a string into UTF-8.
func (p *parser) text8() (string, error) {
	p.at++
	start := p.at
	for p.at < len(p.text) { // the usual case: nothing escaped
		switch c := p.text[p.at]; {
		case c == '"':
			s := string(p.text[start:p.at])
			p.at++
			return s, nil
		case c == '\\' || c < ' ' || c >= utf8.RuneSelf:
			return p.textSlow(start)
		}
		p.at++
	}
	return "", p.fail("cut short")
}

func (p *parser) textSlow(start int) (string, error) {
	out := append([]byte(nil), p.text[start:p.at]...)
	for p.at < len(p.text) {
		c := p.text[p.at]
		switch {
		case c == '"':
			p.at++
			return string(out), nil
		case c < ' ':
			return "", p.fail("a control character inside text")
		case c == '\\':
			r, err := p.escape()
			if err != nil {
				return "", err
			}
			out = utf8.AppendRune(out, r)
		case c < utf8.RuneSelf:
			out = append(out, c)
			p.at++
		default:
			r, n := utf8.DecodeRune(p.text[p.at:])
			if r == utf8.RuneError && n == 1 {
				return "", p.fail("text that is not UTF-8")
			}
			out = append(out, p.text[p.at:p.at+n]...)
			p.at += n
		}
	}
	return "", p.fail("cut short")
}

func (p *parser) escape() (rune, error) {
	p.at++
	c := p.peek()
	p.at++
	switch c {
	case '"', '\\', '/':
		return rune(c), nil
	case 'b':
		return '\b', nil
	case 'f':
		return '\f', nil
	case 'n':
		return '\n', nil
	case 'r':
		return '\r', nil
	case 't':
		return '\t', nil
	case 'u':
		r, err := p.hex4()
		if err != nil || !utf16.IsSurrogate(r) {
			return r, err
		}
		if p.peek() == '\\' && p.at+1 < len(p.text) && p.text[p.at+1] == 'u' {
			p.at += 2
			low, err := p.hex4()
			if err != nil {
				return 0, err
			}
			if pair := utf16.DecodeRune(r, low); pair != utf8.RuneError {
				return pair, nil
			}
		}
		return 0, p.fail("half a surrogate pair")
	}
	p.at--
	return 0, p.fail("no such escape")
}

func (p *parser) hex4() (rune, error) {
	if len(p.text)-p.at < 4 {
		return 0, p.fail("cut short")
	}
	n, err := strconv.ParseUint(string(p.text[p.at:p.at+4]), 16, 16)
	if err != nil {
		return 0, p.fail("four hexadecimal digits were expected")
	}
	p.at += 4
	return rune(n), nil
}
