package storage

import (
	"encoding/json"

	"pegpour/engine/survey"
)

// QuoteState names what an agreement on a price is bound to: who and where, all that
// was measured and decided before anything is built, the rules of the shop and of the
// site, and the lines and the total that are agreed. Equal ones have equal names; one
// figure, one rule or one cent that changes changes it. What is set, poured and tested
// later does not, nor do notes and photos. rules are the shop's, as [Shop.RulesFor]
// gives them for the site.
func QuoteState(d *Document, rules map[string]float64, a *survey.Agreement) (Revision, error) {
	bound := &Document{Format: Format, Version: 1, ID: d.ID, Survey: d.Survey.Clone(), Practice: d.Practice}
	s := &bound.Survey
	s.Build, s.Quote = survey.Build{}, survey.Quote{}
	s.Site = survey.Site{Name: s.Site.Name, Address: s.Site.Address, Client: s.Site.Client}
	text, err := Encode(bound)
	if err != nil {
		return "", err
	}
	if len(rules) == 0 {
		rules = nil // whether or not there ever were any
	}
	more, err := json.Marshal([]any{rules, a.Lines, a.Total}) // keys of a map are sorted
	if err != nil {
		return "", err
	}
	return NameRevision(append(append(text, '\n'), more...)), nil
}

// BindQuote binds the last agreement on a price to the site as it was when it was signed:
// then, with the document's rules. rules are as for [QuoteState].
func BindQuote(d *Document, rules map[string]float64, then survey.Survey) error {
	n := len(d.Survey.Quote.Agreed)
	if n == 0 {
		return nil
	}
	was := *d
	was.Survey = then
	a := &d.Survey.Quote.Agreed[n-1]
	state, err := QuoteState(&was, rules, a)
	a.State = string(state)
	return err
}
