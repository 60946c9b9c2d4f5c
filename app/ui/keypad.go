package ui

import (
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/language"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// key is one key of our own keypad: what it shows, what it types and what it
// is called.
type key struct{ shows, types, name string }

var metricKeys = []key{
	{"7", "7", ""}, {"8", "8", ""}, {"9", "9", ""}, {"m", " m", "metres"},
	{"4", "4", ""}, {"5", "5", ""}, {"6", "6", ""}, {"−", "-", "minus"},
	{"1", "1", ""}, {"2", "2", ""}, {"3", "3", ""}, {".", ".", "point"},
}

var degreeKeys = []key{
	{"7", "7", ""}, {"8", "8", ""}, {"9", "9", ""}, {"°", "°", "degrees"},
	{"4", "4", ""}, {"5", "5", ""}, {"6", "6", ""}, {"−", "-", "minus"},
	{"1", "1", ""}, {"2", "2", ""}, {"3", "3", ""}, {".", ".", "point"},
}

var gradeKeys = []key{
	{"7", "7", ""}, {"8", "8", ""}, {"9", "9", ""}, {"1:", "1:", "1: one in"},
	{"4", "4", ""}, {"5", "5", ""}, {"6", "6", ""}, {"−", "-", "minus"},
	{"1", "1", ""}, {"2", "2", ""}, {"3", "3", ""}, {".", ".", "point"},
}

// feetKeys stand in five columns: a tape's whole inches are followed by a half, a
// quarter or any fraction: 14 ft 3 ½, 14 ft 3 in 7 / 16.
var feetKeys = []key{
	{"7", "7", ""}, {"8", "8", ""}, {"9", "9", ""}, {"ft", "' ", "feet"}, {"−", "-", "minus"},
	{"4", "4", ""}, {"5", "5", ""}, {"6", "6", ""}, {"in", "\" ", "inches"}, {"½", "½", ""},
	{"1", "1", ""}, {"2", "2", ""}, {"3", "3", ""}, {"/", "/", "over"}, {"¼", "¼", ""},
}

// decimalName is what the decimal key is called.
func decimalName(l *language.Speaker) string {
	if l.DecimalSign() == "," {
		return "comma"
	}
	return "point"
}

// keypad types into the entry. The same keys work from a keyboard or from a
// laser that types: the entry is a real input. Keys with data-types are clicked
// when they are pressed: see loader.js.
// speaks has a key to speak the number among them.
func keypad(w *editing.Site, f survey.Field, speaks bool, back, next func(app.Context)) app.UI {
	keys, class := metricKeys, "keypad"
	switch {
	case f.Dimension == text.AngleOf:
		keys = degreeKeys
	case f.Dimension == text.Grade:
		keys = gradeKeys
	case f.Dimension == text.Length && w.Feet():
		keys, class = feetKeys, "keypad keypad-feet"
	}
	press := func(k key) app.UI {
		if k.types == "-" && f.Low >= 0 && f.Dimension != text.AngleOf { // there is nothing to turn
			k = key{"00", "00", ""}
		}
		name := k.shows
		if k.types == "." {
			k.shows, k.types, k.name = w.DecimalSign(), w.DecimalSign(), decimalName(w.Speaker)
		}
		class := "key"
		if !strings.Contains("0123456789", name) {
			class = "key key-more"
		}
		b := app.Button().Type("button").Class(class).Text(k.shows).DataSet("key", name).DataSet("types", k.types).
			OnClick(func(ctx app.Context, _ app.Event) { press(w, ctx, f, k.types) }, f.Path, k.types)
		if k.name != "" {
			b = b.Aria("label", w.Say(k.name))
		}
		return b
	}
	return element.Acting("div", class, "group", w.Say("Keypad"),
		app.Range(keys).Slice(func(i int) app.UI { return press(keys[i]) }),
		app.Button().Type("button").Class("key").Aria("label", w.Say("Before")).DataSet("key", "back").
			OnClick(func(ctx app.Context, _ app.Event) { back(ctx) }, f.Path).Body(Sign(SignLeft)),
		app.If(speaks, speakButton(w)),
		press(key{"0", "0", ""}),
		app.Button().Type("button").Class("key key-erase").Aria("label", w.Say("Erase")).DataSet("key", "erase").
			DataSet("types", "").
			OnClick(func(ctx app.Context, _ app.Event) { erase(w, ctx, f) }, f.Path).Body(Sign(SignErase)),
		app.Button().Type("button").Class("key key-next").DataSet("key", "next").Text(w.Say("Next")).
			OnClick(func(ctx app.Context, _ app.Event) { next(ctx) }, f.Path),
	)
}
