package ui

import (
	"strings"
	"unicode/utf8"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/engine/survey"
)

// press types with a key of the keypad, at the cursor.
func press(w *editing.Site, ctx app.Context, f survey.Field, types string) {
	text, _ := w.Entry(f)
	entry := app.Window().GetElementByID("entry")
	from, to := selection(entry, text)
	next := text[:from] + types + text[to:]
	if types == "-" && (from > 0 || to < len(text)) {
		// Minus turns the sign, wherever the cursor is; on all that is selected it
		// begins anew, as a digit does.
		if rest, had := strings.CutPrefix(text, "-"); had {
			next = rest
		} else {
			next = "-" + text
		}
	}
	setEntry(entry, f.Path, next, from+len(types)) // before the drawing, which the browser would lay out first
	w.Type(ctx, f, next)
}

// erase takes away what is selected, or the character before the cursor.
func erase(w *editing.Site, ctx app.Context, f survey.Field) {
	text, _ := w.Entry(f)
	entry := app.Window().GetElementByID("entry")
	from, to := selection(entry, text)
	if from == to && from > 0 {
		_, size := utf8.DecodeLastRuneInString(text[:from])
		from -= size
	}
	next := text[:from] + text[to:]
	setEntry(entry, f.Path, next, from)
	w.Type(ctx, f, next)
}

// selection is the selected part of the entry in bytes of text; its end when
// there is no cursor.
func selection(entry app.Value, text string) (from, to int) {
	if !entry.Truthy() {
		return len(text), len(text)
	}
	at := func(name string) int {
		v := entry.Get(name)
		if v.Type() != app.TypeNumber {
			return len(text)
		}
		return byteAt(text, v.Int())
	}
	return at("selectionStart"), at("selectionEnd")
}

// byteAt turns a place counted in UTF-16, as a browser counts, into bytes.
func byteAt(text string, utf16 int) int {
	n := 0
	for i, r := range text {
		if n >= utf16 {
			return i
		}
		n++
		if r > 0xffff {
			n++
		}
	}
	return len(text)
}

// shownProperty holds, on the entry itself, the text that is known
// to stand there.
const shownProperty = "pegpourShown"

// noteShown remembers that text was read from the entry of a field; nil is none.
func noteShown(entry app.Value, path, text string) {
	if entry != nil {
		entry.Set(shownProperty, text)
		entry.Set("pegpourField", path)
	}
}

// entryOf is the entry on the page when it is the one of the field.
func entryOf(path string) app.Value {
	if !app.IsClient {
		return nil
	}
	entry := app.Window().GetElementByID("entry")
	if !entry.Truthy() || entry.Get("dataset").Get("entry").String() != path {
		return nil
	}
	return entry
}

// FillEntry puts what the site holds into the entry, unless the entry is where
// it came from: a screen drawn a moment after a keystroke must not take back the
// keys that were pressed since.
func FillEntry(w *editing.Site) {
	if !app.IsClient || w.Doc == nil {
		return
	}
	entry := app.Window().GetElementByID("entry")
	if !entry.Truthy() || entry.Get("dataset").Get("entry").Type() != app.TypeString {
		return
	}
	path := entry.Get("dataset").Get("entry").String()
	f, ok := survey.FieldAt(path)
	if !ok {
		return
	}
	want := f.Words(&w.Doc.Survey)
	if f.Numeric() {
		want, _ = w.Entry(f)
	}
	shown := entry.Get(shownProperty)
	if shown.Type() == app.TypeString && shown.String() == want && entry.Get("pegpourField").String() == path {
		return
	}
	entry.Set("value", want)
	entry.Set(shownProperty, want)
	entry.Set("pegpourField", path)
}

// setEntry shows text in the entry of a field, with the cursor at a byte place.
func setEntry(entry app.Value, path, text string, at int) {
	if !entry.Truthy() {
		return
	}
	// What moves focus or cursor has the browser lay out the page at once: only
	// where it moves. A new text has its cursor at the end.
	cursor, end := len([]rune(text[:min(max(at, 0), len(text))])), len([]rune(text))
	moved := cursor != end || entry.Get("value").String() == text
	entry.Set("value", text)
	noteShown(entry, path, text)
	if !app.Window().Get("document").Get("activeElement").Equal(entry) {
		entry.Call("focus", map[string]any{"preventScroll": true})
		moved = true
	}
	if moved {
		entry.Call("setSelectionRange", cursor, cursor)
	}
}

// FocusEntry puts the cursor into the entry once it is on the page, so that a
// keyboard or a laser can type on, and selects what stands there, so that the first
// digit replaces it. Where the first digit was faster it is left alone: the next one
// would take it away.
func FocusEntry(w *editing.Site) {
	keys := w.Keys()
	w.Screen.Defer(func(app.Context) {
		if entry := app.Window().GetElementByID("entry"); entry.Truthy() {
			entry.Call("focus", map[string]any{"preventScroll": true})
			if w.Keys() == keys {
				FillEntry(w) // what is put there later is not selected
				entry.Call("select")
			}
		}
	})
}

// Type takes the whole text of the entry after each keystroke; from is the entry
// that it stands in.
func Type(w *editing.Site, ctx app.Context, f survey.Field, text string, from app.Value) {
	defer noteShown(from, f.Path, text) // after the drawing, which waits for nothing
	w.Type(ctx, f, text)
	w.TellWaiting() // also of nothing, where nothing changed
}

// TypeWords takes the words of a text field after each keystroke.
func TypeWords(w *editing.Site, ctx app.Context, f survey.Field, text string) {
	noteShown(entryOf(f.Path), f.Path, text)
	w.TypeWords(ctx, f, text)
	w.TellWaiting()
}
