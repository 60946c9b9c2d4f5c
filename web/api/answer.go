package api

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"net/http"
	"time"

	"pegpour/web/etag"
)

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
	w.Header().Set("ETag", etag.Quote(tag))
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
