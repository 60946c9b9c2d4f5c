package ui

import (
	"context"
	"math"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/window"
	"pegpour/storage"
)

// KeepsOrigin reports whether new photos keep where and when they were taken.
func KeepsOrigin(w *editing.Site) bool {
	return w.Shop != nil && w.Shop.Settings.Origin == storage.OriginKept
}

// TakePhotos takes each file that was chosen in an input of the page: made smaller, its
// bytes go into the store, and then the site at which it was chosen says so. about is
// what is said of each; kept hears of one that is there, and failed of one that cannot
// be read, by the file's name.
func TakePhotos(w *editing.Site, input app.Value, about storage.Photo, kept func(storage.Photo), failed func(name string)) {
	if w.Doc == nil {
		return
	}
	files, site := input.Get("files"), w.Doc.ID
	for i := range files.Length() {
		f := files.Index(i)
		taken := about
		taken.Name = f.Get("name").String()
		readOrigin(f, KeepsOrigin(w), func(origin *storage.Origin, focal float64) {
			taken.Origin, taken.Focal = origin, focal
			shrinkPhoto(f, func(data []byte) { KeepPhoto(w, site, taken, data, kept) },
				func() { w.Dispatch(func(app.Context) { failed(taken.Name) }) })
		})
	}
	input.Set("value", "")
}

// KeepPhoto stores a photo's bytes, and then says so in the site at which it was chosen.
func KeepPhoto(w *editing.Site, site string, taken storage.Photo, data []byte, kept func(storage.Photo)) {
	w.BackgroundOf(site, func(c context.Context) error {
		id, err := w.Store.PutPhoto(c, photoMedia, data)
		if err != nil {
			return err
		}
		w.Dispatch(func(ctx app.Context) {
			taken.ID, taken.Type, taken.Size, taken.Taken = id, photoMedia, int64(len(data)), editing.Now()
			w.CommitTo(ctx, site, func(d *storage.Document) (storage.Edit, error) { return storage.PutPhoto(d, taken) })
			if w.Doc != nil && w.Doc.ID == site {
				kept(taken)
			}
		})
		return nil
	})
}

// What photos are kept as: large enough to point at a peg to a few
// millimetres, small enough to send from a paddock.
const (
	photoMedia   = "image/jpeg"
	photoMost    = 2048 // pixels along the longer side
	photoQuality = 0.85
	// originReach is how much of a file is read for where and when it was taken,
	// lensReach for its lens alone, which stands at its head.
	originReach = 32 << 20
	lensReach   = 1 << 20
)

// readOrigin reads from a picture's file, as it is before it is made smaller,
// where and when it was taken, nil when it does not say or that is not wanted, and
// the focal length of its lens.
func readOrigin(file app.Value, wanted bool, then func(*storage.Origin, float64)) {
	reach := lensReach
	if wanted {
		reach = originReach
	}
	window.Await(file.Call("slice", 0, reach).Call("arrayBuffer"), func(buffer app.Value) {
		origin, focal := storage.OriginOf(window.BytesIn(buffer))
		if !wanted {
			origin = nil
		}
		then(origin, focal)
	}, func(app.Value) { then(nil, 0) })
}

// shrinkPhoto draws a picture file on a canvas, no larger than photoMost, and
// hands over its bytes as JPEG. What the file says of place and camera does not
// go with them: only the picture is drawn.
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
