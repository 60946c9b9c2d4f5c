package fieldbook

import (
	"math"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/window"
	"pegpour/storage"
)

// What photos are kept as: large enough to point at a peg to a few
// millimetres, small enough to send from a paddock.
const (
	photoMedia   = "image/jpeg"
	photoMost    = 2048 // pixels along the longer side
	photoQuality = 0.85
	// originReach is how much of a file is read for where and when it was taken.
	originReach = 32 << 20
)

// readOrigin reads from a picture's file, as it is before it is made smaller,
// where and when it was taken; nil when it does not say.
func readOrigin(file app.Value, then func(*storage.Origin)) {
	window.Await(file.Call("slice", 0, originReach).Call("arrayBuffer"), func(buffer app.Value) {
		then(storage.OriginOf(window.BytesIn(buffer)))
	}, func(app.Value) { then(nil) })
}

// shrinkPhoto draws a picture file on a canvas, no larger than photoMost, and
// hands over its bytes as JPEG. What the file says of place and camera stays
// behind: only the picture is drawn.
func shrinkPhoto(file app.Value, then func([]byte), fail func()) {
	failed := func(app.Value) { fail() }
	window.Await(app.Window().Call("createImageBitmap", file), func(bitmap app.Value) {
		wide, high := bitmap.Get("width").Float(), bitmap.Get("height").Float()
		scale := math.Min(1, photoMost/math.Max(wide, high))
		canvas := app.Window().Get("document").Call("createElement", "canvas")
		canvas.Set("width", math.Round(wide*scale))
		canvas.Set("height", math.Round(high*scale))
		canvas.Call("getContext", "2d").Call("drawImage", bitmap, 0, 0, canvas.Get("width"), canvas.Get("height"))
		bitmap.Call("close")
		var made app.Func
		made = app.FuncOf(func(_ app.Value, args []app.Value) any {
			made.Release()
			if len(args) == 0 || !args[0].Truthy() {
				fail()
				return nil
			}
			window.Await(args[0].Call("arrayBuffer"), func(buffer app.Value) { then(window.BytesIn(buffer)) }, failed)
			return nil
		})
		canvas.Call("toBlob", made, photoMedia, photoQuality)
	}, failed)
}
