//go:build js && wasm

package browser

import (
	"context"
	"errors"
	"strings"
	"sync"
	"syscall/js"
	"time"

	"pegpour/storage"
)

// DatabaseName is the name of the app's database.
const DatabaseName = "pegpour"

// databaseVersion counts the layouts of the tables. A new one adds its steps
// to upgrade and never changes the old. Version 2 added the table for sync.
const databaseVersion = 2

// blockedWait is how long another tab with an older layout may take to let go.
const blockedWait = 5 * time.Second

// Store is a storage.Store in IndexedDB.
type Store struct {
	storage.Store
}

// Open opens the app's store. Errors are a *storage.UnavailableError, or the
// context's. It must not be called from inside a JavaScript callback.
func Open(ctx context.Context) (*Store, error) { return OpenNamed(ctx, DatabaseName) }

// OpenNamed is Open for a database of another name, for tests.
func OpenNamed(ctx context.Context, name string) (*Store, error) {
	b, err := openDatabase(ctx, name, databaseVersion)
	if err != nil {
		return nil, err
	}
	return &Store{storage.NewStore(b, now)}, nil
}

func now() string { return time.Now().UTC().Format("2006-01-02T15:04:05.000Z07:00") }

// database is a storage.Backend in IndexedDB.
type database struct {
	storage.Listeners
	db      js.Value // IDBDatabase
	channel js.Value // BroadcastChannel between tabs; undefined where there is none
	heard   js.Func
	change  js.Func // another tab wants a newer layout

	left js.Func // the page is being left

	mu      sync.Mutex
	closed  bool
	running map[*transaction]bool
}

// openDatabase opens or makes the database.
func openDatabase(ctx context.Context, name string, version int) (*database, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	request, err := openRequest(name, version)
	if err != nil {
		return nil, err
	}
	opened := make(chan error, 1)
	blocked := make(chan struct{}, 1)
	var funcs []js.Func
	on := func(event string, do func()) {
		f := js.FuncOf(func(js.Value, []js.Value) any { do(); return nil })
		funcs = append(funcs, f)
		request.Set("on"+event, f)
	}
	var upgradeErr error
	on("upgradeneeded", func() {
		upgradeErr = try(func() { upgrade(request.Get("result")) })
		if upgradeErr != nil {
			_ = try(func() { request.Get("transaction").Call("abort") })
		}
	})
	on("blocked", func() { blocked <- struct{}{} })
	on("success", func() { opened <- nil })
	on("error", func() { opened <- domError{request.Get("error")} })
	finish := func(err error) (*database, error) {
		for _, f := range funcs {
			f.Release()
		}
		if err = errors.Join(upgradeErr, err); err != nil {
			return nil, openError(err)
		}
		b := &database{db: request.Get("result")}
		b.change = js.FuncOf(func(js.Value, []js.Value) any {
			b.close() // let the newer version in; calls answer ErrClosed from now on
			return nil
		})
		b.db.Set("onversionchange", b.change)
		b.running = map[*transaction]bool{}
		b.left = js.FuncOf(func(_ js.Value, events []js.Value) any {
			if sleepsInTransactions() && len(events) > 0 && events[0].Get("persisted").Truthy() {
				b.letGo()
			}
			return nil
		})
		_ = try(func() { js.Global().Call("addEventListener", "pagehide", b.left) })
		b.join(name)
		return b, nil
	}
	// giveUp lets go of a database that opens after all.
	giveUp := func() {
		go func() {
			if b, err := finish(<-opened); err == nil {
				_ = b.Close()
			}
		}()
	}
	select {
	case err := <-opened:
		return finish(err)
	case <-blocked:
	case <-ctx.Done():
		giveUp()
		return nil, ctx.Err()
	}
	select {
	case err := <-opened:
		return finish(err)
	case <-time.After(blockedWait):
		giveUp()
		return nil, &storage.UnavailableError{Reason: storage.Blocked}
	case <-ctx.Done():
		giveUp()
		return nil, ctx.Err()
	}
}

// sleepsInTransactions reports whether this is WebKit, which keeps a page that is
// left asleep with its transactions open. No property tells; it goes by the maker
// that the browser names. Others end such pages, or let them finish first.
func sleepsInTransactions() bool {
	return strings.HasPrefix(js.Global().Get("navigator").Get("vendor").String(), "Apple")
}

// letGo aborts what is still running when the page is put to sleep: the next
// page's writes would wait for it for ever. Nothing that was acknowledged is touched; what was not is
// refused, stays first in line, and can be tried again when the page comes back.
func (b *database) letGo() {
	b.mu.Lock()
	defer b.mu.Unlock()
	for x := range b.running {
		_ = try(func() { x.tx.Call("abort") })
	}
}

// openRequest asks for the database. Reading the global throws in some private
// modes, which Get would not survive: only a Call hands over what was thrown.
func openRequest(name string, version int) (request js.Value, err error) {
	err = try(func() {
		factory := js.Global().Get("Reflect").Call("get", js.Global(), "indexedDB")
		if factory.Truthy() {
			request = factory.Call("open", name, version)
		}
	})
	if !request.Truthy() {
		return request, &storage.UnavailableError{Reason: storage.NoIndexedDB, Cause: err}
	}
	return request, nil
}

// upgrade makes the tables that an older layout lacks.
func upgrade(db js.Value) {
	there := db.Get("objectStoreNames")
	for _, t := range storage.Tables() {
		if !there.Call("contains", string(t)).Bool() {
			db.Call("createObjectStore", string(t))
		}
	}
}

func openError(err error) error {
	switch nameOf(err) {
	case "VersionError":
		return &storage.UnavailableError{Reason: storage.NewerOnDisk, Cause: err}
	case "SecurityError", "InvalidStateError", "NotAllowedError":
		return &storage.UnavailableError{Reason: storage.NoIndexedDB, Cause: err}
	case "QuotaExceededError":
		return storage.ErrFull
	}
	return &storage.UnavailableError{Reason: storage.StoreFailure, Cause: err}
}

// join listens to what other tabs tell.
func (b *database) join(name string) {
	channel := js.Global().Get("BroadcastChannel")
	if !channel.Truthy() {
		return
	}
	b.heard = js.FuncOf(func(_ js.Value, args []js.Value) any {
		if data := args[0].Get("data"); data.Type() == js.TypeString {
			b.Tell(data.String())
		}
		return nil
	})
	b.channel = channel.New(name + " changes")
	b.channel.Set("onmessage", b.heard)
}

// Announce implements storage.Backend.
func (b *database) Announce(id string) {
	b.Tell(id)
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.channel.Truthy() && !b.closed {
		b.channel.Call("postMessage", id)
	}
}

// Watch implements storage.Backend.
func (b *database) Watch(changed func(id string)) (stop func()) { return b.Add(changed) }

// close reports whether the database was open.
func (b *database) close() bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.closed {
		return false
	}
	b.closed = true
	if b.channel.Truthy() {
		b.channel.Set("onmessage", js.Null())
		b.channel.Call("close")
	}
	b.db.Call("close")
	return true
}

// Close implements storage.Backend.
func (b *database) Close() error {
	if b.close() {
		b.db.Set("onversionchange", js.Null())
		b.change.Release()
		_ = try(func() { js.Global().Call("removeEventListener", "pagehide", b.left) })
		b.left.Release()
		if b.channel.Truthy() {
			b.heard.Release()
		}
	}
	return nil
}

func (b *database) isClosed() bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.closed
}
