//go:build js && wasm

package launch

import (
	"context"
	"runtime"
	"runtime/debug"

	"pegpour/app/editing"
	"pegpour/storage"
	"pegpour/storage/browser"
	"pegpour/storage/replication/fetch"
)

// collectAfter is how much the heap grows, in percent of what is in use, before
// what is no longer used is collected. A collection stops the page for some
// twenty milliseconds on a cheap phone, and a phone has the room: what is in use
// is about 5 MB.
const collectAfter = 400

// InBrowser returns the ground of a program in a page, in the language of the first
// screen.
func InBrowser() *Ground {
	debug.SetGCPercent(collectAfter)
	g := On(openAhead(), fetch.Transport{})
	g.Device.Journal = newJournal()
	g.SpeakFirst()
	return g
}

// openAhead has the browser open the store while the first screen is made.
func openAhead() editing.Open {
	var first storage.Store
	tried := make(chan struct{})
	go func() {
		first, _ = openStore(context.Background())
		close(tried)
	}()
	runtime.Gosched()
	return func(ctx context.Context) (storage.Store, error) {
		if <-tried; first != nil {
			return first, nil
		}
		return openStore(ctx) // another try, which says what is wrong
	}
}

func openStore(ctx context.Context) (storage.Store, error) {
	store, err := browser.Open(ctx)
	if err != nil {
		return nil, err
	}
	return store, nil
}
