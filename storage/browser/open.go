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

// layouts are the tables that each layout added. A line that was released stays as it
// is for ever, and a database of it is in testdata/stores.
var layouts = [...]string{
	"documents heads summaries edits history photos photoinfo",
	"exchange",
}

// databaseVersion counts the layouts.
const databaseVersion = len(layouts)

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

func now() string { return storage.WriteTime(time.Now()) }

// database is a storage.Backend in IndexedDB. Its connection can be lost: the
// browser closes it in the background or when room is short, and a newer version in
// another tab asks for it. The next call then connects anew.
type database struct {
	storage.Listeners
	name    string
	version int
	channel js.Value // BroadcastChannel between tabs; undefined where there is none
	heard   js.Func
	change  js.Func // another tab wants a newer layout, or to delete
	gone    js.Func // the browser closed the connection

	left js.Func // the page is being left
	back js.Func // it is shown again

	connecting sync.Mutex // never waited for inside a callback

	mu      sync.Mutex
	db      js.Value // IDBDatabase; undefined while there is no connection
	closed  bool
	running map[*transaction]bool
	asleep  chan struct{} // closed when the page is shown again; nil while it is awake
}

// openDatabase opens or makes the database.
func openDatabase(ctx context.Context, name string, version int) (*database, error) {
	db, err := connect(ctx, name, version)
	if err != nil {
		return nil, err
	}
	b := &database{name: name, version: version, running: map[*transaction]bool{}}
	lost := func(js.Value, []js.Value) any {
		b.disconnect(js.Undefined())
		return nil
	}
	b.change, b.gone = js.FuncOf(lost), js.FuncOf(lost)
	b.use(db)
	b.left = js.FuncOf(func(_ js.Value, events []js.Value) any {
		if sleepsInTransactions() && len(events) > 0 && events[0].Get("persisted").Truthy() {
			b.letGo()
		}
		return nil
	})
	b.back = js.FuncOf(func(js.Value, []js.Value) any {
		b.wake()
		return nil
	})
	_ = try(func() {
		js.Global().Call("addEventListener", "pagehide", b.left)
		js.Global().Call("addEventListener", "pageshow", b.back)
	})
	b.join(name)
	return b, nil
}

// use takes up a connection.
func (b *database) use(db js.Value) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.db = db
	db.Set("onversionchange", b.change)
	db.Set("onclose", b.gone)
}

// disconnect lets go of a connection that is of no use any more, or, undefined, of
// whichever there is.
func (b *database) disconnect(db js.Value) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if !b.db.Truthy() || !db.IsUndefined() && !b.db.Equal(db) {
		return
	}
	_ = try(func() { b.db.Call("close") })
	b.db = js.Undefined()
}

// connection returns the connection, made anew where it was lost. It waits while the page
// is asleep.
func (b *database) connection(ctx context.Context) (js.Value, error) {
	b.mu.Lock()
	asleep := b.asleep
	b.mu.Unlock()
	if asleep != nil {
		select {
		case <-asleep:
		case <-ctx.Done():
			return js.Undefined(), ctx.Err()
		}
	}
	b.connecting.Lock()
	defer b.connecting.Unlock()
	b.mu.Lock()
	db, closed := b.db, b.closed
	b.mu.Unlock()
	if closed {
		return db, storage.ErrClosed
	}
	if db.Truthy() {
		return db, nil
	}
	db, err := connect(ctx, b.name, b.version)
	if err == nil {
		b.use(db)
	}
	return db, err
}

// connect opens or makes the database.
func connect(ctx context.Context, name string, version int) (js.Value, error) {
	none := js.Undefined()
	if err := ctx.Err(); err != nil {
		return none, err
	}
	request, err := openRequest(name, version)
	if err != nil {
		return none, err
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
	finish := func(err error) (js.Value, error) {
		for _, f := range funcs {
			f.Release()
		}
		if err = errors.Join(upgradeErr, err); err != nil {
			return none, openError(err)
		}
		return request.Get("result"), nil
	}
	// giveUp lets go of a database that opens after all.
	giveUp := func() {
		go func() {
			if db, err := finish(<-opened); err == nil {
				db.Call("close")
			}
		}()
	}
	select {
	case err := <-opened:
		return finish(err)
	case <-blocked:
	case <-ctx.Done():
		giveUp()
		return none, ctx.Err()
	}
	select {
	case err := <-opened:
		return finish(err)
	case <-time.After(blockedWait):
		giveUp()
		return none, &storage.UnavailableError{Reason: storage.Blocked}
	case <-ctx.Done():
		giveUp()
		return none, ctx.Err()
	}
}

// sleepsInTransactions reports whether this is WebKit, which keeps a page that is
// left asleep with its transactions open. No property tells; it goes by the maker
// that the browser names. Others end such pages, or let them finish first.
func sleepsInTransactions() bool {
	return strings.HasPrefix(js.Global().Get("navigator").Get("vendor").String(), "Apple")
}

// letGo aborts what is still running when the page is put to sleep, and begins nothing
// more until it is shown again: the next page's writes would wait for it for ever. Nothing
// that was acknowledged is touched; what was not is refused, stays first in line, and can be
// tried again when the page comes back.
func (b *database) letGo() {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.asleep == nil {
		b.asleep = make(chan struct{})
	}
	for x := range b.running {
		_ = try(func() { x.tx.Call("abort") })
	}
}

// wake goes on with what waits.
func (b *database) wake() {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.asleep != nil {
		close(b.asleep)
		b.asleep = nil
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
	for _, added := range layouts {
		for table := range strings.FieldsSeq(added) {
			if !there.Call("contains", table).Bool() {
				db.Call("createObjectStore", table)
			}
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

// Close implements storage.Backend.
func (b *database) Close() error {
	b.mu.Lock()
	was := b.closed
	b.closed = true
	b.mu.Unlock()
	if was {
		return nil
	}
	if b.channel.Truthy() {
		b.channel.Set("onmessage", js.Null())
		b.channel.Call("close")
		b.heard.Release()
	}
	if b.db.Truthy() {
		b.db.Set("onversionchange", js.Null())
		b.db.Set("onclose", js.Null())
	}
	b.disconnect(js.Undefined())
	b.change.Release()
	b.gone.Release()
	_ = try(func() {
		js.Global().Call("removeEventListener", "pagehide", b.left)
		js.Global().Call("removeEventListener", "pageshow", b.back)
	})
	b.wake()
	b.left.Release()
	b.back.Release()
	return nil
}
