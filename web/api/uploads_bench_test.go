package api

import (
	"bytes"
	"context"
	"database/sql"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	_ "github.com/jackc/pgx/v5/stdlib"
	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/yard"
	"pegpour/storage/yard/yardtest"
	"pegpour/web/api/apitest"
	"pegpour/web/secure"
)

// uploadOf is a site of 8 kB.
func uploadOf(b testing.TB, n int) (path string, text []byte) {
	site := fmt.Sprintf("site%d", n)
	d := &storage.Document{ID: site, Created: "2026-01-01T00:00:00Z", Changed: "2026-01-01T00:00:00Z"}
	for i := range 40 {
		d.Notes = append(d.Notes, storage.Note{ID: fmt.Sprint(i), Text: strings.Repeat("word ", 35)})
	}
	t, err := storage.Encode(d)
	require.NoError(b, err)
	return apitest.RevisionPath(site, t), t
}

// BenchmarkUploads sends revisions of 8 kB over loopback from phones at once to one server,
// or to two that share a database, and, in the same run, inserts the same bytes into a bare
// table with the same durability, one transaction each. All sync each time.
//
// Measured for 5 s each, one other program at work on the two cores: SQLite 0.91 of bare
// inserts (1,419 a second), PostgreSQL with one server 0.85 (902), with two, which share the
// two cores with it, 0.44 (536). Over a few hundred uploads the connections and prepared
// statements are still being made: 0.30 and 0.18.
func BenchmarkUploads(b *testing.B) {
	b.Run("db=SQLite", func(b *testing.B) {
		folder := b.TempDir()
		const durable = "?_pragma=journal_mode(WAL)&_pragma=synchronous(FULL)"
		db, err := sql.Open("sqlite", "file:"+filepath.Join(folder, "raw.sqlite")+durable)
		require.NoError(b, err)
		defer db.Close()
		uploads(b, db, "BLOB", "INSERT INTO raw VALUES (?, ?)", filepath.Join(folder, "yard"), 1)
	})
	for servers := 1; servers <= 2; servers++ {
		b.Run(fmt.Sprint("db=PostgreSQL/servers=", servers), func(b *testing.B) {
			database := yardtest.Postgres(b, "fsync=on")
			db, err := sql.Open("pgx", database())
			require.NoError(b, err)
			defer db.Close()
			uploads(b, db, "BYTEA", "INSERT INTO raw VALUES ($1, $2)", database(), servers)
		})
	}
}

func uploads(b *testing.B, bare *sql.DB, blob, insert, where string, servers int) {
	bodies := make([][]byte, b.N)
	paths := make([]string, b.N)
	for n := range b.N {
		paths[n], bodies[n] = uploadOf(b, n)
	}
	bare.SetMaxOpenConns(1)
	_, err := bare.Exec("CREATE TABLE raw (name TEXT PRIMARY KEY, text " + blob + " NOT NULL)")
	require.NoError(b, err)
	begun := time.Now()
	for n := range b.N {
		_, err := bare.Exec(insert, paths[n], bodies[n])
		require.NoError(b, err)
	}
	raw := time.Since(begun)

	var token string
	var addresses []string
	for n := range servers {
		y, err := yard.Open(context.Background(), where, yard.Options{})
		require.NoError(b, err)
		defer y.Close()
		if n == 0 {
			code, _, err := y.NewCode(context.Background(), yard.Crew)
			require.NoError(b, err)
			_, token, err = y.Pair(context.Background(), code, "phone")
			require.NoError(b, err)
		}
		api := New(y, time.Now, slog.New(slog.DiscardHandler))
		api.limits.byDevice = newLimiter(1e9, 1e9, time.Now)
		server := httptest.NewServer(secure.Headers(api))
		defer server.Close()
		addresses = append(addresses, server.URL)
	}
	client := &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: 64}}
	var next atomic.Int64
	b.SetBytes(int64(len(bodies[0])))
	b.SetParallelism(16)
	b.ResetTimer()
	begun = time.Now()
	b.RunParallel(func(p *testing.PB) {
		for p.Next() {
			n := next.Add(1) - 1
			r, _ := http.NewRequest("PUT", addresses[int(n)%servers]+paths[n], bytes.NewReader(bodies[n]))
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
