package quoting

import (
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/building"
	"pegpour/app/documents"
	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/turns"
	"pegpour/app/ui"
	"pegpour/engine/quote"
	"pegpour/engine/survey"
	"pegpour/engine/text"
	"pegpour/storage"
)

// quoteScreen shows what the gate costs, and takes the owner's signature for it.
type quoteScreen struct {
	app.Compo
	w      *editing.Site
	papers *documents.Maker
	sign   *building.Pad
	typed  ui.Typed

	made string // the state of the site that was priced; "" for none
	q    *quote.Quote
	says string // what is wrong with the sums
	// refused are rules of the shop or of the site that cannot be used: nobody signs what
	// is priced without them.
	refused []string
	cases   []quote.Case
	rests   []quote.Rest // of the cases looked at so far
}

func newQuoteScreen(w *editing.Site, press *documents.Press) *quoteScreen {
	s := &quoteScreen{w: w, papers: documents.NewMaker(w, press), typed: ui.NewTyped()}
	s.sign = building.NewPad(w, "sign-quote", s.keepSign)
	return s
}

// OnNav implements app.Navigator.
func (s *quoteScreen) OnNav(ctx app.Context) { s.w.Follow(ctx, nil) }

// OnDismount implements app.Dismounter.
func (s *quoteScreen) OnDismount() {
	s.made = ""
	s.w.Leave()
}

// state names the site as an agreement is bound to it; "" where it cannot be named.
func (s *quoteScreen) state(a *survey.Agreement) string {
	state, _ := storage.QuoteState(s.w.Doc, s.w.Shop.RulesFor(s.w.Doc), a)
	return string(state)
}

// price prices the site where it is not the one that was priced last, and begins to try
// what the price rests on.
func (s *quoteScreen) price() {
	w := s.w
	state := s.state(&survey.Agreement{})
	if s.q != nil && state == s.made {
		return
	}
	taken := w.Survey()
	var err error
	s.q, err = quote.Make(&taken, w.Plan(), &w.Practice)
	s.made, s.says, s.rests = state, "", nil
	if s.refused = w.RefusedRules(); err == quote.ErrLarge { // else it is of the rules, which are told by name
		s.says = w.ErrorWords(err)
	}
	s.cases = quote.Cases(&taken, w.Plan(), &w.Practice)
	s.tryNext(state)
}

// tryNext tries one case in a turn of its own, so that the count moves and a tap is
// never held up for more than one design.
func (s *quoteScreen) tryNext(state string) {
	w := s.w
	if len(s.rests) == len(s.cases) {
		return
	}
	turns.Soon(func() {
		w.Dispatch(func(app.Context) {
			if s.made != state || w.Doc == nil || len(s.rests) == len(s.cases) {
				return
			}
			r, err := s.cases[len(s.rests)].Try(w.Survey(), w.Plan(), &w.Practice, s.q)
			if err != nil {
				s.says = w.ErrorWords(err)
			}
			s.rests = append(s.rests, r)
			s.tryNext(state)
		})
	})
}

// money writes an amount to the cent.
func (s *quoteScreen) money(a quote.Amount) string { return s.w.Amount(a.String()) }

// more writes a difference with its sign.
func (s *quoteScreen) more(a quote.Amount) string {
	switch {
	case a > 0:
		return "+ " + s.money(a)
	case a == 0:
		return s.w.Say("no difference")
	}
	return s.money(a)
}

func (s *quoteScreen) names(all []text.Name) string {
	said := make([]string, len(all))
	for i := range all {
		said[i] = s.w.SayName(all[i])
	}
	return strings.Join(said, ", ")
}

// Render implements app.Composer.
func (s *quoteScreen) Render() app.UI {
	w := s.w
	if w.Doc == nil {
		return ui.SiteFrame(w, "more")
	}
	s.price()
	q := s.q
	total := w.Say("Total")
	if !q.Whole() {
		total = w.Say("Total, without what has no price")
	}
	sum := s.money(q.Total)
	if len(q.Items()) == 0 {
		sum = w.Say("not known")
	}
	return ui.SiteFrame(w, "more tool",
		element.Text("h2", "", w.Say("Quote")),
		element.Box("div", "big", element.Known("span", "quote-total", "big-value", "status", sum), element.Text("span", "", total)),
		app.If(s.says != "", element.Status("p", "error", "alert", s.says)),
		app.If(len(s.refused) > 0, s.refusedRules()),
		app.If(w.Stops() > 0, element.Link("bar bar-stop", "/site/"+w.Doc.ID+"/watch", w.Say(quote.NotSettled))),
		app.If(!q.Whole(), element.Box("div", "bar bar-mind", element.Text("span", "", w.SayWith("No price for: {0}", s.names(q.Unpriced))))),
		element.Link("wide", "/site/"+w.Doc.ID+"/rates", w.Say("Rates and terms")),
		element.Box("dl", "pairs", s.sums()...),
		app.If(q.TaxShare == 0, element.Text("p", "quiet", w.Say("There is no tax in it."))),
		element.Text("p", "quiet", w.SayCount(q.HoldsDays, "It holds for one day.", "It holds for {0} days.")),
		s.agreed(),
		s.lines(),
		s.restsOn(),
		s.forShop(),
		app.Range(documents.QuotePacks()).Slice(func(i int) app.UI { return s.papers.Button(documents.QuotePacks()[i]) }),
	)
}

