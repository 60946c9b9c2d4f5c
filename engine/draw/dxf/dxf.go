package dxf

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"

	"pegpour/engine/draw"
)

// Drawing is one drawing of a file.
type Drawing struct {
	Scene *draw.Scene
	// Sheet is the scene laid out: it says where texts and dimensions go.
	Sheet *draw.Sheet
	// Name stands before the names of its layers; empty for none. Skip is how many words
	// at the head of an element's ID say only which drawing it is in.
	Name string
	Skip int
	// At is where the scene's own zero goes, mm.
	At draw.Point
	// Title stands above it; empty for none.
	Title string
}

// Size is how wide and high the drawing is in true size with all that stands around
// it and its title, mm.
func (d *Drawing) Size() (wide, high float64) {
	s := d.Sheet
	title := 0.6 * titleSize(s) * float64(utf8.RuneCountInString(d.Title)) // a letter is hardly wider
	return max(s.Width, title) / s.Scale, (s.Height + 2*titleSize(s)) / s.Scale
}

// Under moves the drawing so that it begins at a height and its left edge lies at x.
func (d *Drawing) Under(x, y float64) {
	s := d.Sheet
	wide, _ := d.Size()
	d.At = draw.Pt(x+wide/2+(s.Origin.X-s.Width/2)/s.Scale, y-(s.Origin.Y+2*titleSize(s))/s.Scale)
}

func titleSize(s *draw.Sheet) float64 { return 1.5 * s.TextHeight }

// The lettering is as high as capitals of the font: this share of its size.
const capital = 0.7

// Write writes the drawings into one file. Its text says what is before the first
// drawing; each line stands as a remark at the head of the file. Equal input gives
// equal bytes.
func Write(drawings []Drawing, remarks ...string) []byte {
	w := writer{low: draw.Pt(math.Inf(1), math.Inf(1)), high: draw.Pt(math.Inf(-1), math.Inf(-1))}
	for i := range drawings {
		w.drawing(&drawings[i])
	}
	if len(drawings) == 0 || w.low.X > w.high.X {
		w.low, w.high = draw.Point{}, draw.Point{}
	}
	var head writer
	for _, line := range remarks {
		head.put(999, lettersOf(line))
	}
	scale := 50.0
	if len(drawings) > 0 {
		scale = 1 / drawings[0].Sheet.Scale
	}
	head.header(&w, scale)
	head.tables(w.layers)
	head.section("BLOCKS")
	head.put(0, "ENDSEC")
	head.section("ENTITIES")
	head.Write(w.Bytes())
	head.put(0, "ENDSEC")
	head.put(0, "EOF")
	return head.Bytes()
}

// writer collects groups of code and value, the layers and the extent.
type writer struct {
	bytes.Buffer
	layers    []string
	low, high draw.Point
	of        *Drawing
}

func (w *writer) put(code int, value string) { fmt.Fprintf(w, "%3d\r\n%s\r\n", code, value) }

func (w *writer) number(code int, v float64) {
	s := strconv.FormatFloat(math.Round(v*1e6)/1e6+0, 'f', -1, 64)
	if !strings.Contains(s, ".") {
		s += ".0"
	}
	w.put(code, s)
}

func (w *writer) whole(code, v int) { w.put(code, strconv.Itoa(v)) }

// at writes a point with its codes from the given one on.
func (w *writer) at(code int, p draw.Point) {
	w.number(code, p.X)
	w.number(code+10, p.Y)
	w.number(code+20, 0)
	w.low = draw.Pt(min(w.low.X, p.X), min(w.low.Y, p.Y))
	w.high = draw.Pt(max(w.high.X, p.X), max(w.high.Y, p.Y))
}

func (w *writer) section(name string) {
	w.put(0, "SECTION")
	w.put(2, name)
}

func (w *writer) header(of *writer, scale float64) {
	w.section("HEADER")
	w.put(9, "$ACADVER")
	w.put(1, "AC1009")
	w.put(9, "$DWGCODEPAGE")
	w.put(3, "ANSI_1252")
	w.put(9, "$INSBASE")
	w.at(10, draw.Point{})
	w.put(9, "$EXTMIN")
	w.at(10, of.low)
	w.put(9, "$EXTMAX")
	w.at(10, of.high)
	w.put(9, "$LTSCALE")
	w.number(40, scale)
	w.put(9, "$PDMODE") // points as crosses
	w.whole(70, 3)
	w.put(9, "$PDSIZE")
	w.number(40, 40)
	w.put(0, "ENDSEC")
}

// lineKind is a kind of line; its dashes and, below zero, gaps are mm of paper.
type lineKind struct {
	name, says string
	dashes     []float64
}

