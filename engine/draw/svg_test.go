package draw

import (
	"bytes"
	"encoding/xml"
	"io"
	"math"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"pegpour/engine/draw/golden"
)

const goldenDir = "../../testdata/drawings"

func TestSVGGolden(t *testing.T) {
	for name, c := range map[string]struct {
		scene *Scene
		view  View
		o     Options
	}{
		"footing-phone": {footing(), Phone(390, 300),
			Options{Standalone: true, Screen: true, Highlight: "opening.width"}},
		"footing-mirrored": {footing(), Phone(390, 300).mirrored(), Options{Standalone: true}},
		"footing-turned":   {footing(), Phone(390, 560).turned(), Options{Standalone: true}},
		"footing-paper":    {footing(), View{Width: 180, Height: 120, Paper: true}, Options{Standalone: true}},
		"crowded-phone":    {crowded(), Phone(390, 420), Options{Standalone: true}},
		"crowded-wide":     {crowded(), Phone(1100, 700), Options{Standalone: true}},
		"section-phone":    {section(), Phone(390, 300), Options{Standalone: true}},
		"hatches":          {hatches(), Phone(390, 0), Options{Standalone: true}},
	} {
		t.Run(name, func(t *testing.T) {
			got, err := Render(c.scene, c.view, c.o)
			if err != nil {
				t.Fatal(err)
			}
			golden.Compare(t, filepath.Join(goldenDir, name+".svg"), got)
		})
	}
}

// hatches shows one field of each hatch, named.
func hatches() *Scene {
	s := &Scene{Title: "Hatches", Desc: "One field of each hatch."}
	for h := HatchPaper; h < hatchCount; h++ {
		i := int(h) - 1
		x, y := float64(i%3)*1100, -float64(i/3)*1100
		s.Add(Region{Tag: Tag{ID: hatchNames[h]}, Outer: RectRing(x, y, x+1000, y+800),
			Holes: []Ring{RectRing(x+400, y+300, x+600, y+500)}, Hatch: h},
			Text{Tag: Tag{ID: "name." + hatchNames[h]}, At: Pt(x+500, y-130), Text: hatchNames[h]})
	}
	return s
}

// node is an element of parsed XML.
type node struct {
	name string
	attr map[string]string
	text string
}

func parse(t *testing.T, svg []byte) []node {
	t.Helper()
	var out []node
	var open []int
	dec := xml.NewDecoder(bytes.NewReader(svg))
	for {
		tok, err := dec.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatalf("not XML: %v", err)
		}
		switch tok := tok.(type) {
		case xml.StartElement:
			n := node{name: tok.Name.Local, attr: map[string]string{}}
			for _, a := range tok.Attr {
				n.attr[a.Name.Local] = a.Value
			}
			open = append(open, len(out))
			out = append(out, n)
		case xml.CharData:
			if len(open) > 0 {
				out[open[len(open)-1]].text += string(tok)
			}
		case xml.EndElement:
			open = open[:len(open)-1]
		}
	}
	return out
}

