package documents

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/ui"
	"pegpour/app/window"
	"pegpour/engine/draw"
)

// Rasterise turns a drawing into a PNG of twice its size, a Blob; then gets nil
// when the browser cannot.
func Rasterise(svg string, then func(app.Value)) {
	address := window.AddressOf(window.Blob("image/svg+xml", svg))
	image := app.Window().Get("Image").New()
	var loaded, failed, done app.Func
	release := func() {
		window.Forget(address)
		loaded.Release()
		failed.Release()
		done.Release()
	}
	done = app.FuncOf(func(_ app.Value, arguments []app.Value) any {
		then(arguments[0])
		release()
		return nil
	})
	loaded = app.FuncOf(func(app.Value, []app.Value) any {
		canvas := app.Window().Get("document").Call("createElement", "canvas")
		w, h := 2*image.Get("naturalWidth").Float(), 2*image.Get("naturalHeight").Float()
		canvas.Set("width", w)
		canvas.Set("height", h)
		pen := canvas.Call("getContext", "2d")
		pen.Set("fillStyle", draw.Day.Paper)
		pen.Call("fillRect", 0, 0, w, h)
		pen.Call("drawImage", image, 0, 0, w, h)
		canvas.Call("toBlob", done, "image/png")
		return nil
	})
	failed = app.FuncOf(func(app.Value, []app.Value) any {
		then(nil)
		release()
		return nil
	})
	image.Set("onload", loaded)
	image.Set("onerror", failed)
	image.Set("src", address)
}

// CanvasPicture turns a canvas into a PNG, a Blob; then gets nil when the browser cannot.
func CanvasPicture(canvas app.Value, then func(app.Value)) {
	var done app.Func
	done = app.FuncOf(func(_ app.Value, arguments []app.Value) any {
		done.Release()
		then(arguments[0])
		return nil
	})
	canvas.Call("toBlob", done, "image/png")
}

// saveButton saves a file of the site at a tap, and says so where it was tapped.
type saveButton struct {
	app.Compo

	Site               *editing.Site
	What, Words, Style string

	said, wrong string
}

// SaveButton makes a file when it is tapped and hands it to the browser, a drawing
// as a picture.
func SaveButton(w *editing.Site, kind, words, class string) app.UI {
	return &saveButton{Site: w, What: kind, Words: words, Style: class}
}

// Render implements app.Composer.
func (b *saveButton) Render() app.UI {
	return element.Box("div", "save",
		app.Button().Type("button").Class(b.Style).DataSet("save", b.What).
			OnClick(func(ctx app.Context, _ app.Event) { b.save(ctx) }).
			Body(ui.Sign(ui.SignSave), app.Text(b.Site.Say(b.Words))),
		app.If(b.said != "", element.Status("p", "quiet", "status", b.said)),
		app.If(b.wrong != "", element.Status("p", "error", "alert", b.wrong)),
	)
}

func (b *saveButton) save(ctx app.Context) {
	w := b.Site
	b.said, b.wrong = "", ""
	f, err := makeFile(w, b.What)
	if err != nil {
		b.wrong = w.SayWith("The file could not be made: {0}", w.ErrorWords(err))
		return
	}
	saved := func(name string, blob app.Value) {
		window.Save(name, blob)
		b.said = w.SayWith("Saved: {0}", name)
	}
	if f.media != mediaDrawing {
		saved(f.name, window.Blob(f.media+";charset=utf-8", f.content))
		return
	}
	Rasterise(f.content, func(png app.Value) {
		ctx.Dispatch(func(app.Context) {
			if png == nil || !png.Truthy() {
				saved(f.name, window.Blob(f.media, f.content))
				return
			}
			saved(f.pictureName(), png)
		})
	})
}
