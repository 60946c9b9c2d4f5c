package api

import (
	"net/http"
	"os"
	"path/filepath"
	"testing"

	"database/sql"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/replication"
	"pegpour/storage/yard"
)

// flip changes what stands in the database behind the server's back.
func flip(t *testing.T, folder, statement string) {
	t.Helper()
	db, err := sql.Open("sqlite", "file:"+filepath.Join(folder, yard.FileName)+"?_pragma=busy_timeout(5000)")
	require.NoError(t, err)
	defer db.Close()
	_, err = db.Exec(statement)
	require.NoError(t, err)
}

// flipByte changes a byte of a file.
func flipByte(t *testing.T, file string, at int) {
	t.Helper()
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	data[at] ^= 1
	require.NoError(t, os.WriteFile(file, data, 0o600))
}

// A revision of which a bit is flipped in the yard is never handed out; the phone that has
// it puts it right without anybody's doing.
func TestADamagedRevisionIsHealedByThePhone(t *testing.T) {
	folder := t.TempDir()
	y := serveYard(t, folder)
	p := phoneWithSite(t, y)
	head, err := y.yard.Site(t.Context(), p.site)
	require.NoError(t, err)
	whole, _, err := y.yard.Revision(t.Context(), p.site, head.Heads[0])
	require.NoError(t, err)
	for _, statement := range []string{
		"UPDATE revisions SET text = CAST(REPLACE(CAST(text AS TEXT), 'Mill', 'Kill') AS BLOB)",
		"UPDATE revisions SET text = x'00' || text",
	} {
		flip(t, folder, statement)
		second := phoneAt{t: t, store: storage.NewMemory(), line: &movable{to: y}}
		second.restart()
		second.pair()
		var no *replication.AnswerError
		require.ErrorAs(t, second.client.Fetch(t.Context(), p.site), &no, "it is not handed out")
		require.Equal(t, http.StatusServiceUnavailable, no.Status)
		require.Equal(t, "damaged", no.Kind)
		p.sync()
		got, _, err := y.yard.Revision(t.Context(), p.site, head.Heads[0])
		require.NoError(t, err)
		require.Equal(t, string(whole), string(got))
		require.NoError(t, second.client.Fetch(t.Context(), p.site))
		require.Equal(t, replication.InYard, p.status().Sites[p.site].State)
		changes, _, _, err := y.yard.Changes(t.Context(), yard.Device{}, 0, 0)
		require.NoError(t, err)
		require.Empty(t, changes[len(changes)-1].Damaged)
		past, err := y.yard.History(t.Context(), p.site, 0, 0)
		require.NoError(t, err)
		require.Len(t, past, 1, "no second version was made")
	}
}

// A photo that is damaged in the yard is sent again by the phone that has it.
func TestADamagedPhotoIsHealedByThePhone(t *testing.T) {
	folder := t.TempDir()
	y := serveYard(t, folder)
	p := phoneWithSite(t, y)
	file := filepath.Join(folder, yard.PhotosFolder, p.photo)
	flipByte(t, file, 40)
	_, _, err := y.yard.PhotoBytes(t.Context(), p.photo)
	var damaged *yard.DamagedError
	require.ErrorAs(t, err, &damaged)
	require.False(t, y.holdsPhoto(p.photo))
	p.sync()
	require.True(t, y.holdsPhoto(p.photo))
	_, data, err := y.yard.PhotoBytes(t.Context(), p.photo)
	require.NoError(t, err)
	require.Equal(t, p.photo, storage.PhotoID(data))
}

// While a version is damaged, others can still be sent, and are brought together with it
// once it is right again.
func TestADamagedVersionHoldsNobodyUp(t *testing.T) {
	folder := t.TempDir()
	y := serveYard(t, folder)
	text := func(name, client string) []byte {
		d := &storage.Document{ID: "s", Created: "2026-01-01T00:00:00Z", Changed: "2026-01-01T00:00:00Z"}
		d.Survey.Site.Name, d.Survey.Site.Client = name, client
		b, err := storage.Encode(d)
		require.NoError(t, err)
		return b
	}
	put := func(text []byte, parents ...storage.Revision) (storage.Revision, yard.Stored) {
		name := storage.NameRevision(text, parents...)
		s, err := y.yard.PutRevision(t.Context(), "d", "s", name, parents, text)
		require.NoError(t, err)
		return name, s
	}
	root, _ := put(text("A", "B"))
	left := text("A1", "B")
	one, _ := put(left, root)
	flip(t, folder, "UPDATE revisions SET text = CAST(REPLACE(CAST(text AS TEXT), 'A1', 'A2') AS BLOB) WHERE name = '"+string(one)+"'")
	_, s := put(text("A", "B1"), root)
	require.Len(t, s.Heads, 2, "what is damaged is not merged")
	_, _ = put(left, root)
	_, s = put(text("A", "B2"), root)
	require.Less(t, len(s.Heads), 3, "what is right again is")
}
