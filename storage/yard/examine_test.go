package yard

import (
	"bytes"
	"context"
	"database/sql"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/yard/yardtest"
)

// documentOf is a site's document with a name and photos.
func documentOf(t testing.TB, id, name string, photos ...string) []byte {
	t.Helper()
	d := &storage.Document{ID: id, Created: "2026-01-01T00:00:00Z", Changed: "2026-01-01T00:00:00Z"}
	d.Survey.Site.Name = name
	for _, p := range photos {
		d.Photos = append(d.Photos, storage.Photo{ID: p})
	}
	text, err := storage.Encode(d)
	require.NoError(t, err)
	return text
}

func pictureOf(t testing.TB, side int) (id string, data []byte) {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, image.NewGray(image.Rect(0, 0, side, side))))
	return storage.PhotoID(b.Bytes()), b.Bytes()
}

// filled puts into a yard two sites, one of them with three versions and two photos, one
// of which is whole, a mark, a deleted site, and a version that waits.
func filled(t testing.TB, y *Yard) (names []storage.Revision, photo string) {
	t.Helper()
	ctx := context.Background()
	photo, data := pictureOf(t, 40)
	part, partData := pictureOf(t, 41)
	put := func(site string, text []byte, parents ...storage.Revision) storage.Revision {
		name := storage.NameRevision(text, parents...)
		_, err := y.PutRevision(ctx, "d", site, name, parents, text)
		require.NoError(t, err)
		return name
	}
	one := put("a", documentOf(t, "a", "One", photo))
	two := put("a", documentOf(t, "a", "Two", photo), one)
	three := put("a", documentOf(t, "a", "Three", photo, part), two)
	put("b", documentOf(t, "b", "Other"))
	absent := storage.NameRevision([]byte("not here"))
	waiting := put("b", documentOf(t, "b", "Later"), absent)
	put("gone", documentOf(t, "gone", "Gone"))
	_, err := y.PutPiece(ctx, "d", photo, 0, int64(len(data)), data[:30])
	require.NoError(t, err)
	_, err = y.PutPiece(ctx, "d", photo, 30, int64(len(data)), data[30:])
	require.NoError(t, err)
	_, err = y.PutPiece(ctx, "d", part, 0, int64(len(partData)), partData[:20])
	require.NoError(t, err)
	_, err = y.SetMark(ctx, "d", "a", Quoted, nil)
	require.NoError(t, err)
	_, err = y.DeleteSite(ctx, "d", "gone")
	require.NoError(t, err)
	return []storage.Revision{one, two, three, waiting}, photo
}

// kinds lists what was found, each kind once.
func kinds(e Examination) map[string]bool {
	out := map[string]bool{}
	for _, f := range e.Findings {
		out[f.Kind] = true
	}
	return out
}

// TestEachDamageIsFoundAndMended makes each kind of damage in a yard that is sound, has
// it found, and mended where it can be: then the yard answers as it did before.
func TestEachDamageIsFoundAndMended(t *testing.T) {
	t.Run("sqlite", func(t *testing.T) { damages(t, func(t *testing.T) string { return t.TempDir() }) })
	t.Run("postgres", func(t *testing.T) {
		database := yardtest.Postgres(t)
		damages(t, func(*testing.T) string { return database() })
	})
}

// onPostgres are the damages of which finding or mending is another there.
var onPostgres = []string{"heads lost", "parents lost", "count lost", "photo", "part of a photo", "identity", "index",
	"unique index", "pieces of nothing"}

