package pdf

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"strings"
	"testing"

	"pegpour/engine/draw"
	"pegpour/engine/draw/compose"
	"pegpour/engine/draw/pdf/pdftest"
)

// kinds are documents of every kind: drawings with shadows, tables over pages, names of the
// world, a page of a language from the right, composed pages.
func kinds(t testing.TB, rows int) map[string][]byte {
	t.Helper()
	flow := func(d *Document) {
		b := block()
		b.Title, b.Site = "Pegs", worldly[1]
		d.Flow(b)
		d.Heading("Names of the world")
		d.List(append(worldly, "שער (ישן) 7", "بوابة منزلقة، شارع السلام ١٢", "Tor 東 😀", "e\u0301 ≥ √", "هٰذا كِتَابٌ (Nord)"))
		d.Paragraph("A first\u2009sentence\tthat says something, long enough to be broken to lines where it does not fit in one of them.")
		if err := d.Table(pegTable(rows)); err != nil {
			t.Fatal(err)
		}
		if err := d.Figure(plan(), Figure{}); err != nil {
			t.Fatal(err)
		}
		if err := d.Figures([]*draw.Scene{plan(), plan()}, Figure{}); err != nil {
			t.Fatal(err)
		}
	}
	shadows := func(d *Document) {
		s := &draw.Scene{Title: "Your gate", Desc: "A gate that throws a shadow."}
		s.Add(draw.Region{Tag: draw.Tag{ID: "leaf", Role: draw.RoleThin, Material: draw.MaterialSteel},
			Outer: draw.RectRing(1000, 1000, 2000, 1500), Light: draw.LightShadow, Open: true})
		if err := d.Drawing(s, DrawingPage{Block: block()}); err != nil {
			t.Fatal(err)
		}
	}
	pocket := func(d *Document) {
		b := block()
		b.Title = "Set-out"
		page := d.PocketPage(func(uint) TitleBlock { return b })
		table := pegTable(30)
		table.Heading, table.Note = "Pegs", "Along, then out."
		m := d.PocketTable(table, &page)
		d.BeginPocket(b, 1)
		shape := m.Shapes()[0]
		shape.Columns, shape.Parts = m.Least, 1
		d.DrawPocketTable(table, m, piece(0, 20, shape.Columns), &page)
		p := piece(20, 30, shape.Columns)
		p.Y = 150
		d.DrawPocketTable(table, m, p, &page)
	}
	title := Options{Title: "Set-out & pour <1>", Subject: "A gate, 4.35 m wide; Tor 東", Creator: "Pegpour", Language: "en"}
	arabic := title
	arabic.Title, arabic.Language, arabic.FromRight = "بوابة", "ar", true
	plain := title
	plain.Plain = true
	return map[string][]byte{"drawings": setOutDocument(t, false), "flow": own(t, title, flow), "plain": own(t, plain, flow),
		"from the right": own(t, arabic, flow), "shadows": own(t, title, shadows), "pocket": own(t, title, pocket),
		"pocket from the right": own(t, arabic, pocket)}
}

// Every document keeps the rules of PDF/A-2b, and is tagged.
func TestDocumentsAreArchivesAndTagged(t *testing.T) {
	for name, document := range kinds(t, 70) {
		f, err := pdftest.Read(document)
		if err != nil {
			t.Fatal(name, err)
		}
		for _, fault := range pdftest.Archive(f) {
			t.Errorf("%s: %s", name, fault)
		}
		_, all := pdftest.Tags(f)
		for _, fault := range all {
			t.Errorf("%s: %s", name, fault)
		}
		if said := string(tool(t, document, "pdfinfo")); !strings.Contains(said, "Tagged:          yes") {
			t.Errorf("%s: another reader finds no tags: %s", name, said)
		}
		for _, line := range strings.Split(string(tool(t, document, "pdffonts")), "\n")[2:] {
			if line != "" && !strings.Contains(line, "CID TrueType      Identity-H       yes yes yes") {
				t.Errorf("%s: another reader finds the font %s", name, line)
			}
		}
	}
}

