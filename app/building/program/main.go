//go:build js && wasm

// The program that runs in the browser at the addresses of the building of a site
// (/site/…/build/…), of the shop's rules and rates and of what goes from phone to phone; the page's loader chooses it by the address.
package main

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	phone "pegpour/app"
	"pegpour/app/launch"
	"pegpour/app/passing"
	"pegpour/app/quoting"
	"pegpour/app/shoprules"
)

func main() {
	phone.NewProgram(launch.InBrowser()).BuildingScreens(quoting.Screens, shoprules.Screens, passing.Screens)
	app.RunWhenOnBrowser()
}
