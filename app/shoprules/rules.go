package shoprules

import (
	"slices"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/ui"
	"pegpour/app/yardlink"
	"pegpour/engine/practice"
)

// rulesScreen lists every rule of thumb: the shop's own, or what one site does
// differently.
type rulesScreen struct {
	app.Compo
	entries
	aside aside
	site  bool
	query string // what is sought among them
	// own are the rules that were not as their default when the screen was opened, which
	// stand first; nil: not found yet. What is changed meanwhile stays where it is.
	own    []string
	opened map[string]bool // the groups that were opened
	trial  trial
}

func newRulesScreen(w *editing.Site, link *yardlink.Link, site bool) *rulesScreen {
	return &rulesScreen{entries: newEntries(w), aside: aside{w: w, link: link}, site: site,
		opened: map[string]bool{}}
}

// OnNav implements app.Navigator.
func (s *rulesScreen) OnNav(ctx app.Context) {
	s.own = nil
	if s.site {
		s.w.Follow(ctx, nil)
		return
	}
	s.w.Enter(ctx)
	s.w.WithStore(func(ctx app.Context) {
		s.aside.read()
		s.w.Refresh(ctx)
	})
}

// OnDismount implements app.Dismounter.
func (s *rulesScreen) OnDismount() { s.w.Leave() }

// Render implements app.Composer.
func (s *rulesScreen) Render() app.UI {
	w := s.w
	if w.Shop == nil {
		return ui.PlainFrame(w.Device, w.Say("Shop rules"), "/", ui.Opening(w.Device))
	}
	if s.site && w.Doc == nil {
		return ui.SiteFrame(w, "more")
	}
	content := append([]app.UI{element.Text("p", "quiet", s.purpose())}, origin(w, s.site)...)
	if s.site {
		content = append(content, element.Link("wide", "/site/"+w.Doc.ID+"/rates", w.Say("Rates and terms")))
	} else {
		content = append(content, element.Link("wide", "/rates", w.Say("Rates and terms")),
			element.Link("wide", "/settings", w.Say("Units, language, colours: settings of this phone")),
			element.Link("wide", "/learned", w.Say("What was learned over all jobs")),
			element.Link("wide", "/show", w.Say("Show these rules to another phone")))
	}
	content = append(content, app.Input().Type("search").Class("words").ID("search").Attr("autocomplete", "off").
		Attr("enterkeyhint", "search").Placeholder(w.Say("Find a rule")).Aria("label", w.Say("Find a rule")).
		OnInput(func(_ app.Context, e app.Event) {
			s.query = strings.ToLower(strings.TrimSpace(e.Get("target").Get("value").String()))
			s.own = nil
		}))
	content = append(content, s.groups()...)
	if s.site {
		return ui.SiteFrame(w, "more", content...)
	}
	return ui.PlainFrame(w.Device, w.Say("Shop rules"), "/", content...)
}

func (s *rulesScreen) purpose() string {
	if s.site {
		return s.w.Say("What this site does differently from the shop's rules. What a rule would change here is shown before it is kept.")
	}
	return s.w.Say("How this shop builds. Each number is common practice unless a source is named; change it to your own.")
}

// mostOpen is from how many rules on that were found the groups of the rest stay closed: a
// letter finds most of all, and all of them take a cheap phone a second to show.
const mostOpen = 30