// refusedRules names the rules that cannot be used.
func (s *quoteScreen) refusedRules() app.UI {
	rows := []app.UI{element.Text("p", "", s.w.Say("These rules cannot be used and count as not given:"))}
	for _, words := range s.refused {
		rows = append(rows, element.Text("p", "error", words))
	}
	return element.Acting("div", "list", "alert", "", rows...)
}

// sums are what the total is made of.
func (s *quoteScreen) sums() []app.UI {
	w, q := s.w, s.q
	var rows []app.UI
	add := func(name string, a quote.Amount) { rows = append(rows, ui.PairOf(name, s.money(a))) }
	if q.Rounding != 0 {
		add(w.Say("Sum of the lines"), q.Prices)
		add(w.Say("Rounding"), q.Rounding)
	}
	if q.TaxShare != 0 {
		add(w.Say("Net price"), q.Net)
		add(w.SayWith("Tax, {0}", s.percent(q.TaxShare)), q.Tax)
	}
	return rows
}

func (s *quoteScreen) percent(share quote.Decimal) string {
	return s.w.Write(text.Arg{Value: share.Float(), Dimension: text.Fraction})
}

// lines are the prices, line by line.
func (s *quoteScreen) lines() app.UI {
	w, q := s.w, s.q
	var rows []app.UI
	for i := range q.Lines {
		if l := &q.Lines[i]; l.Priced {
			rows = append(rows, ui.PairOf(w.SayName(l.Name), s.money(l.Price)))
		}
	}
	return app.Elem("details").ID("quote-lines").Class("test-section").Body(
		element.Box("summary", "", element.Text("span", "", w.Say("Line by line")), element.Text("span", "quiet", strconv.Itoa(len(rows)))),
		element.Box("dl", "pairs", rows...))
}

// restsOn is what may turn out otherwise, each with what it would cost.
func (s *quoteScreen) restsOn() app.UI {
	w := s.w
	var rows []app.UI
	partial := false
	for i := range s.rests {
		r := &s.rests[i]
		what, comes := w.Sentence(r.What), s.more(r.Difference)
		if !r.Known() {
			comes = w.Say("not known")
		}
		if r.Stops {
			what += ". " + w.Say("It is planned anew then.")
		}
		partial = partial || r.Partial
		if len(r.Unpriced) > 0 {
			what += ". " + w.SayWith("No price for: {0}", s.names(r.Unpriced))
		}
		rows = append(rows, ui.PairOf(what, comes))
	}
	busy := len(s.rests) < len(s.cases)
	return element.Region("section", "rests", w.Say("What the price rests on"),
		element.Text("h2", "", w.Say("What the price rests on")),
		app.If(len(s.cases) == 0, element.Text("p", "quiet", w.Say("On nothing: all that could turn out otherwise was measured."))),
		app.If(busy, element.Box("div", "", element.Text("p", "quiet",
			w.SayWith("{0} of {1} tried", strconv.Itoa(len(s.rests)), strconv.Itoa(len(s.cases)))),
			app.Elem("progress").Attr("max", max(1, len(s.cases))).Attr("value", len(s.rests)).Aria("label", w.Say("What the price rests on")))),
		element.Box("dl", "pairs", rows...),
		app.If(len(rows) > 0 && !busy, element.Text("p", "quiet",
			w.Say("None of this was measured. Each is worked out by itself; two together may come to something else."))),
		app.If(partial, element.Text("p", "says-mind", w.Say("What has no price is in none of these differences."))))
}

// forShop is what the owner does not see unless somebody opens it.
func (s *quoteScreen) forShop() app.UI {
	w, q := s.w, s.q
	rows := []app.UI{ui.PairOf(w.Say("Hours, all hands together"), w.Number(q.Hours.String())+" h"),
		ui.PairOf(w.Say("Cost to the shop"), s.money(q.Cost)),
		ui.PairOf(w.SayWith("Margin, {0} on each line, with the rounding", s.percent(q.MarginShare)), s.money(q.Margin()))}
	for i := range q.Lines {
		if l := &q.Lines[i]; l.Hours > 0 {
			rows = append(rows, ui.PairOf(w.SayName(l.Name), w.Number(l.Hours.String())+" h"))
		}
	}
	return app.Elem("details").ID("quote-shop").Class("test-section").Body(
		element.Box("summary", "", element.Text("span", "", w.Say("For the shop: hours, cost and margin"))),
		element.Box("dl", "pairs", rows...))
}
