package app

import (
	"maps"
	"regexp"
	"strings"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/app/quoting"
	"pegpour/engine/handover"
	"pegpour/engine/practice"
	"pegpour/engine/quote"
	"pegpour/engine/survey"
	"pegpour/engine/text"
	"pegpour/storage"
	"pegpour/storage/demo"
)

// The quote names what has no price, tries what it rests on one by one, is signed, and
// says afterwards what changed.
func TestQuoteScreen(t *testing.T) {
	p, page := programOver(t, &storage.Memory{})
	visit(t, page, p, newSitesScreen(p.safety), "/", "thumb")
	site := demo.Sites()[1]
	address := "/site/" + site.ID + "/quote"
	show := func(holds string) string {
		var screen app.Composer
		quoting.Screens(p.site, p.press, func(_ string, make func() app.Composer) { screen = make() })
		return visit(t, page, p, screen, address, holds)
	}
	done := "two together may come to something else"
	markup := show(done)
	assert.Contains(t, markup, "No price for: Travel, ")
	assert.Contains(t, markup, "Total, without what has no price")
	assert.NotContains(t, markup, `data-do="take"`, "there is nothing to sign")

	edit := func(e storage.Edit, err error) {
		t.Helper()
		require.NoError(t, err)
		p.site.Commit(p.site.Screen, e, nil)
	}
	rate := func(key string, v float64) { edit(storage.SetRule(p.site.Doc, key, v, "")) }
	for _, r := range practice.Rules() {
		if r.Dimension == text.Money && r.Key != practice.RuleQuoteRound {
			rate(r.Key, 20)
		}
	}
	rate(practice.RuleHoursTravel, 1)
	rate(practice.RuleQuoteTax, 0.19)
	markup = show(done)
	taken := p.site.Survey()
	q, err := quote.Make(&taken, p.site.Plan(), &p.site.Practice)
	require.NoError(t, err)
	require.True(t, q.Whole())
	assert.Regexp(t, `id="quote-total"[^>]*>\s*`+q.Total.String(), markup)
	for _, c := range quote.Cases(&taken, p.site.Plan(), &p.site.Practice) {
		rest, err := c.Try(taken, p.site.Plan(), &p.site.Practice, q)
		require.NoError(t, err)
		assert.Contains(t, markup, p.site.Sentence(rest.What))
		if rest.Difference > 0 {
			assert.Contains(t, markup, "+ "+rest.Difference.String())
		}
	}
	assert.Contains(t, markup, `data-do="take"`)

	a := q.Agree(p.site.SayName)
	state, err := storage.QuoteState(p.site.Doc, p.site.Shop.RulesFor(p.site.Doc), &a)
	require.NoError(t, err)
	a.State = string(state)
	edit(storage.AddEntry(p.site.Doc, "Quote to sign", survey.QuoteAgreed, a))
	markup = show("Accept for " + q.Total.String())
	accept := func(markup string) string {
		return regexp.MustCompile(`<button[^>]*data-do="accept"[^>]*>`).FindString(markup)
	}
	assert.Regexp(t, `disabled(="true")?[ >]`, accept(markup), "a name and a signature are missing")
	edit(storage.SetWords(p.site.Doc, string(survey.QuoteAgreedOwner.At(0)), "R. Abel"))
	edit(storage.SetWords(p.site.Doc, string(survey.QuoteAgreedSign.At(0)),
		handover.WriteStrokes([][]handover.Point{{{X: 0, Y: 0}, {X: 250, Y: 80}}})))
	tag := accept(show("Accept for "))
	assert.NotEmpty(t, tag)
	assert.NotRegexp(t, `disabled(="true")?[ >]`, tag)
	edit(storage.SetWords(p.site.Doc, string(survey.QuoteAgreedOn.At(0)), "2026-11-30T08:00:00Z"))
	markup = show("R. Abel accepted " + q.Total.String())
	assert.NotContains(t, markup, "Something changed")
	assert.NotContains(t, markup, `data-do="take"`)

	// A rule that cannot be used, such as a newer program's or a damaged file's, is named
	// and nothing is taken to sign.
	sound := p.site.Doc
	refused := *sound
	refused.Practice = maps.Clone(sound.Practice)
	refused.Practice[practice.RuleQuoteTax], refused.Practice["rate.unheard"] = 2, 3
	p.site.Doc = &refused
	p.site.Design()
	markup = show("These rules cannot be used and count as not given:")
	assert.Contains(t, markup, "Tax on top of the net price: given is 200, allowed is 0 – 50 %.")
	assert.Contains(t, markup, "‘rate.unheard’ is no rule that this program knows.")
	assert.NotContains(t, markup, "the browser says")
	assert.NotContains(t, markup, `data-do="take"`)
	p.site.Doc = sound
	p.site.Design()

	edit(storage.SetWords(p.site.Doc, survey.GateMotor, survey.MotorNone))
	markup = show("Something changed since it was signed.")
	assert.Contains(t, markup, "Take this variation to sign")
	assert.Contains(t, markup, "20.00 → 0.00", "the motor is gone")
	assert.Equal(t, 1, strings.Count(markup, "Take this variation to sign"))
}