var lineKinds = [...]lineKind{
	{"CONTINUOUS", "Solid", nil},
	{"HIDDEN", "__ __ __", []float64{2, -1}},
	{"DASHED", "___ ___", []float64{3, -1.5}},
	{"CENTER", "____ _ ____", []float64{5, -1, 0.25, -1}},
	{"PHANTOM", "____ _ _ ____", []float64{5, -1, 0.25, -1, 0.25, -1}},
}

func (w *writer) tables(layers []string) {
	table := func(name string, entries int, body func()) {
		w.put(0, "TABLE")
		w.put(2, name)
		w.whole(70, entries)
		body()
		w.put(0, "ENDTAB")
	}
	w.section("TABLES")
	table("LTYPE", len(lineKinds), func() {
		for _, k := range lineKinds {
			w.put(0, "LTYPE")
			w.put(2, k.name)
			w.whole(70, 0)
			w.put(3, k.says)
			w.whole(72, 65)
			w.whole(73, len(k.dashes))
			whole := 0.0
			for _, d := range k.dashes {
				whole += math.Abs(d)
			}
			w.number(40, whole)
			for _, d := range k.dashes {
				w.number(49, d)
			}
		}
	})
	table("LAYER", len(layers)+1, func() {
		for _, name := range append([]string{"0"}, layers...) {
			w.put(0, "LAYER")
			w.put(2, name)
			w.whole(70, 0)
			w.whole(62, 7)
			w.put(6, "CONTINUOUS")
		}
	})
	table("STYLE", 1, func() {
		w.put(0, "STYLE")
		w.put(2, "STANDARD")
		w.whole(70, 0)
		w.number(40, 0)
		w.number(41, 1)
		w.number(50, 0)
		w.whole(71, 0)
		w.number(42, 2.5)
		w.put(3, "txt")
		w.put(4, "")
	})
	w.put(0, "ENDSEC")
}

// drawing writes what the layout placed, then a point at each peg.
func (w *writer) drawing(d *Drawing) {
	w.of = d
	for i := range d.Sheet.Groups {
		g := &d.Sheet.Groups[i]
		if g.Kind == "grid" || g.Kind == "scalebar" {
			continue // one is no thing, the other is for paper
		}
		layer := w.layer(d.layerOf(g.Tag, g.Kind))
		for k := range g.Marks {
			w.mark(layer, g, &g.Marks[k])
		}
	}
	if d.Title != "" {
		s := d.Sheet
		w.letters(w.layer(d.layerOf(draw.Tag{}, "text")), d.Title, titleSize(s), 0,
			w.true(draw.Pt(s.Width/2, -titleSize(s))))
	}
	for _, e := range d.Scene.Elements {
		if p, ok := e.(draw.Peg); ok {
			w.entity("POINT", w.layer(d.layerOf(p.Tag, "peg")), draw.RoleOutline)
			w.at(10, w.true(d.Sheet.ToSheet(p.At)))
		}
	}
}

// true is where a place of the sheet lies in true size.
func (w *writer) true(p draw.Point) draw.Point {
	s := w.of.Sheet
	return draw.Pt(w.of.At.X+(p.X-s.Origin.X)/s.Scale, w.of.At.Y+(s.Origin.Y-p.Y)/s.Scale)
}

func (w *writer) layer(name string) string {
	if !slices.Contains(w.layers, name) {
		w.layers = append(w.layers, name)
	}
	return name
}

// entity begins one.
func (w *writer) entity(kind, layer string, role draw.Role) {
	w.put(0, kind)
	w.put(8, layer)
	if line := lineOf(role); line != lineKinds[0].name {
		w.put(6, line)
	}
	w.whole(62, colourOf(role))
}

func lineOf(role draw.Role) string {
	switch role {
	case draw.RoleHidden:
		return "HIDDEN"
	case draw.RoleObstruction:
		return "DASHED"
	case draw.RoleCentre:
		return "CENTER"
	case draw.RoleBoundary, draw.RoleMotion:
		return "PHANTOM"
	}
	return lineKinds[0].name
}

// colourOf is the number of a colour that reads on white and on black: 7 is the one
// or the other, 8 grey.
func colourOf(role draw.Role) int {
	switch role {
	case draw.RoleExisting, draw.RoleBoundary, draw.RoleThin, draw.RoleMotion, draw.RoleHidden:
		return 8
	case draw.RoleGround, draw.RoleObstruction:
		return 3
	case draw.RoleWater:
		return 5
	case draw.RoleCentre, draw.RoleTape:
		return 1
	}
	return 7
}

