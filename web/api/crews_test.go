package api

import (
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/replication"
	"pegpour/storage/yard"
)

// crewed is a phone of a crew, with its identity in the yard.
func crewed(t *testing.T, y *yardAt, crew string) (*phoneAt, yard.Device) {
	t.Helper()
	p := &phoneAt{t: t, store: storage.NewMemory(), line: &movable{to: y}}
	p.restart()
	code, _, err := y.yard.NewCodeFor(t.Context(), yard.CodeFor{Role: yard.Crew, Crew: crew})
	require.NoError(t, err)
	require.NoError(t, p.client.Pair(t.Context(), code, crew))
	d, err := p.client.Paired(t.Context())
	require.NoError(t, err)
	return p, yard.Device{ID: d.ID}
}

func (p *phoneAt) begin(name string) string {
	p.t.Helper()
	d := storage.NewDocument("2026-01-01T00:00:00Z")
	d.Survey.Site.Name = name
	_, err := p.store.Create(p.t.Context(), d)
	require.NoError(p.t, err)
	return d.ID
}

// Where crews are apart a new site is its crew's, and goes from the phones of a crew it is
// taken from; what the yard never had waits there for a person, and nothing is told to be
// deleted, not even to a yard that was restored.
func TestASiteIsGivenToAnotherCrew(t *testing.T) {
	y := serveYard(t, t.TempDir())
	_, err := y.yard.SetRule(t.Context(), yard.CrewsApart, 1)
	require.NoError(t, err)
	north, _ := crewed(t, y, "North")
	second, _ := crewed(t, y, "North")
	south, _ := crewed(t, y, "South")
	site, other := north.begin("Mill Lane"), north.begin("Birch Lane")
	north.sync()
	crews, err := y.yard.SiteCrews(t.Context(), site)
	require.NoError(t, err)
	require.Equal(t, []string{"North"}, crews)
	require.NoError(t, second.client.Fetch(t.Context(), site))
	require.NoError(t, second.client.Fetch(t.Context(), other))
	second.sync()
	require.Error(t, south.client.Fetch(t.Context(), site))

	file := y.backUp()
	require.NoError(t, y.yard.SetSiteCrews(t.Context(), site, []string{"South"}))
	// The second phone has something of it that the yard never had.
	here, err := second.store.Load(t.Context(), site)
	require.NoError(t, err)
	e, err := storage.SetWords(here.Document, "site.notes", "Typed here")
	require.NoError(t, err)
	_, err = second.store.Commit(t.Context(), site, e, here.Revision)
	require.NoError(t, err)
	for range 3 {
		for more := true; more; { // until it is heard that the site is another crew's, sending is refused
			more, _ = second.client.Step(t.Context())
		}
		second.client.Hurry()
	}
	require.Equal(t, replication.Gone, second.status().Sites[site].State)
	require.True(t, second.status().Sites[site].Away)
	north.sync()
	_, err = north.store.Load(t.Context(), site)
	require.ErrorIs(t, err, storage.ErrNotFound, "the crew it was taken from does not need it")
	_, err = north.store.Load(t.Context(), other)
	require.NoError(t, err)
	require.NoError(t, south.client.Fetch(t.Context(), site))
	south.sync()

	own, err := second.client.KeepOwn(t.Context(), site)
	require.NoError(t, err)
	second.sync()
	require.True(t, y.holdsSite(own))

	back := restored(t, file)
	north.line.to = back
	north.sync()
	require.True(t, back.holdsSite(site), "nobody deleted it")
	require.NoError(t, y.yard.SetSiteCrews(t.Context(), site, nil))
	north.line.to = y
	require.NoError(t, north.client.Fetch(t.Context(), site))
}
