package api

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"hash/crc32"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/yard"
	"pegpour/storage/yard/yardtest"
	"pegpour/web/api/apitest"
	"pegpour/web/secure"
)

// hostile is a request that nobody of ours sends, and what it gets.
type hostile struct {
	name   string
	who    string // "crew", "office", or a token
	method string
	path   string
	body   string
	header string // "Name: value", one a line; Content-Type is JSON where there is a body
	want   int
}

const octetsTaken = "Content-Type: application/octet-stream"

// hostiles lists them for a yard that holds the site s with a photo.
func hostiles(first, photo string, code string) []hostile {
	const hash = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"
	revision := func(text string) string { return apitest.RevisionPath("s", []byte(text)) }
	document := func(inner string) string { return `{"format":"pegpour-site","id":"s",` + inner + `"version":1}` }
	sent := func(name, text string, want int) hostile {
		return hostile{name, "crew", "PUT", revision(text), text, "", want}
	}
	ofPhoto := func(name, body, header string, want int) hostile {
		return hostile{name, "crew", "PUT", "/api/v1/photos/" + storage.PhotoID([]byte(body)), body, octetsTaken + header, want}
	}
	list := []hostile{
		// Paths.
		{"NUL in a photo's name", "crew", "GET", "/api/v1/photos/%00", "", "", 404},
		{"no UTF-8 in a photo's name", "crew", "GET", "/api/v1/photos/%ff", "", "", 404},
		{"NUL in a site's name", "crew", "GET", "/api/v1/sites/a%00b", "", "", 404},
		{"no UTF-8 in a site's name", "crew", "GET", "/api/v1/sites/%ff%fe/heads", "", "", 404},
		{"NUL in a revision's name", "crew", "GET", "/api/v1/sites/s/revisions/%00", "", "", 404},
		{"NUL in a mark's name", "crew", "GET", "/api/v1/sites/s/marks/poured%00", "", "", 404},
		{"no UTF-8 in a device's name", "office", "DELETE", "/api/v1/devices/%ff", "", "", 404},
		{"NUL in a deletion", "office", "DELETE", "/api/v1/deletions/%00", "", "", 404},
		{"half a character", "crew", "GET", "/api/v1/sites/%c3/export", "", "", 404},
		{"a longer form of a slash", "crew", "GET", "/api/v1/sites/%c0%af/heads", "", "", 404},
		{"a surrogate", "crew", "GET", "/api/v1/sites/%ed%a0%80/heads", "", "", 404},
		{"up and out", "crew", "GET", "/api/v1/sites/..%2f..%2f..%2fetc%2fpasswd/heads", "", "", 404},
		{"up and out, twice escaped", "crew", "GET", "/api/v1/photos/%252e%252e%252fyard.sqlite", "", "", 404},
		{"a backslash", "crew", "GET", "/api/v1/photos/..%5c..%5cyard.sqlite", "", "", 404},
		{"SQL in a path", "crew", "GET", "/api/v1/sites/s'%20OR%20'1'='1/heads", "", "", 404},
		{"a line break in a path", "crew", "GET", "/api/v1/sites/s%0d%0aX-Evil:%201", "", "", 404},
		{"a very long path", "crew", "GET", "/api/v1/sites/" + strings.Repeat("a", 8000), "", "", 404},
		{"the shop as a site", "crew", "GET", "/api/v1/sites/" + storage.ShopID + "/heads", "", "", 404},
		{"another method", "crew", "PATCH", "/api/v1/sites/s", "", "", 405},
		{"TRACE", "crew", "TRACE", "/api/v1/sites", "", "", 405},
		{"another version", "crew", "GET", "/api/v2/sites", "", "", 404},
		{"a problem that is none", "crew", "GET", "/api/v1/problems/%3Cscript%3E", "", "", 404},
		// Queries.
		{"NUL in a search", "crew", "GET", "/api/v1/sites?search=%00", "", "", 422},
		{"no UTF-8 in a search", "crew", "GET", "/api/v1/sites?search=%ff", "", "", 422},
		{"a broken escape", "crew", "GET", "/api/v1/sites?search=%zz", "", "", 422},
		{"NUL in the name of a parameter", "crew", "GET", "/api/v1/sites?a%00=1", "", "", 422},
		{"SQL in a search", "crew", "GET", "/api/v1/sites?search=%25'%20OR%201=1--", "", "", 200},
		{"a pattern in a search", "crew", "GET", "/api/v1/sites?search=%25_%5c", "", "", 200},
		{"SQL in an order", "crew", "GET", "/api/v1/sites?before=1;DROP%20TABLE%20sites", "", "", 422},
		{"a number beyond 64 bits", "crew", "GET", "/api/v1/changes?after=99999999999999999999", "", "", 422},
		{"the greatest number", "crew", "GET", "/api/v1/changes?after=9223372036854775807", "", "", 200},
		{"a number below nought", "crew", "GET", "/api/v1/sites?limit=-1", "", "", 422},
		{"a number that is none", "crew", "GET", "/api/v1/sites/s/revisions?after=NaN", "", "", 422},
		{"an endless page", "crew", "GET", "/api/v1/sites?limit=9223372036854775807", "", "", 200},
		{"a step that is none", "crew", "GET", "/api/v1/sites?far=poured'%20--", "", "", 422},
		{"a state that is none", "crew", "GET", "/api/v1/sites?state=poured'%20--", "", "", 422},
		{"a parent that is none", "crew", "PUT", "/api/v1/sites/s/revisions/" + hash + "?parent=%27", document(""), "", 422},
		// Who asks.
		{"no token", "", "GET", "/api/v1/sites", "", "", 401},
		{"a guessed token", "AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA", "GET", "/api/v1/sites", "", "", 401},
		{"a token in the address", "", "GET", "/api/v1/sites?token={crew}&access_token={crew}", "", "", 401},
		{"a token as a password", "", "GET", "/api/v1/sites", "", "Authorization: Basic eDp7Y3Jld30=", 401},
		{"two tokens", "", "GET", "/api/v1/sites", "", "Authorization: Bearer {crew}\nAuthorization: Bearer {office}", 401},
		{"a token of 20,000 letters", strings.Repeat("x", 20_000), "GET", "/api/v1/sites", "", "", 401},
		{"the hash of a token", "{hash of crew}", "GET", "/api/v1/sites", "", "", 401},
		{"an office's address by a crew", "crew", "GET", "/api/v1/backup", "", "", 403},
		{"another method in a header", "crew", "GET", "/api/v1/sites", "", "X-HTTP-Method-Override: DELETE", 200},
		{"a code used before", "", "POST", "/api/v1/pair", `{"code":"` + code + `","name":"x"}`, "", 401},
		{"a guessed code", "", "POST", "/api/v1/pair", `{"code":"23456-789AB","name":"x"}`, "", 401},
		{"an empty code", "", "POST", "/api/v1/pair", `{"code":"","name":"x"}`, "", 401},
		{"a code of NUL", "", "POST", "/api/v1/pair", `{"code":"\u0000\ud800","name":"x"}`, "", 401},
		{"a name that cannot be seen", "", "POST", "/api/v1/pair", `{"code":"AAAAA-AAAAA","name":"\u202e\u200b"}`, "", 422},
		// Forms.
		{"a form that is none", "", "POST", "/api/v1/pair", `[]`, "", 422},
		{"two forms in one", "", "POST", "/api/v1/pair", `{"code":"x","name":"y"}{"code":"z"}`, "", 422},
		{"a deep form", "office", "POST", "/api/v1/codes", strings.Repeat("[", 2000) + strings.Repeat("]", 2000), "", 422},
		{"a number for a text", "office", "POST", "/api/v1/codes", `{"role":1e999}`, "", 422},
		{"a large form", "", "POST", "/api/v1/pair", `{"code":"` + strings.Repeat("A", maxFormBytes) + `"}`, "", 413},
		{"a form as a page sends it", "office", "POST", "/api/v1/codes", "role=office", "Content-Type: application/x-www-form-urlencoded", 415},
		{"two kinds", "office", "POST", "/api/v1/codes", `{"role":"crew"}`, "Content-Type: application/json\nContent-Type: text/plain", 415},
		{"packed", "office", "POST", "/api/v1/codes", "\x1f\x8b", "Content-Encoding: gzip", 415},
		{"an address of a script", "office", "POST", "/api/v1/codes", `{"role":"crew","address":"javascript:alert(1)"}`, "", 422},
		{"words of NUL", "office", "POST", "/api/v1/person", `{"words":"\u0000\u0000\u0000"}`, "", 200},
		{"a site of NUL", "office", "POST", "/api/v1/person/erase", `{"words":"Anna","site":"\u0000"}`, "", 404},
		{"a rule beyond numbers", "office", "PUT", "/api/v1/rules", `{"keepDeletedDays":1e30}`, "", 422},
		// Documents.
		sent("deep JSON", strings.Repeat("[", 100_000), 422),
		sent("deep and closed", document(`"more":`+strings.Repeat("[", 500)+strings.Repeat("]", 500)+`,`), 422),
		sent("a survey that is a number", document(`"survey":7,`), 422),
		sent("photos that are no list", document(`"photos":{},`), 422),
		sent("a photo's name with NUL", document(`"photos":[{"id":"\u0000"}],`), 201),
		sent("a name with NUL", document(`"survey":{"site":{"name":"a\u0000b"}},`), 201),
		sent("half a surrogate", document(`"survey":{"site":{"name":"\ud800"}},`), 422),
		sent("a key twice", `{"format":"pegpour-site","id":"s","id":"s","version":1}`, 422),
		sent("no UTF-8", "{\"format\":\"pegpour-site\",\"id\":\"s\",\"more\":\"\xff\",\"version\":1}", 422),
		sent("not canonical", ` {"format":"pegpour-site","id":"s","version":1}`, 422),
		sent("a number beyond numbers", document(`"more":1e999,`), 422),
		sent("of another site", `{"format":"pegpour-site","id":"t","version":1}`, 422),
		sent("200,000 entries", document(`"photos":[`+strings.Repeat("0,", 199_999)+`0],`), 422),
		{"a name that is not its hash", "crew", "PUT", "/api/v1/sites/s/revisions/" + hash, document(""), "", 422},
		{"a name in capitals", "crew", "PUT", "/api/v1/sites/s/revisions/" + strings.ToUpper(hash), document(""), "", 422},
		{"a revision as its own parent", "crew", "PUT", "/api/v1/sites/s/revisions/" + hash + "?parent=" + hash, document(""), "", 422},
		{"nine parents", "crew", "PUT", "/api/v1/sites/s/revisions/" + hash + "?" + strings.Repeat("parent="+hash+"&", 9), document(""), "", 422},
		{"a document as text", "crew", "PUT", revision(document("")), document(""), "Content-Type: text/html", 415},
		// Ranges.
		{"a range backwards", "crew", "GET", "/api/v1/photos/" + photo, "", "Range: bytes=9-2", 416},
		{"a range behind the end", "crew", "GET", "/api/v1/photos/" + photo, "", "Range: bytes=999999999999-", 416},
		{"a range beyond 64 bits", "crew", "GET", "/api/v1/photos/" + photo, "", "Range: bytes=99999999999999999999-", 416},
		{"a thousand ranges", "crew", "GET", "/api/v1/photos/" + photo, "", "Range: bytes=" + strings.Repeat("0-,", 999) + "0-", 200},
		{"a piece backwards", "crew", "PUT", "/api/v1/photos/" + hash, "x", octetsTaken + "\nContent-Range: bytes 5-2/9", 422},
		{"a piece behind the end", "crew", "PUT", "/api/v1/photos/" + hash, "x", octetsTaken + "\nContent-Range: bytes 9-9/9", 422},
		{"a piece of a terabyte", "crew", "PUT", "/api/v1/photos/" + hash, "x", octetsTaken + "\nContent-Range: bytes 0-0/1099511627776", 422},
		{"two ranges", "crew", "PUT", "/api/v1/photos/" + hash, "x", octetsTaken + "\nContent-Range: bytes 0-0/9\nContent-Range: bytes 1-1/9", 422},
		{"an empty piece", "crew", "PUT", "/api/v1/photos/" + hash, "", octetsTaken, 422},
		{"too long a piece", "crew", "PUT", "/api/v1/photos/" + hash, strings.Repeat("x", yard.MaxPieceBytes+1), octetsTaken, 413},
		// Photos.
		ofPhoto("a page as a photo", "<!doctype html><script>alert(1)</script>", "", 422),
		ofPhoto("an SVG as a photo", `<svg xmlns="http://www.w3.org/2000/svg" onload="alert(1)"/>`, "", 422),
		ofPhoto("a PNG of nothing but a header", headOnly(40, 40), "", 422),
		ofPhoto("a PNG that unpacks to 14 GB", headOnly(60_000, 60_000)+part("IDAT", "x")+part("IEND", ""), "", 422),
		ofPhoto("a PDF as a photo", "%PDF-1.7\n", "", 422),
		{"another photo than named", "crew", "PUT", "/api/v1/photos/" + hash, headOnly(4, 4), octetsTaken, 422},
		{"a photo named by a path", "crew", "PUT", "/api/v1/photos/..", "x", octetsTaken, 307},
		// Conditions.
		{"a tag of NUL", "crew", "GET", "/api/v1/sites/s/revisions/" + first, "", "If-None-Match: \"\x01\"", 200},
		{"a long list of tags", "crew", "GET", "/api/v1/sites/s/revisions/" + first, "", "If-None-Match: " + strings.Repeat(`"x",`, 5000), 200},
	}
	return list
}

