package app

import (
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/reference"
)

// sourcesScreen lists what the engine was checked against.
type sourcesScreen struct {
	app.Compo
	w *workspace

	figure string // whose backing is shown; empty shows all
	cases  []reference.Case
}

func newSourcesScreen() *sourcesScreen { return &sourcesScreen{w: current} }

// OnNav implements app.Navigator.
func (s *sourcesScreen) OnNav(ctx app.Context) {
	s.figure = ctx.Page().URL().Query().Get("figure")
	if s.cases == nil {
		s.cases = reference.Cases()
	}
	s.w.follow(ctx, nil)
}

// OnDismount implements app.Dismounter.
func (s *sourcesScreen) OnDismount() { s.w.unfollow() }

// Render implements app.Composer.
func (s *sourcesScreen) Render() app.UI {
	w := s.w
	if w.doc == nil {
		return siteFrame(w, "more")
	}
	var wanted map[string]bool
	heading := app.UI(app.Text(""))
	if f, ok := w.plan().Figure(s.figure); ok && s.figure != "" {
		wanted = map[string]bool{}
		for _, topic := range reference.Topics(s.figure) {
			wanted[topic] = true
		}
		heading = app.Div().Class("told").Body(figureTold(w, f),
			app.A().Class("wide").Href("/site/"+w.doc.ID+"/sources").Text(say("Everything that was checked")))
	}
	var topics []string
	by := map[string][]*reference.Case{}
	values, printed := 0, 0
	for i := range s.cases {
		c := &s.cases[i]
		if wanted != nil && !wanted[c.Topic] {
			continue
		}
		if by[c.Topic] == nil {
			topics = append(topics, c.Topic)
		}
		by[c.Topic] = append(by[c.Topic], c)
		values += len(c.Values)
		if c.Kind == reference.KindRead {
			printed++
		}
	}
	return siteFrame(w, "more",
		app.H2().Text(say("How the numbers are checked")),
		heading,
		app.P().Text(sayCount(values, "One value that others published or that follows by plain arithmetic, with what this tool gives for it.", "{0} values that others published or that follow by plain arithmetic, with what this tool gives for each.")),
		app.P().Class("quiet").Text(sayCount(printed, "One case was read from its source; the rest were recalled from the named book or standard, or worked out by hand, and say so.", "{0} cases were read from their sources; the rest were recalled from the named book or standard, or worked out by hand, and say so.")),
		app.Range(topics).Slice(func(i int) app.UI {
			list := by[topics[i]]
			return app.Details().Class("figure").Open(wanted != nil && i == 0).DataSet("topic", topics[i]).Body(
				app.Summary().Body(app.Span().Text(say(topicWords[topics[i]])), app.Span().Class("figure-value").Text(strconv.Itoa(len(list)))),
				app.Range(list).Slice(func(k int) app.UI { return sourceCase(list[k]) }))
		}),
	)
}

func sourceCase(c *reference.Case) app.UI {
	how := map[string]string{reference.KindRead: "read", reference.KindMemory: "from memory", reference.KindComputed: "worked out by hand"}[c.Kind]
	return app.Div().Class("source-case").Body(
		app.P().Lang("en").Body(app.Strong().Text(c.Title)),
		app.P().Class("source").Text(sayWith("Source: {0} ({1})", c.Source, say(how))),
		app.Table().Class("source-values").Body(
			app.THead().Body(app.Tr().Body(app.Th().Scope("col").Text(say("Value")), app.Th().Scope("col").Text(say("Expected")), app.Th().Scope("col").Text(say("Here")), app.Th().Scope("col").Text(say("Off by")))),
			app.TBody().Body(app.Range(c.Values).Slice(func(i int) app.UI {
				v := &c.Values[i]
				return app.Tr().Body(app.Th().Scope("row").Lang("en").Text(v.Name), app.Td().Lang("en").Text(v.Expected), app.Td().Lang("en").Text(v.Got), app.Td().Text(offBy(v.Error)))
			}))),
	)
}

// offBy writes a relative error.
func offBy(e float64) string {
	switch {
	case e == 0:
		return "0"
	case e < 0.0001:
		return language.Number("< 0.01 %")
	}
	return decimal(e*100, 2) + " %"
}

// figureNotes say at a figure what decides beyond it and where it is checked.
func figureNotes(w *workspace, id string, firstPass bool) app.UI {
	var notes []app.UI
	if firstPass {
		notes = append(notes, app.P().Class("first-pass").Text(say("A first pass, not a design: local codes and a licensed engineer decide.")))
	}
	if len(reference.Topics(id)) > 0 && w.doc != nil {
		notes = append(notes, app.A().Class("quiet-link").Href("/site/"+w.doc.ID+"/sources?figure="+id).Text(say("How this is checked")))
	}
	return app.Div().Class("figure-notes").Body(notes...)
}
