package main

import (
	"encoding/json"
	"net/http"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage/yard"
)

// The server makes back-ups by itself and tells of them; one restored from them is the
// yard.
func TestServerKeepsBackUps(t *testing.T) {
	data, folder := someYard(t, "a", "b"), filepath.Join(t.TempDir(), "copies")
	token := officeIn(t, data)
	file := settingsFile(t, `data = "`+data+`"`, `backup-folder = "`+folder+`"`, `backup-every = "1h"`, `backup-keep = 2`)
	s := startServer(t, "-config", file)
	ask := func() (state struct {
		Kept, Late bool
		Backups    []struct{ Name string }
		AgeSeconds int64
	}) {
		r, err := http.NewRequest("GET", s.address+"/api/v1/backups", nil)
		require.NoError(t, err)
		r.Header.Set("Authorization", "Bearer "+token)
		answer, err := http.DefaultClient.Do(r)
		require.NoError(t, err)
		defer answer.Body.Close()
		require.Equal(t, 200, answer.StatusCode)
		require.NoError(t, json.NewDecoder(answer.Body).Decode(&state))
		return state
	}
	require.Eventually(t, func() bool { return len(ask().Backups) == 1 }, 30*time.Second, 50*time.Millisecond, s.log.String())
	state1 := ask()
	require.True(t, state1.Kept)
	require.False(t, state1.Late)
	require.Contains(t, s.log.String(), "made and found good")
	require.Eventually(t, func() bool {
		_, _, body := state(t, s.address, "/metrics")
		return strings.Contains(body, "pegpour_backup_age_seconds ") && strings.Contains(body, `pegpour_backups_total{outcome="made"} 1`)
	}, 20*time.Second, 500*time.Millisecond)

	time.Sleep(1100 * time.Millisecond) // names are of a second
	code, out, fault := pegpour("", "backup", "-config", file)
	require.Equal(t, exitDone, code, fault)
	require.Contains(t, out, "It was restored into a second place and looked through: 2 sites, 2 versions, 0 photos. All of it is sound.")
	code, out, fault = pegpour("", "backups", "-config", file)
	require.Equal(t, exitDone, code, fault)
	require.Equal(t, 2, strings.Count(out, "\n"), out)
	newest, _, _ := strings.Cut(out, "  ")

	fresh := filepath.Join(t.TempDir(), "fresh")
	code, _, fault = pegpour("", "restore", "-in", newest, "-data", fresh)
	require.Equal(t, exitDone, code, fault)
	code, out, fault = pegpour("", "check", "-data", fresh)
	require.Equal(t, exitDone, code, fault)
	require.Contains(t, out, "2 sites, 2 versions")

	inYard(t, data, "DELETE FROM heads WHERE site = 'a'")
	time.Sleep(1100 * time.Millisecond)
	code, out, _ = pegpour("", "backup", "-config", file)
	require.Equal(t, exitFault, code)
	require.Contains(t, out, "not sound")
}

func TestBackUpSettingsAreChecked(t *testing.T) {
	data := filepath.Join(t.TempDir(), "data")
	for _, c := range []struct{ arguments, says string }{
		{"-backup-folder " + data + "/copies", "in the yard's own folder"},
		{"-backup-folder /x -backup-every 1s", "from 1m on"},
		{"-backup-folder /x -backup-keep 0", "from 1 on"},
	} {
		all := append([]string{"serve", "-addr", "127.0.0.1:0", "-bundle", tinyBundle(t), "-data", data}, strings.Fields(c.arguments)...)
		code, _, fault := pegpour("", all...)
		require.Equal(t, exitUsage, code)
		require.Contains(t, fault, c.says)
		code, out, _ := pegpour("", append(all, "-check")...)
		require.Equal(t, exitFault, code)
		require.Contains(t, out, c.says)
	}
	require.NoDirExists(t, data)
	code, _, fault := pegpour("", "backups")
	require.Equal(t, exitUsage, code)
	require.Contains(t, fault, "-backup-folder")
	none, err := yard.BackUps(filepath.Join(data, "none"))
	require.NoError(t, err)
	require.Empty(t, none)
}
