//go:build js && wasm

// The program that runs in the browser. It holds neither the server nor any
// database driver.
package main

import (
	"context"
	"runtime"
	"runtime/debug"

	"pegpour/app"
	"pegpour/storage"
	"pegpour/storage/browser"
	"pegpour/storage/replication/fetch"

	goapp "github.com/maxence-charriere/go-app/v9/pkg/app"
)

// collectAfter is how much the heap grows, in percent of what is in use, before
// what is no longer used is collected. A collection stops the page for some
// twenty milliseconds on a cheap phone, and a phone has the room: what is in use
// is about 5 MB.
const collectAfter = 400

func main() {
	debug.SetGCPercent(collectAfter)
	// The browser opens the store while the first screen is made.
	var first storage.Store
	tried := make(chan struct{})
	go func() {
		first, _ = openStore(context.Background())
		close(tried)
	}()
	runtime.Gosched()
	open := func(ctx context.Context) (storage.Store, error) {
		if <-tried; first != nil {
			return first, nil
		}
		return openStore(ctx) // another try, which says what is wrong
	}
	program := app.NewProgram(open, fetch.Transport{})
	program.SpeakFirst()
	program.Screens()
	goapp.RunWhenOnBrowser()
}

func openStore(ctx context.Context) (storage.Store, error) {
	store, err := browser.Open(ctx)
	if err != nil {
		return nil, err
	}
	return store, nil
}
