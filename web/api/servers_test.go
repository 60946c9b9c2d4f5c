package api

import (
	"fmt"
	"log/slog"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/yard"
	"pegpour/storage/yard/yardtest"
	"pegpour/web/api/apitest"
)

// TestTwoServersOneDatabase has two servers on one PostgreSQL answer the same,
// while both take uploads of one site.
func TestTwoServersOneDatabase(t *testing.T) {
	address := yardtest.Postgres(t)()
	now := time.Date(2026, 5, 1, 8, 0, 0, 0, time.UTC)
	var servers []*fixture
	for range 2 {
		y, err := yard.Open(t.Context(), address, yard.Options{Now: func() time.Time { return now }})
		require.NoError(t, err)
		defer y.Close()
		f := &fixture{t: t, yard: y, now: now, seen: map[string]bool{}}
		f.api = New(y, func() time.Time { return now }, slog.New(slog.NewTextHandler(&f.log, nil)))
		servers = append(servers, f)
	}
	token := servers[0].paired(yard.Office)
	root := apitest.SiteBytes(t, "s", "N")
	first := storage.NameRevision(root)
	servers[0].want(201, servers[0].ask(token, "PUT", apitest.RevisionPath("s", root), root))
	var all sync.WaitGroup
	var taken atomic.Int32
	for i, f := range servers {
		for phone := range 3 {
			all.Go(func() {
				parent := first
				for n := range 8 {
					d := &storage.Document{ID: "s", Created: "2026-01-01T00:00:00Z", Changed: "2026-01-01T00:00:00Z"}
					d.Survey.Site.Name = "N"
					for m := range n + 1 {
						id := fmt.Sprintf("%d-%d-%d", i, phone, m)
						d.Notes = append(d.Notes, storage.Note{ID: id, Text: id})
					}
					text, err := storage.Encode(d)
					if err != nil {
						t.Error(err)
						return
					}
					name := storage.NameRevision(text, parent)
					if _, err := f.yard.PutRevision(t.Context(), "d", "s", name, []storage.Revision{parent}, text); err != nil {
						t.Error(err)
						return
					}
					parent = name
					taken.Add(1)
				}
			})
		}
	}
	all.Wait()
	require.EqualValues(t, 48, taken.Load())
	for _, path := range []string{
		"/api/v1/sites", "/api/v1/sites/s", "/api/v1/sites/s/heads?since=" + string(first), "/api/v1/sites/s/revisions",
		"/api/v1/changes", "/api/v1/devices",
	} {
		a, b := servers[0].ask(token, "GET", path, nil), servers[1].ask(token, "GET", path, nil)
		require.Equal(t, 200, a.Code)
		require.Equal(t, a.Body.String(), b.Body.String(), path)
		require.Equal(t, a.Header().Get("ETag"), b.Header().Get("ETag"))
	}
	site, err := servers[1].yard.Site(t.Context(), "s")
	require.NoError(t, err)
	require.Len(t, site.Heads, 1, "all of it was merged by field")
	text, _, err := servers[0].yard.Revision(t.Context(), "s", site.Heads[0])
	require.NoError(t, err)
	d, err := storage.Decode(text)
	require.NoError(t, err)
	require.Len(t, d.Notes, 48)
	// A token withdrawn at one is withdrawn at the other.
	servers[0].want(204, servers[0].ask(token, "DELETE", "/api/v1/device", nil))
	servers[1].want(401, servers[1].ask(token, "GET", "/api/v1/sites", nil))
}
