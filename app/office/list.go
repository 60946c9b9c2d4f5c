package office

import (
	"context"
	"net/url"
	"strconv"
	"strings"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/element"
	"pegpour/app/language"
	"pegpour/app/ui"
	"pegpour/engine/progress"
	"pegpour/storage"
	"pegpour/storage/replication"
)

const (
	officePage   = 50               // sites shown at first and with each 'show more'
	officeThumbs = 24               // how many of them get a small plan
	officeEvery  = 30 * time.Second // how often the list is looked at anew
)

// officeList is what of the yard's sites is shown. It stays while one looks at
// a site and comes back.
type officeList struct {
	sites         []*yardSite
	search, state string
	far           string // only sites at the step of this name, "" for all
	untold        int    // how many more may be at it: of them it is not known yet
	next          int64  // to go on from
	more, read    bool
	crew          string // only its sites, "" for all
	turn          int    // counts the requests: an answer to an older one is dropped
}

// officeListScreen lists the yard's sites.
type officeListScreen struct {
	app.Compo
	o    *Office
	gone bool
}

// NewListScreen returns the screen.
func NewListScreen(o *Office) app.Composer { return &officeListScreen{o: o} }

// OnNav implements app.Navigator.
func (s *officeListScreen) OnNav(ctx app.Context) {
	s.o.told = ""
	at, l := ctx.Page().URL().Query(), &s.o.list
	if l.crew = at.Get("crew"); at.Has("state") { // from the work by crew
		l.state = at.Get("state")
	}
	if at.Has("far") {
		l.far = at.Get("far")
	}
	s.o.enter(ctx, func(ctx app.Context) {
		s.o.readList(false)
		s.watch(ctx)
	})
}

// OnDismount implements app.Dismounter.
func (s *officeListScreen) OnDismount() {
	s.gone = true
	s.o.w.Leave()
}

// watch looks at the list anew from time to time while its first page is shown.
func (s *officeListScreen) watch(ctx app.Context) {
	ctx.After(officeEvery, func(ctx app.Context) {
		if s.gone {
			return
		}
		if s.o.paired && s.o.problem == "" && len(s.o.list.sites) <= officePage {
			s.o.readList(false)
		}
		s.watch(ctx)
	})
}

// readList reads the first page, or the next.
func (o *Office) readList(on bool) {
	l := &o.list
	l.turn++
	turn := l.turn
	path := "/api/v1/sites?limit=" + strconv.Itoa(officePage) + "&search=" + url.QueryEscape(strings.TrimSpace(l.search))
	if l.state != "" {
		path += "&state=" + l.state
	}
	if l.far != "" {
		path += "&far=" + url.QueryEscape(l.far)
	}
	if l.crew != "" {
		path += "&crew=" + url.QueryEscape(l.crew)
	}
	if on {
		path += "&before=" + strconv.FormatInt(l.next, 10)
	}
	var page struct {
		Sites  []*yardSite
		Next   int64
		Untold int
	}
	o.ask(func(c context.Context) error { return o.get(c, path, &page) }, func(app.Context) {
		if turn != l.turn {
			return
		}
		drawn := map[string]string{} // plans that still stand
		for _, s := range l.sites {
			drawn[s.ID+strings.Join(s.Heads, "")] = s.thumb
		}
		for _, s := range page.Sites {
			s.thumb = drawn[s.ID+strings.Join(s.Heads, "")]
		}
		if on {
			l.sites = append(l.sites, page.Sites...)
		} else {
			l.sites = page.Sites
		}
		l.untold = page.Untold
		l.next, l.more, l.read = page.Next, len(page.Sites) == officePage, true
		o.problem = ""
		o.drawThumbs(turn, 0)
	})
}