// part is a chunk of a PNG, headOnly one that says no more than how large it is.
func part(kind, data string) string {
	b := binary.BigEndian.AppendUint32(nil, uint32(len(data)))
	b = append(append(b, kind...), data...)
	return string(binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(b[4:])))
}

func headOnly(width, height uint32) string {
	size := binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(nil, width), height)
	return "\x89PNG\r\n\x1a\n" + part("IHDR", string(size)+"\x08\x00\x00\x00\x00")
}

// sendHostile sends one as it is: ask would tidy it.
func (f *fixture) sendHostile(h hostile) *httptest.ResponseRecorder {
	names := strings.NewReplacer("{crew}", f.crew, "{office}", f.office, "{hash of crew}", storage.PhotoID([]byte(f.crew)))
	r := httptest.NewRequest(h.method, names.Replace(h.path), strings.NewReader(h.body))
	if h.body == "" {
		r.ContentLength, r.Body = 0, http.NoBody
	}
	switch h.who {
	case "":
	case "crew":
		r.Header.Set("Authorization", "Bearer "+f.crew)
	case "office":
		r.Header.Set("Authorization", "Bearer "+f.office)
	default:
		r.Header.Set("Authorization", "Bearer "+names.Replace(h.who))
	}
	given := strings.Contains(h.header, "Content-Type")
	if h.body != "" && !given {
		r.Header.Set("Content-Type", "application/json")
	}
	for line := range strings.SplitSeq(h.header, "\n") {
		if name, value, found := strings.Cut(line, ": "); found {
			r.Header.Add(name, names.Replace(value))
		}
	}
	w := httptest.NewRecorder()
	secure.Headers(f.api).ServeHTTP(w, r)
	return w
}

