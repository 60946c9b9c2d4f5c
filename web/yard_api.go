package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	_ "embed"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"mime"
	"net"
	"net/http"
	"strconv"
	"strings"
	"time"

	"pegpour/engine/refusal"
	"pegpour/storage"
	"pegpour/storage/yard"
)

//go:embed openapi.json
var openAPI []byte

// anyone marks what needs no pairing, anyRole what every paired device may do.
const (
	anyone  yard.Role = "anyone"
	anyRole yard.Role = "any"
)

// yardAPI answers what stands below /api/v1/. It keeps no state but the
// limits, so that several may serve one database.
type yardAPI struct {
	yard *yard.Yard
	now  func() time.Time
	log  io.Writer

	byDevice, byAddress, byFailure *limiter
	mux                            *http.ServeMux
}

// route is one address of the API.
type route struct {
	method, path string
	role         yard.Role
	answer       func(w http.ResponseWriter, r *http.Request, d yard.Device) error
}

func (a *yardAPI) routes() []route {
	return []route{
		{"GET", "/api/v1/openapi.json", anyone, a.describe},
		{"GET", "/api/v1/problems/{problem}", anyone, a.explain},
		{"POST", "/api/v1/pair", anyone, a.pair},
		{"GET", "/api/v1/device", anyRole, a.self},
		{"DELETE", "/api/v1/device", anyRole, a.leave},
		{"GET", "/api/v1/devices", yard.Office, a.devices},
		{"DELETE", "/api/v1/devices/{device}", yard.Office, a.withdraw},
		{"POST", "/api/v1/codes", yard.Office, a.newCode},
		{"GET", "/api/v1/changes", anyRole, a.changes},
		{"GET", "/api/v1/sites", anyRole, a.sites},
		{"GET", "/api/v1/sites/{site}", anyRole, a.site},
		{"GET", "/api/v1/sites/{site}/heads", anyRole, a.heads},
		{"GET", "/api/v1/sites/{site}/revisions", anyRole, a.history},
		{"GET", "/api/v1/sites/{site}/revisions/{revision}", anyRole, a.revision},
		{"PUT", "/api/v1/sites/{site}/revisions/{revision}", anyRole, a.putRevision},
		{"GET", "/api/v1/sites/{site}/marks/{mark}", anyRole, a.showMark},
		{"PUT", "/api/v1/sites/{site}/marks/{mark}", anyRole, a.setMark},
		{"DELETE", "/api/v1/sites/{site}/marks/{mark}", anyRole, a.clearMark},
		{"GET", "/api/v1/sites/{site}/export", anyRole, a.export},
		{"HEAD", "/api/v1/photos/{photo}", anyRole, a.photoState},
		{"GET", "/api/v1/photos/{photo}", anyRole, a.photo},
		{"PUT", "/api/v1/photos/{photo}", anyRole, a.putPhoto},
		{"GET", "/api/v1/backup", yard.Office, a.backUp},
		{"GET", "/api/v1/audit", yard.Office, a.audit},
	}
}

// newYardAPI returns the handler of the API. log takes what went wrong inside.
func newYardAPI(y *yard.Yard, now func() time.Time, log io.Writer) *yardAPI {
	a := &yardAPI{
		yard: y, now: now, log: log,
		byDevice:  newLimiter(100, 400, now),
		byAddress: newLimiter(500, 2000, now),
		byFailure: newLimiter(0.2, 20, now), // codes and tokens tried in vain
		mux:       http.NewServeMux(),
	}
	for _, r := range a.routes() {
		a.mux.HandleFunc(r.method+" "+r.path, func(w http.ResponseWriter, q *http.Request) { a.admit(w, q, r) })
	}
	a.mux.HandleFunc("/api/", a.nowhere)
	return a
}

func (a *yardAPI) logf(format string, values ...any) {
	fmt.Fprintf(a.log, "yard: "+format+"\n", values...)
}

func (a *yardAPI) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Cache-Control", "private, no-cache")
	if ok, wait := a.byAddress.allow(addressOf(r)); !ok {
		slowDown(w, wait)
		return
	}
	if r.Header.Get("Content-Encoding") != "" {
		refuseFor(w, http.StatusUnsupportedMediaType, wrongType, refusal.Say("bodies are taken as they are, not packed"))
		return
	}
	a.mux.ServeHTTP(w, r)
}

func addressOf(r *http.Request) string {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		return r.RemoteAddr
	}
	return host
}

func slowDown(w http.ResponseWriter, wait time.Duration) {
	w.Header().Set("Retry-After", strconv.Itoa(int(math.Ceil(wait.Seconds()))+1))
	refuse(w, http.StatusTooManyRequests, tooMany)
}

// nowhere answers for addresses that are none, and for methods that an address
// does not have.
func (a *yardAPI) nowhere(w http.ResponseWriter, r *http.Request) {
	var allowed []string
	for _, method := range []string{"GET", "HEAD", "PUT", "POST", "DELETE"} {
		probe := r.Clone(r.Context())
		probe.Method = method
		if _, pattern := a.mux.Handler(probe); pattern != "/api/" && pattern != "" {
			allowed = append(allowed, method)
		}
	}
	if len(allowed) == 0 {
		refuse(w, http.StatusNotFound, notKnown)
		return
	}
	w.Header().Set("Allow", strings.Join(allowed, ", "))
	refuse(w, http.StatusMethodNotAllowed, notAllowed)
}

