package pdf

// latin turns a text into the Windows-1252 bytes that the standard fonts are
// set in. What those fonts lack is written out or becomes '?'.
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
			out = append(out, beyondLatin(r)...)
		}
	}
	return string(out)
}

func beyondLatin(r rune) string {
	switch r {
	case '€':
		return "\x80"
	case '…':
		return "\x85"
	case '‘':
		return "\x91"
	case '’', '′':
		return "\x92"
	case '“':
		return "\x93"
	case '”', '″':
		return "\x94"
	case '„':
		return "\x84"
	case '‚':
		return "\x82"
	case '•':
		return "\x95"
	case '–', '‑', '‒':
		return "\x96"
	case '—':
		return "\x97"
	case '™':
		return "\x99"
	case '−':
		return "-"
	case '≤':
		return "<="
	case '≥':
		return ">="
	case '≈':
		return "~"
	case '≠':
		return "not ="
	case '√':
		return "root "
	case 'φ':
		return "phi"
	case 'θ':
		return "theta"
	case 'σ':
		return "sigma"
	case 'π':
		return "pi"
	case 'Ø', '⌀':
		return "\xd8"
	case '⅛':
		return "1/8"
	case '⅜':
		return "3/8"
	case '⅝':
		return "5/8"
	case '⅞':
		return "7/8"
	case '→':
		return "->"
	case '\u2009', '\u202f', '\t':
		return " "
	case '\n', '\r', '\u200b', '\ufeff':
		return ""
	}
	return "?"
}
