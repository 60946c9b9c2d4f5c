//go:build js && wasm

package passing

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/window"
)

// format is the zlib format (RFC 1950), as the browser calls it: it packs and unpacks by
// itself, which is a fortieth of the program less.
const format = "deflate"

// packed packs bytes. It must not be called inside a handler, which would wait for itself.
func packed(file []byte) ([]byte, error) { return streamed("CompressionStream", file, errCannotPack) }

// unpacked is what was packed; it must not be called inside a handler either.
func unpacked(content []byte) ([]byte, error) {
	return streamed("DecompressionStream", content, errNotPacked)
}

// streamed sends bytes through one of the browser's streams; fault says that they cannot be.
func streamed(by string, bytes []byte, fault error) ([]byte, error) {
	kind := app.Window().Get(by)
	if !kind.Truthy() {
		return nil, errCannotPack
	}
	reader := window.Blob("", window.Bytes(bytes)).Call("stream").Call("pipeThrough", kind.New(format)).Call("getReader")
	var out []byte
	for {
		piece := make(chan app.Value, 1)
		window.Await(reader.Call("read"), func(got app.Value) { piece <- got }, func(app.Value) { piece <- nil })
		got := <-piece
		if got == nil {
			return nil, fault
		}
		if got.Get("done").Bool() {
			return out, nil
		}
		value := got.Get("value")
		at := len(out)
		if at+value.Length() > mostUnpacked {
			window.Await(reader.Call("cancel"), func(app.Value) {}, func(app.Value) {})
			return nil, errUnpackedTo
		}
		out = append(out, make([]byte, value.Length())...)
		app.CopyBytesToGo(out[at:], value)
	}
}
