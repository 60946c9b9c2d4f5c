package pdf

import (
	"bytes"
	"compress/zlib"
	"hash/fnv"
	"strconv"
)

// file gathers the objects of a PDF (ISO 32000-1, 7.5): streams as they come, all else packed
// together into streams of objects, and where each is.
type file struct {
	out    bytes.Buffer
	plain  bool
	places []place // of the objects, from number 1
	packed []packed
}

// place is where an object stands: from the begin of the file, or in which packed stream.
type place struct{ offset, in, index int }

type packed struct {
	number int
	body   []byte
}

// A file is one with letters beyond ASCII, which its second line says.
func newFile(plain bool) *file {
	f := &file{plain: plain}
	f.out.WriteString("%PDF-1.7\n%\xe2\xe3\xcf\xd3\n")
	return f
}

// reserve is the number of an object to come.
func (f *file) reserve() int {
	f.places = append(f.places, place{})
	return len(f.places)
}

// object writes an object that is no stream.
func (f *file) object(number int, body []byte) {
	f.packed = append(f.packed, packed{number, body})
}

// stream writes a stream; dictionary are its entries but for length and filter.
func (f *file) stream(number int, dictionary string, data []byte, compressed bool) {
	f.places[number-1] = place{offset: f.out.Len()}
	b := strconv.AppendInt(nil, int64(number), 10)
	b = append(append(b, " 0 obj\n<<"...), dictionary...)
	if compressed {
		var z bytes.Buffer
		w, _ := zlib.NewWriterLevel(&z, zlib.BestCompression)
		_, _ = w.Write(data) // to memory: cannot fail
		_ = w.Close()
		data, b = z.Bytes(), append(b, " /Filter /FlateDecode"...)
	}
	b = strconv.AppendInt(append(b, " /Length "...), int64(len(data)), 10)
	b = append(b, ">>\nstream\n"...)
	b = append(append(b, data...), "\nendstream\nendobj\n"...)
	f.out.Write(b)
}

// end writes the packed objects and the table of all, and returns the file. Its identity is made
// of what it holds.
func (f *file) end(catalogue, info int) []byte {
	const together = 200
	for from := 0; from < len(f.packed); from += together {
		some := f.packed[from:min(from+together, len(f.packed))]
		in := f.reserve()
		var head, body []byte
		for n, p := range some {
			f.places[p.number-1] = place{in: in, index: n}
			head = append(strconv.AppendInt(head, int64(p.number), 10), ' ')
			head = append(strconv.AppendInt(head, int64(len(body)), 10), ' ')
			body = append(append(body, p.body...), '\n')
		}
		of := "/Type /ObjStm /N " + strconv.Itoa(len(some)) + " /First " + strconv.Itoa(len(head))
		f.stream(in, of, append(head, body...), !f.plain)
	}
	table := f.reserve()
	start := f.out.Len()
	f.places[table-1] = place{offset: start}
	rows := []byte{0, 0, 0, 0, 0, 0xff, 0xff}
	for _, p := range f.places {
		kind, where := byte(1), p.offset
		if p.in != 0 {
			kind, where = 2, p.in
		}
		rows = append(long(append(rows, kind), where), byte(p.index>>8), byte(p.index))
	}
	h := fnv.New128a()
	_, _ = h.Write(f.out.Bytes())
	var identity []byte
	for _, b := range h.Sum(nil) {
		identity = append(identity, hex(nil, int(b))[2:]...)
	}
	b := []byte("/Type /XRef /W [1 4 2] /Size " + strconv.Itoa(table+1) + " /Root ")
	b = ref(append(ref(b, catalogue), " /Info "...), info)
	b = append(append(append(append(append(b, " /ID [<"...), identity...), "> <"...), identity...), ">]"...)
	f.stream(table, string(b), rows, !f.plain)
	f.out.WriteString("startxref\n" + strconv.Itoa(start) + "\n%%EOF\n")
	return f.out.Bytes()
}

func ref(b []byte, number int) []byte {
	return append(strconv.AppendInt(b, int64(number), 10), " 0 R"...)
}

// textString is a text as an object has it: in ASCII, or in UTF-16.
func textString(s string) []byte {
	plain := true
	for _, r := range s {
		plain = plain && r >= ' ' && r < 0x7f
	}
	if !plain {
		return append(utf16Hex([]byte("<feff"), s), '>')
	}
	b := []byte{'('}
	for _, c := range []byte(s) {
		if c == '(' || c == ')' || c == '\\' {
			b = append(b, '\\')
		}
		b = append(b, c)
	}
	return append(b, ')')
}
