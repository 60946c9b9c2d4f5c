package office

import (
	"context"
	"encoding/json"
	"net/url"
	"slices"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/ui"
	"pegpour/engine/survey"
	"pegpour/engine/text"
	"pegpour/storage"
	"pegpour/storage/replication"
)

// correctionBase is what a correction was begun on.
type correctionBase struct {
	parents []storage.Revision
	doc     *storage.Document
}

// pending reports whether something was changed here that is not in the yard.
func (s *officeSiteScreen) pending() bool {
	if s.site == nil || s.site.Doc == s.base.doc {
		return false
	}
	found, err := storage.Differences(s.base.doc, s.site.Doc)
	return err != nil || len(found) > 0
}

// keepCorrection keeps what was changed on this device until it is sent, so
// that a closed browser loses nothing.
func (s *officeSiteScreen) keepCorrection() {
	if s.older() {
		return
	}
	record := storage.Record{Key: keyCorrection + s.id}
	if s.pending() {
		words, err := storage.Encode(s.site.Doc)
		if err == nil {
			record.Value, err = json.Marshal(correctionKept{s.base.parents, words})
		}
		if err != nil {
			s.o.problem = s.o.w.StoreErrorWords(err)
			return
		}
	}
	w := s.o.w
	w.BackgroundOf(record.Key, func(c context.Context) error {
		return w.Store.KeepExchanged(c, nil, []storage.Record{record})
	})
}

// correctionBar says what was changed here and sends it.
func (s *officeSiteScreen) correctionBar() app.UI {
	w := s.site
	if s.older() || !s.pending() && !w.CanRedo {
		return app.Text("")
	}
	pending := s.pending()
	waits := "" // room below for the bar that keeps its place
	if pending {
		waits = "correction-waits"
	}
	return app.Elem("section").Class("correction").Class(waits).Aria("label", w.Say("Correction")).Body(
		element.Box("div", "correction-head",
			element.Text("h2", "", w.Say("Correction, not sent yet")),
			ui.IconButton(w.Speaker, ui.SignUndo, "Undo", w.CanUndo, func(ctx app.Context) { s.site.Undo() }),
			ui.IconButton(w.Speaker, ui.SignRedo, "Redo", w.CanRedo, func(ctx app.Context) { s.site.Redo() }),
		),
		app.If(pending, ui.DifferenceList(w, s.base.doc, w.Doc)),
		app.If(!pending, element.Text("p", "quiet", w.Say("Everything was taken back."))),
		app.If(pending && !s.onNewest(),
			element.Text("p", "",
				w.Say("The site changed in the yard since this correction was begun. The yard brings both together field by field; where both changed the same, a person chooses."))),
		app.If(pending,
			element.Text("p", "quiet", w.Say("It is kept in this browser until it is sent, and comes to the crew's phones with their next signal."))),
		app.If(pending, element.Doing("wide", "drop", w.Say("Take everything back"), func(ctx app.Context, _ app.Event) { s.revert(ctx) })),
		// In reach wherever on the page one corrects.
		app.If(pending, element.Box("div", "thumb-bar",
			app.Button().Type("button").Class("primary").DataSet("do", "send").Disabled(s.sending).
				Text(w.Say("Send the correction")).OnClick(func(app.Context, app.Event) { s.send() }))),
	)
}

// onNewest reports whether the correction rests on all that the yard has.
func (s *officeSiteScreen) onNewest() bool {
	if len(s.base.parents) != len(s.o.line.Heads) {
		return false
	}
	for _, p := range s.base.parents {
		if !slices.Contains(s.o.line.Heads, string(p)) {
			return false
		}
	}
	return true
}

// revert makes the site again what it was, which can be undone.
func (s *officeSiteScreen) revert(ctx app.Context) {
	e, err := storage.Diff(s.site.Doc, s.base.doc)
	e.Label = "Take everything back"
	s.site.Commit(ctx, e, err)
}

// send makes the correction a revision of the yard. What is typed meanwhile is
// a correction of that.
func (s *officeSiteScreen) send() {
	if s.sending {
		return
	}
	d := *s.site.Doc
	d.Changed = editing.Now()
	s.sendRevision(&d, s.base.parents, func(name storage.Revision) {
		typed := s.site.Doc
		s.base = correctionBase{parents: []storage.Revision{name}, doc: &d}
		if found, err := storage.Differences(&d, typed); err == nil && len(found) == 0 {
			s.site.Doc = &d
			s.keepCorrection()
			s.read()
			return
		}
		s.keepCorrection()
	})
}

// sendRevision sends a state as a revision of what it came from.
func (s *officeSiteScreen) sendRevision(d *storage.Document, parents []storage.Revision, then func(storage.Revision)) {
	words, err := storage.Encode(d)
	if err != nil {
		s.o.problem = s.o.w.StoreErrorWords(err)
		return
	}
	name := storage.NameRevision(words, parents...)
	path := yardSitePath(s.id) + "/revisions/" + string(name)
	for i, p := range parents {
		path += map[bool]string{true: "?", false: "&"}[i == 0] + "parent=" + url.QueryEscape(string(p))
	}
	s.sending, s.o.problem, s.o.told = true, "", ""
	request := replication.Request{Method: "PUT", Path: path, Body: words,
		Header: map[string]string{"Content-Type": "application/json"}}
	id := s.id
	go func() {
		c, stop := context.WithTimeout(context.Background(), officeEvery)
		defer stop()
		_, err := s.o.link.Client().Ask(c, request, 200, 201)
		s.o.w.Dispatch(func(app.Context) {
			s.sending = false
			if err == nil && (s.id != id || s.site == nil) {
				return // it is in the yard, and another site is on the screen by now
			}
			if err != nil {
				s.o.fail(err)
				return
			}
			s.o.told = s.o.w.Say("Sent: it is in the yard.")
			then(name)
		})
	}()
}

