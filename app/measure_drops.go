package app

import (
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/ui"
	"pegpour/storage"
)

// drops lists the places under the string line.
func (m *measureScreen) drops() app.UI {
	w := m.w
	list := w.Doc.Survey.Ground.Levels.Drops
	return app.Section().Class("question").Body(
		app.Div().Class("ask").Body(
			app.H2().ID("asked").Text(w.Say("Another place under the string?")),
			app.P().Class("help").Text(w.Say("Three places off one line give both falls; each further one checks them.")),
		),
		app.Div().Class("answer").Body(
			app.Button().Type("button").Class("wide").DataSet("do", "add-drop").
				Body(ui.Sign(ui.SignAdd), app.Text(w.Say("Add a place"))).
				OnClick(func(ctx app.Context, _ app.Event) {
					n := len(w.Doc.Survey.Ground.Levels.Drops)
					if w.AddDrop(ctx) {
						w.Ask(editing.StepDrops + "." + strconv.Itoa(n) + ".down")
						w.Refresh(ctx)
						ui.FocusEntry(w)
					}
				}),
			app.Range(list).Slice(func(i int) app.UI {
				path := editing.StepDrops + "." + strconv.Itoa(i)
				name := list[i].Name
				if name == "" {
					name = w.SayWith("Place {0}", strconv.Itoa(i+1))
				}
				down := "?"
				if list[i].Down.Known() {
					down = w.Length(list[i].Down.Size, true)
				}
				return app.Div().Class("row").Body(
					app.Button().Type("button").Class("row-main").Body(app.Span().Text(name), app.Span().Text(down)).
						OnClick(func(ctx app.Context, _ app.Event) {
							w.Ask(path + ".down")
							w.Refresh(ctx)
							ui.FocusEntry(w)
						}, path),
					app.Button().Type("button").Class("row-side").Text(w.Say("Remove")).Aria("label", w.SayWith("Remove {0}", name)).
						OnClick(func(ctx app.Context, _ app.Event) {
							e, err := storage.RemoveEntry(w.Doc, "Remove a place under the string", editing.StepDrops, i)
							w.Commit(ctx, e, err)
						}, i),
				)
			}),
			m.steps(),
		),
	)
}
