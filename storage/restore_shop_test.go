package storage_test

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
)

func setShop(t *testing.T, s storage.Store, edit func(*storage.Shop) (storage.Edit, error)) {
	t.Helper()
	l, err := s.Shop(t.Context())
	require.NoError(t, err)
	e, err := edit(l.Shop)
	require.NoError(t, err)
	_, err = s.CommitShop(t.Context(), e)
	require.NoError(t, err)
}

func rule(key string, value float64) func(*storage.Shop) (storage.Edit, error) {
	return func(s *storage.Shop) (storage.Edit, error) { return storage.SetShopRule(s, key, value, "") }
}

func theme(name string) func(*storage.Shop) (storage.Edit, error) {
	return func(s *storage.Shop) (storage.Edit, error) { return storage.SetSetting(s, storage.SettingTheme, name) }
}

// The shop's rules come back with a back-up also where this device has rules or
// settings of its own; where both set the same, the person has chosen which stays.
func TestRestoringBringsTheShopsRulesBack(t *testing.T) {
	from := storage.NewMemory()
	setShop(t, from, rule("strip.width", 220))
	setShop(t, from, rule("pad.along", 450))
	setShop(t, from, theme(storage.ThemeSun))
	var file bytes.Buffer
	require.NoError(t, from.BackUp(t.Context(), &file))
	for how, want := range map[storage.Restoring]struct {
		theme string
		strip float64
	}{
		storage.LookOnly: {storage.ThemeDark, 230},
		storage.KeepHere: {storage.ThemeDark, 230},
		storage.TakeFile: {storage.ThemeSun, 220},
	} {
		to := storage.NewMemory()
		setShop(t, to, theme(storage.ThemeDark))
		setShop(t, to, rule("strip.width", 230))
		setShop(t, to, func(s *storage.Shop) (storage.Edit, error) {
			return storage.SetSetting(s, storage.SettingCrew, "Ana")
		})
		r, err := to.RestoreBackUp(t.Context(), bytes.NewReader(file.Bytes()), how)
		require.NoError(t, err)
		require.Len(t, r.Items, 1)
		require.Equal(t, storage.RestoreJoined, r.Items[0].Outcome)
		require.Equal(t, 2, r.Items[0].Differ, "theme and strip")
		l, err := to.Shop(t.Context())
		require.NoError(t, err)
		require.Equal(t, want.theme, l.Shop.Settings.Theme)
		require.InDelta(t, want.strip, l.Shop.Rules["strip.width"], 0)
		require.Equal(t, "Ana", l.Shop.Settings.Crew, "what only this device sets stays")
		pad, there := l.Shop.Rules["pad.along"]
		require.Equal(t, how != storage.LookOnly, there)
		if there {
			require.InDelta(t, 450, pad, 0)
			_, err = to.Undo(t.Context(), storage.ShopID)
			require.NoError(t, err)
			l, err = to.Shop(t.Context())
			require.NoError(t, err)
			require.InDelta(t, 230, l.Shop.Rules["strip.width"], 0, "it can be undone")
			require.NotContains(t, l.Shop.Rules, "pad.along")
		}
	}
}

// A theme is enough to have a shop of one's own; nothing contradicts, so that nothing
// is asked.
func TestAThemeKeepsNoRulesOut(t *testing.T) {
	from := storage.NewMemory()
	setShop(t, from, rule("strip.width", 220))
	var file bytes.Buffer
	require.NoError(t, from.BackUp(t.Context(), &file))
	to := storage.NewMemory()
	setShop(t, to, theme(storage.ThemeDark))
	r, err := to.RestoreBackUp(t.Context(), bytes.NewReader(file.Bytes()), storage.KeepHere)
	require.NoError(t, err)
	require.Equal(t, storage.RestoreJoined, r.Items[0].Outcome)
	require.Zero(t, r.Items[0].Differ)
	l, err := to.Shop(t.Context())
	require.NoError(t, err)
	require.InDelta(t, 220, l.Shop.Rules["strip.width"], 0)
	require.Equal(t, storage.ThemeDark, l.Shop.Settings.Theme)
	r, err = to.RestoreBackUp(t.Context(), bytes.NewReader(file.Bytes()), storage.KeepHere)
	require.NoError(t, err)
	require.Equal(t, storage.RestoreOlder, r.Items[0].Outcome, "again there is nothing to do")
}