// What is read aloud comes in the order in which one reads: the name of the sheet, its cautions,
// what it is about, and a table row by row wherever its pieces stand, with one head.
func TestReadingOrder(t *testing.T) {
	documents := kinds(t, 70)
	for name, want := range map[string][]string{
		"flow": {"H1 Pegs", "P Cautions", "P ! Strength figures", "P Site " + worldly[1], "P Date 14 March 2025", "H2 Names of the world",
			"LBody Ľubomír Šťastný", "LBody שער (ישן) 7", "LBody بوابة منزلقة، شارع السلام ١٢", "LBody Tor 東 😀", "LBody é ≥ √",
			"LBody هٰذا كِتَابٌ (Nord)", "P A first sentence that says something, long enough to be broken to lines where", "TH Peg", "TD 1",
			"TD 2", "TD 70", "H2 Footing plan", "Figure An L-shaped footing.", "H2 Footing plan, 1:", "Figure An L"},
		"pocket":                {"H1 Set-out", "P ! Strength", "P Date 14 March", "H2 Pegs", "P Along, then out.", "TH Peg", "TD 1", "TD 20", "TD 21", "TD 30"},
		"pocket from the right": {"H1 Set-out", "H2 Pegs", "TH Peg", "TD 1", "TD 30"},
		"shadows":               {"H1 Your gate", "Figure A gate that throws a shadow."},
	} {
		f, err := pdftest.Read(documents[name])
		if err != nil {
			t.Fatal(err)
		}
		said, _ := pdftest.Tags(f)
		at, heads := 0, 0
		for _, s := range said {
			if s.Kind == "TH" && s.Text == "Peg" {
				heads++
			}
			if at < len(want) && strings.HasPrefix(string(s.Kind)+" "+s.Text, want[at]) {
				at++
			}
		}
		if at < len(want) || heads > 1 {
			t.Errorf("%s: %q is not read where it should be, or one of %d heads is too many, in %.2000s", name,
				want[min(at, len(want)-1)], heads, fmt.Sprint(said))
		}
	}
	// Another reader walks the tree and finds the same.
	for _, name := range []string{"flow", "from the right"} {
		said := string(tool(t, documents[name], "pdfinfo", "-struct-text"))
		for _, want := range []string{`"بوابة منزلقة، شارع السلام ١٢"`, `"שער (ישן) 7"`, `"هٰذا كِتَابٌ (Nord)"`, `"é ≥ √"`} {
			if !strings.Contains(said, want) {
				t.Errorf("%s: %s is not found in %.4000s", name, want, said)
			}
		}
	}
}

