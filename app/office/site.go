package office

import (
	"context"
	"encoding/json"
	"net/url"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/documents"
	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/ui"
	"pegpour/app/window"
	"pegpour/engine/plan"
	"pegpour/engine/survey"
	"pegpour/storage"
)

// officeSiteScreen shows one site as it stands in the yard, or as it stood.
type officeSiteScreen struct {
	app.Compo
	o    *Office
	gone bool

	id     string
	asked  string // the revision of the address, "" for the newest
	shown  string // the revision on the screen
	site   *editing.Site
	reads  int // counts the sites taken into hand, for the handlers
	base   correctionBase
	papers *documents.Maker

	past     []yardPast
	most     int // of past on the screen
	opened   map[string]bool
	states   map[string]*storage.Document // by revision, as they were read
	images   map[string]string            // addresses of photos, by identity
	sending  bool
	sure     bool // asked once whether to delete the site
	versions versionChoice
}

// yardPast is a line of a site's history.
type yardPast struct {
	Revision, Received, Device string
	Parents                    []string
	Waiting                    bool
	Turn                       int64
}

// NewSiteScreen returns the screen.
func NewSiteScreen(o *Office) app.Composer {
	return &officeSiteScreen{o: o, most: pastStep, opened: map[string]bool{}, states: map[string]*storage.Document{},
		images: map[string]string{}}
}

// OnNav implements app.Navigator.
func (s *officeSiteScreen) OnNav(ctx app.Context) {
	at := ctx.Page().URL()
	id, _ := url.PathUnescape(strings.TrimPrefix(at.EscapedPath(), "/office/site/"))
	if asked := at.Query().Get("revision"); id != s.id || asked != s.asked {
		// Nothing of the other version stays on the screen.
		s.o.line, s.o.told, s.site = nil, "", nil
		s.id, s.asked = id, asked
	}
	s.o.enter(ctx, func(app.Context) { s.read() })
}

// OnDismount implements app.Dismounter.
func (s *officeSiteScreen) OnDismount() {
	s.gone = true
	s.o.line = nil
	s.o.w.Leave()
	if s.site != nil {
		s.site.Leave()
	}
	for _, address := range s.images {
		if address != "" {
			window.Forget(address)
		}
	}
}

// read reads the site with its history, and the correction that was begun here.
func (s *officeSiteScreen) read() {
	o, asked, id := s.o, s.asked, s.id
	s.o.problem = ""
	var line yardSite
	var past []yardPast
	var names map[string]string
	var kept correctionKept
	var site *editing.Site
	var base correctionBase
	shown := asked
	o.ask(func(c context.Context) error {
		path := yardSitePath(id)
		if err := o.get(c, path, &line); err != nil {
			return err
		}
		var err error
		if names, _, err = o.readNames(c); err != nil {
			return err
		}
		if past, err = s.readPast(c); err != nil {
			return err
		}
		if shown == "" && len(line.Heads) > 0 {
			shown = line.Heads[0]
		}
		doc, err := s.state(c, shown)
		if err != nil {
			return err
		}
		base = correctionBase{parents: []storage.Revision{storage.Revision(shown)}, doc: doc}
		if asked == "" {
			if kept, err = o.keptCorrection(c, id); err != nil {
				return err
			}
			if begun, from := kept.read(); begun != nil {
				// What it was begun on need not be the newest any more.
				if base.doc, err = s.state(c, string(from[0])); err != nil {
					return err
				}
				base.parents, doc = from, begun
			}
		}
		site, err = o.openDesk(c, doc)
		return err
	}, func(app.Context) {
		if s.gone || asked != s.asked || id != s.id {
			return
		}
		site.Enter(o.w.Screen)
		o.w.InTurns(s.inTurns(site, func() {
			o.line, o.names, s.past, s.shown, s.base = &line, names, past, shown, base
			s.site = site
			s.reads++
			s.papers = documents.NewDeskMaker(site, s.o.press)
			site.Designed = s.keepCorrection
			s.versions = versionChoice{}
			if len(line.Heads) > 1 && asked == "" {
				s.readVersions()
			}
			s.readPhotos()
			s.openNewest()
		})...)
	})
}

