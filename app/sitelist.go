package app

import (
	"context"
	"strconv"
	"strings"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/storage"
)

const (
	listStep    = 30 // sites shown at first, and with each 'show more'
	searchAbove = 10 // sites from which on the list can be searched
)

// siteLine is one site of the list with its small plan.
type siteLine struct {
	storage.Summary
	Thumb string

	sought string // what a search looks in, in small letters
}

func newSiteLine(s storage.Summary, thumb string) siteLine {
	return siteLine{Summary: s, Thumb: thumb, sought: strings.ToLower(s.Name + "\n" + s.Address + "\n" + s.Client)}
}

// siteList is what of the sites on the phone is shown.
type siteList struct {
	sites, away []siteLine // those in use and those put away
	listed      bool
	opened      []storage.Summary // what opening the store has just read; see list
	query       string
	most        int // how many are shown
}

// matches gives the places in sites of those that the query finds: each of its
// words stands somewhere in name, address or client.
func (l *siteList) matches() []int {
	words := strings.Fields(strings.ToLower(l.query))
	var found []int
next:
	for i := range l.sites {
		for _, word := range words {
			if !strings.Contains(l.sites[i].sought, word) {
				continue next
			}
		}
		found = append(found, i)
	}
	return found
}

// shown gives the places of the sites on the screen, and how many more match.
func (l *siteList) shown() (places []int, more int) {
	found := l.matches()
	most := max(l.most, listStep)
	if len(found) <= most {
		return found, 0
	}
	return found[:most], len(found) - most
}

func (w *workspace) list() {
	all := w.opened
	w.opened = nil
	w.takeKeptThumbs()
	w.background(func(c context.Context) (err error) {
		if all == nil {
			all, err = w.store.Sites(c)
		}
		if err != nil {
			w.dispatch(func(app.Context) { w.failure = storeWords(err) })
			return nil
		}
		lines, away := make([]siteLine, 0, len(all)), []siteLine(nil)
		for _, s := range all {
			if s.Trashed {
				away = append(away, newSiteLine(s, ""))
			} else {
				lines = append(lines, newSiteLine(s, w.thumbs[w.thumbKey(s.Revision)]))
			}
		}
		w.dispatch(func(app.Context) {
			w.sites, w.away, w.listed, w.failure = lines, away, true, ""
			w.countAlone()
			w.later(w.drawThumbs)
		})
		return nil
	})
}

// openList shows the list of sites.
func (w *workspace) openList(ctx app.Context) {
	w.screen, w.mounted = ctx, true
	w.open(func(app.Context) {
		w.list()
		w.later(func() {
			w.lookAtYard()
			w.lookAtRoom()
		})
	})
}

// newSite makes a site and goes to its first question.
func (w *workspace) newSite(ctx app.Context) {
	w.open(func(app.Context) {
		d := storage.NewDocument(now())
		d.Survey.Site.MeasuredOn = time.Now().Format(time.DateOnly)
		d.Survey.Site.MeasuredBy = w.shop.Settings.Crew
		w.background(func(c context.Context) error {
			loaded, err := w.store.Create(c, d)
			if err == nil {
				w.dispatch(func(ctx app.Context) {
					w.take(loaded)
					w.asked = ""
					ctx.Navigate("/site/" + d.ID + "/measure")
				})
			}
			return err
		})
	})
}

func (w *workspace) putAway(ctx app.Context, id string) {
	w.background(func(c context.Context) error {
		if err := w.store.Trash(c, id); err != nil {
			return err
		}
		w.dispatch(func(app.Context) { w.lastPutAway = id; w.list() })
		return nil
	})
}

func (w *workspace) bringBack(id string) {
	w.background(func(c context.Context) error {
		if err := w.store.Restore(c, id); err != nil {
			return err
		}
		w.dispatch(func(app.Context) { w.lastPutAway = ""; w.list() })
		return nil
	})
}

