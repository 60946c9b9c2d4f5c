package e2e

import (
	"encoding/json"
	"net/http"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/web/bundle"
)

// worker is what the first line of the worker says about its version.
type worker struct {
	Version string `json:"version"`
	Page    string `json:"page"`
	Files   []struct {
		Path string `json:"path"`
	} `json:"files"`
}

func readWorker(t *testing.T, s *Server) worker {
	t.Helper()
	status, _, script := s.Get(t, "/worker.js", "")
	require.Equal(t, http.StatusOK, status)
	line, _, _ := strings.Cut(string(script), "\n")
	line = strings.TrimSuffix(strings.TrimPrefix(line, "const bundle = "), ";")
	var w worker
	require.NoError(t, json.Unmarshal([]byte(line), &w))
	require.NotEmpty(t, w.Files)
	return w
}

func (w worker) wasm(t *testing.T) string {
	t.Helper()
	i := slices.IndexFunc(w.Files, func(f struct {
		Path string `json:"path"`
	}) bool {
		return strings.HasSuffix(f.Path, ".wasm")
	})
	require.GreaterOrEqual(t, i, 0)
	return w.Files[i].Path
}

// program is the address of a program of the phone's.
func (w worker) program(t *testing.T, kind string) string {
	t.Helper()
	for _, f := range w.Files {
		if strings.HasPrefix(f.Path, "/a/"+kind+".") && strings.HasSuffix(f.Path, ".wasm") {
			return f.Path
		}
	}
	t.Fatalf("no program %q", kind)
	return ""
}

// Addresses of other sites in what is served. Names of XML namespaces look like
// addresses and are never fetched; a comment in Go's own script names an issue.
var (
	otherSite  = regexp.MustCompile(`(?i)(https?:)?//[a-z0-9.-]+\.[a-z]{2,}[^\s"'<>]*`)
	notFetched = regexp.MustCompile(`^http://www\.w3\.org/(2000/svg|1999/xlink|1999/xhtml)$|` +
		`^https://github\.com/golang/go/issues/|^https://yard\.example,?$`)
)

func TestServedFilesNameNoOtherSite(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	paths := []string{"/", "/site/xyz/measure", "/worker.js"}
	for _, f := range readWorker(t, s).Files {
		if !strings.HasSuffix(f.Path, ".wasm") && !strings.HasSuffix(f.Path, ".png") {
			paths = append(paths, f.Path)
		}
	}
	for _, path := range paths {
		status, _, body := s.Get(t, path, "")
		require.Equal(t, http.StatusOK, status, path)
		require.NotEmpty(t, body, path)
		for _, address := range otherSite.FindAllString(string(body), -1) {
			if !notFetched.MatchString(address) {
				t.Errorf("%s names %s", path, address)
			}
		}
	}
}

func TestProgramIsSentPacked(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	wasm := readWorker(t, s).wasm(t)
	tags := map[string]bool{}
	for accepted, sent := range map[string]string{
		"gzip, deflate, br, zstd": "br",
		"gzip, deflate":           "gzip",
		"br;q=0, gzip;q=0.5":      "gzip",
		"":                        "",
	} {
		status, h, body := s.Get(t, wasm, accepted)
		require.Equal(t, http.StatusOK, status)
		require.Equal(t, sent, h.Get("Content-Encoding"), accepted)
		require.Equal(t, "application/wasm", h.Get("Content-Type"))
		require.Equal(t, "Accept-Encoding", h.Get("Vary"))
		require.Contains(t, h.Get("Cache-Control"), "immutable")
		tags[h.Get("ETag")] = true
		if sent == "" {
			require.Equal(t, "\x00asm", string(body[:4]))
		}
	}
	require.Len(t, tags, 3, "each form has a tag of its own")
}

func TestPageAllowsZoom(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	_, _, body := s.Get(t, "/", "")
	viewport := regexp.MustCompile(`<meta name="viewport" content="([^"]*)"`).FindSubmatch(body)
	require.NotNil(t, viewport)
	require.Contains(t, string(viewport[1]), "width=device-width")
	for _, forbidden := range []string{"user-scalable", "maximum-scale"} {
		require.NotContains(t, string(body), forbidden)
	}
}

func TestPageHasNoInlineScriptOrStyle(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	_, h, body := s.Get(t, "/", "")
	// But for one, which the policy names by its digest.
	scripts := regexp.MustCompile(`(?s)<script>(.*?)</script>`).FindAllSubmatch(body, -1)
	require.Len(t, scripts, 1)
	require.Contains(t, h.Get("Content-Security-Policy"),
		"script-src 'self' "+bundle.ScriptSource(scripts[0][1])+" 'wasm-unsafe-eval'")
	require.NotRegexp(t, `<script\s[^>]*>[^<]`, string(body))
	require.NotRegexp(t, `<style|\sstyle=|\son[a-z]+=`, string(body))
	require.NotContains(t, h.Get("Content-Security-Policy"), "script-src 'self' 'unsafe-inline'")
	require.Contains(t, h.Get("Content-Security-Policy"), "default-src 'none'")
}

// requireServer returns the server binary, which is not built when there is no
// browser to test with.
func requireServer(t testing.TB) string {
	t.Helper()
	RequireBrowser(t)
	return serverBinary
}