// Each rule that documents are held against finds the document that breaks it.
func TestRulesFindWhatBreaksThem(t *testing.T) {
	document := kinds(t, 5)["flow"]
	stream := func(f *pdftest.File, of pdftest.Name, v any) *pdftest.Stream {
		s, _ := f.Get(f.Dict(v)[of]).(*pdftest.Stream)
		return s
	}
	first := func(f *pdftest.File, kind string) pdftest.Dict {
		for n := 1; n < len(f.Objects)+1; n++ {
			if d, ok := f.Objects[n].(pdftest.Dict); ok && d["S"] == pdftest.Name(kind) {
				return d
			}
		}
		t.Fatal(kind, "is not there")
		return nil
	}
	page := func(f *pdftest.File) pdftest.Dict { return f.Dict(f.Pages()[0]) }
	content := func(f *pdftest.File) *pdftest.Stream { return stream(f, "Contents", page(f)) }
	font := func(f *pdftest.File) pdftest.Dict { return f.Dict(f.Dict(f.Dict(page(f)["Resources"])["Font"])["R"]) }
	under := func(f *pdftest.File) pdftest.Dict { return f.Dict(f.List(font(f)["DescendantFonts"])[0]) }
	descriptor := func(f *pdftest.File) pdftest.Dict { return f.Dict(under(f)["FontDescriptor"]) }
	profile := func(f *pdftest.File) []byte {
		return stream(f, "DestOutputProfile", f.List(f.Catalogue()["OutputIntents"])[0]).Data
	}
	meta := func(f *pdftest.File, old, new string) {
		s := stream(f, "Metadata", f.Catalogue())
		s.Data = bytes.ReplaceAll(s.Data, []byte(old), []byte(new))
	}
	replace := func(f *pdftest.File, old, new string) {
		s := content(f)
		if !bytes.Contains(s.Data, []byte(old)) {
			t.Fatalf("%q is not on the page", old)
		}
		s.Data = bytes.Replace(s.Data, []byte(old), []byte(new), 1)
	}
	for want, broken := range map[string]func(f *pdftest.File){
		"6.1.2: the file begins":    func(f *pdftest.File) { f.Bytes = append([]byte("\n"), f.Bytes...) },
		"6.1.2: the second line":    func(f *pdftest.File) { f.Bytes[11] = 'a' },
		"6.1.3: the file goes on":   func(f *pdftest.File) { f.Bytes = append(f.Bytes, "more"...) },
		"6.1.3: the file has no id": func(f *pdftest.File) { delete(f.Trailer, "ID") },
		"6.1.3: the identity is":    func(f *pdftest.File) { f.List(f.Trailer["ID"])[0] = pdftest.String("a") },
		"6.1.3: the file is encr":   func(f *pdftest.File) { f.Trailer["Encrypt"] = pdftest.Dict{} },
		"6: the catalogue has Open": func(f *pdftest.File) { f.Catalogue()["OpenAction"] = pdftest.Dict{} },
		"6.1.7.1":                   func(f *pdftest.File) { content(f).Dict["F"] = pdftest.String("a") },
		"6.1.7.2":                   func(f *pdftest.File) { content(f).Dict["Filter"] = pdftest.Name("LZWDecode") },
		"6.2: stream": func(f *pdftest.File) {
			f.Objects[9999] = &pdftest.Stream{Dict: pdftest.Dict{"Subtype": pdftest.Name("Image")}}
		},
		"6.1.13: the name":   func(f *pdftest.File) { page(f)["A"] = pdftest.Name(strings.Repeat("a", 128)) },
		"6.1.13: a string":   func(f *pdftest.File) { page(f)["A"] = pdftest.String(strings.Repeat("a", 32768)) },
		"6.1.13: the number": func(f *pdftest.File) { page(f)["A"] = math.Inf(1) },
		"6.1.8: object":      func(f *pdftest.File) { page(f)["A"] = pdftest.Ref(123456) },
		"6.5":                func(f *pdftest.File) { page(f)["A"] = pdftest.Dict{"S": pdftest.Name("JavaScript")} },
		"has EF":             func(f *pdftest.File) { page(f)["A"] = pdftest.Dict{"EF": 1.0} },
		"6.6.2.1: there are": func(f *pdftest.File) { delete(f.Catalogue(), "Metadata") },
		"6.6.2.1: the metadata are": func(f *pdftest.File) {
			stream(f, "Metadata", f.Catalogue()).Dict["Filter"] = pdftest.Name("FlateDecode")
		},
		"6.6.2.1: the packet":        func(f *pdftest.File) { meta(f, "?xpacket end", "?packet end") },
		"6.6.2.1: the metadata: XML": func(f *pdftest.File) { meta(f, "</rdf:RDF>", "") },
		"6.6.4":                      func(f *pdftest.File) { meta(f, "part>2<", "part>3<") },
		"6.6.3: Title":               func(f *pdftest.File) { meta(f, "Set-out", "Other") },
		"6.6.3: Subject":             func(f *pdftest.File) { f.Dict(f.Trailer["Info"])["Subject"] = pdftest.String("Other") },
		"6.6.3: Creator":             func(f *pdftest.File) { delete(f.Dict(f.Trailer["Info"]), "Creator") },
		"6.6.3: Producer":            func(f *pdftest.File) { meta(f, "<pdf:Producer>", "<pdf:Producer>x") },
		"6.6.3: CreationDate":        func(f *pdftest.File) { meta(f, "CreateDate>2025", "CreateDate>2024") },
		"6.6.3: ModDate":             func(f *pdftest.File) { f.Dict(f.Trailer["Info"])["ModDate"] = pdftest.String("2025") },
		"6.2.3: there are":           func(f *pdftest.File) { delete(f.Catalogue(), "OutputIntents") },
		"6.2.3: the output intent": func(f *pdftest.File) {
			f.Dict(f.List(f.Catalogue()["OutputIntents"])[0])["S"] = pdftest.Name("GTS_PDFX")
		},
		"6.2.3: there is no profile": func(f *pdftest.File) {
			delete(f.Dict(f.List(f.Catalogue()["OutputIntents"])[0]), "DestOutputProfile")
		},
		"6.2.3: the profile is of 3 colours": func(f *pdftest.File) { copy(profile(f)[16:], "GRAY") },
		"ICC.1 7.2.2":                        func(f *pdftest.File) { profile(f)[3]++ },
		"ICC.1 7.2: the head":                func(f *pdftest.File) { profile(f)[36] = 'b' },
		"6.2.3: the profile is of version":   func(f *pdftest.File) { profile(f)[8] = 5 },
		"ICC.1 7.3":                          func(f *pdftest.File) { profile(f)[132+4] = 1 },
		"ICC.1 8.3":                          func(f *pdftest.File) { profile(f)[132] = 'x' },
		"6: page 1 has AA":                   func(f *pdftest.File) { page(f)["AA"] = pdftest.Dict{} },
		"6.3: page 1 has annotations":        func(f *pdftest.File) { page(f)["Annots"] = []any{} },
		"6.1.13: page 1":                     func(f *pdftest.File) { page(f)["MediaBox"] = []any{0.0, 0.0, 1.0, 1.0} },
		"6.2.2: page 1 has no resources":     func(f *pdftest.File) { delete(page(f), "Resources") },
		"6.2.5": func(f *pdftest.File) {
			f.Dict(page(f)["Resources"])["ExtGState"] = pdftest.Dict{"S": pdftest.Dict{"BM": pdftest.Name("Multiply")}}
		},
		"6.2: page 1 shows":            func(f *pdftest.File) { f.Dict(page(f)["Resources"])["XObject"] = pdftest.Dict{} },
		"6.2.2: page 1: the op":        func(f *pdftest.File) { replace(f, "0 G\n", "0 0 0 1 K\n") },
		"6.2.2: page 1: the page ends": func(f *pdftest.File) { replace(f, "EMC\n", "EMC q\n") },
		"6.2.11.3: the font":           func(f *pdftest.File) { font(f)["Encoding"] = pdftest.Name("WinAnsiEncoding") },
		"6.2.11.3.2":                   func(f *pdftest.File) { delete(under(f), "CIDToGIDMap") },
		"ISO 32000-1 9.6.4":            func(f *pdftest.File) { descriptor(f)["FontName"] = pdftest.Name("ABCDEF+Other") },
		"6.2.11.4: the font":           func(f *pdftest.File) { delete(descriptor(f), "FontFile2") },
		"ISO 32000-1 9.9: the font": func(f *pdftest.File) {
			stream(f, "FontFile2", descriptor(f)).Dict["Length1"] = 1.0
		},
		"has the sum": func(f *pdftest.File) {
			b := stream(f, "FontFile2", descriptor(f)).Data
			b[len(b)-5]++
		},
		"6.2.11.8": func(f *pdftest.File) { replace(f, "TJ", "TJ [<0000>] TJ") },
		"6.2.11.7": func(f *pdftest.File) { delete(font(f), "ToUnicode") },
		"6.2.11.5": func(f *pdftest.File) { f.List(f.List(under(f)["W"])[1])[0] = 1.0 },
		"6.2.11.4: the glyph": func(f *pdftest.File) {
			// The first letter drawn loses its outline.
			b := stream(f, "FontFile2", descriptor(f)).Data
			loca, size := int(binary.BigEndian.Uint32(b[12+16*4+8:])), int(binary.BigEndian.Uint32(b[12+16*4+12:]))
			copy(b[loca:loca+size-4], make([]byte, size-4))
		},
		"14.7.1":                   func(f *pdftest.File) { delete(f.Catalogue(), "MarkInfo") },
		"14289-1 7.2":              func(f *pdftest.File) { delete(f.Catalogue(), "Lang") },
		"14289-1 7.1: the title":   func(f *pdftest.File) { delete(f.Catalogue(), "ViewerPreferences") },
		"14289-1 7.1: no title":    func(f *pdftest.File) { delete(f.Dict(f.Trailer["Info"]), "Title") },
		"14.7.2: there is no tree": func(f *pdftest.File) { delete(f.Catalogue(), "StructTreeRoot") },
		"14289-1 7.18.3":           func(f *pdftest.File) { delete(page(f), "Tabs") },
		"14.7.4.4: page 1":         func(f *pdftest.File) { page(f)["StructParents"] = 77.0 },
		"14.7.4.4: piece":          func(f *pdftest.File) { swapParents(f) },
		"belongs to no element":    func(f *pdftest.File) { first(f, "H1")["K"] = []any{} },
		"14.8.2.2: page 1 shows":   func(f *pdftest.File) { replace(f, "/Artifact BMC\n", ""); replace(f, "EMC\n", "") },
		"neither read nor":         func(f *pdftest.File) { replace(f, "/P <</MCID", "/P <</Other") },
		"14.7.4.2: page 1 has no":  func(f *pdftest.File) { first(f, "H1")["K"] = []any{5555.0} },
		"14.7.4.2: piece 0 of page 1 belongs to two": func(f *pdftest.File) {
			first(f, "P")["K"] = append(f.List(first(f, "P")["K"]), 0.0)
		},
		"14.7.4.2: a piece of":      func(f *pdftest.File) { delete(first(f, "H1"), "Pg") },
		"14.8.4: Chapter is no":     func(f *pdftest.File) { first(f, "H1")["S"] = pdftest.Name("Chapter") },
		"14.8.4: H2 in LI":          func(f *pdftest.File) { first(f, "Lbl")["S"] = pdftest.Name("H2") },
		"14.7.2: the parent":        func(f *pdftest.File) { first(f, "P")["P"] = pdftest.Ref(1) },
		"14.8.4.2: the tree begins": func(f *pdftest.File) { first(f, "Document")["S"] = pdftest.Name("Sect") },
		"14289-1 7.4.2":             func(f *pdftest.File) { first(f, "H1")["S"] = pdftest.Name("H2") },
		"14289-1 7.3":               func(f *pdftest.File) { delete(first(f, "Figure"), "Alt") },
		"14.8.5.4.5":                func(f *pdftest.File) { delete(first(f, "Figure"), "A") },
		"14289-1 7.5: a head of":    func(f *pdftest.File) { delete(first(f, "TH"), "A") },
		"14289-1 7.5: a head in":    func(f *pdftest.File) { first(f, "TD")["S"] = pdftest.Name("TH") },
		"14289-1 7.5: row": func(f *pdftest.File) {
			row := first(f, "TR")
			row["K"] = f.List(row["K"])[1:]
		},
		"14.8.4.3.3": func(f *pdftest.File) { first(f, "LI")["K"] = f.List(first(f, "LI")["K"])[:1] },
		"14.8.4.3.4": func(f *pdftest.File) { first(f, "Table")["K"] = []any{} },
	} {
		f, err := pdftest.Read(bytes.Clone(document))
		if err != nil {
			t.Fatal(err)
		}
		broken(f)
		_, all := pdftest.Tags(f)
		all = append(all, pdftest.Archive(f)...)
		found := false
		for _, fault := range all {
			found = found || strings.Contains(fault, want)
		}
		if !found {
			t.Errorf("%q is not found where it is broken, but %.400q", want, all)
		}
	}
}