func TestSVGIsWhatItSays(t *testing.T) {
	s := footing()
	s.Title, s.Desc = `Plan <of> "A & B's"`, "bad \x00\x1b byte \xff, fine ½ m²"
	s.Add(Leader{Tag: Tag{ID: `x"><script>`, Field: "a<b&c"}, At: Pt(100, 100), Text: `</text><script>alert("1")&`})
	svg, err := Render(s, Phone(390, 420), Options{Screen: true, Highlight: "dim.length", Prefix: `p"1 `, Class: `c">`})
	if err != nil {
		t.Fatal(err)
	}
	nodes := parse(t, svg)
	root := nodes[0]
	if root.name != "svg" || root.attr["role"] != "img" || root.attr["viewBox"] != "0 0 390 420" ||
		root.attr["aria-labelledby"] != "p1d-title p1d-desc" {
		t.Errorf("root %+v", root)
	}
	found := map[string]bool{}
	for _, n := range nodes {
		switch {
		case n.name == "script":
			t.Error("a text became an element")
		case n.name == "title" && n.text == s.Title:
			found["title"] = true
		case n.name == "desc" && strings.Contains(n.text, "fine ½ m²"):
			found["desc"] = true
		case n.attr["data-field"] == "opening.width":
			found["field"] = n.attr["data-id"] == "dim.opening" && strings.Contains(n.attr["class"], "d-v-measured")
		case n.attr["data-id"] == "dim.length":
			found["highlight"] = strings.Contains(n.attr["class"], "d-hi")
		case n.attr["data-id"] == "outline.strip":
			found["outline"] = strings.Contains(n.attr["class"], "d-r-cut") && n.attr["data-layer"] == ""
		case n.name == "text" && n.text == "~400":
			found["assumed"] = true
		case n.name == "pattern" && n.attr["id"] == "p1d-concrete":
			found["pattern"] = true
		}
		if n.name == "text" {
			if size := n.attr["font-size"]; size != "" {
				if v, _ := strconv.ParseFloat(size, 64); v < 16 {
					t.Errorf("text %q is %s px", n.text, size)
				}
			}
			if strings.Contains(n.attr["transform"], "scale") || strings.Contains(n.attr["transform"], "matrix") {
				t.Errorf("text %q is transformed: %s", n.text, n.attr["transform"])
			}
		}
	}
	for _, want := range []string{"title", "desc", "field", "highlight", "outline", "assumed", "pattern"} {
		if !found[want] {
			t.Errorf("%s not found", want)
		}
	}
	if strings.Count(string(svg), "<pattern id=\"p1d-pavers\"") != 1 {
		t.Error("a pattern is not defined exactly once")
	}
}

// drawnLine is one drawn line, area, round or text, the element it belongs to and all
// the classes that give it its looks.
type drawnLine struct{ id, field, group, class, shape, text string }

// inked takes a picture apart into what is drawn.
func inked(t *testing.T, svg []byte) map[drawnLine]int {
	t.Helper()
	out := map[drawnLine]int{}
	d := xml.NewDecoder(bytes.NewReader(svg))
	attr := func(e *xml.StartElement, name string) string {
		for _, a := range e.Attr {
			if a.Name.Local == name {
				return a.Value
			}
		}
		return ""
	}
	var open []xml.StartElement
	for {
		token, err := d.Token()
		if err == io.EOF {
			return out
		}
		if err != nil {
			t.Fatal(err)
		}
		switch e := token.(type) {
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			if len(open) > 0 && open[len(open)-1].Name.Local == "text" {
				e := &open[len(open)-1]
				out[drawnLine{shape: attr(e, "x") + " " + attr(e, "y"), text: string(token.(xml.CharData))}]++
			}
		case xml.StartElement:
			e = e.Copy()
			open = append(open, e)
			if e.Name.Local != "path" && e.Name.Local != "circle" || len(open) < 3 || open[1].Name.Local == "defs" {
				continue
			}
			l := drawnLine{class: attr(&e, "class"), text: attr(&e, "fill"), id: attr(&e, "data-id"),
				field: attr(&e, "data-field")}
			for i := range open {
				if open[i].Name.Local != "g" {
					continue
				}
				l.group = attr(&open[i], "class")
				if id := attr(&open[i], "data-id"); id != "" {
					l.id, l.field = id, attr(&open[i], "data-field")
				}
			}
			shapes := []string{attr(&e, "cx") + " " + attr(&e, "cy") + " " + attr(&e, "r")}
			if e.Name.Local == "path" {
				shapes = strings.Split(attr(&e, "d"), "M")[1:]
			}
			for _, l.shape = range shapes {
				out[l]++
			}
		}
	}
}

