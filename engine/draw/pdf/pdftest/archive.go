package pdftest

import (
	"bytes"
	"encoding/binary"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"regexp"
	"slices"
	"strings"
	"time"
)

// faults gathers what is wrong with a file.
type faults []string

func (w *faults) unless(right bool, rule string, a ...any) bool {
	if !right {
		*w = append(*w, fmt.Sprintf(rule, a...))
	}
	return right
}

// Archive holds a file against the rules of ISO 19005-2, level B, that concern what it has, and
// against the absence of what it forbids. The numbers are the clauses'.
func Archive(f *File) []string {
	var w faults
	first, rest, _ := bytes.Cut(f.Bytes, []byte("\n"))
	w.unless(regexp.MustCompile(`^%PDF-1\.[0-7]$`).Match(first), "6.1.2: the file begins with %q", first)
	second, _, _ := bytes.Cut(rest, []byte("\n"))
	high := 0
	for _, c := range second {
		if c > 127 {
			high++
		}
	}
	w.unless(bytes.HasPrefix(second, []byte("%")) && high >= 4, "6.1.2: the second line is %q", second)
	w.unless(bytes.HasSuffix(f.Bytes, []byte("%%EOF\n")) && bytes.Count(f.Bytes, []byte("%%EOF")) == 1,
		"6.1.3: the file goes on after its end")
	id := f.List(f.Trailer["ID"])
	if w.unless(len(id) == 2, "6.1.3: the file has no identity") {
		one, _ := id[0].(String)
		w.unless(len(one) >= 16, "6.1.3: the identity is %d bytes long", len(one))
	}
	w.unless(f.Trailer["Encrypt"] == nil, "6.1.3: the file is encrypted")
	c := f.Catalogue()
	for _, forbidden := range []Name{"AA", "OpenAction", "AcroForm", "Names", "OCProperties", "Perms", "Collection", "AF", "Requirements", "NeedsRendering"} {
		w.unless(c[forbidden] == nil, "6: the catalogue has %s", forbidden)
	}
	f.metadata(&w)
	f.intent(&w)
	for n, v := range f.Objects {
		f.limits(&w, n, v)
	}
	for n, page := range f.Pages() {
		f.page(&w, n+1, page)
	}
	return w
}

// limits holds every value of an object against 6.1.6 to 6.1.13, and looks for what is forbidden.
func (f *File) limits(w *faults, object int, v any) {
	switch v := v.(type) {
	case *Stream:
		f.limits(w, object, v.Dict)
		for _, k := range []Name{"F", "FFilter", "FDecodeParms"} {
			w.unless(v.Dict[k] == nil, "6.1.7.1: stream %d is outside of the file", object)
		}
		w.unless(v.Dict["Filter"] == nil || v.Dict["Filter"] == Name("FlateDecode"),
			"6.1.7.2: stream %d has the filter %v", object, v.Dict["Filter"])
		w.unless(v.Dict["Subtype"] != Name("Image") && v.Dict["Subtype"] != Name("PS"),
			"6.2: stream %d is a %v", object, v.Dict["Subtype"])
	case Dict:
		for k, of := range v {
			w.unless(len(k) <= 127, "6.1.13: the name %s is too long", k)
			f.limits(w, object, of)
		}
		switch v["S"] {
		case Name("JavaScript"), Name("Launch"), Name("GoToR"), Name("URI"), Name("SubmitForm"):
			w.unless(false, "6.5: object %d acts: %v", object, v["S"])
		}
		for _, forbidden := range []Name{"EF", "TR", "HTP", "JS"} {
			w.unless(v[forbidden] == nil, "6: object %d has %s", object, forbidden)
		}
	case []any:
		for _, of := range v {
			f.limits(w, object, of)
		}
	case Name:
		w.unless(len(v) <= 127, "6.1.13: the name %s is too long", v)
	case String:
		w.unless(len(v) <= 32767, "6.1.13: a string of object %d is too long", object)
	case float64:
		w.unless(math.Abs(v) < 1<<31, "6.1.13: the number %v is too large", v)
	case Ref:
		_, there := f.Objects[int(v)]
		w.unless(there, "6.1.8: object %d names %d, which is not there", object, v)
	case Operator:
		w.unless(false, "6.1.8: object %d has %q in it", object, v)
	}
}

