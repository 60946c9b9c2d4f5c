package app

import (
	"math"
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/element"
	"pegpour/app/language"
	"pegpour/app/ui"
	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/plan"
)

// gatePicture shows the gate in its place, wherever it stands on its way: in space where
// the browser can, turned by fingers, else as a drawing that keeps its size and place while
// the gate moves.
type gatePicture struct {
	app.Compo

	Speaker *language.Speaker
	Plan    *plan.Plan
	Options drawing.OwnerOptions
	// Above looks straight down.
	Above bool
	// Night shows it by the light of a moon, where it is shown in space.
	Night bool
	// Seal changes whenever the plan does.
	Seal string
	// Space is what draws in space, of the screen; Here, whether it does.
	Space *ui.Space
	Here  bool

	shown  string
	window draw.Box // holds the gate shut and open
	held   string   // what window was found for
	loaded string   // what the model in space was made of
	model  *drawing.OwnerModel
}

// Steps of the buttons: a turn and a rise, rad; and how long a movement lasts, ms.
const (
	turnStep, riseStep = math.Pi / 9, 0.14
	turnLasts          = 300.0
	slideLasts         = 2600.0 // for the whole way
	sideLasts          = 700.0
)

// sky is what lies behind the picture, from its upper to its lower rim.
func sky(night bool) [2]string {
	if night {
		return [2]string{"#0b1322", "#26344b"}
	}
	return [2]string{"#c9dff0", "#fdfaf0"}
}

// Render implements app.Composer.
func (g *gatePicture) Render() app.UI {
	tool := func(sign, name string, do func()) app.UI {
		return ui.IconButton(g.Speaker, sign, name, true, func(app.Context) { do() })
	}
	by := func(name string, step float64) func() {
		return func() {
			now := map[string]float64{"turn": g.Space.Look().Turn, "rise": g.Space.Look().Rise}
			g.Space.Aim(name, now[name]+step, turnLasts)
		}
	}
	return element.Box("figure", "drawing owner-view",
		app.Elem("div").Class("paper").ID("owner-view"),
		app.If(g.inSpace(), element.Acting("div", "drawing-tools", "group", g.Speaker.Say("Turn and enlarge the picture"),
			tool(ui.SignMinus, "Smaller", func() { g.Space.Zoom(1 / 1.6) }),
			tool(ui.SignLeft, "Seen from further left", by("turn", -turnStep)),
			tool(ui.SignUp, "Seen from higher up", by("rise", riseStep)),
			tool(ui.SignDown, "Seen from lower down", by("rise", -riseStep)),
			tool(ui.SignRight, "Seen from further right", by("turn", turnStep)),
			tool(ui.SignPlus, "Larger", func() { g.Space.Zoom(1.6) }),
		)))
}

func (g *gatePicture) inSpace() bool { return g.Here && !g.Above }

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
	if g.inSpace() && g.showInSpace(place) {
		return
	}
	width := place.Get("clientWidth").Float()
	key := g.kind() + strconv.FormatFloat(g.Options.Open, 'f', 3, 64) + "|" + strconv.FormatFloat(width, 'f', 0, 64)
	if width <= 0 || key == g.shown {
		return
	}
	g.shown, g.loaded = key, ""
	sheet, err := g.sheet(width)
	if err != nil {
		place.Set("textContent", g.Speaker.SayWith("This cannot be drawn: {0}", g.Speaker.ErrorWords(err)))
		return
	}
	place.Set("innerHTML", string(draw.SVG(sheet, draw.Options{Prefix: "owner", Screen: true, OnlyFields: true})))
}

// showInSpace loads what has changed into the model; false where none can be made.
func (g *gatePicture) showInSpace(place app.Value) bool {
	g.Space.Canvas.Call("setAttribute", "aria-label", drawing.OwnerSpoken(g.Plan, g.Options))
	key := g.kind() + strconv.FormatBool(g.Night)
	if key == g.loaded {
		return true
	}
	model, err := drawing.NewOwnerModel(g.Plan, g.Options, g.Night)
	if err != nil {
		return false
	}
	g.Space.Frame = func(l drawing.OwnerLook, to *ui.ModelFrame) float64 { return model.Frame(l, to) }
	if g.loaded == "" {
		place.Call("replaceChildren", g.Space.Canvas)
	}
	first := g.model == nil
	g.model, g.loaded, g.shown = model, key, ""
	air := sky(g.Night)
	g.Space.Canvas.Get("style").Set("background", "linear-gradient("+air[0]+","+air[1]+")")
	g.Space.Load(model, true, true, app.Window().GetElementByID("gate-slider"))
	if first {
		g.Space.Set(map[string]any{"rise": drawing.OwnerRise, "open": g.Options.Open})
	}
	return true
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