// inTurns has a site designed, judged, its remedies sought, and shown, as long as it is the
// one that is asked for: each takes a cheap phone a while.
func (s *officeSiteScreen) inTurns(site *editing.Site, show func()) (turns []func(app.Context) bool) {
	asked, id := s.asked, s.id
	for _, do := range [...]func(){site.Design, func() { site.Plan() }, func() { site.WholePlan() }, show} {
		turns = append(turns, func(app.Context) bool {
			if s.gone || asked != s.asked || id != s.id {
				return false
			}
			do()
			return true
		})
	}
	return turns
}

// readPast reads the whole history, the newest first.
func (s *officeSiteScreen) readPast(c context.Context) ([]yardPast, error) {
	var all []yardPast
	for after := int64(0); ; {
		var page struct {
			Revisions []yardPast
			Next      int64
		}
		if err := s.o.get(c, yardSitePath(s.id)+"/revisions?after="+strconv.FormatInt(after, 10), &page); err != nil {
			return nil, err
		}
		for i := range page.Revisions {
			all = append([]yardPast{page.Revisions[i]}, all...)
		}
		if len(page.Revisions) == 0 || page.Next <= after {
			return all, nil
		}
		after = page.Next
	}
}

// state reads one state of the site. It may be called off the goroutine of the screens.
func (s *officeSiteScreen) state(c context.Context, name string) (*storage.Document, error) {
	return s.o.revision(c, s.id, name)
}

// openDesk makes a site of its own, over a store in memory, of a site of the yard:
// what is done with it stays here until it is sent.
func (o *Office) openDesk(c context.Context, doc *storage.Document) (*editing.Site, error) {
	desk := editing.NewDesk(o.w.Speaker)
	desk.Shop = o.w.Shop
	loaded, err := desk.Store.Create(c, doc)
	if err != nil {
		return nil, err
	}
	site := editing.NewSite(desk)
	// Nobody measured what is first written down here.
	site.How = survey.ByEstimate
	// As the yard has it: the store may have added a time.
	site.Doc, site.Revision = doc, loaded.Revision
	return site, nil
}

// older reports whether a state is shown that is none of the newest.
func (s *officeSiteScreen) older() bool { return s.asked != "" }

// Render implements app.Composer.
func (s *officeSiteScreen) Render() app.UI {
	o := s.o
	if s.site == nil || o.line == nil {
		return o.frame("", app.If(o.problem == "", element.Status("p", "quiet", "status", s.o.w.Say("Opening…"))))
	}
	w, line := s.site, o.line
	where := &w.Doc.Survey.Site
	return o.frame("",
		element.Box("div", "office-head",
			element.Box("div", "",
				element.Box("h2", "office-name", app.Text(ui.SiteName(w.Speaker, where.Name)), app.Text(" "), stateChip(w.Speaker, line)),
				element.Text("p", "", where.Address),
				app.If(where.Client != "" || where.Phone != "", element.Text("p", "", strings.TrimSpace(where.Client+"  "+where.Phone))),
				app.If(!s.older(), element.Text("p", "office-far", recorded(w.Speaker, line.Far))),
				element.Text("p", "quiet", s.measured()),
			),
			o.markButtons(line),
		),
		s.banner(),
		s.versionPanel(),
		s.correctionBar(),
		element.Box("div", "office-columns",
			element.Box("div", "office-column",
				element.Region("section", "", w.Say("Set-out plan"),
					&ui.Drawing{Speaker: w.Speaker, Plan: w.Plan(), Options: w.SceneOptions(false), Seal: w.Seal + s.shown,
						Tools: true}),
				s.keyFigures(),
				s.watchOuts(),
				s.photos(),
			),
			element.Box("div", "office-column",
				s.documents(),
				s.history(),
				s.figures(),
				s.crews(),
				s.deletion(),
			),
		),
	)
}

func (s *officeSiteScreen) measured() string {
	where := &s.site.Doc.Survey.Site
	switch {
	case where.MeasuredBy != "" && where.MeasuredOn != "":
		return s.o.w.SayWith("Measured by {0} on {1}", where.MeasuredBy, s.o.w.Date(where.MeasuredOn))
	case where.MeasuredBy != "":
		return s.o.w.SayWith("Measured by {0}", where.MeasuredBy)
	case where.MeasuredOn != "":
		return s.o.w.SayWith("Measured on {0}", s.o.w.Date(where.MeasuredOn))
	}
	return s.o.w.Say("Who measured is not noted.")
}

