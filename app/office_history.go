package app

import (
	"context"
	"encoding/json"
	"net/url"
	"slices"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
	"pegpour/storage"
)

const (
	pastStep   = 20 // revisions shown at first and with each 'show more'
	pastOpened = 3  // how many of the newest say at once what changed
)

// history lists who sent what, and what changed.
func (s *officeSiteScreen) history() app.UI {
	shown := s.past[:min(len(s.past), s.most)]
	return app.Section().Class("office-history").Aria("label", say("History")).Body(
		app.H2().Text(say("History")),
		app.Ol().Class("past").Body(app.Range(shown).Slice(func(i int) app.UI { return s.pastLine(&shown[i]) })),
		app.If(len(s.past) > len(shown), app.Button().Type("button").Class("wide").Text(say("Show older versions")).
			OnClick(func(app.Context, app.Event) { s.most += pastStep })),
	)
}

func (s *officeSiteScreen) pastLine(p *yardPast) app.UI {
	name := p.Revision
	address := "/office/site/" + url.PathEscape(s.id) + "?revision=" + name
	return app.Li().DataSet("revision", name).Body(
		app.Div().Class("past-head").Body(
			app.Span().Body(
				app.Strong().Text(localTime(p.Received)),
				app.Text(" "+s.o.nameOf(p.Device)),
				app.If(p.Waiting, app.Span().Class("quiet").Text(" "+say("waits for an earlier one")))),
			app.If(name != s.shown, app.A().Class("quiet-link").Href(address).Aria("label", strings.ReplaceAll(say("Open the version of {0}"), "{0}", localTime(p.Received))).Text(say("Open"))),
			app.If(name == s.shown, app.Span().Class("chip").Text(say("on the screen"))),
		),
		s.whatChanged(p),
	)
}

// whatChanged lists what a revision changed, once it has been asked for.
func (s *officeSiteScreen) whatChanged(p *yardPast) app.UI {
	if len(p.Parents) == 0 {
		return app.P().Class("quiet").Text(say("The first version."))
	}
	name := p.Revision
	if !s.opened[name] {
		return app.Button().Type("button").Class("switch").DataSet("changed", name).Text(say("What changed")).
			OnClick(func(app.Context, app.Event) { s.openPast(name) }, name)
	}
	after, before := s.states[name], s.states[p.Parents[0]]
	if after == nil || before == nil {
		return app.P().Class("quiet").Role("status").Text(say("Opening…"))
	}
	return differenceList(s.site, before, after)
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

// differenceList says which fields changed, from what to what.
func differenceList(w *workspace, before, after *storage.Document) app.UI {
	found, err := storage.Differences(before, after)
	if err != nil {
		return app.P().Class("error").Text(sayWith("The two versions cannot be compared: {0}", current.errorWords(err)))
	}
	if len(found) == 0 {
		return app.P().Class("quiet").Text(say("Nothing that one measures or writes changed."))
	}
	return app.Dl().Class("changes").Body(app.Range(found).Slice(func(i int) app.UI {
		d := found[i]
		return app.Div().Class("change").DataSet("change", d.Path).Body(
			app.Dt().Text(differenceName(d)),
			app.Dd().Text(strings.NewReplacer("{0}", w.rawWords(d.Field, d.Before), "{1}", w.rawWords(d.Field, d.After)).Replace(say("{0} → {1}"))))
	}))
}

// differenceName is what a field is called on screen.
func differenceName(d storage.Difference) string {
	if d.Field != "" {
		if f, ok := survey.FieldAt(d.Field); ok {
			return say(f.Name)
		}
	}
	parts := strings.Split(strings.TrimPrefix(d.Path, "/"), "/")
	switch {
	case parts[0] == "photos":
		return say("Photo")
	case parts[0] == "notes":
		return say("Note")
	case parts[0] == "ticks":
		return say("Ticked off on site")
	case parts[0] == "drafts":
		return say("Typed, and not read")
	case parts[0] == "practice" && len(parts) > 1:
		if r, ok := practice.RuleByKey(parts[1]); ok {
			return say(r.Name)
		}
	case strings.HasPrefix(d.Field, survey.RunBackObstructions):
		return say("Something in the way")
	}
	return d.Name
}

// rawWords writes a side of a difference or of a conflict for a person.
func (w *workspace) rawWords(field string, raw json.RawMessage) string {
	if len(raw) == 0 {
		return say("nothing")
	}
	f, known := survey.FieldAt(field)
	known = known && field != ""
	var value survey.Value
	if known && f.Numeric() && json.Unmarshal(raw, &value) == nil {
		if !value.Known() {
			return say("nothing")
		}
		return sayWith("{0}, {1}", w.size(value.Size, f.Dimension), say(methodWords(value.How)))
	}
	var words string
	if json.Unmarshal(raw, &words) == nil {
		if known && f.Dimension == text.Choice {
			return say(optionWords(f, words))
		}
		return "“" + words + "”"
	}
	var entry struct{ Name, Text, Note, Kind string }
	if json.Unmarshal(raw, &entry) == nil {
		for _, t := range []string{entry.Note, entry.Text, entry.Name, entry.Kind} {
			if t != "" {
				return "“" + t + "”"
			}
		}
	}
	switch plain := string(raw); {
	case plain == "true":
		return say("yes")
	case plain == "false":
		return say("no")
	case len(plain) > 60:
		return say("something")
	default:
		return plain
	}
}
