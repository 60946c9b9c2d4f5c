package app

import (
	"math"
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/language"
	"pegpour/app/ui"
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
	w *editing.Site

	seal, asked string
	report      advice.OptionsReport
	pictures    []string
}

func newWaysScreen(w *editing.Site) *waysScreen { return &waysScreen{w: w} }

// OnNav implements app.Navigator.
func (s *waysScreen) OnNav(ctx app.Context) { s.w.Follow(ctx, nil) }

// OnDismount implements app.Dismounter.
func (s *waysScreen) OnDismount() { s.w.Leave() }

// mostPictures is how many ways get a drawing.
const mostPictures = 8

// evaluate designs the ways once the screen is there.
func (s *waysScreen) evaluate() {
	w := s.w
	if s.seal == w.Seal || s.asked == w.Seal {
		return
	}
	s.asked = w.Seal
	w.Dispatch(func(app.Context) {
		if w.Doc == nil || s.asked != w.Seal {
			return
		}
		s.report = advice.BuildOptions(w.Survey(), w.Practice)
		s.pictures = wayPictures(s.report.Options[:min(mostPictures, len(s.report.Options))])
		s.seal = w.Seal
	})
}

// wayPictures draws ways at one scale, so that the eye compares before the
// figures do.
func wayPictures(ways []advice.BuildOption) []string {
	scenes := make([]*draw.Scene, len(ways))
	var all draw.Box
	first := true
	include := func(p draw.Point) {
		if first {
			all, first = draw.Box{Min: p, Max: p}, false
			return
		}
		all.Min.X, all.Min.Y = min(all.Min.X, p.X), min(all.Min.Y, p.Y)
		all.Max.X, all.Max.Y = max(all.Max.X, p.X), max(all.Max.Y, p.Y)
	}
	for i := range ways {
		scene := drawing.SetOutScene(&ways[i].Plan, drawing.SceneOptions{})
		ui.Plain(scene)
		scenes[i] = scene
		// Ways differ in the run-back; of the opening a little is seen.
		made := &ways[i].Plan
		from := made.Opening * 0.85
		if made.Pair != nil { // of two leaves both sides
			from = math.Inf(-1)
		}
		for k := range made.Outlines {
			low, high := made.Outlines[k].Ring.Bounds()
			include(draw.Pt(max(from, low.X), low.Y))
			include(draw.Pt(max(from, high.X), high.Y))
		}
		if g := made.Ground; g != nil && g.Rising != nil {
			b := scene.Bounds()
			include(draw.Pt(max(from, b.Min.X), b.Max.Y))
		}
	}
	pictures := make([]string, len(ways))
	for i, scene := range scenes {
		view := draw.Phone(300, 110)
		view.Mirror, view.NoDimensions, view.Hidden, view.Window = ways[i].Plan.Mirrored(), true,
			[]string{drawing.LayerSizes, drawing.LayerPegs}, all
		if svg, err := draw.Render(scene, view,
			draw.Options{Screen: true, Prefix: "way" + strconv.Itoa(i), Class: "d-thumb"}); err == nil {
			pictures[i] = string(svg)
		}
	}
	return pictures
}

