package app

import (
	"math"
	"strconv"
	"time"

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
	work        waysWork
}

func newWaysScreen(w *editing.Site) *waysScreen { return &waysScreen{w: w} }

// OnNav implements app.Navigator.
func (s *waysScreen) OnNav(ctx app.Context) { s.w.Follow(ctx, nil) }

// OnDismount implements app.Dismounter.
func (s *waysScreen) OnDismount() { s.w.Leave() }

// oneTurn is how long the ways are designed before the screen shows how far that has
// come and hears what was pressed.
const oneTurn = 25 * time.Millisecond

// evaluate designs and draws the ways once the screen is there, a few in a turn.
func (s *waysScreen) evaluate() {
	w := s.w
	if s.seal == w.Seal || s.asked == w.Seal {
		return
	}
	s.asked, s.work = w.Seal, waysWork{}
	s.turn(w.Seal)
}

// turn goes on with the ways of a site as it stood, once the page has shown how far they
// have come.
func (s *waysScreen) turn(seal string) {
	w := s.w
	w.AfterTurn(func() {
		w.Dispatch(func(app.Context) {
			if w.Doc == nil || s.asked != seal || w.Seal != seal {
				return
			}
			if s.work.search == nil {
				s.work.search = advice.BeginOptions(w.Survey(), w.Practice)
			}
			for end := time.Now().Add(oneTurn); time.Now().Before(end); {
				if !s.work.step() {
					s.seal = seal
					return
				}
			}
			s.turn(seal)
		})
	})
}

// mostPictures is how many ways get a drawing.
const mostPictures = 8

// waysWork designs ways, then draws the first of them at one scale, so that the eye
// compares before the figures do.
type waysWork struct {
	search   *advice.OptionsSearch
	designed bool
	report   advice.OptionsReport
	drawn    int // how many get a picture
	scenes   []*draw.Scene
	within   draw.Box
	pictures []string
}

// step designs or draws one way more and reports whether any is left.
func (k *waysWork) step() bool {
	switch {
	case !k.designed:
		if k.designed = !k.search.Next(); k.designed {
			k.report = k.search.Report()
			k.drawn = min(mostPictures, len(k.report.Options))
		}
	case len(k.scenes) < k.drawn:
		k.scene(k.report.Options[len(k.scenes)].Plan)
	case len(k.pictures) < k.drawn:
		k.picture()
	}
	return !k.designed || len(k.pictures) < k.drawn
}

// scene draws a way for its picture. Ways differ in the run-back; of the opening a little
// is seen.
func (k *waysWork) scene(made *plan.Plan) {
	scene := drawing.SetOutScene(made, drawing.SceneOptions{})
	ui.Plain(scene)
	if len(k.scenes) == 0 {
		k.within = draw.EmptyBox()
	}
	k.scenes = append(k.scenes, scene)
	from := made.Opening * 0.85
	if made.Pair != nil { // of two leaves both sides
		from = math.Inf(-1)
	}
	for i := range made.Outlines {
		low, high := made.Outlines[i].Ring.Bounds()
		k.within.Grow(draw.Pt(max(from, low.X), low.Y))
		k.within.Grow(draw.Pt(max(from, high.X), high.Y))
	}
	if g := made.Ground; g != nil && g.Rising != nil {
		b := scene.Bounds()
		k.within.Grow(draw.Pt(max(from, b.Min.X), b.Max.Y))
	}
}

// picture draws the next scene at the scale that all of them have.
func (k *waysWork) picture() {
	i := len(k.pictures)
	view := draw.Phone(300, 110)
	view.Mirror, view.NoDimensions, view.Hidden, view.Window = k.report.Options[i].Plan.Mirrored(), true,
		[]string{drawing.LayerSizes, drawing.LayerPegs}, k.within
	svg, err := draw.Render(k.scenes[i], view,
		draw.Options{Screen: true, Prefix: "way" + strconv.Itoa(i), Class: "d-thumb"})
	if err != nil {
		svg = nil // the way stands without a picture
	}
	k.pictures = append(k.pictures, string(svg))
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
			element.Status("p", "quiet", "status", w.Say("Designing each way…")),
			s.progress())
	}
	r := &s.work.report
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

// progress is how many of the ways were designed.
func (s *waysScreen) progress() app.UI {
	if s.work.search == nil {
		return app.Text("")
	}
	done, all := s.work.search.Progress()
	return app.Elem("progress").Attr("max", max(1, all)).Attr("value", done).Aria("label", s.w.Say("Designing each way…"))
}

// card is one way that can be built.
func (s *waysScreen) card(i int) app.UI {
	w, way := s.w, &s.work.report.Options[i]
	picture := ""
	if i < len(s.work.pictures) {
		picture = s.work.pictures[i]
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
	rest := s.work.report.Options[s.work.report.Feasible+s.work.report.Mended:]
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
