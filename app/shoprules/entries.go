package shoprules

import (
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/engine/practice"
	"pegpour/engine/text"
)

// entries are the fields of rules on a screen.
type entries struct {
	w     *editing.Site
	typed map[string]string // since the screen was opened and not kept as a value, by key
}

func newEntries(w *editing.Site) entries { return entries{w: w, typed: map[string]string{}} }

// pending is what was typed for a rule, now or before, and is not its value.
func (e *entries) pending(r practice.Rule, site bool) (words string, ok bool) {
	if words, ok = e.typed[r.Key]; ok {
		return words, true
	}
	return e.w.RuleDraft(r, site)
}

// stands is what stands in the field of a rule: nothing where it was not given.
func (e *entries) stands(r practice.Rule, site bool) string {
	if words, ok := e.pending(r, site); ok {
		return words
	}
	if !e.w.RuleGiven(r, site) {
		return ""
	}
	v, _ := e.w.RuleValue(r, site)
	return e.w.RuleText(r, v)
}

// problem says what is wrong with what was typed for a rule.
func (e *entries) problem(r practice.Rule, site bool) string {
	words, ok := e.pending(r, site)
	if !ok || words == "" {
		return ""
	}
	_, problem := e.w.ReadRule(r, words)
	return problem
}

// keep keeps what was typed for a rule as its value, or as it was typed where it cannot
// be used. An emptied field goes back to what holds without it.
func (e *entries) keep(ctx app.Context, r practice.Rule, words string, site bool) {
	words = strings.TrimSpace(words)
	delete(e.typed, r.Key)
	switch _, own := e.w.RuleValue(r, site); {
	case words == "" && own:
		e.w.ClearRule(ctx, r, site)
	case words == "":
		e.w.SetRuleDraft(ctx, r, "", site)
	case e.w.SetRule(ctx, r, words, site) != "":
		e.w.SetRuleDraft(ctx, r, words, site)
	}
}

// field is the field of a rule with its unit. typing, which may be nil, hears each key,
// and typed what stands there in the end.
func (e *entries) field(r practice.Rule, site bool, typing, typed app.EventHandler) app.UI {
	id := "rule-" + r.Key
	input := app.Input().ID(id).Type("text").Attr("inputmode", "decimal").Attr("autocomplete", "off").
		Attr("enterkeyhint", "next").Value(e.stands(r, site)).OnChange(typed, r.Key, site)
	if typing != nil {
		input = input.OnInput(typing, r.Key, site)
	}
	if e.problem(r, site) != "" {
		input = input.Aria("invalid", "true").Aria("describedby", id+"-says")
	}
	return element.Box("div", "rule-value", input, element.Text("span", "unit", e.w.RuleUnit(r)))
}

// wordsOf is what stands in the field of an event.
func wordsOf(e app.Event) string { return e.Get("target").Get("value").String() }

// says is what is wrong with what was typed for a rule.
func (e *entries) says(r practice.Rule, site bool) app.UI {
	problem := e.problem(r, site)
	return app.If(problem != "", element.Known("p", "rule-"+r.Key+"-says", "error", "alert", problem))
}

// back is a button that takes a rule back to what holds without it.
func (e *entries) back(r practice.Rule, site bool) app.UI {
	w := e.w
	_, own := w.RuleValue(r, site)
	_, pending := e.pending(r, site)
	base := w.RuleBase(r, site)
	none := base == r.Default && (base < r.Low || r.Dimension == text.Money)
	if !pending && (!own || none) { // there is nothing to go back to: an emptied field does it, and no row grows under a thumb
		return app.Text("")
	}
	words := w.SayWith("Back to {0}", w.RuleText(r, base))
	if none {
		words = w.Say("Take it out")
	}
	return element.Button("row-side", words, func(ctx app.Context, _ app.Event) {
		delete(e.typed, r.Key)
		if _, own := w.RuleValue(r, site); own {
			w.ClearRule(ctx, r, site)
		}
		w.SetRuleDraft(ctx, r, "", site)
	}, r.Key, site)
}

// ofMoney reports whether a rule is one of the rates and terms, which have a page of
// their own.
func ofMoney(r *practice.Rule) bool {
	return r.Group == practice.GroupRates || r.Group == practice.GroupHours || r.Group == practice.GroupQuote
}
