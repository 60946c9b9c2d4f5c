package app

import (
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
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
	{"more", "More", "More", "M5 12h.01M12 12h.01M19 12h.01"},
}

// sign draws a small line sign of our own.
func sign(path string) app.UI {
	return app.Raw(`<svg class="sign" viewBox="0 0 24 24" aria-hidden="true" focusable="false"><path d="` + path + `"/></svg>`)
}

const (
	signBack  = "M14 5l-7 7 7 7"
	signUndo  = "M9 7L5 11l4 4M5 11h9a5 5 0 010 10h-3"
	signRedo  = "M15 7l4 4-4 4M19 11h-9a5 5 0 000 10h3"
	signAdd   = "M12 5v14M5 12h14"
	signPlus  = "M12 6v12M6 12h12"
	signMinus = "M6 12h12"
	signLeft  = "M14 6l-6 6 6 6"
	signRight = "M10 6l6 6-6 6"
	signUp    = "M6 14l6-6 6 6"
	signDown  = "M6 10l6 6 6-6"
	signDone  = "M5 12l5 5 9-10"
	signErase = "M9 6h11v12H9l-5-6zM12 10l5 4M17 10l-5 4"
)

// iconButton is a button with a sign and a spoken name.
func iconButton(path, name string, enabled bool, do func(app.Context)) app.UI {
	return app.Button().Type("button").Class("icon").Aria("label", say(name)).Title(say(name)).Disabled(!enabled).
		OnClick(func(ctx app.Context, _ app.Event) { do(ctx) }, name).Body(sign(path))
}

// siteFrame is what every screen of a site has: bar on top, content, tabs.
func siteFrame(w *workspace, here string, content ...app.UI) app.UI {
	if w.failure != "" {
		return plainFrame(say("Pegpour"), "/", w.opening())
	}
	if w.doc == nil {
		// Its title is no heading: the site's, which has less room, then comes as
		// a new element and does not count as one that moved.
		return app.Div().Class("screen").Body(
			&UpdateNotice{},
			app.Header().Class("top").Body(
				app.A().Class("icon").Href("/").Aria("label", say("All sites")).Body(sign(signBack)),
				app.P().Class("title").Text(say("Pegpour"))),
			notices(w),
			app.Main().Class("content").ID("content").Body(w.opening()))
	}
	here, mode, _ := strings.Cut(here, " ")
	return app.Div().Class("screen").Class("screen-"+here).Class(mode).Body(
		&UpdateNotice{},
		app.Header().Class("top top-keys").Body(
			app.A().Class("icon").Href("/").Aria("label", say("All sites")).Body(sign(signBack)),
			app.H1().Class("title").Class(headClass(w.doc.Demo)).Body(app.Text(headName(w.doc.Survey.Site.Name, w.doc.Demo)), demoMark(w.doc.Demo)),
			iconButton(signUndo, "Undo", w.canUndo, func(ctx app.Context) { w.undo(ctx) }),
			iconButton(signRedo, "Redo", w.canRedo, func(ctx app.Context) { w.redo(ctx) }),
		),
		notices(w),
		app.Main().Class("content").ID("content").Body(content...),
		app.Nav().Class("tabs").Aria("label", say("Screens of this site")).Body(
			app.Range(tabs).Slice(func(i int) app.UI {
				t := tabs[i]
				link := app.A().Class("tab").Href("/site/"+w.doc.ID+"/"+t.path).Body(
					sign(t.sign), app.Span().Text(say(t.short)), tabCount(w, t.path)).Aria("label", say(t.name))
				if t.path == here {
					link = link.Class("here").Aria("current", "page")
				}
				return link
			}),
		),
	)
}

// opening stands while the store is opened, or says why it cannot be.
func (w *workspace) opening() app.UI {
	if w.failure != "" {
		return app.Div().Class("list").Body(
			app.P().Class("error").Role("alert").Text(w.failure),
			app.Button().Type("button").Class("wide").DataSet("do", "load-again").Text(say("Try again")).
				OnClick(func(app.Context, app.Event) { app.Window().Get("location").Call("reload") }))
	}
	return app.P().Class("quiet").Text(say("Opening…"))
}

// tabCount shows how many watch-outs say stop.
func tabCount(w *workspace, path string) app.UI {
	if path != "watch" {
		return app.Text("")
	}
	n := w.stops()
	return app.If(n > 0, app.Span().Class("count").Aria("label", sayCount(n, "one says stop", "{0} say stop")).Text(n))
}

func demoMark(demo bool) app.UI {
	return app.If(demo, app.Span().Class("demo").Text(say("demo")))
}

// plainFrame is a screen without a site.
func plainFrame(title, back string, content ...app.UI) app.UI {
	return app.Div().Class("screen").Body(
		&UpdateNotice{},
		app.Header().Class("top").Body(
			app.If(back != "", app.A().Class("icon").Href(back).Aria("label", say("Back")).Body(sign(signBack))),
			app.H1().Class("title").Text(title),
		),
		notices(current),
		app.Main().Class("content").ID("content").Body(content...),
	)
}

// notices are the plain bars under the top: what could not be saved.
func notices(w *workspace) app.UI {
	return app.If(w.unsaved != "", app.Div().Class("bar bar-stop").Role("alert").Body(
		app.Span().Text(w.unsaved),
		app.Button().Type("button").Text(say("Try again")).OnClick(func(ctx app.Context, _ app.Event) { w.retry(ctx) }),
	))
}

// headName is a site's name beside the mark of a demo: one that still has the
// name it came with goes without the word that the mark says.
func headName(name string, isDemo bool) string {
	name = siteName(name)
	if before, after, found := strings.Cut(name, ": "); found && isDemo && strings.HasPrefix(say("Demo: angled drive"), before+": ") {
		return after
	}
	return name
}

// headClass has the name begin with a capital where headName may have taken off
// what it began with.
func headClass(isDemo bool) string {
	if isDemo {
		return "named-demo"
	}
	return ""
}

func siteName(name string) string {
	if name == "" {
		return say("New site")
	}
	return name
}
