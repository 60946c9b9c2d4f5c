package pdf

import "slices"

// Letters of Arabic stand alone, at the begin, within or at the end of a stretch of joined ones,
// and have a form for each. The forms that a letter has in the face tell how it joins: one with
// a form at the end joins the letter before, one with a form at the begin the letter after too
// (what Unicode's ArabicShaping.txt calls right- and dual-joining).

// A form is numbered beyond all letters of Unicode: four for each letter from firstArabic on.
// In the face's file they stand in the private area. See letters/cut.py.
const (
	firstArabic, lastArabic = 0x600, 0x6ff
	firstForm               = 0x200000
	inFile                  = 0xe000
	joinedForms             = firstForm + 0x400 // lam and alef as one
	turned                  = firstForm + 0x500 // brackets that are turned round, by the last byte of what they look like
)

// The forms, in the order of the file.
const (
	formAlone = iota
	formEnd
	formBegin
	formWithin
)

const (
	lam        = 0x644
	joiner     = 0x200d // joins what stands beside it
	separators = 0x200c // and this keeps it apart
)

func arabic(r rune) bool { return r >= firstArabic && r <= lastArabic }

func formOf(r rune, form int) rune { return firstForm + (r-firstArabic)*4 + rune(form) }

// letterOf is what a form stands for; lam and alef are two.
func letterOf(r rune) string {
	switch {
	case r >= joinedForms:
		return string([]rune{lam, 0x620 + (r-joinedForms)/2})
	case r >= firstForm:
		return string(firstArabic + (r-firstForm)/4)
	}
	return string(r)
}

// joined puts the forms of Arabic letters into a line, in the order in which it is read.
func (f *face) joined(runes []rune) []rune {
	if !slices.ContainsFunc(runes, arabic) {
		return runes
	}
	has := func(r rune, form int) bool { return arabic(r) && f.glyph(formOf(r, form)) != 0 }
	joinsAfter := func(r rune) bool { return r == joiner || has(r, formBegin) }
	joinsBefore := func(r rune) bool { return r == joiner || has(r, formEnd) }
	out := make([]rune, 0, len(runes))
	before := rune(0) // the last letter that is no mark, where it joins what comes
	for i, r := range runes {
		if isMark(r) {
			out = append(out, r)
			continue
		}
		if !joinsBefore(r) && !joinsAfter(r) {
			before, out = 0, append(out, r)
			continue
		}
		after := rune(0)
		for _, next := range runes[i+1:] {
			if !isMark(next) {
				after = next
				break
			}
		}
		left, right := before != 0 && joinsBefore(r), joinsAfter(r) && joinsBefore(after)
		before = 0
		if joinsAfter(r) {
			before = r
		}
		if r == joiner {
			out = append(out, r)
			continue
		}
		form := formAlone
		switch {
		case left && right:
			form = formWithin
		case left:
			form = formEnd
		case right:
			form = formBegin
		}
		// Lam and alef are one letter, with the marks of both after it.
		n := len(out) - 1
		for n >= 0 && isMark(out[n]) {
			n--
		}
		if n >= 0 && left && (out[n] == formOf(lam, formBegin) || out[n] == formOf(lam, formWithin)) {
			one := joinedForms + (r-0x620)*2 + (out[n] - formOf(lam, formBegin))
			if r >= 0x622 && r <= 0x627 && f.glyph(one) != 0 {
				out[n] = one
				continue
			}
		}
		if has(r, form) {
			r = formOf(r, form)
		}
		out = append(out, r)
	}
	return out
}
