package demo_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/quote"
	"pegpour/engine/survey"
	"pegpour/engine/text"
	"pegpour/storage"
	"pegpour/storage/demo"
)

// varied is the demo whose quote was accepted, as a document.
func varied(t *testing.T) (*storage.Document, demo.Site) {
	t.Helper()
	sites := demo.Sites()
	i := slices.IndexFunc(sites, func(s demo.Site) bool { return s.Accepted != nil })
	require.GreaterOrEqual(t, i, 0)
	d := storage.NewDocument("2026-04-10T00:00:00Z")
	d.ID, d.Survey, d.Practice = sites[i].ID, sites[i].Survey, sites[i].Practice
	require.NoError(t, storage.BindQuote(d, nil, *sites[i].Accepted))
	return d, sites[i]
}

func priced(t *testing.T, s survey.Survey, rules map[string]float64) (*quote.Quote, plan.Plan) {
	t.Helper()
	p, err := practice.DefaultPractice().With(rules)
	require.NoError(t, err)
	made, err := engine.Design(s, p)
	require.NoError(t, err)
	q, err := quote.Make(&s, &made, &p)
	require.NoError(t, err)
	return q, made
}

// What the demo says was accepted is what the site cost then, to the cent, with nothing
// left without a price; nothing said Stop then or says so now.
func TestTheAcceptedQuoteIsTheOneOfThen(t *testing.T) {
	d, site := varied(t)
	then, was := priced(t, *site.Accepted, site.Practice)
	a := then.Agree(text.Name.String)
	got := &d.Survey.Quote.Agreed[0]
	assert.Equal(t, a.Lines, got.Lines)
	assert.Equal(t, a.Total, got.Total)
	assert.True(t, then.Whole(), "%v", then.Unpriced)
	now, made := priced(t, site.Survey, site.Practice)
	assert.True(t, now.Whole(), "%v", now.Unpriced)
	for _, p := range []*plan.Plan{&was, &made} {
		for i := range p.Checks {
			assert.NotEqual(t, plan.Stop, p.Checks[i].Severity, p.Checks[i].What.String())
		}
	}
}

// It stands signed and changed: the higher leaf and the deeper dig make the difference, and no
// cent of it comes from anywhere else.
func TestTheVariationIsWhatChanged(t *testing.T) {
	d, site := varied(t)
	now, _ := priced(t, site.Survey, site.Practice)
	st := quote.Stand(&d.Survey, now, func(a *survey.Agreement) string {
		state, err := storage.QuoteState(d, nil, a)
		require.NoError(t, err)
		return string(state)
	})
	require.NotNil(t, st.Signed, "it is signed, with a name, and adds up")
	assert.True(t, st.Changed)
	assert.Nil(t, st.Open)
	total, err := quote.ParseAmount(st.Signed.Total)
	require.NoError(t, err)
	assert.Equal(t, now.Total-total, st.Difference())
	assert.Positive(t, st.Difference())
	changed := map[string]bool{}
	for i := range st.Changes {
		changed[st.Changes[i].Name().String()] = true
	}
	for _, name := range []string{"Infill of the leaf", "Frame and footing metal", "Bags of dry mix", "Tax"} {
		assert.True(t, changed[name], "%s in %v", name, changed)
	}
	assert.False(t, changed["Motor"])

	// As it was when it was signed nothing differs.
	d.Survey.Ground, d.Survey.Gate = site.Accepted.Ground, site.Accepted.Gate
	then, _ := priced(t, d.Survey, site.Practice)
	st = quote.Stand(&d.Survey, then, func(a *survey.Agreement) string {
		state, err := storage.QuoteState(d, nil, a)
		require.NoError(t, err)
		return string(state)
	})
	assert.False(t, st.Changed)
}

// In another language the lines are in its words, and add up as before.
func TestTheAcceptedLinesAreTranslated(t *testing.T) {
	d, _ := varied(t)
	before := quote.ReadItems(d.Survey.Quote.Agreed[0].Lines)
	demo.Translate(&d.Survey, func(english string) string { return "<" + english + ">" })
	after := quote.ReadItems(d.Survey.Quote.Agreed[0].Lines)
	require.Len(t, after, len(before))
	for i := range after {
		assert.Equal(t, "<"+before[i].Name.String()+">", after[i].Name.String())
		after[i].Name = before[i].Name
	}
	assert.Equal(t, before, after)
}
