package yard

import (
	"context"
	"database/sql"
	"errors"
	"io"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
)

// PutInDatabase puts a photo where a server of before put it.
func PutInDatabase(t testing.TB, y *Yard, data []byte) {
	t.Helper()
	store := y.objects
	y.objects = nil
	defer func() { y.objects = store }()
	const piece = 128 << 10
	id := storage.PhotoID(data)
	for at := 0; at < len(data); at += piece {
		_, err := y.PutPiece(t.Context(), "d", id, int64(at), int64(len(data)), data[at:min(at+piece, len(data))])
		require.NoError(t, err)
	}
	require.NoError(t, y.update(t.Context(), func(s session) error { return s.exec("DELETE FROM photo_hashes") }))
}

// CountRows counts the rows of a table.
func CountRows(t testing.TB, y *Yard, table string) (n int) {
	t.Helper()
	require.NoError(t, y.view(t.Context(), func(s session) error { return s.row("SELECT COUNT(*) FROM "+table, nil, &n) }))
	return n
}

// FileRows asks an SQLite file.
func FileRows(t testing.TB, file, query string) (n int) {
	t.Helper()
	db, err := sql.Open("sqlite", "file:"+file+"?mode=ro")
	require.NoError(t, err)
	defer db.Close()
	require.NoError(t, db.QueryRow(query).Scan(&n))
	return n
}

// ObjectKeys lists what stands in the store.
func ObjectKeys(t testing.TB, y *Yard) (keys []string) {
	t.Helper()
	o, err := y.store(t.Context())
	require.NoError(t, err)
	all := o.bucket.List(nil)
	for {
		at, err := all.Next(context.Background())
		if errors.Is(err, io.EOF) {
			return keys
		}
		require.NoError(t, err)
		keys = append(keys, at.Key)
	}
}

// SpoilObject flips a bit of a photo in the store.
func SpoilObject(t testing.TB, y *Yard, id string) { FlipBit(t, y, id, 100) }

// FlipBit flips a bit of a photo, wherever it is.
func FlipBit(t testing.TB, y *Yard, id string, at int64) {
	t.Helper()
	p, err := y.shownPhoto(t.Context(), id)
	require.NoError(t, err)
	if p.pieces {
		require.NoError(t, y.update(t.Context(), func(s session) error {
			var start int64
			var b []byte
			if err := s.row("SELECT start, bytes FROM pieces WHERE photo = ? AND start <= ? ORDER BY start DESC LIMIT 1",
				[]any{id, at}, &start, &b); err != nil {
				return err
			}
			b[at-start] ^= 1
			return s.exec("UPDATE pieces SET bytes = ? WHERE photo = ? AND start = ?", b, id, start)
		}))
		return
	}
	o, err := y.store(t.Context())
	require.NoError(t, err)
	b, err := o.bucket.ReadAll(t.Context(), id)
	require.NoError(t, err)
	b[at] ^= 1
	require.NoError(t, o.bucket.WriteAll(t.Context(), id, b, nil))
}

// What takes the sixth layout's search back.
var Layout6UndoFile, Layout6UndoPostgres = layout6UndoFile, layout6UndoPostgres

// FewFound sets how few sites an index is followed for, and returns what sets it back.
func FewFound(n int) func() {
	was := fewFound
	fewFound = n
	return func() { fewFound = was }
}

// LoseSearch drops what is searched by.
func LoseSearch(t testing.TB, y *Yard) {
	t.Helper()
	require.NoError(t, y.update(t.Context(), func(s session) error { return s.each(y.pick(layout6UndoFile, layout6UndoPostgres)) }))
}

// SpoilSearch has a state and a text not be the sites' any more.
func SpoilSearch(t testing.TB, y *Yard) {
	t.Helper()
	require.NoError(t, y.update(t.Context(), func(s session) error {
		return s.each([]string{"UPDATE sites SET state = 2 - state", "DELETE FROM site_texts WHERE site LIKE '%3'"})
	}))
}

// AsBefore gives a site a new turn as a program of before the seventh layout does: nothing
// is told of its step.
func AsBefore(t testing.TB, y *Yard, site string) {
	t.Helper()
	require.NoError(t, y.update(t.Context(), func(s session) error {
		turn, err := s.turn()
		if err != nil {
			return err
		}
		return s.exec("UPDATE sites SET turn = ? WHERE id = ? AND turn > 0", turn, site)
	}))
}

// SpoilText has the bytes of a revision be others, or puts back the right ones.
func SpoilText(t testing.TB, y *Yard, name storage.Revision, text []byte) {
	t.Helper()
	require.NoError(t, y.update(t.Context(), func(s session) error {
		return s.exec("UPDATE revisions SET text = ? WHERE name = ?", text, string(name))
	}))
}
