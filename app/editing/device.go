package editing

import (
	"context"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/language"
	"pegpour/app/turns"
	"pegpour/storage"
)

// Open opens the store of a device.
type Open func(context.Context) (storage.Store, error)

// Device is what all screens stand on: the store of this device with the rules of
// its shop, the saver, and the language.
type Device struct {
	*language.Speaker
	*Saver

	Store   storage.Store // nil until it is open
	Failure string        // why the store cannot be used, or the site not be opened

	Shop         *storage.Shop
	ShopRevision storage.Revision

	// Prepare is called off the goroutine of the screens with the store that was
	// just opened, before anyone else uses it; it may be nil.
	Prepare func(context.Context, storage.Store) error
	// Opened is called once, when the store is open; it may be nil.
	Opened func()
	// Wanted hears that a photo is wanted of which the yard has the bytes; it may be
	// nil.
	Wanted func()

	// Journal keeps what waits while the store fails; it may be nil.
	Journal   Journal
	journaled bool // it holds something of this run

	// Lost is how many sites the browser threw away with its store, until somebody
	// has seen it.
	Lost int

	openStore   Open
	shopChanged func() // hears of each edit of the shop; may be nil
	told        bool   // Opened was called
}

// NewDevice returns a device whose store is opened when it is first asked for.
func NewDevice(t *turns.Turns, l *language.Speaker, open Open) *Device {
	d := &Device{Speaker: l, Saver: NewSaver(t, l.StoreErrorWords), openStore: open}
	d.changed = d.writeJournal
	d.keepAside = func(c context.Context, a Aside) error {
		_, err := d.changeAsides(c, d.Store, func(all []Aside) []Aside { return append(all, a) })
		return err
	}
	return d
}

// NewDesk returns a device of what is kept elsewhere or not at all, like the office's
// correction of a site or a past state beside it: what it stores goes into memory, so
// that the page never says or waits for it.
func NewDesk(l *language.Speaker) *Device {
	d := NewDevice(&turns.Turns{}, l, nil)
	d.aside = true
	d.Store = storage.NewStore(&storage.Memory{}, Now)
	return d
}

// WithStore calls next once the store is open.
func (d *Device) WithStore(next func(app.Context)) {
	if d.Store != nil {
		next(d.Screen)
		return
	}
	answered := d.sayIfNoAnswer(func() bool { return d.Store == nil })
	d.Background(func(c context.Context) error {
		store, err := d.openStore(c)
		var shop storage.LoadedShop
		if err == nil {
			shop, err = store.Shop(c)
		}
		if err == nil && d.Prepare != nil {
			err = d.Prepare(c, store)
		}
		d.Dispatch(func(ctx app.Context) {
			answered()
			if d.Failure = ""; err != nil {
				d.Failure = d.StoreErrorWords(err)
				return
			}
			d.Store = store
			d.UseShop(shop)
			if !d.told {
				d.told = true
				d.takeJournal()
				d.readAsides()
				if d.Opened != nil {
					d.Opened()
				}
			}
			next(ctx)
		})
		return nil
	})
}

// answerWithin is how long the store may take to answer before that is said: a page that
// the browser keeps asleep can hold it for ever.
const answerWithin = 10 * time.Second

// sayIfNoAnswer says after a while that the store does not answer, if it is still waited
// for then. Call answered, on the goroutine of the screens, once it has answered.
func (d *Device) sayIfNoAnswer(waits func() bool) (answered func()) {
	stop := d.after(answerWithin, func() {
		d.Dispatch(func(app.Context) {
			if waits() && d.Failure == "" {
				d.Failure = d.Say("The browser's store does not answer. It may still: wait, or close other tabs of Pegpour and try again.")
			}
		})
	})
	return func() { stop() }
}

// WantPhoto has a photo fetched again whose bytes were given up here.
func (d *Device) WantPhoto(c context.Context, id string) {
	key := storage.PhotoAway + id
	if mark, err := d.Store.Exchanged(c, key); mark == nil || err != nil ||
		d.Store.KeepExchanged(c, nil, []storage.Record{{Key: key}}) != nil {
		return
	}
	d.Dispatch(func(app.Context) {
		if d.Wanted != nil {
			d.Wanted()
		}
	})
}

// Now is the time that is written down.
func Now() string { return storage.WriteTime(time.Now()) }
