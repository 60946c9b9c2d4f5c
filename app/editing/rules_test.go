package editing

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
	"pegpour/storage"
)

func rule(t *testing.T, key string) practice.Rule {
	t.Helper()
	r, ok := practice.RuleByKey(key)
	require.True(t, ok, key)
	return r
}

func TestTheShopsRuleHoldsAtEverySite(t *testing.T) {
	b := openBench(t)
	r := rule(t, "strip.width")
	v, own := b.RuleValue(r, false)
	assert.Equal(t, r.Default, v)
	assert.False(t, own)

	seal := b.Seal
	assert.Empty(t, b.SetRule(b.Stage, r, "320", false))
	v, own = b.RuleValue(r, false)
	assert.Equal(t, 320.0, v)
	assert.True(t, own)
	assert.Equal(t, 320.0, r.Of(b.Practice), "the site in hand is designed by it at once")
	assert.NotEqual(t, seal, b.Seal)
	_, own = b.RuleValue(r, true)
	assert.False(t, own, "it is the shop's, not this site's")
	b.saved()
	shop, err := b.Store.Shop(t.Context())
	require.NoError(t, err)
	assert.Equal(t, 320.0, shop.Shop.Rules[r.Key])
	assert.Equal(t, shop.Revision, b.ShopRevision)

	b.ClearRule(b.Stage, r, false)
	b.saved()
	assert.Equal(t, r.Default, r.Of(b.Practice))
	shop, err = b.Store.Shop(t.Context())
	require.NoError(t, err)
	assert.NotContains(t, shop.Shop.Rules, r.Key)
}

func TestASitesOwnRuleGoesBeforeTheShops(t *testing.T) {
	b := openBench(t)
	r := rule(t, "strip.width")
	require.Empty(t, b.SetRule(b.Stage, r, "320", false))
	require.Empty(t, b.SetRule(b.Stage, r, "340", true))
	v, own := b.RuleValue(r, true)
	assert.Equal(t, 340.0, v)
	assert.True(t, own)
	assert.Equal(t, 320.0, b.RuleBase(r, true), "it goes back to the shop's")
	assert.Equal(t, r.Default, b.RuleBase(r, false), "and that to what we set out with")
	b.saved()
	assert.Contains(t, b.stored().Practice, r.Key)
	b.ClearRule(b.Stage, r, true)
	b.saved()
	assert.Equal(t, 320.0, r.Of(b.Practice))
	assert.NotContains(t, b.stored().Practice, r.Key)
	b.Undo()
	b.saved()
	assert.Equal(t, 340.0, r.Of(b.Practice), "a site's rule can be undone")
}

func TestARuleThatCannotBeIsNotTaken(t *testing.T) {
	b := openBench(t)
	for _, r := range practice.Rules() {
		for _, words := range []string{"", "wide", "1e999", "NaN"} {
			assert.NotEmpty(t, b.SetRule(b.Stage, r, words, false), "%s: %q", r.Key, words)
		}
		beyond := b.RuleText(r, r.High+(r.High-r.Low)+1)
		assert.Contains(t, b.SetRule(b.Stage, r, beyond, false), "allowed is", "%s: %q", r.Key, beyond)
	}
	assert.Zero(t, b.Waiting(), "nothing of it is stored")
	assert.Empty(t, b.Shop.Rules)
}

// What the screen shows of a rule is read back as the same number, in either unit.
func TestEveryRuleIsReadAsItIsWritten(t *testing.T) {
	b := openBench(t)
	for _, units := range []string{storage.UnitsMetric, storage.UnitsFeet} {
		e, err := storage.SetSetting(b.Shop, storage.SettingUnits, units)
		b.CommitShop(b.Stage, e, err)
		for _, r := range practice.Rules() {
			words := b.RuleText(r, r.Default)
			v, problem := b.parseRule(r, words)
			assert.Empty(t, problem, "%s: %q", r.Key, words)
			near := 1e-3 * max(1, r.Default)
			if r.Dimension == text.Length && b.Feet() {
				near = 25.4 / 16
			}
			assert.InDelta(t, r.Default, v, near, "%s: %q", r.Key, words)
			if r.Default >= r.Low { // below it nothing stands in until somebody gives it
				assert.Nil(t, r.Check(r.Default), r.Key)
			}
		}
	}
	b.saved()
}

func TestSettingsAreOfTheShop(t *testing.T) {
	b := openBench(t)
	f, _ := survey.FieldAt("opening.width")
	b.typed("opening.width", "4200")
	assert.Equal(t, "mm", b.UnitOf(f))
	e, err := storage.SetSetting(b.Shop, storage.SettingUnits, storage.UnitsFeet)
	b.CommitShop(b.Stage, e, err)
	assert.True(t, b.Feet())
	assert.Equal(t, "ft in", b.UnitOf(f))
	words, problem := b.Entry(f)
	assert.Contains(t, words, "13'", "what was typed in the other unit is written in this one")
	assert.Empty(t, problem)
	b.saved()

	again := benchOver(t, b.backend, b.Doc.ID)
	assert.True(t, again.Feet(), "a program started anew has it too")

	e, err = storage.SetSetting(b.Shop, storage.SettingCurrency, "EUR")
	b.CommitShop(b.Stage, e, err)
	assert.Equal(t, "EUR 12.50", b.Money(12.5))
	b.saved()
}

func TestASettingThatFindsNoRoomIsTriedAgain(t *testing.T) {
	b := openBench(t)
	b.backend.FailAt(1, storage.ErrFull, false)
	e, err := storage.SetSetting(b.Shop, storage.SettingCrew, "Sam")
	b.CommitShop(b.Stage, e, err)
	b.Until("the failure", func() bool { return b.Unsaved != "" })
	assert.Equal(t, "Sam", b.Shop.Settings.Crew, "it holds on the screen")
	b.Retry(b.Stage)
	b.saved()
	shop, err := b.Store.Shop(t.Context())
	require.NoError(t, err)
	assert.Equal(t, "Sam", shop.Shop.Settings.Crew)
}

// What the yard changed of the shop's rules is on the screen at once; a site that keeps
// the rules it was begun under is designed as before.
func TestRulesOfTheYardAreTakenOver(t *testing.T) {
	b := openBench(t)
	b.Store.Watch(b.ChangedElsewhere)
	r := rule(t, "strip.width")
	receive := func(v float64, yard int64) {
		t.Helper()
		at := b.ShopRevision
		require.NoError(t, b.Store.ReceiveShop(t.Context(), map[string]float64{r.Key: v}, yard, at, "", nil,
			func(storage.Revision) []storage.Record { return nil }))
		require.ErrorIs(t, b.Store.ReceiveShop(t.Context(), nil, yard, "another", "", nil, nil), storage.ErrMoved)
		b.Until("the rule is here", func() bool { return b.Shop.Rules[r.Key] == v })
	}
	receive(320, 2)
	assert.Equal(t, 320.0, r.Of(b.Practice), "a site of before follows")
	e, err := storage.TakeShopRules(b.Doc, b.Shop)
	b.Commit(b.Stage, e, err)
	b.saved()
	receive(340, 3)
	assert.Equal(t, 320.0, r.Of(b.Practice))
	assert.Equal(t, 320.0, b.RuleBase(r, true))
	assert.Equal(t, []string{r.Key}, b.Shop.Behind(b.Doc))
	b.Undo()
	b.saved()
	assert.Equal(t, 340.0, r.Of(b.Practice))
}
