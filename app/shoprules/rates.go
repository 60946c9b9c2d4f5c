package shoprules

import (
	"slices"
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/ui"
	"pegpour/app/yardlink"
	"pegpour/engine/practice"
	"pegpour/engine/quote"
	"pegpour/engine/text"
)

// ratesScreen holds the rates of the shop and its terms and words of a quote. Reached from
// a site it shows what the site's quote comes to, and sets what holds for that site only.
type ratesScreen struct {
	app.Compo
	entries
	aside  aside
	atSite bool
	only   bool // what is typed holds for that site only
	// lacking are the rules without which the quote of the site had no price for
	// something when the screen was opened; nil: not found yet.
	lacking []string
	q       *quote.Quote
	priced  string // the design that q is of
	wrong   string // with its sums
}

func newRatesScreen(w *editing.Site, link *yardlink.Link, atSite bool) *ratesScreen {
	return &ratesScreen{entries: newEntries(w), aside: aside{w: w, link: link}, atSite: atSite}
}

// OnNav implements app.Navigator.
func (s *ratesScreen) OnNav(ctx app.Context) {
	s.lacking, s.q = nil, nil
	if s.atSite {
		s.w.Follow(ctx, func(app.Context) {
			s.only = slices.ContainsFunc(practice.Rules(), func(r practice.Rule) bool {
				_, own := s.w.Doc.Practice[r.Key]
				return own && ofMoney(&r) // it has rates of its own
			})
			s.aside.read()
		})
		return
	}
	s.w.Enter(ctx)
	s.w.WithStore(func(ctx app.Context) {
		s.aside.read()
		s.w.Refresh(ctx)
	})
}

// OnDismount implements app.Dismounter.
func (s *ratesScreen) OnDismount() { s.w.Leave() }

// price prices the site where it is not the design that was priced last.
func (s *ratesScreen) price() {
	w := s.w
	if s.q != nil && s.priced == w.Seal {
		return
	}
	taken := w.Survey()
	var err error
	s.q, err = quote.Make(&taken, w.Plan(), &w.Practice)
	if s.priced, s.wrong = w.Seal, ""; err == quote.ErrLarge {
		s.wrong = w.ErrorWords(err)
	}
	if s.lacking == nil {
		s.lacking = append([]string{}, s.q.Lacking()...)
	}
}

// Render implements app.Composer.
func (s *ratesScreen) Render() app.UI {
	w := s.w
	if w.Shop == nil {
		return ui.PlainFrame(w.Device, w.Say("Rates and terms"), "/rules", ui.Opening(w.Device))
	}
	if !s.atSite {
		content := append([]app.UI{element.Text("p", "quiet", w.Say("What the shop asks for, and what it buys for. Nobody can guess these: what has no price is left out of a quote and named."))},
			origin(w, false)...)
		return ui.PlainFrame(w.Device, w.Say("Rates and terms"), "/rules", append(content, s.groups()...)...)
	}
	if w.Doc == nil {
		return ui.SiteFrame(w, "more")
	}
	s.price()
	content := []app.UI{element.Text("h2", "", w.Say("Rates and terms")), s.total(), s.scope()}
	content = append(content, origin(w, true)...)
	content = append(content, s.groups()...)
	return ui.SiteFrame(w, "more", append(content, s.toQuote())...)
}

// toQuote leads on from where the last price is typed, and from the end of the page.
func (s *ratesScreen) toQuote() app.UI {
	return element.Link("wide primary", "/site/"+s.w.Doc.ID+"/quote", s.w.Say("Quote"))
}

// total is what the quote of the site comes to.
func (s *ratesScreen) total() app.UI {
	w, q := s.w, s.q
	sum, name := w.Amount(q.Total.String()), w.Say("Quote, total")
	if !q.Whole() {
		name = w.Say("Quote, total without what has no price")
	}
	if len(q.Items()) == 0 {
		sum = w.Say("not known")
	}
	return element.Box("div", "list",
		element.Box("div", "big", element.Known("span", "rates-total", "big-value", "status", sum), element.Text("span", "", name)),
		app.If(s.wrong != "", element.Status("p", "error", "alert", s.wrong)))
}

// scope chooses whom what is typed holds for.
func (s *ratesScreen) scope() app.UI {
	w := s.w
	choice := func(name string, only bool) app.UI {
		b := app.Button().Type("button").Class("view").DataSet("only", only).Text(w.Say(name)).
			Aria("pressed", strconv.FormatBool(s.only == only)).OnClick(func(app.Context, app.Event) { s.only = only }, only)
		if s.only == only {
			b = b.Class("here")
		}
		return b
	}
	return element.Acting("div", "views", "group", w.Say("Whom it holds for"),
		choice("For the shop", false), choice("For this site only", true))
}