// A picture for a screen has fewer elements than a file and the same ink.
func TestSVGForAScreenDrawsWhatTheFileDraws(t *testing.T) {
	s := footing()
	for i := range 3 {
		at := Pt(500+200*float64(i), 900)
		s.Add(Region{Tag: Tag{ID: "post." + strconv.Itoa(i), Role: RoleSteel},
			Outer: Ring{at, Pt(at.X+80, at.Y), Pt(at.X+80, at.Y+80)}, Hatch: HatchNone})
	}
	for i := range 4 {
		at := Pt(500+200*float64(i/2), 1100)
		s.Add(Region{Tag: Tag{ID: "area." + strconv.Itoa(i/2)},
			Outer: RectRing(at.X, at.Y+200*float64(i%2), at.X+80, at.Y+200*float64(i%2)+80), Hatch: HatchConcrete,
			Open: true})
	}
	sheet := mustLayout(t, s, Phone(390, 420))
	for _, highlight := range []string{"", "dim.length", "opening.width", "post.1", "only fields"} {
		only := highlight == "only fields"
		screen, file := SVG(sheet, Options{Screen: true, OnlyFields: only, Highlight: highlight}),
			SVG(sheet, Options{Highlight: highlight})
		have, want := inked(t, screen), inked(t, file)
		if only {
			named := want
			want = map[drawnLine]int{}
			for l, n := range named {
				if l.field == "" {
					l.id = ""
				}
				want[l] += n
			}
		}
		if len(want) < 40 {
			t.Fatalf("only %d lines", len(want))
		}
		for l, n := range want {
			if have[l] != n {
				t.Errorf("highlight %q: %d of %d on the screen: %+v", highlight, have[l], n, l)
			}
		}
		for l := range have {
			if want[l] == 0 {
				t.Errorf("highlight %q: only on the screen: %+v", highlight, l)
			}
		}
		if a, b := bytes.Count(screen, []byte("<")), bytes.Count(file, []byte("<")); a > b*9/10 {
			t.Errorf("highlight %q: %d tags on the screen, %d in the file", highlight, a, b)
		}
	}
}

// Where two areas overlap, one path for both could leave a hole.
func TestSVGKeepsAreasOfTwoNamesApart(t *testing.T) {
	for name, want := range map[string]int{"one": 1, "two": 2} {
		s := &Scene{Title: "areas"}
		for i, id := range []string{"one", name} {
			at := 300 * float64(i)
			s.Add(Region{Tag: Tag{ID: id}, Outer: RectRing(at, 0, at+400, 400), Hatch: HatchConcrete, Open: true})
		}
		svg := SVG(mustLayout(t, s, Phone(390, 420)), Options{Screen: true, OnlyFields: true})
		if n := bytes.Count(svg, []byte(`class="d-f"`)); n != want {
			t.Errorf("one and %s: %d paths, want %d", name, n, want)
		}
	}
}

func TestSVGSmallTextIsNotTaken(t *testing.T) {
	v := Phone(390, 420)
	v.TextHeight = 9
	if sheet := mustLayout(t, footing(), v); sheet.TextHeight != 16 {
		t.Errorf("text height on screen %g, want 16", sheet.TextHeight)
	}
}

func TestSVGViewBoxAndWindow(t *testing.T) {
	sheet := mustLayout(t, footing(), Phone(390, 420))
	svg := SVG(sheet, Options{ViewBox: Box{Pt(10, 20), Pt(110, 220)}})
	if root := parse(t, svg)[0]; root.attr["viewBox"] != "10 20 100 200" {
		t.Errorf("viewBox %q", root.attr["viewBox"])
	}
	v := Phone(390, 420)
	v.Window = Box{Pt(3900, -200), Pt(5400, 1300)}
	sheet = mustLayout(t, footing(), v)
	wantNoOverlap(t, sheet)
	if math.Abs(sheet.Clip.Width()-1500*sheet.Scale) > 1e-6 {
		t.Errorf("clip %v", sheet.Clip)
	}
	nodes := parse(t, SVG(sheet, Options{}))
	texts := ""
	for _, n := range nodes {
		if n.name == "text" {
			texts += n.text + "\n"
		}
	}
	if !strings.Contains(texts, "900\n") || strings.Contains(texts, "7200") {
		t.Errorf("window shows the wrong dimensions: %q", texts)
	}
}

func TestSVGHiddenLayersAndNoDimensions(t *testing.T) {
	v := Phone(390, 420)
	v.Hidden, v.NoDimensions = []string{"concrete"}, true
	for _, n := range parse(t, SVG(mustLayout(t, footing(), v), Options{})) {
		if n.attr["data-layer"] == "concrete" || strings.Contains(n.attr["class"], "d-dimension") {
			t.Errorf("shown: %+v", n)
		}
	}
	if got := footing().Layers(); len(got) != 3 || got[0] != "existing" {
		t.Errorf("layers %v", got)
	}
}

