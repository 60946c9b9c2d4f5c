package pdf

import (
	_ "embed"
	"slices"
)

// The face that papers are set in is our own, cut from two free ones (letters/cut.py): as wide as
// the standard face of printers, and like it. A document holds the letters that it uses.

//go:embed letters/regular.ttf
var regularFace string

//go:embed letters/bold.ttf
var boldFace string

// face is a weight of the lettering, read by the tables of its file (OpenType specification).
type face struct {
	name                         string // in documents
	file                         string
	glyf, loca, hmtx, cmap, head int // where the tables begin
	measured                     int // how many glyphs have a width of their own
	near                         [0x250]uint16
	far                          map[rune]uint16
	unit                         int
	used                         map[uint16]string // the glyphs that a document shows, and what they stand for
}

func newFace(name, file string) *face {
	f := &face{name: name, file: file, far: map[rune]uint16{}, used: map[uint16]string{}}
	f.glyf, f.loca, f.head = f.table("glyf"), f.table("loca"), f.table("head")
	f.hmtx, f.cmap = f.table("hmtx"), f.table("cmap")
	f.cmap += f.long(f.cmap + 8) // its only part
	f.measured = f.short(f.table("hhea") + 34)
	f.unit = f.short(f.head + 18)
	for r := range f.near {
		f.near[r] = f.find(rune(r))
	}
	return f
}

func (f *face) short(n int) int { return int(f.file[n])<<8 | int(f.file[n+1]) }

func (f *face) signed(n int) int { return int(int16(f.short(n))) }

func (f *face) long(n int) int { return f.short(n)<<16 | f.short(n+2) }

// table is where a table of the file begins; they all are there.
func (f *face) table(name string) int {
	for n := range f.short(4) {
		if entry := 12 + 16*n; f.file[entry:entry+4] == name {
			return f.long(entry + 8)
		}
	}
	return 0
}

// glyph is the number of the glyph for a letter or for a form of one, 0 where there is none.
func (f *face) glyph(r rune) uint16 {
	if r < rune(len(f.near)) {
		if r < 0 {
			return 0
		}
		return f.near[r]
	}
	g, known := f.far[r]
	if !known {
		g = f.find(r)
		f.far[r] = g
	}
	return g
}

// find looks a letter up in the table of letters, format 4, the only one that cut.py leaves.
func (f *face) find(r rune) uint16 {
	switch {
	case r >= firstForm:
		r += inFile - firstForm
	case r >= 0xe000:
		return 0 // the private area of the file is for forms
	}
	if r > 0xffff {
		return 0
	}
	at, twice := f.cmap+14, f.short(f.cmap+6)
	for k := 0; k < twice; k += 2 {
		if int(r) > f.short(at+k) {
			continue
		}
		first := f.short(at + twice + 2 + k)
		if int(r) < first {
			return 0
		}
		shift, ranges := f.short(at+2*twice+2+k), at+3*twice+2+k
		if f.short(ranges) == 0 {
			return uint16(int(r) + shift)
		}
		if g := f.short(ranges + f.short(ranges) + 2*(int(r)-first)); g != 0 {
			return uint16(g + shift)
		}
		return 0
	}
	return 0
}

// width of a glyph in thousandths of the size.
func (f *face) width(g uint16) int {
	return (f.short(f.hmtx+4*min(int(g), f.measured-1))*2000 + f.unit) / (2 * f.unit)
}

// outline is the part of the file that draws a glyph: empty for a blank.
func (f *face) outline(g uint16) string {
	begin, end := 2*f.short(f.loca+2*int(g)), 2*f.short(f.loca+2*int(g)+2)
	if f.short(f.head+50) != 0 {
		begin, end = f.long(f.loca+4*int(g)), f.long(f.loca+4*int(g)+4)
	}
	return f.file[f.glyf+begin : f.glyf+end]
}

// parts are the glyphs that a glyph is put together from (OpenType specification, glyf).
func parts(outline string) (all []uint16) {
	const wordArguments, scaled, more, twoScales, matrix = 0x1, 0x8, 0x20, 0x40, 0x80
	if outline == "" || outline[0] < 0x80 {
		return nil
	}
	for n, flags := 10, more; flags&more != 0; {
		flags = int(outline[n])<<8 | int(outline[n+1])
		all = append(all, uint16(outline[n+2])<<8|uint16(outline[n+3]))
		n += 6
		for _, longer := range [...]struct{ flag, by int }{{wordArguments, 2}, {scaled, 2}, {twoScales, 4}, {matrix, 8}} {
			if flags&longer.flag != 0 {
				n += longer.by
			}
		}
	}
	return all
}

// subset is the face with nothing in it but the glyphs that are used, under their own numbers,
// and only the tables that a PDF wants (ISO 32000-1, 9.9).
func (f *face) subset() []byte {
	kept := []uint16{0}
	for g := range f.used {
		kept = append(kept, g)
	}
	slices.Sort(kept)
	for n := 0; n < len(kept); n++ {
		for _, part := range parts(f.outline(kept[n])) {
			if !slices.Contains(kept, part) {
				kept = append(kept, part)
			}
		}
	}
	slices.Sort(kept)
	count := int(kept[len(kept)-1]) + 1
	var glyf, loca, hmtx []byte
	for g := range count {
		loca = long(loca, len(glyf))
		at := f.hmtx + 4*min(g, f.measured-1)
		if !slices.Contains(kept, uint16(g)) {
			hmtx = append(hmtx, 0, 0, 0, 0)
			continue
		}
		hmtx = append(hmtx, f.file[at:at+4]...)
		glyf = append(glyf, f.outline(uint16(g))...)
		for len(glyf)%4 != 0 {
			glyf = append(glyf, 0)
		}
	}
	loca = long(loca, len(glyf))
	part := func(name string, size int) []byte { return []byte(f.file[f.table(name):][:size]) }
	head, hhea, maxp := part("head", 54), part("hhea", 36), part("maxp", 32)
	copy(head[8:], "\x00\x00\x00\x00")
	head[51] = 1 // long offsets
	hhea[34], hhea[35] = byte(count>>8), byte(count)
	maxp[4], maxp[5] = byte(count>>8), byte(count)
	out := fontFile([]string{"glyf", "head", "hhea", "hmtx", "loca", "maxp"}, [][]byte{glyf, head, hhea, hmtx, loca, maxp})
	return out
}

// fontFile puts tables together to a file, with its sums.
func fontFile(names []string, tables [][]byte) []byte {
	const searched, entries, rest = 64, 2, 32 // of six tables: OpenType specification, table directory
	out := []byte{0, 1, 0, 0, 0, byte(len(names)), 0, searched, 0, entries, 0, rest}
	at, head := 12+16*len(names), 0
	for n, t := range tables {
		if names[n] == "head" {
			head = at
		}
		out = long(append(out, names[n]...), sumOf(t))
		out = long(long(out, at), len(t))
		at += (len(t) + 3) &^ 3
	}
	for _, t := range tables {
		out = append(out, t...)
		for len(out)%4 != 0 {
			out = append(out, 0)
		}
	}
	copy(out[head+8:], long(nil, 0xb1b0afba-sumOf(out)))
	return out
}

func long(b []byte, v int) []byte { return append(b, byte(v>>24), byte(v>>16), byte(v>>8), byte(v)) }

// sumOf is the sum of the long words of a table.
func sumOf(t []byte) int {
	var sum uint32
	for n, b := range t {
		sum += uint32(b) << (24 - 8*(n%4))
	}
	return int(sum)
}