// metadata holds 6.6: what the file says of itself, twice and the same.
func (f *File) metadata(w *faults) {
	m, ok := f.Get(f.Catalogue()["Metadata"]).(*Stream)
	if !w.unless(ok, "6.6.2.1: there are no metadata") {
		return
	}
	w.unless(m.Dict["Type"] == Name("Metadata") && m.Dict["Subtype"] == Name("XML") && m.Dict["Filter"] == nil,
		"6.6.2.1: the metadata are %v", m.Dict)
	w.unless(bytes.HasPrefix(m.Data, []byte("<?xpacket begin=\"\ufeff\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>")) &&
		bytes.HasSuffix(m.Data, []byte(`<?xpacket end="r"?>`)), "6.6.2.1: the packet has no ends")
	found := map[string]string{}
	var name string
	for d := xml.NewDecoder(bytes.NewReader(m.Data)); ; {
		token, err := d.Token()
		if err == io.EOF {
			break
		}
		if !w.unless(err == nil, "6.6.2.1: the metadata: %v", err) {
			return
		}
		switch token := token.(type) {
		case xml.StartElement:
			if !strings.HasSuffix(token.Name.Space, "rdf-syntax-ns#") {
				name = token.Name.Space + token.Name.Local
			}
		case xml.CharData:
			if s := string(token); strings.TrimSpace(s) != "" {
				found[name] += s
			}
		}
	}
	const dc, xmp, pdf, kind = "http://purl.org/dc/elements/1.1/", "http://ns.adobe.com/xap/1.0/", "http://ns.adobe.com/pdf/1.3/",
		"http://www.aiim.org/pdfa/ns/id/"
	w.unless(found[kind+"part"] == "2" && found[kind+"conformance"] == "B",
		"6.6.4: it says that it is PDF/A-%s%s", found[kind+"part"], found[kind+"conformance"])
	info := f.Dict(f.Trailer["Info"])
	for entry, of := range map[Name]string{"Title": dc + "title", "Subject": dc + "description", "Creator": xmp + "CreatorTool", "Producer": pdf + "Producer"} {
		w.unless(Text(info[entry]) == found[of], "6.6.3: %s is %q and %q", entry, Text(info[entry]), found[of])
	}
	for entry, of := range map[Name]string{"CreationDate": xmp + "CreateDate", "ModDate": xmp + "ModifyDate"} {
		one, err := time.Parse("D:20060102150405Z", Text(info[entry]))
		other, wrong := time.Parse(time.RFC3339, found[of])
		w.unless(err == nil && wrong == nil && one.Equal(other),
			"6.6.3: %s is %q and %q", entry, Text(info[entry]), found[of])
	}
}

