package app

import (
	"regexp"
	"strings"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/practice"
	"pegpour/storage"
	"pegpour/storage/demo"
)

// rulesBench is a program with one of its demo sites in hand.
type rulesBench struct {
	t    *testing.T
	p    *Program
	page app.ClientDispatcher
	site string
}

func newRulesBench(t *testing.T) *rulesBench {
	p, page := programOver(t, &storage.Memory{})
	visit(t, page, p, newSitesScreen(p.safety), "/", "thumb")
	return &rulesBench{t, p, page, "/site/" + demo.Sites()[0].ID}
}

// show shows the screen of an address, {site} for the site's part of it.
func (b *rulesBench) show(address, holds string) string {
	b.t.Helper()
	return visit(b.t, b.page, b.p, screensOf(b.p)[address](), strings.ReplaceAll(address, "/site/{site}", b.site), holds)
}

func (b *rulesBench) edit(e storage.Edit, err error) {
	b.t.Helper()
	require.NoError(b.t, err)
	b.p.site.Commit(b.p.site.Screen, e, nil)
}

func (b *rulesBench) shop(e storage.Edit, err error) {
	b.t.Helper()
	require.NoError(b.t, err)
	b.p.site.CommitShop(b.p.site.Screen, e, nil)
}

// order fails where the texts do not stand in markup one after the other.
func order(t *testing.T, markup string, texts ...string) {
	t.Helper()
	at := 0
	for _, text := range texts {
		found := strings.Index(markup[at:], text)
		require.GreaterOrEqual(t, found, 0, "%q", text)
		at += found + 1
	}
}

// The settings of the phone stand apart from the rules, which fold into groups, each
// of them once; the rates have a page of their own, and each rule stands on one of them.
func TestEveryRuleStandsOnce(t *testing.T) {
	b := newRulesBench(t)
	groups := regexp.MustCompile(`data-group="([^"]*)"`)
	fields := regexp.MustCompile(`id="rule-([^"]*)"`)
	for _, at := range []string{"/", "/site/{site}/"} {
		stands := map[string]int{}
		for _, page := range []string{"rules", "rates"} {
			markup := b.show(at+page, "rule-value")
			assert.NotContains(t, markup, "setting-units")
			seen := map[string]bool{}
			for _, g := range groups.FindAllStringSubmatch(markup, -1) {
				assert.False(t, seen[g[1]], "%s stands twice", g[1])
				seen[g[1]] = true
			}
			if page == "rules" {
				assert.True(t, seen["Motor"])
				assert.False(t, seen[practice.GroupRates])
				assert.NotRegexp(t, `<details[^>]* open(>| |="true)`, markup)
			}
			for _, f := range fields.FindAllStringSubmatch(markup, -1) {
				stands[f[1]]++
			}
		}
		for _, r := range practice.Rules() {
			assert.Equal(t, 1, stands[r.Key], "%s %s", at, r.Key)
		}
	}
	markup := visit(t, b.page, b.p, newSettingsScreen(b.p.site, b.p.safety), "/settings", "setting-units")
	for _, id := range []string{"setting-language", "setting-theme", "setting-hand", "setting-crew"} {
		assert.Contains(t, markup, id)
	}
}

// The screen of rules says that they are the yard's, and what the yard had first; a site
// says how far it stands behind them.
func TestRulesSayWhoseTheyAre(t *testing.T) {
	b := newRulesBench(t)
	p := b.p
	require.NoError(t, p.site.Store.KeepExchanged(t.Context(), nil,
		[]storage.Record{{Key: "shop", Value: []byte(`{"revision":2,"aside":{"strip.width":650,"rate.hour":70}}`)}}))
	receive := func(v float64, yard int64) {
		shop, err := p.site.Store.Shop(t.Context())
		require.NoError(t, err)
		require.NoError(t, p.site.Store.ReceiveShop(t.Context(), map[string]float64{"strip.width": v}, yard, shop.Revision, "", nil,
			func(storage.Revision) []storage.Record { return nil }))
	}
	receive(700, 2)
	b.show("/rules", "These are the rules of the yard")
	markup := b.show("/rules", "Take the one from here")
	assert.Contains(t, markup, "Here it stood at 650 mm.")
	assert.Contains(t, b.show("/rates", "Take the one from here"), "Here it stood at 70")

	assert.NotContains(t, b.show("/site/{site}/rules", "rule-entry"), "Take the shop")
	e, err := storage.TakeShopRules(p.site.Doc, p.site.Shop)
	require.NoError(t, err)
	_, err = p.site.Store.Commit(t.Context(), demo.Sites()[0].ID, e, "")
	require.NoError(t, err)
	receive(720, 3)
	b.show("/site/{site}/rules", "The shop changed one rule since this site was begun.")
	b.show("/site/{site}/rates", "The shop changed one rule since this site was begun.")
}

