// Package request gives every request of the server an identity, writes down how it
// was answered, and tells it to who measures.
//
// The identity goes back in a header and in problem details, so that what a screen shows
// of a fault leads to the lines of the log that tell of it. It is made here: one that a
// client sends is not taken, since it would stand in the log as if it were ours.
package request

import (
	"context"
	"crypto/rand"
	"encoding/base32"
	"io"
	"log/slog"
	"net/http"
	"time"
)

// Header carries the identity in answers.
const Header = "Request-Id"

// Done is what became of a request.
type Done struct {
	Method string
	// Route is the pattern of the address, without what stands in it; "" where none fits.
	Route  string
	Status int
	Bytes  int64
	Took   time.Duration
}

type key struct{}

type about struct {
	id  string
	log *slog.Logger
}

// Log is the log of the request of a context: its lines carry the request's identity.
// Outside a request it is otherwise.
func Log(ctx context.Context, otherwise *slog.Logger) *slog.Logger {
	if a, ok := ctx.Value(key{}).(about); ok {
		return a.log
	}
	return otherwise
}

// ID is the identity of the request of a context, "" outside one.
func ID(ctx context.Context) string {
	a, _ := ctx.Value(key{}).(about)
	return a.id
}

// letters are read out over a telephone: no 0, 1, 8 and 9 beside their likes.
var letters = base32.NewEncoding("ABCDEFGHJKLMNPQRSTUVWXYZ23456789").WithPadding(base32.NoPadding)

func newID() string {
	var b [5]byte
	_, _ = rand.Read(b[:]) // never fails
	id := letters.EncodeToString(b[:])
	return id[:4] + "-" + id[4:]
}

// Identify has next answer requests that carry an identity. done, which may be nil, hears
// of each when it is answered.
func Identify(next http.Handler, log *slog.Logger, done func(Done)) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		began := time.Now()
		id := newID()
		a := about{id, log.With("request", id)}
		r = r.WithContext(context.WithValue(r.Context(), key{}, a))
		w.Header().Set(Header, id)
		answer := &answer{ResponseWriter: w}
		defer func() {
			broken := recover()
			d := Done{Method: r.Method, Route: r.Pattern, Status: answer.status, Bytes: answer.bytes, Took: time.Since(began)}
			switch {
			case broken != nil && broken != http.ErrAbortHandler:
				a.log.Error("the server failed", "method", d.Method, "route", d.Route, "panic", broken)
				if d.Status == 0 {
					d.Status = http.StatusInternalServerError
					http.Error(w, "The server failed. Request "+id+".", d.Status)
				}
			case broken != nil && d.Status == 0:
				d.Status = 499 // nobody was there to answer
			case d.Status == 0:
				d.Status = http.StatusOK
			}
			if done != nil {
				done(d)
			}
			a.log.Log(r.Context(), level(d), "answered", "method", d.Method, "route", d.Route, "status", d.Status,
				"bytes", d.Bytes, "ms", d.Took.Milliseconds())
			if broken != nil {
				panic(http.ErrAbortHandler)
			}
		}()
		next.ServeHTTP(answer, r)
	})
}

// level is how much it matters that a request was answered: that something was refused
// is of interest; what went well is for who looks closer.
func level(d Done) slog.Level {
	switch {
	case d.Status >= 500 && d.Status != http.StatusServiceUnavailable:
		return slog.LevelError
	case d.Status >= 400 && d.Status != http.StatusNotFound && d.Status != 499:
		return slog.LevelInfo
	}
	return slog.LevelDebug
}

// answer takes down what is answered.
type answer struct {
	http.ResponseWriter
	status int
	bytes  int64
}

func (a *answer) WriteHeader(status int) {
	if a.status == 0 && status >= 200 {
		a.status = status
	}
	a.ResponseWriter.WriteHeader(status)
}

func (a *answer) Write(b []byte) (int, error) {
	if a.status == 0 {
		a.status = http.StatusOK
	}
	n, err := a.ResponseWriter.Write(b)
	a.bytes += int64(n)
	return n, err
}

// ReadFrom lets a file go out without being copied.
func (a *answer) ReadFrom(r io.Reader) (int64, error) {
	if a.status == 0 {
		a.status = http.StatusOK
	}
	n, err := io.Copy(a.ResponseWriter, r)
	a.bytes += n
	return n, err
}

// Unwrap is for http.ResponseController.
func (a *answer) Unwrap() http.ResponseWriter { return a.ResponseWriter }
