package draw

// Widths of the Helvetica face in thousandths of the font size, from the Adobe
// font metrics of the standard PDF fonts (read), but for signs that are wider in
// the face of papers. All ten figures are 556 wide, so columns of figures line
// up. The slanted face has the same widths.

// widthASCII is indexed by rune - 0x20.
var widthASCII = [...]uint16{
	278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278,
	556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556,
	1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667, 556, 833, 722, 778,
	667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469, 556,
	333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556,
	556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584,
}

// widthLatin is indexed by rune - 0xA0.
var widthLatin = [...]uint16{
	278, 333, 556, 556, 556, 556, 260, 556, 333, 737, 370, 556, 584, 333, 737, 552,
	400, 584, 333, 333, 333, 576, 537, 333, 333, 333, 365, 556, 834, 834, 834, 611,
	667, 667, 667, 667, 667, 667, 1000, 722, 667, 667, 667, 667, 278, 278, 278, 278,
	722, 722, 778, 778, 778, 778, 778, 584, 778, 722, 722, 722, 722, 667, 667, 611,
	556, 556, 556, 556, 556, 556, 889, 500, 556, 556, 556, 556, 278, 278, 278, 278,
	556, 556, 556, 556, 556, 556, 556, 584, 611, 556, 556, 556, 556, 500, 556, 500,
}

// TextWidth returns the width of s set in one line at the font size given, in
// the unit of size. Writers set every text to exactly this width, so that what
// Layout kept apart stays apart whatever face a browser has.
func TextWidth(s string, size float64) float64 {
	n := 0
	for _, r := range s {
		n += runeWidth(r)
	}
	return float64(n) * size / 1000
}

func runeWidth(r rune) int {
	switch {
	case r >= 0x20 && r < 0x7f:
		return int(widthASCII[r-0x20])
	case r >= 0xa0 && r <= 0xff:
		return int(widthLatin[r-0xa0])
	case r < 0x20 || (r >= 0x300 && r < 0x370) || (r >= 0x200b && r <= 0x200f):
		return 0 // controls and marks that stand on the letter before
	}
	for t := widthLetters[:]; len(t) > 0 && r >= rune(t[0]); t = t[2+t[1]:] {
		if n := int(r) - int(t[0]); n < int(t[1]) {
			return int(t[2+n])
		}
	}
	switch r {
	case '–', '€': // en dash, euro
		return 556
	case '—', '…', '™': // em dash, ellipsis, trade mark
		return 1000
	case '‘', '’', '‚':
		return 222
	case '“', '”', '„':
		return 333
	case '•':
		return 350
	case '′': // prime
		return 300
	case '″': // double prime
		return 354
	case '≤', '≥', '≈', '≠', '−':
		return 584
	case '√', 'φ':
		return 600
	case '∑':
		return 713
	case '∆':
		return 612
	}
	if r >= 0x1100 {
		return 1000 // wide scripts and signs
	}
	return 722 // other letters: the width of a capital, to be safe
}

// wrapText breaks s at spaces into lines no wider than width; a word wider
// than that stands alone. Line breaks in s are kept.
func wrapText(s string, size, width float64) []string {
	if TextWidth(s, size) <= width && indexByte(s, '\n') < 0 {
		return []string{s}
	}
	var out []string
	start, space, w, atSpace := 0, -1, 0, 0
	for i, r := range s {
		if r == '\n' {
			out = append(out, s[start:i])
			start, space, w = i+1, -1, 0
			continue
		}
		if r == ' ' {
			space, atSpace = i, w
		}
		w += runeWidth(r)
		if float64(w)*size/1000 > width && space > start {
			out = append(out, s[start:space])
			w -= atSpace + runeWidth(' ')
			start, space = space+1, -1
		}
	}
	return append(out, s[start:])
}

func indexByte(s string, c byte) int {
	for i := 0; i < len(s); i++ {
		if s[i] == c {
			return i
		}
	}
	return -1
}
