package fieldbook

import (
	"html"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/documents"
	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/ui"
	"pegpour/app/window"
	"pegpour/engine/drawing"
	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/text"
	"pegpour/storage"
)

// overlayScreen draws the plan on a photo: known places are pointed at in the
// picture, and the outlines follow.
type overlayScreen struct {
	app.Compo
	w *editing.Site

	photo      string // identity
	address    string // of its bytes in the page
	wide, high float64
	place      string  // identity of the place that is pointed at
	down       bool    // a finger is on the picture
	u, v       float64 // where it points, pixels of the picture

	unseen map[string]bool // places that the photo does not show
	next   nextPlace

	own   map[string]geom.Point // marks of one's own, before they are pointed at
	wrong string                // what could not be read of the last

	gate photoGate // that stands on the photo

	tops     map[string]float64 // heights of tops, before they are pointed at
	wrongTop string
}

// NewOverlayScreen returns the screen.
func NewOverlayScreen(w *editing.Site) app.Composer {
	return &overlayScreen{w: w, unseen: map[string]bool{}, own: map[string]geom.Point{}, tops: map[string]float64{}}
}

// OnNav implements app.Navigator.
func (s *overlayScreen) OnNav(ctx app.Context) {
	id := ctx.Page().URL().Query().Get("photo")
	s.w.Follow(ctx, func(app.Context) {
		s.photo = id
		readPhoto(s.w, id, func(address string) { s.address = address })
	})
	again := func() { s.w.Dispatch(func(app.Context) {}) }
	s.gate.space.Lost = again
	s.gate.space.Told = func(l drawing.OwnerLook) { s.gate.open = l.Open; again() }
	s.gate.space.Open("gate-on-photo", again)
}

// OnDismount implements app.Dismounter.
func (s *overlayScreen) OnDismount() {
	if s.address != "" {
		window.Forget(s.address)
	}
	s.gate.space.Close()
	s.w.Leave()
}

// record is what the site says of the photo.
func (s *overlayScreen) record() (storage.Photo, bool) {
	for _, p := range s.w.Doc.Photos {
		if p.ID == s.photo {
			return p, true
		}
	}
	return storage.Photo{}, false
}

// spots are the places pointed at, in a fixed order, the moving one where the
// finger is.
func (s *overlayScreen) spots(p *storage.Photo) (ids []string, spots []drawing.PhotoSpot) {
	names := map[string]text.Name{}
	for _, q := range append(drawing.PhotoPlaces(s.w.Plan()), drawing.PhotoTops(s.w.Plan())...) {
		names[q.ID] = q.Name
	}
	for _, id := range slices.Sorted(maps.Keys(p.Spots)) {
		spot := p.Spots[id]
		name := names[id]
		if own, is := ownName(id); is {
			name = own
		}
		if name == "" {
			name = text.TypedName(id)
		}
		if s.down && id == s.place {
			spot.U, spot.V = s.u, s.v
		}
		ids = append(ids, id)
		spots = append(spots, drawing.PhotoSpot{Name: name, At: geom.Point{X: spot.Chainage, Y: spot.Offset},
			Height: spot.Height, U: spot.U, V: spot.V})
	}
	return ids, spots
}

// overlay is the plan on the photo.
func (s *overlayScreen) overlay(p *storage.Photo, spots []drawing.PhotoSpot) (drawing.PhotoOverlay, error) {
	return drawing.Overlay(s.w.Plan(), spots, drawing.PhotoFrame{Wide: s.wide, High: s.high, Focal: p.Focal}, s.w.Practice)
}

// Render implements app.Composer.
func (s *overlayScreen) Render() app.UI {
	w := s.w
	if w.Doc == nil {
		return ui.SiteFrame(w, "more")
	}
	p, ok := s.record()
	if !ok {
		return ui.SiteFrame(w, "more",
			element.Text("p", "empty", w.Say("This photo is not here.")),
			element.Link("wide", "/site/"+w.Doc.ID+"/photos", w.Say("Photos and notes")))
	}
	ids, spots := s.spots(&p)
	over, err := s.overlay(&p, spots)
	s.gate.stand(s.w, spots, over, err == nil && !over.SwappedSides, s.wide, s.high)
	return ui.SiteFrame(w, "more tool",
		s.picture(ids, spots, over, err == nil),
		s.gate.controls(s.w, err == nil && !over.SwappedSides),
		s.verdict(spots, over, err),
		s.nextStep(&p, spots, err != nil || over.NoCheck),
		s.pointing(&p),
		s.topMark(&p),
		s.ownMark(&p),
		app.If(err == nil, element.Doing("wide primary", "save-picture", w.Say("Save the picture"), func(app.Context, app.Event) { s.save() })),
		element.Link("wide", "/site/"+w.Doc.ID+"/photos", w.Say("Photos and notes")),
	)
}

