package app

import (
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/element"
	"pegpour/app/keeping"
	"pegpour/app/shell"
	"pegpour/app/sites"
	"pegpour/app/ui"
	"pegpour/engine/progress"
	"pegpour/storage"
)

// sitesScreen lists what is on this phone.
type sitesScreen struct {
	app.Compo
	w *keeping.Safety

	sure string // the site that is to be deleted for good, while it is asked
}

func newSitesScreen(w *keeping.Safety) *sitesScreen { return &sitesScreen{w: w} }

// OnNav implements app.Navigator.
func (s *sitesScreen) OnNav(ctx app.Context) { s.w.Show(ctx) }

// OnDismount implements app.Dismounter.
func (s *sitesScreen) OnDismount() {
	s.w.Link.Unwatch()
	s.w.Leave()
}

// Render implements app.Composer.
func (s *sitesScreen) Render() app.UI {
	w := s.w
	places, more := w.Shown()
	own, demos := places, []int(nil)
	if w.HasOwn() { // demos have a place of their own, behind
		at := len(places)
		for at > 0 && w.Sites[places[at-1]].Demo {
			at--
		}
		own, demos = places[:at], places[at:]
	}
	bar := ""
	if w.PutAwayLast != "" {
		bar = "has-bar"
	}
	here := "" // until then the page shows what loader.js kept
	if w.Listed || w.Failure != "" {
		here = "here"
	}
	return element.Box("div", "screen screen-sites",
		ui.UpdateNotice(w.Device),
		element.Box("header", "top",
			element.Text("h1", "title", "Pegpour"),
			yardLink(w.Link),
			element.Link("quiet-link", "/rules", w.Say("Shop rules")),
			app.A().Class("icon").Href("/settings").Aria("label", w.Say("Settings")).Body(ui.Sign(ui.SignSettings)),
		),
		ui.Notices(w.Device),
		app.Elem("main").Class("content").Class(bar).ID("content").DataSet("list", here).Body(
			app.If(w.Failure != "", element.Status("p", "error", "alert", w.Failure)),
			app.If(!w.Listed && w.Failure == "", element.Status("p", "quiet", "status", w.Say("Opening…"))),
			app.If(w.Listed && len(w.Sites) == 0,
				element.Text("p", "empty", w.Say("No site here yet. Start one: the drawing asks for what it needs."))),
			&shell.OfflineNotice{Speaker: w.Speaker},
			w.Nudge(),
			s.searchBox(),
			s.list(own),
			app.If(len(demos) > 0, element.Box("details", "demos",
				element.Text("summary", "", w.SayCount(len(demos), "One demo site", "{0} demo sites")), s.list(demos))),
			s.rest(len(places), more),
			app.If(w.Listed, element.Box("div", "tallies", yardTally(w.Link), w.ListLine())),
			app.If(w.Listed || w.Failure != "", openFileButton(w.List)),
		),
		s.putAway(),
		element.Box("div", "thumb-bar",
			app.Button().Type("button").Class("primary").DataSet("do", "new-site").
				OnClick(func(ctx app.Context, _ app.Event) { w.NewSite(ctx) }).
				Body(ui.Sign(ui.SignAdd), app.Text(w.Say("New site"))),
		),
	)
}

// list shows the sites at places of the list.
func (s *sitesScreen) list(places []int) app.UI {
	w := s.w
	return element.Box("ul", "sites", app.Range(places).Slice(func(i int) app.UI {
		site := &w.Sites[places[i]]
		return element.Box("li", "site",
			app.A().Class("site-link").Href("/site/"+site.ID+"/measure").Body(
				app.Raw(`<div class="thumb" aria-hidden="true"`+thumbMark(w, site)+`>`+site.Plan+`</div>`),
				element.Box("div", "site-words",
					app.Elem("span").Class("site-name").Class(ui.HeadClass(site.Demo)).Body(ui.Head(w.Speaker, site.Name, site.Demo)...),
					element.Text("span", "site-address", site.Address),
					app.If(!site.Demo, element.Text("span", "site-far", s.far(site))),
					element.Text("span", "site-tally", w.Link.SiteTally(site.ID)),
					app.If(site.Condition != storage.Sound, element.Text("span", "site-condition", ui.ConditionWords(w.Speaker, site.Condition))),
				),
			),
			app.Button().Type("button").Class("icon").
				Aria("label", w.SayWith("Put away {0}", ui.SiteName(w.Speaker, site.Name))).Title(w.Say("Put away")).
				OnClick(func(ctx app.Context, _ app.Event) { w.PutAway(site.ID) }, site.ID).
				Body(ui.Sign(ui.SignPutAway)),
		)
	}))
}

// far says when a site was changed and how far it is.
func (s *sitesScreen) far(site *sites.Line) string {
	w := s.w
	words := []string{w.LocalTime(site.Changed)}
	far, beyond := strings.CutPrefix(site.Far, sites.FarStep)
	switch n, err := strconv.Atoi(far); {
	case err != nil:
	case beyond:
		words = append(words, w.Say(progress.Step(n).Words()))
	default:
		words = append(words, w.SayCount(n, "one answer", "{0} answers"))
	}
	return strings.Join(words, " · ")
}

// thumbMark says on the page what a small plan was drawn from.
func thumbMark(w *keeping.Safety, site *sites.Line) string {
	if site.Plan == "" {
		return ""
	}
	return ` data-drawn="` + w.PlanKey(site.Revision) + `" data-far="` + site.Far + `"`
}
