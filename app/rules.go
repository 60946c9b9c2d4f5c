package app

import (
	"context"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/keeping"
	"pegpour/app/ui"
	"pegpour/engine/practice"
	"pegpour/storage"
)

// rulesScreen lists every rule of thumb: the shop's own, or what one site does
// differently.
type rulesScreen struct {
	app.Compo
	w      *editing.Site
	list   *keeping.Safety
	site   bool
	query  string // what is sought among them
	errors map[string]string
	typed  map[string]string
	// aside are rules as they stood here where the yard had something else first.
	aside map[string]*float64
}

func newRulesScreen(w *editing.Site, list *keeping.Safety, site bool) *rulesScreen {
	return &rulesScreen{w: w, list: list, site: site, errors: map[string]string{}, typed: map[string]string{}}
}

// OnNav implements app.Navigator.
func (s *rulesScreen) OnNav(ctx app.Context) {
	if s.site {
		s.w.Follow(ctx, nil)
	} else {
		s.list.Show(ctx)
		s.w.WithStore(func(app.Context) { s.readAside() })
	}
}

// readAside reads what of the rules here the yard did not take.
func (s *rulesScreen) readAside() {
	client := s.list.Link.Client()
	s.w.Background(func(c context.Context) error {
		aside, err := client.RulesAside(c)
		s.w.Dispatch(func(ctx app.Context) {
			if err == nil {
				s.aside = aside
				s.w.Refresh(ctx)
			}
		})
		return nil
	})
}

// leaveAside lets go of a rule that the yard did not take.
func (s *rulesScreen) leaveAside(key string) {
	client := s.list.Link.Client()
	s.w.Background(func(c context.Context) error { return client.DropRuleAside(c, key) })
	s.readAside()
}

// origin says where the rules come from, and where a site stands behind them.
func (s *rulesScreen) origin() []app.UI {
	w := s.w
	switch {
	case !s.site && w.Shop.Yard > 0:
		return []app.UI{element.Text("p", "quiet", w.Say("These are the rules of the yard: what is changed here goes to every device of it, and a site that was begun keeps those it was begun under."))}
	case s.site && w.Doc.ShopRules != nil && len(w.Shop.Behind(w.Doc)) > 0:
		return []app.UI{element.Box("div", "bar bar-aside",
			element.Text("span", "", w.SayCount(len(w.Shop.Behind(w.Doc)),
				"The shop changed one rule since this site was begun. The site keeps the one it was begun under.",
				"The shop changed {0} rules since this site was begun. The site keeps those it was begun under.")),
			element.Doing("", "take-rules", w.Say("Take the shop's rules of now"), func(ctx app.Context, _ app.Event) {
				e, err := storage.TakeShopRules(w.Doc, w.Shop)
				w.Commit(ctx, e, err)
			}))}
	}
	return nil
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
	content := append([]app.UI{element.Text("p", "quiet", s.purpose())}, s.origin()...)
	if !s.site {
		content = append(content, element.Link("wide", "/settings", w.Say("Units, language, colours: settings of this phone")),
			element.Link("wide", "/learned", w.Say("What was learned over all jobs")))
	}
	content = append(content, app.Input().Type("search").Class("words").ID("search").Attr("autocomplete", "off").
		Attr("enterkeyhint", "search").Placeholder(w.Say("Find a rule")).Aria("label", w.Say("Find a rule")).
		OnInput(func(_ app.Context, e app.Event) {
			s.query = strings.ToLower(strings.TrimSpace(e.Get("target").Get("value").String()))
		}))
	groups, shown := s.groups()
	if len(groups) == 0 {
		content = append(content, element.Status("p", "quiet", "status", w.SayWith("No rule has ‘{0}’ in it.", s.query)))
	}
	for _, group := range groups {
		content = append(content, s.group(group, shown[group]))
	}
	if s.site {
		return ui.SiteFrame(w, "more", content...)
	}
	return ui.PlainFrame(w.Device, w.Say("Shop rules"), "/", content...)
}

