package api

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"net"
	"net/http"
	"os"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/replication"
	"pegpour/storage/replication/nethttp"
	"pegpour/storage/yard"
	"pegpour/web/secure"
)

// world is a yard, the phones and the office, and a line between them that
// fails in every way; all of it follows from one seed.
type world struct {
	t      testing.TB
	random *rand.Rand
	folder string
	clock  time.Time

	yard   *yard.Yard
	server *http.Server
	line   *line
	dieAt  string // the point of a change at which the server is killed
	died   bool

	places  []*place
	crossed int // conflicts on a field that only one place edits
	site    string
	trace   []string

	acked map[storage.Revision]bool // revisions that the yard acknowledged
	late  []replication.Request     // requests that come again, or late
}

var errKilled = errors.New("killed")

func newWorld(t testing.TB, seed uint64) *world {
	w := &world{
		t: t, random: rand.New(rand.NewPCG(seed, 0x706567)), clock: time.Date(2026, 5, 1, 8, 0, 0, 0, time.UTC),
		acked: map[storage.Revision]bool{},
	}
	var err error
	parent := ""
	if s, err := os.Stat("/dev/shm"); err == nil && s.IsDir() {
		parent = "/dev/shm" // these runs pull no plug
	}
	w.folder, err = os.MkdirTemp(parent, "pegpour-world-")
	require.NoError(t, err)
	w.start()
	return w
}

func (w *world) close() {
	w.stop()
	_ = os.RemoveAll(w.folder)
}

func (w *world) start() {
	var err error
	w.dieAt, w.died = "", false
	w.yard, err = yard.Open(context.Background(), w.folder, yard.Options{
		NotDurable: true,
		Now:        func() time.Time { return w.clock },
		Fault: func(point string) error {
			if w.died || point == w.dieAt {
				if !w.died {
					w.died = true
					w.line.cutAll()
				}
				return errKilled
			}
			return nil
		},
	})
	require.NoError(w.t, err)
	w.line = newLine()
	api := New(w.yard, func() time.Time { return w.clock }, io.Discard)
	w.server = &http.Server{Handler: secure.Headers(api), ConnState: w.line.state}
	go func(s *http.Server, l net.Listener) { _ = s.Serve(l) }(w.server, w.line)
}

func (w *world) stop() {
	_ = w.server.Close()
	w.line.cutAll()
	w.line.wait()
	_ = w.yard.Close()
}

// kill stops the server as SIGKILL does: nothing is finished, nothing said.
func (w *world) kill() {
	w.stop()
	w.start()
}

func (w *world) note(format string, values ...any) {
	w.trace = append(w.trace, fmt.Sprintf(format, values...))
}

// line is a listener in memory whose connections can be cut at any byte.
type line struct {
	calls chan net.Conn
	done  chan struct{}

	mu      sync.Mutex
	all     []net.Conn
	running sync.WaitGroup
}

func newLine() *line { return &line{calls: make(chan net.Conn), done: make(chan struct{})} }

func (l *line) Accept() (net.Conn, error) {
	select {
	case c := <-l.calls:
		return c, nil
	case <-l.done:
		return nil, net.ErrClosed
	}
}

func (l *line) Close() error {
	l.mu.Lock()
	defer l.mu.Unlock()
	select {
	case <-l.done:
	default:
		close(l.done)
	}
	return nil
}

func (l *line) Addr() net.Addr { return &net.TCPAddr{IP: net.IPv4(127, 0, 0, 1), Port: 1} }

// dial returns a connection that is cut after so many bytes up or down; -1
// never is.
func (l *line) dial(up, down int) (net.Conn, error) {
	here, there := net.Pipe()
	l.mu.Lock()
	l.all = append(l.all, here, there)
	l.mu.Unlock()
	l.running.Add(1)
	select {
	case l.calls <- there:
		return &cuttable{Conn: here, up: up, down: down}, nil
	case <-l.done:
		l.running.Done()
		return nil, net.ErrClosed
	}
}

// state waits for the server to be done with a connection, so that a run is
// the same each time.
func (l *line) state(_ net.Conn, s http.ConnState) {
	if s == http.StateClosed {
		l.running.Done()
	}
}

func (l *line) cutAll() {
	l.mu.Lock()
	defer l.mu.Unlock()
	for _, c := range l.all {
		_ = c.Close()
	}
	l.all = nil
}

func (l *line) wait() { l.running.Wait() }

type cuttable struct {
	net.Conn
	up, down int
}

var errCut = errors.New("the signal is gone")

func (c *cuttable) Write(b []byte) (int, error) {
	if c.up < 0 || len(b) <= c.up {
		n, err := c.Conn.Write(b)
		if c.up > 0 {
			c.up -= n
		}
		return n, err
	}
	n, _ := c.Conn.Write(b[:c.up])
	_ = c.Conn.Close()
	return n, errCut
}

func (c *cuttable) Read(b []byte) (int, error) {
	if c.down < 0 {
		return c.Conn.Read(b)
	}
	if c.down == 0 { // what came before the cut was read
		_ = c.Conn.Close()
		return 0, errCut
	}
	n, err := c.Conn.Read(b[:min(len(b), c.down)])
	c.down -= n
	return n, err
}

// bytesClass picks how many bytes come through before a cut: none, into the
// first line, into the headers, into the body, or to its end.
func (w *world) bytesClass(body int) int {
	switch w.random.IntN(5) {
	case 0:
		return 0
	case 1:
		return w.random.IntN(40)
	case 2:
		return w.random.IntN(600)
	case 3:
		return 300 + w.random.IntN(body+1)
	}
	return body + w.random.IntN(800)
}

// Send carries a request over the line as it is at the moment.
func (p *place) Send(ctx context.Context, r replication.Request) (replication.Response, error) {
	w := p.world
	up, down := -1, -1
	if w.line == nil {
		return replication.Response{}, errCut
	}
	if !p.good && w.random.IntN(100) < p.bad {
		switch w.random.IntN(6) {
		case 0, 1:
			up = w.bytesClass(len(r.Body))
		case 2, 3:
			down = 1 + w.bytesClass(400)
		case 4:
			w.dieAt = []string{"begin", "commit", "committed"}[w.random.IntN(3)]
		case 5: // twice now, or again later and out of order
			if r.Method == http.MethodPut {
				w.late = append(w.late, r)
			}
			if w.random.IntN(2) == 0 {
				_, _ = w.carry(ctx, r, -1, -1)
			}
		}
	}
	answer, err := w.carry(ctx, r, up, down)
	w.dieAt = ""
	if w.died {
		w.note("server killed")
		w.kill()
	}
	if err == nil && r.Method == http.MethodPut && answer.Status < 300 {
		var name string
		before := min(len(r.Path), len("/api/v1/sites/"+w.site+"/revisions/"))
		if _, err := fmt.Sscanf(r.Path[before:], "%64s", &name); err == nil && yard.IsHash(name) {
			w.acked[storage.Revision(name)] = true
		}
	}
	return answer, err
}

func (w *world) carry(ctx context.Context, r replication.Request, up, down int) (replication.Response, error) {
	var c net.Conn
	client := &http.Client{Transport: &http.Transport{
		DisableKeepAlives: true,
		DialContext: func(context.Context, string, string) (net.Conn, error) {
			var err error
			c, err = w.line.dial(up, down)
			return c, err
		},
	}}
	answer, err := nethttp.Transport{Address: "http://yard.test", Client: client}.Send(ctx, r)
	if c != nil {
		_ = c.Close()
	}
	w.line.wait()
	return answer, err
}