// banner says which state is on the screen.
func (s *officeSiteScreen) banner() app.UI {
	if !s.older() {
		return app.Text("")
	}
	words := s.o.w.Say("An older version, to read and to print.")
	for i := range s.past {
		if s.past[i].Revision == s.asked {
			words = s.o.w.SayWith("The version of {0}, sent by {1}: to read and to print.", s.o.w.LocalTime(s.past[i].Received),
				s.o.nameOf(s.past[i].Device))
		}
	}
	return app.Elem("div").Class("bar").Role("status").DataSet("older", s.asked).Body(
		element.Text("span", "", words), app.A().Href("/office/site/"+url.PathEscape(s.id)).Text(s.o.w.Say("To the newest")))
}

// keyFigures are the few numbers that matter, first and large.
func (s *officeSiteScreen) keyFigures() app.UI {
	stops := s.site.Stops()
	class := "big-value voice-worked"
	if stops > 0 {
		class = "big-value error"
	}
	return element.Region("section", "", s.o.w.Say("Key figures"),
		element.Box("div", "bigs", append(ui.Depths(s.site),
			ui.BigFigure(s.site, "Concrete to order", "concrete.order"),
			app.If(!s.site.Plan().Quantities.ReadyMix, ui.BigFigure(s.site, "Bags", "concrete.bags")),
			ui.BigFigure(s.site, "Trailer loads of spoil", "dig.loads"),
			element.Box("div", "big",
				app.Elem("span").Class(class).DataSet("figure", "stops").Text(stops),
				element.Text("span", "big-name", s.o.w.Say("Watch-outs that say stop"))),
		)...),
		element.Text("p", "quiet", s.o.w.Say("Worked out by the shop rules.")+" "),
		element.Link("quiet-link", "/office/rules", s.o.w.Say("Shop rules")),
	)
}

// watchOuts lists what to watch: what says stop first.
func (s *officeSiteScreen) watchOuts() app.UI {
	w := s.site
	group := func(severity plan.Severity, name string) app.UI {
		var items []app.UI
		for i := range w.WholePlan().Checks {
			c := &w.WholePlan().Checks[i]
			if c.Severity != severity {
				continue
			}
			items = append(items, element.Box("li", "item",
				element.Text("p", "office-what", w.Sentence(c.What)),
				app.If(!c.Consequence.Empty() && severity != plan.Sound, element.Text("p", "how", w.Sentence(c.Consequence))),
				app.Range(c.Remedies).Slice(func(k int) app.UI {
					return app.If(severity != plan.Sound, element.Text("p", "remedy", w.Sentence(c.Remedies[k].Words)))
				})))
		}
		if len(items) == 0 {
			return app.Text("")
		}
		return app.Elem("details").Class("watch watch-"+string(severity)).Attr("open", severity != plan.Sound).Body(
			element.Box("summary", "", element.Text("span", "", name), element.Text("span", "figure-value", len(items))),
			element.Box("ul", "list", items...))
	}
	return element.Region("section", "", w.Say("Watch-outs"),
		element.Text("h2", "", w.Say("Watch-outs")),
		group(plan.Stop, w.Say("Stop")), group(plan.Warning, w.Say("Mind")), group(plan.Sound, w.Say("Sound")))
}

// correctionKept is a correction that was begun here and is not in the yard.
type correctionKept struct {
	Parents []storage.Revision `json:"parents"`
	Text    []byte             `json:"text"`
}

const keyCorrection = "office/"

// keptCorrection reads the correction of a site that this device keeps.
func (o *Office) keptCorrection(c context.Context, id string) (correctionKept, error) {
	var k correctionKept
	text, err := o.w.Store.Exchanged(c, keyCorrection+id)
	if err != nil || text == nil || json.Unmarshal(text, &k) != nil {
		return correctionKept{}, err
	}
	return k, nil
}

// read returns the document and what it was begun on; nil when there is none
// or it cannot be read.
func (k correctionKept) read() (*storage.Document, []storage.Revision) {
	if len(k.Parents) == 0 {
		return nil, nil
	}
	doc, err := storage.Decode(k.Text)
	if err != nil {
		return nil, nil
	}
	return doc, k.Parents
}
