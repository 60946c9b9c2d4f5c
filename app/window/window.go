// Package window is what the screens ask of the browser itself: promises, bytes,
// files, and where they can be found on the page.
package window

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/storage/browser/value"
)

// Await calls kept with what a promise brings, or refused with the reason for
// which it brings nothing.
func Await(promise app.Value, kept, refused func(app.Value)) {
	value.Await(promise, app.FuncOf, kept, refused)
}

// Array makes an array of the page, of texts and of its values alike.
func Array(values ...any) app.Value {
	array := app.Window().Get("Array").New()
	for _, v := range values {
		array.Call("push", v)
	}
	return array
}

// Bytes puts bytes into the page.
func Bytes(data []byte) app.Value {
	return value.Array(app.Window().Get("Uint8Array"), app.CopyBytesToJS, data)
}

// BytesIn copies the bytes out of an ArrayBuffer.
func BytesIn(buffer app.Value) []byte {
	return value.Bytes(app.Window().Get("Uint8Array").New(buffer), app.CopyBytesToGo)
}

// Blob makes a Blob of texts, arrays of bytes and other Blobs.
func Blob(media string, parts ...any) app.Value {
	return app.Window().Get("Blob").New(Array(parts...), map[string]any{"type": media})
}

// AddressOf gives a Blob an address on the page, until Forget.
func AddressOf(blob app.Value) string {
	return app.Window().Get("URL").Call("createObjectURL", blob).String()
}

// Forget gives up an address of AddressOf.
func Forget(address string) { app.Window().Get("URL").Call("revokeObjectURL", address) }

// Save lets the browser save a Blob as a file.
func Save(name string, blob app.Value) {
	address := AddressOf(blob)
	link := app.Window().Get("document").Call("createElement", "a")
	link.Set("href", address)
	link.Set("download", name)
	link.Call("click")
	Forget(address)
}

// ValueOf is what stands in an entry of the page; "" where there is none.
func ValueOf(id string) string {
	if e := app.Window().GetElementByID(id); e.Truthy() {
		return e.Get("value").String()
	}
	return ""
}

// Width is how wide the page can draw, CSS pixels.
func Width() float64 {
	if !app.IsClient {
		return 390
	}
	wide, _ := app.Window().Size()
	return min(720, float64(wide))
}

// Copy puts a text where it can be pasted from, if the browser lets it.
func Copy(text string) {
	if board := app.Window().Get("navigator").Get("clipboard"); board.Truthy() {
		board.Call("writeText", text)
	}
}