func (w *writer) mark(layer string, g *draw.Group, m *draw.Mark) {
	role := g.Role
	if m.Part != draw.PartEdge {
		role = draw.RoleNote // symbols, dimension lines and texts are solid
	}
	switch {
	case m.Kind == draw.MarkText:
		w.letters(layer, m.Text, m.Size, m.Angle, w.true(m.Points[0]))
	case m.Part == draw.PartFill: // a hatch
	case m.Kind == draw.MarkRound:
		w.entity("CIRCLE", layer, role)
		w.at(10, w.true(m.Points[0]))
		w.number(40, m.Radius/w.of.Sheet.Scale)
	case m.Kind == draw.MarkStroke && m.Solid && (len(m.Points) == 3 || len(m.Points) == 4):
		w.entity("SOLID", layer, role)
		corners := append(slices.Clone(m.Points), m.Points[len(m.Points)-1])[:4]
		if len(m.Points) == 4 {
			corners[2], corners[3] = corners[3], corners[2] // it goes across, not around
		}
		for i, p := range corners {
			w.at(10+i, w.true(p))
		}
	case m.Kind == draw.MarkStroke:
		w.stroke(layer, role, m)
	}
}

func (w *writer) stroke(layer string, role draw.Role, m *draw.Mark) {
	if len(m.Points) == 2 {
		w.entity("LINE", layer, role)
		w.at(10, w.true(m.Points[0]))
		w.at(11, w.true(m.Points[1]))
		return
	}
	w.entity("POLYLINE", layer, role)
	w.whole(66, 1)
	for _, code := range [...]int{10, 20, 30} { // by the release a vertex of its own, at zero
		w.number(code, 0)
	}
	closed := 0
	if m.Closed {
		closed = 1
	}
	w.whole(70, closed)
	for _, p := range m.Points {
		w.put(0, "VERTEX")
		w.put(8, layer)
		w.at(10, w.true(p))
	}
	w.put(0, "SEQEND")
	w.put(8, layer)
}

// letters writes text of a size, of paper, about its middle.
func (w *writer) letters(layer, text string, size, angle float64, at draw.Point) {
	if strings.TrimSpace(text) == "" {
		return
	}
	w.entity("TEXT", layer, draw.RoleNote)
	w.at(10, at)
	w.number(40, capital*size/w.of.Sheet.Scale)
	w.put(1, lettersOf(text))
	if angle != 0 {
		w.number(50, angle*180/math.Pi)
	}
	w.number(41, 0.9)
	w.whole(72, 1)
	w.at(11, at)
	w.whole(73, 2)
}

// layerOf names the layer of an element: its part, or what it is where it says something
// of a part.
func (d *Drawing) layerOf(t draw.Tag, kind string) string {
	name := ""
	switch kind {
	case "dimension", "angle", "radius":
		name = "SIZES"
	case "peg":
		name = "PEGS"
	case "leader", "text", "level":
		name = "NOTES"
	default:
		name = partName(strings.Split(t.ID, ".")[min(d.Skip, strings.Count(t.ID, ".")):])
	}
	if d.Name != "" && !strings.HasPrefix(name, d.Name+"-") {
		name = d.Name + "-" + name
	}
	return name[:min(len(name), longest)]
}

// longest is how long the name of a layer may be in this release.
const longest = 31

// partName writes the words driveStrip and 2 as DRIVE-STRIP: without what only counts,
// in the letters that the release allows.
func partName(words []string) string {
	var b strings.Builder
	for _, word := range words {
		if _, err := strconv.Atoi(word); err == nil || word == "" {
			continue
		}
		if b.Len() > 0 {
			b.WriteByte('-')
		}
		for i, r := range word {
			switch {
			case unicode.IsUpper(r) && i > 0:
				b.WriteByte('-')
				b.WriteRune(r)
			case r < 128 && (unicode.IsLetter(r) || unicode.IsDigit(r)):
				b.WriteRune(unicode.ToUpper(r))
			default:
				b.WriteByte('_')
			}
		}
	}
	if b.Len() == 0 {
		return "PART"
	}
	return b.String()
}

// lettersOf writes text on one line in the letters of the release: those of the code
// page that Unicode has at the same places, and others by their number.
func lettersOf(s string) string {
	var b strings.Builder
	for _, r := range s {
		switch {
		case r < ' ' || r == 127:
			b.WriteByte(' ')
		case r == '^':
			b.WriteString("^ ") // alone it begins a control letter
		case r == '%':
			b.WriteString("%%%")
		case r < 127:
			b.WriteRune(r)
		case r >= 0xA0 && r <= 0xFF:
			b.WriteByte(byte(r))
		case r < 0xA0:
			b.WriteByte(' ')
		case r > 0xFFFF:
			high, low := utf16.EncodeRune(r)
			fmt.Fprintf(&b, `\U+%04X\U+%04X`, high, low)
		default:
			fmt.Fprintf(&b, `\U+%04X`, r)
		}
	}
	return b.String()
}
