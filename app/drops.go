package app

import (
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/survey"
	"pegpour/storage"
)

// stepDrops asks for more places under the string line.
const stepDrops = survey.GroundLevelsDrops

// leastDrops make a plane; fewer leave one fall unknown.
const leastDrops = 3

// withDrops puts the step that asks for more places behind the last of them.
func (w *workspace) withDrops(steps []string) []string {
	if w.survey.Ground.Levels.Taken != survey.LevelsByString {
		return steps
	}
	at := -1
	for i, s := range steps {
		if s == survey.GroundLevelsString || strings.HasPrefix(s, stepDrops+".") {
			at = i
		}
	}
	if at < 0 {
		return steps
	}
	return append(steps[:at+1:at+1], append([]string{stepDrops}, steps[at+1:]...)...)
}

// someDrops makes sure that there are places to ask for.
func (w *workspace) someDrops(ctx app.Context) {
	for n := len(w.doc.Survey.Ground.Levels.Drops); n < leastDrops; n++ {
		if !w.addDrop(ctx) {
			return
		}
	}
}

func (w *workspace) addDrop(ctx app.Context) bool {
	before := len(w.doc.Survey.Ground.Levels.Drops)
	e, err := storage.AddEntry(w.doc, "Add a place under the string", stepDrops, survey.StringDrop{})
	w.commit(ctx, e, err)
	return len(w.doc.Survey.Ground.Levels.Drops) > before
}

// drops lists the places under the string line.
func (m *measureScreen) drops() app.UI {
	w := m.w
	list := w.doc.Survey.Ground.Levels.Drops
	return app.Section().Class("question").Body(
		app.Div().Class("ask").Body(
			app.H2().ID("asked").Text(say("Another place under the string?")),
			app.P().Class("help").Text(say("Three places off one line give both falls; each further one checks them.")),
		),
		app.Div().Class("answer").Body(
			app.Button().Type("button").Class("wide").DataSet("do", "add-drop").Body(sign(signAdd), app.Text(say("Add a place"))).
				OnClick(func(ctx app.Context, _ app.Event) {
					n := len(w.doc.Survey.Ground.Levels.Drops)
					if w.addDrop(ctx) {
						w.ask(stepDrops + "." + strconv.Itoa(n) + ".down")
						w.refresh(ctx)
						w.focusEntry()
					}
				}),
			app.Range(list).Slice(func(i int) app.UI {
				path := stepDrops + "." + strconv.Itoa(i)
				name := list[i].Name
				if name == "" {
					name = sayWith("Place {0}", strconv.Itoa(i+1))
				}
				down := "?"
				if list[i].Down.Known() {
					down = w.length(list[i].Down.Size, true)
				}
				return app.Div().Class("row").Body(
					app.Button().Type("button").Class("row-main").Body(app.Span().Text(name), app.Span().Text(down)).OnClick(func(ctx app.Context, _ app.Event) {
						w.ask(path + ".down")
						w.refresh(ctx)
						w.focusEntry()
					}, path),
					app.Button().Type("button").Class("row-side").Text(say("Remove")).Aria("label", sayWith("Remove {0}", name)).OnClick(func(ctx app.Context, _ app.Event) {
						e, err := storage.RemoveEntry(w.doc, "Remove a place under the string", stepDrops, i)
						w.commit(ctx, e, err)
					}, i),
				)
			}),
			m.steps(),
		),
	)
}
