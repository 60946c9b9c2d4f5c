// Package nethttp carries sync over net/http, for the command line and for
// tests. It stays out of the browser build, which uses fetch.
package nethttp

import (
	"bytes"
	"context"
	"io"
	"net/http"
	"strings"

	"pegpour/storage/replication"
)

// MaxAnswer is the longest answer read, in bytes.
const MaxAnswer = 64 << 20

// Transport sends to the yard at Address, such as https://yard.example.
type Transport struct {
	Address string
	Client  *http.Client
}

// Send implements replication.Transport.
func (t Transport) Send(ctx context.Context, r replication.Request) (replication.Response, error) {
	q, err := http.NewRequestWithContext(ctx, r.Method, strings.TrimSuffix(t.Address, "/")+r.Path, bytes.NewReader(r.Body))
	if err != nil {
		return replication.Response{}, err
	}
	for name, value := range r.Header {
		q.Header.Set(name, value)
	}
	answer, err := t.Client.Do(q)
	if err != nil {
		return replication.Response{}, err
	}
	defer answer.Body.Close()
	out := replication.Response{Status: answer.StatusCode, Header: map[string]string{}}
	for name, values := range answer.Header {
		out.Header[strings.ToLower(name)] = strings.Join(values, ", ")
	}
	out.Body, err = io.ReadAll(io.LimitReader(answer.Body, MaxAnswer))
	return out, err
}