// What hostile requests get, and that the yard is as it was afterwards.
func TestHostileRequests(t *testing.T) {
	t.Run("SQLite", func(t *testing.T) { hostileRequests(t, fixtureAt(t, t.TempDir())) })
	t.Run("Postgres", func(t *testing.T) { hostileRequests(t, fixtureAt(t, yardtest.Postgres(t)())) })
}

func hostileRequests(t *testing.T, f *fixture) {
	photo := pngBytes(t, 30)
	id := storage.PhotoID(photo)
	text := apitest.SiteBytes(t, "s", "One", id)
	first := string(storage.NameRevision(text))
	f.want(201, f.ask(f.crew, "PUT", apitest.RevisionPath("s", text), text))
	f.want(200, f.ask(f.crew, "PUT", "/api/v1/photos/"+id, photo, octetsTaken))
	code, _, err := f.yard.NewCode(t.Context(), yard.Crew)
	require.NoError(t, err)
	_, _, err = f.yard.Pair(t.Context(), code, "third")
	require.NoError(t, err)
	before := f.ask(f.crew, "GET", "/api/v1/sites/s/revisions/"+first, nil).Body.String()
	all := hostiles(first, id, code)
	require.GreaterOrEqual(t, len(all), 90)
	names := map[string]bool{}
	for _, h := range all {
		require.False(t, names[h.name], h.name)
		names[h.name] = true
		begun := time.Now()
		w := f.sendHostile(h)
		require.Equal(t, h.want, w.Code, "%s: %.300s", h.name, w.Body)
		require.Less(t, time.Since(begun), 5*time.Second, h.name)
		if w.Code >= 400 {
			require.Equal(t, "application/problem+json", w.Header().Get("Content-Type"), h.name)
			var p problem
			require.NoError(t, json.Unmarshal(w.Body.Bytes(), &p), h.name)
			require.True(t, german().Has(p.Reason.Format), "%s: %s", h.name, p.Reason.Format)
		}
		require.Empty(t, w.Header().Get("X-Evil"))
		require.Equal(t, "nosniff", w.Header().Get("X-Content-Type-Options"))
	}
	require.NotContains(t, f.log.String(), f.crew)
	require.Empty(t, f.log.String(), "nothing went wrong inside")
	require.Equal(t, before, f.want(200, f.ask(f.crew, "GET", "/api/v1/sites/s/revisions/"+first, nil)).Body.String())
	// A search for what nobody wrote finds nothing.
	w := f.want(200, f.ask(f.crew, "GET", "/api/v1/sites?search=%25'%20OR%201=1--", nil))
	require.JSONEq(t, `{"sites":[],"next":0,"untold":0}`, w.Body.String())
	// What was taken can be taken along.
	f.want(200, f.ask(f.crew, "GET", "/api/v1/sites/s/export", nil))

	// A photo that is a page or an archive as well is kept, and handed out as a photo to be
	// saved and nothing else.
	both := append(bytes.Clone(photo), "<html><script>alert(1)</script></html>PK\x03\x04"...)
	at := "/api/v1/photos/" + storage.PhotoID(both)
	f.want(200, f.ask(f.crew, "PUT", at, both, octetsTaken))
	w = f.want(200, f.ask(f.crew, "GET", at, nil))
	require.Equal(t, "image/png", w.Header().Get("Content-Type"))
	require.Equal(t, "attachment", w.Header().Get("Content-Disposition"))
	require.Equal(t, "nosniff", w.Header().Get("X-Content-Type-Options"))
	require.Contains(t, w.Header().Get("Content-Security-Policy"), "default-src 'none'")
}

