package world

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
	"strings"
	"time"

	"pegpour/storage"
	"pegpour/storage/replication"
	"pegpour/storage/yard"
	"pegpour/web/api"
)

// house is a yard with its server: what answers at its address changes, as a server
// is killed, restored, moved or brought up to date.
type house struct {
	w       *world
	n       int
	folder  string
	moves   int
	yard    *yard.Yard
	api     http.Handler
	old     bool // of before a yard knew who it is
	dieAt   string
	died    bool
	backUps []string
	// store is how the store of photos fails, in the next calls.
	store      kind
	storeCalls int
	now        *generation
}

// generation is what a yard holds from one restore to the next.
type generation struct {
	of   *house
	held map[string]map[string]bool    // tokens by site, once it is over; nil while it goes on
	took map[string][]storage.Revision // what it said it has, by site
	next *generation                   // what a restore made of it
}

var errKilled = errors.New("killed")

func (w *world) newHouse(layout int) *house {
	h := &house{w: w, n: len(w.houses), old: layout > 0}
	h.now = &generation{of: h, took: map[string][]storage.Revision{}}
	h.folder = filepath.Join(w.folder, fmt.Sprint("yard", h.n))
	w.houses = append(w.houses, h)
	must(os.MkdirAll(h.folder, 0o700))
	if layout > 0 {
		text, err := os.ReadFile(fmt.Sprintf("../../../testdata/yards/layout%d.sql", layout))
		must(err)
		db, err := sql.Open("sqlite", "file:"+filepath.Join(h.folder, yard.FileName))
		must(err)
		_, err = db.Exec("PRAGMA synchronous(OFF);" + string(text))
		must(errors.Join(err, db.Close()))
	}
	h.start()
	h.backUp()
	return h
}

func (h *house) start() {
	var err error
	h.dieAt, h.died = "", false
	h.yard, err = yard.Open(context.Background(), h.folder, yard.Options{
		NotDurable: true,
		Now:        h.clock,
		Fault: func(point string) error {
			if h.died || point == h.dieAt {
				h.died = true
				return errKilled
			}
			return nil
		},
		StoreFault: func(point string) error {
			after := point == "written" || point == "removed"
			if h.storeCalls == 0 || after != (h.store == storeLoses) {
				return nil
			}
			h.storeCalls--
			h.w.fire(h.store)
			return errCut
		},
	})
	must(err)
	h.api = api.New(h.yard, h.clock, slog.New(slog.DiscardHandler))
}

func (h *house) clock() time.Time { return h.w.now().Add(h.w.yardSkew) }

func (h *house) stop() { must(h.yard.Close()) }

// kill stops the server as SIGKILL does, and starts it again.
func (h *house) kill() {
	h.stop()
	h.start()
}

// move takes the folder to another place.
func (h *house) move() {
	h.stop()
	h.moves++
	to := filepath.Join(h.w.folder, fmt.Sprintf("yard%d-%d", h.n, h.moves))
	must(os.Rename(h.folder, to))
	h.folder = to
	h.start()
}

// directly has something done in the yard that comes over no line.
func (h *house) directly(do func(*yard.Yard)) {
	dieAt, calls := h.dieAt, h.storeCalls
	h.dieAt, h.storeCalls = "", 0
	do(h.yard)
	h.dieAt, h.storeCalls = dieAt, calls
}

func (h *house) backUp() {
	file := filepath.Join(h.w.folder, fmt.Sprintf("backup%d-%d", h.n, len(h.backUps)))
	h.directly(func(y *yard.Yard) { must(y.BackUp(context.Background(), file)) })
	h.backUps = append(h.backUps, file)
}

// restore puts a yard made of a back-up in the place of this one.
func (h *house) restore(file string) {
	ended := h.now
	ended.held = map[string]map[string]bool{}
	sites, err := h.yard.Sites(context.Background(), yard.Query{})
	must(err)
	for _, s := range sites {
		ended.held[s.ID] = h.tokens(s.ID)
	}
	h.stop()
	h.moves++
	h.folder = filepath.Join(h.w.folder, fmt.Sprintf("yard%d-%d", h.n, h.moves))
	must(yard.Restore(context.Background(), file, h.folder))
	h.now, h.old = &generation{of: h, took: map[string][]storage.Revision{}}, false
	ended.next = h.now
	h.start()
}

// holds reports whether the generation has had a token of a site, or one after it, of
// which a phone hears only when it asks for changes.
func (g *generation) holds(site, token string) bool {
	for ; g.next != nil; g = g.next {
		if g.held[site][token] {
			return true
		}
	}
	return g.of.tokens(site)[token]
}

// tokens are all that stand in the site's history in the yard.
func (h *house) tokens(site string) map[string]bool {
	all := map[string]bool{}
	for _, p := range h.history(site) {
		if p.Waiting {
			continue
		}
		for _, token := range h.w.read(h, site, p.Revision) {
			all[token] = true
		}
	}
	return all
}

func (h *house) history(site string) []yard.Past {
	var all []yard.Past
	for after := int64(0); ; {
		past, err := h.yard.History(context.Background(), site, after, 0)
		must(err)
		if len(past) == 0 || after > 0 && past[len(past)-1].Turn <= after {
			return all
		}
		all = append(all, past...)
		after = past[len(past)-1].Turn
	}
}

