package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A command that is refused makes no file, leaves the one that is there as it
// was, and puts nothing beside it.
func TestRefusedCommandLeavesFilesAsTheyWere(t *testing.T) {
	_, survey, _ := pegpour("", "demo")
	unmeasurable := strings.Replace(survey, `"size":4000`, `"size":0`, 1)
	require.NotEqual(t, survey, unmeasurable)
	data := filepath.Join(t.TempDir(), "data")
	for _, c := range []struct {
		survey, arguments string
	}{
		{unmeasurable, "plan"},
		{"{", "plan"},
		{survey, "plan -rules /nowhere/at/all"},
		{unmeasurable, "drawing"},
		{survey, "drawing -width 5"},
		{survey, "drawing -lang none"},
		{unmeasurable, "quantities"},
		{unmeasurable, "sheets"},
		{survey, "sheets -for nobody"},
		{survey, "sheets -lang none"},
		{"", "backup"},
		{"", "backup -data " + data + " -database postgres://y"},
		{"", "backup -database mysql://y"},
	} {
		t.Run(c.arguments, func(t *testing.T) {
			folder := t.TempDir()
			file := filepath.Join(folder, "out")
			arguments := append(strings.Fields(c.arguments), "-out", file)
			refused := func() {
				code, out, fault := pegpour(c.survey, arguments...)
				require.NotEqual(t, exitDone, code)
				require.NotEmpty(t, fault)
				require.Empty(t, out)
			}
			refused()
			require.Empty(t, names(t, folder))
			require.NoError(t, os.WriteFile(file, []byte("before"), 0o600))
			refused()
			requireFile(t, file, "before")
			require.Equal(t, []string{"out"}, names(t, folder))
		})
	}
}

// What is written takes the place of what was there, and a back-up never does.
func TestCommandReplacesItsFile(t *testing.T) {
	_, survey, _ := pegpour("", "demo")
	for _, command := range []string{"plan", "drawing", "quantities", "sheets"} {
		folder := t.TempDir()
		file := filepath.Join(folder, "out")
		require.NoError(t, os.WriteFile(file, []byte("before"), 0o600))
		code, want, fault := pegpour(survey, command)
		require.Equal(t, exitDone, code, fault)
		code, out, fault := pegpour(survey, command, "-out", file)
		require.Equal(t, exitDone, code, fault)
		require.Empty(t, out)
		requireFile(t, file, want)
		require.Equal(t, []string{"out"}, names(t, folder), command)
	}
	folder := t.TempDir()
	file := filepath.Join(folder, "out")
	require.NoError(t, os.WriteFile(file, []byte("before"), 0o600))
	for _, more := range [][]string{nil, {"-without-keys"}} {
		data := filepath.Join(t.TempDir(), "data")
		code, _, fault := pegpour("", "backup", "-data", data, "-out", file+" new")
		require.Equal(t, exitFault, code)
		require.Contains(t, fault, "there is no yard in "+data)
		require.NoDirExists(t, data)
		require.Equal(t, []string{"out"}, names(t, folder))
		makeYard(t, data)
		code, _, fault = pegpour("", append([]string{"backup", "-data", data, "-out", file}, more...)...)
		require.Equal(t, exitFault, code)
		require.Contains(t, fault, file+" is there already")
		requireFile(t, file, "before")
		code, _, fault = pegpour("", append([]string{"backup", "-data", data, "-out", file + " new"}, more...)...)
		require.Equal(t, exitDone, code, fault)
		require.Equal(t, []string{"out", "out new"}, names(t, folder))
		require.NoError(t, os.Remove(file+" new"))
	}
}

// A back-up that is no yard makes none, and a yard that is there stays.
func TestRefusedRestoreMakesNoYard(t *testing.T) {
	folder := t.TempDir()
	file, fresh := filepath.Join(folder, "backup"), filepath.Join(folder, "data")
	require.NoError(t, os.WriteFile(file, []byte("no database"), 0o600))
	for _, from := range []string{file, filepath.Join(folder, "none")} {
		code, _, fault := pegpour("", "restore", "-data", fresh, "-in", from)
		require.Equal(t, exitFault, code)
		require.NotEmpty(t, fault)
		require.Equal(t, []string{"backup"}, names(t, folder))
	}
	requireFile(t, file, "no database")
}

func names(t *testing.T, folder string) []string {
	t.Helper()
	entries, err := os.ReadDir(folder)
	require.NoError(t, err)
	var all []string
	for _, e := range entries {
		all = append(all, e.Name())
	}
	return all
}

func requireFile(t *testing.T, name, want string) {
	t.Helper()
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	require.Equal(t, want, string(data))
}
