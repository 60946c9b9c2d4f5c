package bundle

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"pegpour/web/secure"
)

const digest = "0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef"

func packed(text string) []byte {
	var out bytes.Buffer
	w := gzip.NewWriter(&out)
	w.Write([]byte(text))
	w.Close()
	return out.Bytes()
}

// sample is a bundle whose brotli forms are only marked as such: the server
// never looks into them.
func sample(t *testing.T, change func(*Contents)) fstest.MapFS {
	t.Helper()
	contents := Contents{Version: "v1", Page: "page.1.html", Worker: "worker.1.js", Wasm: "app.1.wasm", Files: []File{
		{Name: "page.1.html", Type: "text/html; charset=utf-8", SHA256: digest, Packed: true},
		{Name: "worker.1.js", Type: "text/javascript; charset=utf-8", SHA256: digest, Packed: true},
		{Name: "app.1.wasm", Type: "application/wasm", SHA256: digest, Packed: true},
		{Name: "icon.1.png", Type: "image/png", SHA256: digest},
	}}
	if change != nil {
		change(&contents)
	}
	list, err := json.Marshal(contents)
	require.NoError(t, err)
	files := fstest.MapFS{ContentsFile: {Data: list}, "icon.1.png": {Data: []byte("picture")}}
	for _, name := range []string{"page.1.html", "worker.1.js", "app.1.wasm"} {
		files[name+".br"] = &fstest.MapFile{Data: []byte("br of " + name)}
		files[name+".gz"] = &fstest.MapFile{Data: packed(name)}
	}
	return files
}

func ask(t *testing.T, method, path string, headers ...string) *http.Response {
	t.Helper()
	b, err := Open(sample(t, nil))
	require.NoError(t, err)
	r := httptest.NewRequest(method, path, nil)
	for i := 0; i < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	w := httptest.NewRecorder()
	b.ServeHTTP(w, r)
	return w.Result()
}

func body(t *testing.T, r *http.Response) string {
	t.Helper()
	content, err := io.ReadAll(r.Body)
	require.NoError(t, err)
	return string(content)
}

func TestAddresses(t *testing.T) {
	for _, c := range []struct {
		path    string
		status  int
		body    string
		caching string
	}{
		{"/", 200, "page.1.html", cacheButCheck},
		{"/site/xyz/measure", 200, "page.1.html", cacheButCheck},
		{"/site/a.b/measure", 200, "page.1.html", cacheButCheck},
		{"/office/site/xyz", 200, "page.1.html", cacheButCheck},
		{"/site/xyz", 404, "Nothing is kept at this address.\n", ""},
		{"/site//measure", 404, "Nothing is kept at this address.\n", ""},
		{"/site/xyz/measure/", 404, "Nothing is kept at this address.\n", ""},
		{"/healthz", 404, "Nothing is kept at this address.\n", ""},
		{"/anything", 404, "Nothing is kept at this address.\n", ""},
		{"/.git/config", 404, "Nothing is kept at this address.\n", ""},
		{"/site/*/wp-admin", 404, "Nothing is kept at this address.\n", ""},
		{"/worker.js", 200, "worker.1.js", cacheButCheck},
		{"/a/app.1.wasm", 200, "app.1.wasm", cacheForEver},
		{"/a/icon.1.png", 200, "picture", cacheForEver},
		{"/a/app.2.wasm", 404, "Nothing is kept at this address.\n", ""},
		{"/a/", 404, "Nothing is kept at this address.\n", ""},
		{"/a/contents.json", 404, "Nothing is kept at this address.\n", ""},
		{"/a/app.1.wasm.gz", 404, "Nothing is kept at this address.\n", ""},
		{"/a/../contents.json", 404, "Nothing is kept at this address.\n", ""},
		{"/favicon.ico", 404, "Nothing is kept at this address.\n", ""},
		{"/app.wasm", 404, "Nothing is kept at this address.\n", ""},
	} {
		t.Run(c.path, func(t *testing.T) {
			r := ask(t, http.MethodGet, c.path)
			require.Equal(t, c.status, r.StatusCode)
			require.Equal(t, c.body, body(t, r))
			require.Equal(t, c.caching, r.Header.Get("Cache-Control"))
			if c.status == 404 {
				require.Equal(t, "text/plain; charset=utf-8", r.Header.Get("Content-Type"))
			}
		})
	}
}

