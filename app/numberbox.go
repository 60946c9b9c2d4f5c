package app

import (
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/survey"
	"pegpour/engine/text"
	"pegpour/storage"
)

// entered is the event of Enter in an entry of one line: see loader.js. The
// other keys do not call the program, which would draw the screen anew for each.
const entered = "entered"

// numberBox is the entry of one number with our keypad, on any screen: what is
// typed is kept at each keystroke; Enter or Next calls next, so that a laser
// that types a value and Enter goes on by itself.
func (w *workspace) numberBox(f survey.Field, back, next func(app.Context)) app.UI {
	text, problem := w.entry(f)
	wrong := problem != "" && w.unfinished(f) == ""
	way := w.method(f)
	entry := app.Input().ID("entry").Type("text").Attr("inputmode", "none").Attr("autocomplete", "off").Attr("autocapitalize", "off").
		Attr("enterkeyhint", "next").Spellcheck(false).Aria("labelledby", "asked").Aria("describedby", "entry-says").Aria("invalid", strconv.FormatBool(wrong)).
		DataSet("entry", f.Path).
		OnInput(func(ctx app.Context, e app.Event) {
			from := e.Get("target")
			w.typed(ctx, f, from.Get("value").String(), from)
		}, f.Path).
		On(entered, func(ctx app.Context, e app.Event) {
			from := e.Get("target")
			w.typed(ctx, f, from.Get("value").String(), from)
			next(ctx)
		}, f.Path)
	if text == "" { // the browser styles a placeholder anew at each key, also one that is not seen
		entry = entry.Placeholder(w.placeholder(f))
	}
	return app.Div().Class("answer answer-number").Body(
		app.Div().Class("entry").Body(
			app.Div().Class("entry-box").Body(entry),
			app.Span().Class("unit").Text(w.unitOf(f)),
			app.Button().Type("button").Class("way").DataSet("way", string(way)).
				Aria("label", sayWith("How it was taken: {0}. Tap for the next way.", say(methodWords(way)))).
				Text(say(methodWords(way))).OnClick(func(ctx app.Context, _ app.Event) { w.setMethod(ctx, f, nextMethod(f, way)) }, f.Path, way),
		),
		app.Div().Class("says-row").Body(
			app.P().ID("entry-says").Class(map[bool]string{true: "says error", false: "says"}[wrong]).Role("status").Text(w.entrySays(f, problem)),
			w.againButton(f, next),
		),
		keypad(w, f, back, next),
	)
}

// againButton answers with what was answered at the place before: places under
// a string line stand at one offset, row by row.
func (w *workspace) againButton(f survey.Field, next func(app.Context)) app.UI {
	before, ok := w.before(f)
	if !ok {
		return app.Text("")
	}
	return app.Button().Type("button").Class("switch again").DataSet("do", "again").
		Text(strings.ReplaceAll(say("Again {0}"), "{0}", w.write(text.Arg{Value: before.Size, Dimension: f.Dimension}))).
		OnClick(func(ctx app.Context, _ app.Event) {
			e, err := storage.SetValue(w.doc, f.Path, before)
			w.commit(ctx, e, err)
			next(ctx)
		}, f.Path, before.Size)
}

// before is the offset of the place before, where this one's is still open.
func (w *workspace) before(f survey.Field) (survey.Value, bool) {
	rest, isDrop := strings.CutPrefix(f.Path, stepDrops+".")
	at, isOffset := strings.CutSuffix(rest, ".offset")
	i, err := strconv.Atoi(at)
	if !isDrop || !isOffset || err != nil || i < 1 || f.Value(&w.doc.Survey).Known() {
		return survey.Value{}, false
	}
	if _, drafted := w.drafts[f.Path]; drafted {
		return survey.Value{}, false
	}
	v := w.doc.Survey.Ground.Levels.Drops[i-1].Offset
	return v, v.Known()
}
