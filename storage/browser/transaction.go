//go:build js && wasm

package browser

import (
	"context"
	"encoding/base64"
	"strings"
	"syscall/js"
	"unicode/utf8"

	"pegpour/storage"
	"pegpour/storage/browser/value"
)

// View implements storage.Backend.
func (b *database) View(ctx context.Context, do func(storage.Tx) error) error {
	return b.run(ctx, "readonly", do)
}

// Update implements storage.Backend.
func (b *database) Update(ctx context.Context, do func(storage.Tx) error) error {
	return b.run(ctx, "readwrite", do)
}

// transaction is a storage.Tx in IndexedDB. It lives as long as requests follow
// one another without a pause; the goroutine that waits for an answer goes on
// inside the browser's event, as Go's runtime hands control back to the browser
// only when every goroutine waits.
type transaction struct {
	ctx      context.Context
	tx       js.Value
	answered chan error
	ended    chan error
	finished chan struct{} // closed when it ended
	onOK     js.Func       // of the one request waited for
	onFail   js.Func
}

// run makes one transaction over all tables. IndexedDB runs those that write
// one after another, in all tabs, so what is read inside stays true until the
// end. Strict durability makes the browser flush to disk before it says
// "complete".
func (b *database) run(ctx context.Context, mode string, do func(storage.Tx) error) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	names := []any{}
	for _, t := range storage.Tables() {
		names = append(names, string(t))
	}
	x := &transaction{ctx: ctx, answered: make(chan error, 1), ended: make(chan error, 1), finished: make(chan struct{})}
	for again := false; ; again = true {
		db, err := b.connection(ctx)
		if err != nil {
			return err
		}
		if err = try(func() {
			x.tx = db.Call("transaction", names, mode, map[string]any{"durability": "strict"})
		}); err == nil {
			break
		}
		if again || nameOf(err) != "InvalidStateError" {
			return storeError(err)
		}
		b.disconnect(db) // it was closed, and nobody said so
	}
	b.mu.Lock()
	b.running[x] = true
	b.mu.Unlock()
	x.onOK = js.FuncOf(func(js.Value, []js.Value) any { x.answered <- nil; return nil })
	x.onFail = js.FuncOf(func(js.Value, []js.Value) any { x.answered <- domError{x.tx.Get("error")}; return nil })
	complete := js.FuncOf(func(js.Value, []js.Value) any { x.ended <- nil; return nil })
	abort := js.FuncOf(func(js.Value, []js.Value) any { x.ended <- domError{x.tx.Get("error")}; return nil })
	x.tx.Set("oncomplete", complete)
	x.tx.Set("onabort", abort)
	result := make(chan error, 1)
	go func() { // also when nobody waits any longer
		result <- <-x.ended
		close(x.finished)
		b.mu.Lock()
		delete(b.running, x)
		b.mu.Unlock()
		for _, f := range []js.Func{x.onOK, x.onFail, complete, abort} {
			f.Release()
		}
	}()

	if err := do(x); err != nil {
		// The browser may have aborted it already, as with a full disk; its
		// own reason then is the better one.
		if try(func() { x.tx.Call("abort") }) != nil {
			if cause := x.tx.Get("error"); cause.Truthy() {
				err = domError{cause}
			}
		}
		return storeError(err)
	}
	_ = try(func() { x.tx.Call("commit") }) // old browsers lack it and commit by themselves
	select {
	case err := <-result:
		return storeError(err)
	case <-ctx.Done():
		select {
		case <-x.finished:
			return storeError(<-result)
		default:
			return ctx.Err()
		}
	}
}

// ask makes a request and waits for its answer.
func (x *transaction) ask(t storage.Table, method string, args ...any) (js.Value, error) {
	var request js.Value
	err := try(func() {
		request = x.tx.Call("objectStore", string(t)).Call(method, args...)
		request.Set("onsuccess", x.onOK)
		request.Set("onerror", x.onFail)
	})
	if err != nil {
		return js.Undefined(), err
	}
	select {
	case err := <-x.answered:
		if err != nil {
			return js.Undefined(), domError{request.Get("error")}
		}
		return request.Get("result"), nil
	case <-x.finished: // the browser gave it up without answering
		return js.Undefined(), domError{x.tx.Get("error")}
	case <-x.ctx.Done():
		return js.Undefined(), x.ctx.Err()
	}
}