// picture is the photo with the plan over it and the magnifier.
func (s *overlayScreen) picture(ids []string, spots []drawing.PhotoSpot, over drawing.PhotoOverlay, fits bool) app.UI {
	if s.address == "" {
		return element.Text("p", "quiet", s.w.Say("Opening…"))
	}
	return app.Elem("div").ID("overlay").Class("overlay").
		On("pointerdown", s.press).On("pointermove", s.drag).On("pointerup", s.release).On("pointercancel", s.cancelDrag).Body(
		app.Img().ID("overlay-photo").Src(s.address).Alt(s.w.Say("The photo")).Draggable(false).
			OnLoad(func(ctx app.Context, e app.Event) {
				s.wide, s.high = e.Get("target").Get("naturalWidth").Float(), e.Get("target").Get("naturalHeight").Float()
			}),
		s.gate.holder(),
		app.If(s.wide > 0, app.Raw("<div class=\"overlay-lines\">"+s.svg(ids, spots, over, fits)+s.height(ids, spots)+"</div>")),
		s.lens(),
	)
}

// svg is the plan in the picture's own pixels. Each line lies in a case, which is shown
// where the glare would lose it on the photo.
func (s *overlayScreen) svg(ids []string, spots []drawing.PhotoSpot, over drawing.PhotoOverlay, fits bool) string {
	var b strings.Builder
	number := func(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) }
	unit := math.Max(s.wide, s.high) / 400
	stroke := 1.6 * unit // on the smallest phone still what the glare lets be seen
	b.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ` + number(s.wide) + " " + number(s.high) +
		`" aria-hidden="true">`)
	if fits {
		for _, shape := range over.Shapes {
			for _, line := range shape.Lines {
				path := ""
				for i, q := range line {
					path += map[bool]string{true: "M", false: "L"}[i == 0] + number(q.U) + " " + number(q.V)
				}
				if shape.Closed {
					path += "Z"
				}
				b.WriteString(`<path class="case" stroke-width="` + number(3*stroke) + `" d="` + path + `"/><path class="over over-` +
					overClass(shape) + `" data-shape="` + shape.ID + `" stroke-width="` + number(stroke) + `" d="` + path + `"/>`)
			}
		}
	}
	for i, spot := range spots {
		class := "spot"
		if ids[i] == s.place {
			class = "spot spot-here"
		}
		if fits && slices.Contains(over.Suspects, i) {
			class += " spot-wrong"
		}
		r := 3 * unit
		mark := `<circle cx="` + number(spot.U) + `" cy="` + number(spot.V) + `" r="` + number(r) + `"/><path d="M` +
			number(spot.U-2*r) + " " + number(spot.V) + "h" + number(4*r) + "M" + number(spot.U) + " " + number(spot.V-2*r) +
			"v" + number(4*r) + `"/></g>`
		b.WriteString(`<g class="case" stroke-width="` + number(3*stroke) + `">` + mark +
			`<g class="` + class + `" stroke-width="` + number(stroke) + `">` + mark)
	}
	b.WriteString(`</svg>`)
	return b.String()
}

// height is written beside the top in hand, on the side where there is more room.
func (s *overlayScreen) height(ids []string, spots []drawing.PhotoSpot) string {
	i := slices.Index(ids, s.place)
	if i < 0 || spots[i].Height == 0 {
		return ""
	}
	side, across := "left", spots[i].U/s.wide
	if across > 0.5 {
		side, across = "right", 1-across
	}
	share := func(v float64) string { return strconv.FormatFloat(100*v, 'f', 2, 64) + "%" }
	return `<span class="spot-height" style="` + side + `:` + share(across) + `;top:` + share(spots[i].V/s.high) + `">` +
		html.EscapeString("↑ "+s.w.Length(spots[i].Height, true)) + `</span>`
}

func overClass(shape drawing.PhotoShape) string {
	switch {
	case shape.Kind == "":
		return "track"
	case shape.Kind == plan.PartLeafOpen:
		return "leaf"
	}
	return "concrete"
}

// lensScale is how much larger the magnifier shows the picture than it is.
const (
	lensScale = 3
	lensSize  = 132
)

// lens shows what lies under the finger, above it.
func (s *overlayScreen) lens() app.UI {
	if !s.down || s.wide == 0 {
		return app.Text("")
	}
	box := app.Window().GetElementByID("overlay-photo").Call("getBoundingClientRect")
	shown := box.Get("width").Float() / s.wide // CSS pixels of one pixel of the picture
	px := func(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) + "px" }
	left := s.u*shown - lensSize/2
	left = math.Min(math.Max(left, 0), box.Get("width").Float()-lensSize)
	top := s.v*shown - lensSize - 40
	if top < 0 {
		top = s.v*shown + 60
	}
	scale := math.Max(shown*lensScale, 1)
	return app.Elem("div").Class("lens").Styles(map[string]string{
		"left": px(left), "top": px(top),
		"background-image":    "url(" + s.address + ")",
		"background-size":     px(s.wide*scale) + " " + px(s.high*scale),
		"background-position": px(lensSize/2-s.u*scale) + " " + px(lensSize/2-s.v*scale),
	})
}

