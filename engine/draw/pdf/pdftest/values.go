// Package pdftest reads PDF files for tests, by ISO 32000-1 alone and apart from what writes
// them: objects, what stands on pages and where, and the tree that is read aloud.
package pdftest

import (
	"bytes"
	"encoding/hex"
	"fmt"
	"strconv"
)

// The values of a file: nil, bool, float64, Name, String, []any, Dict, Ref, *Stream and, among
// the operators of a page, Operator.
type (
	Name     string
	String   string
	Operator string
	Dict     map[Name]any
	Ref      int
)

// Stream is a dictionary with bytes, decoded.
type Stream struct {
	Dict Dict
	Data []byte
}

// parser reads values.
type parser struct {
	b  []byte
	at int
}

// The kinds of bytes: 7.2.2.
const (
	regular = iota
	white
	delimiter
)

var kinds = func() (all [256]byte) {
	for _, c := range []byte("\x00\t\n\f\r ") {
		all[c] = white
	}
	for _, c := range []byte("()<>[]{}/%") {
		all[c] = delimiter
	}
	return all
}()

func (p *parser) skip() {
	for p.at < len(p.b) {
		switch c := p.b[p.at]; {
		case kinds[c] == white:
			p.at++
		case c == '%':
			for p.at < len(p.b) && p.b[p.at] != '\n' && p.b[p.at] != '\r' {
				p.at++
			}
		default:
			return
		}
	}
}

func (p *parser) token() string {
	from := p.at
	for p.at < len(p.b) && kinds[p.b[p.at]] == regular {
		p.at++
	}
	return string(p.b[from:p.at])
}

func (p *parser) has(s string) bool { return bytes.HasPrefix(p.b[p.at:], []byte(s)) }

// value reads the next value; more is false at the end and at the end of an array or dictionary.
func (p *parser) value() (v any, more bool, err error) {
	p.skip()
	switch {
	case p.at >= len(p.b) || p.has("]") || p.has(">>"):
		return nil, false, nil
	case p.has("<<"):
		p.at += 2
		d := Dict{}
		for {
			key, more, err := p.value()
			if err != nil {
				return nil, false, err
			}
			if !more {
				break
			}
			name, ok := key.(Name)
			if !ok {
				return nil, false, fmt.Errorf("%v is no key", key)
			}
			if _, twice := d[name]; twice {
				return nil, false, fmt.Errorf("%s stands twice", name)
			}
			if d[name], more, err = p.value(); err != nil || !more {
				return nil, false, fmt.Errorf("%s has no value: %w", name, err)
			}
		}
		if !p.has(">>") {
			return nil, false, fmt.Errorf("a dictionary has no end")
		}
		p.at += 2
		return d, true, nil
	case p.has("["):
		p.at++
		all := []any{}
		for {
			v, more, err := p.value()
			if err != nil {
				return nil, false, err
			}
			if !more {
				break
			}
			all = append(all, v)
		}
		if !p.has("]") {
			return nil, false, fmt.Errorf("an array has no end")
		}
		p.at++
		return all, true, nil
	case p.has("<"):
		end := bytes.IndexByte(p.b[p.at:], '>')
		if end < 0 {
			return nil, false, fmt.Errorf("a string has no end")
		}
		digits := p.b[p.at+1 : p.at+end]
		p.at += end + 1
		s, err := hex.DecodeString(string(digits))
		return String(s), true, err
	case p.has("("):
		s, err := p.literal()
		return s, true, err
	case p.has("/"):
		p.at++
		return Name(p.token()), true, nil
	}
	from := p.at
	word := p.token()
	if number, err := strconv.ParseFloat(word, 64); err == nil {
		// Two whole numbers and R are a reference.
		after := p.at
		p.skip()
		p.token()
		p.skip()
		if p.has("R") {
			p.at++
			if p.at == len(p.b) || kinds[p.b[p.at]] != regular {
				return Ref(number), true, nil
			}
		}
		p.at = after
		return number, true, nil
	}
	switch word {
	case "true", "false":
		return word == "true", true, nil
	case "null":
		return nil, true, nil
	case "":
		return nil, false, fmt.Errorf("at %d stands %q", from, p.b[from])
	}
	return Operator(word), true, nil
}

func (p *parser) literal() (String, error) {
	var out []byte
	deep := 0
	for ; p.at < len(p.b); p.at++ {
		switch c := p.b[p.at]; c {
		case '(':
			if deep++; deep > 1 {
				out = append(out, c)
			}
		case ')':
			if deep--; deep == 0 {
				p.at++
				return String(out), nil
			}
			out = append(out, c)
		case '\\':
			p.at++
			out = append(out, p.b[p.at])
		default:
			out = append(out, c)
		}
	}
	return "", fmt.Errorf("a string has no end")
}
