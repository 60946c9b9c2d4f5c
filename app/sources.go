package app

import (
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/language"
	"pegpour/app/ui"
	"pegpour/app/window"
	"pegpour/engine/reference"
)

// sourcesScreen lists what the engine was checked against.
type sourcesScreen struct {
	app.Compo
	w *editing.Site

	figure string // whose backing is shown; empty shows all
	cases  []reference.Case
	wrong  []reference.Erratum
	fails  bool // the list could not be fetched
}

func newSourcesScreen(w *editing.Site) *sourcesScreen { return &sourcesScreen{w: w} }

// OnNav implements app.Navigator.
func (s *sourcesScreen) OnNav(ctx app.Context) {
	s.figure = ctx.Page().URL().Query().Get("figure")
	s.fetch(ctx)
	s.w.Follow(ctx, nil)
}

// fetch reads the list, which lies beside the program.
func (s *sourcesScreen) fetch(ctx app.Context) {
	if s.cases != nil || !app.IsClient {
		return
	}
	s.fails = false
	fails := func(app.Value) {
		ctx.Dispatch(func(app.Context) { s.fails = true })
	}
	address := app.Window().Get("document").Get("documentElement").Get("dataset").Get("checked")
	window.Await(app.Window().Call("fetch", address), func(answer app.Value) {
		if !answer.Get("ok").Bool() {
			fails(nil)
			return
		}
		window.Await(answer.Call("text"), func(text app.Value) {
			table, wrong, _ := strings.Cut(text.String(), "\f")
			ctx.Dispatch(func(app.Context) { s.cases, s.wrong = reference.Cases(table), reference.Errata(wrong) })
		}, fails)
	}, fails)
}

// OnDismount implements app.Dismounter.
func (s *sourcesScreen) OnDismount() { s.w.Leave() }

// Render implements app.Composer.
func (s *sourcesScreen) Render() app.UI {
	w := s.w
	if w.Doc == nil || s.cases == nil && !s.fails {
		return ui.SiteFrame(w, "more")
	}
	if s.fails {
		return ui.SiteFrame(w, "more", element.Text("h2", "", w.Say("How the numbers are checked")),
			element.Status("p", "error", "alert", w.Say("The list could not be read from this device. Connect once and try again.")),
			element.Button("wide", w.Say("Try again"), func(ctx app.Context, _ app.Event) { s.fetch(ctx) }))
	}
	var wanted map[string]bool
	heading := app.UI(app.Text(""))
	if f, ok := w.Plan().Figure(s.figure); ok && s.figure != "" {
		wanted = map[string]bool{}
		for _, topic := range reference.Topics(s.figure) {
			wanted[topic] = true
		}
		heading = element.Box("div", "told", ui.FigureTold(w, f),
			element.Link("wide", "/site/"+w.Doc.ID+"/sources", w.Say("Everything that was checked")))
	}
	var topics []string
	by := map[string][]*reference.Case{}
	values, unused := 0, 0
	had := map[string]int{}
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
		had[c.Kind] += len(c.Values)
		if c.Unused {
			unused += len(c.Values)
		}
	}
	return ui.SiteFrame(w, "more",
		element.Text("h2", "", w.Say("How the numbers are checked")),
		heading,
		element.Text("p", "", w.SayCount(values,
			"One value that others published or that follows by plain arithmetic, with what this tool gives for it.",
			"{0} values that others published or that follow by plain arithmetic, with what this tool gives for each.")),
		element.Text("p", "quiet",
			w.SayWith("{0} were read in their sources. Of {1} the formula was read and the value worked out from it. {2} come from memory of the named book or standard, {3} are plain arithmetic.",
				strconv.Itoa(had[reference.KindRead]), strconv.Itoa(had[reference.KindFormula]), strconv.Itoa(had[reference.KindMemory]),
				strconv.Itoa(had[reference.KindComputed]))),
		app.If(unused > 0, element.Text("p", "quiet", w.SayCount(unused,
			"One value checks a formula that no design uses, and says so.",
			"{0} values check formulas that no design uses, and say so."))),
		app.Range(topics).Slice(func(i int) app.UI {
			list := by[topics[i]]
			return app.Elem("details").Class("figure").Attr("open", wanted != nil && i == 0).DataSet("topic", topics[i]).Body(
				element.Box("summary", "",
					element.Text("span", "", w.Say(topicWords[topics[i]])),
					element.Text("span", "figure-value", strconv.Itoa(len(list)))),
				app.Range(list).Slice(func(k int) app.UI { return sourceCase(w.Speaker, list[k]) }))
		}),
		app.If(wanted == nil, misprints(w.Speaker, s.wrong)),
	)
}

func sourceCase(l *language.Speaker, c *reference.Case) app.UI {
	how := map[string]string{reference.KindRead: "read", reference.KindMemory: "from memory",
		reference.KindFormula:  "formula read, value worked out from it",
		reference.KindComputed: "worked out by hand"}[c.Kind]
	return element.Box("div", "source-case",
		app.Elem("p").Lang("en").Body(element.Text("strong", "", c.Title)),
		element.Text("p", "source", l.SayWith("Source: {0} ({1})", c.Source, l.Say(how))),
		app.If(c.Unused, element.Text("p", "quiet", l.Say("No design uses this formula."))),
		element.Box("table", "source-values",
			element.Box("thead", "",
				element.Box("tr", "",
					app.Elem("th").Attr("scope", "col").Text(l.Say("Value")),
					app.Elem("th").Attr("scope", "col").Text(l.Say("Expected")),
					app.Elem("th").
						Attr("scope", "col").Text(l.Say("Here")), app.Elem("th").Attr("scope", "col").Text(l.Say("Off by")))),
			element.Box("tbody", "", app.Range(c.Values).Slice(func(i int) app.UI {
				v := &c.Values[i]
				return element.Box("tr", "",
					app.Elem("th").Attr("scope", "row").Lang("en").Text(v.Name),
					app.Elem("td").Lang("en").Text(v.Expected),
					app.Elem("td").
						Lang("en").Text(v.Got), element.Text("td", "", offBy(l, v.Error)))
			}))),
	)
}

// misprints lists what sources print wrongly.
func misprints(l *language.Speaker, all []reference.Erratum) app.UI {
	return app.Elem("details").Class("figure").DataSet("topic", "misprints").Body(
		element.Box("summary", "",
			element.Text("span", "", l.Say("Misprints in the sources")),
			element.Text("span", "figure-value", strconv.Itoa(len(all)))),
		element.Text("p", "quiet", l.Say("Such a value is not checked against.")),
		app.Range(all).Slice(func(i int) app.UI {
			e := &all[i]
			line := func(name, value string) app.UI {
				return element.Box("tr", "", app.Elem("th").Attr("scope", "row").Text(name), app.Elem("td").Lang("en").Text(value))
			}
			return element.Box("div", "source-case",
				app.Elem("p").Lang("en").Body(element.Text("strong", "", e.Where)),
				app.Elem("p").Class("source").Lang("en").Text(e.Source),
				element.Box("table", "source-values", element.Box("tbody", "", line(l.Say("Printed"), e.Printed),
					line(l.Say("Should be"), e.Should), line(l.Say("Because"), e.Why))))
		}))
}

// offBy writes a relative error.
func offBy(l *language.Speaker, e float64) string {
	switch {
	case e == 0:
		return "0"
	case e < 0.0001:
		return l.Number("< 0.01 %")
	}
	return l.Decimal(e*100, 2) + " %"
}
