package yard_test

import (
	"context"
	"database/sql"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/yard"
)

// A site is found by who sent it, by who measured it and by how far it is.
func officeList(t *testing.T, open func(yard.Options) *yard.Yard) {
	ctx := t.Context()
	y := open(yard.Options{})
	device := func(name string) string {
		code, _, err := y.NewCode(ctx, yard.Crew)
		require.NoError(t, err)
		d, _, err := y.Pair(ctx, code, name)
		require.NoError(t, err)
		return d.ID
	}
	ute, van := device("Blue Üte"), device("Van")
	send := func(device, id, surveyor string) {
		text := document(t, id, func(d *storage.Document) { d.Survey.Site.Name, d.Survey.Site.MeasuredBy = id, surveyor })
		_, err := y.PutRevision(ctx, device, id, storage.NameRevision(text), nil, text)
		require.NoError(t, err)
	}
	send(ute, "a", "Ana")
	send(van, "b", "Ben")
	send(ute, "c", "Ben")
	ids := func(q yard.Query) (out []string) {
		sites, err := y.Sites(ctx, q)
		require.NoError(t, err)
		for _, s := range sites {
			out = append(out, s.ID)
		}
		return out
	}
	require.Equal(t, []string{"c", "a"}, ids(yard.Query{Search: "üte"}))
	require.Equal(t, []string{"c", "b"}, ids(yard.Query{Search: "ben"}))
	require.Equal(t, []string{"c"}, ids(yard.Query{Search: "Ben blue"}))
	site, err := y.Site(ctx, "a")
	require.NoError(t, err)
	require.Equal(t, []string{"Blue Üte", ute, "Ana"}, []string{site.By, site.Device, site.Surveyor})

	for site, marks := range map[string][]string{"a": {yard.Quoted}, "b": {yard.Quoted, yard.Poured}} {
		for _, m := range marks {
			_, err := y.SetMark(ctx, van, site, m, nil)
			require.NoError(t, err)
		}
	}
	for state, want := range map[string][]string{"": {"c", "b", "a"}, yard.StateNone: {"c"}, yard.StateQuoted: {"a"},
		yard.StatePoured: {"b"}} {
		require.Equal(t, want, ids(yard.Query{State: state}), state)
	}
	var invalid *yard.InvalidError
	_, err = y.Sites(ctx, yard.Query{State: "lost"})
	require.ErrorAs(t, err, &invalid)

	// Two offices that both saw nothing: the second one is told.
	nothing := func(m *yard.Mark) bool { return m == nil }
	first, err := y.SetMark(ctx, "one", "c", yard.Quoted, nothing)
	require.NoError(t, err)
	_, err = y.SetMark(ctx, "two", "c", yard.Quoted, nothing)
	require.ErrorIs(t, err, yard.ErrChanged)
	same := func(m *yard.Mark) bool { return m != nil && m.Tag == first.Tag }
	require.NoError(t, y.ClearMark(ctx, "c", yard.Quoted, same))
	require.ErrorIs(t, y.ClearMark(ctx, "c", yard.Quoted, same), yard.ErrChanged)
}

// A yard of the first layout gets the new columns filled from what it holds.
func TestSecondLayout(t *testing.T) {
	ctx := context.Background()
	folder := t.TempDir()
	y, err := yard.Open(ctx, folder, yard.Options{})
	require.NoError(t, err)
	text := document(t, "s", func(d *storage.Document) { d.Survey.Site.MeasuredBy = "Ana" })
	_, err = y.PutRevision(ctx, "ute", "s", storage.NameRevision(text), nil, text)
	require.NoError(t, err)
	require.NoError(t, y.Close())
	db, err := sql.Open("sqlite", "file:"+filepath.Join(folder, yard.FileName))
	require.NoError(t, err)
	for _, q := range append(append(undoSearchFile, undoPeople...), "DROP TABLE identity", "DROP TABLE deletions", "DROP TABLE site_photos",
		"DROP TABLE rules", "DROP INDEX audit_hour", "ALTER TABLE audit DROP COLUMN hour", "ALTER TABLE audit DROP COLUMN times",
		"ALTER TABLE photos DROP COLUMN unused", "ALTER TABLE sites DROP COLUMN device", "ALTER TABLE sites DROP COLUMN surveyor",
		"DROP INDEX photos_in_pieces", "DROP INDEX photos_leaving", "DROP INDEX photos_damaged", "DROP TABLE photo_hashes",
		"DROP INDEX revisions_damaged", "ALTER TABLE revisions DROP COLUMN damaged", "DROP INDEX sites_noted",
		"ALTER TABLE sites DROP COLUMN noted",
		"ALTER TABLE photos DROP COLUMN stored", "ALTER TABLE photos DROP COLUMN damaged",
		"UPDATE sites SET search = ''", "DELETE FROM layout WHERE version > 1") {
		_, err := db.Exec(q)
		require.NoError(t, err, q)
	}
	require.NoError(t, db.Close())
	y = opened(t, folder, yard.Options{})
	sites, err := y.Sites(ctx, yard.Query{Search: "ana"})
	require.NoError(t, err)
	require.Len(t, sites, 1)
	require.Equal(t, "ute", sites[0].Device)
}

// The list of ten thousand sites stays quick, whatever is looked for.
func TestTenThousandSites(t *testing.T) {
	if testing.Short() {
		t.Skip("fills a large yard")
	}
	ctx := t.Context()
	y := opened(t, t.TempDir(), yard.Options{NotDurable: true})
	for n := range 10_000 {
		id := "s" + strconv.Itoa(n)
		text := document(t, id, named("Street "+strconv.Itoa(n)))
		_, err := y.PutRevision(ctx, "d", id, storage.NameRevision(text), nil, text)
		require.NoError(t, err)
	}
	for _, q := range []yard.Query{{}, {Search: "street 77"}, {Search: "nowhere"}, {State: yard.StatePoured},
		{Before: 5000}} {
		q.Limit = 50
		start := time.Now()
		_, err := y.Sites(ctx, q)
		require.NoError(t, err)
		took := time.Since(start)
		t.Logf("%+v took %v", q, took)
		require.Less(t, took, time.Second, "%+v", q)
	}
}
