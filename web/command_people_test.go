package main

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/yard"
)

// Whatever the office can do about people, crews, machines, webhooks and the shop's
// rules the command line can.
func TestPeopleByCommand(t *testing.T) {
	data := filepath.Join(t.TempDir(), "data")
	y, err := yard.Open(t.Context(), data, yard.Options{})
	require.NoError(t, err)
	d := storage.NewDocument("2026-01-01T00:00:00Z")
	text, err := storage.Encode(d)
	require.NoError(t, err)
	_, err = y.PutRevision(t.Context(), "d", d.ID, storage.NameRevision(text), nil, text)
	require.NoError(t, err)
	require.NoError(t, y.Close())
	run := func(arguments ...string) string {
		t.Helper()
		code, out, fault := pegpour("", append(arguments, "-data", data)...)
		require.Equal(t, exitDone, code, fault)
		return out
	}
	words := func(line string) []string { return strings.Fields(line) }

	ute := words(run("users", "-add", "Ute Berg", "-email", "ute@shop.example", "-role", "office"))[0]
	require.Contains(t, run("users", "-change", ute, "-role", "reader"), "reader")
	require.Contains(t, run("users", "-withdraw", ute), "shut out since")
	require.Contains(t, run("users", "-again", ute), "0 devices")
	require.Contains(t, run("pair", "-person", ute, "-crew", "North"), "until")

	run("crews", "-site", d.ID, "-crew", "North,South")
	require.Contains(t, run("crews"), "South")
	require.Contains(t, run("crews", "-site", d.ID), "(no crew)")
	require.Contains(t, run("rules", "-crews-apart", "1"), "crews-apart: 1")

	key := strings.TrimSpace(run("machines", "-add", "Accounts", "-scope", "read,mark"))
	require.Greater(t, len(key), 40)
	require.Contains(t, run("machines"), "mark,read")
	machine := words(run("machines"))[0]
	run("crews", "-device", machine, "-crew", "North")
	run("devices", "-withdraw", machine)
	require.Empty(t, run("machines"))

	require.True(t, strings.HasPrefix(run("webhooks", "-add", "https://accounts.example/hook", "-kinds", "site.marked"), "whsec_"))
	hook := words(run("webhooks"))[0]
	run("webhooks", "-pause", hook)
	require.Contains(t, run("webhooks"), "paused")
	run("webhooks", "-resume", hook)
	require.Empty(t, run("webhooks", "-dead", hook))
	run("webhooks", "-delete", hook)
	require.Empty(t, run("webhooks"))

	require.Contains(t, run("shop-rules", "-set", "strip.width=700"), "strip.width: 700")
	require.NotContains(t, run("shop-rules", "-set", "strip.width="), "strip.width")
	require.Contains(t, run("shop-rules", "-history"), "700 → default, by the command line")

	for arguments, says := range map[string]string{
		"users -add x -role king":        "role",
		"users -withdraw none":           "nothing is kept",
		"pair -person none":              "nothing is kept",
		"pair -role king":                "reader",
		"crews -site none":               "nothing is kept",
		"crews -device none -crew x":     "nothing is kept",
		"machines -add x -scope all":     "read, write",
		"webhooks -add ftp://x":          "https",
		"webhooks -send-again none":      "nothing is kept",
		"webhooks -dead none":            "nothing is kept",
		"shop-rules -set no.rule=1":      "no rule",
		"shop-rules -set strip.width=x":  "no number",
		"shop-rules -set strip.width=-1": "strip",
	} {
		code, _, fault := pegpour("", append(strings.Fields(arguments), "-data", data)...)
		require.NotEqual(t, exitDone, code, arguments)
		require.Contains(t, strings.ToLower(fault), says, arguments)
	}
}

func TestSignInSettingsAreChecked(t *testing.T) {
	for _, arguments := range []string{
		"-sign-in-issuer https://id.example",
		"-sign-in-issuer https://id.example -sign-in-client y -sign-in-address yard",
		"-sign-in-issuer https://id.example -sign-in-client y -sign-in-address https://yard.example -sign-in-allow king=@x",
		"-sign-in-issuer https://id.example -sign-in-client y -sign-in-address https://yard.example -sign-in-secret-file /none",
	} {
		code, _, fault := pegpour("", append(strings.Fields("serve -addr localhost:0 "+arguments), "-data", t.TempDir())...)
		require.NotEqual(t, exitDone, code, arguments)
		require.NotEmpty(t, fault)
	}
}
