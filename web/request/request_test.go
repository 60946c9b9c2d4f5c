package request

import (
	"bytes"
	"encoding/json"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestEveryRequestHasAnIdentity(t *testing.T) {
	var log bytes.Buffer
	var heard []Done
	mux := http.NewServeMux()
	mux.HandleFunc("GET /a/{site}", func(w http.ResponseWriter, r *http.Request) {
		require.Equal(t, ID(r.Context()), w.Header().Get(Header))
		Log(r.Context(), nil).Info("inside")
		_, _ = io.WriteString(w, "four")
	})
	mux.HandleFunc("PUT /broken", func(http.ResponseWriter, *http.Request) { panic("oh") })
	mux.HandleFunc("PUT /gone", func(http.ResponseWriter, *http.Request) { panic(http.ErrAbortHandler) })
	mux.HandleFunc("GET /file", func(w http.ResponseWriter, _ *http.Request) {
		_, _ = io.Copy(w, strings.NewReader("from a file"))
	})
	h := Identify(mux, slog.New(slog.NewJSONHandler(&log, &slog.HandlerOptions{Level: slog.LevelDebug})),
		func(d Done) { d.Took = 0; heard = append(heard, d) })
	ask := func(method, path string) (w *httptest.ResponseRecorder) {
		w = httptest.NewRecorder()
		r := httptest.NewRequest(method, path, nil)
		r.Header.Set(Header, "a line\n of another")
		defer func() { _ = recover() }()
		h.ServeHTTP(w, r)
		return w
	}
	w := ask("GET", "/a/x")
	id := w.Header().Get(Header)
	require.Regexp(t, `^[A-Z2-9]{4}-[A-Z2-9]{4}$`, id)
	require.NotEqual(t, id, ask("GET", "/a/x").Header().Get(Header))
	require.Equal(t, 2, strings.Count(log.String(), `"request":"`+id+`"`), "inside and answered")
	require.NotContains(t, log.String(), "another")

	ask("PUT", "/broken")
	ask("PUT", "/gone")
	require.Equal(t, "from a file", ask("GET", "/file").Body.String())
	ask("GET", "/none")
	require.Equal(t, []Done{
		{"GET", "GET /a/{site}", 200, 4, 0}, {"GET", "GET /a/{site}", 200, 4, 0}, {"PUT", "PUT /broken", 500, 0, 0},
		{"PUT", "PUT /gone", 499, 0, 0}, {"GET", "GET /file", 200, 11, 0}, {"GET", "", 404, 19, 0},
	}, heard)
	levels := map[string]string{}
	for line := range strings.Lines(log.String()) {
		var l struct{ Level, Msg, Route string }
		require.NoError(t, json.Unmarshal([]byte(line), &l))
		if l.Msg == "answered" {
			levels[l.Route] = l.Level
		}
	}
	require.Equal(t, map[string]string{"GET /a/{site}": "DEBUG", "PUT /broken": "ERROR", "PUT /gone": "DEBUG",
		"GET /file": "DEBUG", "": "DEBUG"}, levels)
}
