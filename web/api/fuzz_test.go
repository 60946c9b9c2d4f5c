package api

import (
	"bytes"
	"encoding/json"
	"errors"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"pegpour/engine/refusal"
	"pegpour/storage"
	"pegpour/storage/canonical"
	"pegpour/storage/contentrange"
	"pegpour/web/api/apitest"
)

// serveFuzzed answers a request and reports what no request may get.
func serveFuzzed(t *testing.T, f *fixture, r *http.Request) *httptest.ResponseRecorder {
	*f.api.limits = *newLimits(f.clock)
	f.log.Reset()
	w := httptest.NewRecorder()
	func() {
		defer func() {
			if why := recover(); why != nil && why != http.ErrAbortHandler {
				t.Fatalf("%s %q: %v", r.Method, r.URL, why)
			}
		}()
		f.api.ServeHTTP(w, r)
	}()
	if w.Code >= 500 || f.log.Len() > 0 {
		t.Errorf("%s %q: %d %s\n%s", r.Method, r.URL, w.Code, w.Body, f.log.String())
	}
	if w.Code >= 400 && r.Method != http.MethodHead {
		var p problem
		if err := json.Unmarshal(w.Body.Bytes(), &p); err != nil || p.Status != w.Code {
			t.Errorf("%s %q: %d %s", r.Method, r.URL, w.Code, w.Body)
		}
	}
	return w
}

// fuzzedYard is a yard with a site and a photo, as a fixture.
func fuzzedYard(t testing.TB) (f *fixture, photo string) {
	f = newFixture(t)
	data := pngBytes(t, 30)
	photo = storage.PhotoID(data)
	text := apitest.SiteBytes(t, "s", "One", photo)
	f.want(201, f.ask(f.crew, "PUT", apitest.RevisionPath("s", text), text))
	f.want(200, f.ask(f.crew, "PUT", "/api/v1/photos/"+photo, data, octetsTaken))
	return f, photo
}

// Every form and every list: whatever stands in the body or behind the ?.
func FuzzFormsAndQueries(f *testing.F) {
	x, _ := fuzzedYard(f)
	for n, form := range []string{
		`{"role":"crew","address":"https://yard.example"}`, `{"words":"One"}`, `{"words":"One","site":"s","keep":true}`,
		`{"keepDeletedDays":30}`, `{"code":"ABCDE-FGHJK","name":"x"}`,
	} {
		f.Add(uint8(n), "s", "search=one&before=3&limit=2&state=none&after=1&since=x", []byte(form))
	}
	f.Fuzz(func(t *testing.T, which uint8, part, query string, body []byte) {
		to := x.api.routes[int(which)%len(x.api.routes)]
		if strings.HasSuffix(to.path, "/backup") || to.method == "DELETE" && strings.HasPrefix(to.path, "/api/v1/device") {
			return // the one takes long, the other shuts the fuzzer out
		}
		path := to.path
		for strings.Contains(path, "{") {
			from, rest, _ := strings.Cut(path, "{")
			_, after, _ := strings.Cut(rest, "}")
			path = from + url.PathEscape(strings.NewReplacer("{", "", "}", "").Replace(part)) + after
		}
		r := httptest.NewRequest(to.method, "/", bytes.NewReader(body))
		u, err := url.ParseRequestURI(path)
		if err != nil {
			return
		}
		r.URL, r.URL.RawQuery = u, query
		r.Header.Set("Authorization", "Bearer "+x.office)
		r.Header.Set("Content-Type", "application/json")
		serveFuzzed(t, x, r)
	})
}

// Every header that is read.
func FuzzHeaders(f *testing.F) {
	x, photo := fuzzedYard(f)
	f.Add("Bearer x", "bytes=0-9,5-", `W/"x", "y"`, "*", "bytes 0-3/9", "application/octet-stream; charset=x")
	f.Add("Basic eDp5", "bytes=-5", `"`, `""`, "bytes */9", "text/*")
	f.Fuzz(func(t *testing.T, authorization, ranges, match, none, content, kind string) {
		for _, c := range [][2]string{{"GET", "/api/v1/photos/" + photo}, {"PUT", "/api/v1/photos/" + photo},
			{"GET", "/api/v1/sites/s"}, {"PUT", "/api/v1/sites/s/marks/poured"}, {"GET", "/api/v1/sites/s/marks/poured"}} {
			r := httptest.NewRequest(c[0], c[1], strings.NewReader("body"))
			r.Header = http.Header{"Authorization": {authorization}}
			if w := serveFuzzed(t, x, r); w.Code != http.StatusUnauthorized && w.Code != http.StatusTooManyRequests &&
				!strings.Contains(authorization, x.crew) {
				t.Errorf("%q lets in: %d", authorization, w.Code)
			}
			r = httptest.NewRequest(c[0], c[1], strings.NewReader("body"))
			r.Header = http.Header{"Authorization": {"Bearer " + x.office}, "Range": {ranges}, "If-Match": {match},
				"If-None-Match": {none}, "Content-Range": {content}, "Content-Type": {kind}}
			serveFuzzed(t, x, r)
		}
	})
}

