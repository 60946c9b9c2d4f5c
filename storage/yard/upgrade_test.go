package yard_test

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage/yard"
	"pegpour/storage/yard/yardtest"
)

var springDay = func() time.Time { return time.Date(2026, 5, 1, 10, 15, 0, 0, time.UTC) }

// inFolder is every file of a folder with the hash of its bytes.
func inFolder(t *testing.T, folder string) map[string][32]byte {
	t.Helper()
	files, err := os.ReadDir(folder)
	require.NoError(t, err)
	all := map[string][32]byte{}
	for _, f := range files {
		data, err := os.ReadFile(filepath.Join(folder, f.Name()))
		require.NoError(t, err)
		all[f.Name()] = sha256.Sum256(data)
	}
	return all
}

// asServed puts a stored yard into the state in which a server left it.
func asServed(t *testing.T, folder string, statements ...string) {
	t.Helper()
	db, err := sql.Open("sqlite", "file:"+filepath.Join(folder, yard.FileName))
	require.NoError(t, err)
	for _, s := range append([]string{"PRAGMA journal_mode(WAL)"}, statements...) {
		_, err = db.Exec(s)
		require.NoError(t, err)
	}
	require.NoError(t, db.Close())
}

func layoutOf(t *testing.T, file string) (version int) {
	t.Helper()
	db, err := sql.Open("sqlite", "file:"+file+"?mode=ro&immutable=1")
	require.NoError(t, err)
	defer db.Close()
	require.NoError(t, db.QueryRow("SELECT MAX(version) FROM layout").Scan(&version))
	return version
}

// Before a database of an older layout is changed it is copied beside itself, whole and
// read again; the copy is a yard that can be restored. A look alone changes nothing.
func TestAnOlderYardIsCopiedBeforeItIsChanged(t *testing.T) {
	for layout := 1; layout <= 2; layout++ {
		folder, token := storedYard(t, layout)
		asServed(t, folder)
		was := inFolder(t, folder)
		u, err := yard.CheckUpgrade(t.Context(), folder, yard.Options{Now: springDay})
		require.NoError(t, err)
		require.True(t, u.Due())
		require.Equal(t, layout, u.From)
		require.Positive(t, u.Needs)
		require.Equal(t, was, inFolder(t, folder), "a look changes nothing")

		y := opened(t, folder, yard.Options{NotDurable: true, Now: springDay})
		require.NoError(t, y.Close())
		require.Equal(t, layout, layoutOf(t, u.BackUp))
		require.Equal(t, u.To, layoutOf(t, filepath.Join(folder, yard.FileName)))
		kept := len(inFolder(t, folder))
		y = opened(t, folder, yard.Options{NotDurable: true})
		require.NoError(t, y.Close())
		require.Len(t, inFolder(t, folder), kept, "what is up to date is not copied")

		restored := filepath.Join(t.TempDir(), "restored")
		require.NoError(t, yard.Restore(t.Context(), u.BackUp, restored))
		_, err = opened(t, restored, yard.Options{NotDurable: true}).Device(t.Context(), token)
		require.NoError(t, err)
	}
}

// What was written last before the server was killed is in the copy too.
func TestWhatIsNotFoldedInYetIsCopied(t *testing.T) {
	folder, _ := storedYard(t, 2)
	db, err := sql.Open("sqlite", "file:"+filepath.Join(folder, yard.FileName)+"?_pragma=journal_mode(WAL)")
	require.NoError(t, err)
	_, err = db.Exec("INSERT INTO sites SELECT 'late', name, address, client, search, created, changed, 0, received, 900, '', '' FROM sites LIMIT 1")
	require.NoError(t, err)
	killed := t.TempDir() // as a kill leaves it: what is written stands beside the database
	for name := range inFolder(t, folder) {
		data, err := os.ReadFile(filepath.Join(folder, name))
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(killed, name), data, 0o600))
	}
	require.NoError(t, db.Close())
	u, err := yard.CheckUpgrade(t.Context(), killed, yard.Options{Now: springDay})
	require.NoError(t, err)
	require.NoError(t, opened(t, killed, yard.Options{NotDurable: true, Now: springDay}).Close())
	copied, err := sql.Open("sqlite", "file:"+u.BackUp)
	require.NoError(t, err)
	defer copied.Close()
	var late int
	require.NoError(t, copied.QueryRow("SELECT COUNT(*) FROM sites WHERE id = 'late'").Scan(&late))
	require.Equal(t, 1, late)
}

