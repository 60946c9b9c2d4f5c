package main

import (
	"bytes"
	"database/sql"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/yard"
)

func TestDeletingByCommand(t *testing.T) {
	data := filepath.Join(t.TempDir(), "data")
	y, err := yard.Open(t.Context(), data, yard.Options{})
	require.NoError(t, err)
	d := storage.NewDocument("2026-01-01T00:00:00Z")
	d.Survey.Site.Name = "Mill Lane"
	text, err := storage.Encode(d)
	require.NoError(t, err)
	_, err = y.PutRevision(t.Context(), "d", d.ID, storage.NameRevision(text), nil, text)
	require.NoError(t, err)
	code, _, err := y.NewCode(t.Context(), yard.Crew)
	require.NoError(t, err)
	phone, _, err := y.Pair(t.Context(), code, "Ute's phone")
	require.NoError(t, err)
	require.NoError(t, y.Close())

	run := func(arguments string) string {
		t.Helper()
		code, out, fault := pegpour("", append(strings.Fields(arguments), "-data", data)...)
		require.Equal(t, exitDone, code, fault)
		return out
	}
	require.Contains(t, run("sites -search mill"), d.ID+"  Mill Lane")
	require.Contains(t, run("sites"), ": new\n")
	db, err := sql.Open("sqlite", "file:"+filepath.Join(data, yard.FileName))
	require.NoError(t, err)
	_, err = db.Exec("UPDATE sites SET far_turn = 0") // as after the layout was changed
	require.NoError(t, errors.Join(err, db.Close()))
	require.Contains(t, run("sites"), ": unknown\n")
	require.Empty(t, run("sites -far poured"))
	require.Contains(t, run("sites -far new"), d.ID)
	file := filepath.Join(t.TempDir(), "site.pegpour-backup")
	require.Empty(t, run("export -site "+d.ID+" -out "+file))
	text, err = os.ReadFile(file)
	require.NoError(t, err)
	again := storage.NewMemory()
	report, err := again.RestoreBackUp(t.Context(), bytes.NewReader(text), storage.KeepHere)
	require.NoError(t, err)
	require.True(t, report.Complete)
	loaded, err := again.Load(t.Context(), d.ID)
	require.NoError(t, err)
	require.Equal(t, "Mill Lane", loaded.Document.Survey.Site.Name)

	require.Contains(t, run("delete -site "+d.ID), "brings it back until")
	require.Empty(t, run("sites"))
	require.Contains(t, run("deleted"), "Mill Lane")
	run("deleted -bring-back " + d.ID)
	require.Contains(t, run("sites"), "Mill Lane")
	run("delete -site " + d.ID)
	require.Contains(t, run("sweep"), "0 sites")
	require.Contains(t, run("rules -keep-deleted-days 0"), ": 0")
	require.Contains(t, run("sweep"), "1 sites")
	require.NotContains(t, run("deleted"), "Mill Lane")
	require.Contains(t, run("deleted"), d.ID)

	require.Contains(t, run("limits"), "yard-sites: 200000\n")
	require.Contains(t, run("limits -device-sites 7 -yard-megabytes 0"), "device-sites: 7\n")
	require.Contains(t, run("limits"), "yard-megabytes: 0\n")
	require.Contains(t, run("devices"), "Ute's phone")
	run("devices -withdraw " + phone.ID)
	require.Contains(t, run("devices"), "shut out")
	run("devices -forget " + phone.ID)
	require.Empty(t, run("devices"))

	for arguments, says := range map[string]string{
		"delete":                         "-site",
		"export":                         "-out",
		"export -site none -out " + file: "nothing is kept",
		"limits -yard-sites 2000000000":  "a limit is a number",
		"delete -site " + d.ID:           "deleted in the yard",
		"delete -site none":              "nothing is kept",
		"deleted -bring-back none":       "nothing is kept",
		"deleted -bring-back " + d.ID:    "deleted in the yard",
		"devices -forget none":           "nothing is kept",
		"rules -keep-deleted-days 400":   "365",
	} {
		code, _, fault := pegpour("", append(strings.Fields(arguments), "-data", data)...)
		require.NotEqual(t, exitDone, code, arguments)
		require.Contains(t, fault, says)
	}
}

func TestAPersonByCommand(t *testing.T) {
	data := filepath.Join(t.TempDir(), "data")
	y, err := yard.Open(t.Context(), data, yard.Options{})
	require.NoError(t, err)
	for range 2 {
		d := storage.NewDocument("2026-01-01T00:00:00Z")
		d.Survey.Site.Name, d.Survey.Site.Client = "Mill Lane", "Ms. Hill"
		text, err := storage.Encode(d)
		require.NoError(t, err)
		_, err = y.PutRevision(t.Context(), "d", d.ID, storage.NameRevision(text), nil, text)
		require.NoError(t, err)
	}
	require.NoError(t, y.Close())
	run := func(arguments ...string) string {
		t.Helper()
		code, out, fault := pegpour("", append([]string{"person", "-data", data, "-name", "ms. hill"}, arguments...)...)
		require.Equal(t, exitDone, code, fault)
		return out
	}
	file := filepath.Join(t.TempDir(), "held.json")
	require.Equal(t, 2, strings.Count(run("-out", file), "/survey/site/client"))
	held, err := os.ReadFile(file)
	require.NoError(t, err)
	require.Contains(t, string(held), "Ms. Hill")
	require.Contains(t, run("-blank"), "without the person it is")
	require.Empty(t, run())
	code, out, _ := pegpour("", "sites", "-data", data)
	require.Equal(t, exitDone, code)
	require.Equal(t, 2, strings.Count(out, "Mill Lane"))
	code, _, fault := pegpour("", "person", "-data", data)
	require.Equal(t, exitUsage, code)
	require.Contains(t, fault, "-name")
}
