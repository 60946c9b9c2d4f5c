package keeping

import (
	"context"
	"errors"
	"net/url"
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/language"
	"pegpour/app/ui"
	"pegpour/app/yardlink"
	"pegpour/engine/plan"
	"pegpour/engine/text"
	"pegpour/storage"
	"pegpour/storage/replication"
)

const pastStep = 40 // states shown at first and with each 'show more'

// pastScreen lists the past states of a site, or shows one beside how it stands now.
type pastScreen struct {
	app.Compo
	w    *editing.Site
	link *yardlink.Link

	id      string
	step    int              // of the address; 0: the list, or the yard's
	name    storage.Revision // of the address: a state that the yard holds
	here    []storage.PastState
	yard    []replication.PastRevision
	asked   bool // the yard was
	most    int
	trouble string // with the yard
	problem string

	then     *editing.Site // as it was
	rules    bool          // the shop's rules of then are known
	showsNow bool
	told     string
}

// NewPastScreen returns the screen.
func NewPastScreen(w *editing.Site, link *yardlink.Link) app.Composer {
	return &pastScreen{w: w, link: link}
}

// OnNav implements app.Navigator.
func (s *pastScreen) OnNav(ctx app.Context) {
	query := ctx.Page().URL().Query()
	s.step, _ = strconv.Atoi(query.Get("step"))
	s.name = storage.Revision(query.Get("revision"))
	s.most, s.then, s.told, s.problem, s.trouble, s.asked, s.showsNow = pastStep, nil, "", "", "", false, false
	s.w.Follow(ctx, func(app.Context) {
		s.id = s.w.Doc.ID
		s.link.Watch()
		s.read()
	})
}

// OnDismount implements app.Dismounter.
func (s *pastScreen) OnDismount() {
	s.link.Unwatch()
	s.w.Leave()
	if s.then != nil {
		s.then.Leave()
	}
}

// read reads the list behind the edits that still wait, and the state of the address.
func (s *pastScreen) read() {
	id, step, name, client := s.id, s.step, s.name, s.link.Client()
	var here []storage.PastState
	var doc *storage.Document
	var shop *storage.Shop
	known := false
	done := func(err error) {
		s.w.Dispatch(func(app.Context) {
			if s.w.Doc == nil || s.w.Doc.ID != id || s.step != step || s.name != name {
				return // gone on meanwhile
			}
			s.here = here
			switch {
			case errors.Is(err, storage.ErrNotFound):
				s.problem = s.w.Say("What led to this state is not on this device any more.")
			case err != nil && name != "":
				s.problem = yardlink.ErrorWords(s.w.Speaker, err)
			case err != nil:
				s.problem = s.w.StoreErrorWords(err)
			case doc != nil:
				s.show(doc, shop, known)
			}
		})
	}
	s.w.BackgroundOf(id, func(c context.Context) (err error) {
		store := s.w.Store
		if here, err = store.Past(c, id); err != nil {
			done(err)
			return nil
		}
		at := ""
		for i := range here {
			if here[i].Number == step {
				at = here[i].At
			}
		}
		if step > 0 {
			if doc, err = store.PastDocument(c, id, step); err == nil {
				shop, known, err = store.PastShop(c, at)
			}
		}
		if name == "" {
			done(err)
			s.readYard(here)
			return nil
		}
		go func() { // the yard may take its time
			doc, err = client.PastDocument(context.Background(), id, name)
			if err == nil {
				shop, known, err = store.PastShop(context.Background(), doc.Changed)
			}
			done(err)
		}()
		return nil
	})
}

// readYard asks the yard for what is not here, if this device is paired with one.
func (s *pastScreen) readYard(here []storage.PastState) {
	id, client, first := s.id, s.link.Client(), ""
	if len(here) > 0 {
		first = here[len(here)-1].At
	}
	go func() {
		yard, err := client.PastElsewhere(context.Background(), id, first)
		s.w.Dispatch(func(app.Context) {
			if s.w.Doc == nil || s.w.Doc.ID != id || errors.Is(err, replication.ErrUnpaired) {
				return
			}
			s.yard, s.asked = yard, true
			switch {
			case errors.Is(err, replication.ErrNotInYard):
			case err != nil:
				s.trouble = language.Sentences(s.w.Say("What only the yard holds cannot be listed now."),
					yardlink.ErrorWords(s.w.Speaker, err))
			}
		})
	}()
}

