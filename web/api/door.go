package api

import (
	"net/http"
	"net/url"
	"strings"
	"time"
	"unicode/utf8"
)

// How long a body may take to come. A form is small and there at once; a document or a
// piece of a photo comes through a weak signal, of a device that was let in.
const (
	formTime = 10 * time.Second
	bodyTime = 5 * time.Minute
)

// awaitBody bounds how long a body is waited for; 0 is without end. A server that was
// asked without a connection, as in tests, does not know deadlines.
func awaitBody(w http.ResponseWriter, d time.Duration) {
	var end time.Time
	if d > 0 {
		end = time.Now().Add(d)
	}
	_ = http.NewResponseController(w).SetReadDeadline(end)
}

// isText reports whether text can be kept by every database: whole UTF-8 without
// control characters.
func isText(text string) bool {
	return utf8.ValidString(text) && strings.IndexFunc(text, func(r rune) bool { return r < ' ' || r == 0x7f }) < 0
}

// queryIsText reports whether a query can be read, and all in it is text.
func queryIsText(raw string) bool {
	query, err := url.ParseQuery(raw)
	if err != nil {
		return false
	}
	for name, values := range query {
		for _, v := range values {
			if !isText(name) || !isText(v) {
				return false
			}
		}
	}
	return true
}

// single is a header that may be given once: "" and false when it is given twice.
func single(h http.Header, name string) (string, bool) {
	if values := h.Values(name); len(values) > 1 {
		return "", false
	}
	return h.Get(name), true
}