// answer has the server answer a request.
func (h *house) answer(p *phone, r replication.Request) (replication.Response, error) {
	return h.answerTo(p, r, bytes.NewReader(r.Body))
}

// answerTo is answer where the body comes as it comes.
func (h *house) answerTo(p *phone, r replication.Request, body io.Reader) (replication.Response, error) {
	q := httptest.NewRequest(r.Method, "http://yard.test"+r.Path, body)
	q.RemoteAddr = fmt.Sprintf("10.0.0.%d:1", p.n)
	for name, value := range r.Header {
		q.Header.Set(name, value)
	}
	a, broken := httptest.NewRecorder(), false
	func() {
		defer func() { // as the server of net/http does
			if what := recover(); what != nil {
				if broken = what == http.ErrAbortHandler; !broken {
					panic(what)
				}
			}
		}()
		h.api.ServeHTTP(a, q)
	}()
	if h.died {
		h.w.fire(dieAt)
		h.w.note("the server dies at %s %s", r.Method, r.Path)
		h.kill()
		return replication.Response{}, errCut
	}
	if broken {
		return replication.Response{}, errCut
	}
	out := replication.Response{Status: a.Code, Header: map[string]string{}, Body: a.Body.Bytes()}
	if r.Method == http.MethodHead {
		out.Body = nil
	}
	for name, values := range a.Header() {
		out.Header[strings.ToLower(name)] = strings.Join(values, ", ")
	}
	if at := strings.Split(r.Path, "/"); r.Method == http.MethodPut && len(at) == 7 && at[5] == "revisions" && a.Code < 202 {
		name, _, _ := strings.Cut(at[6], "?")
		h.now.took[at[4]] = append(h.now.took[at[4]], storage.Revision(name))
	}
	if h.old && bytes.Contains(out.Body, []byte(`"generation"`)) {
		out.Body = withoutIdentity(out.Body)
	}
	return out, nil
}

var errCut = errors.New("the signal is gone")

// brokenOff is the rest of a body that never comes.
type brokenOff struct{}

func (brokenOff) Read([]byte) (int, error) { return 0, io.ErrUnexpectedEOF }

// late is a request that arrives when nobody waits for its answer any more.
type late struct {
	from *phone
	to   *house
	r    replication.Request
}

// Send implements replication.Transport with the line as it is.
func (p *phone) Send(_ context.Context, r replication.Request) (replication.Response, error) {
	h := p.house
	if p.disk.powerCut {
		return replication.Response{}, errCut
	}
	var how event
	if len(p.line) > 0 && !p.w.quiet {
		how, p.line = p.line[0], p.line[1:]
	}
	if how.Do == "" && p.deaf > 0 && !p.w.quiet {
		p.deaf--
		how.Do = oneWay
	}
	if how.Do != "" {
		p.w.fire(how.Do)
		p.w.note("  %s: %s %s", how.Do, r.Method, r.Path)
	}
	switch how.Do {
	case cut:
		if how.N%2 == 0 { // on its way
			_, _ = h.answerTo(p, r, io.MultiReader(bytes.NewReader(r.Body[:len(r.Body)/2]), brokenOff{}))
		}
		return replication.Response{}, errCut
	case delay:
		p.w.late = append(p.w.late, late{p, h, r})
		return replication.Response{}, errCut
	case captive:
		return page(how.N), nil
	case busy:
		return replication.Response{Status: []int{502, 503, 429}[how.N%3], Header: map[string]string{"retry-after": "20"},
			Body: []byte("<html>busy</html>")}, nil
	}
	answer, err := h.answer(p, r)
	p.absent = answer.Status == 404 && strings.HasPrefix(r.Path, "/api/v1/photos/")
	switch how.Do {
	case double:
		answer, err = h.answer(p, r)
	case loseAnswer, oneWay:
		return replication.Response{}, errCut
	case answerLate:
		time.Sleep(time.Minute)
		return replication.Response{}, errCut
	case half:
		answer.Body = answer.Body[:len(answer.Body)/2]
	}
	told := answer.Status < 300 && (r.Path == "/api/v1/pair" || strings.HasPrefix(r.Path, "/api/v1/changes"))
	if told && err == nil && how.Do != half {
		p.heard = h.now
	}
	return answer, err
}

// page is what a network between answers: a sign-in, a block, a limit.
func page(n int) replication.Response {
	status := []int{200, 200, 401, 403, 404, 404, 413, 415, 422, 511}[n%10]
	return replication.Response{Status: status, Header: map[string]string{"content-type": "text/html"},
		Body: []byte("<html><title>Welcome to the network</title></html>")}
}

// photoBytes reads a photo of the yard.
func (h *house) photoBytes(id string) []byte {
	var data []byte
	h.directly(func(y *yard.Yard) {
		if _, all, err := y.PhotoBytes(context.Background(), id); err == nil {
			data = all
		}
	})
	return data
}

// heads are the newest revisions of a site, none where the yard does not have it.
func (h *house) heads(site string) []storage.Revision {
	s, err := h.yard.Site(context.Background(), site)
	if errors.Is(err, yard.ErrNotFound) {
		return nil
	}
	must(err)
	return s.Heads
}
