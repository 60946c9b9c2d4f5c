package app

import (
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/language"
	"pegpour/app/ui"
	"pegpour/engine/survey"
)

// finished is the end of the walk: what is still assumed, what of it matters,
// and where to go on.
func (m *measureScreen) finished() app.UI {
	w := m.w
	matter, idle := w.StillAssumed()
	refused := w.Refused()
	reading := func(path string, name, value app.UI) app.UI {
		return app.Li().Body(app.Button().Type("button").Class("row-main").DataSet("reading", path).
			OnClick(func(ctx app.Context, _ app.Event) {
				w.AskFromEnd(path)
				w.Refresh(ctx)
				ui.FocusEntry(w)
			}, path).Body(name, value))
	}
	row := func(a *survey.Assumption) app.UI {
		return reading(a.Path, app.Text(w.SayName(a.Name)), app.Span().Class("voice-assumed").Text(w.AssumedWords(a)))
	}
	return app.Section().Class("question").Body(
		app.Div().Class("ask").Body(
			app.H2().ID("asked").Text(w.Say("That is the walk.")),
			app.If(len(matter) > 0, app.P().Class("help").
				Text(w.SayCount(len(matter), "One value is still assumed and matters:",
					"{0} values are still assumed and matter, the first ones most:"))),
			app.If(len(matter)+len(refused) == 0, app.P().Class("help").Text(w.Say("Everything that matters at this site is known."))),
		),
		app.Div().Class("answer").Body(
			app.If(len(refused) > 0, app.H3().Text(w.Say("Cannot be used"))),
			app.Ul().Class("list").Body(app.Range(refused).Slice(func(i int) app.UI {
				f, _ := survey.FieldAt(refused[i])
				words, _ := w.Draft(f.Path)
				return reading(f.Path, app.Text(w.SayName(f.Name)),
					app.Span().Class("figure-value error").Text("! “"+strings.ReplaceAll(words, " ", language.NoBreak)+"”"))
			})),
			app.If(len(matter) > 0, app.H3().Text(w.Say("Still assumed"))),
			app.Ul().Class("list").Body(app.Range(matter).Slice(func(i int) app.UI { return row(&matter[i]) })),
			app.If(len(idle) > 0, app.Details().Body(
				app.Summary().Body(app.Span().
					Text(w.SayCount(len(idle), "One more is assumed and makes no difference here",
						"{0} more are assumed and make no difference here"))),
				app.Ul().Class("list").Body(app.Range(idle).Slice(func(i int) app.UI { return row(&idle[i]) })))),
			app.A().Class("wide primary").Href("/site/"+w.Doc.ID+"/set-out").Text(w.Say("See the set-out")),
			m.steps(),
		),
	)
}
