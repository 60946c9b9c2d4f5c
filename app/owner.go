package app

import (
	"math"
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/documents"
	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/ui"
	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/survey"
	"pegpour/engine/text"
	"pegpour/storage"
)

// ownerScreen shows the gate in its place, in plain words, with a slider that
// opens and shuts it.
type ownerScreen struct {
	app.Compo
	w     *editing.Site
	press *documents.Press

	open    float64 // 0 shut, 1 open
	space   ui.Space
	inside  bool
	above   bool
	prices  bool
	busy    bool
	failed  string
	saved   string // the file that was saved, where this browser shares none
	ready   []documents.Paper
	readyOf string // the name of the site they are of
}

func newOwnerScreen(w *editing.Site, press *documents.Press) *ownerScreen {
	return &ownerScreen{w: w, press: press}
}

// OnNav implements app.Navigator.
func (s *ownerScreen) OnNav(ctx app.Context) {
	s.w.Follow(ctx, nil)
	again := func() { s.w.Dispatch(func(app.Context) {}) }
	s.space.Lost = again
	s.space.Told = func(l drawing.OwnerLook) { s.open = l.Open; again() }
	s.space.Open("owner-space", again)
}

// OnDismount implements app.Dismounter.
func (s *ownerScreen) OnDismount() {
	s.space.Close()
	s.w.Leave()
}

// Render implements app.Composer.
func (s *ownerScreen) Render() app.UI {
	w := s.w
	if w.Doc == nil {
		return ui.SiteFrame(w, "more")
	}
	facts := drawing.OwnerFacts(w.Plan())
	return ui.SiteFrame(w, "more owner",
		&gatePicture{Speaker: w.Speaker, Plan: w.Plan(), Options: s.options(), Above: s.above, Night: s.isNight(), Seal: w.Seal,
			Space: &s.space, Here: s.space.Here()},
		element.Box("div", "gate-slide",
			s.button("Shut", s.open <= 0, func() { s.slideTo(0) }, "shut"),
			app.Input().Type("range").ID("gate-slider").Min(0).Max(100).Step(1).Value(strconv.Itoa(int(math.Round(s.open*100)))).
				Aria("label", w.Say("How far the gate is open")).Aria("valuetext", strconv.Itoa(int(math.Round(s.open*100)))+" %").
				OnInput(func(_ app.Context, e app.Event) { s.slide(e) }),
			s.button("Open¦the gate stands", s.open >= 1, func() { s.slideTo(1) }, "open"),
		),
		element.Box("div", "switches",
			s.button("From the street", !s.inside && !s.above, func() { s.inside, s.above = false, false }, "street"),
			s.button("From inside", s.inside && !s.above, func() { s.inside, s.above = true, false }, "inside"),
			s.button("From above", s.above, func() { s.above = true }, "above"),
			app.If(s.space.Here() && !s.above, element.Box("span", "switches",
				s.button("Day", !s.isNight(), func() { s.light(storage.LightDay) }, "day"),
				s.button("Night", s.isNight(), func() { s.light(storage.LightNight) }, "night"))),
		),
		app.If(s.space.Here() && !s.above && s.isNight(),
			element.Text("p", "quiet", w.Say("At night by the light of a moon: no lamp is drawn."))),
		s.colours(),
		element.Box("ul", "owner-facts", app.Range(facts).Slice(func(i int) app.UI {
			return element.Text("li", "", facts[i].In(w.Form, s.write))
		})),
		element.Box("div", "switches",
			app.Button().Type("button").Class("switch").DataSet("do", "picture").Disabled(s.busy).
				OnClick(func(ctx app.Context, _ app.Event) { s.picture() }).Text(w.Say("Share the picture")),
			app.Button().Type("button").Class("switch").DataSet("do", "page").Disabled(s.busy).
				OnClick(func(ctx app.Context, _ app.Event) { s.page() }).Text(w.Say("Share one page")),
		),
		app.If(s.saved != "", element.Status("p", "quiet", "status", w.SayWith("Saved: {0}", s.saved))),
		element.Box("label", "check",
			app.Input().Type("checkbox").ID("owner-prices").Checked(s.prices).
				OnChange(func(app.Context, app.Event) { s.prices = !s.prices }),
			app.Text(w.Say("With the price, on the page"))),
		s.photoLink(),
		app.If(s.failed != "", element.Status("p", "error", "alert", s.failed)),
		app.If(len(s.ready) > 0, element.Acting("div", "bar", "status", "",
			element.Text("span", "", w.Say("This phone wants one more tap before it shares.")),
			app.Button().Type("button").Text(w.Say("Share")).OnClick(func(app.Context, app.Event) { s.share(s.readyOf, s.ready) }),
		)),
	)
}

// colours lets one choose the colour of the leaf's metal.
func (s *ownerScreen) colours() app.UI {
	w, f := s.w, survey.FieldOf(survey.GateColour)
	chosen := f.Words(&w.Doc.Survey)
	name := w.SayName(f.Name)
	swatches := app.Range(f.Options).Slice(func(i int) app.UI {
		o := f.Options[i]
		b := app.Button().Type("button").Class("switch").DataSet("colour", o.Value).
			Aria("pressed", strconv.FormatBool(o.Value == chosen)).
			OnClick(func(ctx app.Context, _ app.Event) { w.Answer(ctx, f, o.Value) }, o.Value).
			Body(element.Text("span", "swatch "+drawing.Coat(o.Value).Class(), ""), app.Text(w.Say(o.Words)))
		if o.Value == chosen {
			b = b.Class("here")
		}
		return b
	})
	return element.Acting("div", "colours", "group", name, element.Text("span", "quiet", name), swatches)
}

