package spoken

import (
	"errors"
	"strconv"
	"strings"
)

// Why something was refused.
var (
	ErrNoNumber  = errors.New("no number was understood")
	ErrAmbiguous = errors.New("this can be read in more than one way")
)

// Read gives what one would have typed for a number that was heard in a language, "en" or
// "de", with a point for its decimal sign: 3450, -12, 2.5 m, 1 m 50 cm, 10' 6", 2.5 %,
// 45°, 1:40, 25 mm/m. It refuses with ErrNoNumber or ErrAmbiguous.
func Read(heard, language string) (typed string, err error) {
	g := &english
	switch language {
	case "en":
	case "de":
		g = &german
	default:
		return "", ErrNoNumber
	}
	tokens, ok := g.split(heard)
	if !ok {
		return "", ErrNoNumber
	}
	r := &reader{grammar: g, tokens: tokens}
	typed, ok = r.measurement()
	if ok && r.at == len(tokens) {
		return typed, nil
	}
	for _, t := range tokens {
		if t.kind <= figure && t.text != "oh" {
			return "", ErrAmbiguous
		}
	}
	return "", ErrNoNumber
}

// reader goes through the tokens of one measurement.
type reader struct {
	*grammar
	tokens []token
	at     int
}

// here is the token so many places on; of no kind behind the end.
func (r *reader) here(on int) token {
	if r.at+on < len(r.tokens) {
		return r.tokens[r.at+on]
	}
	return token{}
}

// take goes past a token of the kind, if one is next.
func (r *reader) take(k kind) (t token, took bool) {
	if t = r.here(0); t.kind != k {
		return t, false
	}
	r.at++
	return t, true
}

// measurement reads a sign, a number and its unit.
func (r *reader) measurement() (string, bool) {
	sign := ""
	if _, took := r.take(minus); took {
		sign = "-"
	} else {
		r.take(plus)
	}
	n, ok := r.number()
	if !ok {
		return "", false
	}
	last := r.tokens[r.at-1].kind
	alone := (last == half || last == article) && n[:2] == "0." // half a metre: of what?
	u, named := r.unit()
	switch {
	case named:
		rest, ok := r.afterUnit(u, n)
		return sign + n + spaced(u) + rest, ok
	case alone:
		return "", false
	}
	if _, took := r.take(over); took {
		run, ok := r.whole()
		return sign + n + ":" + run, ok && !strings.ContainsAny(n, ". ")
	}
	return sign + n, true
}

// spaced is a unit as it stands behind its number.
func spaced(u string) string {
	if strings.Contains(`'"°`, u) {
		return u
	}
	return " " + u
}

// unit takes a unit; "in" is one where nothing follows.
func (r *reader) unit() (string, bool) {
	t := r.here(0)
	if t.kind == unit || t.kind == over && t.text != "" && r.at == len(r.tokens)-1 {
		r.at++
		return t.text, true
	}
	return "", false
}

// afterUnit reads what follows a number n and its unit: "per metre", or the smaller unit.
func (r *reader) afterUnit(u, n string) (string, bool) {
	if _, took := r.take(per); took {
		of, _ := r.unit()
		return "/m", u == "mm" && of == "m"
	}
	if r.at == len(r.tokens) {
		return "", true
	}
	r.take(joins)
	small, ok := r.number()
	if !ok || strings.ContainsAny(n, ". ") {
		return "", false
	}
	unit, named := r.unit()
	switch {
	case named:
	case u == "'":
		unit = `"`
	case strings.ContainsAny(small, "./"):
		return "", false
	case u == "m" && len(small) == 2:
		unit = "cm"
	case u == "m" && len(small) == 3:
		unit = "mm"
	default:
		return "", false
	}
	for len(small) > 1 && small[0] == '0' && isDigit(rune(small[1])) {
		small = small[1:]
	}
	return " " + small + spaced(unit), true
}

// number reads a number with its decimals.
func (r *reader) number() (string, bool) {
	if text, ok := r.halfOf(); ok {
		return text, true
	}
	if t := r.here(0); t.kind == figure && strings.Contains(t.text, ".") {
		r.at++
		return t.text, true
	}
	if t := r.here(0); t.kind == part && t.text[0] == ' ' { // 3/8
		r.at++
		return t.text[1:], true
	}
	whole, ok := "0", true
	if r.here(0).kind != point {
		whole, ok = r.whole()
	}
	if !ok {
		return "", false
	}
	if _, took := r.take(point); took {
		decimals, ok := r.decimals()
		return whole + "." + decimals, ok
	}
	return whole + r.part(), true
}

