package api

import (
	"bytes"
	"context"
	"database/sql"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/yard"
	"pegpour/web/api/apitest"
	"pegpour/web/secure"
)

// BenchmarkUploads sends revisions of 8 kB over loopback from eight phones at
// once and, in the same run, inserts the same bytes into a bare SQLite table
// with the same durability, one transaction each. Both fsync each time.
func BenchmarkUploads(b *testing.B) {
	text := func(n int) (string, []byte) {
		site := fmt.Sprintf("site%d", n)
		d := &storage.Document{ID: site, Created: "2026-01-01T00:00:00Z", Changed: "2026-01-01T00:00:00Z"}
		for i := range 40 {
			d.Notes = append(d.Notes, storage.Note{ID: fmt.Sprint(i), Text: strings.Repeat("word ", 35)})
		}
		t, err := storage.Encode(d)
		require.NoError(b, err)
		return site, t
	}
	bodies := make([][]byte, b.N)
	paths := make([]string, b.N)
	for n := range b.N {
		site, t := text(n)
		bodies[n], paths[n] = t, apitest.RevisionPath(site, t)
	}
	folder := b.TempDir()

	const durable = "?_pragma=journal_mode(WAL)&_pragma=synchronous(FULL)"
	db, err := sql.Open("sqlite", "file:"+filepath.Join(folder, "raw.sqlite")+durable)
	require.NoError(b, err)
	defer db.Close()
	db.SetMaxOpenConns(1)
	_, err = db.Exec("CREATE TABLE raw (name TEXT PRIMARY KEY, text BLOB NOT NULL)")
	require.NoError(b, err)
	begun := time.Now()
	for n := range b.N {
		_, err := db.Exec("INSERT INTO raw VALUES (?, ?)", paths[n], bodies[n])
		require.NoError(b, err)
	}
	raw := time.Since(begun)

	y, err := yard.Open(context.Background(), filepath.Join(folder, "yard"), yard.Options{})
	require.NoError(b, err)
	defer y.Close()
	code, _, err := y.NewCode(context.Background(), yard.Crew)
	require.NoError(b, err)
	_, token, err := y.Pair(context.Background(), code, "phone")
	require.NoError(b, err)
	api := New(y, time.Now, io.Discard)
	api.limits.byAddress, api.limits.byDevice = newLimiter(1e9, 1e9, time.Now), newLimiter(1e9, 1e9, time.Now)
	server := httptest.NewServer(secure.Headers(api))
	defer server.Close()
	client := &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: 32}}
	var next atomic.Int64
	b.SetBytes(int64(len(bodies[0])))
	b.SetParallelism(4)
	b.ResetTimer()
	begun = time.Now()
	b.RunParallel(func(p *testing.PB) {
		for p.Next() {
			n := next.Add(1) - 1
			r, _ := http.NewRequest("PUT", server.URL+paths[n], bytes.NewReader(bodies[n]))
			r.Header.Set("Authorization", "Bearer "+token)
			r.Header.Set("Content-Type", "application/json")
			answer, err := client.Do(r)
			if err != nil {
				b.Error(err)
				return
			}
			_, _ = io.Copy(io.Discard, answer.Body)
			answer.Body.Close()
			if answer.StatusCode != 201 {
				b.Errorf("answered %d", answer.StatusCode)
				return
			}
		}
	})
	took := time.Since(begun)
	b.ReportMetric(float64(b.N)/took.Seconds(), "uploads/s")
	b.ReportMetric(float64(b.N)/raw.Seconds(), "raw-inserts/s")
	b.ReportMetric(raw.Seconds()/took.Seconds(), "of-raw")
}
