package storage

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/survey"
)

// What is agreed is bound to every figure, rule and cent of it, and to nothing that
// comes after it.
func TestQuoteState(t *testing.T) {
	d := NewDocument("site")
	d.Survey.Site.Name = "The Elms"
	d.Survey.Opening.Width = survey.Measured(4000, survey.ByTape)
	rules := map[string]float64{"rate.hour": 60, "quote.tax": 0.19}
	agreed := survey.Agreement{Lines: "rate.motor\tMotor\t1\t\t690.00", Total: "690.00"}
	name := func(change func(*Document, map[string]float64, *survey.Agreement)) Revision {
		next := *d
		next.Survey = d.Survey.Clone()
		own := map[string]float64{"quote.tax": 0.19, "rate.hour": 60}
		a := agreed
		change(&next, own, &a)
		state, err := QuoteState(&next, own, &a)
		require.NoError(t, err)
		return state
	}
	was, err := QuoteState(d, rules, &agreed)
	require.NoError(t, err)
	type change = func(*Document, map[string]float64, *survey.Agreement)
	for what, c := range map[string]change{
		"nothing": func(*Document, map[string]float64, *survey.Agreement) {},
		"signed": func(_ *Document, _ map[string]float64, a *survey.Agreement) {
			a.Owner, a.Sign, a.State = "A", "1,1", "x"
		},
		"a second": func(d *Document, _ map[string]float64, _ *survey.Agreement) {
			d.Survey.Quote.Agreed = []survey.Agreement{{}}
		},
		"poured":   func(d *Document, _ map[string]float64, _ *survey.Agreement) { d.Survey.Build.HandOver.Owner = "A" },
		"a tick":   func(d *Document, _ map[string]float64, _ *survey.Agreement) { d.Ticks = map[string]bool{"peg.1": true} },
		"a time":   func(d *Document, _ map[string]float64, _ *survey.Agreement) { d.Changed = "2026-01-01T00:00:00Z" },
		"a number": func(d *Document, _ map[string]float64, _ *survey.Agreement) { d.Survey.Site.Phone = "1" },
	} {
		assert.Equal(t, was, name(c), what)
	}
	for what, c := range map[string]change{
		"the opening": func(d *Document, _ map[string]float64, _ *survey.Agreement) { d.Survey.Opening.Width.Size = 4001 },
		"the address": func(d *Document, _ map[string]float64, _ *survey.Agreement) { d.Survey.Site.Address = "1" },
		"a rule":      func(_ *Document, r map[string]float64, _ *survey.Agreement) { r["rate.hour"] = 60.01 },
		"a site's rule": func(d *Document, _ map[string]float64, _ *survey.Agreement) {
			d.Practice = map[string]float64{"quote.margin": 0.1}
		},
		"a cent": func(_ *Document, _ map[string]float64, a *survey.Agreement) { a.Total = "690.01" },
		"a line": func(_ *Document, _ map[string]float64, a *survey.Agreement) {
			a.Lines += "\nrate.rack\tRack\t1\tm\t0.00"
		},
		"another site": func(d *Document, _ map[string]float64, _ *survey.Agreement) { d.ID = "other" },
	} {
		assert.NotEqual(t, was, name(c), what)
	}
}

// An agreement is an entry of the document like any other: made, read back, undone.
func TestAgreementIsKept(t *testing.T) {
	d := NewDocument("site")
	a := survey.Agreement{Total: "1234.50", Lines: "rate.motor\tMotor\t1\t\t1234.50", State: "x"}
	e, err := AddEntry(d, "Quote to sign", survey.QuoteAgreed, a)
	require.NoError(t, err)
	d, err = Apply(d, e)
	require.NoError(t, err)
	e, err = SetWords(d, string(survey.QuoteAgreedOwner.At(0)), "R. Abel")
	require.NoError(t, err)
	d, err = Apply(d, e)
	require.NoError(t, err)
	text, err := Encode(d)
	require.NoError(t, err)
	back, err := Decode(text)
	require.NoError(t, err)
	a.Owner = "R. Abel"
	assert.Equal(t, []survey.Agreement{a}, back.Survey.Quote.Agreed)
	clone := back.Survey.Clone()
	clone.Quote.Agreed[0].Total = "1.00"
	assert.Equal(t, "1234.50", back.Survey.Quote.Agreed[0].Total, "a clone is a survey of its own")
}