// groups are the rules that were not as their default, then the groups that hold what is
// sought, in the order of the table. The rates stand among them only where they are
// sought, for they have a page of their own.
func (s *rulesScreen) groups() []app.UI {
	w := s.w
	if s.own == nil {
		s.own = s.changed()
	}
	var names []string
	var own []practice.Rule
	shown := map[string][]practice.Rule{}
	words := strings.Fields(s.query)
	for _, r := range practice.Rules() {
		switch {
		case !s.sought(&r, words) || len(words) == 0 && ofMoney(&r):
			continue
		case slices.Contains(s.own, r.Key):
			own = append(own, r)
			continue
		case shown[r.Group] == nil:
			names = append(names, r.Group)
		}
		shown[r.Group] = append(shown[r.Group], r)
	}
	var content []app.UI
	if len(own) > 0 {
		name := w.Say("Your own")
		if s.site {
			name = w.Say("For this site only")
		}
		content = append(content, s.group("own", name, own, true))
	}
	for left, i := mostOpen, 0; i < len(names); i++ {
		found := shown[names[i]]
		content = append(content, s.group(names[i], w.Say(names[i]), found, s.query != "" && left > 0))
		left -= len(found)
	}
	if len(content) == 0 {
		content = append(content, element.Status("p", "quiet", "status", w.SayWith("No rule has ‘{0}’ in it.", s.query)))
	}
	return content
}

// sought reports whether a rule has all of some words in it: in its name, its group, its
// reason, or its key as documents and the command line have it.
func (s *rulesScreen) sought(r *practice.Rule, words []string) bool {
	if len(words) == 0 {
		return true
	}
	w := s.w
	in := strings.ToLower(strings.Join([]string{w.Say(r.Group), w.SayName(r.Name), w.Say(r.Why), r.Key}, " "))
	return !slices.ContainsFunc(words, func(word string) bool { return !strings.Contains(in, word) })
}

// changed are the rules that are not as they would be by default, or were typed so.
func (s *rulesScreen) changed() []string {
	keys := []string{}
	for _, r := range practice.Rules() {
		_, own := s.w.RuleValue(r, s.site)
		if _, pending := s.pending(r, s.site); own || pending || s.aside.stands(r.Key) {
			keys = append(keys, r.Key)
		}
	}
	return keys
}

// group is a group of rules, which are made when it is opened; without a browser, where
// nothing can be, all of them are.
func (s *rulesScreen) group(id, name string, rules []practice.Rule, open bool) app.UI {
	w, own := s.w, 0
	for i := range rules {
		if _, changed := w.RuleValue(rules[i], s.site); changed {
			own++
		}
	}
	note := w.SayCount(own, "one of your own", "{0} of your own")
	if id == "own" {
		note = strconv.Itoa(len(rules))
	}
	made := rules
	if app.IsClient && !open && !s.opened[id] {
		made = nil
	}
	return app.Elem("details").Class("rules").DataSet("group", id).Attr("open", open).
		On("toggle", func(_ app.Context, e app.Event) { s.opened[id] = e.Get("target").Get("open").Bool() }, id).Body(
		element.Box("summary", "", element.Text("span", "rule-name", name),
			app.If(own > 0 || id == "own", element.Text("span", "quiet", note))),
		app.Range(made).Slice(func(i int) app.UI { return s.rule(made[i]) }),
	)
}

func (s *rulesScreen) rule(r practice.Rule) app.UI {
	w := s.w
	typing, typed := app.EventHandler(nil), s.keepAtOnce(r)
	if s.site {
		typing, typed = s.tryAfterPause(r), s.try(r)
	}
	return element.Box("div", "rule",
		app.Elem("label").Class("rule-name").Attr("for", "rule-"+r.Key).Text(w.SayName(r.Name)),
		element.Text("p", "how", w.Say(r.Why)),
		element.Text("p", "source", w.SayWith("{0} · allowed {1} – {2}", w.Say(r.Source), w.RuleText(r, r.Low),
			w.RuleSize(r, r.High))),
		element.Box("div", "rule-entry", s.field(r, s.site, typing, typed), s.back(r, s.site)),
		s.says(r, s.site),
		s.tried(r),
		app.If(!s.site, s.aside.offer(r)),
	)
}

// keepAtOnce keeps what was typed for a rule of the shop.
func (s *rulesScreen) keepAtOnce(r practice.Rule) app.EventHandler {
	return func(ctx app.Context, e app.Event) { s.keep(ctx, r, wordsOf(e), false) }
}
