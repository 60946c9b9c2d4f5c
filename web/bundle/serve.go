package bundle

import (
	"bytes"
	"compress/gzip"
	"io"
	"net/http"
	"path"
	"strconv"
	"strings"

	"github.com/andybalholm/brotli"

	"pegpour/web/etag"
	"pegpour/web/secure"
)

// How long a browser may use a file without asking again. A content-named file
// never changes. The page and the worker are asked for each time: the answer
// is mostly "not modified".
const (
	cacheForEver  = "public, max-age=31536000, immutable"
	cacheButCheck = "no-cache"
	cacheNot      = "no-store"
)

// ServeHTTP answers with a file of the bundle: the worker at WorkerPath, a
// content-named file under AssetPrefix, and the page at the addresses of the app.
// Everything else is not found; to a person's browser that is said by the page, as a
// screen with a way on. The page is sent with a content security
// policy that allows its own script, and no other.
func (b *Bundle) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		w.Header().Set("Allow", "GET, HEAD")
		http.Error(w, "Only GET and HEAD are answered here.", http.StatusMethodNotAllowed)
		return
	}
	name, isAsset := strings.CutPrefix(r.URL.Path, AssetPrefix)
	switch {
	case r.URL.Path == WorkerPath:
		b.send(w, r, b.Contents.Worker, cacheButCheck)
	case isAsset && strings.Contains(name, changedFrom):
		b.sendChanges(w, r, name)
	case isAsset:
		b.send(w, r, name, cacheForEver)
	case isPage(r.URL.Path):
		b.send(w, r, b.Contents.Page, cacheButCheck)
	case opensPage(r) && !strings.Contains(path.Base(r.URL.Path), "."):
		b.send(lost{w}, r, b.Contents.Page, cacheNot)
	default:
		notFound(w)
	}
}

// changedFrom stands in the address of what leads from an older program to one of the
// bundle: /a/<program>/from/<older program>.
const changedFrom = "/from/"

// sendChanges sends that to a browser which unpacks it. Others, and those that have a
// program which is not known here, are to fetch the whole.
func (b *Bundle) sendChanges(w http.ResponseWriter, r *http.Request, name string) {
	next, old, _ := strings.Cut(name, changedFrom)
	var changes []byte
	if b.Changes != nil {
		changes = b.Changes(old, next)
	}
	h := w.Header()
	h.Set("Vary", "Accept-Encoding")
	accepted, encoding := strings.Join(r.Header.Values("Accept-Encoding"), ","), "br"
	if !accepts(accepted, encoding) {
		encoding = "gzip" // WebKit, without https
		changes = inGzip(changes)
	}
	if changes == nil || !accepts(accepted, encoding) {
		h.Set("Cache-Control", cacheNot) // it may be there in a moment
		notFound(w)
		return
	}
	h.Set("Cache-Control", cacheForEver)
	h.Set("Content-Type", "application/octet-stream")
	h.Set("Content-Encoding", encoding)
	h.Set("Content-Length", strconv.Itoa(len(changes)))
	w.WriteHeader(http.StatusOK)
	if r.Method == http.MethodGet {
		w.Write(changes)
	}
}

// inGzip packs anew what is packed in brotli; nil stays nil.
func inGzip(packed []byte) []byte {
	if packed == nil {
		return nil
	}
	var out bytes.Buffer
	w, err := gzip.NewWriterLevel(&out, gzip.BestCompression)
	if err == nil {
		_, err = io.Copy(w, brotli.NewReader(bytes.NewReader(packed)))
	}
	if err != nil || w.Close() != nil {
		return nil
	}
	return out.Bytes()
}

func notFound(w http.ResponseWriter) {
	http.Error(w, "Nothing is kept at this address.", http.StatusNotFound)
}

// lost answers that an address is none, whatever is sent.
type lost struct{ http.ResponseWriter }

func (l lost) WriteHeader(int) { l.ResponseWriter.WriteHeader(http.StatusNotFound) }

func (l lost) Unwrap() http.ResponseWriter { return l.ResponseWriter }

// send writes one file in the smallest form that the browser accepts.
func (b *Bundle) send(w http.ResponseWriter, r *http.Request, name, caching string) {
	file := b.files[name]
	if file == nil {
		notFound(w)
		return
	}
	body, encoding, err := file.form(r.Header.Values("Accept-Encoding"))
	if err != nil {
		http.Error(w, "The file cannot be unpacked.", http.StatusInternalServerError)
		return
	}
	tag := etag.Quote(file.SHA256[:16])
	if encoding != "" {
		tag = etag.Quote(file.SHA256[:16] + "-" + encoding)
	}
	h := w.Header()
	if name == b.Contents.Page && b.Contents.Script != "" {
		h.Set(secure.PolicyHeader, secure.SitePolicy(b.Contents.Script).String())
	}
	h.Set("Cache-Control", caching)
	h.Set("ETag", tag)
	if file.Packed {
		h.Set("Vary", "Accept-Encoding")
	}
	if caching != cacheNot && etag.Matches(strings.Join(r.Header.Values("If-None-Match"), ","), tag) {
		w.WriteHeader(http.StatusNotModified)
		return
	}
	h.Set("Content-Type", file.Type)
	h.Set("Content-Length", strconv.Itoa(len(body)))
	if encoding != "" {
		h.Set("Content-Encoding", encoding)
	}
	w.WriteHeader(http.StatusOK)
	if r.Method == http.MethodGet {
		w.Write(body) // a browser that has gone away needs no answer
	}
}

// form picks the bytes to send and their content encoding, "" for none.
func (f *storedFile) form(acceptEncoding []string) ([]byte, string, error) {
	if !f.Packed {
		return f.plain, "", nil
	}
	accepted := strings.Join(acceptEncoding, ",")
	if accepts(accepted, "br") {
		return f.brotli, "br", nil
	}
	if accepts(accepted, "gzip") {
		return f.gzip, "gzip", nil
	}
	// Hardly any browser asks for the plain form, so it is not kept.
	unpacked, err := gzip.NewReader(bytes.NewReader(f.gzip))
	if err != nil {
		return nil, "", err
	}
	body, err := io.ReadAll(unpacked)
	return body, "", err
}

// accepts reports whether an Accept-Encoding header allows the coding, by the
// rules of RFC 9110, 12.5.3: a coding named with a weight above nought, or any
// by "*" when it is not named itself.
func accepts(header, coding string) bool {
	star := false
	for part := range strings.SplitSeq(header, ",") {
		name, parameters, _ := strings.Cut(part, ";")
		name = strings.ToLower(strings.TrimSpace(name))
		if name != coding && name != "*" {
			continue
		}
		allowed := weight(parameters) > 0
		if name == coding {
			return allowed
		}
		star = allowed
	}
	return star
}

// weight reads "q=0.5". What cannot be read counts as nought, so that the
// plain form is sent rather than one that may not be understood.
func weight(parameters string) float64 {
	parameters = strings.TrimSpace(parameters)
	if parameters == "" {
		return 1
	}
	key, value, _ := strings.Cut(parameters, "=")
	if !strings.EqualFold(strings.TrimSpace(key), "q") {
		return 0
	}
	q, err := strconv.ParseFloat(strings.TrimSpace(value), 64)
	if err != nil || !(q >= 0 && q <= 1) {
		return 0
	}
	return q
}
