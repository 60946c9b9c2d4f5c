package api

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"io"
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
	serveFrom(w, r, tag, bytes.NewReader(body))
}

// serveFrom is serveBytes for what is read as it is sent. When reading fails the answer
// is broken off, so that nobody takes it for whole.
func serveFrom(w http.ResponseWriter, r *http.Request, tag string, body io.ReadSeeker) {
	w.Header().Set("ETag", etag.Quote(tag))
	w = &problemWriter{ResponseWriter: paced(w)}
	from := &watched{ReadSeeker: body}
	http.ServeContent(w, r, "", time.Time{}, from)
	if from.failed {
		panic(http.ErrAbortHandler)
	}
}

// watched remembers that reading failed.
type watched struct {
	io.ReadSeeker
	failed bool
}

func (w *watched) Read(to []byte) (int, error) {
	n, err := w.ReadSeeker.Read(to)
	if err != nil && !errors.Is(err, io.EOF) {
		w.failed = true
	}
	return n, err
}

// stall is how long somebody may take to read a little of an answer. Who reads on may
// take as long as it takes; who does not, holds nothing any longer.
var stall = time.Minute

// pacedWriter gives up on who does not read.
type pacedWriter struct {
	http.ResponseWriter
	control *http.ResponseController
	until   time.Time
}

func paced(w http.ResponseWriter) *pacedWriter {
	return &pacedWriter{ResponseWriter: w, control: http.NewResponseController(w)}
}

func (p *pacedWriter) Write(b []byte) (int, error) {
	if now := time.Now(); p.until.Sub(now) < stall*3/4 {
		p.until = now.Add(stall)
		_ = p.control.SetWriteDeadline(p.until) // a writer that has none needs none
	}
	return p.ResponseWriter.Write(b)
}

// Unwrap is for http.ResponseController.
func (p *pacedWriter) Unwrap() http.ResponseWriter { return p.ResponseWriter }

// problemWriter turns the bare refusals of http.ServeContent into problems.
type problemWriter struct {
	http.ResponseWriter
	refused bool
}

// Unwrap is for http.ResponseController.
func (p *problemWriter) Unwrap() http.ResponseWriter { return p.ResponseWriter }

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
