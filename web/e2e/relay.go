package e2e

import (
	"bytes"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"strconv"
	"strings"
	"sync"
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

// Line carries bytes to a server, and can be cut in the middle of what is sent.
type Line struct {
	// URL is the address at which the server is reached through it.
	URL string

	target   string
	listener net.Listener

	mu   sync.Mutex
	open map[net.Conn]bool
	dead bool
	left int // bytes still carried to the server before it is cut; -1: never
}

// startLine starts a line to s, on localhost so that service workers are allowed.
func startLine(t testing.TB, s *Server) *Line {
	t.Helper()
	listener, err := net.Listen("tcp", "localhost:0")
	if err != nil {
		t.Fatal(err)
	}
	_, port, err := net.SplitHostPort(listener.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	l := &Line{
		URL: "http://localhost:" + port, target: strings.TrimPrefix(s.URL, "http://"),
		listener: listener, open: map[net.Conn]bool{}, left: -1,
	}
	t.Cleanup(func() {
		listener.Close()
		l.cut()
	})
	go l.accept()
	return l
}

func (l *Line) accept() {
	for {
		from, err := l.listener.Accept()
		if err != nil {
			return
		}
		l.mu.Lock()
		dead := l.dead
		l.mu.Unlock()
		if dead {
			from.Close()
			continue
		}
		to, err := net.Dial("tcp", l.target)
		if err != nil {
			from.Close()
			continue
		}
		l.mu.Lock()
		l.open[from], l.open[to] = true, true
		l.mu.Unlock()
		go l.carry(to, from, true)
		go l.carry(from, to, false)
	}
}

// carry copies until either end closes or the line is cut.
func (l *Line) carry(to, from net.Conn, up bool) {
	defer to.Close()
	defer from.Close()
	piece := make([]byte, 4<<10)
	for {
		n, err := from.Read(piece)
		if err != nil {
			return
		}
		if up {
			n = l.spend(n)
		}
		if _, err := to.Write(piece[:n]); err != nil {
			return
		}
		if up && l.isDead() {
			l.cut()
			return
		}
	}
}

// spend returns how many of n bytes still get through.
func (l *Line) spend(n int) int {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.left < 0 {
		return n
	}
	n = min(n, l.left)
	if l.left -= n; l.left == 0 {
		l.dead = true
	}
	return n
}

func (l *Line) isDead() bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.dead
}

func (l *Line) cut() {
	l.mu.Lock()
	defer l.mu.Unlock()
	for c := range l.open {
		c.Close()
	}
	clear(l.open)
}

// CutAfter has the line break after so many more bytes to the server.
func (l *Line) CutAfter(bytes int) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.left = bytes
}

// Mend has the line carry everything again.
func (l *Line) Mend() {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.left, l.dead = -1, false
}
