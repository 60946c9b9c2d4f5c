package fieldbook

import (
	"fmt"
	"math"
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/ui"
	"pegpour/engine/drawing"
)

// photoGate is the gate as it stands on a photo whose camera is known, and slides.
type photoGate struct {
	space ui.Space
	model *drawing.OwnerModel // nil while none stands
	of    string              // what the model was made of
	open  float64

	loaded *drawing.OwnerModel
	seal   string // changes with all that is shown
}

// gateHolder is where the canvas is put.
type gateHolder struct {
	app.Compo

	Gate *photoGate
	Seal string
}

// Render implements app.Composer.
func (h *gateHolder) Render() app.UI {
	return app.Elem("div").ID("overlay-gate").Class("overlay-lines")
}

// OnMount implements app.Mounter.
func (h *gateHolder) OnMount(app.Context) { h.Gate.show() }

// OnUpdate implements app.Updater.
func (h *gateHolder) OnUpdate(app.Context) { h.Gate.show() }

func (g *photoGate) holder() app.UI { return &gateHolder{Gate: g, Seal: g.seal} }

// stand makes the gate for a photo so many pixels wide and high, or takes it away.
func (g *photoGate) stand(w *editing.Site, spots []drawing.PhotoSpot, over drawing.PhotoOverlay, fits bool, wide, high float64) {
	g.seal = strconv.FormatBool(g.space.Here())
	if !fits || !over.Stands || !(wide > 0) {
		g.model, g.of = nil, ""
		return
	}
	g.seal += w.Seal + fmt.Sprint(over.Space, wide)
	place := over.Space
	inside := drawing.FromInside(&place)
	of := w.Seal + strconv.FormatBool(inside)
	for _, s := range spots {
		if s.Height != 0 {
			of += s.Name.String() + strconv.FormatFloat(s.Height, 'f', 0, 64)
		}
	}
	if of != g.of {
		model, err := drawing.NewPhotoModel(w.Plan(), inside, spots)
		if err != nil {
			g.model, g.of = nil, ""
			return
		}
		g.model, g.of = model, of
	}
	model := g.model
	g.space.Frame = func(l drawing.OwnerLook, to *ui.ModelFrame) float64 {
		model.PhotoFrame(&place, wide, high, l.Open, to)
		return l.Rise
	}
}

// show puts what stands onto the page.
func (g *photoGate) show() {
	if !g.space.Here() {
		return
	}
	place := app.Window().GetElementByID("overlay-gate")
	if !place.Truthy() {
		return
	}
	if g.model == nil {
		g.space.Canvas.Call("remove")
		g.loaded = nil
		return
	}
	if !g.space.Canvas.Get("isConnected").Bool() {
		place.Call("replaceChildren", g.space.Canvas)
		g.space.Canvas.Call("setAttribute", "aria-hidden", "true")
	}
	if g.loaded != g.model {
		g.loaded = g.model
		g.space.Load(g.model, false, false, app.Window().GetElementByID("gate-slider"))
	}
	g.space.Set(map[string]any{})
}

// How long the gate slides for its whole way, ms.
const slideLasts = 2600.0

// controls open and shut the gate that stands on the photo, and say what is not known of it.
func (g *photoGate) controls(w *editing.Site, fits bool) app.UI {
	if !fits || !g.space.Here() {
		return app.Text("")
	}
	if g.model == nil {
		return element.Text("p", "quiet", w.Say("Mark the top of a post too, and the gate itself stands on the photo."))
	}
	button := func(name, scope string, to float64) app.UI {
		return app.Button().Type("button").Class("switch").DataSet("view", scope).Text(w.Say(name)).
			OnClick(func(app.Context, app.Event) { g.space.Aim("open", to, slideLasts*math.Abs(to-g.space.Look().Open)) }, scope)
	}
	return element.Box("div", "photo-gate",
		element.Box("div", "gate-slide",
			button("Shut", "shut", 0),
			app.Input().Type("range").ID("gate-slider").Min(0).Max(100).Step(1).Value(strconv.Itoa(int(math.Round(g.open*100)))).
				Aria("label", w.Say("How far the gate is open")).
				OnInput(func(_ app.Context, e app.Event) {
					if v, err := strconv.ParseFloat(e.Get("target").Get("value").String(), 64); err == nil {
						g.open = max(0, min(1, v/100))
						g.space.Set(map[string]any{"open": g.open})
					}
				}),
			button("Open¦the gate stands", "open", 1)),
		element.Text("p", "quiet", w.Say("Only its own posts hide the gate: what else stands before it, the photo does not tell.")))
}
