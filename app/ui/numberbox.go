package ui

import (
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/engine/survey"
	"pegpour/storage"
)

// Entered is the event of Enter in an entry of one line: see loader.js. The
// other keys do not call the program, which would draw the screen anew for each.
const Entered = "entered"

// Spoken is the event of an entry whose number is spoken, with what became of it: see
// voice.js.
const Spoken = "spoken"

// NumberBox is the entry of one number with our keypad, on any screen: what is
// typed is kept at each keystroke; Enter or Next calls next, so that a laser
// that types a value and Enter goes on by itself; of two values that it types in one
// press the second is offered at the next question.
// aside stands beside what is said of the value.
func NumberBox(w *editing.Site, f survey.Field, back, next func(app.Context), aside ...app.UI) app.UI {
	words, problem := w.Entry(f)
	spoken, misheard := w.Spoken(f)
	wrong := problem != "" && w.Unfinished(f) == "" || misheard
	large := w.Shop != nil && w.Shop.Settings.Keys == storage.KeysLarge
	way := w.Method(f)
	goOn := func(ctx app.Context, typed string) {
		one, other, two := w.TwoNumbers(f, typed)
		if two {
			w.Type(ctx, f, one)
		} else if w.Heard(f) {
			w.Type(ctx, f, typed)
		}
		next(ctx)
		if two {
			w.OfferSecond(ctx, other)
		}
	}
	entry := app.Input().ID("entry").Type("text").Attr("inputmode", "none").Attr("autocomplete", "off").
		Attr("autocapitalize", "off").
		Attr("enterkeyhint", "next").Spellcheck(false).Aria("labelledby", "asked").Aria("describedby", "entry-says").
		Aria("invalid", strconv.FormatBool(wrong)).
		DataSet("entry", f.Path).
		OnInput(func(ctx app.Context, e app.Event) {
			from := e.Get("target")
			Type(w, ctx, f, from.Get("value").String(), from)
		}, f.Path).
		On(Entered, func(ctx app.Context, e app.Event) {
			from := e.Get("target")
			typed := from.Get("value").String()
			Type(w, ctx, f, typed, from)
			goOn(ctx, typed)
		}, f.Path).
		On(Spoken, func(ctx app.Context, e app.Event) {
			told := e.Get("detail")
			w.Hear(ctx, f, told.Get("outcome").String(), told.Get("words").String(), told.Get("language").String())
			if w.Heard(f) {
				typed, _ := w.Entry(f)
				setEntry(e.Get("target"), f.Path, typed, len(typed))
			}
		}, f.Path)
	kept := words
	if w.Heard(f) {
		kept = ""
	}
	if wrong || spoken {
		aside = nil // it has the whole row
	}
	if words == "" { // the browser styles a placeholder anew at each key, also one that is not seen
		entry = entry.Placeholder(w.Placeholder(f))
	}
	return element.Box("div", "answer answer-number",
		element.Box("div", "entry",
			element.Box("div", "entry-box", entry, KeptMark(w, kept)),
			element.Text("span", "unit", w.UnitOf(f)),
			app.If(!large, speakButton(w)),
			app.Button().Type("button").Class("way").DataSet("way", string(way)).
				Aria("label", w.SayWith("How it was taken: {0}. Tap for the next way.", w.Say(f.MethodWords(way)))).
				Text(w.Say(f.MethodWords(way))).
				OnClick(func(ctx app.Context, _ app.Event) { w.SetMethod(ctx, f, editing.NextMethod(f, way)) }, f.Path, way),
		),
		element.Box("div", "says-row",
			element.Known("p", "entry-says", map[bool]string{true: "says error", false: "says"}[wrong], "status", w.EntrySays(f, problem)),
			zeroButton(w, f, next), element.Box("div", "", aside...),
		),
		keypad(w, f, large, back, func(ctx app.Context) {
			typed, _ := w.Entry(f)
			goOn(ctx, typed)
		}),
	)
}

// speakButton has the page listen to a number. It is there where the browser understands
// speech on the device itself, and the page sees to all of it: see voice.js.
func speakButton(w *editing.Site) app.UI {
	return app.Button().Type("button").Class("speak").DataSet("do", "speak").Aria("label", w.Say("Speak the number")).
		Body(Sign("M12 3a3 3 0 00-3 3v5a3 3 0 006 0V6a3 3 0 00-3-3M6 11a6 6 0 0012 0M12 17v4M8 21h8"))
}

// KeptMark says beside a value whether it is on the disk. The page shows one of the
// two signs by what the saver tells its root, before the screen is drawn anew.
func KeptMark(w *editing.Site, words string) app.UI {
	mark := func(class, path, name string) app.UI {
		return app.Elem("span").Class(class).Attr("role", "img").Aria("label", w.Say(name)).Title(w.Say(name)).Body(Sign(path))
	}
	return element.Box("span", "kept",
		app.If(words != "", mark("kept-yes", SignDone, "kept")),
		mark("kept-not", signWaits, "not kept yet"))
}

// zeroButton chooses the string's level where none is known: all levels then count
// from the string.
func zeroButton(w *editing.Site, f survey.Field, next func(app.Context)) app.UI {
	if words, _ := w.Entry(f); f.Path != survey.GroundLevelsString || words != "" {
		return app.Text("")
	}
	return element.Doing("switch again", "zero", w.Say("The string is zero"), func(ctx app.Context, _ app.Event) {
		w.Type(ctx, f, "0")
		next(ctx)
	}, f.Path)
}
