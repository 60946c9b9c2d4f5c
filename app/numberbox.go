package app

import (
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine"
)

// numberBox is the entry of one number with our keypad, on any screen: what is
// typed is kept at each keystroke; Enter or Next calls next, so that a laser
// that types a value and Enter goes on by itself.
func (w *workspace) numberBox(f engine.Field, back, next func(app.Context)) app.UI {
	_, problem := w.entry(f)
	way := w.method(f)
	return app.Div().Class("answer answer-number").Body(
		app.Div().Class("entry").Body(
			app.Input().ID("entry").Type("text").Attr("inputmode", "none").Attr("autocomplete", "off").Attr("autocapitalize", "off").
				Attr("enterkeyhint", "next").Aria("labelledby", "asked").Aria("describedby", "entry-says").Aria("invalid", strconv.FormatBool(problem != "")).
				Placeholder(w.placeholder(f)).DataSet("entry", f.Path).
				OnInput(func(ctx app.Context, e app.Event) { w.typed(ctx, f, e.Get("target").Get("value").String()) }, f.Path).
				OnKeyDown(func(ctx app.Context, e app.Event) {
					if e.Get("key").String() == "Enter" {
						e.PreventDefault()
						w.typed(ctx, f, e.Get("target").Get("value").String())
						next(ctx)
					}
				}, f.Path),
			app.Span().Class("unit").Text(w.unitOf(f)),
			app.Button().Type("button").Class("way").DataSet("way", string(way)).
				Aria("label", say("How it was taken:")+" "+say(methodWords(way))+". "+say("Tap for the next way.")).
				Text(say(methodWords(way))).OnClick(func(ctx app.Context, _ app.Event) { w.setMethod(ctx, f, nextMethod(f, way)) }, f.Path, way),
		),
		app.P().ID("entry-says").Class(map[bool]string{true: "says error", false: "says"}[problem != ""]).Role("status").Text(w.entrySays(f, problem)),
		keypad(w, f, back, next),
	)
}
