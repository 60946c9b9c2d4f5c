package e2e

import (
	"bytes"
	"io"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"strconv"
	"strings"
	"testing"
	"time"
)

// startRelay starts a server that passes everything on to s and changes what
// comes back. It returns its address, on localhost so that service workers are
// allowed.
func startRelay(t testing.TB, s *Server, change func(*http.Response) error) string {
	t.Helper()
	target, err := url.Parse(s.URL)
	if err != nil {
		t.Fatal(err)
	}
	relay := httputil.NewSingleHostReverseProxy(target)
	relay.ModifyResponse = change
	relay.FlushInterval = -1
	server := httptest.NewServer(relay)
	t.Cleanup(server.CloseClientConnections)
	return strings.Replace(server.URL, "127.0.0.1", "localhost", 1)
}

// relaySlowly lets the program through over some three seconds.
func relaySlowly(r *http.Response) error {
	if r.Header.Get("Content-Type") == "application/wasm" {
		r.Body = &slowBody{ReadCloser: r.Body, chunk: int(r.ContentLength/30) + 1}
	}
	return nil
}

type slowBody struct {
	io.ReadCloser
	chunk int
}

func (b *slowBody) Read(p []byte) (int, error) {
	time.Sleep(100 * time.Millisecond) // the slowness is what is being tested
	return io.ReadFull(b.ReadCloser, p[:min(len(p), b.chunk)])
}

// relayMissing answers for the program that there is none, as a server does
// that has moved on to yet another version.
func relayMissing(r *http.Response) error {
	if r.Header.Get("Content-Type") == "application/wasm" {
		r.StatusCode = http.StatusNotFound
	}
	return nil
}

// relaySpoiled adds a letter to the web app manifest, as a broken cache on the
// way might. The page does not need that file to run; its version does.
func relaySpoiled(r *http.Response) error {
	if r.Header.Get("Content-Type") != "application/manifest+json" {
		return nil
	}
	r.Header.Del("Content-Encoding") // what is sent is not what was packed
	body, err := io.ReadAll(r.Body)
	if err != nil {
		return err
	}
	r.Body.Close()
	body = append(body, ' ')
	r.Body = io.NopCloser(bytes.NewReader(body))
	r.ContentLength = int64(len(body))
	r.Header.Set("Content-Length", strconv.Itoa(len(body)))
	return nil
}