// What is wrong on the line itself: it is answered or cut soon, and holds nobody up.
func TestHostileLines(t *testing.T) {
	f := newFixture(t)
	server := httptest.NewUnstartedServer(secure.Headers(f.api))
	server.Config.ReadHeaderTimeout, server.Config.MaxHeaderBytes = time.Second, 32<<10
	server.Start()
	defer server.Close()
	address := strings.TrimPrefix(server.URL, "http://")
	dial := func(text string) (net.Conn, *bufio.Reader) {
		c, err := net.Dial("tcp", address)
		require.NoError(t, err)
		_, err = io.WriteString(c, text)
		require.NoError(t, err)
		require.NoError(t, c.SetReadDeadline(time.Now().Add(30*time.Second)))
		return c, bufio.NewReader(c)
	}
	for _, c := range []struct {
		name, text string
		want       string // beginning of the answer, "" for none
	}{
		{"two hosts", "GET /api/v1/sites HTTP/1.1\r\nHost: a\r\nHost: b\r\n\r\n", "HTTP/1.1 400"},
		{"no host", "GET /api/v1/sites HTTP/1.1\r\n\r\n", "HTTP/1.1 400"},
		{"two lengths", "POST /api/v1/pair HTTP/1.1\r\nHost: a\r\nContent-Length: 1\r\nContent-Length: 2\r\n\r\nxx", "HTTP/1.1 400"},
		{"a length below nought", "POST /api/v1/pair HTTP/1.1\r\nHost: a\r\nContent-Length: -1\r\n\r\n", "HTTP/1.1 400"},
		{"a coding nobody knows", "POST /api/v1/pair HTTP/1.1\r\nHost: a\r\nTransfer-Encoding: zip\r\n\r\n", "HTTP/1.1 501"},
		{"a space in a name", "GET /api/v1/sites HTTP/1.1\r\nHost: a\r\nX Y: 1\r\n\r\n", "HTTP/1.1 400"},
		{"NUL in a header", "GET /api/v1/sites HTTP/1.1\r\nHost: a\r\nX: \x00\r\n\r\n", "HTTP/1.1 400"},
		{"a header without end", "GET /api/v1/sites HTTP/1.1\r\nHost: a\r\nX: " + strings.Repeat("x", 64<<10) + "\r\n\r\n", "HTTP/1.1 431"},
		{"another protocol", "\x16\x03\x01\x02\x00\x01\x00\x01\xfc", "HTTP/1.1 400"},
		{"a header that does not come", "GET /api/v1/sites HTTP/1.1\r\nHost: a\r\nX: ", ""},
	} {
		conn, r := dial(c.text)
		line, _ := r.ReadString('\n')
		require.True(t, strings.HasPrefix(line, c.want), "%s: %q", c.name, line)
		if c.want == "" {
			require.NotContains(t, line, "200", c.name)
		}
		conn.Close()
	}
	if testing.Short() {
		return
	}
	// Bodies that do not come are waited for ten seconds, by whoever they are begun, and
	// meanwhile others are answered.
	var all sync.WaitGroup
	var open atomic.Int32
	begun := time.Now()
	for n := range 150 {
		path, token := "/api/v1/pair", ""
		if n%3 == 0 {
			path, token = "/api/v1/codes", "Authorization: Bearer wrong\r\n"
		}
		conn, r := dial("POST " + path + " HTTP/1.1\r\nHost: a\r\n" + token +
			"Content-Type: application/json\r\nContent-Length: 100\r\n\r\n{")
		open.Add(1)
		all.Go(func() {
			defer conn.Close()
			_, _ = io.Copy(io.Discard, r)
			open.Add(-1)
		})
	}
	r, err := http.NewRequest("GET", server.URL+"/api/v1/sites", nil)
	require.NoError(t, err)
	r.Header.Set("Authorization", "Bearer "+f.crew)
	answer, err := http.DefaultClient.Do(r)
	require.NoError(t, err)
	answer.Body.Close()
	require.Equal(t, 200, answer.StatusCode)
	all.Wait()
	require.Less(t, time.Since(begun), 25*time.Second)
	require.Zero(t, open.Load())
}

// A body that comes slowly, of a device that was let in, is waited for.
func TestASlowPhoneIsWaitedFor(t *testing.T) {
	if testing.Short() {
		t.Skip("takes the time it takes")
	}
	t.Parallel()
	f := newFixture(t)
	server := httptest.NewServer(f.api)
	defer server.Close()
	text := apitest.SiteBytes(t, "s", "One")
	from, to := io.Pipe()
	go func() {
		for i := range text {
			if _, err := to.Write(text[i : i+1]); err != nil {
				return
			}
			time.Sleep(formTime * 3 / 2 / time.Duration(len(text)))
		}
		to.Close()
	}()
	r, err := http.NewRequest("PUT", server.URL+apitest.RevisionPath("s", text), from)
	require.NoError(t, err)
	r.Header.Set("Authorization", "Bearer "+f.crew)
	r.Header.Set("Content-Type", "application/json")
	answer, err := http.DefaultClient.Do(r)
	require.NoError(t, err)
	answer.Body.Close()
	require.Equal(t, 201, answer.StatusCode, fmt.Sprint(answer.Header))
}
