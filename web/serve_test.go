package main

import (
	"bytes"
	"context"
	"errors"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/web/forwarded"
	"pegpour/web/request"
)

func TestEveryAnswerIsSecured(t *testing.T) {
	app := http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { http.NotFound(w, r) })
	for _, path := range []string{"/", "/api/anything", "/a/none"} {
		w := httptest.NewRecorder()
		addresses(app, http.HandlerFunc(noYard), http.NotFoundHandler()).ServeHTTP(w, httptest.NewRequest(http.MethodGet, path, nil))
		policy := w.Header().Get("Content-Security-Policy")
		require.Contains(t, policy, "default-src 'none'", path)
		require.Contains(t, policy, "script-src 'self' 'wasm-unsafe-eval';", path)
		require.NotContains(t, policy, "'unsafe-eval'", path)
		require.NotContains(t, policy, "http", path)
		require.Equal(t, "nosniff", w.Header().Get("X-Content-Type-Options"))
		require.Equal(t, "no-referrer", w.Header().Get("Referrer-Policy"))
		require.Equal(t, http.StatusNotFound, w.Code)
		require.Contains(t, w.Header().Get("Content-Type"), "text/plain")
	}
}

func TestServerDoesNotWaitForEver(t *testing.T) {
	s := newServer(http.NotFoundHandler())
	for name, limit := range map[string]any{
		"header": s.ReadHeaderTimeout, "read": s.ReadTimeout, "write": s.WriteTimeout, "idle": s.IdleTimeout,
	} {
		require.Positive(t, limit, name)
	}
}

func TestAddressToOpen(t *testing.T) {
	given := &net.TCPAddr{IP: net.IPv4(127, 0, 0, 1), Port: 8080}
	for asked, want := range map[string]string{
		"localhost:8080":   "http://localhost:8080",
		"localhost:0":      "http://localhost:8080",
		":8080":            "http://localhost:8080",
		"192.168.1.9:8080": "http://192.168.1.9:8080",
		"[::1]:8080":       "http://[::1]:8080",
	} {
		require.Equal(t, want, addressToOpen(asked, given), asked)
	}
}

// Whatever stands between the connection and the yard, deadlines on reading come through.
func TestDeadlinesReachTheConnection(t *testing.T) {
	reached := errors.New("nothing was asked")
	handler := addresses(http.NotFoundHandler(), http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		reached = http.NewResponseController(w).SetReadDeadline(time.Now().Add(time.Minute))
	}), http.NotFoundHandler())
	log := slog.New(slog.DiscardHandler)
	server := httptest.NewServer(forwarded.Proxies{}.Handler(request.Identify(handler, log, nil)))
	defer server.Close()
	answer, err := http.Post(server.URL+"/api/v1/pair", "application/json", strings.NewReader("{}"))
	require.NoError(t, err)
	answer.Body.Close()
	require.NoError(t, reached)
}

// tinyBundle writes the least bundle that can be served.
func tinyBundle(t testing.TB) string {
	t.Helper()
	folder := t.TempDir()
	contents := `{"version":"tiny","page":"p.html","worker":"w.js","files":[
		{"name":"p.html","sha256":"0123456789abcdef","type":"text/html"},
		{"name":"w.js","sha256":"0123456789abcdef","type":"text/javascript"}]}`
	for name, text := range map[string]string{"contents.json": contents, "p.html": "the page", "w.js": "the worker"} {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600))
	}
	return folder
}

func TestServeAnswersUntilToldToStop(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	out, said := io.Pipe()
	ended := make(chan int, 1)
	var fault bytes.Buffer
	go func() {
		arguments := []string{"serve", "-addr", "localhost:0", "-bundle", tinyBundle(t)}
		ended <- execute(ctx, commands(), arguments, nil, said, &fault)
		said.Close()
	}()
	line := make([]byte, 200)
	n, err := out.Read(line)
	require.NoError(t, err, fault.String())
	_, url, found := strings.Cut(strings.TrimSpace(string(line[:n])), " is at ")
	require.True(t, found, string(line[:n]))

	answer, err := http.Get(url + "/site/xyz/measure")
	require.NoError(t, err)
	body, err := io.ReadAll(answer.Body)
	answer.Body.Close()
	require.NoError(t, err)
	require.Equal(t, "the page", string(body))

	stop()
	require.Equal(t, exitDone, <-ended, fault.String())
	_, err = http.Get(url)
	require.Error(t, err, "it has stopped")
}

func TestCommandLine(t *testing.T) {
	for _, c := range []struct {
		arguments []string
		code      int
		out       string
		fault     string
	}{
		{nil, exitUsage, "", "Usage: pegpour"},
		{[]string{"help"}, exitDone, "serve", ""},
		{[]string{"frobnicate"}, exitUsage, "", `no command "frobnicate"`},
		{[]string{"serve", "-h"}, exitDone, "", "-addr"},
		{[]string{"serve", "-wrong"}, exitUsage, "", "-wrong"},
		{[]string{"serve", "-proxies", "everybody"}, exitUsage, "", "everybody"},
		{[]string{"serve", "more"}, exitUsage, "", `"more" is one word too many`},
		{[]string{"serve", "-bundle", t.TempDir()}, exitFault, "", "make build"},
		{[]string{"serve", "-addr", "nowhere:xx", "-bundle", tinyBundle(t)}, exitFault, "", "xx"},
	} {
		t.Run(strings.Join(c.arguments, " "), func(t *testing.T) {
			var out, fault bytes.Buffer
			require.Equal(t, c.code, execute(t.Context(), commands(), c.arguments, nil, &out, &fault))
			require.Contains(t, out.String(), c.out)
			require.Contains(t, fault.String(), c.fault)
		})
	}
}