// A part of the page: its name and which rules stand in it.
type part struct {
	id, name string
	open     bool
	holds    func(r *practice.Rule) bool
}

// parts are the parts of the page in their order. Each rule stands in the first that
// holds it.
var parts = []part{
	{"time", "An hour, and the way there", true, func(r *practice.Rule) bool {
		return r.Key == practice.RuleRateHour || r.Key == practice.RuleHoursTravel || r.Key == practice.RuleHoursVisits
	}},
	{"terms", "Margin, tax and terms", true, func(r *practice.Rule) bool { return r.Group == practice.GroupQuote }},
	{"prices", "Prices of what is bought or done", true, func(r *practice.Rule) bool { return r.Group == practice.GroupRates }},
	{"hours", "Hours by task", false, func(r *practice.Rule) bool { return r.Group == practice.GroupHours }},
}

// groups are the parts with their rules; what the site's quote lacks stands first.
func (s *ratesScreen) groups() []app.UI {
	w := s.w
	var lacks []practice.Rule
	in := make([][]practice.Rule, len(parts))
	for _, r := range practice.Rules() {
		if !ofMoney(&r) {
			continue
		}
		to := &lacks
		if !slices.Contains(s.lacking, r.Key) {
			to = &in[slices.IndexFunc(parts, func(p part) bool { return p.holds(&r) })]
		}
		if r.Key == practice.RuleRateHour {
			*to = slices.Insert(*to, 0, r) // what most rests on, and before the way there
		} else {
			*to = append(*to, r)
		}
	}
	var content []app.UI
	if len(lacks) > 0 {
		content = append(content, s.group("lacks", w.Say("This quote has no price without"), true, lacks), s.toQuote())
	}
	for i := range parts {
		if len(in[i]) > 0 || parts[i].id == "terms" {
			content = append(content, s.group(parts[i].id, w.Say(parts[i].name), parts[i].open, in[i]))
		}
	}
	return content
}

// group is a part of the page that opens and closes.
func (s *ratesScreen) group(id, name string, open bool, rules []practice.Rule) app.UI {
	w, given, asked := s.w, 0, 0
	for i := range rules {
		if rules[i].Default < rules[i].Low || rules[i].Dimension == text.Money {
			asked++ // the shop has to give it
			if w.RuleGiven(rules[i], s.only) {
				given++
			}
		}
	}
	rows := make([]app.UI, 0, len(rules)+2)
	if id == "terms" && !s.only {
		rows = append(rows, s.words()...)
	}
	for i := range rules {
		rows = append(rows, s.rate(rules[i]))
	}
	return app.Elem("details").Class("rules").DataSet("group", id).Attr("open", open).Body(
		element.Box("summary", "", element.Text("span", "rule-name", name),
			app.If(asked > 1, element.Text("span", "quiet", w.SayWith("{0} of {1}", strconv.Itoa(given), strconv.Itoa(asked))))),
		element.Box("div", "rates", rows...))
}

// rate is one rule: its name and field in one line, and below it what there is to say.
func (s *ratesScreen) rate(r practice.Rule) app.UI {
	w := s.w
	below := []app.UI{s.says(r, s.only)}
	if r.Group != practice.GroupRates {
		below = append(below, element.Text("p", "how", w.Say(r.Why)))
	}
	if _, here := s.siteOwn(r); here && !s.only {
		v, _ := w.RuleValue(r, true)
		below = append(below, element.Text("p", "quiet", w.SayWith("This site has its own: {0}.", w.RuleSize(r, v))))
	}
	below = append(below, s.back(r, s.only))
	if !s.only {
		below = append(below, s.aside.offer(r))
	}
	return element.Box("div", "rate",
		element.Box("div", "rate-line", app.Elem("label").Attr("for", "rule-"+r.Key).Text(w.SayName(r.Name)),
			s.field(r, s.only, nil, func(ctx app.Context, e app.Event) { s.keep(ctx, r, wordsOf(e), s.only) })),
		app.Range(below).Slice(func(i int) app.UI { return below[i] }))
}

// siteOwn is what the site in hand has of its own for a rule.
func (s *ratesScreen) siteOwn(r practice.Rule) (v float64, own bool) {
	if !s.atSite {
		return 0, false
	}
	return s.w.RuleValue(r, true)
}