// luminance and contrast after WCAG 2.1.
func luminance(t *testing.T, c string) float64 {
	t.Helper()
	n, err := strconv.ParseUint(c[1:], 16, 32)
	if err != nil || len(c) != 7 {
		t.Fatalf("colour %q", c)
	}
	part := func(v uint64) float64 {
		f := float64(v&0xff) / 255
		if f <= 0.03928 {
			return f / 12.92
		}
		return math.Pow((f+0.055)/1.055, 2.4)
	}
	return 0.2126*part(n>>16) + 0.7152*part(n>>8) + 0.0722*part(n)
}

func TestStyleContrast(t *testing.T) {
	for name, c := range map[string]Colours{"day": Day, "night": Night, "sun": Sun} {
		for what, pair := range map[string][2]string{
			"ink": {c.Ink, c.Paper}, "measured": {c.Measured, c.Paper}, "assumed": {c.Assumed, c.Paper},
			"worked out":       {c.WorkedOut, c.Paper},
			"measured on halo": {c.Measured, c.Halo}, "assumed on halo": {c.Assumed, c.Halo},
			"ink on halo": {c.Ink, c.Halo},
			"existing":    {c.Existing, c.Paper}, "stop": {c.Stop, c.Paper}, "water": {c.Water, c.Paper},
			"ink on hatch ground": {c.Ink, c.Ground},
		} {
			a, b := luminance(t, pair[0]), luminance(t, pair[1])
			ratio := (math.Max(a, b) + 0.05) / (math.Min(a, b) + 0.05)
			want := 7.0
			if name == "sun" {
				want = 10 // glare takes much of it
			}
			if strings.Contains(what, "halo") {
				want = 4.5 // bold, only while the field is being edited
			}
			if ratio < want {
				t.Errorf("%s, %s: contrast %.1f, want %g", name, what, ratio, want)
			}
		}
	}
}

// Nothing may depend on colour alone: the voices differ in black and white.
func TestStyleVoicesWithoutColour(t *testing.T) {
	css := Style(Day, "")
	for _, want := range []string{".d-v-assumed .d-w{font-style:italic}", ".d-v-assumed .d-d{stroke-dasharray:",
		".d-v-measured .d-d"} {
		if !strings.Contains(css, want) {
			t.Errorf("style lacks %q", want)
		}
	}
	for _, css := range []string{Style(Night, ".night "), Recolour(Sun, ".night ", SunWeight)} {
		if strings.Contains(css, "\n.d") {
			t.Error("a rule escapes its scope")
		}
	}
	// In the sun the thin lines of a screen are heavier, and no dash is lost by it; the
	// edges of a narrow strip do not run together to a black bar.
	sun := Recolour(Sun, "", SunWeight)
	for _, want := range []string{".d-screen path,.d-screen circle{stroke-width:1.45px",
		".d-screen .d-r-cut .d-e{stroke-width:2.6px", ".d-screen .d-v-assumed .d-d{stroke-dasharray:8.7 5.8}"} {
		if !strings.Contains(sun, want) {
			t.Errorf("the style for the sun lacks %q", want)
		}
	}
}

func TestTextWidth(t *testing.T) {
	// Adobe font metrics of Helvetica: figures 556, '~' 584, 'W' 944.
	for s, want := range map[string]float64{"0123456789": 5560, "~": 584, "W": 944, "": 0, "½": 834, "°": 400} {
		if got := TextWidth(s, 1000); got != want {
			t.Errorf("%q is %g wide, want %g", s, got, want)
		}
	}
	for _, s := range []string{"one two three four five", "unbroken-and-very-long-word", "a\nb", ""} {
		lines := wrapText(s, 16, 100)
		if strings.Join(strings.Fields(strings.Join(lines, " ")), " ") != strings.Join(strings.Fields(s), " ") {
			t.Errorf("wrapping lost words: %q became %q", s, lines)
		}
		for _, l := range lines {
			if TextWidth(l, 16) > 100 && strings.Contains(l, " ") {
				t.Errorf("line %q is wider than asked", l)
			}
		}
	}
}
