package app

import (
	"context"
	"encoding/json"
	"net/url"
	"slices"
	"strings"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/storage/replication"
)

// yardScreen pairs this device with a yard and shows what is on its way.
type yardScreen struct {
	app.Compo
	w *workspace

	code    string // from the address
	busy    bool   // pairing, or leaving
	problem string
	leaving bool // asked once whether to stop the pairing
	finding yardFinding
	gone    bool
}

func newYardScreen() *yardScreen { return &yardScreen{w: current} }

// OnNav implements app.Navigator.
func (s *yardScreen) OnNav(ctx app.Context) {
	w := s.w
	w.screen, w.mounted, s.gone = ctx, true, false
	if code := codeInAddress(ctx.Page().URL().Fragment); code != "" {
		// Good once; out of the address, so that it stands in no history.
		s.code = code
		here := *ctx.Page().URL()
		here.Fragment = ""
		ctx.Page().ReplaceURL(&here)
	}
	w.open(func(app.Context) {
		w.lookAtYard()
		go s.tick()
	})
}

// tick keeps the count of seconds to the next try going.
func (s *yardScreen) tick() {
	for {
		time.Sleep(time.Second)
		left := make(chan bool, 1)
		s.w.aside(func() { left <- s.gone })
		if <-left {
			return
		}
	}
}

// OnDismount implements app.Dismounter.
func (s *yardScreen) OnDismount() {
	s.gone = true
	s.w.lookAway()
	s.w.unfollow()
}

// Render implements app.Composer.
func (s *yardScreen) Render() app.UI {
	w := s.w
	switch {
	case w.failure != "" || !w.statused:
		return plainFrame(say("Yard"), "/", w.opening())
	case !w.status.Paired || w.line.Shut || s.code != "":
		return plainFrame(say("Yard"), "/", s.pairing(), s.outstanding())
	}
	return plainFrame(say("Yard"), "/",
		app.Section().Class("yard-state").Aria("label", say("How things stand")).Body(
			app.P().ID("yard-tally").Class("yard-tally").Role("status").DataSet("waiting", w.notInYard()).Text(w.tallyWords()),
			s.moving(),
			s.trouble(),
			s.coming(),
			app.P().Class("quiet").Text(s.contactWords()),
		),
		s.conflicts(),
		s.outstanding(),
		s.finder(),
		s.device(),
	)
}

// contactWords say when the yard last answered.
func (s *yardScreen) contactWords() string {
	if s.w.line.Good == "" {
		return say("The yard has not answered yet.")
	}
	return holes(say("The yard last answered at {0}."), localTime(s.w.line.Good))
}

// moving shows what is on its way, with numbers.
func (s *yardScreen) moving() app.UI {
	l := &s.w.line
	if l.Total == 0 || l.Site == "" && l.Photo == "" {
		return app.Text("")
	}
	words := holes(say("Sending a photo: {0} of {1}"), sizeWords(l.Done), sizeWords(l.Total))
	switch {
	case l.Site != "":
		words = holes(say("Sending {0}: {1}"), siteName(s.w.status.Sites[l.Site].Name), sizeWords(l.Total))
	case l.Down:
		words = holes(say("Fetching a photo: {0} of {1}"), sizeWords(l.Done), sizeWords(l.Total))
	}
	return app.Div().Class("moving").Role("status").Body(
		app.Span().Text(words),
		app.If(l.Photo != "", app.Progress().Max(float64(l.Total)).Value(float64(l.Done)).Aria("label", words)),
	)
}

// trouble says what went wrong last, and what to do.
func (s *yardScreen) trouble() app.UI {
	w := s.w
	if w.line.Words == "" {
		return app.Text("")
	}
	next := ""
	if at, err := time.Parse(time.RFC3339, w.line.Next); err == nil {
		next = inWords(at, time.Now())
	}
	return app.Div().Class("trouble").Body(
		app.P().Class("trouble-words").Role("alert").Text(w.line.Words),
		app.P().Class("quiet").Text(sentences(say("Nothing is lost: it all stays on this device until the yard has it."), next)),
		app.Button().Type("button").Class("wide").DataSet("do", "try-now").Text(say("Try now")).OnClick(func(app.Context, app.Event) { w.hurryYard() }),
	)
}

func (s *yardScreen) coming() app.UI {
	n := s.w.status.Coming
	return app.If(n > 0, app.P().Class("quiet").Text(sayCount(n, "One photo of the yard is not here yet.", "{0} photos of the yard are not here yet.")))
}

// conflicts lists the sites of which there are two versions.
func (s *yardScreen) conflicts() app.UI {
	ids := s.w.sitesIn(func(t replication.SiteStatus) bool { return t.State == replication.Conflicts })
	if len(ids) == 0 {
		return app.Text("")
	}
	return app.Section().Class("list").Aria("label", say("Two versions")).Body(
		app.H2().Text(say("Two versions: choose")),
		app.Range(ids).Slice(func(i int) app.UI {
			return app.A().Class("wide").DataSet("conflict", ids[i]).Href("/site/" + ids[i] + "/versions").Text(siteName(s.w.status.Sites[ids[i]].Name))
		}))
}