// admit finds out who asks, whether it may, and answers.
func (a *yardAPI) admit(w http.ResponseWriter, r *http.Request, to route) {
	var d yard.Device
	if to.role != anyone {
		if a.byFailure.empty(addressOf(r)) {
			slowDown(w, 5*time.Second)
			return
		}
		token, _ := strings.CutPrefix(r.Header.Get("Authorization"), "Bearer ")
		var err error
		if d, err = a.yard.Device(r.Context(), token); err != nil {
			if err == yard.ErrRefused {
				a.byFailure.allow(addressOf(r))
			}
			a.fail(w, r, err)
			return
		}
		if ok, wait := a.byDevice.allow(d.ID); !ok {
			slowDown(w, wait)
			return
		}
		if to.role == yard.Office && d.Role != yard.Office {
			a.note(r, d, "refused", r.Method+" "+to.path)
			refuse(w, http.StatusForbidden, wrongRole)
			return
		}
	}
	if site := r.PathValue("site"); site != "" && !siteID(site) {
		refuse(w, http.StatusNotFound, notKnown)
		return
	}
	if err := to.answer(w, r, d); err != nil {
		a.fail(w, r, err)
	}
}

// siteID reports whether a site may be called so.
func siteID(id string) bool {
	return len(id) <= 64 && id != storage.ShopID && strings.IndexFunc(id, func(r rune) bool { return r <= ' ' || r == '/' || r == 0x7f }) < 0
}

// note adds to the audit log; that it cannot does not undo what was done.
func (a *yardAPI) note(r *http.Request, d yard.Device, action, subject string) {
	err := a.yard.Note(context.WithoutCancel(r.Context()), yard.Entry{Device: d.ID, Address: addressOf(r), Action: action, Subject: subject})
	if err != nil {
		a.logf("audit: %v", err)
	}
}

// answer writes JSON. To GET it adds a tag and heeds conditions (RFC 9110,
// section 13).
func answer(w http.ResponseWriter, r *http.Request, status int, body any) error {
	text, err := json.Marshal(body)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/json")
	if r.Method == http.MethodGet && status == http.StatusOK {
		sum := sha256.Sum256(text)
		serveBytes(w, r, hex.EncodeToString(sum[:16]), text)
		return nil
	}
	w.WriteHeader(status)
	_, err = w.Write(text)
	return err
}

// answerTagged answers a GET under a tag that the yard gives.
func answerTagged(w http.ResponseWriter, r *http.Request, tag string, body any) error {
	text, err := json.Marshal(body)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/json")
	serveBytes(w, r, tag, text)
	return nil
}

// serveBytes answers GET and HEAD with If-Match, If-None-Match and Range.
func serveBytes(w http.ResponseWriter, r *http.Request, tag string, body []byte) {
	w.Header().Set("ETag", `"`+tag+`"`)
	w = &problemWriter{ResponseWriter: w}
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(body))
}

// problemWriter turns the bare refusals of http.ServeContent into problems.
type problemWriter struct {
	http.ResponseWriter
	refused bool
}

func (p *problemWriter) WriteHeader(status int) {
	switch status {
	case http.StatusPreconditionFailed, http.StatusRequestedRangeNotSatisfiable:
		p.refused = true
		p.Header().Del("Content-Length")
		refuse(p.ResponseWriter, status, precondition)
	default:
		p.ResponseWriter.WriteHeader(status)
	}
}

func (p *problemWriter) Write(b []byte) (int, error) {
	if p.refused {
		return len(b), nil
	}
	return p.ResponseWriter.Write(b)
}

// matches reports whether a list of tags, or *, names a tag.
func matches(list, tag string) bool {
	for one := range strings.SplitSeq(list, ",") {
		one = strings.TrimPrefix(strings.TrimSpace(one), "W/")
		if one == "*" || one == `"`+tag+`"` {
			return true
		}
	}
	return false
}

// readBody reads a body of at most limit bytes and of one of the media types.
func readBody(w http.ResponseWriter, r *http.Request, limit int64, types ...string) ([]byte, error) {
	kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	known := false
	for _, t := range types {
		known = known || t == kind
	}
	if err != nil || !known {
		refuseFor(w, http.StatusUnsupportedMediaType, wrongType, refusal.Say("taken here: {0}", refusal.Each(types...)))
		return nil, errAnswered
	}
	body, err := io.ReadAll(http.MaxBytesReader(w, r.Body, limit))
	if err != nil {
		if _, large := err.(*http.MaxBytesError); !large {
			panic(http.ErrAbortHandler) // the connection is gone: there is nobody to answer
		}
	}
	return body, err
}

// number reads a number from the query, 0 when it is not given.
func number(r *http.Request, name string) (int64, error) {
	text := r.URL.Query().Get(name)
	if text == "" {
		return 0, nil
	}
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil || n < 0 {
		return 0, &yard.InvalidError{Reason: refusal.Say("{0} is a number from 0", refusal.Typed(name))}
	}
	return n, nil
}
