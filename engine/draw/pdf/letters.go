package pdf

import (
	"slices"
	"strconv"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"pegpour/engine/words"
)

const (
	// A capital is 0.718 of the size in the standard face of printers, and 1409 of 2048 in ours
	// (read in both): it is set so much larger that capitals are as high, and as much narrower.
	larger = 0.718 * 2048 / 1409
	// leaning is the slope of slanted letters, 12°.
	leaning = 0.21256
	// lacking stands for a letter that the face lacks.
	lacking = '□'
)

// LackingNote says on a page with boxes for letters what they are.
const LackingNote = "A box □ stands for a letter that these sheets have no type for: {0}"

// sign is what a letter is set as that is not in the face by itself, 0 for nothing.
func sign(r rune) (as rune, known bool) {
	switch r {
	case '\u2009', '\u202f', '\t':
		return ' ', true
	case '⌀':
		return 'Ø', true
	case '\n', '\r':
		return 0, true
	}
	return 0, unseen(r)
}

// unseen reports whether r only says how the letters about it are to be joined, ordered or
// coloured.
func unseen(r rune) bool {
	return r >= 0x200b && r <= 0x200f || r >= 0x202a && r <= 0x202e || r >= 0x2060 && r <= 0x206f || r == 0xfeff ||
		r >= 0xfe00 && r <= 0xfe0f || r >= 0x1f3fb && r <= 0x1f3ff || r >= 0xe0000 && r <= 0xe01ef
}

// plain reports whether a line is set letter by letter as it is written: in letters that go
// from the left, and signs of punctuation, of money, of sums and arrows, which are no marks.
func (f *face) plain(s string) bool {
	for _, r := range s {
		if r >= 0x250 && (r < 0x2010 || r > 0x2027) && (r < 0x2030 || r > 0x205e) && (r < 0x20a0 || r > 0x20cf) &&
			(r < 0x2190 || r > 0x23ff) || f.glyph(r) == 0 {
			return false
		}
	}
	return true
}

// shape is a letter, or the form of one, that is set on paper.
type shape struct {
	glyph uint16
	own   string // what it stands for by itself
	as    string // what is read here
	hangs bool   // over or under the letter before it
}

// set is a line as the face sets it, in the order in which it is read, and where from the left
// each of its letters stands; without are the letters that it lacks: a box for each, but nothing
// for a mark on another letter.
func (f *face) set(s string, fromRight bool) (line []shape, order []int, without []rune) {
	runes := f.joined(composed(s))
	visual, from := visual(runes, fromRight)
	at := make([]int, len(runes)) // where a letter that is read stands in the line
	for k := range at {
		at[k] = -1
	}
	stands := make([]rune, len(runes)) // brackets may be turned round
	for k, n := range from {
		stands[n] = visual[k]
	}
	for n, r := range stands {
		as := letterOf(runes[n])
		switch g := f.glyph(r); {
		case r == 0:
			continue
		case r != runes[n] && f.glyph(turned+r&0xff) != 0:
			at[n] = len(line)
			line = append(line, shape{f.glyph(turned + r&0xff), as, as, false})
		case g != 0:
			at[n] = len(line)
			// The face leaves it to its user to put Arabic marks over their letters.
			line = append(line, shape{g, letterOf(r), as, arabic(r) && isMark(r)})
		default:
			if sign, known := sign(r); known {
				if sign != 0 {
					at[n] = len(line)
					line = append(line, shape{f.glyph(sign), string(sign), string(sign), false})
				}
				continue
			}
			without = append(without, r)
			if r < ' ' || r == 0xfffe || r == 0xffff || r == utf8.RuneError {
				as = string(rune(lacking)) // no text
			}
			if last := len(line) - 1; last >= 0 && isMark(r) {
				line[last].as += as
			} else if !isMark(r) {
				at[n] = len(line)
				line = append(line, shape{f.glyph(lacking), string(rune(lacking)), as, false})
			}
		}
	}
	for _, n := range from {
		if at[n] >= 0 {
			order = append(order, at[n])
		}
	}
	return line, order, without
}

// read is a text as properties of a document have it: without what no text has.
func read(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r == utf8.RuneError || r == 0xfffe || r == 0xffff {
			return -1
		}
		return r
	}, s)
}

// face of a style; what leans is drawn leaning.
func (d *Document) face(style string) *face {
	if style == "B" {
		return d.bold
	}
	return d.regular
}

