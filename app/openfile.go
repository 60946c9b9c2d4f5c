package app

import (
	"context"
	"errors"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/storage"
)

// openFileButton reads a survey file that this or another phone saved.
func openFileButton(w *workspace) app.UI {
	return app.Div().Body(
		app.If(w.unopened != "", app.P().Class("error").Role("alert").Text(w.unopened)),
		openFileLabel(w),
	)
}

func openFileLabel(w *workspace) app.UI {
	return app.Label().Class("wide open-file").Body(
		app.Span().Text(say("Open a saved survey")),
		app.Input().Type("file").Class("unseen").Accept(".json,application/json").DataSet("do", "open-file").
			OnChange(func(ctx app.Context, e app.Event) {
				files := e.Get("target").Get("files")
				if files.Length() == 0 {
					return
				}
				await(files.Index(0).Call("text"), func(text app.Value) {
					words := text.String()
					w.dispatch(func(app.Context) { w.open(func(app.Context) { w.openFile(words) }) })
				}, func() {
					w.dispatch(func(app.Context) { w.unopened = say("The file cannot be read.") })
				})
				e.Get("target").Set("value", "")
			}),
	)
}

// openFile keeps a survey file as a site and goes there. A file of a site that
// is here already becomes a site beside it when it holds something else: nothing
// is written over.
func (w *workspace) openFile(text string) {
	w.unopened = ""
	d, err := storage.Decode([]byte(text))
	if err != nil {
		w.unopened = sayWith("This is no survey that can be opened: {0}", w.errorWords(err))
		return
	}
	w.background(func(c context.Context) error {
		loaded, err := w.store.Create(c, d)
		if errors.Is(err, storage.ErrExists) {
			here, err2 := w.store.Load(c, d.ID)
			if err2 == nil && sameSite(here.Document, d) {
				loaded, err = here, nil
			} else {
				copied := *d
				copied.ID = storage.NewID()
				loaded, err = w.store.Create(c, &copied)
			}
		}
		if err != nil {
			return err
		}
		w.dispatch(func(ctx app.Context) {
			w.failure, w.asked = "", ""
			w.take(loaded)
			ctx.Navigate("/site/" + loaded.Document.ID + "/set-out")
		})
		return nil
	})
}

// sameSite reports whether two documents hold the same.
func sameSite(a, b *storage.Document) bool {
	one, err1 := storage.Encode(a)
	two, err2 := storage.Encode(b)
	return err1 == nil && err2 == nil && string(one) == string(two)
}