func damages(t *testing.T, where func(*testing.T) string) {
	for _, c := range []struct {
		name    string
		do      []string // %1 the first version of a, %3 its newest, %w the one that waits, %p the photo
		kind    string
		mends   bool
		changes bool // the answers are others after mending, by their nature
	}{
		{"heads lost", []string{"DELETE FROM heads WHERE site = 'a'"}, DamagedHeads, true, false},
		{"head of before", []string{"UPDATE heads SET name = '%1' WHERE site = 'a'"}, DamagedHeads, true, false},
		{"head of nothing", []string{"INSERT INTO heads (site, name) VALUES ('a', 'x')"}, Orphan, true, false},
		{"line", []string{"UPDATE sites SET name = 'Wrong' WHERE id = 'a'"}, DamagedLine, true, false},
		{"step", []string{"UPDATE sites SET far = 4 WHERE id = 'a'"}, DamagedLine, true, false},
		{"search", []string{"UPDATE sites SET search = '' WHERE id = 'a'"}, DamagedLine, true, false},
		{"not in the list", []string{"UPDATE sites SET turn = 0 WHERE id = 'a'"}, DamagedLine, true, false},
		{"line lost", []string{"DELETE FROM sites WHERE id = 'b'"}, DamagedLine, true, false},
		{"line of nothing", []string{"INSERT INTO sites (id, name, address, client, search, created, changed, photos, received, turn)" +
			" VALUES ('none', '', '', '', '', '', '', 0, '', 0)"}, Orphan, true, false},
		{"deleted and listed", []string{"UPDATE sites SET turn = 9999 WHERE id = 'gone'",
			"UPDATE counters SET value = 9999"}, DamagedDeletion, true, false},
		{"parents lost", []string{"DELETE FROM parents WHERE child = '%3'"}, DamagedParents, true, false},
		{"parents wrong", []string{"UPDATE parents SET parent = '%1' WHERE child = '%3'"}, DamagedParents, true, false},
		{"parents of nothing", []string{"INSERT INTO parents (child, parent, site) VALUES ('x', 'y', 'a')"}, Orphan, true, false},
		{"waits for nothing", []string{"UPDATE revisions SET waiting = 1, turn = 0 WHERE name = '%3'",
			"DELETE FROM heads WHERE site = 'a'", "INSERT INTO heads (site, name) SELECT 'a', parent FROM parents WHERE child = '%3'"},
			DamagedWaiting, true, false},
		{"waits and counted", []string{"UPDATE revisions SET turn = 3 WHERE name = '%w'"}, DamagedTurn, true, false},
		{"count behind", []string{"UPDATE counters SET value = 1"}, DamagedTurn, true, false},
		{"count lost", []string{"DELETE FROM counters"}, DamagedTurn, true, false},
		{"shown", []string{"DELETE FROM site_photos"}, DamagedShown, true, false},
		{"shown by nothing", []string{"INSERT INTO site_photos (site, photo) VALUES ('none', '%p')"}, Orphan, true, false},
		{"mark of nothing", []string{"INSERT INTO marks (site, mark, at, device) VALUES ('none', 'quoted', '', '')"}, Orphan, true, false},
		{"pieces of nothing", []string{"INSERT INTO pieces (photo, start, bytes) VALUES ('none', 0, 'x')"}, Orphan, true, false},
		{"photo", []string{"UPDATE pieces SET bytes = 'other' WHERE photo = '%p' AND start = 30"}, DamagedPhoto, true, true},
		{"photo's part lost", []string{"DELETE FROM pieces WHERE photo = '%p' AND start = 0"}, DamagedPhoto, true, true},
		{"part of a photo", []string{"UPDATE photos SET have = 7 WHERE complete = 0"}, DamagedPieces, true, true},
		{"identity", []string{"DELETE FROM identity WHERE name = 'generation'"}, DamagedIdentity, true, false},
		{"index", []string{"DROP INDEX revisions_site"}, DamagedIndex, true, false},
		{"index of steps", []string{"DROP INDEX sites_far"}, DamagedIndex, true, false},
		{"unique index", []string{"DROP INDEX sites_turn"}, DamagedIndex, true, false},
		{"revision", []string{"UPDATE revisions SET text = 'x' WHERE name = '%1'"}, DamagedRevision, false, true},
		{"revision lost", []string{"DELETE FROM revisions WHERE name = '%1'"}, MissingParent, false, true},
		{"revision of another site", []string{"UPDATE revisions SET site = 'b' WHERE name = '%1'",
			"UPDATE parents SET site = 'b' WHERE child = '%1'"}, DamagedForm, false, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			ctx := t.Context()
			place := where(t)
			if IsPostgres(place) && !slices.Contains(onPostgres, c.name) {
				t.Skip("nothing of it differs there")
			}
			y, err := Open(ctx, place, Options{Alone: true, NotDurable: true})
			require.NoError(t, err)
			defer y.Close()
			names, photo := filled(t, y)
			e, err := y.Examine(ctx)
			require.NoError(t, err)
			require.NoError(t, e.Err(), "sound before")
			require.Equal(t, 3, e.Sites)
			require.Equal(t, 6, e.Revisions)
			require.Equal(t, 1, e.Photos)
			before := answers(t, y)

			if onSQLite := y.file != ""; c.kind == DamagedPhoto && onSQLite { // there photos are files
				name := filepath.Join(filepath.Dir(y.file), PhotosFolder, photo)
				if c.do = nil; strings.Contains(c.name, "lost") {
					require.NoError(t, os.Remove(name))
				} else {
					require.NoError(t, os.WriteFile(name, []byte(c.name), 0o600))
				}
			}
			for _, statement := range c.do {
				for from, to := range map[string]string{"%1": string(names[0]), "%3": string(names[2]), "%w": string(names[3]), "%p": photo} {
					statement = string(bytes.ReplaceAll([]byte(statement), []byte(from), []byte(to)))
				}
				require.NoError(t, session{y.dialect, ctx, y.writing}.exec(statement), statement)
			}
			e, err = y.Examine(ctx)
			require.NoError(t, err)
			require.True(t, kinds(e)[c.kind], "%v", e.Findings)
			for _, f := range e.Findings {
				if f.Kind == c.kind {
					require.Equal(t, c.mends, f.Mends, f.Words)
				}
			}
			mended, left, err := y.Repair(ctx)
			require.NoError(t, err)
			require.Equal(t, !c.mends, kinds(left)[c.kind], "%v", left.Findings)
			if c.mends {
				require.NotEmpty(t, mended)
				require.NoError(t, left.Err())
			}
			if !c.changes {
				require.Equal(t, before, answers(t, y))
			}
			again, _, err := y.Repair(ctx)
			require.NoError(t, err)
			require.Empty(t, again, "mended once")
			// It takes what comes.
			text := documentOf(t, "a", "After")
			_, err = y.PutRevision(ctx, "d", "a", storage.NameRevision(text, names[2]), []storage.Revision{names[2]}, text)
			require.NoError(t, err)
		})
	}
}

