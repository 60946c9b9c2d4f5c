package pdftest

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"strconv"
	"unicode/utf16"
)

// File is a file that was read.
type File struct {
	Bytes   []byte
	Trailer Dict
	Objects map[int]any
	// Starts are where the objects begin that are not packed.
	Starts map[int]int
}

// Read reads a file by its table of objects, and every object of it.
func Read(b []byte) (*File, error) {
	f := &File{Bytes: b, Objects: map[int]any{}, Starts: map[int]int{}}
	tail := bytes.LastIndex(b, []byte("startxref"))
	if tail < 0 {
		return nil, fmt.Errorf("the file has no end")
	}
	start, err := strconv.Atoi(string(bytes.Fields(b[tail:])[1]))
	if err != nil {
		return nil, err
	}
	v, err := f.at(start)
	if err != nil {
		return nil, err
	}
	table, ok := v.(*Stream)
	if !ok || table.Dict["Type"] != Name("XRef") {
		return nil, fmt.Errorf("at %d stands no table", start)
	}
	f.Trailer = table.Dict
	wide := table.Dict["W"].([]any)
	size := int(table.Dict["Size"].(float64))
	type place struct{ kind, a, b int }
	var places []place
	data := table.Data
	for range size {
		var field [3]int
		for k := range field {
			for range int(wide[k].(float64)) {
				field[k], data = field[k]<<8|int(data[0]), data[1:]
			}
		}
		places = append(places, place{field[0], field[1], field[2]})
	}
	if len(data) > 0 {
		return nil, fmt.Errorf("the table has %d bytes too many", len(data))
	}
	for n, p := range places {
		if p.kind == 1 {
			if want := strconv.Itoa(n) + " 0 obj\n"; !bytes.HasPrefix(b[p.a:], []byte(want)) {
				return nil, fmt.Errorf("object %d is not where the table says: %q", n, b[p.a:p.a+10])
			}
			f.Starts[n] = p.a
			if f.Objects[n], err = f.at(p.a); err != nil {
				return nil, fmt.Errorf("object %d: %w", n, err)
			}
		}
	}
	for n, p := range places {
		if p.kind != 2 {
			continue
		}
		in, ok := f.Objects[p.a].(*Stream)
		if !ok {
			return nil, fmt.Errorf("object %d is in %d, which is no stream", n, p.a)
		}
		head := &parser{b: in.Data}
		var at, number any
		for range p.b + 1 {
			number, _, _ = head.value()
			at, _, _ = head.value()
		}
		if number != float64(n) {
			return nil, fmt.Errorf("object %d is called %v in its stream", n, number)
		}
		body := &parser{b: in.Data, at: int(in.Dict["First"].(float64) + at.(float64))}
		if f.Objects[n], _, err = body.value(); err != nil {
			return nil, fmt.Errorf("object %d: %w", n, err)
		}
	}
	return f, nil
}

// at reads the object that begins somewhere.
func (f *File) at(start int) (any, error) {
	p := &parser{b: f.Bytes, at: start}
	for range 3 { // its number, its generation and obj
		p.skip()
		p.token()
	}
	v, _, err := p.value()
	if err != nil {
		return nil, err
	}
	d, ok := v.(Dict)
	p.skip()
	if !ok || !p.has("stream\n") {
		if !p.has("endobj") {
			return nil, fmt.Errorf("the object has no end")
		}
		return v, nil
	}
	p.at += len("stream\n")
	length, ok := d["Length"].(float64)
	if !ok || !bytes.HasPrefix(f.Bytes[p.at+int(length):], []byte("\nendstream\nendobj\n")) {
		return nil, fmt.Errorf("the stream is not as long as it says")
	}
	data := f.Bytes[p.at : p.at+int(length)]
	switch d["Filter"] {
	case nil:
	case Name("FlateDecode"):
		r, err := zlib.NewReader(bytes.NewReader(data))
		if err != nil {
			return nil, err
		}
		if data, err = io.ReadAll(r); err != nil {
			return nil, err
		}
	default:
		return nil, fmt.Errorf("the filter %v is not known", d["Filter"])
	}
	return &Stream{Dict: d, Data: data}, nil
}

// Get follows references.
func (f *File) Get(v any) any {
	if r, ok := v.(Ref); ok {
		return f.Objects[int(r)]
	}
	return v
}

// Dict is the dictionary that a value is, or that of a stream; nil for any other.
func (f *File) Dict(v any) Dict {
	switch v := f.Get(v).(type) {
	case Dict:
		return v
	case *Stream:
		return v.Dict
	}
	return nil
}

// List is the array that a value is; a value alone is one of one, none is none.
func (f *File) List(v any) []any {
	switch of := f.Get(v).(type) {
	case nil:
		return nil
	case []any:
		return of
	}
	return []any{v}
}

// Text is a string for people, from its bytes.
func Text(v any) string {
	s, _ := v.(String)
	if len(s) < 2 || s[:2] != "\xfe\xff" {
		return string(s)
	}
	var units []uint16
	for k := 2; k+1 < len(s); k += 2 {
		units = append(units, uint16(s[k])<<8|uint16(s[k+1]))
	}
	return string(utf16.Decode(units))
}

// Catalogue of the file.
func (f *File) Catalogue() Dict { return f.Dict(f.Trailer["Root"]) }

// Pages of the file: their references, in order.
func (f *File) Pages() []any { return f.List(f.Dict(f.Catalogue()["Pages"])["Kids"]) }
