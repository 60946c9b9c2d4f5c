package api

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/yard"
	"pegpour/web/api/apitest"
	"pegpour/web/secure"
)

// benched is a durable yard in a folder, served over loopback, with the token of a crew.
func benched(b *testing.B, folder string) (y *yard.Yard, address, token string) {
	b.Helper()
	y, err := yard.Open(context.Background(), folder, yard.Options{})
	require.NoError(b, err)
	b.Cleanup(func() { _ = y.Close() })
	code, _, err := y.NewCode(context.Background(), yard.Crew)
	require.NoError(b, err)
	_, token, err = y.Pair(context.Background(), code, "phone")
	require.NoError(b, err)
	api := New(y, time.Now, slog.New(slog.DiscardHandler))
	api.limits.byDevice = newLimiter(1e9, 1e9, time.Now)
	server := httptest.NewServer(secure.Headers(api))
	b.Cleanup(server.Close)
	return y, server.URL, token
}

func askFor(client *http.Client, method, address, token string, body []byte) (int, error) {
	r, err := http.NewRequest(method, address, bytes.NewReader(body))
	if err != nil {
		return 0, err
	}
	r.Header.Set("Authorization", "Bearer "+token)
	r.Header.Set("Content-Type", "application/json")
	answer, err := client.Do(r)
	if err != nil {
		return 0, err
	}
	_, err = io.Copy(io.Discard, answer.Body)
	return answer.StatusCode, errors.Join(err, answer.Body.Close())
}

// BenchmarkSyncTurn has fifty devices sync at once, again and again: each sends a revision
// that follows on the one before, and asks what changed. Reported is how long a turn takes:
// half of them, and 99 of 100. On a machine busy with twenty other programs: 218 and 389 ms.
func BenchmarkSyncTurn(b *testing.B) {
	_, address, token := benched(b, b.TempDir())
	client := &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: 64}}
	const devices = 50
	var mu sync.Mutex
	var turns []time.Duration
	var all sync.WaitGroup
	b.ResetTimer()
	for device := range devices {
		all.Go(func() {
			site := fmt.Sprint("site", device)
			var parents []storage.Revision
			for n := range max(1, b.N/devices) {
				text := apitest.SiteBytes(b, site, fmt.Sprint("edit ", n))
				begun := time.Now()
				status, err := askFor(client, "PUT", address+apitest.RevisionPath(site, text, parents...), token, text)
				if err != nil || status != 201 {
					b.Error(status, err)
					return
				}
				if status, err = askFor(client, "GET", address+"/api/v1/changes?limit=200&after="+fmt.Sprint(n*devices), token, nil); err != nil || status != 200 {
					b.Error(status, err)
					return
				}
				took := time.Since(begun)
				parents = []storage.Revision{storage.NameRevision(text, parents...)}
				mu.Lock()
				turns = append(turns, took)
				mu.Unlock()
			}
		})
	}
	all.Wait()
	slices.Sort(turns)
	b.ReportMetric(float64(turns[len(turns)/2].Microseconds())/1000, "half-ms")
	b.ReportMetric(float64(turns[len(turns)*99/100].Microseconds())/1000, "p99-ms")
}

// filled is a yard with so many sites, each with a head and one in five with a mark.
func filled(b *testing.B, sites int) *yard.Yard {
	b.Helper()
	folder := b.TempDir()
	y, err := yard.Open(context.Background(), folder, yard.Options{NotDurable: true})
	require.NoError(b, err)
	require.NoError(b, y.Close())
	db, err := sql.Open("sqlite", "file:"+filepath.Join(folder, yard.FileName))
	require.NoError(b, err)
	for _, statement := range []string{
		fmt.Sprintf(`CREATE TABLE n AS WITH RECURSIVE c (n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM c WHERE n < %d) SELECT n FROM c`, sites),
		`INSERT INTO sites (id, name, address, client, search, created, changed, photos, received, turn)
			SELECT 'site' || n, 'Site ' || n, n || ' Mill Lane', 'Client ' || (n % 97), 'site ' || n || ' ' || n || ' mill lane client ' || (n % 97) || ' site' || n,
			'2026-01-01T00:00:00Z', '2026-01-01T00:00:00Z', 0, '2026-01-01T00:00:00.000Z', n FROM n`,
		`INSERT INTO heads (site, name) SELECT 'site' || n, 'head' || n FROM n`,
		`INSERT INTO marks (site, mark, at, device) SELECT 'site' || n, 'quoted', '2026-01-01T00:00:00.000Z', 'd' FROM n WHERE n % 5 = 0`,
		`UPDATE counters SET value = (SELECT MAX(n) FROM n) WHERE name = 'turn'`, `DROP TABLE n`,
	} {
		_, err = db.Exec(statement)
		require.NoError(b, err)
	}
	require.NoError(b, db.Close())
	y, err = yard.Open(context.Background(), folder, yard.Options{NotDurable: true})
	require.NoError(b, err)
	b.Cleanup(func() { _ = y.Close() })
	return y
}

