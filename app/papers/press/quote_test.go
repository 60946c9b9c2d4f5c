package press

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/app/papers/order"
	"pegpour/app/words"
	"pegpour/engine"
	"pegpour/engine/enginetest"
	"pegpour/engine/handover"
	"pegpour/engine/practice"
	"pegpour/engine/quote"
	"pegpour/engine/sheets"
	"pegpour/engine/survey"
	"pegpour/engine/text"
	"pegpour/storage"
)

// rates of our own invention.
var rates = map[string]float64{practice.RuleRateHour: 62.5, practice.RuleRateBag: 8.9, practice.RuleRateSpoil: 85,
	practice.RuleRateFrame: 4.35, practice.RuleRateTrack: 32.4, practice.RuleRateFixing: 1.85, practice.RuleRateConduit: 3.2,
	practice.RuleRateInfill: 48, practice.RuleRateRunning: 412.5, practice.RuleRateMotor: 690, practice.RuleRateRack: 27.3,
	practice.RuleRateGuidePost: 240, practice.RuleRateMesh: 19.9, practice.RuleRateFormwork: 6.4, practice.RuleHoursTravel: 1.25,
	practice.RuleQuoteMargin: 0.125, practice.RuleQuoteTax: 0.19, practice.RuleQuoteRound: 5}

// agree has a site's quote signed as it is now.
func agree(t *testing.T, d *storage.Document) {
	t.Helper()
	shop := storage.NewShop()
	shop.Rules = rates
	p, err := shop.Practice(d)
	require.NoError(t, err)
	made, _ := engine.Design(d.Survey, p)
	q, err := quote.Make(&d.Survey, &made, &p)
	require.NoError(t, err)
	a := q.Agree(text.Name.String)
	state, err := storage.QuoteState(d, shop.RulesFor(d), &a)
	require.NoError(t, err)
	a.State, a.Owner, a.On = string(state), "R. Abel", "2026-02-03T10:00:00Z"
	a.Sign = handover.WriteStrokes([][]handover.Point{{{X: 10, Y: 10}, {X: 250, Y: 80}}})
	d.Survey.Quote.Agreed = append(d.Survey.Quote.Agreed, a)
}

func pageOf(t *testing.T, d *storage.Document, r sheets.Reader, language string) string {
	t.Helper()
	o := orderOf(t, d, string(r))
	o.Rules, o.Currency, o.Date, o.Revision = rates, "EUR", "2026-02-04", "one"
	if language != "" {
		file, err := words.File(language)
		require.NoError(t, err)
		o.Words = file
	}
	pdf, err := Print(o)
	require.NoError(t, err)
	return strings.Join(textsOf(t, pdf), "\n") + "\n"
}

// The pages of a quote were read, in both languages: before it is signed, and signed
// with something changed since.
func TestQuotePages(t *testing.T) {
	for _, language := range []string{"", "de"} {
		for _, r := range []sheets.Reader{sheets.ForQuote, sheets.ForCosting} {
			d := site(t, 1)
			name := "paper-" + string(r) + "-" + map[string]string{"": "en", "de": "de"}[language]
			enginetest.Golden(t, name+".txt", []byte(pageOf(t, d, r, language)))
			agree(t, d)
			signed := pageOf(t, d, r, language)
			assert.Contains(t, signed, "R. Abel")
			assert.NotContains(t, signed, "Variation")
			d.Survey.Gate.Motor = survey.MotorNone
			enginetest.Golden(t, name+"-changed.txt", []byte(pageOf(t, d, r, language)))
		}
	}
}

