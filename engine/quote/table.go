package quote

import (
	"strconv"

	"pegpour/engine/text"
)

// Table lists a quote for the shop as rows of cells, the first row the headings: what,
// amount and unit, hours, rate, cost and price, then the sums and what has no price. As
// in engine/tables cells are English with a decimal point; it stands here because the
// phone's program carries that room and not this one.
func Table(q *Quote) [][]text.Name {
	rows := [][]text.Name{{"Item", "Amount", "Unit", "Hours", "Rate", "Cost", "Price"}}
	for i := range q.Lines {
		l := &q.Lines[i]
		row := []text.Name{l.Name, text.Name(l.Amount.String()), text.Name(l.Unit), "", "", "", ""}
		if l.Hours > 0 {
			row[3] = text.Name(l.Hours.String())
		}
		if l.Priced {
			row[4], row[5], row[6] = text.Name(l.Rate.String()), text.Name(l.Cost.String()), text.Name(l.Price.String())
		}
		rows = append(rows, row)
	}
	sum := func(name text.Name, cost string, price Amount) {
		rows = append(rows, []text.Name{name, "", "", "", "", text.Name(cost), text.Name(price.String())})
	}
	rows = append(rows, []text.Name{"Hours, all hands together", "", "", text.Name(q.Hours.String()), "", "", ""})
	sum("Sum of the lines", q.Cost.String(), q.Prices)
	sum("Rounding", "", q.Rounding)
	sum("Net price", "", q.Net)
	sum("Tax", "", q.Tax)
	sum("Total", "", q.Total)
	for _, name := range q.Unpriced {
		rows = append(rows, []text.Name{text.Named("No price for: {0}", name), "", "", "", "", "", ""})
	}
	return append(rows, []text.Name{"Days for which a quote holds", text.Name(strconv.Itoa(q.HoldsDays)), "", "", "", "", ""})
}
