package yard_test

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/yard"
)

// clock is a time that tests move on.
type clock struct{ now time.Time }

func (c *clock) time() time.Time { return c.now }

func (c *clock) days(n int) { c.now = c.now.AddDate(0, 0, n) }

func newClock() *clock { return &clock{time.Date(2026, 5, 1, 8, 0, 0, 0, time.UTC)} }

func shows(name string, photos ...string) func(*storage.Document) {
	return func(d *storage.Document) {
		d.Survey.Site.Name, d.Survey.Site.Client = name, "Ms. Unmistakable"
		for _, p := range photos {
			d.Photos = append(d.Photos, storage.Photo{ID: p})
		}
	}
}

func putPhoto(t *testing.T, y *yard.Yard, side int) string {
	t.Helper()
	data := picture(t, side)
	p, err := y.PutPiece(t.Context(), "device", storage.PhotoID(data), 0, int64(len(data)), data)
	require.NoError(t, err)
	require.True(t, p.Complete)
	return p.ID
}

func isGone(t *testing.T, err error) {
	t.Helper()
	var gone *yard.GoneError
	require.ErrorAs(t, err, &gone)
	require.NotEmpty(t, gone.At)
}

// A site that was deleted is served to nobody and cannot be sent again; it comes back
// within its time, and after it nothing of it is left but the record.
func deleting(t *testing.T, open func(yard.Options) *yard.Yard) {
	ctx, c := t.Context(), newClock()
	y := open(yard.Options{Now: c.time})
	own, shared := putPhoto(t, y, 20), putPhoto(t, y, 21)
	text := document(t, "s", shows("Mill Lane", own, shared))
	first, stored := put(t, y, "s", text)
	require.Empty(t, stored.Lacks)
	put(t, y, "t", document(t, "t", shows("Other", shared)))
	_, err := y.SetMark(ctx, "device", "s", yard.Poured, nil)
	require.NoError(t, err)
	_, seen, _, err := y.Changes(ctx, yard.Device{}, 0, 0)
	require.NoError(t, err)

	d, err := y.DeleteSite(ctx, "device", "s")
	require.NoError(t, err)
	require.Equal(t, "2026-05-31T08:00:00.000Z", d.Until)
	require.Empty(t, d.Purged)
	changes, next, _, err := y.Changes(ctx, yard.Device{}, seen, 0)
	require.NoError(t, err)
	require.Len(t, changes, 1)
	require.Equal(t, []any{"s", d.At, 0}, []any{changes[0].Site, changes[0].Deleted, len(changes[0].Heads)})
	again, err := y.DeleteSite(ctx, "another", "s")
	require.NoError(t, err)
	require.Equal(t, d, again, "again changes nothing")

	away := func() {
		t.Helper()
		sites, err := y.Sites(ctx, yard.Query{})
		require.NoError(t, err)
		require.Len(t, sites, 1)
		sites, err = y.Sites(ctx, yard.Query{Search: "mill"})
		require.NoError(t, err)
		require.Empty(t, sites)
		_, err = y.Site(ctx, "s")
		isGone(t, err)
		_, err = y.Heads(ctx, "s", "")
		isGone(t, err)
		_, err = y.History(ctx, "s", 0, 0)
		isGone(t, err)
		_, _, err = y.Revision(ctx, "s", first)
		isGone(t, err)
		_, err = y.Mark(ctx, "s", yard.Poured)
		isGone(t, err)
		_, err = y.SetMark(ctx, "device", "s", yard.Quoted, nil)
		isGone(t, err)
		_, err = y.PutRevision(ctx, "sleeper", "s", first, nil, text)
		isGone(t, err)
		later := document(t, "s", shows("Later", own))
		_, err = y.PutRevision(ctx, "sleeper", "s", storage.NameRevision(later, first), []storage.Revision{first}, later)
		isGone(t, err)
		_, _, err = y.PhotoBytes(ctx, own)
		require.ErrorIs(t, err, yard.ErrNotFound)
		_, _, err = y.PhotoBytes(ctx, shared)
		require.NoError(t, err, "another site shows it")
	}
	away()
	list, _, err := y.Deletions(ctx, 0, 0)
	require.NoError(t, err)
	require.Len(t, list, 1)
	require.Equal(t, "Mill Lane", list[0].Name)

	c.days(29)
	swept, err := y.Sweep(ctx)
	require.NoError(t, err)
	require.Zero(t, swept)
	require.NoError(t, y.Undelete(ctx, "s"))
	require.ErrorIs(t, y.Undelete(ctx, "s"), yard.ErrNotFound)
	site, err := y.Site(ctx, "s")
	require.NoError(t, err)
	require.Len(t, site.Marks, 1)
	changes, _, _, err = y.Changes(ctx, yard.Device{}, next, 0)
	require.NoError(t, err)
	require.Len(t, changes, 1)
	require.Equal(t, []storage.Revision{first}, changes[0].Heads)
	_, _, err = y.PhotoBytes(ctx, own)
	require.NoError(t, err)

	_, err = y.DeleteSite(ctx, "device", "s")
	require.NoError(t, err)
	c.days(31)
	swept, err = y.Sweep(ctx)
	require.NoError(t, err)
	require.Equal(t, yard.Swept{Sites: 1, Photos: 1}, swept)
	away()
	isGone(t, y.Undelete(ctx, "s"))
	list, _, err = y.Deletions(ctx, 0, 0)
	require.NoError(t, err)
	require.Empty(t, list[0].Name)
	require.NotEmpty(t, list[0].Purged)
	put(t, y, "t", document(t, "t", shows("Other, later", shared)))

	// One that never came is noted all the same.
	_, err = y.DeleteSite(ctx, "", "never")
	require.NoError(t, err)
	_, err = y.PutRevision(ctx, "d", "never", "", nil, document(t, "never", shows("N")))
	require.Error(t, err)
	text = document(t, "never", shows("N"))
	_, err = y.PutRevision(ctx, "d", "never", storage.NameRevision(text), nil, text)
	isGone(t, err)

	// A back-up carries the records with it.
	file, folder := filepath.Join(t.TempDir(), "b"), filepath.Join(t.TempDir(), "new")
	_, err = y.SetRule(ctx, yard.KeepDeletedDays, 7)
	require.NoError(t, err)
	require.NoError(t, y.BackUp(ctx, file))
	require.NoError(t, yard.Restore(ctx, file, folder))
	r := opened(t, folder, yard.Options{})
	_, err = r.Site(ctx, "s")
	isGone(t, err)
	rules, err := r.Rules(ctx)
	require.NoError(t, err)
	require.Equal(t, yard.Rules{KeepDeletedDays: 7}, rules)

	var invalid *yard.InvalidError
	_, err = y.SetRule(ctx, yard.KeepDeletedDays, 366)
	require.ErrorAs(t, err, &invalid)
	_, err = y.SetRule(ctx, "colour", 1)
	require.ErrorAs(t, err, &invalid)
}

