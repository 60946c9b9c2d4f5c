package office

import (
	"context"
	"net/url"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/element"
	"pegpour/app/ui"
	"pegpour/app/window"
	"pegpour/storage"
	"pegpour/storage/replication"
)

// officeDeletedScreen lists the deleted sites with who deleted them and when, brings
// them back, and sets for how long that can be.
type officeDeletedScreen struct {
	app.Compo
	o *Office

	deletions []yardDeletion
	next      int64
	days      int
	read      bool
	finding   finding
}

// yardDeletion is the record of a deletion as the yard lists it. Name and Address are
// empty once the site is gone for good.
type yardDeletion struct{ Site, At, Device, Until, Purged, Name, Address string }

// yardRules are the rules of the yard.
type yardRules struct {
	KeepDeletedDays int  `json:"keepDeletedDays"`
	CrewsApart      bool `json:"crewsApart,omitempty"`
}

const (
	deletedStep = 50
	rulesPath   = "/api/v1/rules"
	deletedPath = "/api/v1/deletions"
)

// NewDeletedScreen returns the screen.
func NewDeletedScreen(o *Office) app.Composer { return &officeDeletedScreen{o: o} }

// OnNav implements app.Navigator.
func (s *officeDeletedScreen) OnNav(ctx app.Context) {
	s.o.enter(ctx, func(app.Context) { s.readAll(false) })
}

// OnDismount implements app.Dismounter.
func (s *officeDeletedScreen) OnDismount() {
	s.o.told = ""
	s.o.w.Leave()
}

func (s *officeDeletedScreen) readAll(on bool) {
	var page struct {
		Deletions []yardDeletion
		Next      int64
	}
	var rules yardRules
	var names map[string]string
	path := deletedPath + "?limit=" + strconv.Itoa(deletedStep)
	if on {
		path += "&before=" + strconv.FormatInt(s.next, 10)
	}
	s.o.ask(func(c context.Context) error {
		err := s.o.get(c, path, &page)
		if err == nil {
			err = s.o.get(c, rulesPath, &rules)
		}
		if err == nil {
			names, _, err = s.o.readNames(c)
		}
		return err
	}, func(app.Context) {
		if !on {
			s.deletions = nil
		}
		s.deletions = append(s.deletions, page.Deletions...)
		s.next, s.days, s.o.names, s.read, s.o.problem = page.Next, rules.KeepDeletedDays, names, true, ""
		if len(page.Deletions) < deletedStep {
			s.next = 0
		}
	})
}

// Render implements app.Composer.
func (s *officeDeletedScreen) Render() app.UI {
	w := s.o.w
	return s.o.frame(officeDeleted,
		element.Region("section", "", w.Say("Deleted sites"),
			element.Text("h2", "", w.Say("Deleted sites")),
			element.Text("p", "quiet",
				w.Say("A deleted site is shown to nobody and goes from every phone at its next contact. Until its time is up it can be brought back here; then all of it goes, its photos too. What stays is this record, so that no phone that slept brings it back: a number for the site, when it was deleted, and by which device. It holds no name, no address and no measure.")),
			app.If(!s.read && s.o.problem == "", element.Status("p", "quiet", "status", w.Say("Opening…"))),
			app.If(s.read && len(s.deletions) == 0, element.Text("p", "empty", w.Say("No site was deleted."))),
			element.Box("ul", "office-devices",
				app.Range(s.deletions).Slice(func(i int) app.UI { return s.line(&s.deletions[i]) })),
			app.If(s.next > 0, element.Button("wide", w.Say("Show more"), func(app.Context, app.Event) { s.readAll(true) })),
		),
		app.If(s.read, app.Elem("form").OnSubmit(func(_ app.Context, e app.Event) {
			e.PreventDefault()
			s.keep(window.ValueOf("keep-deleted-days"))
		}).Body(
			element.Label("keep-deleted-days", w.Say("Days for which a deleted site, or a removed photo, can be brought back")),
			app.Input().ID("keep-deleted-days").Class("words").Type("number").Min(0).Max(365).Value(s.days),
			app.Button().Type("submit").Class("wide").DataSet("do", "keep-days").Text(w.Say("Set")))),
		s.person(),
	)
}

