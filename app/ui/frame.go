package ui

import (
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/shell"
	"pegpour/app/window"
)

// tab is one of the screens of a site, in the order of the bar at the bottom.
type tab struct {
	path, name, short, sign string
}

var tabs = []tab{
	{"measure", "Measure-up", "Measure", "M4 16h16M4 16v-5M8 16v-3M12 16v-5M16 16v-3M20 16v-5"},
	{"set-out", "Set-out", "Set-out¦short, in the bar at the bottom", "M4 18h16M6 18V8h6v4h6v6"},
	{"pour", "Dig and pour", "Dig", "M5 19l5-5M8 8l8 8M13 3c4 1 7 4 8 8l-4 1-5-5z"},
	{"watch", "Watch-outs", "Watch", "M12 4l9 16H3zM12 10v5M12 17.5v.5"},
	{"more", "The whole job", "Job¦short, in the bar at the bottom", "M4 6h2M9 6h11M4 12h2M9 12h11M4 18h2M9 18h11"},
}

// SiteFrame is what every screen of a site has: bar on top, content, tabs.
func SiteFrame(w *editing.Site, here string, content ...app.UI) app.UI {
	if w.Failure != "" {
		return PlainFrame(w.Device, w.Say("Pegpour"), "/", Opening(w.Device))
	}
	if w.Doc == nil {
		// Its title is no heading: the site's, which has less room, then comes as
		// a new element and does not count as one that moved.
		return element.Box("div", "screen",
			UpdateNotice(w.Device),
			element.Box("header", "top",
				app.A().Class("icon").Href("/").Aria("label", w.Say("All sites")).Body(Sign(SignBack)),
				element.Text("p", "title", w.Say("Pegpour"))),
			Notices(w.Device),
			app.Elem("main").Class("content").ID("content").Body(Opening(w.Device)))
	}
	here, mode, _ := strings.Cut(here, " ")
	return app.Elem("div").Class("screen").Class("screen-"+here).Class(mode).Body(
		UpdateNotice(w.Device),
		element.Box("header", "top top-keys",
			app.A().Class("icon").Href("/").Aria("label", w.Say("All sites")).Body(Sign(SignBack)),
			app.Elem("h1").Class("title").Class(HeadClass(w.Doc.Demo)).
				Body(Head(w.Speaker, w.Doc.Survey.Site.Name, w.Doc.Demo)...),
			IconButton(w.Speaker, SignUndo, "Undo", w.CanUndo, func(ctx app.Context) { w.Undo() }),
			IconButton(w.Speaker, SignRedo, "Redo", w.CanRedo, func(ctx app.Context) { w.Redo() }),
		),
		Notices(w.Device),
		overwroteBar(w),
		app.Elem("main").Class("content").ID("content").Body(content...),
		app.Elem("nav").Class("tabs").Aria("label", w.Say("Screens of this site")).Body(
			app.Range(tabs).Slice(func(i int) app.UI {
				t := tabs[i]
				link := app.A().Class("tab").Href("/site/"+w.Doc.ID+"/"+t.path).Body(
					Sign(t.sign), element.Text("span", "", w.Say(t.short)), tabCount(w, t.path))
				if t.path != "watch" || w.Stops() == 0 { // else its words and its number name it
					link = link.Aria("label", w.Say(t.name))
				}
				if t.path == here {
					link = link.Class("here").Aria("current", "page")
				}
				return link
			}),
		),
	)
}

// Opening stands while the store is opened, or says why it cannot be.
func Opening(d *editing.Device) app.UI {
	if d.Failure != "" {
		return element.Box("div", "list",
			element.Status("p", "error", "alert", d.Failure),
			element.Doing("wide", "load-again", d.Say("Try again"), func(app.Context, app.Event) { shell.LoadAnew() }))
	}
	return element.Text("p", "quiet", d.Say("Opening…"))
}

