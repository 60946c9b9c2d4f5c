package main

import (
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage/yard"
	"pegpour/storage/yard/yardtest"
	"pegpour/web/api/apitest"
)

// TestDatabaseComesAndGoes starts a server whose PostgreSQL is down, has it come, go
// and come: who asks is told to come again, never that the server failed, and what was
// acknowledged is there.
func TestDatabaseComesAndGoes(t *testing.T) {
	pg := yardtest.NewServer(t)
	address := pg.Database(t)
	y, err := yard.Open(t.Context(), address, yard.Options{})
	require.NoError(t, err)
	code, _, err := y.NewCode(t.Context(), yard.Crew)
	require.NoError(t, err)
	_, token, err := y.Pair(t.Context(), code, "phone")
	require.NoError(t, err)
	require.NoError(t, y.Close())

	pg.Stop()
	s := startServer(t, "-database", address)
	put := func(name string) (int, http.Header) {
		text := apitest.SiteBytes(t, "s", name)
		r, err := http.NewRequest("PUT", s.address+apitest.RevisionPath("s", text), strings.NewReader(string(text)))
		require.NoError(t, err)
		r.Header.Set("Authorization", "Bearer "+token)
		r.Header.Set("Content-Type", "application/json")
		answer, err := http.DefaultClient.Do(r)
		require.NoError(t, err)
		answer.Body.Close()
		return answer.StatusCode, answer.Header
	}
	away := func() {
		t.Helper()
		alive, _, _ := state(t, s.address, "/healthz")
		require.Equal(t, 200, alive)
		ready, header, words := state(t, s.address, "/readyz")
		require.Equal(t, 503, ready)
		require.NotEmpty(t, header.Get("Retry-After"))
		require.Contains(t, words, "the database")
		require.NotContains(t, words, "host=", "nobody outside need know where it is")
		for range 20 { // more than the pool has connections
			status, header := put("while it is away")
			require.Equal(t, 503, status)
			require.NotEmpty(t, header.Get("Retry-After"))
			status, header, _ = state(t, s.address, "/api/v1/sites")
			require.Contains(t, []int{401, 503}, status)
			_ = header
		}
		figures, _, text := state(t, s.address, "/metrics")
		require.Equal(t, 200, figures)
		require.Contains(t, text, "pegpour_requests_total")
	}
	back := func() {
		t.Helper()
		require.NoError(t, pg.Start())
		require.Eventually(t, func() bool {
			ready, _, _ := state(t, s.address, "/readyz")
			return ready == 200
		}, 60*time.Second, 50*time.Millisecond)
	}
	away()
	back()
	status, _ := put("first")
	require.Equal(t, 201, status)
	for n := range 3 {
		pg.Stop()
		away()
		back()
		status, _ := put("again " + string(rune('a'+n)))
		require.Equal(t, 201, status)
	}
	y, err = yard.Open(t.Context(), address, yard.Options{})
	require.NoError(t, err)
	defer y.Close()
	past, err := y.History(t.Context(), "s", 0, 0)
	require.NoError(t, err)
	require.Len(t, past, 4)
	require.NotContains(t, s.log.String(), "status=500")
}