func (s *officeDeletedScreen) line(d *yardDeletion) app.UI {
	w, id := s.o.w, d.Site
	name, when := ui.SiteName(w.Speaker, d.Name), w.SayWith("Can be brought back until {0}", w.LocalTime(d.Until))
	if d.Purged != "" {
		name, when = w.Say("A site that is gone for good"), id
	}
	by := w.Say("the command line")
	if d.Device != "" {
		by = s.o.nameOf(d.Device)
	}
	return app.Elem("li").Class("office-device").DataSet("deleted", id).Body(
		element.Box("div", "office-words",
			element.Text("span", "site-name", name), element.Text("span", "site-address", d.Address),
			element.Text("span", "", w.SayWith("Deleted {0} by {1}", w.LocalTime(d.At), by)),
			element.Text("span", "quiet", when)),
		app.If(d.Purged == "", app.Button().Type("button").Class("row-side").DataSet("back", id).Text(w.Say("Bring it back")).
			Aria("label", w.SayWith("Bring back {0}", name)).
			OnClick(func(app.Context, app.Event) { s.bringBack(id, name) }, id, name)))
}

func (s *officeDeletedScreen) bringBack(id, name string) {
	s.o.problem, s.o.told = "", ""
	s.o.ask(func(c context.Context) error {
		_, err := s.o.link.Client().Ask(c, replication.Request{Method: "DELETE", Path: deletedPath + "/" + url.PathEscape(id)}, 204)
		return err
	}, func(app.Context) {
		s.o.told = s.o.w.SayWith("{0} is back.", name)
		s.readAll(false)
	})
}

// keep sets for how many days what was deleted can be brought back.
func (s *officeDeletedScreen) keep(typed string) {
	n, err := strconv.Atoi(strings.TrimSpace(typed))
	if s.o.problem, s.o.told = "", ""; err != nil || n < 0 || n > 365 {
		s.o.problem = s.o.w.Say("Enter whole days, 0 to 365.")
		return
	}
	s.o.ask(func(c context.Context) error {
		_, err := s.o.send(c, "PUT", rulesPath, map[string]int{"keepDeletedDays": n}, 200)
		return err
	}, func(app.Context) {
		s.o.told = s.o.w.Say("The days are set.")
		s.readAll(false)
	})
}

// deletion offers to delete the site on the screen, and asks once more.
func (s *officeSiteScreen) deletion() app.UI {
	w := s.o.w
	return element.Region("section", "", w.Say("Delete this site"),
		app.If(!s.sure, element.Doing("wide", "delete-site", w.Say("Delete this site"), func(app.Context, app.Event) { s.sure = true })),
		app.If(s.sure, element.Acting("div", "bar bar-stop bar-aside", "alert", "",
			element.Text("span", "", w.Say("It goes from the yard and from every phone. For a time it can be brought back under Deleted sites; a correction of it that was begun here and not sent goes at once.")),
			element.Button("", w.Say("Keep it"), func(app.Context, app.Event) { s.sure = false }),
			element.Doing("", "delete-site-now", w.Say("Delete everywhere"), func(app.Context, app.Event) { s.delete() }))))
}

func (s *officeSiteScreen) delete() {
	o, id := s.o, s.id
	s.sure, o.problem, o.told = false, "", ""
	o.ask(func(c context.Context) error {
		_, err := o.link.Client().Ask(c, replication.Request{Method: "DELETE", Path: yardSitePath(id)}, 200)
		if err == nil {
			err = o.w.Store.KeepExchanged(c, nil, []storage.Record{{Key: keyCorrection + id}})
		}
		return err
	}, func(ctx app.Context) { ctx.Navigate("/office/deleted") })
}
