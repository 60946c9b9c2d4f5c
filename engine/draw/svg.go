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
// and the classes d-<kind>, d-r-<role>, d-v-<voice>, d-context, d-hi.
func SVG(s *Sheet, o Options) []byte {
	n := 2048
	for i := range s.Groups {
		n += 160 + 150*len(s.Groups[i].Marks)
	}
	w := svgWriter{b: make([]byte, 0, n), s: s, o: o}
	w.o.Prefix = cleanName(o.Prefix)
	w.head()
	clipped := !s.Clip.Empty()
	if clipped {
		w.str(`<g clip-path="url(#` + w.o.Prefix + `d-clip)">`)
	}
	for i := range s.Groups {
		g := &s.Groups[i]
		if clipped && i > 0 && annotation(g.Kind) && !annotation(s.Groups[i-1].Kind) {
			w.str("</g>")
			clipped = false
		}
		w.group(g)
	}
	if clipped {
		w.str("</g>")
	}
	w.str("</svg>\n")
	return w.b
}

// haloed tells whether a part of a highlighted element gets the halo.
func (p Part) haloed() bool {
	switch p {
	case PartEdge, PartDimension, PartTape, PartText, PartSymbol:
		return true
	}
	return false
}

func annotation(kind string) bool {
	switch kind {
	case "line", "arc", "circle", "region", "grid":
		return false
	}
	return true
}

type svgWriter struct {
	b []byte
	s *Sheet
	o Options
}

func (w *svgWriter) str(s string) { w.b = append(w.b, s...) }

// num writes a coordinate with two decimals at most.
func (w *svgWriter) num(v float64) { w.b = appendCoordinate(w.b, v) }

func appendCoordinate(b []byte, v float64) []byte {
	n := int64(math.Round(v * 100))
	if n < 0 {
		b = append(b, '-')
		n = -n
	}
	b = strconv.AppendInt(b, n/100, 10)
	if n %= 100; n != 0 {
		b = append(b, '.', byte('0'+n/10))
		if n%10 != 0 {
			b = append(b, byte('0'+n%10))
		}
	}
	return b
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
			if h := w.s.Groups[i].Marks[j].Hatch; h < hatchCount && hatchTiles[h].path != "" {
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
		t := &hatchTiles[h]
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

func (w *svgWriter) group(g *Group) {
	if len(g.Marks) == 0 {
		return
	}
	hi := w.o.Highlight != "" && (w.o.Highlight == g.ID || w.o.Highlight == g.Field)
	w.str(`<g class="d-`)
	w.str(g.Kind)
	w.str(" d-r-")
	w.str(roleNames[g.Role])
	if g.Voice != VoicePlain {
		w.str(" d-v-")
		w.str(voiceNames[g.Voice])
	}
	if g.Context {
		w.str(" d-context")
	}
	if hi {
		w.str(" d-hi")
	}
	w.str(`" data-id="`)
	w.text(g.ID)
	if g.Field != "" {
		w.str(`" data-field="`)
		w.text(g.Field)
	}
	if g.Layer != "" {
		w.str(`" data-layer="`)
		w.text(g.Layer)
	}
	w.str(`">`)
	if hi {
		for i := range g.Marks {
			if m := &g.Marks[i]; m.Part.haloed() {
				w.mark(m, true)
			}
		}
	}
	for i := range g.Marks {
		w.mark(&g.Marks[i], false)
	}
	if w.o.Screen && g.Field != "" {
		for i := range g.Marks {
			if m := &g.Marks[i]; m.Kind == MarkText {
				w.around(m, "d-hit", 0.75*w.s.TextHeight)
			}
		}
	}
	w.str("</g>\n")
}

func (w *svgWriter) mark(m *Mark, halo bool) {
	class := partClasses[m.Part]
	switch {
	case halo:
		class = "d-halo"
	case m.Solid:
		class += " d-b"
	}
	switch m.Kind {
	case MarkStroke:
		w.str(`<path class="`)
		w.str(class)
		w.str(`" d="`)
		w.ring(m.Points, m.Closed)
		w.str(`"/>`)
	case MarkArea:
		w.fill(m.Hatch)
		w.str(` fill-rule="evenodd" d="`)
		for _, r := range m.Rings {
			w.ring(r, true)
		}
		w.str(`"/>`)
	case MarkRound:
		if m.Part == PartFill {
			w.fill(m.Hatch)
			w.str(` d="`)
			w.round(m.Points[0], m.Radius)
			w.str(`"/>`)
			return
		}
		w.str(`<circle class="`)
		w.str(class)
		if m.Hatch == HatchPaper && !halo && !m.Solid {
			w.str(" d-o")
		}
		w.str(`" `)
		w.attr("cx", m.Points[0].X)
		w.attr(" cy", m.Points[0].Y)
		w.attr(" r", m.Radius)
		w.str("/>")
	case MarkText:
		if halo {
			w.around(m, "d-halo-text", 0.16*w.s.TextHeight)
			return
		}
		w.lettering(m)
	}
}

func (w *svgWriter) fill(h Hatch) {
	w.str(`<path class="d-f`)
	if hatchTiles[h].path == "" {
		w.str(" d-f-")
		w.str(hatchNames[h])
		w.str(`"`)
		return
	}
	w.str(`" fill="url(#` + w.o.Prefix + "d-")
	w.str(hatchNames[h])
	w.str(`)"`)
}

func (w *svgWriter) ring(ps []Point, closed bool) {
	for i, p := range ps {
		if i == 0 {
			w.str("M")
		} else {
			w.str("L")
		}
		w.num(p.X)
		w.str(" ")
		w.num(p.Y)
	}
	if closed {
		w.str("Z")
	}
}

func (w *svgWriter) round(c Point, r float64) {
	w.str("M")
	w.num(c.X - r)
	w.str(" ")
	w.num(c.Y)
	for _, x := range [...]float64{c.X + r, c.X - r} {
		w.str("A")
		w.num(r)
		w.str(" ")
		w.num(r)
		w.str(" 0 1 1 ")
		w.num(x)
		w.str(" ")
		w.num(c.Y)
	}
	w.str("Z")
}

func (w *svgWriter) lettering(m *Mark) {
	c := m.Points[0]
	w.str(`<text class="d-w" `)
	w.attr("x", c.X)
	w.attr(" y", c.Y+(ascent-boxHeight/2)*m.Size)
	w.attr(" textLength", m.Width)
	w.str(` lengthAdjust="spacingAndGlyphs"`)
	if m.Size != w.s.TextHeight {
		w.attr(" font-size", m.Size)
	}
	w.turn(m.Angle, c)
	w.str(">")
	w.text(m.Text)
	w.str("</text>")
}

func (w *svgWriter) turn(angle float64, c Point) {
	if angle == 0 {
		return
	}
	w.str(` transform="rotate(`)
	w.num(-angle * 180 / math.Pi)
	w.str(" ")
	w.num(c.X)
	w.str(" ")
	w.num(c.Y)
	w.str(`)"`)
}

// around writes a rectangle about a text, wider by d on all sides.
func (w *svgWriter) around(m *Mark, class string, d float64) {
	c, hw, hh := m.Points[0], m.Width/2+d, boxHeight*m.Size/2+d
	w.str(`<rect class="` + class + `" `)
	w.attr("x", c.X-hw)
	w.attr(" y", c.Y-hh)
	w.attr(" width", 2*hw)
	w.attr(" height", 2*hh)
	w.attr(" rx", 0.25*m.Size)
	w.turn(m.Angle, c)
	w.str("/>")
}
