package shoprules

import (
	"strconv"
	"strings"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/element"
	"pegpour/app/turns"
	"pegpour/app/ui"
	"pegpour/engine/practice"
	"pegpour/engine/quote"
	"pegpour/engine/text"
	"pegpour/storage"
)

// tryAfter is how long no key was pressed when a rule is tried.
const tryAfter = 400 * time.Millisecond

// sizesShown are the sizes that are listed of what a rule would change.
const sizesShown = 7

// trial is one rule that was tried at the site in hand.
type trial struct {
	run                int // counts what was typed, so that a trial that is late is dropped
	pause              *time.Timer
	key, words, design string // what was tried, and on which design
	effect             quote.Effect
	problem            string
}

// tryAfterPause tries what is being typed once no key was pressed for a moment. Nothing
// is drawn anew at a key.
func (s *rulesScreen) tryAfterPause(r practice.Rule) app.EventHandler {
	return func(ctx app.Context, e app.Event) {
		ctx.PreventUpdate()
		s.typed[r.Key] = wordsOf(e)
		s.trial.run++
		run := s.trial.run
		if s.trial.pause != nil {
			s.trial.pause.Stop()
		}
		s.trial.pause = time.AfterFunc(tryAfter, func() {
			s.w.Dispatch(func(app.Context) {
				if run == s.trial.run {
					s.look(r)
				}
			})
		})
	}
}

// try tries what was typed for a rule, and keeps it beside the value as it was typed.
func (s *rulesScreen) try(r practice.Rule) app.EventHandler {
	return func(ctx app.Context, e app.Event) {
		words := strings.TrimSpace(wordsOf(e))
		delete(s.typed, r.Key)
		value, _ := s.w.RuleValue(r, true)
		v, problem := s.w.ReadRule(r, words)
		if words == "" || problem == "" && v == value && s.w.RuleGiven(r, true) {
			words = "" // as it is
		}
		s.w.SetRuleDraft(ctx, r, words, true)
		if words != "" && problem == "" {
			s.trial.run++
			s.later(r)
		}
	}
}

// later tries a rule in a turn of its own.
func (s *rulesScreen) later(r practice.Rule) {
	run := s.trial.run
	turns.Soon(func() {
		s.w.Dispatch(func(app.Context) {
			if run == s.trial.run {
				s.look(r)
			}
		})
	})
}

// look designs and prices the site with a rule as it was typed.
func (s *rulesScreen) look(r practice.Rule) {
	w := s.w
	if w.Doc == nil || !s.site {
		return
	}
	words, _ := s.pending(r, true)
	if s.trialHolds(r, words) {
		return
	}
	v, problem := w.ReadRule(r, words)
	by, refused := w.Practice.With(map[string]float64{r.Key: v})
	if problem != "" || refused != nil {
		return
	}
	t := &s.trial
	t.key, t.words, t.design, t.problem = r.Key, words, w.Seal, ""
	taken := w.Survey()
	base, err := quote.Make(&taken, w.Plan(), &w.Practice)
	if err != quote.ErrLarge {
		t.effect, err = quote.EffectOf(taken, w.Plan(), base, &by)
	}
	if err != nil {
		t.problem = w.ErrorWords(err)
	}
}

// trialHolds reports whether what was tried is what stands in the field of a rule, at the
// site as it is.
func (s *rulesScreen) trialHolds(r practice.Rule, words string) bool {
	return s.trial.key == r.Key && s.trial.words == words && s.trial.design == s.w.Seal
}

// tried is what a rule that was typed would change at the site, before it is kept.
func (s *rulesScreen) tried(r practice.Rule) app.UI {
	w := s.w
	words, pending := s.pending(r, s.site)
	if !s.site || !pending || words == "" || s.problem(r, true) != "" {
		return app.Text("")
	}
	v, _ := w.ReadRule(r, words)
	in := []app.UI{element.Doing("wide", "try-rule", w.Say("Show what it changes here"), func(app.Context, app.Event) {
		s.trial.run++
		s.later(r)
	}, r.Key)}
	if s.trialHolds(r, words) {
		in = s.changes()
	}
	return element.Acting("div", "rule-effect list", "status", "", append(in,
		element.Doing("wide", "keep-rule", w.SayWith("Keep {0} for this site", w.RuleSize(r, v)),
			func(ctx app.Context, _ app.Event) {
				delete(s.typed, r.Key)
				e, err := storage.SetRule(w.Doc, r.Key, v, words)
				w.Commit(ctx, e, err)
			}, r.Key, words))...)
}

// changes are what the rule that was tried changes.
func (s *rulesScreen) changes() []app.UI {
	w, e := s.w, &s.trial.effect
	if s.trial.problem != "" {
		return []app.UI{element.Text("p", "error", s.trial.problem)}
	}
	if e.Nothing() {
		return []app.UI{element.Text("p", "quiet", w.Say("It changes nothing at this site."))}
	}
	var rows []app.UI
	pair := func(name, was, now string) { rows = append(rows, ui.PairOf(name, was+" → "+now)) }
	if e.StopsWas != e.StopsNow {
		pair(w.Say("What says Stop"), strconv.Itoa(e.StopsWas), strconv.Itoa(e.StopsNow))
	}
	if e.Priced && e.Was != e.Now {
		name := w.Say("Quote, total")
		if e.Partial {
			name = w.Say("Quote, total without what has no price")
		}
		pair(name, w.Amount(e.Was.String()), w.Amount(e.Now.String()))
	}
	if e.HoursWas != e.HoursNow {
		pair(w.Say("Hours, all hands together"), w.Number(e.HoursWas.String())+" h", w.Number(e.HoursNow.String())+" h")
	}
	shown := max(e.Decisive, min(len(e.Shifts), sizesShown))
	for i := range e.Shifts[:shown] {
		shift := &e.Shifts[i]
		pair(w.SayName(shift.Name), s.size(shift.Was), s.size(shift.Now))
	}
	in := []app.UI{element.Text("p", "rule-name", w.Say("What it changes at this site")),
		element.Box("dl", "pairs", rows...)}
	if more := len(e.Shifts) - shown; more > 0 {
		in = append(in, element.Text("p", "quiet", w.SayCount(more, "One more size changes.", "{0} more sizes change.")))
	}
	for _, stop := range e.Stops {
		in = append(in, element.Text("p", "error", w.SayWith("It would say Stop: {0}", w.Sentence(stop))))
	}
	for _, stop := range e.Clears {
		in = append(in, element.Text("p", "", w.SayWith("It would not say Stop any more: {0}", w.Sentence(stop))))
	}
	return in
}

// size writes a size, or that there is none.
func (s *rulesScreen) size(a text.Arg) string {
	if a.Dimension == "" {
		return "–"
	}
	return s.w.WriteInSentence(a)
}
