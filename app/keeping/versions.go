package keeping

import (
	"context"
	"errors"
	"slices"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/language"
	"pegpour/app/ui"
	"pegpour/app/yardlink"
	"pegpour/storage"
	"pegpour/storage/replication"
)

// versionsScreen puts the version here and the yard's side by side, for a
// person to choose.
type versionsScreen struct {
	app.Compo
	w    *editing.Site
	link *yardlink.Link

	read    bool
	contest replication.Contest
	theirs  map[string]bool // the choice for each path, true for the yard's
	busy    bool
	problem string
	told    string
	stop    func()
}

// NewVersionsScreen returns the screen.
func NewVersionsScreen(w *editing.Site, link *yardlink.Link) app.Composer {
	return &versionsScreen{w: w, link: link}
}

// OnNav implements app.Navigator.
func (s *versionsScreen) OnNav(ctx app.Context) {
	s.w.Follow(ctx, func(app.Context) {
		s.theirs = map[string]bool{}
		s.readVersions()
		if s.stop == nil {
			id := s.w.Doc.ID
			s.stop = s.w.Store.Watch(func(changed string) {
				if changed == id {
					s.w.Dispatch(func(app.Context) { s.readVersions() })
				}
			})
		}
	})
}

// OnDismount implements app.Dismounter.
func (s *versionsScreen) OnDismount() {
	if s.stop != nil {
		s.stop()
		s.stop = nil
	}
	s.w.Leave()
}

// readVersions reads the two versions. Choices that still can be made stay.
func (s *versionsScreen) readVersions() {
	if s.w.Doc == nil {
		return
	}
	id, client := s.w.Doc.ID, s.link.Client()
	go func() {
		contest, err := client.Contested(context.Background(), id)
		s.w.Dispatch(func(app.Context) {
			if s.w.Doc == nil || s.w.Doc.ID != id {
				return // another site's by now
			}
			if err != nil {
				s.problem = s.w.SayWith("The two versions cannot be put side by side: {0}", s.w.ErrorWords(err))
				return
			}
			for path := range s.theirs {
				if !slices.ContainsFunc(contest.Conflicts, func(c storage.Conflict) bool { return c.Path == path }) {
					delete(s.theirs, path)
				}
			}
			s.read, s.contest = true, contest
		})
	}()
}

// Render implements app.Composer.
func (s *versionsScreen) Render() app.UI {
	w := s.w
	if w.Doc == nil || !s.read && s.problem == "" {
		return ui.SiteFrame(w, "more")
	}
	left := len(s.contest.Conflicts) - len(s.theirs)
	if len(s.contest.Conflicts) == 0 {
		words := s.told
		if words == "" {
			words = w.Say("This site has one version: there is nothing to choose.")
		}
		return ui.SiteFrame(w, "more tool",
			element.Text("h2", "", w.Say("Two versions")),
			app.If(s.problem != "", element.Status("p", "error", "alert", s.problem)),
			app.If(s.problem == "", app.Elem("p").ID("one-version").Role("status").Text(words)),
			element.Link("wide", "/sync", w.Say("Yard")))
	}
	return ui.SiteFrame(w, "more tool",
		element.Text("h2", "", w.Say("Two versions of this site")),
		element.Text("p", "",
			w.Say("Here and in the yard the same was changed, each in its own way. Both versions stay in the yard's history whatever is chosen, and undo brings this one back. What only one side changed is taken over by itself.")),
		app.If(s.problem != "", element.Status("p", "error", "alert", s.problem)),
		app.Range(s.contest.Conflicts).Slice(func(i int) app.UI { return s.conflict(s.contest.Conflicts[i]) }),
		element.Box("div", "row",
			app.Button().Type("button").Class("wide").DataSet("all", "here").Text(w.Say("All as here")).
				OnClick(func(app.Context, app.Event) { s.chooseAll(false) }),
			app.Button().Type("button").Class("wide").DataSet("all", "yard").Text(w.Say("All as in the yard")).
				OnClick(func(app.Context, app.Event) { s.chooseAll(true) })),
		element.Status("p", "quiet", "status", chosenWords(w.Speaker, left)),
		element.Box("div", "sign-in-do", app.Button().Type("button").Class("primary").DataSet("do", "settle").Disabled(s.busy || left > 0).
			Text(w.Say("Make one version")).OnClick(func(app.Context, app.Event) { s.mergeVersions() })),
	)
}

