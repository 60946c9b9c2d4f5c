package exif

import (
	"bytes"
	"encoding/binary"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// line is an entry of a directory to be written; value is its bytes, already in
// order.
type line struct {
	tag, kind uint16
	count     uint32
	value     []byte
}

type byteOrder interface {
	binary.ByteOrder
	binary.AppendByteOrder
}

// camera writes files as cameras do, in either byte order.
type camera struct{ order byteOrder }

func (c camera) words(tag uint16, s string) line {
	return line{tag, typeASCII, uint32(len(s) + 1), append([]byte(s), 0)}
}

func (c camera) fractions(tag uint16, parts ...uint32) line {
	var b []byte
	for _, p := range parts {
		b = c.order.AppendUint32(b, p)
	}
	return line{tag, typeRational, uint32(len(parts) / 2), b}
}

func (c camera) short(tag, v uint16) line {
	return line{tag, typeShort, 1, c.order.AppendUint16(nil, v)}
}

// directory lays lines out at an offset, their longer values behind them.
func (c camera) directory(at int, lines []line) []byte {
	out := c.order.AppendUint16(nil, uint16(len(lines)))
	behind := at + 2 + 12*len(lines) + 4
	var values []byte
	for _, l := range lines {
		out = c.order.AppendUint16(out, l.tag)
		out = c.order.AppendUint16(out, l.kind)
		out = c.order.AppendUint32(out, l.count)
		if len(l.value) <= 4 {
			out = append(out, append(append([]byte(nil), l.value...), make([]byte, 4-len(l.value))...)...)
			continue
		}
		out = c.order.AppendUint32(out, uint32(behind+len(values)))
		values = append(values, l.value...)
	}
	return append(append(out, 0, 0, 0, 0), values...)
}

// tiff is the structure: main directory, Exif directory, GPS directory; nil
// leaves one out.
func (c camera) tiff(main, picture, gps []line) []byte {
	head := []byte("II*\x00")
	if c.order.Uint16([]byte{0, 1}) == 1 {
		head = []byte("MM\x00*")
	}
	head = c.order.AppendUint32(head, 8)
	if picture != nil {
		main = append(main, line{tagExif, typeLong, 1, make([]byte, 4)})
	}
	if gps != nil {
		main = append(main, line{tagGPS, typeLong, 1, make([]byte, 4)})
	}
	size := 8 + len(c.directory(8, main))
	var tail []byte
	for i := range main {
		switch main[i].tag {
		case tagExif:
			main[i].value = c.order.AppendUint32(nil, uint32(size+len(tail)))
			tail = append(tail, c.directory(size+len(tail), picture)...)
		case tagGPS:
			main[i].value = c.order.AppendUint32(nil, uint32(size+len(tail)))
			tail = append(tail, c.directory(size+len(tail), gps)...)
		}
	}
	return append(append(head, c.directory(8, main)...), tail...)
}

func jpegOf(tiff []byte) []byte {
	segment := func(marker byte, body []byte) []byte {
		return append([]byte{0xff, marker, byte((len(body) + 2) >> 8), byte(len(body) + 2)}, body...)
	}
	out := append([]byte{0xff, 0xd8}, segment(0xe0, []byte("JFIF\x00\x01\x02"))...)
	out = append(out, segment(0xe1, []byte("http://example.org/other/\x00<x/>"))...)
	out = append(out, 0xff) // a fill byte
	out = append(out, segment(0xe1, append(bytes.Clone(signature), tiff...))...)
	return append(out, 0xff, 0xda, 0, 2, 1, 2, 3, 0xff, 0xd9)
}

var cameras = map[string]camera{"little end first": {binary.LittleEndian}, "big end first": {binary.BigEndian}}

func (c camera) gps(latitudeRef, longitudeRef string) []line {
	return []line{
		c.words(tagLatitudeRef, latitudeRef), c.fractions(tagLatitude, 51, 1, 30, 1, 2663, 100),
		c.words(tagLongitudeRef, longitudeRef), c.fractions(tagLongitude, 7, 1, 27747, 1000, 0, 1),
	}
}

const (
	north = 51 + 30.0/60 + 26.63/3600
	east  = 7 + 27.747/60
)

func TestReadJPEG(t *testing.T) {
	for name, c := range cameras {
		taken := []line{c.words(tagDateTimeOriginal, "2026:05:01 10:20:30")}
		zoned := append(taken, c.words(tagOffsetTimeOriginal, "+02:00"))
		for _, test := range []struct {
			name               string
			main, picture, gps []line
			want               Found
		}{
			{"all", nil, zoned, c.gps("N", "E"), Found{north, east, true, "2026-05-01T10:20:30+02:00", 0}},
			{"south and west", nil, taken, c.gps("S", "W"), Found{-north, -east, true, "2026-05-01T10:20:30", 0}},
			{"no place", nil, taken, nil, Found{Time: "2026-05-01T10:20:30"}},
			{"no time", nil, nil, c.gps("N", "W"), Found{north, -east, true, "", 0}},
			{"time of the file only", []line{c.words(tagDateTime, "2026:05:02 00:00:00")}, nil, nil,
				Found{Time: "2026-05-02T00:00:00"}},
			{"time of the picture first", []line{c.words(tagDateTime, "2026:05:02 00:00:00")}, taken, nil,
				Found{Time: "2026-05-01T10:20:30"}},
			{"nothing", []line{c.words(0x010f, "A maker")}, []line{}, []line{}, Found{}},
			{"no side", nil, nil, c.gps("N", "E")[:3], Found{}},
			{"a side of its own", nil, nil, c.gps("N", "Q"), Found{}},
			{"over naught", nil, nil, append(c.gps("N", "E")[:3], c.fractions(tagLongitude, 7, 0, 0, 1, 0, 1)), Found{}},
			{"seconds naught over naught", nil, nil, append(c.gps("N", "E")[:3], c.fractions(tagLongitude, 7, 1, 30, 1, 0, 0)),
				Found{north, 7.5, true, "", 0}},
			{"beyond the pole", nil, nil,
				[]line{c.words(tagLatitudeRef, "N"), c.fractions(tagLatitude, 90, 1, 0, 1, 1, 1), c.words(tagLongitudeRef, "E"),
					c.fractions(tagLongitude, 7, 1, 0, 1, 0, 1)}, Found{}},
			{"61 minutes", nil, nil, append(c.gps("N", "E")[:3], c.fractions(tagLongitude, 7, 1, 61, 1, 0, 1)), Found{}},
			{"no fix", nil, nil, []line{c.words(tagLatitudeRef, "N"), c.fractions(tagLatitude, 0, 1, 0, 1, 0, 1),
				c.words(tagLongitudeRef, "E"), c.fractions(tagLongitude, 0, 1, 0, 1, 0, 1)}, Found{}},
			{"no number of fractions", nil, nil, append(c.gps("N", "E")[:3], c.fractions(tagLongitude, 7, 1, 30, 1)), Found{}},
			{"a clock never set", nil, []line{c.words(tagDateTimeOriginal, "0000:00:00 00:00:00")}, nil, Found{}},
			{"blanks for a time", nil, []line{c.words(tagDateTimeOriginal, "    :  :     :  :  ")}, nil, Found{}},
			{"30 February", nil, []line{c.words(tagDateTimeOriginal, "2024:02:30 10:00:00")}, nil, Found{}},
			{"29 February", nil, []line{c.words(tagDateTimeOriginal, "2024:02:29 10:00:00")}, nil,
				Found{Time: "2024-02-29T10:00:00"}},
			{"the lens alone", nil, []line{c.short(tagFocalOnFilm, 26)}, nil, Found{Focal: 26}},
			{"place, time and lens", nil, append(taken[:1:1], c.short(tagFocalOnFilm, 52)), c.gps("N", "E"),
				Found{north, east, true, "2026-05-01T10:20:30", 52}},
			{"a lens that is not known", nil, []line{c.short(tagFocalOnFilm, 0)}, nil, Found{}},
			{"a lens longer than the picture", nil, []line{c.short(tagFocalOnFilm, 65535)}, nil, Found{}},
			{"a lens in words", nil, []line{c.words(tagFocalOnFilm, "26")}, nil, Found{}},
			{"an offset of a day", nil, append(taken[:1:1], c.words(tagOffsetTimeOriginal, "+24:00")), nil,
				Found{Time: "2026-05-01T10:20:30"}},
		} {
			t.Run(name+"/"+test.name, func(t *testing.T) {
				got, ok := Read(jpegOf(c.tiff(test.main, test.picture, test.gps)))
				assert.Equal(t, test.want != Found{}, ok)
				assert.Equal(t, test.want.Focal, got.Focal)
				assert.Equal(t, test.want.Time, got.Time)
				assert.Equal(t, test.want.Positioned, got.Positioned)
				assert.InDelta(t, test.want.Latitude, got.Latitude, 1e-7)
				assert.InDelta(t, test.want.Longitude, got.Longitude, 1e-7)
			})
		}
	}
}

func TestReadOtherFiles(t *testing.T) {
	c := cameras["big end first"]
	structure := c.tiff(nil, nil, c.gps("N", "E"))
	if len(structure)%2 == 1 {
		structure = append(structure, 0)
	}
	png := []byte("\x89PNG\r\n\x1a\n")
	for _, chunk := range []struct {
		name string
		data []byte
	}{{"IHDR", make([]byte, 13)}, {"eXIf", structure}, {"IEND", nil}} {
		png = binary.BigEndian.AppendUint32(png, uint32(len(chunk.data)))
		png = append(append(append(png, chunk.name...), chunk.data...), 0, 0, 0, 0)
	}
	webp := []byte("RIFF\x00\x00\x00\x00WEBP")
	for _, chunk := range []struct {
		name string
		data []byte
	}{{"VP8X", make([]byte, 10)}, {"ALPH", []byte{1, 2, 3}}, {"EXIF", structure}} {
		webp = binary.LittleEndian.AppendUint32(append(webp, chunk.name...), uint32(len(chunk.data)))
		webp = append(webp, chunk.data...)
		if len(chunk.data)%2 == 1 {
			webp = append(webp, 0)
		}
	}
	heif := append([]byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic\x00\x00\x00\x06"), signature...)
	heif = append(heif, structure...)
	for name, file := range map[string][]byte{"png": png, "webp": webp, "heif": heif} {
		got, ok := Read(file)
		assert.True(t, ok, name)
		assert.InDelta(t, north, got.Latitude, 1e-7, name)
		assert.InDelta(t, east, got.Longitude, 1e-7, name)
	}
}

// Cut off after any byte: never a panic, never anything but the truth or less.
func TestReadTruncated(t *testing.T) {
	for name, c := range cameras {
		whole := jpegOf(c.tiff(nil, []line{c.words(tagDateTimeOriginal, "2026:05:01 10:20:30")}, c.gps("N", "E")))
		full, ok := Read(whole)
		require.True(t, ok && full.Positioned && full.Time != "")
		parts := map[Found]int{}
		for n := range whole {
			got, _ := Read(whole[:n])
			if got.Positioned {
				require.Equal(t, full.Latitude, got.Latitude, "%s, %d bytes", name, n)
				require.Equal(t, full.Longitude, got.Longitude, "%s, %d bytes", name, n)
			}
			if got.Time != "" {
				require.Equal(t, full.Time, got.Time, "%s, %d bytes", name, n)
			}
			parts[got]++
		}
		assert.Len(t, parts, 3, "nothing, the time alone, all: %v", parts)
	}
}

// Offsets that point outside, at themselves and around again.
func TestReadOffsets(t *testing.T) {
	for name, c := range cameras {
		whole := c.tiff(nil, []line{c.words(tagDateTimeOriginal, "2026:05:01 10:20:30")}, c.gps("N", "E"))
		for at := 4; at+4 <= len(whole); at++ {
			for _, v := range []uint32{0, 1, 8, uint32(len(whole) - 1), uint32(len(whole)), math.MaxInt32, math.MaxUint32} {
				bent := bytes.Clone(whole)
				c.order.PutUint32(bent[at:], v)
				plausible(t, jpegOf(bent), name)
			}
		}
	}
}

// plausible fails for a place or a time that cannot be.
func plausible(t *testing.T, file []byte, name string) {
	t.Helper()
	got, ok := Read(file)
	if ok != (got.Positioned || got.Time != "" || got.Focal != 0) {
		t.Fatalf("%s: %v with %+v", name, ok, got)
	}
	if !(math.Abs(got.Latitude) <= 90 && math.Abs(got.Longitude) <= 180) || !got.Positioned &&
		(got.Latitude != 0 || got.Longitude != 0) {
		t.Fatalf("%s: %+v", name, got)
	}
	if got.Time != "" {
		_, zoned := time.Parse(time.RFC3339, got.Time)
		_, plain := time.Parse("2006-01-02T15:04:05", got.Time)
		if zoned != nil && plain != nil {
			t.Fatalf("%s: %q is no time", name, got.Time)
		}
	}
}

func FuzzRead(f *testing.F) {
	for _, c := range cameras {
		structure := c.tiff([]line{c.words(tagDateTime, "2026:05:02 00:00:00")},
			[]line{c.words(tagDateTimeOriginal, "2026:05:01 10:20:30"), c.words(tagOffsetTimeOriginal, "-03:30")},
			c.gps("S", "E"))
		f.Add(jpegOf(structure))
		f.Add(append([]byte("\x89PNG\r\n\x1a\n\x00\x00\x01\x00eXIf"), structure...))
		f.Add(append([]byte("RIFF\x00\x00\x00\x00WEBPEXIF\x00\x01\x00\x00"), structure...))
		f.Add(append([]byte("\x00\x00\x00\x18ftypheicExif\x00\x00"), structure...))
	}
	f.Fuzz(func(t *testing.T, file []byte) { plausible(t, file, "fuzz") })
}
