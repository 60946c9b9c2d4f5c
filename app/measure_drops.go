package app

import (
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/language"
	"pegpour/app/ui"
	"pegpour/engine/survey"
	"pegpour/storage"
)

// drops lists the places under the string line.
func (m *measureScreen) drops() app.UI {
	w := m.w
	list := w.Doc.Survey.Ground.Levels.Drops
	return m.places(places{
		title: "Another place under the string?", do: "add-drop", add: "Add a place", each: "Place {0}",
		help:  "Three places off one line give both falls; each further one checks them.",
		count: len(list), first: ".along", more: w.AddDrop,
		place: func(i int) (string, survey.Value) { return list[i].Name, list[i].Down },
		remove: func(ctx app.Context, i int) {
			e, err := storage.RemoveEntry(w.Doc, "Remove a place under the string", editing.StepDrops, i)
			w.Commit(ctx, e, err)
		},
	})
}

// points lists the taped points of an edge.
func (m *measureScreen) points(edge string) app.UI {
	w := m.w
	list := w.Doc.Survey.Drive.RunBackEdge.Points
	if edge == survey.DriveLatchEdge {
		list = w.Doc.Survey.Drive.LatchEdge.Points
	}
	return m.places(places{
		title: "Another point of this edge?", do: "add-point", add: "Add a point", each: "Point {0}",
		help:  "Two points give a straight edge; where it bends it takes one at each bend.",
		count: len(list), least: 2, first: ".along", more: func(ctx app.Context) bool { return w.AddPoint(ctx, edge) },
		place:  func(i int) (string, survey.Value) { return "", list[i].Along },
		remove: func(ctx app.Context, i int) { w.RemovePoint(ctx, edge, i) },
	})
}

// places is a list of taped places that is asked for more of.
type places struct {
	title, help, do, add, each string
	count, least               int    // least: so many stay
	first                      string // the column of a place that is asked first
	more                       func(app.Context) bool
	place                      func(i int) (name string, value survey.Value)
	remove                     func(ctx app.Context, i int)
}

// places lists what was taped and offers another.
func (m *measureScreen) places(p places) app.UI {
	w, step := m.w, m.w.Asked
	ask := func(ctx app.Context, i int) {
		w.Ask(step + "." + strconv.Itoa(i) + p.first)
		w.PassGuesses()
		w.Refresh(ctx)
		ui.FocusEntry(w)
	}
	return element.Box("section", "question",
		element.Box("div", "ask",
			element.Known("h2", "asked", "", "", w.Say(p.title)),
			element.Text("p", "help", w.Say(p.help)),
		),
		element.Box("div", "answer",
			app.Button().Type("button").Class("wide").DataSet("do", p.do).
				Body(ui.Sign(ui.SignAdd), app.Text(w.Say(p.add))).
				OnClick(func(ctx app.Context, _ app.Event) {
					if p.more(ctx) {
						ask(ctx, p.count)
					}
				}, step, p.count),
			app.Range(make([]struct{}, p.count)).Slice(func(i int) app.UI {
				name, value := p.place(i)
				if name == "" {
					name = w.SayWith(p.each, strconv.Itoa(i+1))
				}
				words := "?"
				if value.Known() {
					words = w.Length(value.Size, true)
				}
				return element.Box("div", "row",
					app.Button().Type("button").Class("row-main").Body(element.Text("span", "", name), element.Text("span", "", words)).
						OnClick(func(ctx app.Context, _ app.Event) { ask(ctx, i) }, step, i),
					app.Button().Type("button").Class("row-side").Disabled(p.count <= p.least).Text(w.Say("Remove")).Aria("label", w.SayWith("Remove {0}", name)).
						OnClick(func(ctx app.Context, _ app.Event) { p.remove(ctx, i) }, step, i),
				)
			}),
			m.steps(),
		),
	)
}

// placeColumns are what is taped of a place under the string, in the order that a
// tape goes.
var placeColumns = []struct{ column, name string }{{".along", "Along"}, {".offset", "Out"}, {".down", "Down"}}

// place shows the three readings of the place that is asked about beside one another.
func (m *measureScreen) place() app.UI {
	w := m.w
	i := editing.DropOf(w.Asked)
	if i < 0 {
		return app.Text("")
	}
	return element.Acting("div", "place-readings", "group", w.SayWith("Place {0}", strconv.Itoa(i+1)),
		app.Range(placeColumns).Slice(func(n int) app.UI {
			path := editing.StepDrops + "." + strconv.Itoa(i) + placeColumns[n].column
			f, _ := survey.FieldAt(path)
			words, _ := w.Entry(f)
			if f.Value(&w.Doc.Survey).How == survey.ByEstimate {
				words = "~" + words // a place guessed and not typed
			}
			if words == "" {
				words = w.Placeholder(f)
			}
			b := app.Button().Type("button").Class("switch").DataSet("reading", path).
				Aria("pressed", strconv.FormatBool(path == w.Asked)).
				Body(app.Text(w.Say(placeColumns[n].name)+language.NoBreak), element.Text("span", "", words)).
				OnClick(func(ctx app.Context, _ app.Event) {
					w.Ask(path)
					w.Refresh(ctx)
					ui.FocusEntry(w)
				}, path)
			if path == w.Asked {
				b = b.Class("here")
			}
			return b
		}))
}
