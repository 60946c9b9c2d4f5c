package app

import (
	"slices"
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/advice"
	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/plan"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// waysScreen shows every sensible way to build this site, side by side.
type waysScreen struct {
	app.Compo
	w *workspace

	seal, asked string
	report      advice.OptionsReport
	pictures    []string
}

func newWaysScreen() *waysScreen { return &waysScreen{w: current} }

// OnNav implements app.Navigator.
func (s *waysScreen) OnNav(ctx app.Context) { s.w.follow(ctx, nil) }

// OnDismount implements app.Dismounter.
func (s *waysScreen) OnDismount() { s.w.unfollow() }

// mostPictures is how many ways get a drawing.
const mostPictures = 8

// workOut designs the ways once the screen is there.
func (s *waysScreen) workOut() {
	w := s.w
	if s.seal == w.seal || s.asked == w.seal {
		return
	}
	s.asked = w.seal
	w.dispatch(func(app.Context) {
		if w.doc == nil || s.asked != w.seal {
			return
		}
		s.report = advice.BuildOptions(w.effective(), w.practice)
		s.pictures = wayPictures(s.report.Options[:min(mostPictures, len(s.report.Options))])
		s.seal = w.seal
	})
}

// wayPictures draws ways at one scale, so that the eye compares before the
// figures do.
func wayPictures(ways []advice.BuildOption) []string {
	scenes := make([]*draw.Scene, len(ways))
	var all draw.Box
	first := true
	see := func(p draw.Point) {
		if first {
			all, first = draw.Box{Min: p, Max: p}, false
			return
		}
		all.Min.X, all.Min.Y = min(all.Min.X, p.X), min(all.Min.Y, p.Y)
		all.Max.X, all.Max.Y = max(all.Max.X, p.X), max(all.Max.Y, p.Y)
	}
	for i := range ways {
		scene := drawing.SetOutScene(&ways[i].Plan, drawing.SceneOptions{})
		scene.Title, scene.Desc = "", "" // not read out: the card says it in words
		scene.Elements = slices.DeleteFunc(scene.Elements, func(e draw.Element) bool {
			switch e.(type) {
			case draw.Text, draw.Leader, draw.HandArrow, draw.ScaleBar:
				return true // too small to read
			}
			return false
		})
		scenes[i] = scene
		// Ways differ in the run-back; of the opening a little is seen.
		plan := &ways[i].Plan
		from := plan.Opening * 0.85
		for k := range plan.Outlines {
			low, high := plan.Outlines[k].Ring.Bounds()
			see(draw.Pt(max(from, low.X), low.Y))
			see(draw.Pt(max(from, high.X), high.Y))
		}
		if g := plan.Ground; g != nil && g.Rising != nil {
			b := scene.Bounds()
			see(draw.Pt(from, b.Max.Y))
		}
	}
	pictures := make([]string, len(ways))
	for i, scene := range scenes {
		view := draw.Phone(300, 110)
		view.Mirror, view.NoDimensions, view.Hidden, view.Window = ways[i].Plan.Mirrored(), true, []string{drawing.LayerSizes, drawing.LayerPegs}, all
		if svg, err := draw.Render(scene, view, draw.Options{Screen: true, Prefix: "way" + strconv.Itoa(i), Class: "d-thumb"}); err == nil {
			pictures[i] = string(svg)
		}
	}
	return pictures
}

// Render implements app.Composer.
func (s *waysScreen) Render() app.UI {
	w := s.w
	if w.doc == nil {
		return siteFrame(w, "more")
	}
	s.workOut()
	if s.seal != w.seal {
		return siteFrame(w, "more", app.H2().Text(say("Ways to build")), app.P().Class("quiet").Role("status").Text(say("Designing each way…")))
	}
	r := &s.report
	by := say("Cheapest first, by your rates.")
	if r.By == advice.RankByVolume {
		by = say("Least concrete and digging first.")
	}
	return siteFrame(w, "more",
		app.H2().Text(say("Ways to build")),
		app.P().Text(sentences(sayCount(r.Feasible, "One way can be built.", "{0} ways can be built."), by)),
		app.Div().Class("ways-row").Role("list").Aria("label", say("Ways that can be built")).Body(
			app.Range(r.Options[:r.Feasible]).Slice(func(i int) app.UI { return s.card(i) })),
		app.Range(r.Notes).Slice(func(i int) app.UI { return app.P().Class("quiet").Text(w.sentence(r.Notes[i])) }),
		app.If(len(r.Missing) > 0, app.A().Class("wide").Href("/rules").Text(say("Set your rates"))),
		s.others(),
	)
}

// card is one way that can be built.
func (s *waysScreen) card(i int) app.UI {
	w, way := s.w, &s.report.Options[i]
	picture := ""
	if i < len(s.pictures) {
		picture = s.pictures[i]
	}
	class, do := "way-card", app.UI(app.Button().Type("button").Class("primary").DataSet("do", "build-way").Text(say("Build it this way")).
		OnClick(func(ctx app.Context, _ app.Event) { s.choose(ctx, way) }, s.seal, i))
	if way.Current {
		class, do = "way-card way-here", app.P().Class("way-now").Text(say("As it stands now"))
	}
	price := app.UI(app.Text(""))
	if way.Cost > 0 {
		name := "Price"
		if len(way.Unpriced) > 0 {
			name = "Price of what has a rate"
		}
		price = pair(name, w.money(way.Cost))
	}
	return app.Div().Class(class).Role("listitem").DataSet("way", way.Key).Body(
		app.Raw(`<div class="thumb" aria-hidden="true">`+picture+`</div>`),
		app.H3().Text(strconv.Itoa(i+1)+". "+wayName(way)),
		app.Dl().Class("pairs").Body(
			price,
			pair("Digging", w.write(text.Arg{Value: way.Dig, Dimension: text.Volume})),
			pair("Concrete", w.write(text.Arg{Value: way.Concrete, Dimension: text.Volume})),
			pair("Room along the fence", w.length(way.Room, true)),
			pair("Out from the fence", w.length(way.Out, true)),
			pair("Clear opening", w.length(way.Clear, true)),
		),
		app.If(len(way.Warnings) > 0, app.Details().Body(
			app.Summary().Body(app.Span().Text(sayCount(len(way.Warnings), "One thing to mind", "{0} things to mind"))),
			app.Range(way.Warnings).Slice(func(k int) app.UI { return app.P().Text(w.sentence(way.Warnings[k])) }))),
		do,
	)
}

// others are the ways that cannot be built, each with its reasons.
func (s *waysScreen) others() app.UI {
	w := s.w
	rest := s.report.Options[s.report.Feasible:]
	if len(rest) == 0 {
		return app.Text("")
	}
	return app.Section().Class("watch watch-stop").Body(
		app.H2().Text(say("Cannot be built here")),
		app.Ul().Class("list").Body(app.Range(rest).Slice(func(i int) app.UI {
			way := &rest[i]
			return app.Li().Class("item").DataSet("way", way.Key).Body(
				app.Strong().Text(wayName(way)),
				app.Range(way.Reasons).Slice(func(k int) app.UI { return app.P().Text(w.sentence(way.Reasons[k])) }))
		})),
	)
}

// wayName joins the words of the choices.
func wayName(way *advice.BuildOption) string {
	name := ""
	for _, c := range way.Choices {
		words := c.Words
		switch c.Path {
		case survey.GateHardStop:
			if c.Value == survey.Yes {
				continue // every way has one
			}
			words = "no hard stop"
		case survey.GatePanels:
			words = map[string]string{survey.PanelsOne: "one panel", survey.PanelsTwo: "two panels", survey.PanelsThree: "three panels"}[c.Value]
		}
		if name != "" {
			name += " · "
		}
		name += say(words)
	}
	return name
}

// choose writes the way's choices into the survey, as one edit that undo takes
// back.
func (s *waysScreen) choose(ctx app.Context, way *advice.BuildOption) {
	s.w.applyRemedy(ctx, plan.Remedy{Words: text.Text{Format: "Build it this way"}, Changes: way.Changes})
}
