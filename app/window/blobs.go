package window

import (
	"io"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/refusal"
)

// piece is how much of a file is read or written at a time, in bytes.
const piece = 1 << 20

// Writer gathers what is written in the browser, which may put it on disk, and not
// in the program's memory.
type Writer struct {
	// Grown hears of the length now and then; it may be nil.
	Grown func(int64)
	// Written is the length so far.
	Written int64

	parts app.Value // an Array of Blobs
	rest  []byte
}

// Write implements io.Writer.
func (w *Writer) Write(data []byte) (int, error) {
	w.rest = append(w.rest, data...)
	w.Written += int64(len(data))
	if len(w.rest) >= piece {
		w.flush()
		if w.Grown != nil {
			w.Grown(w.Written)
		}
	}
	return len(data), nil
}

func (w *Writer) flush() {
	if w.parts == nil {
		w.parts = Array()
	}
	w.parts.Call("push", Blob("", Bytes(w.rest)))
	w.rest = w.rest[:0]
}

// Blob returns what was written.
func (w *Writer) Blob() app.Value {
	w.flush()
	return app.Window().Get("Blob").New(w.parts, map[string]any{"type": "application/octet-stream"})
}

var errUnreadFile = error(refusal.Error("the file cannot be read any more: choose it again"))

// Reader reads a file of the browser piece by piece. It must not be used inside a
// handler, which would wait for itself.
type Reader struct {
	File app.Value

	at   int
	rest []byte
}

// Read implements io.Reader.
func (r *Reader) Read(to []byte) (int, error) {
	if len(r.rest) == 0 {
		size := r.File.Get("size").Int()
		if r.at >= size {
			return 0, io.EOF
		}
		end := min(r.at+piece, size)
		got := make(chan []byte, 1)
		Await(r.File.Call("slice", r.at, end).Call("arrayBuffer"),
			func(buffer app.Value) { got <- BytesIn(buffer) },
			func(app.Value) { got <- nil })
		if r.rest = <-got; r.rest == nil {
			return 0, errUnreadFile
		}
		r.at = end
	}
	n := copy(to, r.rest)
	r.rest = r.rest[n:]
	return n, nil
}
