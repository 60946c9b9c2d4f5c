package draw

import (
	"io"
	"math"
	"strconv"
	"unicode/utf8"
)

// Options of the SVG writer.
type Options struct {
	// Screen adds wide invisible areas around the figures of fields, so that
	// a thumb finds them.
	Screen bool
	// OnlyFields names the elements of fields alone, for a picture in which
	// nothing else can be tapped: others that look alike are drawn as one.
	OnlyFields bool
	// Standalone embeds the style sheet in the day colours and declares size
	// and namespace for a file of its own. Without it the page brings the
	// style: see [Style].
	Standalone bool
	// Highlight is the ID or the Field of what is being edited: it is drawn
	// thicker, bold and with a halo.
	Highlight string
	// ViewBox shows another part of the sheet (sheet units), for panning and
	// zooming; the empty or zero Box shows the whole sheet.
	ViewBox Box
	// Prefix makes the internal ids unique when several drawings stand in one
	// page. Letters, digits, '-' and '_' only; anything else is dropped.
	Prefix string
	// Class is an extra class for the svg element.
	Class string
}

// Render lays a scene out and writes it as SVG.
func Render(s *Scene, v View, o Options) ([]byte, error) {
	sheet, err := Layout(s, v)
	if err != nil {
		return nil, err
	}
	return SVG(sheet, o), nil
}

// WriteSVG writes a sheet as SVG to w.
func WriteSVG(w io.Writer, s *Sheet, o Options) error {
	_, err := w.Write(SVG(s, o))
	return err
}

// SVG writes a sheet as an SVG element: equal sheets and options give equal
// bytes.
//
// The svg element has class "d" and "d-screen" or "d-paper". Each element of
// the scene is a g with data-id, data-field and data-layer where it has them
// and the classes d-<kind>, d-r-<role>, d-v-<voice>, d-context, d-hi. For a
// screen the layers are left out, and elements that look alike and follow each
// other may share a g; data-id and data-field then stand at their lines.
func SVG(s *Sheet, o Options) []byte {
	svg, _ := write(nil, s, o)
	return append(svg, "</svg>\n"...)
}

// Parts is [SVG] in two parts, for a page that shows one drawing after another:
// what a picture opens with, its patterns among it, which seldom changes, and
// all that is drawn. Without its end it is SVG.
func Parts(s *Sheet, o Options) (head, body string) {
	return new(Room).Parts(s, o)
}

// write writes all but the end into the room of b, and says how long the head is.
func write(b []byte, s *Sheet, o Options) (svg []byte, head int) {
	if b == nil {
		n := 2048
		for i := range s.Groups {
			n += 160 + 150*len(s.Groups[i].Marks)
		}
		b = make([]byte, 0, n)
	}
	w := svgWriter{b: b, s: s, o: o}
	w.o.Prefix = cleanName(o.Prefix)
	w.head()
	head = len(w.b)
	clipped := !s.Clip.Empty()
	if clipped {
		w.str(`<g clip-path="url(#` + w.o.Prefix + `d-clip)">`)
	}
	for i := 0; i < len(s.Groups); {
		g := &s.Groups[i]
		if clipped && i > 0 && !g.ToScale() && s.Groups[i-1].ToScale() {
			w.str("</g>")
			clipped = false
		}
		i = w.groups(i)
	}
	if clipped {
		w.str("</g>")
	}
	return w.b, head
}

// haloed tells whether a part of a highlighted element gets the halo.
func (p Part) haloed() bool {
	switch p {
	case PartEdge, PartDimension, PartTape, PartText, PartSymbol:
		return true
	}
	return false
}

type svgWriter struct {
	b []byte
	s *Sheet
	o Options
	// lit is set for a picture of materials in light.
	lit bool
	// own is the group whose name the next mark bears, where its element is shared.
	own *Group
}

func (w *svgWriter) str(s string) { w.b = append(w.b, s...) }

// num writes a coordinate with two decimals at most.
func (w *svgWriter) num(v float64) { w.b = appendCoordinate(w.b, v) }

func appendCoordinate(b []byte, v float64) []byte {
	n := hundredths(v)
	if n < 0 {
		b = append(b, '-')
		n = -n
	}
	if n >= 100_000 {
		b = strconv.AppendInt(b, n/100, 10)
	} else { // most are, and strconv takes three times as long
		whole := int32(n) / 100
		if whole >= 100 {
			b = append(b, byte('0'+whole/100))
		}
		if whole >= 10 {
			b = append(b, byte('0'+whole/10%10))
		}
		b = append(b, byte('0'+whole%10))
	}
	if n %= 100; n != 0 {
		b = append(b, '.', byte('0'+n/10))
		if n%10 != 0 {
			b = append(b, byte('0'+n%10))
		}
	}
	return b
}

