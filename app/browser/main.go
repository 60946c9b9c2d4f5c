//go:build js && wasm

// The program that runs in the browser. It holds neither the server nor any
// database driver.
package main

import (
	"pegpour/app"

	goapp "github.com/maxence-charriere/go-app/v9/pkg/app"
)

func main() {
	app.Routes()
	goapp.RunWhenOnBrowser()
}
