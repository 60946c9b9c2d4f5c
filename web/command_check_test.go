package main

import (
	"database/sql"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/yard"
	"pegpour/web/api/apitest"
)

// someYard makes a yard with sites, and returns its folder.
func someYard(t testing.TB, sites ...string) (folder string) {
	t.Helper()
	folder = filepath.Join(t.TempDir(), "data")
	y, err := yard.Open(t.Context(), folder, yard.Options{NotDurable: true})
	require.NoError(t, err)
	for _, id := range sites {
		text := apitest.SiteBytes(t, id, "Site "+id)
		_, err := y.PutRevision(t.Context(), "d", id, storage.NameRevision(text), nil, text)
		require.NoError(t, err)
	}
	require.NoError(t, y.Close())
	return folder
}

// inYard runs a statement in a yard's database.
func inYard(t testing.TB, folder, statement string) {
	t.Helper()
	db, err := sql.Open("sqlite", filepath.Join(folder, yard.FileName))
	require.NoError(t, err)
	_, err = db.Exec(statement)
	require.NoError(t, err)
	require.NoError(t, db.Close())
}

func TestCheckFindsAndRepairMends(t *testing.T) {
	data := someYard(t, "a", "b")
	code, out, fault := pegpour("", "check", "-data", data)
	require.Equal(t, exitDone, code, fault)
	require.Contains(t, out, "Looked through: 2 sites, 2 versions, 0 photos.\nAll of it is sound.")
	code, out, _ = pegpour("", "repair", "-data", data)
	require.Equal(t, exitDone, code)
	require.Contains(t, out, "nothing to mend")

	inYard(t, data, "DELETE FROM heads WHERE site = 'a'")
	was := readFile(t, filepath.Join(data, yard.FileName))
	before := names(t, data)
	code, out, fault = pegpour("", "check", "-data", data)
	require.Equal(t, exitFault, code)
	require.Contains(t, out, "heads     a: site a:")
	require.Contains(t, out, "(can be mended)")
	require.Contains(t, out, "Nothing was changed.")
	require.Contains(t, fault, "the yard is damaged")
	require.Equal(t, was, readFile(t, filepath.Join(data, yard.FileName)))
	require.Equal(t, before, names(t, data))

	file := filepath.Join(t.TempDir(), "copy")
	code, out, _ = pegpour("", "backup", "-data", data, "-out", file)
	require.Equal(t, exitFault, code, "a back-up of a damaged yard is no success")
	require.Contains(t, out, "not sound")
	require.FileExists(t, file, "and it is kept all the same")

	code, out, fault = pegpour("", "repair", "-data", data)
	require.Equal(t, exitDone, code, fault)
	require.Contains(t, out, "What was is in "+filepath.Join(data, "before-repair-"))
	require.Contains(t, out, "Mended: 1.")
	require.Contains(t, out, "All of it is sound now.")
	code, _, fault = pegpour("", "check", "-data", data)
	require.Equal(t, exitDone, code, fault)

	inYard(t, data, "UPDATE revisions SET text = 'x' WHERE site = 'b'")
	code, out, _ = pegpour("", "repair", "-data", data, "-before", filepath.Join(t.TempDir(), "was"))
	require.Equal(t, exitFault, code)
	require.Contains(t, out, "Left as it is: 1.")
	require.Contains(t, out, "cannot be mended")
	code, out, fault = pegpour("", "check", "-quick", "-data", data)
	require.Equal(t, exitDone, code, fault)
	require.NotContains(t, out, "Looked through")
}

func TestRepairWantsTheYardForItself(t *testing.T) {
	data := someYard(t, "a")
	s := startServer(t, "-data", data)
	code, _, fault := pegpour("", "repair", "-data", data)
	require.Equal(t, exitFault, code)
	require.Contains(t, fault, "another server uses this folder")
	code, out, fault := pegpour("", "check", "-data", data)
	require.Equal(t, exitDone, code, fault)
	require.Contains(t, out, "All of it is sound.", "it may look while the server runs")
	require.NoError(t, s.Process.Kill())
}

// A file of which SQLite finds that it is damaged gives no back-up.
func TestDamagedFileGivesNoBackUp(t *testing.T) {
	data := someYard(t, "a", "b")
	file := filepath.Join(data, yard.FileName)
	b, err := os.ReadFile(file)
	require.NoError(t, err)
	for page := 2; page*4096 < len(b); page++ {
		copy(b[page*4096:], make([]byte, 700))
	}
	require.NoError(t, os.WriteFile(file, b, 0o600))
	to := filepath.Join(t.TempDir(), "copy")
	code, _, fault := pegpour("", "backup", "-data", data, "-out", to)
	require.Equal(t, exitFault, code)
	require.NotEmpty(t, fault)
	require.NoFileExists(t, to)
}

func TestVersionIsSaid(t *testing.T) {
	code, out, fault := pegpour("", "version")
	require.Equal(t, exitDone, code, fault)
	require.Regexp(t, `(?m)^module    pegpour`, out)
	require.Regexp(t, `(?m)^source    \S+`, out)
	require.Regexp(t, `(?m)^layout    \d+ of the database`, out)
	require.Regexp(t, `(?m)^protocol  v1$`, out)
}