// drawThumbs draws the small plans one by one, so that the list is there at
// once. A plan that cannot be read is left out.
func (o *Office) drawThumbs(turn, from int) {
	l := &o.list
	for from < min(len(l.sites), officeThumbs) && (l.sites[from].thumb != "" || len(l.sites[from].Heads) == 0) {
		from++
	}
	if from >= min(len(l.sites), officeThumbs) {
		return
	}
	site := l.sites[from]
	go func() {
		c, stop := context.WithTimeout(context.Background(), time.Minute)
		defer stop()
		d, err := o.revision(c, site.ID, site.Heads[0])
		o.w.Dispatch(func(app.Context) {
			if turn != l.turn {
				return
			}
			site.thumb = "<svg></svg>"
			if err == nil {
				practice, _ := o.w.Shop.Practice(d)
				site.thumb = ui.SmallPlan(d.Survey, practice, "o"+strconv.Itoa(from))
			}
			o.drawThumbs(turn, from+1)
		})
	}()
}

// revision reads one state of a site.
func (o *Office) revision(c context.Context, site, name string) (*storage.Document, error) {
	answer, err := o.link.Client().
		Ask(c, replication.Request{Method: "GET", Path: yardSitePath(site) + "/revisions/" + name}, 200)
	if err != nil {
		return nil, err
	}
	return storage.Decode(answer.Body)
}

// Render implements app.Composer.
func (s *officeListScreen) Render() app.UI {
	o := s.o
	l := &o.list
	return o.frame(officeSites,
		element.Acting("div", "office-search", "search", "",
			app.Input().ID("office-search").Class("words").Type("search").Attr("autocomplete", "off").
				Aria("label", s.o.w.Say("Look for a site: name, address, client, who measured or sent it")).
				Placeholder(s.o.w.Say("Name, address, client, who")).
				OnInput(func(ctx app.Context, e app.Event) { s.searchAfterPause(ctx, e.Get("target").Get("value").String()) }),
			app.Select().ID("office-state").Class("words").Aria("label", s.o.w.Say("How far the sites are")).
				OnChange(func(ctx app.Context, e app.Event) {
					s.o.list.state = e.Get("target").Get("value").String()
					s.o.readList(false)
				}).Body(
				option("", s.o.w.Say("All sites"), l.state), option("none", s.o.w.Say("Not quoted yet"), l.state),
				option(markQuoted, s.o.w.Say("Quoted, not poured"), l.state), option(markPoured, s.o.w.Say("Poured"), l.state)),
			app.Select().ID("office-far").Class("words").Aria("label", s.o.w.Say("How far the sites are by what was recorded")).
				OnChange(func(ctx app.Context, e app.Event) {
					s.o.list.far = e.Get("target").Get("value").String()
					s.o.readList(false)
				}).Body(s.steps()...),
		),
		app.If(l.far != "" && l.far != farUnknown && l.untold > 0, element.Status("p", "quiet", "status",
			s.o.w.Say("More sites may be at this step: the yard is still looking through some."))),
		app.If(l.crew != "", element.Acting("div", "bar", "status", "",
			element.Text("span", "", s.o.w.SayWith("Sites of the crew {0}", l.crew)), element.Link("", "/office", s.o.w.Say("All sites")))),
		app.If(!l.read && o.problem == "", element.Status("p", "quiet", "status", s.o.w.Say("Opening…"))),
		app.If(l.read && len(l.sites) == 0, element.Status("p", "empty", "status", s.none())),
		element.Box("ul", "office-list", app.Range(l.sites).Slice(func(i int) app.UI {
			return s.line(l.sites[i], i < officeThumbs && len(l.sites[i].Heads) > 0 || l.sites[i].thumb != "")
		})),
		app.If(l.more, element.Doing("wide", "more", s.o.w.Say("Show more"), func(app.Context, app.Event) { s.o.readList(true) })),
	)
}

func option(value, words, chosen string) app.UI {
	return app.Option().Value(value).Selected(value == chosen).Text(words)
}

// steps are what can be chosen of how far sites are by what was recorded.
func (s *officeListScreen) steps() []app.UI {
	far := s.o.list.far
	all := []app.UI{option("", s.o.w.Say("At any step"), far)}
	for _, name := range append(progress.Names(), farUnknown) {
		all = append(all, option(name, recorded(s.o.w.Speaker, name), far))
	}
	return all
}

