package main

import (
	"database/sql"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/storage/yard"
)

func TestYardCommands(t *testing.T) {
	data := filepath.Join(t.TempDir(), "data")
	code, out, fault := pegpour("", "pair", "-data", data, "-role", "office", "-url", "https://yard.example")
	require.Equal(t, exitDone, code, fault)
	require.Contains(t, out, "█", "a picture to scan")
	require.Contains(t, out, "https://yard.example/office#pair=")
	found := regexp.MustCompile(`(?m)^[2-9A-Z]{5}-[2-9A-Z]{5}$`).FindString(out)
	require.NotEmpty(t, found, out)

	y, err := yard.Open(t.Context(), data, yard.Options{})
	require.NoError(t, err)
	d, token, err := y.Pair(t.Context(), found, "Desk")
	require.NoError(t, err)
	require.Equal(t, yard.Office, d.Role)

	file := filepath.Join(t.TempDir(), "yard.backup")
	code, _, fault = pegpour("", "backup", "-data", data, "-out", file)
	require.Equal(t, exitDone, code, fault)
	require.NoError(t, y.Close())
	fresh := filepath.Join(t.TempDir(), "fresh")
	code, _, fault = pegpour("", "restore", "-data", fresh, "-in", file)
	require.Equal(t, exitDone, code, fault)
	y, err = yard.Open(t.Context(), fresh, yard.Options{})
	require.NoError(t, err)
	defer y.Close()
	_, err = y.Device(t.Context(), token)
	require.NoError(t, err)

	for _, c := range []struct {
		arguments string
		code      int
		says      string
	}{
		{"pair", exitUsage, "-data"},
		{"pair -data x -database postgres://y", exitUsage, "exclude"},
		{"pair -database mysql://y", exitUsage, "postgres://"},
		{"pair -data " + data + " -role king", exitUsage, "king"},
		{"pair -data " + data + " -url yard.example", exitUsage, "https://yard.example"},
		{"backup -data " + data, exitUsage, "-out"},
		{"backup -data " + data + " -out " + file, exitFault, "there already"},
		{"restore -data " + fresh, exitUsage, "-in"},
		{"restore -data " + fresh + " -in " + file, exitFault, "there already"},
		{"serve -addr :0", exitUsage, "-insecure-http"},
		{"serve -addr 0.0.0.0:0", exitUsage, "-insecure-http"},
		{"serve -cert x", exitUsage, "-key"},
	} {
		code, _, fault := pegpour("", strings.Fields(c.arguments)...)
		require.Equal(t, c.code, code, "%s: %s", c.arguments, fault)
		require.Contains(t, fault, c.says)
	}
}

// The check says what would be done to a database, or why it cannot be, and leaves it
// as it is.
func TestCheckSaysWhatWouldBeDone(t *testing.T) {
	folder := t.TempDir()
	code, out, fault := pegpour("", "check", "-data", folder)
	require.Equal(t, exitDone, code, fault)
	require.Contains(t, out, "no yard here yet")
	entries, err := os.ReadDir(folder)
	require.NoError(t, err)
	require.Empty(t, entries)

	text, err := os.ReadFile("../testdata/yards/layout2.sql")
	require.NoError(t, err)
	file := filepath.Join(folder, yard.FileName)
	db, err := sql.Open("sqlite", "file:"+file)
	require.NoError(t, err)
	_, err = db.Exec(string(text))
	require.NoError(t, err)
	require.NoError(t, db.Close())
	was, err := os.ReadFile(file)
	require.NoError(t, err)
	code, out, fault = pegpour("", "check", "-data", folder)
	require.Equal(t, exitDone, code, fault)
	for _, want := range []string{"has layout 2", "yard-layout2-", "Nothing was changed."} {
		require.Contains(t, out, want)
	}
	now, err := os.ReadFile(file)
	require.NoError(t, err)
	require.Equal(t, was, now)

	require.NoError(t, os.WriteFile(file, was[:len(was)/3], 0o600))
	code, _, fault = pegpour("", "check", "-data", folder)
	require.Equal(t, exitFault, code)
	require.Contains(t, fault, "no sound database of a yard")
	code, _, _ = pegpour("", "check")
	require.Equal(t, exitUsage, code)

	fresh := t.TempDir()
	y, err := yard.Open(t.Context(), fresh, yard.Options{})
	require.NoError(t, err)
	require.NoError(t, y.Close())
	_, out, _ = pegpour("", "check", "-data", fresh)
	require.Contains(t, out, "nothing would be changed")
}