// photoLink leads to the plan drawn on a photo of the site, where there is one.
func (s *ownerScreen) photoLink() app.UI {
	w := s.w
	if len(w.Doc.Photos) == 0 {
		return app.Text("")
	}
	return element.Link("wide", "/site/"+w.Doc.ID+"/overlay?photo="+w.Doc.Photos[0].ID, w.Say("On a photo of your drive"))
}

// write writes lengths in metres where the trade's are in millimetres.
func (s *ownerScreen) write(a text.Arg) string {
	w := s.w
	if a.Dimension == text.Length && !w.Feet() {
		return w.Decimal(math.Round(a.Value/10)/100, -1) + "\u00a0m"
	}
	return w.Write(a)
}

func (s *ownerScreen) button(name string, on bool, do func(), scope string) app.UI {
	b := app.Button().Type("button").Class("switch").DataSet("view", scope).Aria("pressed", strconv.FormatBool(on)).
		Text(s.w.Say(name)).
		OnClick(func(app.Context, app.Event) { do(); s.failed = "" }, scope)
	if on {
		b = b.Class("here")
	}
	return b
}

// slideTo has the gate slide to a place.
func (s *ownerScreen) slideTo(open float64) {
	if s.space.Here() {
		s.space.Aim("open", open, slideLasts*math.Abs(open-s.space.Look().Open))
	}
	s.open = open
}

// isNight reports whether the gate is shown at night: as chosen, else as the phone's colours are.
func (s *ownerScreen) isNight() bool {
	if s.w.Shop == nil {
		return false
	}
	switch s.w.Shop.Settings.Light {
	case storage.LightDay:
		return false
	case storage.LightNight:
		return true
	}
	return s.w.Shop.Settings.Theme == storage.ThemeDark
}

func (s *ownerScreen) light(light string) {
	edit, err := storage.SetSetting(s.w.Shop, storage.SettingLight, light)
	s.w.Dispatch(func(ctx app.Context) { s.w.CommitShop(ctx, edit, err) })
}

// slide follows the finger on the slider.
func (s *ownerScreen) slide(e app.Event) {
	v, err := strconv.ParseFloat(e.Get("target").Get("value").String(), 64)
	if err != nil {
		return
	}
	s.open = math.Max(0, math.Min(1, v/100))
	s.space.Set(map[string]any{"open": s.open})
}

func (s *ownerScreen) options() drawing.OwnerOptions {
	return drawing.OwnerOptions{Open: s.open, Inside: s.inside, Figures: true, Say: s.w.Say, Write: s.write}
}

// share hands out what was made of a site, which is named as it was then.
func (s *ownerScreen) share(name string, papers []documents.Paper) {
	s.ready = nil
	s.saved = documents.HandOut(s.w.Turns, ui.SiteName(s.w.Speaker, name), papers,
		func(app.Context) { s.ready, s.readyOf = papers, name })
}

// page shares the one page for the owner.
func (s *ownerScreen) page() {
	w := s.w
	o, err := documents.OrderFor(w, "owner", s.prices)
	if err != nil {
		s.failed = w.ErrorWords(err)
		return
	}
	s.busy, s.failed = true, ""
	name := w.Doc.Survey.Site.Name
	s.press.Print(o, func(pdf app.Value, err error) {
		s.busy = false
		if err != nil {
			s.failed = w.SayWith("The page could not be made: {0}", w.ErrorWords(err))
			return
		}
		s.share(name, []documents.Paper{documents.NewPaper(documents.FileBase(name)+"-owner.pdf",
			"application/pdf", pdf)})
	})
}

// pictureWide is how wide the shared picture is, pixels.
const pictureWide = 1600

// picture shares what is shown as a PNG, in day colours.
func (s *ownerScreen) picture() {
	w := s.w
	if s.space.Here() && !s.above {
		canvas := s.space.Still(pictureWide, func(pen app.Value, wide, high float64) {
			colours, air := sky(s.isNight()), pen.Call("createLinearGradient", 0, 0, 0, high)
			air.Call("addColorStop", 0, colours[0])
			air.Call("addColorStop", 1, colours[1])
			pen.Set("fillStyle", air)
			pen.Call("fillRect", 0, 0, wide, high)
		})
		documents.CanvasPicture(canvas, s.gotPicture)
		s.busy, s.failed = true, ""
		return
	}
	picture := gatePicture{Speaker: w.Speaker, Plan: w.Plan(), Options: s.options(), Above: s.above}
	sheet, err := picture.sheet(pictureWide / 2)
	if err != nil {
		s.failed = w.ErrorWords(err)
		return
	}
	svg := draw.SVG(sheet, draw.Options{Standalone: true})
	s.busy, s.failed = true, ""
	documents.Rasterise(string(svg), s.gotPicture)
}

// gotPicture shares a picture that was made.
func (s *ownerScreen) gotPicture(png app.Value) {
	w := s.w
	w.Dispatch(func(app.Context) {
		s.busy = false
		if png == nil || !png.Truthy() {
			s.failed = w.Say("This browser cannot make the picture. Share the page instead.")
			return
		}
		name := w.Doc.Survey.Site.Name
		s.share(name, []documents.Paper{documents.NewPaper(documents.FileBase(name)+"-view.png", "image/png", png)})
	})
}
