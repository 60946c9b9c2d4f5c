//go:build js && wasm

package browser

import (
	"errors"
	"fmt"
	"syscall/js"

	"pegpour/storage"
)

// domError is an error of the browser's, a DOMException as a rule.
type domError struct{ v js.Value }

func (e domError) Error() string {
	if e.v.Type() != js.TypeObject {
		return "an unnamed error of the browser"
	}
	return e.v.Get("name").String() + ": " + e.v.Get("message").String()
}

// try runs do and returns what JavaScript throws as an error.
func try(do func()) (err error) {
	defer func() {
		switch r := recover().(type) {
		case nil:
		case js.Error:
			err = domError{r.Value}
		case *js.ValueError:
			err = r
		case error:
			err = fmt.Errorf("browser: %w", r)
		default:
			panic(r)
		}
	}()
	do()
	return nil
}

// nameOf returns the name of the browser's error; empty for another's.
func nameOf(err error) string {
	var dom domError
	if errors.As(err, &dom) && dom.v.Type() == js.TypeObject {
		return dom.v.Get("name").String()
	}
	return ""
}

// storeError turns the browser's errors into those of package storage and
// leaves others alone.
func storeError(err error) error {
	switch nameOf(err) {
	case "":
		return err
	case "QuotaExceededError":
		return storage.ErrFull
	case "InvalidStateError":
		return storage.ErrClosed
	}
	return &storage.UnavailableError{Reason: storage.StoreFailure, Cause: err}
}
