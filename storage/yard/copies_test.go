package yard_test

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/yard"
)

func backUp(t *testing.T, open func(yard.Options) *yard.Yard) {
	y := open(yard.Options{})
	ctx := t.Context()
	a, _ := put(t, y, "s", document(t, "s", named("N")))
	data := picture(t, 20)
	_, err := y.PutPiece(ctx, "d", storage.PhotoID(data), 0, int64(len(data)), data)
	require.NoError(t, err)
	code, _, err := y.NewCode(ctx, yard.Crew)
	require.NoError(t, err)
	_, token, err := y.Pair(ctx, code, "Phone")
	require.NoError(t, err)

	file := filepath.Join(t.TempDir(), "back up.sqlite")
	stop := make(chan struct{})
	ended := make(chan struct{})
	go func() { // while running
		defer close(ended)
		for n := 0; ; n++ {
			select {
			case <-stop:
				return
			default:
				text := document(t, "busy",
					func(d *storage.Document) { d.Notes = []storage.Note{{ID: string(rune('a' + n%26)), Text: "x"}} })
				_, _ = y.PutRevision(ctx, "d", "busy", storage.NameRevision(text), nil, text)
			}
		}
	}()
	err = y.BackUp(ctx, file)
	close(stop)
	<-ended
	require.NoError(t, err)
	require.Error(t, y.BackUp(ctx, file), "nothing is written over")

	folder := filepath.Join(t.TempDir(), "new")
	require.NoError(t, yard.Restore(ctx, file, folder))
	require.Error(t, yard.Restore(ctx, file, folder))
	r := opened(t, folder, yard.Options{})
	_, _, err = r.Revision(ctx, "s", a)
	require.NoError(t, err)
	_, got, err := r.PhotoBytes(ctx, storage.PhotoID(data))
	require.NoError(t, err)
	require.Equal(t, data, got)
	_, err = r.Device(ctx, token)
	require.NoError(t, err)

	plain := filepath.Join(t.TempDir(), "plain.sqlite")
	require.NoError(t, y.BackUpWithoutKeys(ctx, plain))
	folder = filepath.Join(t.TempDir(), "plain")
	require.NoError(t, yard.Restore(ctx, plain, folder))
	r = opened(t, folder, yard.Options{})
	_, err = r.Device(ctx, token)
	require.ErrorIs(t, err, yard.ErrRefused)

	whole, err := os.ReadFile(file)
	require.NoError(t, err)
	require.NotContains(t, string(whole), token, "no key in the file")
	require.NotContains(t, string(whole), code)
	for name, content := range map[string][]byte{"short": whole[:len(whole)/2], "text": []byte("not a database at all"),
		"empty": nil} {
		bad := filepath.Join(t.TempDir(), name)
		require.NoError(t, os.WriteFile(bad, content, 0o600))
		require.Error(t, yard.Restore(ctx, bad, filepath.Join(t.TempDir(), "x")), name)
	}
}

// bothWays carries a yard from PostgreSQL to SQLite and back.
func bothWays(t *testing.T, database func() string) {
	ctx := t.Context()
	y := opened(t, database(), yard.Options{})
	a, _ := put(t, y, "s", document(t, "s", named("N")))
	file := filepath.Join(t.TempDir(), "b.sqlite")
	require.NoError(t, y.BackUp(ctx, file))
	to := database()
	require.NoError(t, yard.Restore(ctx, file, to))
	r := opened(t, to, yard.Options{})
	want, err := y.Sites(ctx, yard.Query{})
	require.NoError(t, err)
	got, err := r.Sites(ctx, yard.Query{})
	require.NoError(t, err)
	require.Equal(t, want, got)
	b, s := put(t, r, "s", document(t, "s", named("M")), a)
	require.Equal(t, []storage.Revision{b}, s.Heads)
	require.Error(t, yard.Restore(ctx, file, to), "not into one that holds something")
}

// faults stops a change at each of its points: before the commit nothing was
// done, after it everything, and doing it again is right in either case.
func faults(t *testing.T, open func(yard.Options) *yard.Yard) {
	broken := errors.New("broken")
	at := ""
	y := open(yard.Options{Fault: func(point string) error {
		if point == at {
			return broken
		}
		return nil
	}})
	for _, point := range []string{"begin", "commit", "committed"} {
		text := document(t, point, named(point))
		name := storage.NameRevision(text)
		at = point
		_, err := y.PutRevision(t.Context(), "d", point, name, nil, text)
		require.ErrorIs(t, err, broken)
		at = ""
		_, _, err = y.Revision(t.Context(), point, name)
		require.Equal(t, point == "committed", err == nil)
		_, s := put(t, y, point, text)
		require.Equal(t, []storage.Revision{name}, s.Heads)
	}
}

func TestSQLiteFullDisk(t *testing.T) {
	folder := t.TempDir()
	y := opened(t, folder, yard.Options{MaxPages: 110})
	var kept []storage.Revision
	var parents []storage.Revision
	for n := range 100 {
		text := document(t, "s", func(d *storage.Document) {
			d.Survey.Site.Name = string(bytes.Repeat([]byte{byte('a' + n%26)}, 4000))
		})
		name := storage.NameRevision(text, parents...)
		if _, err := y.PutRevision(t.Context(), "d", "s", name, parents, text); err != nil {
			require.ErrorContains(t, err, "full")
			break
		}
		kept, parents = append(kept, name), []storage.Revision{name}
	}
	require.NotEmpty(t, kept)
	require.Less(t, len(kept), 100)
	require.NoError(t, y.Close())
	y = opened(t, folder, yard.Options{})
	for _, name := range kept {
		_, _, err := y.Revision(t.Context(), "s", name)
		require.NoError(t, err, "what was acknowledged is here")
	}
}
