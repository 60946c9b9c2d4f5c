package api

import (
	"bytes"
	"cmp"
	"encoding/json"
	"image"
	"image/png"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	files "pegpour/app/words"
	"pegpour/engine/words"
	"pegpour/storage/yard"
	"pegpour/web/secure"
)

// fixture is a yard with its API and a device of each role.
type fixture struct {
	t            testing.TB
	yard         *yard.Yard
	api          *API
	now          time.Time
	log          bytes.Buffer
	crew, office string
	seen         map[string]bool // "GET /api/v1/sites 200"
}

func newFixture(t testing.TB) *fixture { return fixtureAt(t, t.TempDir()) }

// fixtureAt is newFixture with the yard's data in a folder or a PostgreSQL.
func fixtureAt(t testing.TB, where string) *fixture {
	f := &fixture{t: t, now: time.Date(2026, 5, 1, 8, 0, 0, 0, time.UTC), seen: map[string]bool{}}
	var err error
	f.yard, err = yard.Open(t.Context(), where, yard.Options{Now: f.clock, NotDurable: true})
	require.NoError(t, err)
	t.Cleanup(func() { _ = f.yard.Close() })
	f.api = New(f.yard, f.clock, slog.New(slog.NewTextHandler(&f.log, nil)))
	f.crew, f.office = f.paired(yard.Crew), f.paired(yard.Office)
	return f
}

// clock is what the yard and the API take for the time.
func (f *fixture) clock() time.Time { return f.now }

func (f *fixture) paired(role yard.Role) string {
	code, _, err := f.yard.NewCode(f.t.Context(), role)
	require.NoError(f.t, err)
	_, token, err := f.yard.Pair(f.t.Context(), code, string(role))
	require.NoError(f.t, err)
	return token
}

// ask sends a request with headers given as "Name: value"; from is the address it comes
// from.
func (f *fixture) ask(token, method, path string, body []byte, headers ...string) *httptest.ResponseRecorder {
	f.t.Helper()
	r := httptest.NewRequest(method, path, bytes.NewReader(body))
	if token != "" {
		r.Header.Set("Authorization", "Bearer "+token)
	}
	if body != nil {
		r.Header.Set("Content-Type", "application/json")
	}
	for _, h := range headers {
		name, value, _ := strings.Cut(h, ": ")
		if name == "from" {
			r.RemoteAddr = net.JoinHostPort(value, "4000")
			continue
		}
		r.Header.Set(name, value)
	}
	w := httptest.NewRecorder()
	secure.Headers(f.api).ServeHTTP(w, r)
	probe := r.Clone(r.Context())
	_, pattern := f.api.mux.Handler(probe)
	f.seen[pattern+" "+strconv.Itoa(w.Code)] = true
	if w.Code >= 400 && method != http.MethodHead {
		require.Equal(f.t, "application/problem+json", w.Header().Get("Content-Type"), "%s %s %d", method, path, w.Code)
		var p problem
		require.NoError(f.t, json.Unmarshal(w.Body.Bytes(), &p))
		require.Equal(f.t, w.Code, p.Status)
		require.NotEmpty(f.t, p.Title)
		require.Contains(f.t, p.Type, problemTypes)
		// A screen says the reason in its own language; a log reads the same.
		require.True(f.t, german().Has(p.Reason.Format), "%s %s %d: no German for %q", method, path, w.Code, p.Reason.Format)
		require.Equal(f.t, cmp.Or(p.Detail, p.Title), p.Reason.String())
	}
	require.NotEmpty(f.t, w.Header().Get("Content-Security-Policy"))
	require.NotContains(f.t, w.Body.String(), "token_hash")
	return w
}

// german is the language of which the tests know that it is complete.
var german = sync.OnceValue(func() *words.Language {
	l, err := files.Read("de")
	if err != nil {
		panic(err)
	}
	return l
})

func (f *fixture) want(status int, w *httptest.ResponseRecorder) *httptest.ResponseRecorder {
	f.t.Helper()
	require.Equal(f.t, status, w.Code, w.Body.String())
	return w
}

func pngBytes(t testing.TB, side int) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, image.NewGray(image.Rect(0, 0, side, side))))
	return b.Bytes()
}
