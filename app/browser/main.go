//go:build js && wasm

// The program that runs in the browser. It holds neither the server nor any
// database driver.
package main

import (
	"context"

	"pegpour/app"
	"pegpour/storage"
	"pegpour/storage/browser"
	"pegpour/storage/sync/fetch"

	goapp "github.com/maxence-charriere/go-app/v9/pkg/app"
)

func main() {
	app.OpenStore = func(ctx context.Context) (storage.Store, error) {
		store, err := browser.Open(ctx)
		if err != nil {
			return nil, err
		}
		return store, nil
	}
	app.YardTransport = fetch.Transport{}
	app.SpeakAtStart()
	app.Screens()
	goapp.RunWhenOnBrowser()
}