// tell makes a request without waiting: should it fail, the transaction does.
func (x *transaction) tell(t storage.Table, method string, args ...any) error {
	return try(func() { x.tx.Call("objectStore", string(t)).Call(method, args...) })
}

func (x *transaction) Get(t storage.Table, key string) ([]byte, error) {
	v, err := x.ask(t, "get", key)
	if err != nil {
		return nil, err
	}
	return fromStored(v), nil
}

func (x *transaction) Put(t storage.Table, key string, value []byte) error {
	return x.tell(t, "put", toStored(t, value), key)
}

func (x *transaction) Delete(t storage.Table, key string) error {
	return x.tell(t, "delete", key)
}

func (x *transaction) Keys(t storage.Table, prefix string) ([]string, error) {
	keys, err := x.ask(t, "getAllKeys", prefixed(prefix))
	if err != nil {
		return nil, err
	}
	return texts(keys), nil
}

func (x *transaction) All(t storage.Table, prefix string) ([]storage.Record, error) {
	keys, err := x.Keys(t, prefix)
	if err != nil || len(keys) == 0 {
		return nil, err
	}
	values, err := x.Values(t, prefix)
	if err != nil {
		return nil, err
	}
	records := make([]storage.Record, len(keys))
	for i := range keys {
		records[i] = storage.Record{Key: keys[i], Value: values[i]}
	}
	return records, nil
}

func (x *transaction) Values(t storage.Table, prefix string) ([][]byte, error) {
	array, err := x.ask(t, "getAll", prefixed(prefix))
	if err != nil {
		return nil, err
	}
	values := make([][]byte, array.Length())
	if t == storage.TablePhotos {
		for i := range values {
			values[i] = fromStored(array.Index(i))
		}
		return values, nil
	}
	for i, text := range texts(array) {
		values[i] = fromText(text)
	}
	return values, nil
}

// prefixed is the range of keys that start with prefix.
func prefixed(prefix string) any {
	if prefix == "" {
		return js.Undefined()
	}
	return js.Global().Get("IDBKeyRange").Call("bound", prefix, prefix+"\uffff")
}

// texts fetches an array of strings in one call where none holds a line end,
// since each call into JavaScript costs.
func texts(array js.Value) []string {
	n := array.Length()
	if n == 0 {
		return nil
	}
	all := strings.Split(array.Call("join", "\n").String(), "\n")
	if len(all) == n {
		return all
	}
	all = make([]string, n)
	for i := range all {
		all[i] = array.Index(i).String()
	}
	return all
}

// rawMark stands before the base64 of bytes that are not text, in tables of
// text: a damaged record that came with a back-up.
const rawMark = "\x00base64,"

// toStored turns bytes into what the browser keeps: photos as bytes, all else
// as text, which the browser's own tools show.
func toStored(t storage.Table, data []byte) js.Value {
	if t == storage.TablePhotos {
		return value.Array(js.Global().Get("Uint8Array"), js.CopyBytesToJS, data)
	}
	if !utf8.Valid(data) || strings.HasPrefix(string(data), rawMark) {
		return js.ValueOf(rawMark + base64.StdEncoding.EncodeToString(data))
	}
	return js.ValueOf(string(data))
}

func fromStored(v js.Value) []byte {
	switch {
	case v.Type() == js.TypeString:
		return fromText(v.String())
	case v.Type() == js.TypeObject && v.InstanceOf(js.Global().Get("Uint8Array")):
		return value.Bytes(v, js.CopyBytesToGo)
	case v.IsUndefined():
		return nil
	}
	return []byte{} // something foreign: there, but damaged
}

func fromText(s string) []byte {
	if code, ok := strings.CutPrefix(s, rawMark); ok {
		if value, err := base64.StdEncoding.DecodeString(code); err == nil {
			return value
		}
	}
	return []byte(s)
}
