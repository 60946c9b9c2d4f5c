//go:build js && wasm

package browser

import (
	"context"
	"syscall/js"

	"pegpour/storage"
	"pegpour/storage/browser/value"
)

// Persist implements storage.Backend.
func (b *database) Persist(ctx context.Context) (bool, error) {
	v, err := askManager(ctx, "persist")
	return err == nil && v.Truthy(), err
}

// Estimate implements storage.Backend.
func (b *database) Estimate(ctx context.Context) (storage.Estimate, error) {
	var e storage.Estimate
	v, err := askManager(ctx, "estimate")
	if err != nil {
		return e, err
	}
	if v.Type() == js.TypeObject {
		for name, to := range map[string]*int64{"usage": &e.Used, "quota": &e.Quota} {
			if n := v.Get(name); n.Type() == js.TypeNumber {
				*to = int64(n.Float())
			}
		}
	}
	if p, err := askManager(ctx, "persisted"); err == nil {
		e.Persistent = p.Truthy()
	}
	return e, nil
}

// askManager calls navigator.storage and waits for the promise; undefined
// where the browser has no such thing.
func askManager(ctx context.Context, method string) (js.Value, error) {
	manager := js.Undefined()
	if navigator := js.Global().Get("navigator"); navigator.Truthy() {
		manager = navigator.Get("storage")
	}
	if !manager.Truthy() || manager.Get(method).Type() != js.TypeFunction {
		return js.Undefined(), nil
	}
	type answer struct {
		v   js.Value
		err error
	}
	done := make(chan answer, 1)
	if err := try(func() {
		value.Await(manager.Call(method), js.FuncOf,
			func(v js.Value) { done <- answer{v: v} },
			func(reason js.Value) { done <- answer{err: domError{reason}} })
	}); err != nil {
		return js.Undefined(), storeError(err)
	}
	select {
	case a := <-done:
		return a.v, storeError(a.err)
	case <-ctx.Done():
		return js.Undefined(), ctx.Err()
	}
}
