package pdftest

import (
	"fmt"
	"slices"
	"strings"
)

// Spoken is an element of the tree as it is read aloud.
type Spoken struct {
	Kind Name
	// Text in it, or what is said in place of what it shows.
	Text string
	Deep int
	Page int // of its first piece, from 0; -1 where it has none
}

// walker reads the tree of a file.
type walker struct {
	f      *File
	w      faults
	pieces []map[int]string // of each page: the text of a piece
	owners []map[int]int    // of each page: the element that a piece belongs to
	all    []Spoken
	level  int // of the last heading
}

// Tags holds a file against ISO 32000-1, 14.7 and 14.8, and against what ISO 14289-1 asks of
// headings, tables, lists and drawings; it returns what is read aloud too, in order.
func Tags(f *File) ([]Spoken, []string) {
	t := &walker{f: f}
	c := f.Catalogue()
	t.w.unless(f.Dict(c["MarkInfo"])["Marked"] == true, "14.7.1: the file is not said to be marked")
	t.w.unless(Text(c["Lang"]) != "", "14289-1 7.2: no language")
	t.w.unless(f.Dict(c["ViewerPreferences"])["DisplayDocTitle"] == true, "14289-1 7.1: the title is not shown")
	t.w.unless(Text(f.Dict(f.Trailer["Info"])["Title"]) != "", "14289-1 7.1: no title")
	numbers := map[Ref]int{}
	for n, page := range f.Pages() {
		if r, ok := page.(Ref); ok {
			numbers[r] = n
		}
		t.page(n, page)
	}
	root, _ := c["StructTreeRoot"].(Ref)
	if !t.w.unless(f.Dict(root)["Type"] == Name("StructTreeRoot"), "14.7.2: there is no tree") {
		return nil, t.w
	}
	for _, k := range f.List(f.Dict(root)["K"]) {
		t.element(k, root, "", 0, numbers)
	}
	// The other way: from the pieces of a page to their elements.
	parents := f.List(f.Dict(f.Dict(root)["ParentTree"])["Nums"])
	for n, page := range f.Pages() {
		d := f.Dict(page)
		t.w.unless(d["Tabs"] == Name("S"), "14289-1 7.18.3: page %d has no order of tabs", n+1)
		row := []any(nil)
		for k := 0; k+1 < len(parents); k += 2 {
			if parents[k] == d["StructParents"] {
				row = f.List(parents[k+1])
			}
		}
		t.w.unless(d["StructParents"] == float64(n) && len(row) == len(t.pieces[n]),
			"14.7.4.4: page %d has %d pieces and %d parents", n+1, len(t.pieces[n]), len(row))
		for piece := range t.pieces[n] {
			owner, owned := t.owners[n][piece]
			t.w.unless(owned, "14.7.4.2: piece %d of page %d belongs to no element", piece, n+1)
			if owned && piece < len(row) {
				t.w.unless(row[piece] == Ref(owner),
					"14.7.4.4: piece %d of page %d belongs to %d, not to %v", piece, n+1, owner, row[piece])
			}
		}
	}
	return t.all, t.w
}

// page gathers the pieces of a page; all that it shows is one of them, or decoration.
func (t *walker) page(n int, page any) {
	pieces := map[int]string{}
	t.pieces, t.owners = append(t.pieces, pieces), append(t.owners, map[int]int{})
	shows, err := t.f.Shows(page)
	t.w.unless(err == nil, "page %d: %v", n+1, err)
	said := -1
	for _, s := range shows {
		if !t.w.unless(len(s.Marks) > 0, "14.8.2.2: page %d shows %q %s unmarked", n+1, s.Text, s.Operator) {
			continue
		}
		text, decoration, piece := s.Text, false, -1
		for k, m := range s.Marks {
			if m.Tag == "Artifact" {
				decoration = true
				t.w.unless(k == 0, "14.8.2.2: decoration in a piece on page %d", n+1)
			}
			if m.Piece() >= 0 {
				t.w.unless(piece < 0 && !decoration, "14.7.4.2: piece %d of page %d is in another", m.Piece(), n+1)
				piece = m.Piece()
			}
			if words, ok := m.Properties["ActualText"]; ok {
				if text = Text(words); said == m.number {
					text = ""
				}
				said = m.number
			}
		}
		t.w.unless(decoration != (piece >= 0),
			"14.8.2.2: page %d shows %q %s, neither read nor decoration", n+1, s.Text, s.Operator)
		if piece >= 0 {
			pieces[piece] += text
		}
	}
}

