package office

import (
	"context"
	"net/url"
	"slices"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/element"
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
	return element.Region("section", "office-history", s.o.w.Say("History"),
		element.Text("h2", "", s.o.w.Say("History")),
		element.Box("ol", "past", app.Range(shown).Slice(func(i int) app.UI { return s.pastLine(&shown[i]) })),
		app.If(len(s.past) > len(shown),
			element.Button("wide", s.o.w.Say("Show older versions"), func(app.Context, app.Event) { s.most += pastStep })),
	)
}

func (s *officeSiteScreen) pastLine(p *yardPast) app.UI {
	name := p.Revision
	address := "/office/site/" + url.PathEscape(s.id) + "?revision=" + name
	return app.Elem("li").DataSet("revision", name).Body(
		element.Box("div", "past-head",
			element.Box("span", "",
				element.Text("strong", "", s.o.w.LocalTime(p.Received)),
				app.Text(" "+s.o.nameOf(p.Device)),
				app.If(p.Waiting, element.Text("span", "quiet", " "+s.o.w.Say("waits for an earlier one")))),
			app.If(name != s.shown, app.A().Class("quiet-link").Href(address).
				Aria("label", s.o.w.SayWith("Open the version of {0}", s.o.w.LocalTime(p.Received))).Text(s.o.w.Say("Open"))),
			app.If(name == s.shown, element.Text("span", "chip", s.o.w.Say("on the screen"))),
		),
		s.whatChanged(p),
	)
}

// whatChanged lists what a revision changed, once it has been asked for.
func (s *officeSiteScreen) whatChanged(p *yardPast) app.UI {
	if len(p.Parents) == 0 {
		return element.Text("p", "quiet", s.o.w.Say("The first version."))
	}
	name := p.Revision
	if !s.opened[name] {
		return app.Button().Type("button").Class("switch").DataSet("changed", name).Text(s.o.w.Say("What changed")).
			OnClick(func(app.Context, app.Event) { s.openPast(name) }, name)
	}
	after, before := s.states[name], s.states[p.Parents[0]]
	if after == nil || before == nil {
		return element.Status("p", "quiet", "status", s.o.w.Say("Opening…"))
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
