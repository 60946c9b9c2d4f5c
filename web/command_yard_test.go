package main

import (
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