// text sets a line with its base line starting at x, y. size in mm, style "" "B" or "I". The
// letters are written in the order in which they are read, wherever they stand, so that readers
// who know nothing of the order on paper have them right.
func (d *Document) text(x, y float64, s string, size float64, style string) {
	f := d.face(style)
	line, order, without := f.set(s, d.fromRight)
	d.lacked(without)
	if len(line) == 0 {
		return
	}
	// Where each letter stands, in thousandths of the size.
	type point struct{ x, y int }
	places := make([]point, len(line))
	pen, under := 0, -1
	for _, n := range order {
		if line[n].hangs && under >= 0 {
			back, up := f.over(line[under].glyph, line[n].glyph)
			places[n] = point{pen - back, up}
			continue
		}
		places[n], under = point{pen, 0}, n
		pen += f.width(line[n].glyph)
	}
	// A blank parts the line from what was read before it in its element.
	if d.tree.open != nil && d.tree.shown {
		blank := shape{f.glyph(' '), " ", " ", false}
		before := point{-f.width(blank.glyph), 0}
		if d.fromRight {
			before.x = pen
		}
		line, places = slices.Insert(line, 0, blank), slices.Insert(places, 0, before)
	}
	d.tree.shown = true

	x += float64(places[0].x) * size / 1000
	d.buf = append(append(append(d.buf, "BT /"...), f.name...), ' ')
	d.num(size * larger * ptPerMM)
	d.buf = append(d.buf, "Tf "...)
	if style == "I" {
		d.buf = append(d.buf, "1 0 "...)
		d.buf = strconv.AppendFloat(d.buf, leaning, 'f', 5, 64)
		d.buf = append(d.buf, " 1 "...)
	}
	d.num(x * ptPerMM)
	d.num((d.high - y) * ptPerMM)
	if style == "I" {
		d.buf = append(d.buf, "Tm "...)
	} else {
		d.buf = append(d.buf, "Td "...)
	}
	shown, digits, up := false, false, 0 // whether a string is open, and its digits
	end := func() {
		if digits {
			d.buf = append(d.buf, '>')
		}
		if shown {
			d.buf = append(d.buf, "] TJ "...)
		}
		shown, digits = false, false
	}
	pen = places[0].x
	for n, l := range line {
		if f.used[l.glyph] == "" { // letters of two scripts may share a glyph
			f.used[l.glyph] = l.own
		}
		other := f.used[l.glyph] != l.as
		if other || places[n].y != up {
			end()
		}
		if places[n].y != up {
			up = places[n].y
			d.num(float64(up) * size * larger * ptPerMM / 1000)
			d.buf = append(d.buf, "Ts "...)
		}
		if other {
			d.buf = append(append(append(d.buf, "/Span <</ActualText "...), textString(l.as)...), ">> BDC "...)
		}
		if !shown {
			d.buf, shown = append(d.buf, '['), true
		}
		if move := pen - places[n].x; move != 0 {
			if digits {
				d.buf, digits = append(d.buf, '>'), false
			}
			d.buf = strconv.AppendInt(d.buf, int64(move), 10)
		}
		if !digits {
			d.buf, digits = append(d.buf, '<'), true
		}
		d.buf = hex(d.buf, int(l.glyph))
		if other {
			end()
			d.buf = append(d.buf, "EMC "...)
		}
		pen = places[n].x + f.width(l.glyph)
	}
	end()
	if up != 0 {
		d.buf = append(d.buf, "0 Ts "...)
	}
	d.op("ET")
}

// over is how far back from the end of a letter a mark begins that stands in its middle, and how
// much higher than it is drawn it stands, to be clear of it; in thousandths of the size.
func (f *face) over(letter, mark uint16) (back, up int) {
	l, m := f.outline(letter), f.outline(mark)
	if len(l) < 10 || len(m) < 10 {
		return 0, 0
	}
	box := func(s string, n int) int { return int(int16(uint16(s[n])<<8|uint16(s[n+1]))) * 1000 / f.unit }
	back = f.width(letter) - (box(l, 2)+box(l, 6))/2 + (box(m, 2)+box(m, 6))/2
	const clear = 40
	if low := box(m, 4); low > 0 {
		up = max(0, box(l, 8)+clear-low)
	} else {
		up = min(0, box(l, 4)-clear-box(m, 8))
	}
	return back, up
}

// width of s as set by text.
func (d *Document) width(s string, size float64, style string) float64 {
	f, n := d.face(style), 0
	if !d.fromRight && f.plain(s) {
		for _, r := range s {
			n += f.width(f.glyph(r))
		}
		return float64(n) * size / 1000
	}
	line, _, _ := f.set(s, d.fromRight)
	for _, l := range line {
		if !l.hangs {
			n += f.width(l.glyph)
		}
	}
	return float64(n) * size / 1000
}

// hex appends the four digits of a glyph.
func hex(b []byte, v int) []byte {
	const digits = "0123456789abcdef"
	return append(b, digits[v>>12&15], digits[v>>8&15], digits[v>>4&15], digits[v&15])
}

// utf16Hex is a text in UTF-16 as digits.
func utf16Hex(b []byte, s string) []byte {
	for _, u := range utf16.Encode([]rune(s)) {
		b = hex(b, int(u))
	}
	return b
}

// lacked notes letters that were drawn as boxes on this page.
func (d *Document) lacked(without []rune) {
	for _, r := range without {
		if !slices.Contains(d.without, r) {
			d.without = append(d.without, r)
		}
	}
}

// noteLacking says below the frame of a page with boxes which letters they stand for, by their
// numbers in Unicode: as many as have room.
func (d *Document) noteLacking() {
	const size, foot = 3.5, 3.2
	if len(d.without) == 0 {
		return
	}
	slices.Sort(d.without)
	var names []string
	for _, r := range d.without {
		names = append(names, "U+"+strings.ToUpper(strconv.FormatInt(int64(r), 16)))
	}
	note, all := "", strings.Join(names, " ")
	page := d.sheets[len(d.sheets)-1] // a drawing may have been tried on another page since
	d.high = page.high
	for wide := page.wide - marginLeft - marginOther; ; {
		if note = words.Fill(d.say(LackingNote), all); d.width(note, size, "") <= wide || len(names) == 1 {
			break
		}
		names = names[:len(names)-1]
		all = strings.Join(names, " ") + " ..."
	}
	d.mark(d.new("P"))
	d.grey(0)
	d.text(marginLeft, d.high-foot, note, size, "")
	d.without = nil
}

// breakAfter is where s may be cut at n or before it, so that a mark stays with its letter.
func breakAfter(s string, n int) int {
	for at := n; at > 0 && at < len(s); {
		if r, _ := utf8.DecodeRuneInString(s[at:]); !isMark(r) && !unseen(r) {
			return at
		}
		_, back := utf8.DecodeLastRuneInString(s[:at])
		at -= back
	}
	return n
}
