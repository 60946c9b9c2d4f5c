package pdftest

import (
	"fmt"
	"math"
	"strings"
)

// Mark is a stretch of marked content.
type Mark struct {
	Tag        Name
	Properties Dict
	number     int // on its page
}

// Piece is the number of the stretch in its page's tree, -1 where it has none.
func (m Mark) Piece() int {
	if n, ok := m.Properties["MCID"].(float64); ok {
		return int(n)
	}
	return -1
}

// Matrix is a, b, c, d, e, f of ISO 32000-1, 8.3.4.
type Matrix [6]float64

// Then is what one matrix and after it another do.
func (m Matrix) Then(n Matrix) Matrix {
	return Matrix{m[0]*n[0] + m[1]*n[2], m[0]*n[1] + m[1]*n[3], m[2]*n[0] + m[3]*n[2], m[2]*n[1] + m[3]*n[3],
		m[4]*n[0] + m[5]*n[2] + n[4], m[4]*n[1] + m[5]*n[3] + n[5]}
}

// Shown is a text that a page shows, or a stroke or an area where Glyphs is nil.
type Shown struct {
	Operator Operator
	Marks    []Mark // around it, the outermost first
	Glyphs   []int
	Text     string // by the font's own table, from the left
	Font     Dict
	Size     float64
	Narrow   float64 // how much narrower it is set
	From, To float64 // pt, along its line, without blanks
	At       Matrix
	Line     int // texts of one line have one number
}

// state is what q keeps.
type state struct {
	at           Matrix
	font         Dict
	size, narrow float64
}

// Shows reads what a page shows, in the order in which it does.
func (f *File) Shows(page any) ([]Shown, error) {
	d := f.Dict(page)
	content, ok := f.Get(d["Contents"]).(*Stream)
	if !ok {
		return nil, fmt.Errorf("a page has no content")
	}
	fonts := f.Dict(f.Dict(d["Resources"])["Font"])
	p := &parser{b: content.Data}
	now := state{at: Matrix{1, 0, 0, 1, 0, 0}, narrow: 1}
	var kept []state
	var line Matrix
	var marks []Mark
	var all []Shown
	var stack []any
	number := func(k int) float64 {
		v, _ := stack[k].(float64)
		return v
	}
	matrix := func() (m Matrix) {
		for k := range m {
			m[k] = number(k)
		}
		return m
	}
	inText, outside, begun, texts, pen := false, 0, 0, 0, 0.0
	type tables struct {
		words  map[int]string
		widths map[int]float64
	}
	read := map[Name]tables{}
	known := func(font Dict) (map[int]string, map[int]float64) {
		name, _ := font["BaseFont"].(Name)
		t, ok := read[name]
		if !ok {
			t = tables{f.words(font), f.Widths(font)}
			read[name] = t
		}
		return t.words, t.widths
	}
	for {
		v, more, err := p.value()
		if err != nil {
			return nil, err
		}
		if !more {
			break
		}
		op, ok := v.(Operator)
		if !ok {
			stack = append(stack, v)
			continue
		}
		switch op {
		case "q":
			if kept = append(kept, now); len(kept) > 28 {
				return nil, fmt.Errorf("the state is kept %d times", len(kept))
			}
		case "Q":
			now, kept = kept[len(kept)-1], kept[:len(kept)-1]
		case "cm":
			now.at = matrix().Then(now.at)
		case "BT":
			if inText {
				return nil, fmt.Errorf("text in text")
			}
			inText, outside, line, pen = true, len(marks), Matrix{1, 0, 0, 1, 0, 0}, 0
			texts++
		case "ET":
			if inText = false; len(marks) != outside {
				return nil, fmt.Errorf("a mark goes on over the end of a text")
			}
		case "Tf":
			now.font, now.size = f.Dict(fonts[stack[0].(Name)]), number(1)
			if now.font == nil {
				return nil, fmt.Errorf("the font %v is not there", stack[0])
			}
		case "Tz":
			now.narrow = number(0) / 100
		case "Td":
			line = Matrix{1, 0, 0, 1, number(0), number(1)}.Then(line)
		case "Tm":
			line = matrix()
		case "Ts":
		case "TJ":
			s := Shown{Operator: op, Marks: append([]Mark(nil), marks...), Font: now.font, Size: now.size, Narrow: now.narrow,
				At: line.Then(now.at), Line: texts, From: math.Inf(1), To: math.Inf(-1)}
			if !inText {
				return nil, fmt.Errorf("a text outside of texts")
			}
			words, widths := known(now.font)
			for _, part := range stack[0].([]any) {
				if move, ok := part.(float64); ok {
					pen -= move / 1000 * now.size * now.narrow
					continue
				}
				code, ok := part.(String)
				if !ok || len(code)%2 != 0 {
					return nil, fmt.Errorf("%v is no text", part)
				}
				for k := 0; k < len(code); k += 2 {
					g := int(code[k])<<8 | int(code[k+1])
					s.Glyphs = append(s.Glyphs, g)
					s.Text += words[g]
					from := pen
					pen += widths[g] / 1000 * now.size * now.narrow
					if words[g] != " " {
						s.From, s.To = math.Min(s.From, from), math.Max(s.To, pen)
					}
				}
			}
			all = append(all, s)
		case "BDC", "BMC":
			m := Mark{Tag: stack[0].(Name), number: begun}
			begun++
			if op == "BDC" {
				m.Properties = f.Dict(stack[1])
			}
			marks = append(marks, m)
		case "EMC":
			if inText && len(marks) == outside || len(marks) == 0 {
				return nil, fmt.Errorf("a mark ends where none was begun")
			}
			marks = marks[:len(marks)-1]
		case "S", "s", "f", "F", "f*", "B", "B*", "b", "b*", "Do", "sh":
			all = append(all, Shown{Operator: op, Marks: append([]Mark(nil), marks...), At: now.at})
		case "m", "l", "c", "h", "re", "n", "W", "W*", "w", "d", "j", "J", "g", "G", "rg", "RG", "gs":
		default:
			return nil, fmt.Errorf("the operator %s is not known", op)
		}
		stack = stack[:0]
	}
	if len(kept) > 0 || len(marks) > 0 || inText {
		return nil, fmt.Errorf("the page ends with %d states kept and %d marks open", len(kept), len(marks))
	}
	return all, nil
}