// halfOf reads half, a half, half a: of what a unit must say.
func (r *reader) halfOf() (string, bool) {
	from := r.at
	if _, took := r.take(article); !took && r.unitLast && r.here(0).kind == digit && r.here(0).n == 1 {
		r.at++
	}
	if t, took := r.take(half); took {
		r.take(article)
		return "0" + t.text, true
	}
	r.at = from
	return "", false
}

// part reads what makes a whole number one with a part: and a half, ½, 1/2.
func (r *reader) part() string {
	from := r.at
	_, joined := r.take(joins)
	if t, took := r.take(part); took {
		return t.text
	}
	r.take(article)
	if t, took := r.take(half); took && joined {
		return t.text
	}
	r.at = from
	return ""
}

// decimals are digits one by one, or a number below a hundred.
func (r *reader) decimals() (string, bool) {
	if t := r.here(0); t.kind == figure && len(t.text) > 1 {
		r.at++
		return t.text, !strings.Contains(t.text, ".")
	}
	if run := r.digits(); len(run) > 1 {
		r.at += len(run)
		return run, true
	}
	n, ok := r.tens()
	return strconv.Itoa(n), ok && n < 100
}

// whole reads a whole number: its digits one by one, or as it is said.
func (r *reader) whole() (string, bool) {
	if run := r.digits(); len(run) > 1 {
		r.at += len(run)
		return run, len(run) <= 9
	}
	if t := r.here(0); t.text == "oh" || t.kind == figure && strings.Contains(t.text, ".") {
		return "", false
	}
	if t := r.here(0); t.kind == figure && r.here(1).kind != hundred && r.here(1).kind != thousand {
		r.at++
		text := t.text
		for next := r.here(0); next.continues(t); next = r.here(0) {
			text += next.text // 4 000
			r.at++
		}
		return text, len(text) <= 9
	}
	n, ok := r.cardinal()
	return strconv.Itoa(n), ok
}

// continues reports whether a figure is the next three digits of one that was parted.
func (t token) continues(first token) bool {
	return t.kind == figure && len(t.text) == 3 && len(first.text) <= 3 && !strings.Contains(t.text, ".")
}

// digits are those that stand here one by one.
func (r *reader) digits() string {
	var run []byte
	for {
		switch t := r.here(len(run)); {
		case t.kind == digit:
			run = append(run, byte('0'+t.n))
		case t.kind == figure && len(t.text) == 1:
			run = append(run, t.text[0])
		default:
			return string(run)
		}
	}
}

// cardinal reads a number below a million.
func (r *reader) cardinal() (int, bool) {
	n, ok := r.hundreds()
	if _, took := r.take(thousand); !took {
		return n, ok
	}
	if !ok {
		n = 1
	}
	rest, fits := r.rest(r.hundreds, 1000)
	return n*1000 + rest, fits && n > 0 && n < 1000
}

// hundreds reads a number below a thousand, or of more hundreds: twelve hundred.
func (r *reader) hundreds() (int, bool) {
	n, ok := r.tens()
	if _, took := r.take(hundred); !took {
		return n, ok
	}
	if !ok {
		n = 1
	}
	rest, fits := r.rest(r.tens, 100)
	return n*100 + rest, fits && n > 0 && n < 100
}

// rest reads what follows hundreds or thousands, after "and" or without: nothing, or a
// number below so many.
func (r *reader) rest(read func() (int, bool), below int) (int, bool) {
	from := r.at
	r.take(joins)
	n, ok := read()
	if !ok {
		r.at = from
		return 0, true
	}
	return n, n > 0 && n < below
}

// tens reads a number below a hundred, or digits as they were written.
func (r *reader) tens() (int, bool) {
	t := r.here(0)
	next := r.here(1)
	switch t.kind {
	case figure:
		n, err := strconv.Atoi(t.text)
		if err != nil || len(t.text) > 9 {
			return 0, false
		}
		r.at++
		return n, true
	case article:
		if next.kind != hundred && next.kind != thousand {
			return 0, false
		}
		r.at++
		return 1, true
	case digit:
		r.at++
		if after := r.here(1); r.unitLast && t.n > 0 && next.kind == joins && after.kind == ten {
			r.at += 2
			return t.n + after.n, true
		}
	case ten:
		r.at++
		if !r.unitLast && next.kind == digit && next.n > 0 {
			r.at++
			return t.n + next.n, true
		}
	case teen:
		r.at++
	default:
		return 0, false
	}
	return t.n, true
}
