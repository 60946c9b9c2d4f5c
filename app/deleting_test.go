package app

import (
	"context"
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/app/editing"
	"pegpour/app/keeping"
	"pegpour/engine/refusal"
	"pegpour/storage"
)

// sentSite puts a site that the yard has into a store, of a device that is paired.
// state is what sync knows of it.
func sentSite(t *testing.T, backend *storage.Memory, name string, state map[string]any) string {
	t.Helper()
	store := storage.NewStore(backend, storage.SteppingClock())
	d := storage.NewDocument("2026-01-01T00:00:00Z")
	d.Survey.Site.Name = name
	_, err := store.Create(t.Context(), d)
	require.NoError(t, err)
	for key, v := range map[string]any{"site/" + d.ID: state,
		"pairing": map[string]any{"token": "secret", "device": map[string]string{"id": "d1", "name": "Phone", "role": "crew"}},
		"aside": []editing.Aside{{ID: "a", Site: d.ID, Edit: storage.Edit{Label: "What could not be kept"},
			Why: refusal.Say("no such record on this device")}}} {
		text, err := json.Marshal(v)
		require.NoError(t, err)
		require.NoError(t, store.KeepExchanged(t.Context(), nil, []storage.Record{{Key: key, Value: text}}))
	}
	return d.ID
}

// Of a site that the yard has it is asked whether it goes everywhere or from here only.
func TestDeletingASiteThatTheYardHas(t *testing.T) {
	backend := &storage.Memory{}
	id := sentSite(t, backend, "Mill Lane", map[string]any{"base": "b", "local": "b"})
	p, page := programOver(t, backend)
	visit(t, page, p, newSitesScreen(p.safety), "/", "Mill Lane")
	p.safety.PutAway(id)
	asked := func() string {
		screen := newSitesScreen(p.safety)
		screen.sure = id
		return visit(t, page, p, screen, "/", "delete-now")
	}
	visit(t, page, p, newSitesScreen(p.safety), "/", "bar-fixed")
	visit(t, page, p, keeping.NewYardScreen(p.link), "/sync", "yard-tally")
	markup := asked()
	assert.Contains(t, markup, "delete-everywhere")
	assert.Contains(t, markup, "From this phone only")

	p.safety.DeleteForever(id, p.link.Client().Delete)
	assert.NotContains(t, visit(t, page, p, newSitesScreen(p.safety), "/", `data-list="here"`), "What could not be kept")
	note, err := p.site.Store.Exchanged(context.Background(), storage.ExchangedDeletion+id)
	require.NoError(t, err)
	assert.JSONEq(t, `{"ask":true}`, string(note), "the yard is to be told")
	_, err = p.site.Store.Load(context.Background(), id)
	assert.ErrorIs(t, err, storage.ErrNotFound)
}

// What the yard never had of a site that it deleted is named, with the ways out.
func TestADeletedSiteWithChangesOfItsOwn(t *testing.T) {
	backend := &storage.Memory{}
	id := sentSite(t, backend, "Mill Lane",
		map[string]any{"base": "b", "local": "b", "gone": "2026-05-01T08:00:00.000Z"})
	p, page := programOver(t, backend)
	visit(t, page, p, newSitesScreen(p.safety), "/", "Deleted in the yard: choose")
	markup := visit(t, page, p, keeping.NewYardScreen(p.link), "/sync", "keep-own")
	assert.Contains(t, markup, "The yard deleted this site on")
	assert.Contains(t, markup, "let-go")
	assert.NotContains(t, markup, "let-go-now", "that takes a second tap")

	p.site.Depart(id, p.link.Client().KeepOwn, p.link.Watch)
	visit(t, page, p, newSitesScreen(p.safety), "/", "Mill Lane")
	require.Len(t, p.site.Asides, 1)
	heir := p.site.Asides[0].Site
	assert.NotEqual(t, id, heir, "what was set aside goes with it")
	loaded, err := p.site.Store.Load(context.Background(), heir)
	require.NoError(t, err)
	assert.Equal(t, "Mill Lane", loaded.Document.Survey.Site.Name)
	_, err = p.site.Store.Load(context.Background(), id)
	assert.ErrorIs(t, err, storage.ErrNotFound)
}
