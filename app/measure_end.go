package app

import (
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/element"
	"pegpour/app/language"
	"pegpour/app/ui"
	"pegpour/engine/survey"
)

// finished is the end of the walk: what is still assumed, what of it matters,
// and where to go on.
func (m *measureScreen) finished() app.UI {
	w := m.w
	w.Rank(countSteps())
	matter, idle, known := w.StillAssumed()
	working := w.Say("Working out what is worth measuring…")
	refused := w.Refused()
	reading := func(path string, name, value app.UI) app.UI {
		return element.Box("li", "", app.Button().Type("button").Class("row-main").DataSet("reading", path).
			OnClick(func(ctx app.Context, _ app.Event) {
				w.AskFromEnd(path)
				w.Refresh(ctx)
				ui.FocusEntry(w)
			}, path).Body(name, value))
	}
	row := func(a *survey.Assumption) app.UI {
		return reading(a.Path, app.Text(w.SayName(a.Name)), element.Text("span", "voice-assumed", w.AssumedWords(a)))
	}
	return element.Box("section", "question",
		element.Box("div", "ask",
			element.Known("h2", "asked", "", "", w.Say("That is the walk.")),
			app.If(w.Stops() > 0, element.Link("bar bar-stop", "/site/"+w.Doc.ID+"/watch", w.Say("Watch-outs say Stop: settle that first."))),
			app.If(len(matter) > 0, element.Text("p", "help", w.SayCount(len(matter), "One value is still assumed and matters:",
				"{0} values are still assumed and matter, the first ones most:"))),
			app.If(!known, element.Status("p", "quiet", "status", working)), // also where there is no room for help
			app.If(known && len(matter)+len(refused) == 0, element.Text("p", "help", w.Say("Everything that matters at this site is known."))),
		),
		element.Box("div", "answer",
			app.If(len(refused) > 0, element.Text("h3", "", w.Say("Cannot be used"))),
			element.Box("ul", "list", app.Range(refused).Slice(func(i int) app.UI {
				f, _ := survey.FieldAt(refused[i])
				words, _ := w.Draft(f.Path)
				return reading(f.Path, app.Text(w.SayName(f.Name)),
					element.Text("span", "figure-value error", "! “"+strings.ReplaceAll(words, " ", language.NoBreak)+"”"))
			})),
			app.If(!known, progressBar(w, working)),
			app.If(len(matter) > 0, element.Text("h3", "", w.Say("Still assumed"))),
			element.Box("ul", "list", app.Range(matter).Slice(func(i int) app.UI { return row(&matter[i]) })),
			app.If(len(idle) > 0, element.Box("details", "",
				element.Box("summary", "", element.Text("span", "", w.SayCount(len(idle), "One more is assumed and makes no difference here",
					"{0} more are assumed and make no difference here"))),
				element.Box("ul", "list", app.Range(idle).Slice(func(i int) app.UI { return row(&idle[i]) })))),
			m.stepsTo(app.A().Class("step step-next").Href("/site/"+w.Doc.ID+"/set-out").
				Body(app.Text(w.Say("Set-out¦short, in the bar at the bottom")), ui.Sign(ui.SignRight))),
		),
	)
}