// drawThumbs draws the small plans of the sites shown one by one, so that the
// list is there at once and stays alive meanwhile.
func (w *workspace) drawThumbs() {
	if w.drawingThumb {
		return
	}
	places, _ := w.shown()
	at := -1
	for _, i := range places {
		if w.sites[i].Thumb == "" && w.sites[i].Condition == storage.Sound {
			at = i
			break
		}
	}
	if at < 0 {
		w.later(w.keepList)
		return
	}
	line := w.sites[at]
	w.drawingThumb = true
	w.background(func(c context.Context) error {
		loaded, err := w.store.Load(c, line.ID)
		w.dispatch(func(app.Context) {
			w.drawingThumb = false
			drawn := "<svg></svg>"
			if err == nil {
				practice, _ := w.shop.Practice(loaded.Document)
				drawn = thumb(loaded.Document.Survey, practice, "t"+line.ID[:8])
				w.thumbs[w.thumbKey(loaded.Revision)] = drawn
			}
			for i := range w.sites {
				if w.sites[i].ID == line.ID {
					w.sites[i].Thumb = drawn
				}
			}
			w.drawThumbs()
		})
		return nil
	})
}

// thumbKey names what a small plan was drawn from: a revision of the site under
// one of the shop's rules.
func (w *workspace) thumbKey(site storage.Revision) string {
	return string(site) + "/" + string(w.shopRevision)
}

// takeKeptThumbs takes the small plans of the list that loader.js kept.
func (w *workspace) takeKeptThumbs() {
	if !app.IsClient {
		return
	}
	kept := app.Window().Get("document").Call("querySelectorAll", ".kept-list [data-drawn]")
	for i := range kept.Length() {
		w.thumbs[kept.Index(i).Get("dataset").Get("drawn").String()] = kept.Index(i).Get("innerHTML").String()
	}
}

// keepList has the page remember the list as it stands there, for the moment
// before the program runs at the next start.
func (w *workspace) keepList() {
	if app.IsClient && w.query == "" {
		app.Window().Get(shellObject).Call("keepList")
	}
}

// searchBox finds a site by name, address or client once there are many.
func (s *sitesScreen) searchBox() app.UI {
	w := s.w
	return app.If(len(w.sites) > searchAbove || w.query != "", app.Input().Type("search").Class("words").ID("search").
		Attr("autocomplete", "off").Attr("enterkeyhint", "search").Placeholder(say("Find a site")).Aria("label", say("Find a site by name, address or client")).
		OnInput(func(ctx app.Context, e app.Event) {
			w.query, w.most = e.Get("target").Get("value").String(), 0
			w.drawThumbs()
		}))
}

// rest says how many sites match beyond those shown, and those put away.
func (s *sitesScreen) rest(found, more int) app.UI {
	w := s.w
	return app.Div().Class("list-rest").Body(
		app.P().Class("quiet").Role("status").Aria("live", "polite").Text(s.tally(found, more)),
		app.If(more > 0, app.Button().Type("button").Class("wide").DataSet("do", "more-sites").Text(sayCount(min(more, listStep), "Show one more", "Show {0} more")).
			OnClick(func(ctx app.Context, _ app.Event) {
				w.most = max(w.most, listStep) + listStep
				w.drawThumbs()
			})),
		app.If(len(w.away) > 0, app.Details().Class("away").Body(
			app.Summary().Text(sayCount(len(w.away), "One site put away", "{0} sites put away")),
			app.Range(w.away[:min(len(w.away), 10*listStep)]).Slice(func(i int) app.UI {
				site := w.away[i]
				return app.Div().Class("row").Body(
					app.Span().Class("row-main").Text(siteName(site.Name)),
					app.Button().Type("button").Class("row-side").Text(say("Bring back")).Aria("label", sayWith("Bring back {0}", siteName(site.Name))).
						OnClick(func(ctx app.Context, _ app.Event) { w.bringBack(site.ID) }, site.ID))
			}))),
	)
}

// tally says what a search found.
func (s *sitesScreen) tally(found, more int) string {
	if strings.TrimSpace(s.w.query) == "" {
		return ""
	}
	if found == 0 {
		return sayWith("No site has ‘{0}’ in its name, address or client.", strings.TrimSpace(s.w.query))
	}
	return strings.ReplaceAll(sayCount(found+more, "One site of {1}", "{0} sites of {1}"), "{1}", strconv.Itoa(len(s.w.sites)))
}

// conditionWords say why a site cannot be opened.
func conditionWords(c storage.Condition) string {
	switch c {
	case storage.IsDamaged:
		return say("What is stored of it is damaged. It is kept as it is.")
	case storage.IsNewer:
		return say("A newer Pegpour wrote it. Bring the program up to date to open it.")
	}
	return ""
}