// piece is a piece of a table on the first columns of a page.
func piece(from, until, columns int) compose.Piece {
	return compose.Piece{From: from, Until: until, Shape: compose.Shape{Columns: columns, Parts: 1}}
}

// swapParents has the first two pieces of the first page belong to each other's element.
func swapParents(f *pdftest.File) {
	root := f.Dict(f.Catalogue()["StructTreeRoot"])
	row := f.List(f.List(f.Dict(root["ParentTree"])["Nums"])[1])
	row[0], row[1] = row[1], row[0]
}

// A file whose table points elsewhere, whose stream is longer than it says or that is cut off
// does not pass for one that was read.
func TestDamagedFilesAreNotRead(t *testing.T) {
	whole := kinds(t, 5)["flow"]
	for name, b := range map[string][]byte{
		"cut":     whole[:len(whole)/2],
		"shifted": append([]byte("%PDF-1.7\n%more\n"), whole...),
		"length":  bytes.Replace(bytes.Clone(whole), []byte("/Length 1"), []byte("/Length 2"), 1),
		"number":  bytes.Replace(bytes.Clone(whole), []byte("\n5 0 obj"), []byte("\n6 0 obj"), 1),
	} {
		if _, err := pdftest.Read(b); err == nil {
			t.Errorf("%s: it was read", name)
		}
	}
}

