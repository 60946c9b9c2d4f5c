// Package exif reads from a picture's file where and when it was taken, and by how
// long a lens. It knows nothing else that a camera writes, changes nothing, and never panics on data.
//
// Source: Exif 2.32 (CIPA DC-008), TIFF 6.0, the PNG extension eXIf, RFC 9649
// for WebP (all from memory). Checked: files made in the tests byte by byte.
package exif

import (
	"bytes"
	"encoding/binary"
	"math"
)

// Found is what a file says.
type Found struct {
	// Latitude and Longitude are degrees, north and east positive, on the
	// ellipsoid the camera's receiver uses. They hold if Positioned.
	Latitude, Longitude float64
	Positioned          bool
	// Time is the camera's own clock as it was set: "2026-05-01T10:20:30", with
	// "+02:00" after it where the file says how far off UTC it is set. Empty if
	// unknown.
	Time string
	// Focal is the focal length that sees as much on film 36 mm wide, mm; 0 if
	// unknown.
	Focal float64
}

// Read finds place, time and lens in the bytes of a JPEG, PNG, WebP or HEIF file. The
// beginning of a file is enough if it holds them. What is missing, cut off or out
// of range is left out; false when nothing is left.
func Read(file []byte) (Found, bool) {
	var f Found
	for _, b := range blocks(file) {
		one := readTIFF(b)
		if !f.Positioned && one.Positioned {
			f.Latitude, f.Longitude, f.Positioned = one.Latitude, one.Longitude, true
		}
		if f.Time == "" {
			f.Time = one.Time
		}
		if f.Focal == 0 {
			f.Focal = one.Focal
		}
	}
	return f, f != Found{}
}

// signature stands before the TIFF structure in JPEG and HEIF.
var signature = []byte("Exif\x00\x00")

// blocks are the TIFF structures of a file, of which there should be one.
func blocks(file []byte) [][]byte {
	switch {
	case bytes.HasPrefix(file, []byte("\xff\xd8")):
		return jpegBlocks(file[2:])
	case bytes.HasPrefix(file, []byte("\x89PNG\r\n\x1a\n")):
		return chunks(file[8:], "eXIf", binary.BigEndian, 4, 4)
	case len(file) >= 12 && string(file[:4]) == "RIFF" && string(file[8:12]) == "WEBP":
		return chunks(file[12:], "EXIF", binary.LittleEndian, 0, 0)
	case len(file) >= 12 && string(file[4:8]) == "ftyp":
		// In HEIF the structure lies anywhere in the data; its signature does not
		// occur by chance.
		if at := bytes.Index(file, signature); at >= 0 {
			return [][]byte{file[at+len(signature):]}
		}
	}
	return nil
}

// jpegBlocks walks the segments before the picture itself.
func jpegBlocks(rest []byte) (out [][]byte) {
	for len(rest) >= 4 && rest[0] == 0xff {
		marker := rest[1]
		if marker == 0xff { // a fill byte
			rest = rest[1:]
			continue
		}
		if marker == 0xda || marker == 0xd9 {
			break
		}
		size := int(binary.BigEndian.Uint16(rest[2:]))
		if size < 2 {
			break
		}
		end := min(2+size, len(rest))
		if body := rest[4:max(4, end)]; marker == 0xe1 && bytes.HasPrefix(body, signature) {
			out = append(out, body[len(signature):])
		}
		rest = rest[end:]
	}
	return out
}

// chunks finds those of a name: PNG has the length before the name and a sum
// after the data, WebP the name before the length and even lengths.
func chunks(rest []byte, name string, order binary.ByteOrder, nameAt, after int) (out [][]byte) {
	for len(rest) >= 8 {
		size := int64(order.Uint32(rest[4-nameAt:]))
		this := string(rest[nameAt : nameAt+4])
		rest = rest[8:]
		if this == name {
			body := rest[:min(size, int64(len(rest)))]
			out = append(out, bytes.TrimPrefix(body, signature)) // some write it here, too
		}
		size += int64(after)
		if after == 0 {
			size += size & 1
		}
		rest = rest[min(size, int64(len(rest))):]
	}
	return out
}

// Tags of the three directories that matter, and the types of their values.
const (
	tagDateTime = 0x0132
	tagExif     = 0x8769
	tagGPS      = 0x8825

	tagDateTimeOriginal   = 0x9003
	tagOffsetTimeOriginal = 0x9011
	tagFocalOnFilm        = 0xa405

	tagLatitudeRef  = 1
	tagLatitude     = 2
	tagLongitudeRef = 3
	tagLongitude    = 4

	typeASCII    = 2
	typeShort    = 3
	typeLong     = 4
	typeRational = 5
)

// tiff is one structure; offsets count from its first byte.
type tiff struct {
	data  []byte
	order binary.ByteOrder
}

func readTIFF(data []byte) (f Found) {
	t := tiff{data: data}
	switch {
	case bytes.HasPrefix(data, []byte("II*\x00")):
		t.order = binary.LittleEndian
	case bytes.HasPrefix(data, []byte("MM\x00*")):
		t.order = binary.BigEndian
	default:
		return f
	}
	first, ok := t.long(4)
	if !ok {
		return f
	}
	main := t.directory(first)
	if at, ok := main.offset(tagExif); ok {
		picture := t.directory(at)
		f.Time = timeOf(picture.words(tagDateTimeOriginal), picture.words(tagOffsetTimeOriginal))
		if e := picture.lines[tagFocalOnFilm]; e.kind == typeShort && e.count == 1 {
			const shortest, longest = 4, 2000 // of lenses; 0 stands for unknown
			if v := t.order.Uint16(data[e.at:]); v >= shortest && v <= longest {
				f.Focal = float64(v)
			}
		}
	}
	if f.Time == "" {
		f.Time = timeOf(main.words(tagDateTime), "")
	}
	if at, ok := main.offset(tagGPS); ok {
		gps := t.directory(at)
		latitude, north := gps.angle(tagLatitude, tagLatitudeRef, "N", "S", 90)
		longitude, east := gps.angle(tagLongitude, tagLongitudeRef, "E", "W", 180)
		// Receivers without a fix write naught for both.
		if north && east && (latitude != 0 || longitude != 0) {
			f.Latitude, f.Longitude, f.Positioned = latitude, longitude, true
		}
	}
	return f
}

