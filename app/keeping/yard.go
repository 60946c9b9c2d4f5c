package keeping

import (
	"context"
	"encoding/json"
	"net/url"
	"strings"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/element"
	"pegpour/app/language"
	"pegpour/app/shell"
	"pegpour/app/sites"
	"pegpour/app/ui"
	"pegpour/app/window"
	"pegpour/app/yardlink"
	"pegpour/storage/replication"
)

// yardScreen pairs this device with a yard and shows what is on its way.
type yardScreen struct {
	app.Compo
	w *yardlink.Link

	code    string // from the address
	busy    bool   // pairing, or leaving
	problem string
	leaving bool   // asked once whether to stop the pairing
	sure    string // the deleted site that is about to be let go
	finding yardFinding
	gone    bool
}

// NewYardScreen returns the screen.
func NewYardScreen(w *yardlink.Link) app.Composer { return &yardScreen{w: w} }

// OnNav implements app.Navigator.
func (s *yardScreen) OnNav(ctx app.Context) {
	w := s.w
	w.Enter(ctx)
	s.gone = false
	if code := yardlink.CodeInAddress(ctx.Page().URL().Fragment); code != "" {
		// Good once; out of the address, so that it stands in no history.
		s.code = code
		here := *ctx.Page().URL()
		here.Fragment = ""
		ctx.Page().ReplaceURL(&here)
	}
	w.WithStore(func(app.Context) {
		w.Watch()
		go s.tick()
	})
}

// tick keeps the count of seconds to the next try going.
func (s *yardScreen) tick() {
	for {
		time.Sleep(time.Second)
		left := make(chan bool, 1)
		s.w.UpdateQuietly(func() { left <- s.gone })
		if <-left {
			return
		}
	}
}

// OnDismount implements app.Dismounter.
func (s *yardScreen) OnDismount() {
	s.gone = true
	s.w.Unwatch()
	s.w.Leave()
}

// Render implements app.Composer.
func (s *yardScreen) Render() app.UI {
	w := s.w
	switch {
	case w.Failure != "" || !w.Known:
		return ui.PlainFrame(w.Device, w.Say("Yard"), "/", ui.Opening(w.Device))
	case !w.Status.Paired || w.Line.Shut || s.code != "":
		return ui.PlainFrame(w.Device, w.Say("Yard"), "/", s.pairing(), s.outstanding())
	}
	full := yardlink.FullWords(w.Speaker, w.Line.Full)
	return ui.PlainFrame(w.Device, w.Say("Yard"), "/",
		element.Region("section", "yard-state", w.Say("How things stand"),
			app.Elem("p").ID("yard-tally").Class("yard-tally").Role("status").DataSet("waiting", w.NotInYard()).Text(w.TallyWords()),
			s.moving(),
			s.trouble(),
			s.coming(),
			element.Text("p", "quiet", s.contactWords()),
			app.If(full != "", element.Text("p", "quiet", full)),
		),
		s.deleted(),
		s.conflicts(),
		s.outstanding(),
		s.finder(),
		s.device(),
	)
}

// contactWords say when the yard last answered.
func (s *yardScreen) contactWords() string {
	if s.w.Line.Good == "" {
		return s.w.Say("The yard has not answered yet.")
	}
	return s.w.SayWith("The yard last answered at {0}.", s.w.LocalTime(s.w.Line.Good))
}

// moving shows what is on its way, with numbers.
func (s *yardScreen) moving() app.UI {
	l := &s.w.Line
	if l.Total == 0 || l.Site == "" && l.Photo == "" {
		return app.Text("")
	}
	words := s.w.SayWith("Sending a photo: {0} of {1}", s.w.ByteCount(l.Done), s.w.ByteCount(l.Total))
	switch {
	case l.Site != "":
		words = s.w.SayWith("Sending {0}: {1}", ui.SiteName(s.w.Speaker, s.w.Status.Sites[l.Site].Name),
			s.w.ByteCount(l.Total))
	case l.Down:
		words = s.w.SayWith("Fetching a photo: {0} of {1}", s.w.ByteCount(l.Done), s.w.ByteCount(l.Total))
	}
	return element.Acting("div", "moving", "status", "",
		element.Text("span", "", words),
		app.If(l.Photo != "", app.Elem("progress").Attr("max", float64(l.Total)).Attr("value", float64(l.Done)).Aria("label", words)),
	)
}