// A photo goes after the same time, once no newest version shows it.
func photosNobodyShows(t *testing.T, open func(yard.Options) *yard.Yard) {
	ctx, c := t.Context(), newClock()
	y := open(yard.Options{Now: c.time})
	kept, removed := putPhoto(t, y, 20), putPhoto(t, y, 21)
	astray := putPhoto(t, y, 22) // of no site
	first, _ := put(t, y, "s", document(t, "s", shows("S", kept, removed)))
	_, err := y.Sweep(ctx)
	require.NoError(t, err)
	c.days(40)
	swept, err := y.Sweep(ctx)
	require.NoError(t, err)
	require.Equal(t, yard.Swept{Photos: 1}, swept)
	_, _, err = y.PhotoBytes(ctx, astray)
	require.ErrorIs(t, err, yard.ErrNotFound)

	second, _ := put(t, y, "s", document(t, "s", shows("S", kept)), first)
	c.days(29)
	_, err = y.Sweep(ctx)
	require.NoError(t, err)
	_, _, err = y.PhotoBytes(ctx, removed)
	require.NoError(t, err, "its removal can still be taken back")
	third, _ := put(t, y, "s", document(t, "s", shows("S", kept, removed)), second)
	c.days(29)
	swept, err = y.Sweep(ctx)
	require.NoError(t, err)
	require.Zero(t, swept, "it is shown again")
	fourth, _ := put(t, y, "s", document(t, "s", shows("S", kept)), third)
	c.days(31)
	swept, err = y.Sweep(ctx)
	require.NoError(t, err)
	require.Equal(t, yard.Swept{Photos: 1}, swept)
	_, _, err = y.PhotoBytes(ctx, kept)
	require.NoError(t, err)
	_, stored := put(t, y, "s", document(t, "s", shows("S again", kept, removed)), fourth)
	require.Equal(t, []string{removed}, stored.Lacks, "who shows it again is told to send it")
}

// What was purged is not in the file either, nor in the one beside it.
func TestNothingOfAPurgedSiteIsLeftInTheFile(t *testing.T) {
	ctx, c, folder := t.Context(), newClock(), t.TempDir()
	y := opened(t, folder, yard.Options{Now: c.time})
	photo := putPhoto(t, y, 200)
	first, _ := put(t, y, "s", document(t, "s", shows("Mill Lane", photo)))
	put(t, y, "s", document(t, "s", shows("Mill Lane 7")), first)
	put(t, y, "t", document(t, "t", shows("Stays")))
	holds := func(words string) bool {
		for _, name := range []string{yard.FileName, yard.FileName + "-wal"} {
			data, err := os.ReadFile(filepath.Join(folder, name))
			require.NoError(t, err)
			if bytes.Contains(data, []byte(words)) || bytes.Contains(bytes.ToLower(data), []byte(words)) {
				return true
			}
		}
		return false
	}
	require.True(t, holds("Mill Lane"))
	_, err := y.DeleteSite(ctx, "", "s")
	require.NoError(t, err)
	c.days(31)
	swept, err := y.Sweep(ctx)
	require.NoError(t, err)
	require.Equal(t, yard.Swept{Sites: 1, Photos: 1}, swept, "a photo of an older version goes with it")
	require.False(t, holds("Mill Lane"))
	require.False(t, holds("mill lane"))
	require.False(t, holds(string(picture(t, 200)[40:80])))
	require.True(t, holds("Stays"))
}