// Standard structure types (ISO 32000-1, 14.8.4) that a document may use, and what may be in
// those that are put together.
var holds = map[Name][]Name{
	"Document": {"Sect", "H1", "H2", "P", "L", "Table", "Figure"}, "Sect": {"H1", "H2", "P", "L", "Table", "Figure"},
	"H1": nil, "H2": nil, "P": nil, "Figure": nil, "L": {"LI"}, "LI": {"Lbl", "LBody"}, "Lbl": nil, "LBody": nil,
	"Table": {"TR"}, "TR": {"TH", "TD"}, "TH": nil, "TD": nil,
}

func (t *walker) element(v any, parent Ref, above Name, deep int, numbers map[Ref]int) (kind Name) {
	r, ok := v.(Ref)
	d := t.f.Dict(v)
	if !t.w.unless(ok && d != nil, "14.7.2: %v is no element", v) {
		return ""
	}
	kind, _ = d["S"].(Name)
	allowed, known := holds[kind]
	t.w.unless(known, "14.8.4: %s is no standard type", kind)
	t.w.unless(d["P"] == parent, "14.7.2: the parent of %s %d is %v, not %d", kind, r, d["P"], parent)
	t.w.unless(above != "" || kind == "Document", "14.8.4.2: the tree begins with %s", kind)
	at := len(t.all)
	t.all = append(t.all, Spoken{Kind: kind, Deep: deep, Page: -1})
	var text strings.Builder
	var kinds []Name
	for _, k := range t.f.List(d["K"]) {
		on, _ := d["Pg"].(Ref)
		piece, is := k.(float64)
		if m, ok := k.(Dict); ok && m["Type"] == Name("MCR") {
			on, _ = m["Pg"].(Ref)
			piece, is = m["MCID"].(float64)
		}
		if !is {
			inner := t.element(k, r, kind, deep+1, numbers)
			t.w.unless(slices.Contains(allowed, inner), "14.8.4: %s in %s", inner, kind)
			kinds = append(kinds, inner)
			continue
		}
		page, there := numbers[on]
		if !t.w.unless(there, "14.7.4.2: a piece of %s %d is on no page", kind, r) {
			continue
		}
		words, there := t.pieces[page][int(piece)]
		t.w.unless(there, "14.7.4.2: page %d has no piece %v", page+1, piece)
		_, twice := t.owners[page][int(piece)]
		t.w.unless(!twice, "14.7.4.2: piece %v of page %d belongs to two", piece, page+1)
		t.owners[page][int(piece)] = int(r)
		if text.Len() > 0 {
			text.WriteByte(' ')
		}
		text.WriteString(words)
		if t.all[at].Page < 0 {
			t.all[at].Page = page
		}
	}
	t.all[at].Text = text.String()
	attributes := t.f.Dict(d["A"])
	switch kind {
	case "H1", "H2":
		level := int(kind[1] - '0')
		t.w.unless(level <= t.level+1, "14289-1 7.4.2: a heading %s after one of level %d", kind, t.level)
		t.level = level
		t.w.unless(strings.TrimSpace(t.all[at].Text) != "", "an empty heading")
	case "Figure":
		alt := Text(d["Alt"])
		t.w.unless(strings.TrimSpace(alt) != "", "14289-1 7.3: a drawing without words in its place")
		t.all[at].Text = alt
		box := t.f.List(attributes["BBox"])
		t.w.unless(len(box) == 4 && box[0].(float64) < box[2].(float64) && box[1].(float64) < box[3].(float64) &&
			box[0].(float64) >= 0 && box[3].(float64) <= 842, "14.8.5.4.5: a drawing on %v", box)
	case "TH":
		t.w.unless(attributes["O"] == Name("Table") && attributes["Scope"] == Name("Column"),
			"14289-1 7.5: a head of nothing")
	case "LI":
		t.w.unless(fmt.Sprint(kinds) == "[Lbl LBody]", "14.8.4.3.3: a list has %v", kinds)
	case "Table":
		t.table(at, deep)
	case "P", "LBody", "Lbl":
		t.w.unless(strings.TrimSpace(t.all[at].Text) != "", "an empty %s", kind)
	}
	return kind
}

// table holds that each row has as many cells, and only the first is a head.
func (t *walker) table(at, deep int) {
	var rows [][]Name
	for _, s := range t.all[at+1:] {
		switch {
		case s.Deep == deep+1:
			rows = append(rows, nil)
		case s.Deep == deep+2 && len(rows) > 0:
			rows[len(rows)-1] = append(rows[len(rows)-1], s.Kind)
		}
	}
	if !t.w.unless(len(rows) > 0, "14.8.4.3.4: a table without rows") {
		return
	}
	for n, row := range rows {
		t.w.unless(len(row) == len(rows[0]),
			"14289-1 7.5: row %d has %d cells, the first %d", n, len(row), len(rows[0]))
		for _, cell := range row {
			t.w.unless(cell == "TD" || n == 0, "14289-1 7.5: a head in row %d", n)
		}
	}
}
