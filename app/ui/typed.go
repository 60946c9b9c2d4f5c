package ui

import "github.com/maxence-charriere/go-app/v9/pkg/app"

// Typed holds what the fields of words on a screen were given to show, so that what is
// being typed is not written back into its own field: the framework would take away a
// blank at the end, and with it the one between two words that were typed quickly.
type Typed struct{ shown, typed map[string]string }

// NewTyped returns one that holds nothing yet.
func NewTyped() Typed { return Typed{map[string]string{}, map[string]string{}} }

// Field is a field of words at a path, where now stands in the document; take hears each
// key.
func (h Typed) Field(path, now string, take func(app.Context, string)) app.HTMLInput {
	words := func(e app.Event) string { return e.Get("target").Get("value").String() }
	return app.Input().Type("text").Class("words").Attr("autocomplete", "off").Value(h.show(path, now)).
		OnInput(func(ctx app.Context, e app.Event) {
			h.typed[path] = words(e)
			take(ctx, words(e))
		}, path).
		OnChange(func(_ app.Context, e app.Event) { h.shown[path] = words(e) }, path) // it was left, and may be drawn anew
}

// show is what the field at a path is to be given where now stands in the document: as
// before, as long as that was typed into it.
func (h Typed) show(path, now string) string {
	if typed, ok := h.typed[path]; !ok || typed != now {
		h.shown[path], h.typed[path] = now, now
	}
	return h.shown[path]
}