// What differs from the default stands first, and is open; the rest is closed.
func TestOwnRulesStandFirst(t *testing.T) {
	b := newRulesBench(t)
	b.show("/rules", "rule-value")
	b.shop(storage.SetShopRule(b.p.site.Shop, practice.RuleMeshLap, 600, ""))
	markup := b.show("/rules", `data-group="own"`)
	order(t, markup, `data-group="own"`, `id="rule-mesh.lap"`, "Back to 500", `data-group="Run-back strip"`)
	assert.Equal(t, 1, strings.Count(markup, `id="rule-mesh.lap"`))
	assert.Regexp(t, `<details[^>]* open(>| |="true)`, markup)
	assert.NotContains(t, b.show("/site/{site}/rules", "rule-value"), `data-group="own"`, "the site does as the shop does")
	b.edit(storage.SetRule(b.p.site.Doc, practice.RuleStripWidth, 250, ""))
	order(t, b.show("/site/{site}/rules", `data-group="own"`), "For this site only", `id="rule-strip.width"`, "Back to 200", `data-group="Run-back strip"`)
}

// A rate that cannot be so is refused by its field, with what was given and what is
// allowed, and stands there as it was typed until it is mended, also after the page was
// left; what holds is what held before.
func TestRefusedRatesAreNotLost(t *testing.T) {
	b := newRulesBench(t)
	for _, c := range []struct{ key, typed, says string }{
		{practice.RuleRateHour, "0", "Read as 0; allowed is 0.01 – 1000000."},
		{practice.RuleRateHour, "-5", "Read as -5; allowed is 0.01 – 1000000."},
		{practice.RuleQuoteTax, "200", "Read as 200 %; allowed is 0 – 50."},
		{practice.RuleRateMotor, "6 hundred", "Not read: a number was expected."},
		{practice.RuleQuoteHolds, "0", "Read as 0; allowed is 1 – 365."},
	} {
		b.show("/rates", "rule-value")
		b.shop(storage.SetShopDraft(b.p.site.Shop, c.key, c.typed))
		markup := b.show("/rates", "rule-value")
		assert.Regexp(t, `<input[^>]*`+regexp.QuoteMeta(`value="`+c.typed+`"`), markup)
		assert.Contains(t, markup, c.says, c.key)
		order(t, markup, `for="rule-`+c.key+`"`, `id="rule-`+c.key+`-says"`)
		assert.NotContains(t, b.p.site.Shop.Rules, c.key)
		b.shop(storage.ClearShopRule(b.p.site.Shop, c.key))
	}
}

// From a site the page of rates says first what the quote lacks, and what it comes to.
func TestRatesFromASite(t *testing.T) {
	b := newRulesBench(t)
	b.show("/rates", "rule-value")
	assert.NotContains(t, b.show("/rates", "rule-value"), `data-group="lacks"`)
	markup := b.show("/site/{site}/rates", `id="rates-total"`)
	order(t, markup, "not known", "For the shop", "This quote has no price without", `id="rule-rate.hour"`, "Margin, tax and terms")
	b.shop(storage.SetShopRule(b.p.site.Shop, practice.RuleRateHour, 62.5, ""))
	markup = b.show("/site/{site}/rates", "Quote, total without what has no price")
	assert.NotContains(t, markup, "not known")
	assert.Contains(t, markup, `id="setting-terms"`)
	assert.Regexp(t, `aria-pressed[^>]*data-only="false"|data-only="false"[^>]*aria-pressed`, markup)
	b.edit(storage.SetRule(b.p.site.Doc, practice.RuleQuoteTax, 0.19, "")) // where a site has its own, they are shown
	markup = b.show("/site/{site}/rates", `value="19"`)
	assert.NotContains(t, markup, `id="setting-terms"`, "the words are the shop's")
	order(t, markup, `data-group="lacks"`, `data-group="time"`, `id="rule-rate.hour"`)
}
