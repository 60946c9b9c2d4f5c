package replication

import (
	"cmp"
	"context"
	"encoding/json"
	"strconv"
	"strings"
	"time"

	"pegpour/engine/refusal"
	"pegpour/storage"
)

// Transport carries one request to the yard and brings the answer. A browser
// does it with fetch, tests with a line that they cut. An error says that no
// whole answer came; what was asked may have been done.
type Transport interface {
	Send(ctx context.Context, r Request) (Response, error)
}

// Request is what to ask.
type Request struct {
	Method string
	Path   string // with its query, from /api/v1/ on
	Header map[string]string
	Body   []byte
}

// Response is the answer. Names of headers are in lower case. Body is whole.
type Response struct {
	Status int
	Header map[string]string
	Body   []byte
}

// What the yard can answer that a person has to know of.
var (
	// ErrUnpaired: the yard does not know this device, or shut it out.
	ErrUnpaired = error(refusal.Error("this device is not paired with the yard: pair it anew"))
	// ErrNotInYard: the yard does not have what was asked for.
	ErrNotInYard = error(refusal.Error("the yard does not have this"))
	// ErrGarbled: the answer was none that a yard gives.
	ErrGarbled = error(refusal.Error("the answer did not come from a yard: is there a sign-in page between?"))
)

// AnswerError is a refusal by the yard.
type AnswerError struct {
	Status int
	Kind   string          // last part of the problem's type
	Said   refusal.Message // what the yard said; empty when it said nothing
	Wait   time.Duration   // how long the yard wants to be left alone
	// Deleted is when the site that was asked for was deleted, RFC 3339.
	Deleted string
	// Request is under which name the yard's log tells more.
	Request string
}

// Error gives what the yard said.
func (e *AnswerError) Error() string { return e.Refusal().String() }

// Refusal is the sentence with its values.
func (e *AnswerError) Refusal() refusal.Message {
	if e.Said.Format != "" && e.Request != "" && e.Status >= 500 { // who runs the yard can look it up
		return refusal.Say("the yard says: {0} (request {1})", refusal.Part(e.Said), refusal.Typed(e.Request))
	}
	if e.Said.Format != "" {
		return refusal.Say("the yard says: {0}", refusal.Part(e.Said))
	}
	return refusal.Say("the yard answered {0} {1}", refusal.Count(e.Status), refusal.Typed(e.Kind))
}

// final reports a refusal that asking again does not change.
func (e *AnswerError) final() bool { return e.Status == 413 || e.Status == 415 || e.Status == 422 }

// refused turns an answer with a status from 400 on into an error. What is final the
// yard says itself: a page of the network between says nothing of a site or this device.
func refused(r Response) error {
	e := &AnswerError{Status: r.Status}
	var p struct {
		Type, Title, Detail string
		Deleted, Request    string
		Reason              refusal.Message
	}
	if json.Unmarshal(r.Body, &p) == nil {
		e.Kind = p.Type[strings.LastIndexByte(p.Type, '/')+1:]
		e.Deleted, e.Request = p.Deleted, p.Request
		switch {
		case p.Reason.Format != "":
			e.Said = p.Reason
		case p.Detail != "" || p.Title != "": // a proxy in between, or an older yard
			e.Said = plainly(cmp.Or(p.Detail, p.Title))
		}
	}
	// The answer to HEAD has its type and no body.
	yards := e.Kind != "" || e.Said.Format != "" || strings.HasPrefix(r.Header["content-type"], "application/problem+json")
	switch {
	case !yards && (r.Status == 511 || r.Status < 500 && r.Status != 429):
		return ErrGarbled
	case r.Status == 401:
		return ErrUnpaired
	case r.Status == 404:
		return ErrNotInYard
	}
	if seconds, err := strconv.Atoi(r.Header["retry-after"]); err == nil && seconds > 0 && seconds < 3600 {
		e.Wait = time.Duration(seconds) * time.Second
	}
	return e
}

// ask sends a request as this device and refuses answers that are not one of
// wanted.
func (c *Client) ask(ctx context.Context, r Request, wanted ...int) (Response, error) {
	p, err := c.pairing(ctx)
	if err != nil {
		return Response{}, err
	}
	if r.Header == nil {
		r.Header = map[string]string{}
	}
	r.Header["Authorization"] = "Bearer " + p.Token
	answer, err := c.send(ctx, r, wanted...)
	if next := answer.Header[renewalHeader]; err == nil && next != "" && next != p.Token {
		c.renew(ctx, p.Token, next)
	}
	return answer, err
}

// renew keeps the key that follows on one. If it cannot be kept, or another tab was
// first, nothing is lost.
func (c *Client) renew(ctx context.Context, token, next string) {
	text, err := c.store.Exchanged(ctx, keyPairing)
	var p pairing
	if err != nil || json.Unmarshal(text, &p) != nil || p.Token != token {
		return
	}
	p.Token = next
	_ = c.store.KeepExchanged(ctx, []storage.Record{{Key: keyPairing, Value: text}}, []storage.Record{record(keyPairing, p)})
}

// renewalHeader brings the key that follows on this device's. The one of now is good
// until that is used once.
const renewalHeader = "pegpour-next-key"

func (c *Client) send(ctx context.Context, r Request, wanted ...int) (Response, error) {
	answer, err := c.transport.Send(ctx, r)
	if err != nil {
		return Response{}, err
	}
	if answer.Status < 500 {
		c.mu.Lock()
		c.lastGood = c.options.Now()
		if answer.Status < 300 {
			c.full = answer.Header["pegpour-nearly-full"]
		}
		c.mu.Unlock()
	}
	for _, s := range wanted {
		if answer.Status == s {
			return answer, nil
		}
	}
	if answer.Status >= 400 {
		return answer, refused(answer)
	}
	return answer, ErrGarbled
}

func (c *Client) askJSON(ctx context.Context, path string, to any) error {
	answer, err := c.ask(ctx, Request{Method: "GET", Path: path}, 200)
	if err != nil {
		return err
	}
	if err := json.Unmarshal(answer.Body, to); err != nil {
		return ErrGarbled
	}
	return nil
}

// plainly is what somebody said in a language of their own.
func plainly(text string) refusal.Message { return refusal.Say("{0}", refusal.Typed(text)) }
