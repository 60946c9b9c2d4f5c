package pdf

import (
	"math"
	"strings"
)

// What a document that is to be kept says of itself: PDF/A-2b, ISO 19005-2.

const (
	producer = "Pegpour"
	instant  = "2006-01-02T15:04:05Z"
)

// properties are the entries that every reader shows; the metadata say the same.
func (d *Document) properties() []byte {
	date := "(D:" + d.o.Created.Format("20060102150405") + "Z)"
	b := []byte("<</Producer (" + producer + ") /CreationDate " + date + " /ModDate " + date)
	for _, p := range [...]struct{ name, value string }{{"Title", d.o.Title}, {"Subject", d.o.Subject},
		{"Creator", d.o.Creator}} {
		if p.value != "" {
			b = append(append(append(append(b, " /"...), p.name...), ' '), textString(p.value)...)
		}
	}
	return append(b, ">>"...)
}

// metadata are the properties in XMP (ISO 16684-1), with what kind of document it is.
func (d *Document) metadata() []byte {
	var b strings.Builder
	b.WriteString("<?xpacket begin=\"\ufeff\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n" +
		`<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">` + "\n" +
		`<rdf:Description rdf:about="" xmlns:pdfaid="http://www.aiim.org/pdfa/ns/id/" ` +
		`xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmlns:pdf="http://ns.adobe.com/pdf/1.3/">` + "\n")
	tag := func(name, value string) {
		if value != "" {
			escaped := strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;").Replace(value)
			before, after := "<"+name+">", "</"+name+">\n"
			switch name {
			case "dc:title", "dc:description":
				before, after = before+`<rdf:Alt><rdf:li xml:lang="x-default">`, "</rdf:li></rdf:Alt>"+after
			case "dc:language":
				before, after = before+"<rdf:Bag><rdf:li>", "</rdf:li></rdf:Bag>"+after
			}
			b.WriteString(before + escaped + after)
		}
	}
	tag("pdfaid:part", "2")
	tag("pdfaid:conformance", "B")
	tag("dc:format", "application/pdf")
	tag("dc:title", d.o.Title)
	tag("dc:description", d.o.Subject)
	tag("dc:language", d.o.Language)
	tag("xmp:CreatorTool", d.o.Creator)
	tag("xmp:CreateDate", d.o.Created.Format(instant))
	tag("xmp:ModifyDate", d.o.Created.Format(instant))
	tag("pdf:Producer", producer)
	b.WriteString("</rdf:Description></rdf:RDF></x:xmpmeta>\n<?xpacket end=\"r\"?>")
	return []byte(b.String())
}

// standardRGB is an ICC profile (ICC.1:2004-10, 8.3.3 and 10) of the colours of a screen, IEC
// 61966-2-1: its curve by its formula, its primaries and its white for the light of the
// profiles' own space, D50, by the transform of Bradford, as the norm's values give them.
func standardRGB() []byte {
	s15 := func(b []byte, values ...float64) []byte {
		for _, v := range values {
			b = long(b, int(math.Round(v*65536)))
		}
		return b
	}
	words := func(s string) []byte {
		b := long(long(long(long([]byte("mluc\x00\x00\x00\x00"), 1), 12), 'e'<<24|'n'<<16|'U'<<8|'S'), 2*len(s))
		b = long(b, 28)
		for _, c := range []byte(s) {
			b = append(b, 0, c)
		}
		return b
	}
	xyz := func(x, y, z float64) []byte { return s15([]byte("XYZ \x00\x00\x00\x00"), x, y, z) }
	curve := s15([]byte("para\x00\x00\x00\x00\x00\x03\x00\x00"), 2.4, 1/1.055, 0.055/1.055, 1/12.92, 0.04045)
	tags := []struct {
		name string
		data []byte
	}{
		{"desc", words("sRGB IEC61966-2.1")},
		{"cprt", words("No copyright")},
		{"wtpt", xyz(0.9642, 1, 0.8249)},
		{"chad", s15([]byte("sf32\x00\x00\x00\x00"), 1.04788, 0.02292, -0.05022, 0.02959, 0.99048, -0.01707,
			-0.00925, 0.01508, 0.75168)},
		{"rXYZ", xyz(0.43607, 0.22249, 0.01392)},
		{"gXYZ", xyz(0.38515, 0.71687, 0.09708)},
		{"bXYZ", xyz(0.14307, 0.06061, 0.71410)},
		{"rTRC", curve}, {"gTRC", curve}, {"bTRC", curve},
	}
	var table, data []byte
	table = long(table, len(tags))
	at := 128 + 4 + 12*len(tags)
	for n, t := range tags {
		if n < 8 { // the curves are one
			data = append(data, t.data...)
			for len(data)%4 != 0 {
				data = append(data, 0)
			}
		}
		table = append(table, t.name...)
		table = long(long(table, at+len(data)-(len(t.data)+3)&^3), len(t.data))
	}
	out := long(nil, at+len(data))
	out = append(out, "\x00\x00\x00\x00\x04\x20\x00\x00mntrRGB XYZ "+
		"\x07\xd4\x00\x0a\x00\x01\x00\x00\x00\x00\x00\x00acsp"...)
	out = append(out, make([]byte, 68-len(out))...)
	out = s15(out, 0.9642, 1, 0.8249)
	out = append(out, make([]byte, 128-len(out))...)
	return append(append(out, table...), data...)
}