// groups are the groups that hold what is sought, in the order of the table, each
// with its rules.
func (s *rulesScreen) groups() (groups []string, shown map[string][]practice.Rule) {
	shown = map[string][]practice.Rule{}
	words := strings.Fields(s.query)
next:
	for _, r := range practice.Rules() {
		sought := strings.ToLower(strings.Join([]string{s.w.Say(r.Group), s.w.SayName(r.Name), s.w.Say(r.Why)}, " "))
		for _, word := range words {
			if !strings.Contains(sought, word) {
				continue next
			}
		}
		if shown[r.Group] == nil {
			groups = append(groups, r.Group)
		}
		shown[r.Group] = append(shown[r.Group], r)
	}
	return groups, shown
}

// group is a group of rules, open while something is sought.
func (s *rulesScreen) group(name string, rules []practice.Rule) app.UI {
	w, own := s.w, 0
	for i := range rules {
		if _, changed := w.RuleValue(rules[i], s.site); changed {
			own++
		}
	}
	return app.Elem("details").Class("rules").DataSet("group", name).Attr("open", s.query != "").Body(
		element.Box("summary", "", element.Text("span", "rule-name", w.Say(name)),
			app.If(own > 0, element.Text("span", "quiet", w.SayCount(own, "one of your own", "{0} of your own")))),
		app.Range(rules).Slice(func(i int) app.UI { return s.rule(rules[i]) }),
	)
}

func (s *rulesScreen) purpose() string {
	if s.site {
		return s.w.Say("What this site does differently from the shop's rules.")
	}
	return s.w.Say("How this shop builds. Each number is common practice unless a source is named; change it to your own.")
}

func (s *rulesScreen) rule(r practice.Rule) app.UI {
	w := s.w
	value, own := w.RuleValue(r, s.site)
	shown := w.RuleText(r, value)
	if t, ok := s.typed[r.Key]; ok {
		shown = t
	}
	problem := s.errors[r.Key]
	return element.Box("div", "rule",
		app.Elem("label").Class("rule-name").Attr("for", "rule-"+r.Key).Text(w.SayName(r.Name)),
		element.Text("p", "how", w.Say(r.Why)),
		element.Text("p", "source", w.SayWith("{0} · allowed {1} – {2}", w.Say(r.Source), w.RuleText(r, r.Low),
			w.RuleText(r, r.High)+" "+w.RuleUnit(r))),
		element.Box("div", "rule-entry",
			app.Input().ID("rule-"+r.Key).Type("text").Attr("inputmode", "decimal").Attr("autocomplete", "off").Value(shown).
				OnChange(func(ctx app.Context, e app.Event) { s.change(ctx, r, e.Get("target").Get("value").String()) }, r.Key),
			element.Text("span", "unit", w.RuleUnit(r)),
			app.If(own,
				element.Button("row-side", w.SayWith("Back to {0}", w.RuleText(r, w.RuleBase(r, s.site))), func(ctx app.Context, _ app.Event) {
					delete(s.errors, r.Key)
					delete(s.typed, r.Key)
					w.ClearRule(ctx, r, s.site)
				}, r.Key)),
		),
		app.If(problem != "", element.Status("p", "error", "alert", problem)),
		s.mine(r),
	)
}

// mine offers a rule as it stood here where the yard had something else first.
func (s *rulesScreen) mine(r practice.Rule) app.UI {
	w := s.w
	was, here := s.aside[r.Key]
	if s.site || !here {
		return app.Text("")
	}
	value := r.Default
	if was != nil {
		value = *was
	}
	return element.Box("div", "bar bar-aside",
		element.Text("span", "", w.SayWith("The yard had this first. Here it stood at {0}.", w.RuleText(r, value)+" "+w.RuleUnit(r))),
		element.Button("", w.Say("Take the one from here"), func(ctx app.Context, _ app.Event) {
			if was == nil {
				w.ClearRule(ctx, r, false)
			} else {
				e, err := storage.SetShopRule(w.Shop, r.Key, value, "")
				w.CommitShop(ctx, e, err)
			}
			s.leaveAside(r.Key)
		}, r.Key, value),
		element.Button("", w.Say("Keep the yard's"), func(app.Context, app.Event) { s.leaveAside(r.Key) }, r.Key))
}

func (s *rulesScreen) change(ctx app.Context, r practice.Rule, text string) {
	delete(s.errors, r.Key)
	delete(s.typed, r.Key)
	if problem := s.w.SetRule(ctx, r, text, s.site); problem != "" {
		s.errors[r.Key], s.typed[r.Key] = problem, text
	}
}