// intent holds 6.2.3: the colours that are meant.
func (f *File) intent(w *faults) {
	all := f.List(f.Catalogue()["OutputIntents"])
	if !w.unless(len(all) == 1, "6.2.3: there are %d output intents", len(all)) {
		return
	}
	o := f.Dict(all[0])
	w.unless(o["S"] == Name("GTS_PDFA1") && Text(o["OutputConditionIdentifier"]) != "",
		"6.2.3: the output intent is %v", o)
	p, ok := f.Get(o["DestOutputProfile"]).(*Stream)
	if !w.unless(ok && len(p.Data) > 132, "6.2.3: there is no profile") {
		return
	}
	b := p.Data
	w.unless(p.Dict["N"] == 3.0 && string(b[16:20]) == "RGB ",
		"6.2.3: the profile is of %v colours, %q", p.Dict["N"], b[16:20])
	w.unless(int(binary.BigEndian.Uint32(b)) == len(b),
		"ICC.1 7.2.2: the profile says that it has %d of %d bytes", binary.BigEndian.Uint32(b), len(b))
	w.unless(string(b[36:40]) == "acsp" && string(b[12:16]) == "mntr" && string(b[20:24]) == "XYZ ",
		"ICC.1 7.2: the head of the profile")
	w.unless(b[8] == 2 || b[8] == 4 && b[9] <= 0x20, "6.2.3: the profile is of version %d.%x", b[8], b[9])
	tags := map[string]bool{}
	for n := range int(binary.BigEndian.Uint32(b[128:])) {
		row := b[132+12*n:]
		at, long := int(binary.BigEndian.Uint32(row[4:])), int(binary.BigEndian.Uint32(row[8:]))
		if w.unless(at%4 == 0 && at+long <= len(b), "ICC.1 7.3: the tag %q is at %d", row[:4], at) {
			tags[string(row[:4])] = true
		}
	}
	for _, need := range []string{"desc", "cprt", "wtpt", "rXYZ", "gXYZ", "bXYZ", "rTRC", "gTRC", "bTRC"} {
		w.unless(tags[need], "ICC.1 8.3: the profile has no %s", need)
	}
}

// page holds 6.2 and 6.3 for a page: what it shows, with which fonts and how.
func (f *File) page(w *faults, n int, page any) {
	d := f.Dict(page)
	for _, forbidden := range []Name{"AA", "PresSteps"} {
		w.unless(d[forbidden] == nil, "6: page %d has %s", n, forbidden)
	}
	w.unless(d["Annots"] == nil, "6.3: page %d has annotations, which these rules do not judge", n)
	box := f.List(d["MediaBox"])
	w.unless(len(box) == 4 && box[2].(float64) > 3 && box[2].(float64) < 14400, "6.1.13: page %d is %v", n, box)
	resources := f.Dict(d["Resources"])
	if !w.unless(resources != nil, "6.2.2: page %d has no resources of its own", n) {
		return
	}
	for name, v := range f.Dict(resources["ExtGState"]) {
		for k := range f.Dict(v) {
			w.unless(k == "ca" || k == "CA" || k == "Type", "6.2.5: the state %s has %s", name, k)
		}
	}
	w.unless(resources["XObject"] == nil && resources["ColorSpace"] == nil && resources["Shading"] == nil,
		"6.2: page %d shows what these rules do not judge", n)
	shows, err := f.Shows(page)
	if !w.unless(err == nil, "6.2.2: page %d: %v", n, err) {
		return
	}
	judged := map[string]*glyphs{}
	for _, s := range shows {
		if s.Glyphs == nil {
			continue
		}
		name, _ := s.Font["BaseFont"].(Name)
		g := judged[string(name)]
		if g == nil {
			g = f.font(w, s.Font)
			judged[string(name)] = g
		}
		for _, code := range s.Glyphs {
			g.shows(w, string(name), code)
		}
	}
}

// glyphs are what a font in a file has.
type glyphs struct {
	count, measured, unit int
	hmtx                  []byte
	loca                  []byte
	widths                map[int]float64
	words                 map[int]string
}

