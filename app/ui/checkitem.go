package ui

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/engine/tables"
	"pegpour/storage"
)

// Pictured are the ticks whose lines a photo of the site shows.
func Pictured(d *storage.Document) map[string]bool {
	shown := map[string]bool{}
	for i := range d.Photos {
		if tick := d.Photos[i].Tick; tick != "" {
			shown[tick] = true
		}
	}
	return shown
}

// CheckItem is a line of a check list: its tick, and the camera where what it says is
// to be buried; failed hears why a photo was not taken.
func CheckItem(w *editing.Site, item *tables.ChecklistItem, failed func(words string)) app.UI {
	name := item.Tick()
	line := app.Elem("label").Class("check").Class("check-item").Body(
		app.Input().Type("checkbox").DataSet("tick", name).Checked(w.Doc.Ticks[name]).OnChange(func(ctx app.Context, _ app.Event) {
			w.Tick(ctx, name, !w.Doc.Ticks[name])
		}, name),
		element.Text("span", "", w.Sentence(item.Words)))
	if !item.Photo {
		return line
	}
	words, class := w.Say("Take its photo"), "row-side"
	if Pictured(w.Doc)[name] {
		words, class = w.Say("Photo taken. Another"), "row-side says-sound"
	}
	return element.Box("div", "", line, element.Box("label", class,
		app.Input().Type("file").Accept("image/*").Attr("capture", "environment").Class("hidden-input").DataSet("photo-of", name).
			OnChange(func(_ app.Context, e app.Event) {
				TakePhotos(w, e.Get("target"), storage.Photo{Tick: name, Note: w.Sentence(item.Words)},
					func(storage.Photo) {},
					func(file string) { failed(w.SayWith("{0}: this picture cannot be read on this device.", file)) })
			}, name),
		app.Text(words)))
}