// words are what the glyphs of a font stand for, by its own table.
func (f *File) words(font Dict) map[int]string {
	out := map[int]string{}
	table, ok := f.Get(font["ToUnicode"]).(*Stream)
	if !ok {
		return out
	}
	p := &parser{b: table.Data}
	var before []any
	for {
		v, more, err := p.value()
		if err != nil || !more {
			return out
		}
		if v == Operator("endbfchar") {
			for k := 0; k+1 < len(before); k += 2 {
				code := before[k].(String)
				out[int(code[0])<<8|int(code[1])] = Text("\xfe\xff" + before[k+1].(String))
			}
		}
		if _, is := v.(Operator); is {
			before = nil
		} else {
			before = append(before, v)
		}
	}
}

// Widths are those that a font gives its glyphs, in thousandths of its size.
func (f *File) Widths(font Dict) map[int]float64 {
	out := map[int]float64{}
	under := f.Dict(f.List(font["DescendantFonts"])[0])
	w := f.List(under["W"])
	for k := 0; k+1 < len(w); k += 2 {
		first := int(w[k].(float64))
		for n, v := range f.List(w[k+1]) {
			out[first+n] = v.(float64)
		}
	}
	return out
}

// Lines are the lines of text of a page in the order in which they are written: as they are to be
// read where that is said, else by the fonts' own tables; without the blank that parts one from
// what is before it.
func (f *File) Lines(page any) ([]string, error) {
	shows, err := f.Shows(page)
	if err != nil {
		return nil, err
	}
	var out []string
	said, line := -1, 0
	for _, s := range shows {
		if s.Glyphs == nil {
			continue
		}
		text := s.Text
		if n := len(s.Marks) - 1; n >= 0 && s.Marks[n].Properties["ActualText"] != nil {
			if said == s.Marks[n].number {
				continue
			}
			text, said = Text(s.Marks[n].Properties["ActualText"]), s.Marks[n].number
		}
		if s.Line == line {
			out[len(out)-1] += text
		} else {
			out = append(out, text)
		}
		line = s.Line
	}
	for k := range out {
		out[k] = strings.TrimPrefix(out[k], " ")
	}
	return out, nil
}

// Words are all texts of a file, page by page.
func Words(b []byte) (string, error) {
	f, err := Read(b)
	if err != nil {
		return "", err
	}
	var out strings.Builder
	for _, page := range f.Pages() {
		lines, err := f.Lines(page)
		if err != nil {
			return "", err
		}
		for _, l := range lines {
			out.WriteString(l + "\n")
		}
	}
	return out.String(), nil
}