// show takes a past state into hand beside the site: it is designed as then and is
// never stored.
func (s *pastScreen) show(doc *storage.Document, shop *storage.Shop, known bool) {
	desk := editing.NewDesk(s.w.Speaker)
	desk.Shop = shop
	s.then, s.rules = editing.NewSite(desk), known
	s.then.Doc = doc
	s.then.Enter(s.w.Screen)
	s.then.Design()
}

// Render implements app.Composer.
func (s *pastScreen) Render() app.UI {
	w := s.w
	if w.Doc == nil || s.id != w.Doc.ID {
		return ui.SiteFrame(w, "more")
	}
	if s.step == 0 && s.name == "" {
		return ui.SiteFrame(w, "more tool",
			element.Text("h2", "", w.Say("Past states of this site")),
			app.If(s.problem != "", element.Status("p", "error", "alert", s.problem)),
			s.list(),
			s.yardList())
	}
	back := element.Link("wide", "/site/"+s.id+"/past", w.Say("All past states"))
	if s.then == nil {
		return ui.SiteFrame(w, "more tool",
			app.If(s.problem == "", element.Status("p", "quiet", "status", w.Say("Opening…"))),
			app.If(s.problem != "", element.Status("p", "error", "alert", s.problem)),
			back)
	}
	shown, title := s.then, w.Say("The drawing as it was")
	if s.showsNow {
		shown, title = w, w.Say("The drawing as it is now")
	}
	side := func(name, words string, now bool) app.UI {
		class, pressed := "view", "false"
		if now == s.showsNow {
			class, pressed = "view here", "true"
		}
		return app.Button().Type("button").Class(class).Aria("pressed", pressed).DataSet("side", name).
			Text(words).OnClick(func(app.Context, app.Event) { s.showsNow = now }, now)
	}
	return ui.SiteFrame(w, "more tool",
		element.Text("h2", "", s.title()),
		app.If(s.told != "", element.Known("p", "past-told", "", "status", s.told)),
		element.Acting("div", "views", "group", w.Say("What is drawn"), side("then", w.Say("Then"), false), side("now", w.Say("Now"), true)),
		element.Region("section", "", title,
			&ui.Drawing{Speaker: w.Speaker, Plan: shown.Plan(), Options: shown.SceneOptions(false),
				Seal: shown.Seal + strconv.FormatBool(s.showsNow), Tools: true}),
		s.amounts(),
		element.Text("h3", "", w.Say("What differs: then → now")),
		ui.DifferenceList(w, s.then.Doc, w.Doc),
		app.If(!s.rules, element.Text("p", "quiet",
			w.Say("Which shop rules held then is not known: it is worked out by the rules of now."))),
		element.Text("p", "", w.Say("Taking back puts every value as it was then. It is a new change: undo takes it away again, and everything since stays in this list.")),
		element.Box("div", "sign-in-do", element.Doing("primary", "take-back", w.Say("Take back to this state"),
			func(ctx app.Context, _ app.Event) { s.takeBack(ctx) })),
		back)
}

// title says when the state was.
func (s *pastScreen) title() string {
	at := s.then.Doc.Changed
	for i := range s.here {
		if s.step > 0 && s.here[i].Number == s.step {
			at = s.here[i].At
		}
	}
	return s.w.SayWith("As it was on {0}", s.w.LocalTime(at))
}

// amounts are the figures that decide what is ordered and dug, then and now.
func (s *pastScreen) amounts() app.UI {
	var rows []app.UI
	for _, id := range []string{plan.FigureConcreteOrder, plan.FigureFootDepth, plan.FigurePadDepth, plan.FigureDigLoads} {
		var said [2]string
		name := ""
		for i, site := range []*editing.Site{s.then, s.w} {
			if f, ok := site.Plan().Figure(id); ok {
				said[i], name = s.w.Write(text.Arg{Value: f.Value, Dimension: f.Dimension}), s.w.SayName(f.Name)
			} else {
				said[i] = s.w.Say("nothing")
			}
		}
		if name != "" {
			rows = append(rows, ui.PairOf(name, s.w.SayWith("{0} → {1}", said[0], said[1])))
		}
	}
	return element.Box("dl", "", rows...)
}

