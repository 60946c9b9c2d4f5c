package pdf

import (
	_ "embed"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/unicode/bidi"

	"pegpour/engine/words"
)

// Words with letters that the standard fonts lack are set in a face of our own, which is cut
// from a free one (letters/cut.py) and of which a document holds the letters that it uses. It
// is as wide as the standard face and looks like it, so that a page has one lettering; a
// document without such a word is what it was before, and holds no font.

//go:embed letters/regular.ttf
var regularFace string

//go:embed letters/bold.ttf
var boldFace string

const (
	ownFace = "Pegpour"
	// A capital is 0.718 of the size in the standard face, and 1409 of 2048 in this one (read
	// in both): it is set so much larger that capitals are as high, and as much narrower.
	ownLarger = 0.718 * 2048 / 1409
	// leaning is the slope of the standard face's slanted letters, 12°.
	leaning = 0.21256
	// lacking stands for a letter that neither face has.
	lacking = '□'
)

// LackingNote says on a page with boxes for letters what they are.
const LackingNote = "A box □ stands for a letter that these sheets have no type for: {0}"

// piece is a stretch of a text in one face: latin in Windows-1252, or in our own.
type piece struct {
	text string
	own  bool
}

// pieces cuts a line into words of the standard face and words of our own, in the order in
// which they stand from the left, and tells which letters neither has.
func pieces(s string) (all []piece, without []rune) {
	if !strings.ContainsFunc(s, func(r rune) bool { return !inLatin(r) }) {
		return []piece{{text: latin(s)}}, nil
	}
	for s = visual(s); s != ""; {
		// A word with the blanks after it; the number of pages, which is filled in at the end,
		// is one for itself.
		end := len(s)
		if strings.HasPrefix(s, pagesAlias) {
			end = len(pagesAlias)
		} else if at := strings.Index(s, pagesAlias); at > 0 {
			end = at
		}
		if at := strings.IndexByte(s[:end], ' '); at >= 0 {
			end = at + len(s[at:end]) - len(strings.TrimLeft(s[at:end], " "))
		}
		p := piece{own: strings.ContainsFunc(s[:end], func(r rune) bool { return !inLatin(r) })}
		if p.own {
			var lack []rune
			p.text, lack = lettered(s[:end])
			without = append(without, lack...)
		} else {
			p.text = latin(s[:end])
		}
		s = s[end:]
		if n := len(all); n > 0 && all[n-1].own == p.own {
			all[n-1].text += p.text
		} else if p.text != "" {
			all = append(all, p)
		}
	}
	return all, without
}

// lettered is a word as our own face sets it, and the letters that it lacks: a box for each,
// but nothing for a mark on another letter.
func lettered(s string) (word string, without []rune) {
	var b strings.Builder
	for _, r := range s {
		switch {
		case cut(r):
			b.WriteRune(r)
		case unseen(r):
		case inLatin(r):
			sign, _ := beyondLatin(r)
			b.WriteString(sign) // a blank, or nothing: the face has all else
		default:
			without = append(without, r)
			if p, _ := bidi.LookupRune(r); p.Class() != bidi.NSM {
				b.WriteRune(lacking)
			}
		}
	}
	return b.String(), without
}

// unseen reports whether r only says how the letters about it are to be joined, ordered or
// coloured.
func unseen(r rune) bool {
	return r >= 0x200b && r <= 0x200f || r >= 0x202a && r <= 0x202e || r >= 0x2060 && r <= 0x206f || r == 0xfeff ||
		r >= 0xfe00 && r <= 0xfe0f || r >= 0x1f3fb && r <= 0x1f3ff || r >= 0xe0000 && r <= 0xe01ef
}

// cut reports whether our own face has r, by its table of letters (OpenType specification,
// cmap, format 4, which is the only one that cut.py leaves; both weights have the same).
func cut(r rune) bool {
	at := func(n int) int { return int(regularFace[n])<<8 | int(regularFace[n+1]) }
	for n := range at(4) {
		entry := 12 + 16*n
		if regularFace[entry:entry+4] != "cmap" {
			continue
		}
		table := at(entry+8)<<16 | at(entry+10)
		table += at(table+8)<<16 | at(table+10) // its first part
		twice := at(table + 6)
		for k := 0; k < twice; k += 2 {
			if int(r) <= at(table+14+k) {
				return int(r) >= at(table+16+twice+k) && r < 0xffff
			}
		}
	}
	return false
}

// ownStyle is the weight of our own face for a style; what leans is drawn leaning.
func ownStyle(style string) string {
	if style == "B" {
		return style
	}
	return ""
}

// ready hands the face to the library, once for each weight.
func (d *Document) ready(style string) {
	if k := len(style); !d.faced[k] {
		d.faced[k] = true
		face := [...]string{regularFace, boldFace}[k]
		d.f.AddUTF8FontFromBytes(ownFace, style, []byte(face))
		d.ruler.AddUTF8FontFromBytes(ownFace, style, []byte(face))
	}
}

// ownText sets a piece in our own face.
func (d *Document) ownText(x, y float64, s string, size float64, style string) {
	weight := ownStyle(style)
	d.ready(weight)
	d.op("q")
	if style == "I" {
		d.buf = append(d.buf, "1 0 "...)
		d.buf = strconv.AppendFloat(d.buf, leaning, 'f', 5, 64)
		d.buf = append(d.buf, " 1 "...)
		d.num(-leaning * (d.high - y) * ptPerMM)
		d.op("0 cm")
	}
	d.num(100 / ownLarger)
	d.op("Tz")
	d.flush()
	d.f.SetFont(ownFace, weight, size*ownLarger*ptPerMM)
	d.f.Text(x, y, s)
	d.op("Q")
	d.flush()
}

// pieceWidth is how wide a piece stands.
func (d *Document) pieceWidth(p piece, size float64, style string) float64 {
	if !p.own {
		d.ruler.SetFont("Helvetica", style, size*ptPerMM)
		return d.ruler.GetStringWidth(p.text)
	}
	style = ownStyle(style)
	d.ready(style)
	d.ruler.SetFont(ownFace, style, size*ptPerMM)
	return d.ruler.GetStringWidth(p.text)
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
	wide, high := d.f.GetPageSize() // a drawing may have been tried on another page since
	for wide -= marginLeft + marginOther; ; {
		if note = words.Fill(d.say(LackingNote), all); d.width(note, size, "") <= wide || len(names) == 1 {
			break
		}
		names = names[:len(names)-1]
		all = strings.Join(names, " ") + " ..."
	}
	d.without = nil
	d.grey(0)
	d.text(marginLeft, high-foot, note, size, "")
	d.without = nil
	d.flush()
}

// breakAfter is where s may be cut at n or before it, so that a mark stays with its letter.
func breakAfter(s string, n int) int {
	for at := n; at > 0 && at < len(s); {
		r, _ := utf8.DecodeRuneInString(s[at:])
		if p, _ := bidi.LookupRune(r); p.Class() != bidi.NSM && !unseen(r) {
			return at
		}
		_, back := utf8.DecodeLastRuneInString(s[:at])
		at -= back
	}
	return n
}