// tabCount shows how many watch-outs say stop.
func tabCount(w *editing.Site, path string) app.UI {
	if path != "watch" {
		return app.Text("")
	}
	n := w.Stops()
	return app.If(n > 0, app.Elem("span").Class("count").Aria("label", w.SayCount(n, "one says stop", "{0} say stop")).Text(n))
}

// PlainFrame is a screen without a site.
func PlainFrame(d *editing.Device, title, back string, content ...app.UI) app.UI {
	return element.Box("div", "screen",
		UpdateNotice(d),
		element.Box("header", "top",
			app.If(back != "", app.A().Class("icon").Href(back).Aria("label", d.Say("Back")).Body(Sign(SignBack))),
			element.Text("h1", "title", title),
		),
		Notices(d),
		app.Elem("main").Class("content").ID("content").Body(content...),
	)
}

// Notices are the plain bars under the top: what could not be saved.
func Notices(d *editing.Device) app.UI {
	return element.Box("div", "",
		app.If(d.Unsaved != "", element.Acting("div", "bar bar-stop", "alert", "",
			element.Text("span", "", d.Unsaved),
			app.Button().Type("button").Text(d.Say("Try again")).OnClick(func(ctx app.Context, _ app.Event) { d.Retry(ctx) }),
		)),
		app.If(d.Lost > 0, element.Acting("div", "bar bar-stop", "alert", "",
			element.Text("span", "", d.SayCount(d.Lost,
				"This browser threw away what it kept here, one site. What the yard has comes back once this phone is paired with it again; what was backed up can be restored.",
				"This browser threw away what it kept here, {0} sites. What the yard has comes back once this phone is paired with it again; what was backed up can be restored.")),
			element.Link("", "/sync", d.Say("Yard")),
			element.Link("", "/safe", d.Say("Keep safe")),
			app.Button().Type("button").Text(d.Say("Seen")).OnClick(func(app.Context, app.Event) { d.Lost = 0 }))),
		app.Range(d.Asides).Slice(func(i int) app.UI { return asideBar(d, d.Asides[i]) }))
}

// asideBar says what can never be stored, and what can be done with it.
func asideBar(d *editing.Device, a editing.Aside) app.UI {
	do := func(name, words string, then func()) app.UI {
		return app.Button().Type("button").DataSet("aside", name).Text(words).
			OnClick(func(app.Context, app.Event) { then() }, a.ID, name)
	}
	return element.Acting("div", "bar bar-stop bar-aside", "alert", "",
		element.Text("span", "", d.SayWith("This change cannot be kept: {0}", d.RefusalWords(a.Why))),
		app.Elem("pre").Text(a.Words()),
		do("copy", d.Say("Copy it"), func() { window.Copy(a.Words()) }),
		do("save", d.Say("Save as a file"), func() {
			window.Save("not-kept.txt", window.Blob("text/plain;charset=utf-8", a.Words()))
		}),
		do("drop", d.Say("Drop it"), func() { d.DropAside(a.ID) }))
}

// overwroteBar says which changes made elsewhere were replaced here.
func overwroteBar(w *editing.Site) app.UI {
	return app.If(len(w.Overwrote) > 0, app.Elem("div").Class("bar bar-aside").Role("status").ID("overwrote").Body(
		app.Range(w.Overwrote).Slice(func(i int) app.UI {
			c := w.Overwrote[i].Contested()
			return element.Text("span", "",
				w.SayWith("{0}: somebody else entered {1} meanwhile. What you entered stands; undo brings the other back.",
					ConflictName(w.Speaker, c, FieldOfPath(c.Path)), RawWords(w, FieldOfPath(c.Path), c.Ours)))
		}),
		app.Button().Type("button").Text(w.Say("Seen")).
			OnClick(func(app.Context, app.Event) { w.Overwrote = nil })))
}

// UpdateNotice is the bar that offers a new version.
func UpdateNotice(d *editing.Device) app.UI {
	return &shell.UpdateNotice{Speaker: d.Speaker, Saver: d.Saver}
}
