//go:build js && wasm

// The program that runs in the browser at the addresses of the building of a site
// (/site/…/build/…); the page's loader chooses it by the address.
package main

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	phone "pegpour/app"
	"pegpour/app/launch"
	"pegpour/app/quoting"
)

func main() {
	phone.NewProgram(launch.InBrowser()).BuildingScreens(quoting.Screens)
	app.RunWhenOnBrowser()
}
