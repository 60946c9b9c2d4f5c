package sheets

import (
	"slices"
	"strings"
	"time"

	"pegpour/engine/draw/pdf"
	"pegpour/engine/drawing"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/quote"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// Offer is the quote for the owner: what is built, what each part costs, what may change
// the price and until when it holds, in plain words, with the place to sign. It says
// nothing of hours, costs and margin.
func Offer(i Issue) ([]byte, error) {
	p, err := begin(&i, "Quote for your gate")
	if err != nil {
		return nil, err
	}
	q, err := i.priced()
	if err != nil {
		return nil, err
	}
	block := i.block("Quote for your gate", aboutOwner)
	block.Units, block.Assumed = "", ""
	p.Flow(block)
	p.Heading(i.say("What you get"))
	var facts []string
	for _, t := range drawing.OwnerFacts(i.Plan) {
		facts = append(facts, t.In(i.form, i.ownerWrite))
	}
	p.List(facts)
	if len(i.Refused) > 0 { // which, is none of the owner's business
		p.Paragraph(i.say("A rate or a term of the shop could not be used: this price is without it, and is not to be signed."))
	}
	p.sums(q, nil)
	p.Paragraph(i.fill("This price holds until {0}.",
		i.Language.Date(i.Date.UTC().AddDate(0, 0, q.HoldsDays).Format(time.DateOnly))))
	var rows [][]string
	for k := range q.Lines {
		if l := &q.Lines[k]; l.Priced {
			rows = append(rows, []string{i.name(l.Name), i.amount(l.Price)})
		}
	}
	p.table("Line by line", []pdf.Column{{Title: "What", Share: 2.4}, {Title: "Price", Align: pdf.AlignRight}}, rows)
	p.rests(q, false)
	p.terms()
	p.agreed(q)
	return p.end()
}

// Costing is the same quote for the shop: hours, rates, cost and margin of each line,
// and all that the price rests on.
func Costing(i Issue) ([]byte, error) {
	p, err := begin(&i, "Costing")
	if err != nil {
		return nil, err
	}
	q, err := i.priced()
	if err != nil {
		return nil, err
	}
	p.Flow(i.block("Costing", aboutFigures))
	p.Paragraph(i.say("Not for the owner: it shows what the work costs the shop."))
	p.refused()
	p.sums(q, [][]string{
		{i.say("Hours, all hands together"), i.decimal(q.Hours) + " h"},
		{i.say("Cost to the shop"), i.amount(q.Cost)},
		{i.fill("Margin, {0} on each line, with the rounding", i.percent(q.MarginShare)), i.amount(q.Margin())},
	})
	right := func(title string, share float64) pdf.Column {
		return pdf.Column{Title: title, Align: pdf.AlignRight, Share: share}
	}
	columns := func() []pdf.Column {
		return []pdf.Column{{Title: "What", Share: 2}, right("Amount", 0.8), right("Hours", 0.7), right("Rate", 0.9), right("Cost", 0.8),
			right("Price", 0.8)}
	}
	for _, work := range [...]bool{true, false} {
		var rows [][]string
		for k := range q.Lines {
			l := &q.Lines[k]
			if l.Work != work {
				continue
			}
			row := []string{i.name(l.Name), strings.TrimSpace(i.decimal(l.Amount) + " " + l.Unit), "", "–", "–", "–"}
			if l.Hours > 0 {
				row[2] = i.decimal(l.Hours)
			}
			if l.Priced {
				unit := l.Unit
				if l.ByHour {
					unit = "h"
				}
				if row[3] = i.rate(l.Rate); unit != "" {
					row[3] += " / " + unit
				}
				row[4], row[5] = i.Language.Number(l.Cost.String()), i.Language.Number(l.Price.String())
			}
			rows = append(rows, row)
		}
		p.table(map[bool]string{true: "Work", false: "Bought"}[work], columns(), rows)
	}
	p.rests(q, true)
	p.agreed(q)
	return p.end()
}

// terms are what the shop says under its quote, as it was typed.
func (p *paper) terms() {
	if strings.TrimSpace(p.i.Terms) == "" {
		return
	}
	p.Heading(p.i.say("Terms"))
	for line := range strings.SplitSeq(p.i.Terms, "\n") {
		if line = strings.TrimSpace(line); line != "" {
			p.Paragraph(line)
		}
	}
}

// refused names the rules that cannot be used, what each was given as and what is
// allowed.
func (p *paper) refused() {
	i := p.i
	if len(i.Refused) == 0 {
		return
	}
	p.Paragraph(i.say("These rules cannot be used and count as not given:"))
	rows := make([]string, len(i.Refused))
	for k := range i.Refused {
		e := &i.Refused[k]
		r, known := practice.RuleByKey(strings.TrimPrefix(e.Path, practice.PracticePath))
		if !known {
			rows[k] = i.fill("‘{0}’ is no rule that this program knows.", e.Text)
			continue
		}
		write := func(v float64) string { return i.write(text.Arg{Value: v, Dimension: r.Dimension}) }
		rows[k] = i.fill("{0}: given is {1}, allowed is {2} – {3}.", i.name(r.Name), write(e.Given), write(r.Low), write(r.High))
	}
	p.List(rows)
}

// priced is the quote of the plan. A rule that is refused is named in Refused; the quote
// stands without it.
func (i *Issue) priced() (*quote.Quote, error) {
	q, err := quote.Make(i.Survey, i.Plan, i.Practice)
	if err == quote.ErrLarge {
		return nil, err
	}
	return q, nil
}

func (i *Issue) decimal(d quote.Decimal) string { return i.Language.Number(d.String()) }

func (i *Issue) percent(share quote.Decimal) string {
	return i.write(text.Arg{Value: share.Float(), Dimension: text.Fraction})
}

// rate writes what one unit costs, with two decimals at least.
func (i *Issue) rate(d quote.Decimal) string {
	const cent = quote.One / 100
	if d%cent == 0 {
		return i.Language.Number(quote.Amount(d / cent).String())
	}
	return i.decimal(d)
}

// amount writes money to the cent, exactly.
func (i *Issue) amount(a quote.Amount) string {
	if a < 0 {
		return "− " + i.amount(-a)
	}
	s := i.Language.Number(a.String())
	if i.Currency != "" {
		return i.Currency + " " + s
	}
	return s
}

// more writes a difference of money with its sign.
func (i *Issue) more(a quote.Amount) string {
	switch {
	case a > 0:
		return "+ " + i.amount(a)
	case a < 0:
		return i.amount(a)
	}
	return i.say("no difference")
}

// sums are the sums of the lines after some rows of the shop's own, and what is not in
// them.
func (p *paper) sums(q *quote.Quote, rows [][]string) {
	i := p.i
	total := i.say("Total")
	if !q.Whole() {
		total = i.say("Total, without what has no price")
	}
	add := func(what string, a quote.Amount) { rows = append(rows, []string{what, i.amount(a)}) }
	if q.Rounding != 0 {
		add(i.say("Sum of the lines"), q.Prices)
		add(i.say("Rounding"), q.Rounding)
	}
	if q.TaxShare != 0 {
		add(i.say("Net price"), q.Net)
		add(i.fill("Tax, {0}", i.percent(q.TaxShare)), q.Tax)
	}
	if len(q.Items()) == 0 {
		rows = append(rows, []string{total, i.say("not known")})
	} else {
		add(total, q.Total)
	}
	p.table("What it costs", []pdf.Column{{Title: "What", Share: 2.4}, {Title: "Price", Align: pdf.AlignRight}}, rows)
	if q.TaxShare == 0 {
		p.Paragraph(i.say("There is no tax in it."))
	}
	if slices.ContainsFunc(i.Plan.Checks, func(c plan.Check) bool { return c.Severity == plan.Stop }) {
		p.Paragraph(i.say(quote.NotSettled))
	}
	if !q.Whole() {
		p.Paragraph(i.fill("No price for: {0}", strings.Join(i.names(q.Unpriced), ", ")))
	}
}

func (i *Issue) names(all []text.Name) []string {
	out := make([]string, len(all))
	for k := range all {
		out[k] = i.name(all[k])
	}
	return out
}

// rests lists what the price rests on; what makes no difference only where all is asked
// for.
func (p *paper) rests(q *quote.Quote, all bool) {
	i := p.i
	var rows [][]string
	partial := false
	cases := quote.Cases(i.Survey, i.Plan, i.Practice)
	for k := range cases {
		r, err := cases[k].Try(*i.Survey, i.Plan, i.Practice, q)
		p.keep(err)
		write, comes := i.ownerWrite, i.more(r.Difference)
		if all {
			write = i.write
		}
		what := []string{r.What.In(i.form, write) + "."}
		if !r.Known() {
			comes = i.say("not known")
		}
		if r.Stops {
			what = append(what, i.say("It is planned anew then."))
		}
		partial = partial || r.Partial
		if len(r.Unpriced) > 0 {
			what = append(what, i.fill("No price for: {0}", strings.Join(i.names(r.Unpriced), ", ")))
		}
		if all || len(what) > 1 || r.Difference != 0 || !r.Known() {
			rows = append(rows, []string{strings.Join(what, " "), comes})
		}
	}
	if len(rows) == 0 {
		return
	}
	p.table("What the price rests on", []pdf.Column{{Title: "If it turns out so", Share: 2.4},
		{Title: "On the total", Align: pdf.AlignRight}}, rows)
	p.Paragraph(i.say("None of this was measured. Each is worked out by itself; two together may come to something else."))
	if partial {
		p.Paragraph(i.say("What has no price is in none of these differences."))
	}
}

// agreed shows what was signed and what changed since, or the line to sign on.
func (p *paper) agreed(q *quote.Quote) {
	i := p.i
	state := i.QuoteState
	if state == nil {
		state = func(*survey.Agreement) string { return "" } // not known: nothing is told to be as it was signed
	}
	st := quote.Stand(i.Survey, q, state)
	if st.Signed == nil && len(i.Refused) > 0 {
		return // there is nothing to sign
	}
	if st.Signed == nil {
		p.Heading(i.say("Accepted"))
		p.Paragraph(i.say("Place, day, name and signature:") + " ______________________________________")
		return
	}
	a := st.Signed
	p.signature("Accepted by", a.Owner, a.Sign)
	total, _ := quote.ParseAmount(a.Total)
	if day, err := time.Parse(time.RFC3339, a.On); err == nil {
		p.Paragraph(i.fill("Signed on {0} for {1}, state {2}.", i.Language.Date(day.Format(time.DateOnly)), i.amount(total), short(a.State)))
	}
	switch {
	case !st.Changed:
		return
	case len(st.Changes) == 0:
		p.Paragraph(i.say("Something changed since it was signed. No line of the price is otherwise."))
		return
	}
	var rows [][]string
	cell := func(n *quote.Item) string {
		if n.Key == "" {
			return "–"
		}
		return i.amount(n.Price)
	}
	for k := range st.Changes {
		c := &st.Changes[k]
		rows = append(rows, []string{i.name(c.Name()), cell(&c.Was), cell(&c.Now), i.more(c.Difference())})
	}
	rows = append(rows, []string{i.say("Together"), i.amount(total), i.amount(q.Total), i.more(st.Difference())})
	right := pdf.AlignRight
	p.table("Variation: what changed since it was signed", []pdf.Column{{Title: "What", Share: 1.6}, {Title: "Agreed", Align: right},
		{Title: "Now", Align: right}, {Title: "Difference", Align: right}}, rows)
	p.Paragraph(i.say("Place, day, name and signature:") + " ______________________________________")
}
