package storage_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
)

// A photo that was removed takes its pin and its marks with it; its bytes stay as long
// as that can be undone, and then go.
func TestAPhotoThatNoSiteShowsGoes(t *testing.T) {
	ctx, s := t.Context(), storage.NewMemory()
	now := time.Date(2026, 5, 1, 8, 0, 0, 0, time.UTC)
	days := func(n int) { now = now.AddDate(0, 0, n) }
	sweep := func() int {
		t.Helper()
		n, err := storage.SweepPhotos(ctx, s, now)
		require.NoError(t, err)
		return n
	}
	photo, err := s.PutPhoto(ctx, "image/png", []byte("one"))
	require.NoError(t, err)
	d := storage.NewDocument("2026-01-01T00:00:00Z")
	d.Photos = []storage.Photo{{ID: photo, Pin: &storage.Pin{Chainage: 1},
		Spots: map[string]storage.Spot{"own.1": {U: 1, V: 2}}}}
	l, err := s.Create(ctx, d)
	require.NoError(t, err)
	e, err := storage.RemovePhoto(l.Document, photo)
	require.NoError(t, err)
	require.Zero(t, sweep())
	l, err = s.Commit(ctx, d.ID, e, l.Revision)
	require.NoError(t, err)
	require.Empty(t, l.Document.Photos)
	require.Zero(t, sweep())
	days(29)
	require.Zero(t, sweep())
	l, err = s.Undo(ctx, d.ID)
	require.NoError(t, err)
	require.Equal(t, d.Photos, l.Document.Photos, "with its pin and its marks")
	require.Zero(t, sweep())
	_, err = s.Redo(ctx, d.ID)
	require.NoError(t, err)
	days(29)
	require.Zero(t, sweep(), "it was shown between")
	days(31)
	require.Equal(t, 1, sweep())
	_, _, err = s.Photo(ctx, photo)
	require.ErrorIs(t, err, storage.ErrNotFound)
	left, err := s.Inventory(ctx, "unused/", "photo/", storage.PhotoAway)
	require.NoError(t, err)
	for _, start := range []string{"unused/", "photo/", storage.PhotoAway} {
		require.Empty(t, left.Records(start))
	}
}
