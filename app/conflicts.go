package app

import (
	"context"
	"errors"
	"slices"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/survey"
	"pegpour/storage"
	"pegpour/storage/replication"
)

// versionsScreen puts the version here and the yard's side by side, for a
// person to choose.
type versionsScreen struct {
	app.Compo
	w *workspace

	read    bool
	contest replication.Contest
	theirs  map[string]bool // the choice for each path, true for the yard's
	busy    bool
	problem string
	told    string
	stop    func()
}

func newVersionsScreen() *versionsScreen { return &versionsScreen{w: current} }

// OnNav implements app.Navigator.
func (s *versionsScreen) OnNav(ctx app.Context) {
	s.w.follow(ctx, func(app.Context) {
		s.theirs = map[string]bool{}
		s.look()
		if s.stop == nil {
			id := s.w.doc.ID
			s.stop = s.w.store.Watch(func(changed string) {
				if changed == id {
					s.w.dispatch(func(app.Context) { s.look() })
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
	s.w.unfollow()
}

// look reads the two versions. Choices that still can be made stay.
func (s *versionsScreen) look() {
	id, client := s.w.doc.ID, s.w.yard()
	go func() {
		contest, err := client.Contested(context.Background(), id)
		s.w.dispatch(func(app.Context) {
			if err != nil {
				s.problem = holes(say("The two versions cannot be put side by side: {0}"), s.w.errorWords(err))
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
	if w.doc == nil || !s.read && s.problem == "" {
		return siteFrame(w, "more")
	}
	left := len(s.contest.Conflicts) - len(s.theirs)
	if len(s.contest.Conflicts) == 0 {
		words := s.told
		if words == "" {
			words = say("This site has one version: there is nothing to choose.")
		}
		return siteFrame(w, "more tool",
			app.H2().Text(say("Two versions")),
			app.If(s.problem != "", app.P().Class("error").Role("alert").Text(s.problem)),
			app.If(s.problem == "", app.P().ID("one-version").Role("status").Text(words)),
			app.A().Class("wide").Href("/sync").Text(say("Yard")))
	}
	return siteFrame(w, "more tool",
		app.H2().Text(say("Two versions of this site")),
		app.P().Text(say("Here and in the yard the same was changed, each in its own way. Both versions stay in the yard's history whatever is chosen, and undo brings this one back. What only one side changed is taken over by itself.")),
		app.If(s.problem != "", app.P().Class("error").Role("alert").Text(s.problem)),
		app.Range(s.contest.Conflicts).Slice(func(i int) app.UI { return s.conflict(s.contest.Conflicts[i]) }),
		app.Div().Class("row").Body(
			app.Button().Type("button").Class("wide").DataSet("all", "here").Text(say("All as here")).OnClick(func(app.Context, app.Event) { s.chooseAll(false) }),
			app.Button().Type("button").Class("wide").DataSet("all", "yard").Text(say("All as in the yard")).OnClick(func(app.Context, app.Event) { s.chooseAll(true) })),
		app.P().Class("quiet").Role("status").Text(chosenWords(left)),
		app.Div().Class("sign-in-do").Body(app.Button().Type("button").Class("primary").DataSet("do", "settle").Disabled(s.busy || left > 0).
			Text(say("Make one version")).OnClick(func(app.Context, app.Event) { s.settle() })),
	)
}

func chosenWords(left int) string {
	if left == 0 {
		return say("Everything is chosen.")
	}
	return sayCount(left, "One field is still to be chosen.", "{0} fields are still to be chosen.")
}

// conflict is one field with its two sides and what both came from.
func (s *versionsScreen) conflict(c storage.Conflict) app.UI {
	field := fieldOfPath(c.Path)
	name := conflictName(c, field)
	theirs, chosen := s.theirs[c.Path]
	by := s.contest.By
	if by == "" {
		by = say("the yard")
	}
	side := func(take bool, label, who string, raw []byte) app.UI {
		here := chosen && theirs == take
		class, pressed := "choice side", "false"
		if here {
			class, pressed = "choice side here", "true"
		}
		return app.Button().Type("button").Class(class).Aria("pressed", pressed).DataSet("keep", map[bool]string{false: "here", true: "yard"}[take]).
			OnClick(func(app.Context, app.Event) { s.theirs[c.Path] = take }, c.Path, take).Body(
			app.Span().Class("side-name").Text(label),
			app.Strong().Class("side-value").Text(s.w.rawWords(field, raw)),
			app.Span().Class("side-who").Text(who),
			app.Span().Class("side-keep").Body(app.If(here, sign(signDone)), app.Text(keepWords(take, here))))
	}
	before := holes(say("Before: {0}"), s.w.rawWords(field, c.Base))
	if c.Base == nil {
		before = say("Before: nothing, or not certain")
	}
	return app.Section().Class("twin").DataSet("path", c.Path).Aria("label", name).Body(
		app.H3().Text(name),
		app.P().Class("quiet").Text(before),
		app.Div().Class("twin-sides").Role("group").Aria("label", name).Body(
			side(false, say("Here"), holes(say("this device, {0}"), localTime(s.contest.Changed)), c.Ours),
			side(true, say("In the yard"), holes(say("{0}, {1}"), by, localTime(theirTime(s.contest))), c.Theirs)))
}

// keepWords say what a side's button does, or did.
func keepWords(yards, chosen bool) string {
	switch {
	case chosen:
		return say("Kept")
	case yards:
		return say("Keep the yard's")
	}
	return say("Keep this")
}

// theirTime is when the yard's version was changed or, if its device did not
// say, when it came.
func theirTime(c replication.Contest) string {
	if c.TheirsChanged != "" {
		return c.TheirsChanged
	}
	return c.Received
}

// conflictName is what the field of a conflict is called on screen.
func conflictName(c storage.Conflict, field string) string {
	if name := differenceName(storage.Difference{Path: c.Path, Field: field, Name: c.Name}); name != "" {
		return say(name)
	}
	if f, ok := survey.FieldAt(field); ok {
		return say(f.Name)
	}
	return strings.TrimPrefix(c.Path, "/")
}

func (s *versionsScreen) chooseAll(theirs bool) {
	for _, c := range s.contest.Conflicts {
		s.theirs[c.Path] = theirs
	}
}

// settle makes one version of both.
func (s *versionsScreen) settle() {
	w := s.w
	id, client := w.doc.ID, w.yard()
	choice := map[string]bool{}
	for path, theirs := range s.theirs {
		choice[path] = theirs
	}
	s.busy, s.problem = true, ""
	// Behind the edits that still wait to be kept.
	w.background(func(c context.Context) error {
		err := client.Settle(c, id, choice)
		w.dispatch(func(app.Context) {
			s.busy = false
			switch {
			case errors.Is(err, storage.ErrMoved):
				s.problem = say("One of the two versions changed meanwhile. Here is how they stand now.")
			case errors.Is(err, storage.ErrFull):
				s.problem = storeWords(err)
			case err != nil:
				s.problem = sentences(say("An earlier state of this site is on its way and has to arrive first."), yardWords(err))
			default:
				s.told = say("One version was made of both. Both stay in the history, and undo brings back how it was here.")
				s.theirs = map[string]bool{}
				w.hurryYard()
			}
			s.look()
		})
		return nil
	})
}