func chosenWords(l *language.Speaker, left int) string {
	if left == 0 {
		return l.Say("Everything is chosen.")
	}
	return l.SayCount(left, "One field is still to be chosen.", "{0} fields are still to be chosen.")
}

// conflict is one field with its two sides and what both came from.
func (s *versionsScreen) conflict(c storage.Conflict) app.UI {
	field := ui.FieldOfPath(c.Path)
	name := ui.ConflictName(s.w.Speaker, c, field)
	theirs, chosen := s.theirs[c.Path]
	by := s.contest.By
	if by == "" {
		by = s.w.Say("the yard")
	}
	side := func(take bool, label, who string, raw []byte) app.UI {
		here := chosen && theirs == take
		class, pressed := "choice side", "false"
		if here {
			class, pressed = "choice side here", "true"
		}
		return app.Button().Type("button").Class(class).Aria("pressed", pressed).
			DataSet("keep", map[bool]string{false: "here", true: "yard"}[take]).
			OnClick(func(app.Context, app.Event) { s.theirs[c.Path] = take }, c.Path, take).Body(
			element.Text("span", "side-name", label),
			element.Text("strong", "side-value", ui.RawWords(s.w, field, raw)),
			element.Text("span", "side-who", who),
			element.Box("span", "side-keep", app.If(here, ui.Sign(ui.SignDone)), app.Text(keepWords(s.w.Speaker, take, here))))
	}
	before := s.w.SayWith("Before: {0}", ui.RawWords(s.w, field, c.Base))
	if c.Base == nil {
		before = s.w.Say("Before: nothing, or not certain")
	}
	return app.Elem("section").Class("twin").DataSet("path", c.Path).Aria("label", name).Body(
		element.Text("h3", "", name),
		element.Text("p", "quiet", before),
		element.Acting("div", "twin-sides", "group", name,
			side(false, s.w.Say("Here"), s.w.SayWith("this device, {0}", s.w.LocalTime(s.contest.Changed)), c.Ours),
			side(true, s.w.Say("In the yard"), s.w.SayWith("{0}, {1}", by, s.w.LocalTime(theirTime(s.contest))), c.Theirs)))
}

// keepWords say what a side's button does, or did.
func keepWords(l *language.Speaker, yards, chosen bool) string {
	switch {
	case chosen:
		return l.Say("Kept")
	case yards:
		return l.Say("Keep the yard's")
	}
	return l.Say("Keep this")
}

// theirTime is when the yard's version was changed or, if its device did not
// say, when it came.
func theirTime(c replication.Contest) string {
	if c.TheirsChanged != "" {
		return c.TheirsChanged
	}
	return c.Received
}

func (s *versionsScreen) chooseAll(theirs bool) {
	for _, c := range s.contest.Conflicts {
		s.theirs[c.Path] = theirs
	}
}

// mergeVersions makes one version of both.
func (s *versionsScreen) mergeVersions() {
	w := s.w
	id, client := w.Doc.ID, s.link.Client()
	choice := map[string]bool{}
	for path, theirs := range s.theirs {
		choice[path] = theirs
	}
	s.busy, s.problem = true, ""
	// Behind the edits that still wait to be kept.
	w.Background(func(c context.Context) error {
		err := client.Settle(c, id, choice)
		w.Dispatch(func(app.Context) {
			s.busy = false
			switch {
			case errors.Is(err, storage.ErrMoved):
				s.problem = w.Say("One of the two versions changed meanwhile. Here is how they stand now.")
			case errors.Is(err, storage.ErrFull):
				s.problem = w.StoreErrorWords(err)
			case err != nil:
				s.problem = language.Sentences(w.Say("An earlier state of this site is on its way and has to arrive first."),
					yardlink.ErrorWords(w.Speaker, err))
			default:
				s.told = w.Say("One version was made of both. Both stay in the history, and undo brings back how it was here.")
				s.theirs = map[string]bool{}
				s.link.Hurry()
			}
			s.readVersions()
		})
		return nil
	})
}
