//go:build js && wasm

package browser

import (
	"context"
	"errors"
	"fmt"
	"syscall/js"
	"testing"

	"pegpour/storage"
)

func TestNewerLayoutOnDisk(t *testing.T) {
	ctx := context.Background()
	b, err := openDatabase(ctx, "layout", databaseVersion+1)
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	var e *storage.UnavailableError
	if _, err := OpenNamed(ctx, "layout"); !errors.As(err, &e) || e.Reason != storage.NewerOnDisk {
		t.Errorf("got %v", err)
	}
}

// TestOldTabLetsGo: a tab with this layout gives way to one with a newer, and says
// that the page has to be loaded again.
func TestOldTabLetsGo(t *testing.T) {
	ctx := context.Background()
	s, name := openFresh(t)
	b, err := openDatabase(ctx, name, databaseVersion+1)
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	var e *storage.UnavailableError
	if _, err := s.Sites(ctx); !errors.As(err, &e) || e.Reason != storage.NewerOnDisk {
		t.Errorf("the old tab: %v, want NewerOnDisk", err)
	}
	_ = s.Close()
	if _, err := s.Sites(ctx); !errors.Is(err, storage.ErrClosed) {
		t.Errorf("closed: %v, want ErrClosed", err)
	}
}

// TestLostConnection: the browser closes the connection, with a word or without, in
// the middle of a change or between two; the next call connects anew.
func TestLostConnection(t *testing.T) {
	ctx := context.Background()
	_, name := openFresh(t)
	put := func(b *database, key string, between func()) error {
		return b.Update(ctx, func(tx storage.Tx) error {
			if err := tx.Put(storage.TableHeads, key, []byte("1")); err != nil {
				return err
			}
			if between != nil {
				between()
			}
			_, err := tx.Get(storage.TableHeads, key)
			return err
		})
	}
	lose := map[string]func(*database){
		"said": func(b *database) {
			b.db.Call("close")
			b.db.Call("dispatchEvent", js.Global().Get("Event").New("close"))
		},
		"unsaid": func(b *database) { b.db.Call("close") },
		"asked for": func(b *database) {
			b.db.Call("dispatchEvent", js.Global().Get("Event").New("versionchange"))
		},
	}
	for how, away := range lose {
		b, err := openDatabase(ctx, name, databaseVersion)
		if err != nil {
			t.Fatal(err)
		}
		for n := range 3 {
			away(b)
			if err := put(b, fmt.Sprint(how, n), nil); err != nil {
				t.Errorf("%s: %v", how, err)
			}
		}
		// In the middle: refused or kept, and the next one is kept.
		_ = put(b, how+" between", func() { away(b) })
		if err := put(b, how+" after", nil); err != nil {
			t.Errorf("%s, after one was cut: %v", how, err)
		}
		err = b.View(ctx, func(tx storage.Tx) error {
			keys, err := tx.Keys(storage.TableHeads, how)
			if len(keys) < 4 {
				t.Errorf("%s: only %q are kept", how, keys)
			}
			return err
		})
		if err != nil {
			t.Error(err)
		}
		_ = b.Close()
	}
}

// TestDeletedWhileOpen: the browser's user clears the page's data; what is changed
// after that is kept.
func TestDeletedWhileOpen(t *testing.T) {
	ctx := context.Background()
	s, name := openFresh(t)
	deleted := make(chan struct{}, 2)
	request := js.Global().Get("indexedDB").Call("deleteDatabase", name)
	done := js.FuncOf(func(js.Value, []js.Value) any { deleted <- struct{}{}; return nil })
	defer done.Release()
	request.Set("onsuccess", done)
	<-deleted
	if _, err := s.Create(ctx, storage.NewDocument("2026-01-01T00:00:00Z")); err != nil {
		t.Errorf("after the data was cleared: %v", err)
	}
}

// TestBlocked: a tab that does not let go is named as the reason.
func TestBlocked(t *testing.T) {
	ctx := context.Background()
	_, name := openFresh(t)
	holder, err := openDatabase(ctx, name, databaseVersion)
	if err != nil {
		t.Fatal(err)
	}
	holder.db.Set("onversionchange", js.Null()) // it does not hear
	var e *storage.UnavailableError
	if _, err := openDatabase(ctx, name, databaseVersion+1); !errors.As(err, &e) || e.Reason != storage.Blocked {
		t.Errorf("got %v", err)
	}
	_ = holder.Close()
}