// The profile's primaries and white, worked out from IEC 61966-2-1 (x, y of the primaries and of
// D65, recalled) by Bradford's transform (ICC.1:2004-10, annex E), and the curve at its corner
// and ends by the norm's formula.
func TestProfileOfScreens(t *testing.T) {
	type matrix [3][3]float64
	times := func(a, b matrix) (c matrix) {
		for i := range 3 {
			for k := range 3 {
				for n := range 3 {
					c[i][k] += a[i][n] * b[n][k]
				}
			}
		}
		return c
	}
	inverse := func(m matrix) (out matrix) {
		minor := func(i, k int) float64 {
			a, b, c, d := (i+1)%3, (i+2)%3, (k+1)%3, (k+2)%3
			return m[a][c]*m[b][d] - m[a][d]*m[b][c]
		}
		det := m[0][0]*minor(0, 0) + m[0][1]*minor(0, 1) + m[0][2]*minor(0, 2)
		for i := range 3 {
			for k := range 3 {
				out[k][i] = minor(i, k) / det
			}
		}
		return out
	}
	on := func(m matrix, v [3]float64) (out [3]float64) {
		for i := range 3 {
			out[i] = m[i][0]*v[0] + m[i][1]*v[1] + m[i][2]*v[2]
		}
		return out
	}
	xyz := func(x, y float64) [3]float64 { return [3]float64{x / y, 1, (1 - x - y) / y} }
	red, green, blue, white, paper := xyz(0.64, 0.33), xyz(0.30, 0.60), xyz(0.15, 0.06), xyz(0.3127, 0.3290), [3]float64{0.9642, 1, 0.8249}
	var primaries matrix
	for i := range 3 {
		primaries[i] = [3]float64{red[i], green[i], blue[i]}
	}
	share := on(inverse(primaries), white)
	bradford := matrix{{0.8951, 0.2664, -0.1614}, {-0.7502, 1.7135, 0.0367}, {0.0389, -0.0685, 1.0296}}
	from, to := on(bradford, white), on(bradford, paper)
	adapt := times(inverse(bradford), times(matrix{{to[0] / from[0]}, {0, to[1] / from[1]}, {0, 0, to[2] / from[2]}}, bradford))
	b := standardRGB()
	value := func(tag string, n int) float64 {
		for k := range int(binary.BigEndian.Uint32(b[128:])) {
			if row := b[132+12*k:]; string(row[:4]) == tag {
				return float64(int32(binary.BigEndian.Uint32(b[int(binary.BigEndian.Uint32(row[4:]))+8+4*n:]))) / 65536
			}
		}
		t.Fatal(tag)
		return 0
	}
	near := func(what string, got, want float64) {
		if math.Abs(got-want) > 0.0003 {
			t.Errorf("%s: %.5f, want %.5f", what, got, want)
		}
	}
	for n := range 3 {
		for k, tag := range []string{"rXYZ", "gXYZ", "bXYZ"} {
			near(tag, value(tag, n), on(adapt, [3]float64{primaries[0][k] * share[k], primaries[1][k] * share[k], primaries[2][k] * share[k]})[n])
		}
		near("white", value("wtpt", n), paper[n])
		for k := range 3 {
			near("chad", value("chad", 3*n+k), adapt[n][k])
		}
	}
	curve := func(x float64) float64 {
		g, a, bb, c, d := value("rTRC", 1), value("rTRC", 2), value("rTRC", 3), value("rTRC", 4), value("rTRC", 5)
		if x >= d {
			return math.Pow(a*x+bb, g)
		}
		return c * x
	}
	for x, want := range map[float64]float64{0: 0, 1: 1, 0.5: math.Pow((0.5+0.055)/1.055, 2.4), 0.03: 0.03 / 12.92, 0.04045: 0.04045 / 12.92} {
		near("curve", curve(x), want)
	}
}

// Whatever is typed, upright or from the right, makes a document that keeps the rules.
func FuzzDocument(f *testing.F) {
	for _, s := range append(worldly, "\xff\x00\ufffe\ue500 (", "لا\u064b\u200d東", "<≥>) \u202e\u2066", "A\u0323\u0302\u0327") {
		f.Add(s, true)
		f.Add(s, false)
	}
	f.Fuzz(func(t *testing.T, s string, fromRight bool) {
		out := own(t, Options{Title: "Gate " + s, Subject: s, Language: "en", FromRight: fromRight}, func(d *Document) {
			b := block()
			b.Title, b.Site, b.Client = "Gate", s, s
			d.Flow(b)
			d.Paragraph("A " + s)
			d.Heading("B " + s)
			if err := d.Table(Table{Columns: []Column{{Title: s}, {Title: "C"}}, Rows: [][]string{{s, "1"}, {}}}); err != nil {
				t.Fatal(err)
			}
		})
		read, err := pdftest.Read(out)
		if err != nil {
			t.Fatal(err)
		}
		_, all := pdftest.Tags(read)
		for _, fault := range append(all, pdftest.Archive(read)...) {
			t.Errorf("%q: %s", s, fault)
		}
	})
}
