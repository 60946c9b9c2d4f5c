package health

import (
	"context"
	"encoding/json"
	"errors"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/web/request"
)

func TestReadySaysWhichPartIsNot(t *testing.T) {
	fails := errors.New("the disk is full")
	probes := []Probe{
		{"database", func(context.Context) (string, error) { return "answers", nil }},
		{"disk", func(context.Context) (string, error) { return "", fails }},
	}
	ask := func() (int, map[string]Part) {
		w := httptest.NewRecorder()
		Readiness(func() []Probe { return probes })(w, httptest.NewRequest("GET", "/readyz", nil))
		var said struct {
			Ready bool
			Parts []Part
		}
		require.NoError(t, json.Unmarshal(w.Body.Bytes(), &said))
		require.Equal(t, w.Code == 200, said.Ready)
		require.Equal(t, w.Code != 200, w.Header().Get("Retry-After") != "")
		parts := map[string]Part{}
		for _, p := range said.Parts {
			parts[p.Name] = p
		}
		return w.Code, parts
	}
	code, parts := ask()
	require.Equal(t, 503, code)
	require.Equal(t, Part{"disk", false, "the disk is full"}, parts["disk"])
	require.Equal(t, Part{"database", true, "answers"}, parts["database"])
	fails = nil
	code, _ = ask()
	require.Equal(t, 200, code)
}

func TestMetricsAreForWhoMay(t *testing.T) {
	f := NewFigures("1.2", "5")
	f.Request(request.Done{Method: "GET", Route: "GET /api/v1/sites", Status: 200, Took: time.Millisecond})
	f.Request(request.Done{Method: "GET", Status: 404})
	f.Database("write", time.Second, true)
	f.Arrived(-time.Hour)
	f.BackUp(time.Second, nil)
	f.BackUp(time.Second, errors.New("no room"))
	asked, broken := 0, false
	f.Asked(func(context.Context) ([]Figure, error) {
		asked++
		if broken {
			return nil, errors.New("away")
		}
		return []Figure{{"pegpour_photos_waiting", "Photos.", 3}}, nil
	}, slog.New(slog.DiscardHandler))
	ask := func(token string, from string, headers ...string) *httptest.ResponseRecorder {
		r := httptest.NewRequest("GET", "/metrics", nil)
		r.RemoteAddr = from
		if token != "" {
			r.Header.Set("Authorization", "Bearer "+token)
		}
		for _, h := range headers {
			r.Header.Set(h, "203.0.113.9")
		}
		w := httptest.NewRecorder()
		f.Metrics("hidden").ServeHTTP(w, r)
		return w
	}
	w := ask("", "127.0.0.1:7")
	require.Equal(t, 200, w.Code)
	for _, want := range []string{
		`pegpour_requests_total{route="GET /api/v1/sites",status="200"} 1`,
		`pegpour_requests_total{route="none",status="404"} 1`,
		`pegpour_database_down_total{kind="write"} 1`, `pegpour_sync_lag_seconds_bucket{le="1"} 1`,
		`pegpour_backups_total{outcome="made"} 1`, `pegpour_backups_total{outcome="failed"} 1`,
		`pegpour_info{layout="5",version="1.2"} 1`, "pegpour_photos_waiting 3", "go_goroutines",
	} {
		require.Contains(t, w.Body.String(), want)
	}
	require.Equal(t, 200, ask("hidden", "203.0.113.9:7").Code)
	require.Equal(t, 404, ask("", "203.0.113.9:7").Code)
	require.Equal(t, 404, ask("guessed", "203.0.113.9:7").Code)
	require.Equal(t, 404, ask("", "127.0.0.1:7", "X-Forwarded-For").Code, "a proxy on this machine")
	require.Equal(t, 200, ask("hidden", "127.0.0.1:7", "X-Forwarded-For").Code)
	require.Equal(t, 1, asked, "asked once in a while")

	r := httptest.NewRequest("GET", "/metrics", nil)
	r.RemoteAddr = "203.0.113.9:7"
	r.Header.Set("Authorization", "Bearer ")
	w = httptest.NewRecorder()
	f.Metrics("").ServeHTTP(w, r)
	require.Equal(t, http.StatusNotFound, w.Code, "no token is no way in")
}