// BenchmarkSites asks a yard of many sites what phones and offices ask: a poll with nothing
// new, a page of the list, a page of a search with many and with one found, and the sites
// that are neither quoted nor poured.
//
// On a busy machine, at 50,000 sites: a poll 0.11 ms (18.9 before its query used the index),
// a page of the list 1.8 ms, of open sites 3 ms, of a search with many 0.5 ms, and 8 ms for a
// search that finds one: an index is asked. To go through all of them took 139 ms.
func BenchmarkSites(b *testing.B) {
	ctx := context.Background()
	for _, sites := range []int{1_000, 10_000, 50_000} {
		y := filled(b, sites)
		list := func(q yard.Query, want int) func(b *testing.B) {
			return func(b *testing.B) {
				for b.Loop() {
					all, err := y.Sites(ctx, q)
					require.NoError(b, err)
					require.Len(b, all, want)
				}
			}
		}
		at := fmt.Sprint("sites=", sites)
		b.Run("poll/"+at, func(b *testing.B) {
			for b.Loop() {
				all, _, _, err := y.Changes(ctx, yard.Device{}, int64(sites), 200)
				require.NoError(b, err)
				require.Empty(b, all)
			}
		})
		b.Run("list/"+at, list(yard.Query{Limit: 50}, 50))
		b.Run("open/"+at, list(yard.Query{Limit: 50, State: yard.StateNone}, 50))
		b.Run("many/"+at, list(yard.Query{Limit: 10, Search: "client 7"}, 10))
		b.Run("one/"+at, list(yard.Query{Limit: 50, Search: fmt.Sprint("site", sites, " mill")}, 1))
	}
}

// BenchmarkBackUp backs up a yard of 2,000 sites and forty photos, 20 MB in all, and copies
// its files in the same run. It takes 0.22 s of the processor, most of it the hashes and pages
// of the photos; on a busy machine 0.8 s, 21 times the plain copy, which syncs nothing.
func BenchmarkBackUp(b *testing.B) {
	folder := b.TempDir()
	y, err := yard.Open(context.Background(), folder, yard.Options{NotDurable: true})
	require.NoError(b, err)
	defer y.Close()
	f := &fixture{t: b, yard: y}
	for n := range uint64(40) {
		f.upload(noisePNG(b, 100_000, n))
	}
	var all sync.WaitGroup
	for part := range 16 {
		all.Go(func() {
			for n := part; n < 2000; n += 16 {
				path, text := uploadOf(b, n)
				name := storage.Revision(filepath.Base(path))
				_, _ = y.PutRevision(context.Background(), "d", fmt.Sprintf("site%d", n), name, nil, text)
			}
		})
	}
	all.Wait()
	var copied, backedUp time.Duration
	out := b.TempDir()
	b.ResetTimer()
	for n := range b.N {
		begun := time.Now()
		require.NoError(b, os.CopyFS(filepath.Join(out, fmt.Sprint("copy", n)), os.DirFS(folder)))
		copied += time.Since(begun)
		begun = time.Now()
		file := filepath.Join(out, fmt.Sprint("backup", n))
		require.NoError(b, y.BackUp(context.Background(), file))
		backedUp += time.Since(begun)
		b.StopTimer()
		require.NoError(b, os.Remove(file))
		require.NoError(b, os.RemoveAll(filepath.Join(out, fmt.Sprint("copy", n))))
		b.StartTimer()
	}
	b.ReportMetric(backedUp.Seconds()/float64(b.N), "s/backup")
	b.ReportMetric(backedUp.Seconds()/copied.Seconds(), "of-copy")
}

// BenchmarkMemory loads a server with uploads, polls, lists and parts of a photo, and
// reports by how much more it holds at the end than after the first tenth: 0.03 MB of 1.8.
func BenchmarkMemory(b *testing.B) {
	y, address, token := benched(b, b.TempDir())
	f := &fixture{t: b, yard: y}
	photo := f.upload(noisePNG(b, 4<<20, 1))
	client := &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: 64}}
	round := func(from, to int) {
		var all sync.WaitGroup
		for part := range 8 {
			all.Go(func() {
				for n := from + part; n < to; n += 8 {
					text := apitest.SiteBytes(b, fmt.Sprint("site", n%500), fmt.Sprint("edit ", n))
					if _, err := askFor(client, "PUT", address+apitest.RevisionPath(fmt.Sprint("site", n%500), text), token, text); err != nil {
						b.Error(err)
						return
					}
					for _, path := range []string{"/api/v1/changes?after=0&limit=20", "/api/v1/sites?limit=20&search=edit", "/api/v1/photos/" + photo} {
						if _, err := askFor(client, "GET", address+path, token, nil); err != nil {
							b.Error(err)
							return
						}
					}
				}
			})
		}
		all.Wait()
	}
	b.ResetTimer()
	round(0, b.N/10)
	early := heldNow()
	round(b.N/10, b.N)
	b.ReportMetric(float64(heldNow()-early)/(1<<20), "MB-grown")
	b.ReportMetric(float64(early)/(1<<20), "MB-held")
}
