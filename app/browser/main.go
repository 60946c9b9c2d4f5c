//go:build js && wasm

// The program that runs in the browser. It holds neither the server nor any
// database driver.
package main

import (
	"context"

	"pegpour/app"
	"pegpour/storage"

	goapp "github.com/maxence-charriere/go-app/v9/pkg/app"
)

func main() {
	// Until the device's own store is there, sites live as long as the page.
	app.OpenStore = func(context.Context) (storage.Store, error) { return storage.NewMemory(), nil }
	app.Screens()
	goapp.RunWhenOnBrowser()
}
