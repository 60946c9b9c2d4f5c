package pdf

import (
	"bytes"
	"slices"
	"strconv"
	"strings"

	"pegpour/engine/draw"
)

// shadowState lets through what lies below, and is black.
const shadowState = "S"

// fillIn puts the texts with the number of pages in their places, the last of a page first.
func (d *Document) fillIn() {
	slices.Reverse(d.later)
	later := d.later
	d.later = nil
	for _, t := range later {
		p := d.sheets[t.page]
		d.buf, d.high = nil, p.high
		d.put(t.x, t.w, t.y, strings.ReplaceAll(t.s, pagesAlias, strconv.Itoa(len(d.sheets))), t.size, t.style, t.atEnd)
		p.content = slices.Insert(p.content, t.at, d.buf...)
	}
}

// write puts the file together.
func (d *Document) write() []byte {
	f := newFile(d.o.Plain)
	catalogue, tree, info := f.reserve(), f.reserve(), f.reserve()
	resources, metadata, profile := f.reserve(), f.reserve(), f.reserve()
	pages := make([]int, len(d.sheets))
	var kids []byte
	for n := range d.sheets {
		pages[n] = f.reserve()
		kids = append(ref(kids, pages[n]), ' ')
	}
	for n, p := range d.sheets {
		content := f.reserve()
		b := ref([]byte("<</Type /Page /Parent "), tree)
		b = append(b, " /MediaBox [0 0 "...)
		for _, mm := range [...]float64{p.wide, p.high} {
			b = append(strconv.AppendFloat(b, mm*ptPerMM, 'f', 2, 64), ' ')
		}
		b = ref(append(b, "] /Resources "...), resources)
		b = ref(append(b, " /Contents "...), content)
		b = strconv.AppendInt(append(b, " /StructParents "...), int64(n), 10)
		if p.shadow {
			b = append(b, " /Group <</S /Transparency /CS /DeviceRGB>>"...)
		}
		f.object(pages[n], append(b, " /Tabs /S>>"...))
		f.stream(content, "", p.content, !d.o.Plain)
	}
	b := append([]byte("<</Type /Pages /Kids ["), kids...)
	f.object(tree, append(strconv.AppendInt(append(b, "] /Count "...), int64(len(pages)), 10), ">>"...))

	b = []byte("<</Font <<")
	for _, face := range [...]*face{d.regular, d.bold} {
		if len(face.used) > 0 {
			b = append(append(append(b, '/'), face.name...), ' ')
			b = append(ref(b, face.write(f)), ' ')
		}
	}
	b = append(b, ">>"...)
	if slices.ContainsFunc(d.sheets, func(p *sheetOfPaper) bool { return p.shadow }) {
		b = append(b, " /ExtGState <</"+shadowState+" <</ca "...)
		b = append(strconv.AppendFloat(b, draw.ShadowDark, 'f', -1, 64), ">>>>"...)
	}
	f.object(resources, append(b, ">>"...))

	structure := d.writeTree(f, pages)
	f.stream(metadata, "/Type /Metadata /Subtype /XML", d.metadata(), false)
	f.stream(profile, "/N 3", standardRGB(), true)
	f.object(info, d.properties())

	b = ref([]byte("<</Type /Catalog /Pages "), tree)
	b = ref(append(b, " /Metadata "...), metadata)
	b = ref(append(b, " /StructTreeRoot "...), structure)
	b = append(b, " /MarkInfo <</Marked true>> /ViewerPreferences <</DisplayDocTitle true"...)
	if d.fromRight {
		b = append(b, " /Direction /R2L"...)
	}
	b = append(b, ">>"...)
	if d.o.Language != "" {
		b = append(append(b, " /Lang "...), textString(d.o.Language)...)
	}
	const space = "(sRGB IEC61966-2.1)"
	b = append(b, " /OutputIntents [<</Type /OutputIntent /S /GTS_PDFA1 /OutputConditionIdentifier "+space+" /Info "+space+
		" /DestOutputProfile "...)
	f.object(catalogue, append(ref(b, profile), ">>]>>"...))
	return f.end(catalogue, info)
}

