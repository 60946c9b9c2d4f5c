package office

import (
	"context"
	"strconv"
	"strings"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/engine/practice"
)

// officeRulesScreen shows the rules by which the shop builds, changes them, and says who
// changed what and when.
type officeRulesScreen struct {
	app.Compo
	o     *Office
	words *editing.Site // writes and reads values of rules

	query    string
	problems map[string]string
	past     []yardRulePast
	next     int64
}

type yardRulePast struct {
	Revision      int64
	Key           string
	Before, Value *float64
	At, Device    string
	By            string
}

// NewRulesScreen returns the screen.
func NewRulesScreen(o *Office) app.Composer {
	return &officeRulesScreen{o: o, words: editing.NewSite(o.w), problems: map[string]string{}}
}

// OnNav implements app.Navigator.
func (s *officeRulesScreen) OnNav(ctx app.Context) {
	s.o.enter(ctx, func(app.Context) {
		s.o.link.Hurry() // those of now
		s.readPast(false)
	})
}

// OnDismount implements app.Dismounter.
func (s *officeRulesScreen) OnDismount() { s.o.w.Leave() }

func (s *officeRulesScreen) readPast(on bool) {
	path := "/api/v1/shop-rules/history?limit=50"
	if on {
		path += "&before=" + strconv.FormatInt(s.next, 10)
	}
	var page struct {
		Changes []yardRulePast
		Next    int64
	}
	s.o.ask(func(c context.Context) error { return s.o.get(c, path, &page) }, func(app.Context) {
		if !on {
			s.past = nil
		}
		s.past, s.next, s.o.problem = append(s.past, page.Changes...), page.Next, ""
		if len(page.Changes) < 50 {
			s.next = 0
		}
	})
}

// Render implements app.Composer.
func (s *officeRulesScreen) Render() app.UI {
	w := s.o.w
	if w.Shop == nil {
		return s.o.frame(officeRules)
	}
	rules := s.shown()
	return s.o.frame(officeRules,
		element.Region("section", "", w.Say("Shop rules"),
			element.Text("h2", "", w.Say("Shop rules")),
			element.Text("p", "quiet", w.Say("These are the rules of the yard: what is changed here goes to every device of it, and a site that was begun keeps those it was begun under.")),
			app.Input().ID("rule-search").Class("words").Type("search").Attr("autocomplete", "off").
				Placeholder(w.Say("Find a rule")).Aria("label", w.Say("Find a rule")).OnInput(func(_ app.Context, e app.Event) {
				s.query = strings.ToLower(strings.TrimSpace(e.Get("target").Get("value").String()))
			}),
			app.If(len(rules) == 0 && s.query == "",
				element.Text("p", "empty", w.Say("Every rule is common practice. Look for one to change it."))),
			app.If(len(rules) == 0 && s.query != "", element.Status("p", "quiet", "status", w.SayWith("No rule has ‘{0}’ in it.", s.query))),
			app.Range(rules).Slice(func(i int) app.UI { return s.rule(rules[i]) })),
		element.Region("section", "", w.Say("What was changed"),
			element.Text("h2", "", w.Say("What was changed")),
			app.If(len(s.past) == 0, element.Text("p", "empty", w.Say("No rule was changed yet."))),
			element.Box("ol", "past", app.Range(s.past).Slice(func(i int) app.UI { return s.change(&s.past[i]) })),
			app.If(s.next > 0, element.Button("wide", w.Say("Show more"), func(app.Context, app.Event) { s.readPast(true) }))))
}

// shown are the rules that are the shop's own, or those that are looked for.
func (s *officeRulesScreen) shown() []practice.Rule {
	var out []practice.Rule
	words := strings.Fields(s.query)
next:
	for _, r := range practice.Rules() {
		if len(words) == 0 {
			if _, own := s.o.w.Shop.Rules[r.Key]; own {
				out = append(out, r)
			}
			continue
		}
		at := strings.ToLower(strings.Join([]string{s.o.w.Say(r.Group), s.o.w.SayName(r.Name), r.Key}, " "))
		for _, word := range words {
			if !strings.Contains(at, word) {
				continue next
			}
		}
		if out = append(out, r); len(out) == 30 {
			break
		}
	}
	return out
}

func (s *officeRulesScreen) rule(r practice.Rule) app.UI {
	w := s.words
	value, own := w.RuleValue(r, false)
	return element.Box("div", "office-figure",
		element.Label("rule-"+r.Key, w.SayName(r.Name)),
		element.Box("div", "office-entry",
			app.Input().ID("rule-"+r.Key).Type("text").Attr("inputmode", "decimal").Attr("autocomplete", "off").
				Value(w.RuleText(r, value)).OnChange(func(ctx app.Context, e app.Event) {
				s.problems[r.Key] = w.SetRule(ctx, r, e.Get("target").Get("value").String(), false)
				s.sent(ctx)
			}, r.Key),
			element.Text("span", "unit", w.RuleUnit(r)),
			app.If(own, element.Button("row-side", w.SayWith("Back to {0}", w.RuleText(r, r.Default)), func(ctx app.Context, _ app.Event) {
				delete(s.problems, r.Key)
				w.ClearRule(ctx, r, false)
				s.sent(ctx)
			}, r.Key))),
		element.Known("p", "rule-says-"+r.Key, "error", "status", s.problems[r.Key]))
}

// sent has what was changed go to the yard, and reads what it says then.
func (s *officeRulesScreen) sent(ctx app.Context) {
	s.o.link.Hurry()
	ctx.After(4*time.Second, func(app.Context) { s.readPast(false) })
}

func (s *officeRulesScreen) change(p *yardRulePast) app.UI {
	w := s.words
	r, known := practice.RuleByKey(p.Key)
	name, write := p.Key, func(v *float64) string {
		switch {
		case v == nil:
			return w.Say("common practice")
		case !known:
			return strconv.FormatFloat(*v, 'g', -1, 64)
		}
		return w.RuleText(r, *v) + " " + w.RuleUnit(r)
	}
	if known {
		name = w.SayName(r.Name)
	}
	by := p.By
	if p.Device == "" {
		by = w.Say("the command line")
	}
	return element.Box("li", "done", element.Box("span", "",
		element.Text("strong", "", w.LocalTime(p.At)), app.Text(" "),
		app.Text(w.SayWith("{0}: {1} from {2} to {3}", by, name, write(p.Before), write(p.Value)))))
}
