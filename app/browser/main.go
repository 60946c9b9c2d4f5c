//go:build js && wasm

// The program that runs in the browser, at every address but the office's. It holds
// neither the server nor any database driver.
package main

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	phone "pegpour/app"
	"pegpour/app/launch"
)

func main() {
	phone.NewProgram(launch.InBrowser()).Screens()
	app.RunWhenOnBrowser()
}
