package app

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/advice"
	"pegpour/engine/survey"
)

// stillAssumed parts what is assumed into what is worth measuring, most first,
// and what makes no difference at this site. The order takes a few hundred
// designs, so that it is asked at the end of the walk only and kept until
// something changes.
func (w *workspace) stillAssumed() (matter, idle []survey.Assumption) {
	if w.judged != w.seal {
		report := advice.Confidence(w.effective(), w.practice, *w.plan())
		most, least := advice.StillAssumed(w.plan(), &report)
		w.judged, w.matter = w.seal, append(most, least...)
	}
	for _, a := range w.matter {
		if w.asking.leftOut[a.Path] {
			idle = append(idle, a)
		} else {
			matter = append(matter, a)
		}
	}
	return matter, idle
}

// finished is the end of the walk: what is still assumed, what of it matters,
// and where to go on.
func (m *measureScreen) finished() app.UI {
	w := m.w
	matter, idle := w.stillAssumed()
	row := func(a *survey.Assumption) app.UI {
		return app.Li().Body(app.Button().Type("button").Class("row-main").OnClick(func(ctx app.Context, _ app.Event) {
			w.ask(a.Path)
			w.refresh(ctx)
		}, a.Path).Body(app.Text(say(a.Name)), app.Span().Class("voice-assumed").Text(w.assumedWords(a))))
	}
	return app.Section().Class("question").Body(
		app.Div().Class("ask").Body(
			app.H2().ID("asked").Text(say("That is the walk.")),
			app.If(len(matter) > 0, app.P().Class("help").Text(sayCount(len(matter), "One value is still assumed and matters:", "{0} values are still assumed and matter, the first ones most:"))),
			app.If(len(matter) == 0, app.P().Class("help").Text(say("Everything that matters at this site is known."))),
		),
		app.Div().Class("answer").Body(
			app.Ul().Class("list").Body(app.Range(matter).Slice(func(i int) app.UI { return row(&matter[i]) })),
			app.If(len(idle) > 0, app.Details().Body(
				app.Summary().Body(app.Span().Text(sayCount(len(idle), "One more is assumed and makes no difference here", "{0} more are assumed and make no difference here"))),
				app.Ul().Class("list").Body(app.Range(idle).Slice(func(i int) app.UI { return row(&idle[i]) })))),
			app.A().Class("wide primary").Href("/site/"+w.doc.ID+"/set-out").Text(say("See the set-out")),
			m.steps(),
		),
	)
}