// figures lists every field of the site, to be read and corrected.
func (s *officeSiteScreen) figures() app.UI {
	w := s.site
	taken := w.Survey()
	var groups []app.UI
	for _, group := range survey.Groups() {
		var rows []app.UI
		for _, f := range survey.Fields(&taken) {
			if f.Group == group && (f.Needed(&taken) || f.Words(&taken) != "") {
				rows = append(rows, s.figure(f))
			}
		}
		if len(rows) > 0 {
			groups = append(groups, app.Elem("details").Class("office-group").
				Attr("open", group == survey.GroupSite || group == survey.GroupOpening).Body(
				element.Box("summary", "", element.Text("span", "", w.Say(group))), element.Box("div", "", rows...)))
		}
	}
	if !s.older() {
		s.o.w.Screen.Defer(func(app.Context) { s.fill() })
	}
	return element.Region("section", "office-figures", w.Say("All figures"),
		element.Text("h2", "", w.Say("All figures")),
		element.Text("p", "quiet",
			w.Say("What is changed here is a correction by the office: it keeps who measured, and the history says that it came from here.")),
		element.Box("div", "", groups...),
		app.If(!s.older() && !s.pending(),
			element.Doing("wide", "measure-here", w.Say("Measure up on this device"), func(ctx app.Context, _ app.Event) { s.measureHere() })))
}

// measureHere takes the site onto this device, where every screen of measuring
// works on it; what is changed there goes to the yard like a crew's.
func (s *officeSiteScreen) measureHere() {
	id := s.id
	s.o.ask(func(c context.Context) error { return s.o.link.Client().Fetch(c, id) }, func(ctx app.Context) {
		ctx.Navigate("/site/" + url.PathEscape(id) + "/measure")
	})
}

// figure is one field with its entry; in an older version it is only read.
func (s *officeSiteScreen) figure(f survey.Field) app.UI {
	w := s.site
	if s.older() {
		return element.Box("div", "figure-link", element.Text("span", "", w.SayName(f.Name)), ui.ValueWords(w, f))
	}
	id, path := "figure-"+f.Path, f.Path
	var entry app.UI
	problem := ""
	switch {
	case f.Dimension == text.Choice:
		chosen := f.Words(&w.Doc.Survey)
		options := []app.UI{app.Option().Value("").Selected(chosen == "").Text("~ " + w.Say(f.Options[0].Words))}
		for _, o := range f.Options {
			options = append(options, app.Option().Value(o.Value).Selected(chosen == o.Value).Text(w.Say(o.Words)))
		}
		entry = app.Select().ID(id).DataSet("figure", path).OnChange(func(ctx app.Context, e app.Event) {
			w.Answer(ctx, f, e.Get("target").Get("value").String())
		}, path, s.reads).Body(options...)
	case f.Numeric():
		_, problem = w.Entry(f)
		entry = app.Input().ID(id).Type("text").DataSet("figure", path).Attr("inputmode", "decimal").
			Attr("autocomplete", "off").
			Placeholder(w.Placeholder(f)).Aria("describedby", id+"-says").OnInput(func(ctx app.Context, e app.Event) {
			w.Type(ctx, f, e.Get("target").Get("value").String())
		}, path, s.reads)
	case path == survey.SiteNotes:
		entry = app.Textarea().ID(id).DataSet("figure", path).Rows(4).OnInput(func(ctx app.Context, e app.Event) {
			w.TypeWords(ctx, f, e.Get("target").Get("value").String())
		}, path, s.reads)
	default:
		_, problem = w.WordsEntry(f)
		entry = app.Input().ID(id).Type("text").DataSet("figure", path).Attr("autocomplete", "off").
			OnInput(func(ctx app.Context, e app.Event) {
				w.TypeWords(ctx, f, e.Get("target").Get("value").String())
			}, path, s.reads)
	}
	unit, way := "", app.UI(app.Text(""))
	if f.Numeric() {
		unit = w.UnitOf(f)
		now := w.Method(f)
		way = app.Button().Type("button").Class("way").DataSet("way", string(now)).
			Aria("label", w.SayWith("{0}. How it was taken: {1}. Tap for the next way.", w.SayName(f.Name),
				w.Say(f.MethodWords(now)))).
			Text(w.Say(f.MethodWords(now))).
			OnClick(func(ctx app.Context, _ app.Event) { w.SetMethod(ctx, f, editing.NextMethod(f, now)) }, path, now, s.reads)
	}
	return element.Box("div", "office-figure",
		element.Label(id, w.SayName(f.Name)),
		element.Box("div", "office-entry", entry, element.Text("span", "unit", unit), way),
		element.Known("p", id+"-says", "error", "status", problem),
	)
}

// fill puts what the site holds into the entries, but not into the one that is
// being typed in.
func (s *officeSiteScreen) fill() {
	if !app.IsClient || s.gone || s.site == nil {
		return
	}
	document := app.Window().Get("document")
	active := document.Get("activeElement")
	entries := document.Call("querySelectorAll", "[data-figure][id]")
	for i := range entries.Length() {
		entry := entries.Index(i)
		if entry.Equal(active) && entry.Get("tagName").String() != "SELECT" {
			continue
		}
		f, ok := survey.FieldAt(entry.Get("dataset").Get("figure").String())
		if !ok {
			continue
		}
		want, _ := s.site.WordsEntry(f)
		if f.Numeric() {
			want, _ = s.site.Entry(f)
		}
		if entry.Get("value").String() != want {
			entry.Set("value", want)
		}
	}
}
