package ui

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/draw"
)

// Tapped is the place of the model under the finger, given the picture's
// element and its sheet.
func Tapped(id string, sheet *draw.Sheet, e app.Event) draw.Point {
	place := app.Window().GetElementByID(id).Call("getBoundingClientRect")
	scale := sheet.Width / place.Get("width").Float()
	return draw.Pt((e.Get("clientX").Float()-place.Get("left").Float())*scale,
		(e.Get("clientY").Float()-place.Get("top").Float())*scale)
}
