//go:build js && wasm

// The program that runs in the browser under /office. It is apart from the phone's,
// so that no phone fetches the screens of the office; the page's loader chooses
// between the two by the address.
package main

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/launch"
	"pegpour/app/office"
)

func main() {
	office.OnGround(launch.InBrowser()).Screens()
	app.RunWhenOnBrowser()
}
