package quote

import (
	"strings"

	"pegpour/engine/handover"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// Item is one line of what is agreed: what, how much of it, for how much. The items of
// a quote add up to its total.
type Item struct {
	Key    string
	Name   text.Name
	Amount Decimal
	Unit   string
	Price  Amount
}

// The keys of the items that are no lines.
const (
	ItemRounding = "rounding"
	ItemTax      = "tax"
)

// Items are the lines that have a price, then the rounding and the tax.
func (q *Quote) Items() []Item {
	var all []Item
	for i := range q.Lines {
		if l := &q.Lines[i]; l.Priced {
			all = append(all, Item{l.Key, l.Name, l.Amount, l.Unit, l.Price})
		}
	}
	if q.Rounding != 0 {
		all = append(all, Item{Key: ItemRounding, Name: "Rounding", Price: q.Rounding})
	}
	if q.Tax != 0 {
		all = append(all, Item{Key: ItemTax, Name: "Tax", Price: q.Tax})
	}
	return all
}

// WriteItems writes items as a text, for documents: a line each, its cells with tabs
// between. Names are as say says them: in the words of who signs, who signs nothing else.
func WriteItems(items []Item, say func(text.Name) string) string {
	var b strings.Builder
	clean := strings.NewReplacer("\t", " ", "\n", " ")
	for i := range items {
		n := &items[i]
		if i > 0 {
			b.WriteByte('\n')
		}
		b.WriteString(strings.Join([]string{n.Key, clean.Replace(say(n.Name)), n.Amount.String(), n.Unit, n.Price.String()}, "\t"))
	}
	return b.String()
}

// ReadItems reads what WriteItems wrote; nil where it is none. Names stay as they were
// said then.
func ReadItems(written string) []Item {
	var all []Item
	if written == "" {
		return nil
	}
	for line := range strings.SplitSeq(written, "\n") {
		cells := strings.Split(line, "\t")
		if len(cells) != 5 {
			return nil
		}
		amount, err := ParseDecimal(cells[2])
		price, fault := ParseAmount(cells[4])
		if err != nil || fault != nil {
			return nil
		}
		all = append(all, Item{cells[0], text.TypedName(cells[1]), amount, cells[3], price})
	}
	return all
}

// Sum is what items come to.
func Sum(items []Item) Amount {
	sum := Amount(0)
	for i := range items {
		sum += items[i].Price
	}
	return sum
}

// Change is a line that is not as it was agreed. Was or Now has no Key where the line
// was not there, or is there no more.
type Change struct{ Was, Now Item }

// Name is what the line is called.
func (c *Change) Name() text.Name {
	if c.Now.Key != "" {
		return c.Now.Name
	}
	return c.Was.Name
}

// Difference is what the line costs more, less where negative.
func (c *Change) Difference() Amount { return c.Now.Price - c.Was.Price }

// lineOf is the key by which a line is known again: digging is one line, by whichever rule
// of the ground it is counted or priced.
func lineOf(key string) string {
	switch key {
	case practice.RuleHoursDigFirm, practice.RuleHoursDigSoft, practice.RuleHoursDigWet, practice.RuleHoursDigRock:
		return practice.RuleRateDig
	}
	return key
}

// Changes are the lines that are not as they were agreed, in the order of now, then
// those that are gone. Their differences add up to that of the totals.
func Changes(agreed, now []Item) []Change {
	var all []Change
	used := make([]bool, len(agreed))
	for i := range now {
		c := Change{Now: now[i]}
		for k := range agreed {
			if !used[k] && lineOf(agreed[k].Key) == lineOf(now[i].Key) {
				used[k], c.Was = true, agreed[k]
				break
			}
		}
		if c.Was.Key == "" || c.Was.Price != c.Now.Price || c.Was.Amount != c.Now.Amount || c.Was.Unit != c.Now.Unit {
			all = append(all, c)
		}
	}
	for k := range agreed {
		if !used[k] {
			all = append(all, Change{Was: agreed[k]})
		}
	}
	return all
}

// Standing is how a quote stands beside what was signed.
type Standing struct {
	// Signed is the agreement that holds, the last that was signed; nil where none was.
	// Number is its place among them: 1 is the quote, what follows are variations.
	Signed *survey.Agreement
	Number int
	// Open is an agreement that was begun and is not signed yet; nil where there is none.
	// OpenAt is its place in the list of the survey.
	Open   *survey.Agreement
	OpenAt int
	// Stale says that what Open is bound to is not the state of now any more.
	Stale bool
	// Changed says that something is not as it was when Signed was signed, and Changes
	// which lines of the price are not: there may be none.
	Changed bool
	Changes []Change
}

// Difference of all changes: what it costs more than agreed, less where negative.
func (s *Standing) Difference() Amount {
	sum := Amount(0)
	for i := range s.Changes {
		sum += s.Changes[i].Difference()
	}
	return sum
}

// Stand sets the quote of now beside what was signed. state names the site as it is now
// with what an agreement says, as State named it when it was made.
func Stand(s *survey.Survey, q *Quote, state func(*survey.Agreement) string) Standing {
	var st Standing
	for i := range s.Quote.Agreed {
		a := &s.Quote.Agreed[i]
		if Accepted(a) {
			st.Signed, st.Open = a, nil
			st.Number++
		} else {
			st.Open, st.OpenAt = a, i
		}
	}
	if st.Open != nil {
		st.Stale = st.Open.State != state(st.Open)
	}
	if st.Signed != nil && st.Signed.State != state(st.Signed) {
		st.Changed = true
		st.Changes = Changes(ReadItems(st.Signed.Lines), q.Items())
	}
	return st
}

// Agree is an agreement on a quote that is still to be signed, in the words of who
// signs; its State is yet to be named.
func (q *Quote) Agree(say func(text.Name) string) survey.Agreement {
	return survey.Agreement{Total: q.Total.String(), Lines: WriteItems(q.Items(), say)}
}

// Accepted reports whether an agreement is signed, with a name, and adds up.
func Accepted(a *survey.Agreement) bool {
	total, err := ParseAmount(a.Total)
	return a.Owner != "" && a.On != "" && a.State != "" && handover.Signed(a.Sign) && err == nil && total == Sum(ReadItems(a.Lines))
}
