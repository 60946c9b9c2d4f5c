package yard

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/yard/disk"
	"pegpour/storage/yard/yardtest"
)

func TestBackUpSets(t *testing.T) {
	t.Run("sqlite", func(t *testing.T) { backUpSets(t, t.TempDir()) })
	t.Run("postgres", func(t *testing.T) { backUpSets(t, yardtest.Postgres(t)()) })
}

// namesIn lists a folder.
func namesIn(t *testing.T, folder string) (out []string) {
	t.Helper()
	entries, err := os.ReadDir(folder)
	require.NoError(t, err)
	for _, e := range entries {
		out = append(out, e.Name())
	}
	return out
}

func backUpSets(t *testing.T, where string) {
	ctx := t.Context()
	now := time.Date(2026, 5, 1, 8, 0, 0, 0, time.UTC)
	y, err := Open(ctx, where, Options{Now: func() time.Time { return now }, NotDurable: true})
	require.NoError(t, err)
	defer y.Close()
	names, photo := filled(t, y)
	folder := filepath.Join(t.TempDir(), "copies")
	none, err := BackUps(folder)
	require.NoError(t, err)
	require.Empty(t, none)

	first, err := y.BackUpTo(ctx, folder)
	require.NoError(t, err)
	require.Equal(t, "yard-2026-05-01T080000Z.sqlite", first.File)
	require.Equal(t, 1, first.New)
	require.True(t, first.Examined.Sound(), "%v", first.Examined.Findings)
	require.Equal(t, 6, first.Examined.Revisions)
	require.Equal(t, []string{photo}, namesIn(t, filepath.Join(folder, SetPhotos)))
	require.Equal(t, []string{"photos", "server.lock", first.File}, namesIn(t, folder))
	for _, name := range []string{first.File, filepath.Join(SetPhotos, photo)} {
		info, err := os.Stat(filepath.Join(folder, name))
		require.NoError(t, err)
		require.Zero(t, info.Mode().Perm()&0o077, name)
	}

	// Two in one second keep their order.
	again, err := y.BackUpTo(ctx, folder)
	require.NoError(t, err)
	require.Equal(t, "yard-2026-05-01T080001Z.sqlite", again.File)
	require.NoError(t, os.Remove(filepath.Join(folder, again.File)))

	// What is there is not copied again.
	at := filepath.Join(folder, SetPhotos, photo)
	before, err := os.Stat(at)
	require.NoError(t, err)
	now = now.Add(time.Hour)
	second, err := y.BackUpTo(ctx, folder)
	require.NoError(t, err)
	require.Zero(t, second.New)
	require.Equal(t, 1, second.Photos)
	after, err := os.Stat(at)
	require.NoError(t, err)
	require.Equal(t, before.ModTime(), after.ModTime())

	// Restored, in either database, it is the yard of then.
	for _, into := range []string{filepath.Join(t.TempDir(), "fresh"), yardtest.Postgres(t)()} {
		require.NoError(t, Restore(ctx, filepath.Join(folder, second.File), into))
		r, err := Open(ctx, into, Options{Existing: true})
		require.NoError(t, err)
		require.Equal(t, answers(t, y), answers(t, r))
		_, data, err := r.PhotoBytes(ctx, photo)
		require.NoError(t, err)
		require.Equal(t, photo, storage.PhotoID(data))
		e, err := r.Examine(ctx)
		require.NoError(t, err)
		require.NoError(t, e.Err())
		require.NoError(t, r.Close())
	}
	alone := filepath.Join(t.TempDir(), "alone.sqlite")
	require.NoError(t, copyFile(filepath.Join(folder, second.File), alone))
	err = Restore(ctx, alone, filepath.Join(t.TempDir(), "x"))
	require.ErrorContains(t, err, "photos beside it", "the file without its photos is not half restored")

	// A photo that was damaged in the folder is found, and copied anew the next time.
	require.NoError(t, os.WriteFile(at, bytes.Repeat([]byte{7}, int(before.Size())), 0o600))
	now = now.Add(time.Hour)
	_, err = y.BackUpTo(ctx, folder)
	require.ErrorContains(t, err, "was damaged there")
	all, err := BackUps(folder)
	require.NoError(t, err)
	require.Len(t, all, 2, "what is not good is not listed")
	third, err := y.BackUpTo(ctx, folder)
	require.NoError(t, err)
	require.Equal(t, 1, third.New)

	// One that was begun by a server that was killed is cleared away.
	require.NoError(t, os.MkdirAll(filepath.Join(folder, ".part-of-before"), 0o700))
	now = now.Add(time.Hour)
	text := documentOf(t, "a", "Without photos")
	_, err = y.PutRevision(ctx, "d", "a", storage.NameRevision(text, names[2]), names[2:3], text)
	require.NoError(t, err)
	fourth, err := y.BackUpTo(ctx, folder)
	require.NoError(t, err)
	require.NoDirExists(t, filepath.Join(folder, ".part-of-before"))

	// Of the older ones some go, and photos that no other needs.
	orphan := storage.PhotoID([]byte("of a back-up that went"))
	require.NoError(t, os.WriteFile(filepath.Join(folder, SetPhotos, orphan), []byte("x"), 0o600))
	removed, photos, err := PruneBackUps(ctx, folder, 2)
	require.NoError(t, err)
	require.Len(t, removed, 2)
	require.Equal(t, 1, photos)
	all, err = BackUps(folder)
	require.NoError(t, err)
	require.Equal(t, []string{fourth.File, third.File}, []string{all[0].File, all[1].File})
	require.FileExists(t, at)

	// While another makes one, none is made, and none is cleared away.
	held, err := disk.Hold(folder)
	require.NoError(t, err)
	_, err = y.BackUpTo(ctx, folder)
	require.ErrorIs(t, err, ErrBackingUp)
	_, _, err = PruneBackUps(ctx, folder, 1)
	require.ErrorIs(t, err, ErrBackingUp)
	require.NoError(t, held.Release())

	// A damaged yard gives a back-up that says so.
	s := session{y.dialect, ctx, y.writing}
	require.NoError(t, s.exec("UPDATE revisions SET text = ? WHERE name = ?", []byte("x"), string(names[0])))
	require.NoError(t, y.letGo(ctx, photo))
	now = now.Add(time.Hour)
	fifth, err := y.BackUpTo(ctx, folder)
	require.NoError(t, err)
	require.True(t, kinds(fifth.Examined)[DamagedRevision])
}

// What differs between the yard and the restored back-up is no back-up.
func TestBackUpThatDiffersIsNone(t *testing.T) {
	ctx := t.Context()
	y, err := Open(ctx, t.TempDir(), Options{NotDurable: true})
	require.NoError(t, err)
	defer y.Close()
	filled(t, y)
	folder := t.TempDir()
	part := filepath.Join(folder, "part")
	rows, err := y.backUpRows(ctx, part)
	require.NoError(t, err)
	var r BackUpReport
	require.NoError(t, os.MkdirAll(filepath.Join(folder, SetPhotos), 0o700))
	require.NoError(t, y.collectPhotos(ctx, part, filepath.Join(folder, SetPhotos), &r))
	prove := func(second string) error {
		return proveSet(ctx, part, filepath.Join(folder, SetPhotos), filepath.Join(folder, second), rows, &r)
	}
	require.NoError(t, prove("one"))
	copied, err := openFile(ctx, part, Options{NotDurable: true})
	require.NoError(t, err)
	require.NoError(t, session{copied.dialect, ctx, copied.writing}.exec("UPDATE marks SET at = 'x'"))
	require.NoError(t, copied.Close())
	require.ErrorContains(t, prove("two"), "is not what was in the yard")
}