// The digest is that of the example in the specification:
// https://www.w3.org/TR/CSP2/#script-src-hash-usage
func TestOnlyThePageMayRunItsScript(t *testing.T) {
	script := ScriptSource([]byte("alert('Hello, world.');"))
	require.Equal(t, "'sha256-qznLcsROx4GACP2dm0UCKCzCG+HiZ1guq6ZZDob/Tng='", script)
	b, err := Open(sample(t, func(c *Contents) { c.Script = script }))
	require.NoError(t, err)
	page, others := secure.SitePolicy(script).String(), secure.SitePolicy().String()
	require.Contains(t, page, "script-src 'self' "+script+" ")
	for path, want := range map[string]string{
		"/":               page,
		"/site/1/measure": page,
		"/a/page.1.html":  page, // as the worker keeps it
		"/worker.js":      others,
		"/a/icon.1.png":   others,
	} {
		w := httptest.NewRecorder()
		secure.Headers(b).ServeHTTP(w, httptest.NewRequest(http.MethodGet, path, nil))
		require.Equal(t, want, w.Header().Get("Content-Security-Policy"), path)
	}
}

func TestEncodingSent(t *testing.T) {
	for accepted, sent := range map[string]string{
		"":                        "",
		"gzip, deflate, br, zstd": "br",
		"gzip":                    "gzip",
		"GZip":                    "gzip",
		"deflate":                 "",
		"identity":                "",
		"*":                       "br",
		"*, br;q=0":               "gzip",
		"br;q=0, gzip;q=0":        "",
		"br; q=0.001":             "br",
		"br;q=nonsense, gzip":     "gzip",
		"br;q=NaN":                "",
		"br;q=-1":                 "",
		"brr, xgzip":              "",
	} {
		t.Run(accepted, func(t *testing.T) {
			r := ask(t, http.MethodGet, "/a/app.1.wasm", "Accept-Encoding", accepted)
			require.Equal(t, sent, r.Header.Get("Content-Encoding"))
			require.Equal(t, "application/wasm", r.Header.Get("Content-Type"))
			require.Equal(t, "Accept-Encoding", r.Header.Get("Vary"))
			want := map[string]string{"": "app.1.wasm", "br": "br of app.1.wasm", "gzip": string(packed("app.1.wasm"))}[sent]
			require.Equal(t, want, body(t, r))
			require.Equal(t, int64(len(want)), r.ContentLength)
		})
	}
}

func TestNotModified(t *testing.T) {
	first := ask(t, http.MethodGet, "/", "Accept-Encoding", "br")
	tag := first.Header.Get("ETag")
	require.NotEmpty(t, tag)
	for header, status := range map[string]int{
		tag: 304, "W/" + tag: 304, `"other", ` + tag: 304, "*": 304, `"other"`: 200, "": 200,
	} {
		r := ask(t, http.MethodGet, "/", "Accept-Encoding", "br", "If-None-Match", header)
		require.Equal(t, status, r.StatusCode, header)
		if status == 304 {
			require.Empty(t, body(t, r))
			require.Equal(t, tag, r.Header.Get("ETag"))
		}
	}
	other := ask(t, http.MethodGet, "/", "Accept-Encoding", "gzip", "If-None-Match", tag)
	require.Equal(t, 200, other.StatusCode, "another form is another answer")
}

func TestMethods(t *testing.T) {
	head := ask(t, http.MethodHead, "/a/icon.1.png")
	require.Equal(t, 200, head.StatusCode)
	require.Equal(t, "7", head.Header.Get("Content-Length"))
	require.Empty(t, body(t, head))
	for _, method := range []string{http.MethodPost, http.MethodPut, http.MethodDelete, http.MethodOptions} {
		r := ask(t, method, "/")
		require.Equal(t, http.StatusMethodNotAllowed, r.StatusCode)
		require.Equal(t, "GET, HEAD", r.Header.Get("Allow"))
	}
}

func TestOpenRefuses(t *testing.T) {
	_, err := Open(fstest.MapFS{".keep": {}})
	require.ErrorIs(t, err, ErrNotBuilt)

	broken := sample(t, nil)
	broken[ContentsFile] = &fstest.MapFile{Data: []byte(`{"files": 3}`)}
	_, err = Open(broken)
	require.ErrorContains(t, err, ContentsFile)

	for name, change := range map[string]func(*Contents){
		"a file outside":      func(c *Contents) { c.Files[0].Name = "../page.1.html" },
		"a hidden file":       func(c *Contents) { c.Files[0].Name = ".keep" },
		"a missing file":      func(c *Contents) { c.Files[3].Name = "icon.2.png" },
		"no page":             func(c *Contents) { c.Page = "other.html" },
		"no worker":           func(c *Contents) { c.Worker = "" },
		"packed but is not":   func(c *Contents) { c.Files[3].Packed = true },
		"plain but is packed": func(c *Contents) { c.Files[2].Packed = false },
	} {
		t.Run(name, func(t *testing.T) {
			_, err := Open(sample(t, change))
			require.Error(t, err)
			require.NotErrorIs(t, err, ErrNotBuilt)
		})
	}
}
