package app

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/practice"
)

// rulesScreen lists every rule of thumb: the shop's own, or what one site does
// differently.
type rulesScreen struct {
	app.Compo
	w      *workspace
	site   bool
	errors map[string]string
	typed  map[string]string
}

func newRulesScreen(site bool) *rulesScreen {
	return &rulesScreen{w: current, site: site, errors: map[string]string{}, typed: map[string]string{}}
}

// OnNav implements app.Navigator.
func (s *rulesScreen) OnNav(ctx app.Context) {
	if s.site {
		s.w.follow(ctx, nil)
	} else {
		s.w.openList(ctx)
	}
}

// OnDismount implements app.Dismounter.
func (s *rulesScreen) OnDismount() { s.w.unfollow() }

// Render implements app.Composer.
func (s *rulesScreen) Render() app.UI {
	w := s.w
	if w.shop == nil {
		return plainFrame(say("Shop rules"), "/", w.opening())
	}
	if s.site && w.doc == nil {
		return siteFrame(w, "more")
	}
	rules := practice.Rules()
	var content []app.UI
	content = append(content, app.P().Class("quiet").Text(s.purpose()))
	if !s.site {
		content = append(content, settingsPanel(w))
	}
	group := ""
	for i := range rules {
		if rules[i].Group != group {
			group = rules[i].Group
			content = append(content, app.H2().Text(say(group)))
		}
		content = append(content, s.rule(rules[i]))
	}
	if s.site {
		return siteFrame(w, "more", content...)
	}
	return plainFrame(say("Shop rules"), "/", content...)
}

func (s *rulesScreen) purpose() string {
	if s.site {
		return say("What this site does differently from the shop's rules.")
	}
	return say("How this shop builds. Each number is common practice unless a source is named; change it to your own.")
}

func (s *rulesScreen) rule(r practice.Rule) app.UI {
	w := s.w
	value, own := w.ruleValue(r, s.site)
	shown := w.ruleText(r, value)
	if t, ok := s.typed[r.Key]; ok {
		shown = t
	}
	problem := s.errors[r.Key]
	return app.Div().Class("rule").Body(
		app.Label().Class("rule-name").For("rule-"+r.Key).Text(say(r.Name)),
		app.P().Class("how").Text(say(r.Why)),
		app.P().Class("source").Text(sayWith("{0} · allowed {1} – {2}", say(r.Source), w.ruleText(r, r.Low), w.ruleText(r, r.High)+" "+w.ruleUnit(r))),
		app.Div().Class("rule-entry").Body(
			app.Input().ID("rule-"+r.Key).Type("text").Attr("inputmode", "decimal").Attr("autocomplete", "off").Value(shown).
				OnChange(func(ctx app.Context, e app.Event) { s.change(ctx, r, e.Get("target").Get("value").String()) }, r.Key),
			app.Span().Class("unit").Text(w.ruleUnit(r)),
			app.If(own, app.Button().Type("button").Class("row-side").Text(sayWith("Back to {0}", w.ruleText(r, w.ruleBase(r, s.site)))).
				OnClick(func(ctx app.Context, _ app.Event) {
					delete(s.errors, r.Key)
					delete(s.typed, r.Key)
					w.clearRule(ctx, r, s.site)
				}, r.Key)),
		),
		app.If(problem != "", app.P().Class("error").Role("alert").Text(problem)),
	)
}

func (s *rulesScreen) change(ctx app.Context, r practice.Rule, text string) {
	delete(s.errors, r.Key)
	delete(s.typed, r.Key)
	if problem := s.w.setRule(ctx, r, text, s.site); problem != "" {
		s.errors[r.Key], s.typed[r.Key] = problem, text
	}
}
