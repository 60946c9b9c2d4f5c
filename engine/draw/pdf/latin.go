package pdf

// latin turns a text into the Windows-1252 bytes that the standard fonts are
// set in. Some signs are written out; of what has letters beyond it the pieces
// are set in the lettering of this package.
func latin(s string) string {
	plain := true
	for i := range len(s) {
		if s[i] >= 0x80 || s[i] < 0x20 {
			plain = false
			break
		}
	}
	if plain {
		return s
	}
	out := make([]byte, 0, len(s))
	for _, r := range s {
		switch {
		case r >= 0x20 && r < 0x7f, r >= 0xa0 && r <= 0xff:
			out = append(out, byte(r))
		default:
			sign, _ := beyondLatin(r)
			out = append(out, sign...)
		}
	}
	return string(out)
}

// inLatin reports whether latin has a letter for r, writes it out, or needs none.
func inLatin(r rune) bool {
	if r >= 0x20 && r < 0x7f || r >= 0xa0 && r <= 0xff {
		return true
	}
	_, ok := beyondLatin(r)
	return ok || unseen(r)
}

// beyondLatin is how a sign is written that Windows-1252 has elsewhere than Latin-1, or not.
func beyondLatin(r rune) (sign string, ok bool) {
	switch r {
	case '€':
		return "\x80", true
	case '…':
		return "\x85", true
	case '‘':
		return "\x91", true
	case '’', '′':
		return "\x92", true
	case '“':
		return "\x93", true
	case '”', '″':
		return "\x94", true
	case '„':
		return "\x84", true
	case '‚':
		return "\x82", true
	case '•':
		return "\x95", true
	case '–', '‑', '‒':
		return "\x96", true
	case '—':
		return "\x97", true
	case '™':
		return "\x99", true
	case '−':
		return "-", true
	case '≤':
		return "<=", true
	case '≥':
		return ">=", true
	case '≈':
		return "~", true
	case '≠':
		return "not =", true
	case '√':
		return "root ", true
	case 'Ø', '⌀':
		return "\xd8", true
	case '⅛':
		return "1/8", true
	case '⅜':
		return "3/8", true
	case '⅝':
		return "5/8", true
	case '⅞':
		return "7/8", true
	case '→':
		return "->", true
	case '\u2009', '\u202f', '\t':
		return " ", true
	case '\n', '\r':
		return "", true
	}
	return "", false
}