// at is where an event points in the picture, in its pixels.
func (s *overlayScreen) at(e app.Event) (u, v float64) {
	box := app.Window().GetElementByID("overlay-photo").Call("getBoundingClientRect")
	u = (e.Get("clientX").Float() - box.Get("left").Float()) / box.Get("width").Float() * s.wide
	v = (e.Get("clientY").Float() - box.Get("top").Float()) / box.Get("height").Float() * s.high
	return math.Min(math.Max(u, 0), s.wide), math.Min(math.Max(v, 0), s.high)
}

// press takes hold of the spot under the finger, or points the place in hand
// there.
func (s *overlayScreen) press(ctx app.Context, e app.Event) {
	if s.wide == 0 {
		return
	}
	e.PreventDefault()
	u, v := s.at(e)
	if p, ok := s.record(); ok {
		box := app.Window().GetElementByID("overlay-photo").Call("getBoundingClientRect")
		best, reach := "", 28/(box.Get("width").Float()/s.wide)
		for id, spot := range p.Spots {
			if d := math.Hypot(spot.U-u, spot.V-v); d < reach {
				best, reach = id, d
			}
		}
		if best != "" && (s.place == "" || p.Spots[s.place] != storage.Spot{}) {
			s.place = best
		}
	}
	if s.place == "" {
		return
	}
	s.down, s.u, s.v = true, u, v
	if capture := e.Get("target"); capture.Get("setPointerCapture").Truthy() {
		capture.Call("setPointerCapture", e.Get("pointerId"))
	}
}

func (s *overlayScreen) drag(_ app.Context, e app.Event) {
	if s.down {
		s.u, s.v = s.at(e)
	}
}

func (s *overlayScreen) release(ctx app.Context, e app.Event) {
	if !s.down {
		return
	}
	s.u, s.v = s.at(e)
	s.down = false
	s.placeSpot(ctx, s.u, s.v)
}

func (s *overlayScreen) cancelDrag(app.Context, app.Event) { s.down = false }

// placeSpot keeps where the place in hand shows in the picture.
func (s *overlayScreen) placeSpot(ctx app.Context, u, v float64) {
	p, ok := s.record()
	if !ok || s.place == "" {
		return
	}
	spot := p.Spots[s.place]
	spot.U, spot.V = math.Round(u*10)/10, math.Round(v*10)/10
	for _, q := range s.places(&p) {
		if q.ID == s.place {
			spot.Chainage, spot.Offset = math.Round(q.At.X*10)/10, math.Round(q.At.Y*10)/10
		}
	}
	if high, given := s.tops[s.place]; given {
		spot.Height = high
	}
	first := p.Spots[s.place] == storage.Spot{}
	p.Spots = maps.Clone(p.Spots)
	if p.Spots == nil {
		p.Spots = map[string]storage.Spot{}
	}
	p.Spots[s.place] = spot
	e, err := storage.PutPhoto(s.w.Doc, p)
	s.w.Commit(ctx, e, err)
	if first && len(p.Spots) < 4 {
		_, spots := s.spots(&p)
		if q, ok := s.nextPlace(&p, spots); ok && !isTop(q.ID) {
			s.place = q.ID
		}
	}
}

// save draws photo and plan on a canvas and hands the picture over.
func (s *overlayScreen) save() {
	p, ok := s.record()
	image := app.Window().GetElementByID("overlay-photo")
	if !ok || !image.Truthy() {
		return
	}
	_, spots := s.spots(&p)
	over, err := s.overlay(&p, spots)
	if err != nil {
		return
	}
	page := app.Window()
	canvas := page.Get("document").Call("createElement", "canvas")
	canvas.Set("width", s.wide)
	canvas.Set("height", s.high)
	pen := canvas.Call("getContext", "2d")
	pen.Call("drawImage", image, 0, 0)
	if s.gate.model != nil && s.gate.space.Here() {
		gate := s.gate.space.Still(int(s.wide), func(app.Value, float64, float64) {})
		pen.Call("drawImage", gate, 0, 0, s.wide, s.high)
	}
	unit := math.Max(s.wide, s.high) / 400
	for _, under := range []bool{true, false} {
		for _, shape := range over.Shapes {
			colour := map[string]string{"track": "#14211f", "leaf": "#0b5a3c", "concrete": "#8a0f4b"}[overClass(shape)]
			wide := unit
			if under {
				colour, wide = "#fffdf6", 2.2*unit // a light rim, so that it stands out anywhere
			}
			pen.Set("strokeStyle", colour)
			pen.Set("lineWidth", wide)
			for _, line := range shape.Lines {
				pen.Call("beginPath")
				for i, q := range line {
					pen.Call(map[bool]string{true: "moveTo", false: "lineTo"}[i == 0], q.U, q.V)
				}
				if shape.Closed {
					pen.Call("closePath")
				}
				pen.Call("stroke")
			}
		}
	}
	name := documents.FileBase(s.w.Doc.Survey.Site.Name) + "-photo.png"
	var made app.Func
	made = app.FuncOf(func(_ app.Value, args []app.Value) any {
		made.Release()
		if len(args) > 0 && args[0].Truthy() {
			window.Save(name, args[0])
		}
		return nil
	})
	canvas.Call("toBlob", made, "image/png")
}