// write writes what is used of a face and returns the number of the font.
func (f *face) write(out *file) int {
	font, descendant, descriptor := out.reserve(), out.reserve(), out.reserve()
	program, words := out.reserve(), out.reserve()
	var used []uint16
	for g := range f.used {
		used = append(used, g)
	}
	slices.Sort(used)
	// The name of a part of a font begins with six letters; by which glyphs it has.
	sum := 0
	for _, g := range used {
		sum = (sum*31 + int(g)) % (26 * 26 * 26 * 26 * 26 * 26)
	}
	var name []byte
	for range 6 {
		name = append(name, byte('A'+sum%26))
		sum /= 26
	}
	name = append(append(name, "+Pegpour-"...), map[string]string{"R": "Regular", "B": "Bold"}[f.name]...)

	b := append([]byte("<</Type /Font /Subtype /Type0 /BaseFont /"), name...)
	b = ref(append(b, " /Encoding /Identity-H /DescendantFonts ["...), descendant)
	b = ref(append(b, "] /ToUnicode "...), words)
	out.object(font, append(b, ">>"...))

	b = append([]byte("<</Type /Font /Subtype /CIDFontType2 /BaseFont /"), name...)
	b = append(b, " /CIDSystemInfo <</Registry (Adobe) /Ordering (Identity) /Supplement 0>>"+
		" /CIDToGIDMap /Identity /FontDescriptor "...)
	b = append(ref(b, descriptor), " /DW 0 /W ["...)
	for n, g := range used {
		if n == 0 || used[n-1]+1 != g {
			if n > 0 {
				b = append(b, ']')
			}
			b = append(strconv.AppendInt(b, int64(g), 10), '[')
		}
		b = append(strconv.AppendInt(b, int64(f.width(g)), 10), ' ')
	}
	out.object(descendant, append(b, "]]>>"...))

	b = append([]byte("<</Type /FontDescriptor /FontName /"), name...)
	b = append(b, " /Flags 4 /FontBBox ["...)
	for n := range 4 {
		b = append(strconv.AppendInt(b, int64(f.signed(f.head+36+2*n)*1000/f.unit), 10), ' ')
	}
	hhea := f.table("hhea")
	b = append(b, "] /ItalicAngle 0 /StemV 80 /CapHeight 688 /Ascent "...)
	b = strconv.AppendInt(b, int64(f.signed(hhea+4)*1000/f.unit), 10)
	b = strconv.AppendInt(append(b, " /Descent "...), int64(f.signed(hhea+6)*1000/f.unit), 10)
	out.object(descriptor, append(ref(append(b, " /FontFile2 "...), program), ">>"...))

	subset := f.subset()
	out.stream(program, "/Length1 "+strconv.Itoa(len(subset)), subset, true)
	out.stream(words, "", f.toUnicode(used), !out.plain)
	return font
}

// toUnicode says which letters the glyphs stand for (ISO 32000-1, 9.10.3).
func (f *face) toUnicode(used []uint16) []byte {
	var b bytes.Buffer
	b.WriteString("/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n" +
		"/CIDSystemInfo <</Registry (Adobe) /Ordering (UCS) /Supplement 0>> def\n/CMapName /Adobe-Identity-UCS def\n" +
		"/CMapType 2 def\n1 begincodespacerange\n<0000> <ffff>\nendcodespacerange\n")
	for len(used) > 0 {
		some := used[:min(100, len(used))]
		used = used[len(some):]
		b.WriteString(strconv.Itoa(len(some)) + " beginbfchar\n")
		for _, g := range some {
			row := append(hex([]byte{'<'}, int(g)), "> <"...)
			b.Write(append(utf16Hex(row, f.used[g]), ">\n"...))
		}
		b.WriteString("endbfchar\n")
	}
	b.WriteString("endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n")
	return b.Bytes()
}