// takeBack makes of the site what it was, as an edit.
func (s *pastScreen) takeBack(ctx app.Context) {
	e, err := storage.TakeBack(s.w.Doc, s.then.Doc)
	s.told = s.w.Say("This is how it stands already.")
	if !e.Empty() {
		s.told = s.w.Say("Taken back. Undo brings back how it was before.")
	}
	if err != nil {
		s.told = ""
	}
	s.w.Commit(ctx, e, err)
}

// list has the states of this device, by day.
func (s *pastScreen) list() app.UI {
	w := s.w
	var rows []app.UI
	day := ""
	for i := range s.here[:min(len(s.here), s.most)] {
		p := &s.here[i]
		date, clock := s.when(p.At)
		if date != day {
			day = date
			rows = append(rows, element.Text("li", "past-day", date))
		}
		who := p.Who
		if who == "" {
			who = w.Say("this device")
		}
		if p.Action == storage.Merged {
			who = w.Say("the yard")
		}
		where := app.UI(element.Text("span", "quiet", w.Say("no longer here")))
		switch {
		case i == 0:
			where = element.Text("span", "chip", w.Say("now"))
		case p.Here:
			where = s.open("step="+strconv.Itoa(p.Number), p.At)
		}
		rows = append(rows, s.row(clock, who, s.what(p), where))
	}
	return element.Box("div", "",
		element.Box("ol", "past", rows...),
		app.If(len(s.here) > s.most, element.Button("wide", w.Say("Show older versions"), func(app.Context, app.Event) { s.most += pastStep })))
}

func (s *pastScreen) row(when, who, what string, where app.UI) app.UI {
	return element.Box("li", "",
		element.Box("div", "past-head",
			element.Box("span", "", element.Text("strong", "", when), app.Text(" "+who)), where),
		app.If(what != "", element.Text("p", "", what)))
}

func (s *pastScreen) open(query, at string) app.UI {
	return app.A().Class("quiet-link").Href("/site/"+s.id+"/past?"+query).
		Aria("label", s.w.SayWith("Open the version of {0}", s.w.LocalTime(at))).Text(s.w.Say("Open"))
}

// when is a time as day and clock.
func (s *pastScreen) when(at string) (day, clock string) {
	said := s.w.LocalTime(at)
	if n := len(said) - len("15:04"); n > 0 && said[n-1] == ' ' {
		return said[:n-1], said[n:]
	}
	return said, ""
}

// what says what a step did.
func (s *pastScreen) what(p *storage.PastState) string {
	w := s.w
	switch p.Action {
	case storage.Created:
		return w.Say("The first version.")
	case storage.Undone:
		return w.Say("Undo")
	case storage.Redone:
		return w.Say("Redo")
	case storage.Restored:
		return w.Say("From a back-up")
	}
	if p.Path == "" {
		return ""
	}
	name := ui.ConflictName(w.Speaker, storage.Conflict{Path: p.Path}, ui.FieldOfPath(p.Path))
	if p.Places > 1 {
		return w.SayWith("{0} and more", name)
	}
	return name
}

// yardList offers what only the yard holds, or says why it cannot.
func (s *pastScreen) yardList() app.UI {
	w := s.w
	if !s.asked {
		return app.Text("")
	}
	return element.Region("section", "safe", w.Say("In the yard"),
		element.Text("h2", "", w.Say("In the yard")),
		app.If(s.trouble != "", element.Status("p", "quiet", "status", s.trouble)),
		app.If(s.trouble == "" && len(s.yard) == 0, element.Text("p", "quiet", w.Say("The yard holds no state that is not here."))),
		element.Box("ol", "past", app.Range(s.yard[:min(len(s.yard), s.most)]).Slice(func(i int) app.UI {
			p := &s.yard[i]
			who := p.By
			if who == "" {
				who = w.Say("the yard")
			}
			return s.row(w.LocalTime(p.Received), who, "", s.open("revision="+url.QueryEscape(string(p.Revision)), p.Received))
		})))
}