// answers is what a yard says of its sites, without the numbers of its changes.
func answers(t *testing.T, y *Yard) (out []any) {
	t.Helper()
	ctx := t.Context()
	for _, id := range []string{"a", "b"} {
		s, err := y.Site(ctx, id)
		require.NoError(t, err)
		s.Turn, s.Received, s.Device = 0, "", ""
		past, err := y.History(ctx, id, 0, 0)
		require.NoError(t, err)
		for i := range past {
			past[i].Turn, past[i].Received = 0, ""
		}
		out = append(out, s, past)
	}
	_, err := y.Site(ctx, "gone")
	var gone *GoneError
	require.ErrorAs(t, err, &gone)
	return out
}

// An index that lacks what its table has is made anew.
func TestIndexThatDoesNotFitIsMended(t *testing.T) {
	ctx, folder := t.Context(), t.TempDir()
	y, err := Open(ctx, folder, Options{NotDurable: true})
	require.NoError(t, err)
	filled(t, y)
	require.NoError(t, y.Close())
	db, err := sql.Open("sqlite", filepath.Join(folder, FileName))
	require.NoError(t, err)
	for _, statement := range []string{"PRAGMA writable_schema = ON", "CREATE TABLE kept AS SELECT * FROM sqlite_master",
		"DELETE FROM sqlite_master WHERE name = 'parents_site'"} {
		_, err = db.Exec(statement)
		require.NoError(t, err)
	}
	require.NoError(t, db.Close())
	db, err = sql.Open("sqlite", filepath.Join(folder, FileName)) // it knows the index no more
	require.NoError(t, err)
	for _, statement := range []string{"DELETE FROM parents WHERE child IN (SELECT child FROM parents WHERE site = 'a' LIMIT 1)",
		"PRAGMA writable_schema = ON", "INSERT INTO sqlite_master SELECT * FROM kept WHERE name = 'parents_site'", "DROP TABLE kept"} {
		_, err = db.Exec(statement)
		require.NoError(t, err)
	}
	require.NoError(t, db.Close())
	y, err = Open(ctx, folder, Options{Alone: true, NotDurable: true})
	require.NoError(t, err)
	defer y.Close()
	e, err := y.Examine(ctx)
	require.NoError(t, err)
	require.True(t, kinds(e)[DamagedIndex], "%v", e.Findings)
	_, left, err := y.Repair(ctx)
	require.NoError(t, err)
	require.NoError(t, left.Err())
}

// What SQLite cannot read any more is said, and left as it is.
func TestDamagedFileIsSaid(t *testing.T) {
	ctx, folder := t.Context(), t.TempDir()
	y, err := Open(ctx, folder, Options{NotDurable: true})
	require.NoError(t, err)
	filled(t, y)
	require.NoError(t, y.Close())
	file := filepath.Join(folder, FileName)
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	found := 0
	for page := 2; page*4096 < len(data); page++ {
		damaged := bytes.Clone(data)
		copy(damaged[page*4096:], bytes.Repeat([]byte{0xff}, 600))
		require.NoError(t, os.WriteFile(file, damaged, 0o600))
		y, err := Open(ctx, folder, Options{NotDurable: true})
		if err != nil {
			found++
			continue
		}
		e, err := y.Examine(ctx)
		if err != nil || !e.Sound() {
			found++
		}
		require.NoError(t, y.Close())
		require.NoError(t, errRemove(file+"-wal", file+"-shm"))
	}
	require.Equal(t, len(data)/4096-2, found, "each damaged page is found")
}

func errRemove(names ...string) error {
	for _, n := range names {
		if err := os.Remove(n); err != nil && !os.IsNotExist(err) {
			return err
		}
	}
	return nil
}
