package office

import (
	"context"
	"net/url"
	"slices"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/ui"
	"pegpour/storage"
)

const (
	pastStep   = 20 // revisions shown at first and with each 'show more'
	pastOpened = 3  // how many of the newest say at once what changed
)

// history lists who sent what, and what changed.
func (s *officeSiteScreen) history() app.UI {
	shown := s.past[:min(len(s.past), s.most)]
	return app.Section().Class("office-history").Aria("label", s.o.w.Say("History")).Body(
		app.H2().Text(s.o.w.Say("History")),
		app.Ol().Class("past").Body(app.Range(shown).Slice(func(i int) app.UI { return s.pastLine(&shown[i]) })),
		app.If(len(s.past) > len(shown), app.Button().Type("button").Class("wide").Text(s.o.w.Say("Show older versions")).
			OnClick(func(app.Context, app.Event) { s.most += pastStep })),
	)
}

func (s *officeSiteScreen) pastLine(p *yardPast) app.UI {
	name := p.Revision
	address := "/office/site/" + url.PathEscape(s.id) + "?revision=" + name
	return app.Li().DataSet("revision", name).Body(
		app.Div().Class("past-head").Body(
			app.Span().Body(
				app.Strong().Text(s.o.w.LocalTime(p.Received)),
				app.Text(" "+s.o.nameOf(p.Device)),
				app.If(p.Waiting, app.Span().Class("quiet").Text(" "+s.o.w.Say("waits for an earlier one")))),
			app.If(name != s.shown, app.A().Class("quiet-link").Href(address).
				Aria("label", s.o.w.SayWith("Open the version of {0}", s.o.w.LocalTime(p.Received))).Text(s.o.w.Say("Open"))),
			app.If(name == s.shown, app.Span().Class("chip").Text(s.o.w.Say("on the screen"))),
		),
		s.whatChanged(p),
	)
}

// whatChanged lists what a revision changed, once it has been asked for.
func (s *officeSiteScreen) whatChanged(p *yardPast) app.UI {
	if len(p.Parents) == 0 {
		return app.P().Class("quiet").Text(s.o.w.Say("The first version."))
	}
	name := p.Revision
	if !s.opened[name] {
		return app.Button().Type("button").Class("switch").DataSet("changed", name).Text(s.o.w.Say("What changed")).
			OnClick(func(app.Context, app.Event) { s.openPast(name) }, name)
	}
	after, before := s.states[name], s.states[p.Parents[0]]
	if after == nil || before == nil {
		return app.P().Class("quiet").Role("status").Text(s.o.w.Say("Opening…"))
	}
	return ui.DifferenceList(s.site, before, after)
}

// openNewest opens the newest changes, which one is likeliest to look for.
func (s *officeSiteScreen) openNewest() {
	for i := range s.past[:min(len(s.past), pastOpened)] {
		s.openPast(s.past[i].Revision)
	}
}

// openPast reads what is needed to say what a revision changed.
func (s *officeSiteScreen) openPast(name string) {
	i := slices.IndexFunc(s.past, func(p yardPast) bool { return p.Revision == name })
	if i < 0 || s.opened[name] || len(s.past[i].Parents) == 0 {
		return
	}
	s.opened[name] = true
	var missing []string
	for _, r := range []string{name, s.past[i].Parents[0]} {
		if s.states[r] == nil {
			missing = append(missing, r)
		}
	}
	found := make([]*storage.Document, len(missing))
	s.o.ask(func(c context.Context) error {
		for k, r := range missing {
			var err error
			if found[k], err = s.state(c, r); err != nil {
				return err
			}
		}
		return nil
	}, func(app.Context) {
		for k, r := range missing {
			s.states[r] = found[k]
		}
	})
}