// trouble says what went wrong last, and what to do.
func (s *yardScreen) trouble() app.UI {
	w := s.w
	if w.Line.Words == "" {
		return app.Text("")
	}
	next := ""
	if at, err := time.Parse(time.RFC3339, w.Line.Next); err == nil {
		next = yardlink.InWords(w.Speaker, at, time.Now())
	}
	return element.Box("div", "trouble",
		element.Status("p", "trouble-words", "alert", w.Line.Words),
		element.Text("p", "quiet",
			language.Sentences(w.Say("Nothing is lost: it all stays on this device until the yard has it."), next)),
		element.Doing("wide", "try-now", w.Say("Try now"), func(app.Context, app.Event) { w.Hurry() }),
	)
}

func (s *yardScreen) coming() app.UI {
	n := s.w.Status.Coming
	return app.If(n > 0,
		element.Text("p", "quiet", s.w.SayCount(n, "One photo of the yard is not here yet.", "{0} photos of the yard are not here yet.")))
}

// conflicts lists the sites of which there are two versions.
func (s *yardScreen) conflicts() app.UI {
	ids := s.w.SitesIn(func(t replication.SiteStatus) bool { return t.State == replication.Conflicts })
	if len(ids) == 0 {
		return app.Text("")
	}
	return element.Region("section", "list", s.w.Say("Two versions"),
		element.Text("h2", "", s.w.Say("Two versions: choose")),
		app.Range(ids).Slice(func(i int) app.UI {
			return app.A().Class("wide").DataSet("conflict", ids[i]).Href("/site/" + ids[i] + "/versions").
				Text(ui.SiteName(s.w.Speaker, s.w.Status.Sites[ids[i]].Name))
		}))
}

// deleted lists the sites that the yard deleted while this device holds something that
// the yard never had.
func (s *yardScreen) deleted() app.UI {
	w := s.w
	ids := w.SitesIn(func(t replication.SiteStatus) bool { return t.State == replication.Gone })
	depart := func(id string, how func(context.Context, string) (string, error)) {
		s.sure = ""
		w.Depart(id, how, func() {
			shell.ForgetList()
			w.Hurry()
			w.Watch()
		})
	}
	return app.If(len(ids) > 0, element.Region("section", "list", w.Say("Deleted in the yard"),
		element.Text("h2", "", w.Say("Deleted in the yard: choose")),
		app.Range(ids).Slice(func(i int) app.UI {
			id := ids[i]
			return element.Box("div", "told",
				element.Text("strong", "", ui.SiteName(w.Speaker, w.Status.Sites[id].Name)),
				element.Text("p", "", w.SiteWords(id)),
				element.Doing("wide", "keep-own", w.Say("Make it a site of its own"), func(app.Context, app.Event) {
					depart(id, w.Client().KeepOwn)
				}, id),
				app.If(s.sure != id, element.Doing("wide", "let-go", w.Say("Let it go"), func(app.Context, app.Event) { s.sure = id }, id)),
				app.If(s.sure == id, element.Doing("wide", "let-go-now", w.Say("Let it go for good"), func(app.Context, app.Event) {
					depart(id, w.Client().LetGo)
				}, id)))
		})))
}

// outstanding lists what is not in the yard yet, and why not.
func (s *yardScreen) outstanding() app.UI {
	w := s.w
	ids := w.SitesIn(func(t replication.SiteStatus) bool {
		return t.State == replication.Waiting || t.State == replication.Refused || t.State != replication.OnlyHere &&
			t.Photos > 0
	})
	if len(ids) == 0 {
		return app.Text("")
	}
	shown := ids[:min(len(ids), sites.Step)]
	return element.Region("section", "list", w.Say("Not yet in the yard"),
		element.Text("h2", "", w.Say("Not yet in the yard")),
		element.Box("ul", "waiting", app.Range(shown).Slice(func(i int) app.UI {
			t := w.Status.Sites[shown[i]]
			return element.Box("li", "",
				element.Link("quiet-link", "/site/"+shown[i]+"/more", ui.SiteName(w.Speaker, t.Name)),
				element.Text("p", "quiet", waitingWords(w, t)))
		})),
		app.If(len(ids) > len(shown), element.Text("p", "quiet", w.SayCount(len(ids)-len(shown), "and one more", "and {0} more"))),
	)
}

