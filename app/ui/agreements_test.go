package ui

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/survey"
	"pegpour/storage"
	"pegpour/storage/demo"
)

// What was agreed, for how much, by whom and when stands in the history as a sentence,
// once for each agreement, and never as the cells in which it is kept.
func TestAnAgreementIsToldInWords(t *testing.T) {
	w := siteOf(t, demo.Sites()[0].Survey)
	w.Currency = "EUR"
	apply := func(d *storage.Document, e storage.Edit, err error) *storage.Document {
		t.Helper()
		require.NoError(t, err)
		d, err = storage.Apply(d, e)
		require.NoError(t, err)
		return d
	}
	taken := func(d *storage.Document, total string) *storage.Document {
		e, err := storage.AddEntry(d, "Quote to sign", survey.QuoteAgreed,
			survey.Agreement{Total: total, Lines: "hours.digFirm\tDigging\t0.096\tm³\t10.00\ntax\tTax\t0\t\t" + total, State: "8c1f"})
		return apply(d, e, err)
	}
	sign := func(d *storage.Document, n int) *storage.Document {
		for cell, words := range map[survey.Path]string{survey.QuoteAgreedOwner.At(n): "R. Abel",
			survey.QuoteAgreedSign.At(n): "0,0 250,80", survey.QuoteAgreedOn.At(n): "2026-11-30T08:00:00Z"} {
			e, err := storage.SetWords(d, string(cell), words)
			d = apply(d, e, err)
		}
		return d
	}
	list := func(before, after *storage.Document) string { return app.HTMLString(DifferenceList(w, before, after)) }
	empty := w.Doc
	open := taken(empty, "1190.00")
	markup := list(empty, open)
	assert.Contains(t, markup, "nothing → EUR 1190.00, not signed")
	assert.Contains(t, markup, ">Quote<")
	signed := sign(open, 0)
	markup = list(open, signed)
	assert.Equal(t, 1, strings.Count(markup, "data-change"), "one agreement is one line, whatever of it was written")
	assert.Contains(t, markup, "EUR 1190.00, not signed → R. Abel accepted EUR 1190.00 on "+w.LocalTime("2026-11-30T08:00:00Z")+".")
	assert.Contains(t, markup, "Digging")
	assert.Contains(t, markup, "EUR 10.00")
	for _, raw := range []string{"0,0 250,80", "8c1f", "hours.digFirm", "quote.agreed", "\t"} {
		assert.NotContains(t, strings.ReplaceAll(markup, `data-change="/survey/quote/agreed`, ""), raw)
	}
	varied := sign(taken(signed, "1300.00"), 1)
	markup = list(signed, varied)
	assert.Contains(t, markup, "Variation 1")
	assert.Contains(t, markup, "nothing → R. Abel accepted EUR 1300.00")
	assert.Contains(t, list(varied, signed), "→ nothing")

	// Where two versions are chosen from, a cell is told by itself.
	for cell, want := range map[survey.ListPath]string{survey.QuoteAgreedSign: "a signature", survey.QuoteAgreedTotal: "EUR 1190.00",
		survey.QuoteAgreedLines: "2 lines", survey.QuoteAgreedOwner: "“R. Abel”", survey.QuoteAgreedOn: w.LocalTime("2026-11-30T08:00:00Z")} {
		f := survey.FieldOf(cell.At(0))
		raw, err := json.Marshal(f.Words(&signed.Survey))
		require.NoError(t, err)
		assert.Equal(t, want, RawWords(w, f.Path, raw))
	}
	raw, err := json.Marshal(signed.Survey.Quote.Agreed[0])
	require.NoError(t, err)
	assert.Contains(t, RawWords(w, survey.QuoteAgreed+".0", raw), "R. Abel accepted EUR 1190.00")
	assert.Equal(t, "Quote", DifferenceName(w.Speaker, storage.Difference{Path: "/survey/quote/agreed/@a", Field: survey.QuoteAgreed + ".0"}))
}