// hundredths is v in hundredths, rounded as math.Round does it; that is not one of the
// instructions of a browser's machine, as Trunc is.
func hundredths(v float64) int64 {
	v *= 100
	whole := math.Trunc(v)
	switch {
	case v-whole >= 0.5:
		whole++
	case v-whole <= -0.5:
		whole--
	}
	return int64(whole)
}

func (w *svgWriter) attr(name string, v float64) {
	w.str(name)
	w.str(`="`)
	w.num(v)
	w.str(`"`)
}

// text writes s escaped for content and attributes; what XML cannot hold is
// left out.
func (w *svgWriter) text(s string) {
	if plain(s) {
		w.str(s)
		return
	}
	for _, r := range s {
		switch {
		case r == '&':
			w.str("&amp;")
		case r == '<':
			w.str("&lt;")
		case r == '>':
			w.str("&gt;")
		case r == '"':
			w.str("&#34;")
		case r == '\'':
			w.str("&#39;")
		case r < 0x20 && r != '\t' && r != '\n', r == 0xfffe, r == 0xffff:
		default:
			w.b = utf8.AppendRune(w.b, r)
		}
	}
}

// plain reports whether s is the same escaped: nothing in it but signs that stand for
// themselves. Most figures and names are.
func plain(s string) bool {
	for i := range len(s) {
		if c := s[i]; c < 0x20 || c >= utf8.RuneSelf || c == '&' || c == '<' || c == '>' || c == '"' || c == '\'' {
			return false
		}
	}
	return true
}

func cleanName(s string) string {
	out := make([]byte, 0, len(s))
	for i := range len(s) {
		c := s[i]
		if c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '-' || c == '_' {
			out = append(out, c)
		}
	}
	return string(out)
}

func (w *svgWriter) head() {
	s, id := w.s, w.o.Prefix
	w.str(`<svg xmlns="http://www.w3.org/2000/svg" role="img" class="d`)
	if s.Paper {
		w.str(" d-paper")
	} else {
		w.str(" d-screen")
	}
	if w.lit = s.lit(); w.lit {
		w.str(" d-lit")
	}
	if w.o.Class != "" {
		w.str(" ")
		w.text(w.o.Class)
	}
	w.str(`" aria-labelledby="` + id + `d-title ` + id + `d-desc" viewBox="`)
	box := w.o.ViewBox
	if box.Width() <= 0 || box.Height() <= 0 {
		box = Box{Max: Point{s.Width, s.Height}}
	}
	for i, v := range [...]float64{box.Min.X, box.Min.Y, box.Width(), box.Height()} {
		if i > 0 {
			w.str(" ")
		}
		w.num(v)
	}
	unit := `"`
	if s.Paper {
		unit = `mm"`
	}
	w.str(`" width="`)
	w.num(s.Width)
	w.str(unit)
	w.str(` height="`)
	w.num(s.Height)
	w.str(unit)
	w.str(` font-size="`)
	w.num(s.TextHeight)
	w.str(`" text-anchor="middle"><title id="` + id + `d-title">`)
	w.text(s.Title)
	w.str(`</title><desc id="` + id + `d-desc">`)
	w.text(s.Desc)
	w.str("</desc>")
	if w.o.Standalone {
		w.str("<style>")
		w.str(Style(Day, ""))
		if w.lit {
			w.str(w.s.materialRules(Day))
		}
		w.str("</style>")
	}
	w.definitions()
	w.str("\n")
}

// definitions writes the patterns that are used and the clip path.
func (w *svgWriter) definitions() {
	var used [hatchCount]bool
	any := !w.s.Clip.Empty()
	for i := range w.s.Groups {
		for j := range w.s.Groups[i].Marks {
			if h := w.s.Groups[i].Marks[j].Hatch; h < hatchCount && tilesByHatch[h].path != "" {
				used[h], any = true, true
			}
		}
	}
	if !any {
		return
	}
	w.str("<defs>")
	if c := w.s.Clip; !c.Empty() {
		w.str(`<clipPath id="` + w.o.Prefix + `d-clip"><rect `)
		w.attr("x", c.Min.X)
		w.attr(" y", c.Min.Y)
		w.attr(" width", c.Width())
		w.attr(" height", c.Height())
		w.str(`/></clipPath>`)
	}
	k := w.s.TextHeight / 16
	for h := range used {
		if !used[h] {
			continue
		}
		t := &tilesByHatch[h]
		w.str(`<pattern id="` + w.o.Prefix + "d-" + hatchNames[h] + `" patternUnits="userSpaceOnUse" `)
		w.attr("width", t.w)
		w.attr(" height", t.h)
		w.str(` patternTransform="scale(`)
		w.b = strconv.AppendFloat(w.b, k, 'g', 4, 64)
		w.str(`)"><rect class="d-g" `)
		w.attr("width", t.w)
		w.attr(" height", t.h)
		w.str(`/><path class="d-h" d="` + t.path + `"/></pattern>`)
	}
	w.str("</defs>")
}
