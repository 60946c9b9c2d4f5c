package app

import (
	"context"
	"net/url"
	"strconv"
	"strings"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

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
	next          int64 // to go on from
	more, read    bool
	turn          int // counts the requests: an answer to an older one is dropped
}

// officeListScreen lists the yard's sites.
type officeListScreen struct {
	app.Compo
	o    *office
	gone bool
}

func newOfficeListScreen() *officeListScreen { return &officeListScreen{o: theOffice} }

// OnNav implements app.Navigator.
func (s *officeListScreen) OnNav(ctx app.Context) {
	s.o.told = ""
	s.o.enter(ctx, func(ctx app.Context) {
		s.o.readList(false)
		s.watch(ctx)
	})
}

// OnDismount implements app.Dismounter.
func (s *officeListScreen) OnDismount() {
	s.gone = true
	s.o.w.unfollow()
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
func (o *office) readList(on bool) {
	l := &o.list
	l.turn++
	turn := l.turn
	path := "/api/v1/sites?limit=" + strconv.Itoa(officePage) + "&search=" + url.QueryEscape(strings.TrimSpace(l.search))
	if l.state != "" {
		path += "&state=" + l.state
	}
	if on {
		path += "&before=" + strconv.FormatInt(l.next, 10)
	}
	var page struct {
		Sites []*yardSite
		Next  int64
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
		l.next, l.more, l.read = page.Next, len(page.Sites) == officePage, true
		o.problem = ""
		o.drawThumbs(turn, 0)
	})
}

// drawThumbs draws the small plans one by one, so that the list is there at
// once. A plan that cannot be read is left out.
func (o *office) drawThumbs(turn, from int) {
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
		o.w.dispatch(func(app.Context) {
			if turn != l.turn {
				return
			}
			site.thumb = "<svg></svg>"
			if err == nil {
				practice, _ := o.w.shop.Practice(d)
				site.thumb = thumb(d.Survey, practice, "o"+strconv.Itoa(from))
			}
			o.drawThumbs(turn, from+1)
		})
	}()
}

// revision reads one state of a site.
func (o *office) revision(c context.Context, site, name string) (*storage.Document, error) {
	answer, err := o.w.yard().Ask(c, replication.Request{Method: "GET", Path: yardSitePath(site) + "/revisions/" + name}, 200)
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
		app.Div().Class("office-search").Role("search").Body(
			app.Input().ID("office-search").Class("words").Type("search").Attr("autocomplete", "off").Aria("label", say("Look for a site: name, address, client, who measured or sent it")).
				Placeholder(say("Name, address, client, who")).OnInput(func(ctx app.Context, e app.Event) { s.look(ctx, e.Get("target").Get("value").String()) }),
			app.Select().ID("office-state").Class("words").Aria("label", say("How far the sites are")).OnChange(func(ctx app.Context, e app.Event) {
				s.o.list.state = e.Get("target").Get("value").String()
				s.o.readList(false)
			}).Body(
				s.option("", say("All sites")), s.option("none", say("Not quoted yet")), s.option(markQuoted, say("Quoted, not poured")), s.option(markPoured, say("Poured"))),
		),
		app.If(!l.read && o.problem == "", app.P().Class("quiet").Role("status").Text(say("Opening…"))),
		app.If(l.read && len(l.sites) == 0, app.P().Class("empty").Role("status").Text(s.none())),
		app.Ul().Class("office-list").Body(app.Range(l.sites).Slice(func(i int) app.UI { return s.line(l.sites[i]) })),
		app.If(l.more, app.Button().Type("button").Class("wide").DataSet("do", "more").Text(say("Show more")).OnClick(func(app.Context, app.Event) { s.o.readList(true) })),
	)
}

func (s *officeListScreen) option(value, words string) app.UI {
	return app.Option().Value(value).Selected(value == s.o.list.state).Text(words)
}

func (s *officeListScreen) none() string {
	if s.o.list.search != "" || s.o.list.state != "" {
		return say("No site is like that.")
	}
	return say("No site has been sent yet. Pair a crew's phone under Devices: what it measures comes here by itself.")
}

// look searches once the typing pauses.
func (s *officeListScreen) look(ctx app.Context, text string) {
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

func (s *officeListScreen) line(site *yardSite) app.UI {
	o := s.o
	by := site.By
	if by == "" {
		by = o.nameOf(site.Device)
	}
	return app.Li().Class("office-line").DataSet("site", site.ID).Body(
		app.A().Class("office-site").Href("/office/site/"+url.PathEscape(site.ID)).Body(
			app.Raw(`<div class="thumb" aria-hidden="true">`+site.thumb+`</div>`),
			app.Span().Class("office-words").Body(
				app.Span().Class("site-name").Text(siteName(site.Name)),
				app.Span().Class("site-address").Text(site.Address),
				app.If(site.Client != "", app.Span().Text(strings.ReplaceAll(say("For {0}"), "{0}", site.Client))),
				app.If(site.Surveyor != "", app.Span().Text(strings.ReplaceAll(say("Measured by {0}"), "{0}", site.Surveyor))),
			),
			app.Span().Class("office-words office-when").Body(
				stateChip(site),
				app.Span().Text(strings.NewReplacer("{0}", localTime(site.Received), "{1}", by).Replace(say("Last change {0} by {1}"))),
				app.If(len(site.Heads) > 1, app.Span().Class("error").Text(say("Two versions: a person has to choose"))),
			),
		),
		o.markButtons(site),
	)
}

// stateChip says in words how far a site is.
func stateChip(site *yardSite) app.UI {
	switch {
	case site.mark(markPoured) != nil:
		return app.Span().Class("chip chip-poured").Text(say("Poured"))
	case site.mark(markQuoted) != nil:
		return app.Span().Class("chip chip-quoted").Text(say("Quoted"))
	}
	return app.Span().Class("chip").Text(say("Measured"))
}

// markButtons set the marks of a site and take them back.
func (o *office) markButtons(site *yardSite) app.UI {
	button := func(name, words string) app.UI {
		set := site.mark(name) != nil
		class, pressed := "switch", "false"
		if set {
			class, pressed = "switch here", "true"
		}
		var mark app.UI = app.Text("")
		if set {
			mark = sign(signDone)
		}
		return app.Button().Type("button").Class(class).Aria("pressed", pressed).DataSet("mark", name).Disabled(o.marked).
			Aria("label", words+", "+siteName(site.Name)).
			OnClick(func(app.Context, app.Event) { o.changeMark(site.ID, name) }, site.ID, name).Body(mark, app.Text(words))
	}
	return app.Div().Class("office-marks").Role("group").Aria("label", say("How far the site is")).Body(
		button(markQuoted, say("Quoted")), button(markPoured, say("Poured")))
}