// bytes returns n bytes at an offset, nil where the data do not reach.
func (t *tiff) bytes(at, n int64) []byte {
	if at < 0 || n < 0 || at+n > int64(len(t.data)) {
		return nil
	}
	return t.data[at : at+n]
}

func (t *tiff) long(at int64) (int64, bool) {
	b := t.bytes(at, 4)
	if b == nil {
		return 0, false
	}
	return int64(t.order.Uint32(b)), true
}

// entry is one line of a directory.
type entry struct {
	kind  uint16
	count int64
	at    int64 // of its four bytes of value or offset
}

// directory holds the lines by tag; of a tag written twice the first counts.
type directory struct {
	tiff  *tiff
	lines map[uint16]entry
}

func (t *tiff) directory(at int64) directory {
	d := directory{t, map[uint16]entry{}}
	head := t.bytes(at, 2)
	if head == nil {
		return d
	}
	for i := range int64(t.order.Uint16(head)) {
		line := t.bytes(at+2+12*i, 12)
		if line == nil {
			break
		}
		tag := t.order.Uint16(line)
		if _, twice := d.lines[tag]; !twice {
			d.lines[tag] = entry{t.order.Uint16(line[2:]), int64(t.order.Uint32(line[4:])), at + 2 + 12*i + 8}
		}
	}
	return d
}

// offset is that of another directory.
func (d *directory) offset(tag uint16) (int64, bool) {
	e, ok := d.lines[tag]
	if !ok || e.kind != typeLong || e.count != 1 {
		return 0, false
	}
	return d.tiff.long(e.at)
}

// words is a text without the NUL after it; those of up to four bytes stand in
// the line itself.
func (d *directory) words(tag uint16) string {
	const longest = 64
	e, ok := d.lines[tag]
	if !ok || e.kind != typeASCII || e.count < 1 || e.count > longest {
		return ""
	}
	at := e.at
	if e.count > 4 {
		if at, ok = d.tiff.long(e.at); !ok {
			return ""
		}
	}
	text := d.tiff.bytes(at, e.count)
	if end := bytes.IndexByte(text, 0); end >= 0 {
		text = text[:end]
	}
	return string(text)
}

// angle is one of degrees, minutes and seconds, each a fraction, with its sign
// from another line: positive for plus, negative for minus.
func (d *directory) angle(tag, ref uint16, plus, minus string, most float64) (float64, bool) {
	e, ok := d.lines[tag]
	if !ok || e.kind != typeRational || e.count != 3 {
		return 0, false
	}
	at, ok := d.tiff.long(e.at)
	if !ok {
		return 0, false
	}
	var sum float64
	for i, part := range [3]struct{ unit, most float64 }{{1, most}, {60, 60}, {3600, 60}} {
		over, ok1 := d.tiff.long(at + 8*int64(i))
		under, ok2 := d.tiff.long(at + 8*int64(i) + 4)
		if !ok1 || !ok2 {
			return 0, false
		}
		if under == 0 {
			// Naught over naught stands for minutes or seconds that are part of
			// what comes before.
			if over != 0 || i == 0 {
				return 0, false
			}
			continue
		}
		v := float64(over) / float64(under)
		if v > part.most {
			return 0, false
		}
		sum += v / part.unit
	}
	if sum > most {
		return 0, false
	}
	// A ten-millionth of a degree is a centimetre, far below any receiver.
	sum = math.Round(sum*1e7) / 1e7
	switch d.words(ref) {
	case plus:
		return sum, true
	case minus:
		return -sum, true
	}
	return 0, false
}

// timeOf writes "2026:05:01 10:20:30" and an offset such as "+02:00" as RFC 3339
// does; empty for what is no time.
func timeOf(text, offset string) string {
	const form = "0000:00:00 00:00:00"
	if !like(text, form) {
		return ""
	}
	two := func(at int) int { return int(text[at]-'0')*10 + int(text[at+1]-'0') }
	year, month, day := two(0)*100+two(2), two(5), two(8)
	if year == 0 || month < 1 || month > 12 || day < 1 || day > daysOf(year, month) || two(11) > 23 || two(14) > 59 ||
		two(17) > 59 {
		return ""
	}
	out := text[:4] + "-" + text[5:7] + "-" + text[8:10] + "T" + text[11:]
	if (like(offset, "+00:00") || like(offset, "-00:00")) && offset[1:3] <= "14" && offset[4:] <= "59" {
		out += offset
	}
	return out
}

// like reports whether text is as a form whose noughts stand for any digit.
func like(text, form string) bool {
	if len(text) != len(form) {
		return false
	}
	for i := range form {
		if form[i] == '0' && (text[i] < '0' || text[i] > '9') || form[i] != '0' && text[i] != form[i] {
			return false
		}
	}
	return true
}

func daysOf(year, month int) int {
	switch month {
	case 2:
		if year%4 == 0 && (year%100 != 0 || year%400 == 0) {
			return 29
		}
		return 28
	case 4, 6, 9, 11:
		return 30
	}
	return 31
}
