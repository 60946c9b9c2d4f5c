package main

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/storage/yard"
)

// makeYard makes an empty yard in a folder.
func makeYard(t testing.TB, folder string) {
	t.Helper()
	y, err := yard.Open(t.Context(), folder, yard.Options{NotDurable: true})
	require.NoError(t, err)
	require.NoError(t, y.Close())
}

// settingsFile writes a file of settings.
func settingsFile(t testing.TB, lines ...string) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "pegpour.toml")
	require.NoError(t, os.WriteFile(name, []byte(strings.Join(lines, "\n")), 0o600))
	return name
}

func TestServeCheckSaysWhatWouldBeUsed(t *testing.T) {
	cert, key, _ := makeCertificate(t)
	folder := t.TempDir()
	data := filepath.Join(folder, "data")
	t.Setenv("PEGPOUR_LOG_FORMAT", "json")
	file := settingsFile(t, `addr = "127.0.0.1:0"`, `data = "`+data+`"`, `cert = "`+cert+`"`, `key = "`+key+`"`,
		`metrics-token = "quite hidden"`, `bundle = "`+tinyBundle(t)+`"`)
	code, out, fault := pegpour("", "serve", "-check", "-config", file, "-log-level", "debug")
	require.Equal(t, exitDone, code, out+fault)
	for _, want := range []string{
		file + ":2", "PEGPOUR_LOG_FORMAT", "-log-level", "by itself", "(set, not shown)", "The certificate is of 127.0.0.1 and ends",
		"There is no yard in " + data + " yet", "127.0.0.1:0 is free", "Nothing is wrong. Nothing was changed.",
	} {
		require.Contains(t, out, want)
	}
	require.NotContains(t, out, "hidden\"")
	require.NoDirExists(t, data)

	t.Setenv("PEGPOUR_LOG_FROMAT", "json")
	file = settingsFile(t, `addr = "0.0.0.0:0"`, `adr = "0.0.0.0:0"`, `data = "`+data+`"`, `database = "postgres://x"`,
		`bundle = "`+folder+`"`, `log-format = "xml"`, `least-room = "much"`)
	t.Setenv("PEGPOUR_LOG_FORMAT", "")
	code, out, _ = pegpour("", "serve", "-check", "-config", file)
	require.Equal(t, exitFault, code)
	_, wrong, found := strings.Cut(out, "Wrong:")
	require.True(t, found, out)
	for _, want := range []string{
		`pegpour.toml:2: there is no setting "adr"; is "addr" meant?`, "exclude one another", "make build",
		"-insecure-http", "Nothing was changed.",
	} {
		require.Contains(t, wrong, want)
	}
	require.Contains(t, out, "PEGPOUR_LOG_FROMAT in the environment is no setting")
	require.NotContains(t, out, "hidden")

	code, _, fault = pegpour("", "serve", "-config", file)
	require.Equal(t, exitUsage, code)
	require.Contains(t, fault, "pegpour.toml:2")
}

// Another command takes from the server's file what it has a flag for.
func TestCommandsTakeTheServersSettings(t *testing.T) {
	data := filepath.Join(t.TempDir(), "data")
	makeYard(t, data)
	file := settingsFile(t, `addr = ":443"`, `data = "`+data+`"`, `backup-keep = 3`)
	code, _, fault := pegpour("", "sites", "-config", file)
	require.Equal(t, exitDone, code, fault)
	t.Setenv("PEGPOUR_DATA", data)
	code, _, fault = pegpour("", "sites")
	require.Equal(t, exitDone, code, fault)
	t.Setenv("PEGPOUR_OUT", "/none/at/all")
	code, _, fault = pegpour("", "backup")
	require.Equal(t, exitUsage, code, "what is no setting is not taken from the environment")
	require.Contains(t, fault, "-out")
	code, _, fault = pegpour("", "sites", "-data", filepath.Join(t.TempDir(), "typo"))
	require.Equal(t, exitFault, code)
	require.Contains(t, fault, "there is no yard in")
}

// Each setting says what it is, and none is named so that the environment could not
// tell it from another.
func TestEverySettingIsExplained(t *testing.T) {
	flags, _ := serveFlags()
	seen := map[string]bool{}
	flags.VisitAll(func(f *flag.Flag) {
		require.NotEmpty(t, f.Usage, f.Name)
		require.Regexp(t, `^[a-z][a-z0-9-]*$`, f.Name)
		seen[f.Name] = true
	})
	require.True(t, seen["config"] && seen["data"] && seen["addr"])
}