// Render implements app.Composer.
func (s *waysScreen) Render() app.UI {
	w := s.w
	if w.Doc == nil {
		return ui.SiteFrame(w, "more")
	}
	s.evaluate()
	if s.seal != w.Seal {
		return ui.SiteFrame(w, "more",
			element.Text("h2", "", w.Say("Ways to build")),
			element.Status("p", "quiet", "status", w.Say("Designing each way…")))
	}
	r := &s.report
	by := w.Say("Cheapest first, by your rates.")
	if r.By == advice.RankByVolume {
		by = w.Say("Least concrete and digging first.")
	}
	var told []string
	if r.Feasible > 0 || r.Mended == 0 {
		told = append(told, w.SayCount(r.Feasible, "One way can be built.", "{0} ways can be built."))
	}
	if r.Mended > 0 {
		told = append(told,
			w.SayCount(r.Mended, "One way can be built with the changes it names.", "{0} ways can be built with the changes they name."))
	}
	return ui.SiteFrame(w, "more",
		element.Text("h2", "", w.Say("Ways to build")),
		element.Text("p", "", language.Sentences(append(told, by)...)),
		element.Acting("div", "ways-row", "list", w.Say("Ways that can be built"),
			app.Range(r.Options[:r.Feasible+r.Mended]).Slice(func(i int) app.UI { return s.card(i) })),
		app.Range(r.Notes).Slice(func(i int) app.UI { return element.Text("p", "quiet", w.Sentence(r.Notes[i])) }),
		app.If(len(r.Missing) > 0, element.Link("wide", "/site/"+w.Doc.ID+"/rates", w.Say("Set your rates"))),
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
	class, do := "way-card",
		app.UI(element.Doing("primary", "build-way",
			w.Say("Build it this way"), func(ctx app.Context, _ app.Event) { s.choose(ctx, way) }, s.seal, i))
	if way.Current && len(way.Needs) == 0 {
		class, do = "way-card way-here", element.Text("p", "way-now", w.Say("As it stands now"))
	}
	price := app.UI(app.Text(""))
	if way.Cost > 0 {
		name := "Price"
		if len(way.Unpriced) > 0 {
			name = "Price of what has a rate"
		}
		price = ui.Pair(w.Speaker, name, w.Money(way.Cost))
	}
	return app.Elem("div").Class(class).Role("listitem").DataSet("way", way.Key).Body(
		app.Raw(`<div class="thumb" aria-hidden="true">`+picture+`</div>`),
		element.Text("h3", "", strconv.Itoa(i+1)+". "+wayName(w.Speaker, way)),
		app.If(len(way.Needs) > 0, element.Box("p", "", element.Text("strong", "", w.Say("It needs:")))),
		app.Range(way.Needs).Slice(func(k int) app.UI { return element.Text("p", "remedy", w.Sentence(way.Needs[k])) }),
		element.Box("dl", "pairs",
			price,
			ui.Pair(w.Speaker, "Digging", w.Write(text.Arg{Value: way.Dig, Dimension: text.Volume})),
			ui.Pair(w.Speaker, "Concrete", w.Write(text.Arg{Value: way.Concrete, Dimension: text.Volume})),
			ui.Pair(w.Speaker, "Room along the fence", w.Length(way.Room, true)),
			ui.Pair(w.Speaker, "Out from the fence", w.Length(way.Out, true)),
			ui.Pair(w.Speaker, "Clear opening", w.Length(way.Clear, true)),
		),
		app.If(len(way.Warnings) > 0, element.Box("details", "",
			element.Box("summary", "", element.Text("span", "", w.SayCount(len(way.Warnings), "One thing to mind", "{0} things to mind"))),
			app.Range(way.Warnings).Slice(func(k int) app.UI { return element.Text("p", "", w.Sentence(way.Warnings[k])) }))),
		do,
	)
}

// others are the ways that cannot be built, each with its reasons.
func (s *waysScreen) others() app.UI {
	w := s.w
	rest := s.report.Options[s.report.Feasible+s.report.Mended:]
	if len(rest) == 0 {
		return app.Text("")
	}
	return element.Box("section", "watch watch-stop",
		element.Text("h2", "", w.Say("Cannot be built here")),
		element.Box("ul", "list", app.Range(rest).Slice(func(i int) app.UI {
			way := &rest[i]
			return app.Elem("li").Class("item").DataSet("way", way.Key).Body(
				element.Text("strong", "", wayName(w.Speaker, way)),
				app.Range(way.Reasons).Slice(func(k int) app.UI { return element.Text("p", "", w.Sentence(way.Reasons[k])) }))
		})),
	)
}

// wayName joins the words of the choices.
func wayName(l *language.Speaker, way *advice.BuildOption) string {
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
			words = map[string]string{survey.PanelsOne: "one panel", survey.PanelsTwo: "two panels",
				survey.PanelsThree: "three panels"}[c.Value]
		}
		if name != "" {
			name += " · "
		}
		name += l.Say(words)
	}
	return name
}

// choose writes the way's choices into the survey, as one edit that undo takes
// back.
func (s *waysScreen) choose(ctx app.Context, way *advice.BuildOption) {
	s.w.ApplyRemedy(ctx, plan.Remedy{Words: text.Text{Format: "Build it this way"}, Changes: way.Changes})
}
