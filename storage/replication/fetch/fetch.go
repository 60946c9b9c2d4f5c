//go:build js && wasm

// Package fetch carries requests to the yard over the browser's fetch, to the server that the
// page came from.
package fetch

import (
	"context"
	"strings"
	"syscall/js"
	"time"

	"pegpour/engine/refusal"
	"pegpour/storage/browser/value"
	"pegpour/storage/replication"
)

// Timeout is how long one request may take: a piece of a photo over a weak
// signal needs most of a minute.
const Timeout = 2 * time.Minute

// Transport implements replication.Transport. The zero Transport is for use. It must
// not be used inside a JavaScript callback, which would wait for itself.
type Transport struct{}

// Send implements replication.Transport.
func (Transport) Send(ctx context.Context, r replication.Request) (replication.Response, error) {
	ctx, stop := context.WithTimeout(ctx, Timeout)
	defer stop()
	abort := js.Global().Get("AbortController").New()
	header := js.Global().Get("Object").New()
	for name, value := range r.Header {
		header.Set(name, value)
	}
	init := js.Global().Get("Object").New()
	init.Set("method", r.Method)
	init.Set("headers", header)
	init.Set("signal", abort.Get("signal"))
	init.Set("cache", "no-store")
	init.Set("credentials", "omit")
	init.Set("redirect", "error")
	if r.Body != nil {
		init.Set("body", value.Array(js.Global().Get("Uint8Array"), js.CopyBytesToJS, r.Body))
	}
	answer, err := wait(ctx, abort, js.Global().Call("fetch", r.Path, init))
	if err != nil {
		return replication.Response{}, err
	}
	out := replication.Response{Status: answer.Get("status").Int(), Header: map[string]string{}}
	each := js.FuncOf(func(_ js.Value, a []js.Value) any {
		out.Header[strings.ToLower(a[1].String())] = a[0].String()
		return nil
	})
	answer.Get("headers").Call("forEach", each)
	each.Release()
	buffer, err := wait(ctx, abort, answer.Call("arrayBuffer"))
	if err != nil {
		return replication.Response{}, err
	}
	out.Body = value.Bytes(js.Global().Get("Uint8Array").New(buffer), js.CopyBytesToGo)
	return out, nil
}

// ErrNoAnswer: the request failed on its way, as without signal.
var ErrNoAnswer = error(refusal.Error("no answer from the yard: no signal, or it is not running"))

// wait returns what a promise settles to.
func wait(ctx context.Context, abort, promise js.Value) (js.Value, error) {
	type outcome struct {
		value js.Value
		err   error
	}
	settled := make(chan outcome, 1)
	value.Await(promise, js.FuncOf,
		func(v js.Value) { settled <- outcome{value: v} },
		func(js.Value) { settled <- outcome{err: ErrNoAnswer} })
	select {
	case o := <-settled:
		return o.value, o.err
	case <-ctx.Done():
		abort.Call("abort")
		<-settled // an aborted fetch settles at once
		return js.Value{}, ctx.Err()
	}
}