// A database that cannot be brought up to date is left as it is, to the byte.
func TestARefusedUpgradeChangesNothing(t *testing.T) {
	for name, c := range map[string]struct {
		prepare func(folder string)
		options yard.Options
		want    error
	}{
		"newer": {func(folder string) { asServed(t, folder, "INSERT INTO layout VALUES (99)") }, yard.Options{}, yard.ErrNewer},
		"no room": {func(folder string) { asServed(t, folder) },
			yard.Options{Room: func(string) int64 { return 1000 }}, yard.ErrNoRoom},
		"damaged": {func(folder string) {
			asServed(t, folder)
			file := filepath.Join(folder, yard.FileName)
			data, err := os.ReadFile(file)
			require.NoError(t, err)
			for i := 3 * 4096; i < 12*4096 && i < len(data); i++ {
				data[i] ^= 0x5a
			}
			require.NoError(t, os.WriteFile(file, data, 0o600))
		}, yard.Options{}, yard.ErrNoYard},
		"cut short": {func(folder string) {
			asServed(t, folder)
			file := filepath.Join(folder, yard.FileName)
			data, err := os.ReadFile(file)
			require.NoError(t, err)
			require.NoError(t, os.WriteFile(file, data[:len(data)/2], 0o600))
		}, yard.Options{}, yard.ErrNoYard},
		"no database": {func(folder string) {
			require.NoError(t, os.WriteFile(filepath.Join(folder, yard.FileName), []byte(strings.Repeat("a letter ", 1000)), 0o600))
		}, yard.Options{}, yard.ErrNoYard},
		"of another program": {func(folder string) {
			asServed(t, folder, "DROP TABLE layout")
		}, yard.Options{}, yard.ErrNoYard},
	} {
		t.Run(name, func(t *testing.T) {
			folder, _ := storedYard(t, 2)
			c.prepare(folder)
			was := inFolder(t, folder)
			_, err := yard.CheckUpgrade(t.Context(), folder, c.options)
			require.ErrorIs(t, err, c.want)
			require.Equal(t, was, inFolder(t, folder))
			_, err = yard.Open(t.Context(), folder, c.options)
			require.ErrorIs(t, err, c.want)
			require.Equal(t, was, inFolder(t, folder))
		})
	}
}

// A change that breaks off leaves the database as it was, with its copy beside it, and
// is made the next time.
func TestAnUpgradeThatBreaksOffLeavesAllAsItWas(t *testing.T) {
	folder, token := storedYard(t, 1)
	asServed(t, folder)
	file := filepath.Join(folder, yard.FileName)
	was := inFolder(t, folder)[yard.FileName]
	_, err := yard.Open(t.Context(), folder, yard.Options{Now: springDay, Fault: func(point string) error {
		if point == "commit" {
			return errors.New("broken")
		}
		return nil
	}})
	require.ErrorContains(t, err, "broken")
	require.Equal(t, was, inFolder(t, folder)[yard.FileName])
	require.Equal(t, 1, layoutOf(t, file))
	stopped, stop := context.WithCancel(t.Context())
	stop()
	_, err = yard.Open(stopped, folder, yard.Options{})
	require.Error(t, err)
	require.Equal(t, 1, layoutOf(t, file))
	_, err = opened(t, folder, yard.Options{}).Device(t.Context(), token)
	require.NoError(t, err)
}

// In PostgreSQL the tables are copied in the transaction that changes them.
func TestPostgresIsCopiedInTheSameTransaction(t *testing.T) {
	address := yardtest.Postgres(t)()
	y := opened(t, address, yard.Options{NotDurable: true})
	put(t, y, "s", document(t, "s", named("N")))
	require.NoError(t, y.Close())
	db, err := sql.Open("pgx", address)
	require.NoError(t, err)
	defer db.Close()
	count := func(query string) (n int) {
		t.Helper()
		require.NoError(t, db.QueryRow(query).Scan(&n))
		return n
	}
	newest := count("SELECT MAX(version) FROM layout")
	for _, statement := range append(append(undoSearchPostgres, undoPeople...), // as the second layout was
		"DELETE FROM layout WHERE version > 2", "DROP TABLE identity", "DROP TABLE deletions",
		"DROP TABLE site_photos", "ALTER TABLE photos DROP COLUMN unused", "DROP TABLE rules",
		"DROP INDEX audit_hour", "ALTER TABLE audit DROP COLUMN hour", "ALTER TABLE audit DROP COLUMN times",
		"ALTER TABLE photos DROP COLUMN stored", "ALTER TABLE photos DROP COLUMN damaged", "DROP TABLE photo_hashes",
		"DROP INDEX photos_in_pieces", "ALTER TABLE revisions DROP COLUMN damaged", "ALTER TABLE sites DROP COLUMN noted",
	) {
		_, err = db.Exec(statement)
		require.NoError(t, err)
	}
	const copies = "SELECT COUNT(*) FROM pg_tables WHERE tablename LIKE 'layout2\\_%'"
	u, err := yard.CheckUpgrade(t.Context(), address, yard.Options{Now: springDay})
	require.NoError(t, err)
	require.Equal(t, yard.Upgrade{From: 2, To: newest, BackUp: "layout2_20260501101500_"}, u)
	require.Zero(t, count(copies), "a look changes nothing")
	_, err = yard.Open(t.Context(), address, yard.Options{Now: springDay, Fault: func(point string) error {
		if point == "commit" {
			return errors.New("broken")
		}
		return nil
	}})
	require.ErrorContains(t, err, "broken")
	require.Zero(t, count(copies))
	require.Equal(t, 2, count("SELECT MAX(version) FROM layout"))
	require.NoError(t, opened(t, address, yard.Options{Now: springDay}).Close())
	require.Equal(t, newest, count("SELECT MAX(version) FROM layout"))
	require.Equal(t, 1, count("SELECT COUNT(*) FROM layout2_20260501101500_revisions"))
	require.Equal(t, 2, count("SELECT MAX(version) FROM layout2_20260501101500_layout"))
	_, err = db.Exec("INSERT INTO layout VALUES (99)")
	require.NoError(t, err)
	_, err = yard.CheckUpgrade(t.Context(), address, yard.Options{})
	require.ErrorIs(t, err, yard.ErrNewer)
}