// The owner's page says no cost, no margin, no hours and no rate; the shop's has all of
// them. The sums are those of the engine.
func TestTheOwnerSeesPricesOnly(t *testing.T) {
	d := site(t, 1)
	p, err := practice.DefaultPractice().With(rates)
	require.NoError(t, err)
	made, err := engine.Design(d.Survey, p)
	require.NoError(t, err)
	q, err := quote.Make(&d.Survey, &made, &p)
	require.NoError(t, err)
	owner, shop := pageOf(t, d, sheets.ForQuote, ""), pageOf(t, d, sheets.ForCosting, "")
	lines := strings.Split(owner, "\n")
	for _, l := range q.Lines {
		assert.Contains(t, lines, "EUR "+l.Price.String(), l.Key)
		assert.NotContains(t, lines, "EUR "+l.Cost.String(), l.Key)
		assert.Contains(t, shop, "\n"+l.Cost.String()+"\n", l.Key)
		assert.Contains(t, shop, "\n"+l.Price.String()+"\n", l.Key)
	}
	for _, secret := range []string{q.Cost.String(), q.Margin().String(), "Margin", "62.50", "Hours"} {
		assert.NotContains(t, owner, secret)
		assert.Contains(t, shop, secret)
	}
	for _, page := range []string{owner, shop} {
		for _, want := range []string{q.Net.String(), q.Tax.String(), q.Total.String(), "19 %", "What the price rests on"} {
			assert.Contains(t, page, want)
		}
	}
	assert.Contains(t, owner, "This price holds until 2026-03-06.")
	assert.True(t, q.Whole())
}

// What the shop says under a quote stands on the owner's page, line by line, and its name
// in the head of both.
func TestTheShopsWordsStandOnTheQuote(t *testing.T) {
	o := orderOf(t, site(t, 1), string(sheets.ForQuote))
	o.Date, o.Firm, o.Terms = "2026-02-04", "Gates of our own", "Half on the day of the pour.\n\nThe plug is not in it."
	said := func() string {
		pdf, err := Print(o)
		require.NoError(t, err)
		return strings.Join(textsOf(t, pdf), "\n")
	}
	owner := said()
	for _, want := range []string{"Gates of our own", "Terms", "Half on the day of the pour.", "The plug is not in it."} {
		assert.Contains(t, owner, want)
	}
	o.For = string(sheets.ForCosting)
	assert.NotContains(t, said(), "Half on the day")
	assert.Contains(t, said(), "Gates of our own")
	o.For, o.Terms = string(sheets.ForQuote), " \n"
	assert.NotContains(t, said(), "Terms")
}

// A rule that cannot be used is never left out in silence: the shop's page names it, what
// was given and what is allowed; the owner's page says that it is not to be signed, and
// says nothing of which it is.
func TestRefusedRulesAreToldOnPapers(t *testing.T) {
	d := site(t, 1)
	d.Practice = map[string]float64{practice.RuleQuoteTax: 2, practice.RuleQuoteMargin: -0.1, "rate.unheard": 3}
	owner, shop := pageOf(t, d, sheets.ForQuote, ""), pageOf(t, d, sheets.ForCosting, "")
	one := func(page string) string { return strings.ReplaceAll(page, "\n", " ") }
	assert.Contains(t, one(shop), "Tax on top of the net price: given is 200 %, allowed is 0 % – 50 %.")
	assert.Contains(t, one(shop), "Margin on top of what work and materials cost: given is -10 %, allowed is 0 % – 200 %.")
	assert.Contains(t, one(shop), "rate.unheard")
	assert.Contains(t, one(owner), "is not to be signed")
	for _, secret := range []string{"Margin", "Tax on top", "rate.unheard", "signature"} {
		assert.NotContains(t, owner, secret)
	}
	d.Practice = nil
	assert.NotContains(t, pageOf(t, d, sheets.ForCosting, ""), "cannot be used")
	assert.Contains(t, pageOf(t, d, sheets.ForQuote, ""), "signature")
}

// Without a single rate the page says so and does not give a price of nothing as one.
func TestAQuoteWithoutPrices(t *testing.T) {
	d := site(t, 1)
	pdf, err := Print(order.Order{Document: orderOf(t, d, "quote").Document, For: "quote", Date: "2026-02-04"})
	require.NoError(t, err)
	page := strings.Join(textsOf(t, pdf), "\n")
	assert.Contains(t, page, "Total, without what has no price")
	assert.Contains(t, page, "No price for: ")
	assert.Contains(t, page, "There is no tax in it.")
}