// font holds 6.2.11 for a font, and reads its program.
func (f *File) font(w *faults, font Dict) *glyphs {
	g := &glyphs{widths: f.Widths(font), words: f.words(font)}
	name, _ := font["BaseFont"].(Name)
	under := f.Dict(f.List(font["DescendantFonts"])[0])
	descriptor := f.Dict(under["FontDescriptor"])
	w.unless(font["Subtype"] == Name("Type0") && font["Encoding"] == Name("Identity-H"),
		"6.2.11.3: the font %s is %v, %v", name, font["Subtype"], font["Encoding"])
	w.unless(under["Subtype"] == Name("CIDFontType2") && under["CIDToGIDMap"] == Name("Identity"),
		"6.2.11.3.2: the glyphs of %s are found by %v", name, under["CIDToGIDMap"])
	w.unless(regexp.MustCompile(`^[A-Z]{6}\+.`).MatchString(string(name)) && under["BaseFont"] == name && descriptor["FontName"] == name,
		"ISO 32000-1 9.6.4: a part of a font is called %s, %v and %v", name, under["BaseFont"], descriptor["FontName"])
	program, ok := f.Get(descriptor["FontFile2"]).(*Stream)
	if !w.unless(ok, "6.2.11.4: the font %s is not in the file", name) {
		return g
	}
	b := program.Data
	w.unless(program.Dict["Length1"] == float64(len(b)),
		"ISO 32000-1 9.9: the font %s is not as long as it says", name)
	tables := map[string][]byte{}
	var order []string
	for n := range int(binary.BigEndian.Uint16(b[4:])) {
		row := b[12+16*n:]
		at, long := binary.BigEndian.Uint32(row[8:]), binary.BigEndian.Uint32(row[12:])
		if !w.unless(int(at+long) <= len(b) && at%4 == 0, "the table %q of %s is at %d", row[:4], name, at) {
			return g
		}
		tables[string(row[:4])] = b[at : at+long]
		order = append(order, string(row[:4]))
		sum := sumOf(b[at : at+long])
		if string(row[:4]) != "head" {
			w.unless(sum == binary.BigEndian.Uint32(row[4:]),
				"the table %q of %s has the sum %x", row[:4], name, sum)
		}
	}
	w.unless(slices.IsSorted(order), "the tables of %s are %v", name, order)
	w.unless(sumOf(b) == 0xb1b0afba, "the font %s has the sum %x", name, sumOf(b))
	for _, need := range []string{"glyf", "head", "hhea", "hmtx", "loca", "maxp"} {
		if !w.unless(len(tables[need]) > 0, "ISO 32000-1 9.9: the font %s has no %s", name, need) {
			return g
		}
	}
	g.count = int(binary.BigEndian.Uint16(tables["maxp"][4:]))
	g.measured = int(binary.BigEndian.Uint16(tables["hhea"][34:]))
	g.unit = int(binary.BigEndian.Uint16(tables["head"][18:]))
	g.hmtx, g.loca = tables["hmtx"], tables["loca"]
	w.unless(tables["head"][51] == 1 && len(g.loca) == 4*g.count+4,
		"the font %s has %d places for %d glyphs", name, len(g.loca)/4, g.count)
	w.unless(int(binary.BigEndian.Uint32(g.loca[4*g.count:])) == len(tables["glyf"]),
		"the glyphs of %s do not end where they should", name)
	return g
}

func sumOf(b []byte) (sum uint32) {
	for n, c := range b {
		sum += uint32(c) << (24 - 8*(n%4))
	}
	return sum
}

// shows holds a glyph that a page shows: it is there, as wide as the font says, and stands for
// something.
func (g *glyphs) shows(w *faults, font string, code int) {
	if !w.unless(code > 0 && code < g.count, "6.2.11.8: %s shows the glyph %d", font, code) {
		return
	}
	drawn := binary.BigEndian.Uint32(g.loca[4*code:]) < binary.BigEndian.Uint32(g.loca[4*code+4:])
	words, known := g.words[code]
	w.unless(known && words != "" && !strings.ContainsAny(words, "\x00\ufeff\ufffe"),
		"6.2.11.7: the glyph %d of %s stands for %q", code, font, words)
	w.unless(drawn || strings.TrimSpace(words) == "",
		"6.2.11.4: the glyph %d of %s, %q, is not in it", code, font, words)
	wide, given := g.widths[code]
	own := float64(binary.BigEndian.Uint16(g.hmtx[4*min(code, g.measured-1):])) * 1000 / float64(g.unit)
	w.unless(given && math.Abs(wide-own) <= 1,
		"6.2.11.5: the glyph %d of %s is %.1f wide, and is said to be %.1f", code, font, own, wide)
}