// waitingWords say of one site what of it is not in the yard, and why.
func waitingWords(w *yardlink.Link, t replication.SiteStatus) string {
	var words []string
	switch {
	case t.State == replication.Refused:
		words = append(words, w.SayWith("The yard does not take this site: {0}", w.RefusalWords(t.Reason)))
	case t.Err != nil:
		words = append(words, yardlink.ErrorWords(w.Speaker, t.Err))
	case t.Never:
		words = append(words, w.Say("Never sent yet."))
	case t.State == replication.Waiting:
		words = append(words, w.Say("Changed since it was sent."))
	}
	if t.Photos > 0 {
		words = append(words, w.SayCount(t.Photos, "One photo waits.", "{0} photos wait."))
	}
	if t.PhotoReason.Format != "" {
		words = append(words, w.SayWith("The yard does not take a photo: {0}", w.RefusalWords(t.PhotoReason)))
	}
	return strings.Join(words, " ")
}

// foundSite is a site as the yard lists it.
type foundSite struct{ ID, Name, Address string }

// yardFinding is the search for sites that are in the yard and not here.
type yardFinding struct {
	words   string
	asked   bool
	busy    bool
	problem string
	found   []foundSite
	bring   string // being brought
}

// finder brings sites of the yard to this device.
func (s *yardScreen) finder() app.UI {
	w, f := s.w, &s.finding
	return element.Region("section", "list", w.Say("Bring a site here"),
		element.Text("h2", "", w.Say("Bring a site of the yard here")),
		app.Elem("form").Class("finder").OnSubmit(func(ctx app.Context, e app.Event) {
			e.PreventDefault()
			s.find(window.ValueOf("yard-find"))
		}).Body(
			app.Input().ID("yard-find").Class("words").Type("search").Attr("autocomplete", "off").
				Attr("enterkeyhint", "search").Aria("label", w.Say("Name, address or client")).
				Placeholder(w.Say("Name or address")),
			app.Button().Type("submit").Class("wide finder-do").DataSet("do", "find").Disabled(f.busy).Text(w.Say("Find")),
		),
		app.If(f.problem != "", element.Status("p", "error", "alert", f.problem)),
		app.If(f.asked && !f.busy && f.problem == "" && len(f.found) == 0,
			element.Status("p", "quiet", "status", w.Say("The yard has no such site."))),
		app.Range(f.found).Slice(func(i int) app.UI {
			site := f.found[i]
			_, here := w.Status.Sites[site.ID]
			return element.Box("div", "row found",
				element.Box("div", "found-words",
					element.Text("strong", "",
						ui.SiteName(w.Speaker, site.Name)),
					element.Text("span", "quiet", site.Address)),
				app.If(here, app.A().Class("row-side").Href("/site/"+site.ID+"/measure").
					Aria("label", w.SayWith("Open {0}", ui.SiteName(w.Speaker, site.Name))).Text(w.Say("Open"))),
				app.If(!here, app.Button().Type("button").Class("row-side").DataSet("bring", site.ID).Disabled(f.bring != "").
					Aria("label", w.SayWith("Bring {0} here", ui.SiteName(w.Speaker, site.Name))).
					Text(w.Say("Bring here")).OnClick(func(app.Context, app.Event) { s.bringHere(site.ID) }, site.ID)))
		}),
	)
}

func (s *yardScreen) find(words string) {
	f := &s.finding
	f.words, f.busy, f.problem = strings.TrimSpace(words), true, ""
	client := s.w.Client()
	go func() {
		c, stop := context.WithTimeout(context.Background(), 30*time.Second)
		defer stop()
		var page struct{ Sites []foundSite }
		answer, err := client.Ask(c,
			replication.Request{Method: "GET", Path: "/api/v1/sites?limit=20&search=" + url.QueryEscape(f.words)}, 200)
		if err == nil && json.Unmarshal(answer.Body, &page) != nil {
			err = replication.ErrGarbled
		}
		s.w.Dispatch(func(app.Context) {
			f.busy, f.asked, f.found = false, true, page.Sites
			if err != nil {
				f.problem = yardlink.ErrorWords(s.w.Speaker, err)
			}
		})
	}()
}

func (s *yardScreen) bringHere(id string) {
	f := &s.finding
	f.bring, f.problem = id, ""
	client := s.w.Client()
	go func() {
		c, stop := context.WithTimeout(context.Background(), 2*time.Minute)
		defer stop()
		err := client.Fetch(c, id)
		s.w.Dispatch(func(app.Context) {
			f.bring = ""
			if err != nil {
				f.problem = yardlink.ErrorWords(s.w.Speaker, err)
				return
			}
			s.w.Hurry() // for its photos
			s.w.Watch()
		})
	}()
}