// Documents: what is taken is handed out again to the byte, can be taken along, and is
// found in the list.
func FuzzDocuments(f *testing.F) {
	x, photo := fuzzedYard(f)
	f.Add([]byte(`{"survey":{"site":{"name":"\u202eA","client":"\u0000"},"opening":{"width":{"size":4000,"method":"tape"}}}}`))
	f.Add([]byte(`{"photos":[{"id":"` + photo + `"},{"id":"x"}],"notes":[{"id":"1","text":"t"}]}`))
	f.Add([]byte(`{"survey":7}`))
	f.Add([]byte(`{"version":2,"survey":[]}`))
	f.Fuzz(func(t *testing.T, body []byte) {
		tree, err := canonical.Parse(body, canonical.Limits{Bytes: storage.MaxDocumentBytes, Depth: storage.MaxDocumentDepth})
		top, ok := tree.(map[string]any)
		if err != nil || !ok {
			return
		}
		id := "fuzzed-" + storage.PhotoID(body)[:20] // a site of its own each time
		top["format"], top["id"] = storage.Format, id
		if top["version"] == nil {
			top["version"] = 1.0
		}
		text, err := canonical.Marshal(top)
		if err != nil {
			return
		}
		ask := func(method, path string, body []byte) *httptest.ResponseRecorder {
			r := httptest.NewRequest(method, path, bytes.NewReader(body))
			r.Header.Set("Authorization", "Bearer "+x.office)
			r.Header.Set("Content-Type", "application/json")
			return serveFuzzed(t, x, r)
		}
		at := apitest.RevisionPath(id, text)
		w := ask("PUT", at, text)
		if w.Code != 200 && w.Code != 201 {
			return
		}
		if w = ask("GET", at, nil); w.Body.String() != string(text) {
			t.Errorf("not the bytes that were sent: %s", w.Body)
		}
		_, err = storage.Decode(text)
		var newer *storage.NewerError
		if err != nil && !errors.As(err, &newer) {
			t.Errorf("was taken and cannot be read: %v", err)
		}
		if err == nil {
			if w = ask("GET", "/api/v1/sites/"+id+"/export", nil); w.Code != 200 {
				t.Errorf("cannot be taken along: %s", w.Body)
			}
		}
		if w = ask("GET", "/api/v1/sites?search="+id, nil); !strings.Contains(w.Body.String(), id) {
			t.Errorf("not in the list: %s", w.Body)
		}
	})
}

// Pieces of photos.
func FuzzPieces(f *testing.F) {
	x, _ := fuzzedYard(f)
	f.Add(pngBytes(f, 3), 10)
	f.Add([]byte("GIF89a"), 1)
	f.Add([]byte(headOnly(3, 3)), 20)
	f.Fuzz(func(t *testing.T, data []byte, cut int) {
		if len(data) == 0 {
			return
		}
		cut = max(0, cut) % len(data)
		at := "/api/v1/photos/" + storage.PhotoID(data)
		put := func(from, to int) *httptest.ResponseRecorder {
			r := httptest.NewRequest("PUT", at, bytes.NewReader(data[from:to]))
			r.Header.Set("Authorization", "Bearer "+x.office)
			r.Header.Set("Content-Type", "application/octet-stream")
			r.Header.Set("Content-Range", contentrange.Range{First: int64(from), Last: int64(to) - 1, Size: int64(len(data))}.String())
			return serveFuzzed(t, x, r)
		}
		if cut > 0 {
			put(0, cut)
		}
		if w := put(cut, len(data)); w.Code == 200 {
			r := httptest.NewRequest("GET", at, nil)
			r.Header.Set("Authorization", "Bearer "+x.office)
			if w := serveFuzzed(t, x, r); !bytes.Equal(w.Body.Bytes(), data) {
				t.Errorf("not the bytes that were sent: %q", w.Body)
			}
		}
	})
}

// Addresses: whatever is asked for.
func FuzzAddresses(f *testing.F) {
	x, photo := fuzzedYard(f)
	for _, path := range []string{"/api/v1/sites/s/heads", "/api/v1/photos/" + photo, "/api/v1/sites/%2e%2e/export", "/api//v1/../",
		"/api/v1/sites/s/revisions/%00?parent=%ff"} {
		f.Add("GET", path)
	}
	f.Fuzz(func(t *testing.T, method, path string) {
		u, err := url.ParseRequestURI("/api/v1/" + path)
		if err != nil || strings.ContainsAny(method, " \r\n") || method == "DELETE" {
			return
		}
		r := httptest.NewRequest("GET", "/", nil)
		r.Method, r.URL = method, u
		r.Header.Set("Authorization", "Bearer "+x.office)
		w := serveFuzzed(t, x, r)
		for name, values := range w.Header() {
			for _, v := range values {
				if !isText(v) {
					t.Errorf("%s: %q", name, v)
				}
			}
		}
	})
}

// What the answers say is read by the phone's decoder: every refusal goes through it.
func FuzzRefusals(f *testing.F) {
	f.Add([]byte(`{"type":"/api/v1/problems/invalid","status":422,"reason":{"format":"{0} is a number from 0"}}`))
	f.Fuzz(func(t *testing.T, body []byte) {
		var p struct{ Reason refusal.Message }
		if json.Unmarshal(body, &p) == nil {
			_ = p.Reason.String()
		}
	})
}