// outstanding lists what is not in the yard yet, and why not.
func (s *yardScreen) outstanding() app.UI {
	w := s.w
	ids := w.sitesIn(func(t replication.SiteStatus) bool {
		return t.State == replication.Waiting || t.State == replication.Refused || t.State != replication.OnlyHere && t.Photos > 0
	})
	if len(ids) == 0 {
		return app.Text("")
	}
	shown := ids[:min(len(ids), listStep)]
	return app.Section().Class("list").Aria("label", say("Not yet in the yard")).Body(
		app.H2().Text(say("Not yet in the yard")),
		app.Ul().Class("waiting").Body(app.Range(shown).Slice(func(i int) app.UI {
			t := w.status.Sites[shown[i]]
			return app.Li().Body(
				app.A().Class("quiet-link").Href("/site/"+shown[i]+"/more").Text(siteName(t.Name)),
				app.P().Class("quiet").Text(w.waitingWords(t)))
		})),
		app.If(len(ids) > len(shown), app.P().Class("quiet").Text(sayCount(len(ids)-len(shown), "and one more", "and {0} more"))),
	)
}

// waitingWords say of one site what of it is not in the yard, and why.
func (w *workspace) waitingWords(t replication.SiteStatus) string {
	var words []string
	switch {
	case t.State == replication.Refused:
		words = append(words, holes(say("The yard does not take this site: {0}"), w.refusalWords(t.Reason)))
	case t.Err != nil:
		words = append(words, yardWords(t.Err))
	case t.State == replication.Waiting:
		words = append(words, say("Changed since it was sent."))
	}
	if t.Photos > 0 {
		words = append(words, sayCount(t.Photos, "One photo waits.", "{0} photos wait."))
	}
	if t.PhotoReason.Format != "" {
		words = append(words, holes(say("The yard does not take a photo: {0}"), w.refusalWords(t.PhotoReason)))
	}
	return strings.Join(words, " ")
}

// sitesIn lists sites by name.
func (w *workspace) sitesIn(which func(replication.SiteStatus) bool) []string {
	var ids []string
	for id, t := range w.status.Sites {
		if which(t) {
			ids = append(ids, id)
		}
	}
	slices.SortFunc(ids, func(a, b string) int {
		return strings.Compare(w.status.Sites[a].Name+"\x00"+a, w.status.Sites[b].Name+"\x00"+b)
	})
	return ids
}

// yardFinding is the search for sites that are in the yard and not here.
type yardFinding struct {
	words   string
	asked   bool
	busy    bool
	problem string
	found   []yardSite
	bring   string // being brought
}

// finder brings sites of the yard to this device.
func (s *yardScreen) finder() app.UI {
	w, f := s.w, &s.finding
	return app.Section().Class("list").Aria("label", say("Bring a site here")).Body(
		app.H2().Text(say("Bring a site of the yard here")),
		app.Form().Class("finder").OnSubmit(func(ctx app.Context, e app.Event) {
			e.PreventDefault()
			s.find(valueOf("yard-find"))
		}).Body(
			app.Input().ID("yard-find").Class("words").Type("search").Attr("autocomplete", "off").Attr("enterkeyhint", "search").Aria("label", say("Name, address or client")).Placeholder(say("Name or address")),
			app.Button().Type("submit").Class("wide finder-do").DataSet("do", "find").Disabled(f.busy).Text(say("Find")),
		),
		app.If(f.problem != "", app.P().Class("error").Role("alert").Text(f.problem)),
		app.If(f.asked && !f.busy && f.problem == "" && len(f.found) == 0, app.P().Class("quiet").Role("status").Text(say("The yard has no such site."))),
		app.Range(f.found).Slice(func(i int) app.UI {
			site := f.found[i]
			_, here := w.status.Sites[site.ID]
			return app.Div().Class("row found").Body(
				app.Div().Class("found-words").Body(app.Strong().Text(siteName(site.Name)), app.Span().Class("quiet").Text(site.Address)),
				app.If(here, app.A().Class("row-side").Href("/site/"+site.ID+"/measure").Aria("label", holes(say("Open {0}"), siteName(site.Name))).Text(say("Open"))),
				app.If(!here, app.Button().Type("button").Class("row-side").DataSet("bring", site.ID).Disabled(f.bring != "").Aria("label", holes(say("Bring {0} here"), siteName(site.Name))).
					Text(say("Bring here")).OnClick(func(app.Context, app.Event) { s.bringHere(site.ID) }, site.ID)))
		}),
	)
}

func (s *yardScreen) find(words string) {
	f := &s.finding
	f.words, f.busy, f.problem = strings.TrimSpace(words), true, ""
	client := s.w.yard()
	go func() {
		c, stop := context.WithTimeout(context.Background(), time.Minute)
		defer stop()
		var page struct{ Sites []yardSite }
		answer, err := client.Ask(c, replication.Request{Method: "GET", Path: "/api/v1/sites?limit=20&search=" + url.QueryEscape(f.words)}, 200)
		if err == nil && json.Unmarshal(answer.Body, &page) != nil {
			err = replication.ErrGarbled
		}
		s.w.dispatch(func(app.Context) {
			f.busy, f.asked, f.found = false, true, page.Sites
			if err != nil {
				f.problem = yardWords(err)
			}
		})
	}()
}

func (s *yardScreen) bringHere(id string) {
	f := &s.finding
	f.bring, f.problem = id, ""
	client := s.w.yard()
	go func() {
		c, stop := context.WithTimeout(context.Background(), 2*time.Minute)
		defer stop()
		err := client.Fetch(c, id)
		s.w.dispatch(func(app.Context) {
			f.bring = ""
			if err != nil {
				f.problem = yardWords(err)
				return
			}
			s.w.hurryYard() // for its photos
			s.w.lookAtYard()
		})
	}()
}
