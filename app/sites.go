package app

import (
	"slices"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine"
	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/storage"
)

// sitesScreen lists what is on this phone.
type sitesScreen struct {
	app.Compo
	w *workspace
}

func newSitesScreen() *sitesScreen { return &sitesScreen{w: current} }

// OnNav implements app.Navigator.
func (s *sitesScreen) OnNav(ctx app.Context) { s.w.openList(ctx) }

// OnDismount implements app.Dismounter.
func (s *sitesScreen) OnDismount() {
	s.w.lookAway()
	s.w.unfollow()
}

// Render implements app.Composer.
func (s *sitesScreen) Render() app.UI {
	w := s.w
	places, more := w.shown()
	here := "" // until then the page shows what loader.js kept
	if w.listed || w.failure != "" {
		here = "here"
	}
	return app.Div().Class("screen screen-sites").Body(
		&UpdateNotice{},
		app.Header().Class("top").Body(
			app.H1().Class("title").Text("Pegpour"),
			w.yardLink(),
			app.A().Class("quiet-link").Href("/rules").Text(say("Shop rules")),
		),
		notices(w),
		app.Main().Class("content").ID("content").DataSet("list", here).Body(
			app.If(w.failure != "", app.P().Class("error").Role("alert").Text(w.failure)),
			app.If(!w.listed && w.failure == "", app.P().Class("quiet").Role("status").Text(say("Opening…"))),
			app.If(w.listed && len(w.sites) == 0, app.P().Class("empty").Text(say("No site here yet. Start one: the drawing asks for what it needs."))),
			&offlineNotice{},
			w.nudge(),
			s.searchBox(),
			app.Ul().Class("sites").Body(app.Range(places).Slice(func(i int) app.UI {
				site := &w.sites[places[i]]
				return app.Li().Class("site").Body(
					app.A().Class("site-link").Href("/site/"+site.ID+"/measure").Body(
						app.Raw(`<div class="thumb" aria-hidden="true"`+thumbMark(w, site)+`>`+site.Thumb+`</div>`),
						app.Div().Class("site-words").Body(
							app.Span().Class("site-name").Class(headClass(site.Demo)).Body(app.Text(headName(site.Name, site.Demo)), demoMark(site.Demo)),
							app.Span().Class("site-address").Text(site.Address),
							app.Span().Class("site-tally").Text(w.siteTally(site.ID)),
							app.If(site.Condition != storage.Sound, app.Span().Class("site-condition").Text(conditionWords(site.Condition))),
						),
					),
					app.Button().Type("button").Class("icon").Aria("label", sayWith("Put away {0}", siteName(site.Name))).Title(say("Put away")).
						OnClick(func(ctx app.Context, _ app.Event) { w.putAway(ctx, site.ID) }, site.ID).Body(sign("M6 7h12M9 7V5h6v2M8 7l1 12h6l1-12")),
				)
			})),
			s.rest(len(places), more),
			app.If(w.listed, app.Div().Class("tallies").Body(w.yardTally(), w.safeLine())),
			app.If(w.listed || w.failure != "", openFileButton(w)),
			app.If(w.lastPutAway != "", app.Div().Class("bar").Role("status").Body(
				app.Span().Text(say("Put away.")),
				app.Button().Type("button").Text(say("Bring it back")).OnClick(func(ctx app.Context, _ app.Event) { w.bringBack(w.lastPutAway) }),
			)),
		),
		app.Div().Class("thumb-bar").Body(
			app.Button().Type("button").Class("primary").DataSet("do", "new-site").OnClick(func(ctx app.Context, _ app.Event) { w.newSite(ctx) }).Body(sign(signAdd), app.Text(say("New site"))),
		),
	)
}

// thumbMark says on the page what a small plan was drawn from.
func thumbMark(w *workspace, site *siteLine) string {
	if site.Thumb == "" {
		return ""
	}
	return ` data-drawn="` + w.thumbKey(site.Revision) + `"`
}

// thumb is the small plan of a site in the list.
func thumb(s survey.Survey, p practice.Practice, prefix string) string {
	sketch, _ := engine.Begin(s, p)
	plan := sketch.Plan()
	scene := drawing.SetOutScene(plan, drawing.SceneOptions{})
	scene.Title, scene.Desc = "", "" // it is not read out, and kept whatever the language
	scene.Elements = slices.DeleteFunc(scene.Elements, func(e draw.Element) bool {
		switch e.(type) {
		case draw.Text, draw.Leader, draw.HandArrow, draw.ScaleBar:
			return true // too small to read
		}
		return false
	})
	view := draw.Phone(300, 84)
	view.Mirror, view.NoDimensions, view.Hidden = plan.Mirrored(), true, []string{drawing.LayerSizes, drawing.LayerPegs}
	svg, err := draw.Render(scene, view, draw.Options{Screen: true, OnlyFields: true, Prefix: prefix, Class: "d-thumb"})
	if err != nil {
		return ""
	}
	return string(svg)
}