// farUnknown is what a yard says of a site of which it does not know the step.
const farUnknown = "unknown"

// recorded says how far a site is by what was recorded; "" where the yard does not say.
func recorded(l *language.Speaker, far string) string {
	if far == "" {
		return ""
	}
	for step := range progress.Steps {
		if step.Name() == far {
			return l.SayWith("Recorded: {0}", l.Say(step.Words()))
		}
	}
	return l.Say("Recorded: not known")
}

func (s *officeListScreen) none() string {
	if l := &s.o.list; l.search != "" || l.state != "" || l.far != "" {
		return s.o.w.Say("No site is like that.")
	}
	return s.o.w.Say("No site has been sent yet. Pair a crew's phone under Devices: what it measures comes here by itself.")
}

// searchAfterPause searches once the typing pauses.
func (s *officeListScreen) searchAfterPause(ctx app.Context, text string) {
	l := &s.o.list
	l.search = text
	l.turn++
	turn := l.turn
	ctx.After(200*time.Millisecond, func(app.Context) {
		if turn == l.turn {
			s.o.readList(false)
		}
	})
}

// line is a site of the list; drawn says that a small plan of it stands there or comes.
func (s *officeListScreen) line(site *yardSite, drawn bool) app.UI {
	o, thumb := s.o, "thumb"
	if !drawn {
		thumb = "thumb no-thumb"
	}
	by := site.By
	if by == "" {
		by = o.nameOf(site.Device)
	}
	return app.Elem("li").Class("office-line").DataSet("site", site.ID).Body(
		app.A().Class("office-site").Href("/office/site/"+url.PathEscape(site.ID)).Body(
			app.Raw(`<div class="`+thumb+`" aria-hidden="true">`+site.thumb+`</div>`),
			element.Box("span", "office-words",
				element.Text("span", "site-name", ui.SiteName(s.o.w.Speaker, site.Name)),
				element.Text("span", "site-address", site.Address),
				app.If(site.Client != "", element.Text("span", "", s.o.w.SayWith("For {0}", site.Client))),
				app.If(site.Surveyor != "", element.Text("span", "", s.o.w.SayWith("Measured by {0}", site.Surveyor))),
			),
			element.Box("span", "office-words office-when",
				stateChip(s.o.w.Speaker, site),
				element.Text("span", "office-far", recorded(s.o.w.Speaker, site.Far)),
				element.Text("span", "", s.o.w.SayWith("Last change {0} by {1}", s.o.w.LocalTime(site.Received), by)),
				app.If(len(site.Heads) > 1, element.Text("span", "error", s.o.w.Say("Two versions: a person has to choose"))),
			),
		),
		o.markButtons(site),
	)
}

// stateChip says what the office marked a site as, if it did.
func stateChip(l *language.Speaker, site *yardSite) app.UI {
	switch {
	case site.mark(markPoured) != nil:
		return element.Text("span", "chip chip-poured", l.Say("Poured"))
	case site.mark(markQuoted) != nil:
		return element.Text("span", "chip chip-quoted", l.Say("Quoted"))
	}
	return app.Text("")
}

// markButtons set the marks of a site and take them back.
func (o *Office) markButtons(site *yardSite) app.UI {
	button := func(name, words string) app.UI {
		set := site.mark(name) != nil
		class, pressed := "switch", "false"
		if set {
			class, pressed = "switch here", "true"
		}
		var mark app.UI = app.Text("")
		if set {
			mark = ui.Sign(ui.SignDone)
		}
		return app.Button().Type("button").Class(class).Aria("pressed", pressed).DataSet("mark", name).Disabled(o.marked).
			Aria("label", words+", "+ui.SiteName(o.w.Speaker, site.Name)).
			OnClick(func(app.Context, app.Event) { o.changeMark(site.ID, name) }, site.ID, name).Body(mark, app.Text(words))
	}
	return element.Acting("div", "office-marks", "group", o.w.Say("How far the site is"),
		button(markQuoted, o.w.Say("Quoted")), button(markPoured, o.w.Say("Poured")))
}
