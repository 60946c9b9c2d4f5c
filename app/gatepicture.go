package app

import (
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/language"
	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/plan"
)

// gatePicture shows the gate in its place, wherever it stands on its way. The
// picture keeps its size and place while the gate moves.
type gatePicture struct {
	app.Compo

	Speaker *language.Speaker
	Plan    *plan.Plan
	Options drawing.OwnerOptions
	// Above looks straight down.
	Above bool
	// Seal changes whenever the plan does.
	Seal string

	shown  string
	window draw.Box // holds the gate shut and open
	held   string   // what window was found for
}

// Render implements app.Composer.
func (g *gatePicture) Render() app.UI {
	return app.Elem("figure").Class("drawing").Class("owner-view").Body(app.Elem("div").Class("paper").ID("owner-view"))
}

// OnMount implements app.Mounter.
func (g *gatePicture) OnMount(ctx app.Context) { ctx.Defer(func(app.Context) { g.show() }) }

// OnUpdate implements app.Updater.
func (g *gatePicture) OnUpdate(app.Context) { g.show() }

func (g *gatePicture) scene(o drawing.OwnerOptions) (*draw.Scene, error) {
	if g.Above {
		return drawing.OwnerPlanScene(g.Plan, o), nil
	}
	return drawing.OwnerViewScene(g.Plan, o)
}

func (g *gatePicture) kind() string {
	return g.Seal + strconv.FormatBool(g.Options.Inside) + strconv.FormatBool(g.Above)
}

// show draws the picture when something has changed.
func (g *gatePicture) show() {
	if g.Plan == nil || !app.IsClient {
		return
	}
	place := app.Window().GetElementByID("owner-view")
	if !place.Truthy() {
		return
	}
	width := place.Get("clientWidth").Float()
	key := g.kind() + strconv.FormatFloat(g.Options.Open, 'f', 3, 64) + "|" + strconv.FormatFloat(width, 'f', 0, 64)
	if width <= 0 || key == g.shown {
		return
	}
	g.shown = key
	sheet, err := g.sheet(width)
	if err != nil {
		place.Set("textContent", g.Speaker.SayWith("This cannot be drawn: {0}", g.Speaker.ErrorWords(err)))
		return
	}
	place.Set("innerHTML", string(draw.SVG(sheet, draw.Options{Prefix: "owner", Screen: true, OnlyFields: true})))
}

// sheet lays the picture out at a width.
func (g *gatePicture) sheet(width float64) (*draw.Sheet, error) {
	if g.held != g.kind() || g.window == (draw.Box{}) {
		g.held, g.window = g.kind(), draw.EmptyBox()
		for _, open := range [...]float64{0, 1} {
			o := g.Options
			o.Open = open
			scene, err := g.scene(o)
			if err != nil {
				return nil, err
			}
			b := scene.Bounds()
			g.window.Grow(b.Min)
			g.window.Grow(b.Max)
		}
	}
	scene, err := g.scene(g.Options)
	if err != nil {
		return nil, err
	}
	view := draw.Phone(width, 0)
	view.Mirror = g.Plan.Mirrored()
	if wide := g.window.Width(); wide > 0 {
		view.Window, view.Scale = g.window, (width-16)/wide
	}
	return draw.Layout(scene, view)
}
