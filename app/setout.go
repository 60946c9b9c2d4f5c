package app

import (
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/plan"
	"pegpour/engine/survey"
	"pegpour/engine/tables"
	"pegpour/engine/text"
)

// setOutScreen is the plan, large, with its pegs.
type setOutScreen struct {
	app.Compo
	w *workspace

	view   string // viewWhole and so on
	turned bool
	pegs   bool
	at     int // index of the peg being set out
	hidden map[string]bool
	picked string
}

func newSetOutScreen() *setOutScreen {
	return &setOutScreen{w: current, hidden: map[string]bool{}}
}

// OnNav implements app.Navigator.
func (s *setOutScreen) OnNav(ctx app.Context) { s.w.follow(ctx, nil) }

// OnDismount implements app.Dismounter.
func (s *setOutScreen) OnDismount() { s.w.unfollow() }

// Render implements app.Composer.
func (s *setOutScreen) Render() app.UI {
	w := s.w
	if w.doc == nil {
		return siteFrame(w, "set-out")
	}
	options := w.sceneOptions(s.view == viewPad)
	if s.pegs {
		w.showPegs(&options)
	}
	var window draw.Box
	if s.view == viewPad {
		window = drawing.DetailWindow(w.plan())
	}
	views := s.views()
	make := views[0].make
	for _, v := range views {
		if v.name == s.view {
			make = v.make
		}
	}
	highlight := s.picked
	if s.pegs && s.at < len(w.plan().Pegs) {
		highlight = "peg." + strconv.Itoa(w.plan().Pegs[s.at].Number)
	}
	var hidden []string
	for _, l := range layers {
		if s.hidden[l] {
			hidden = append(hidden, l)
		}
	}
	return siteFrame(w, "set-out",
		&sheetView{Plan: w.plan(), Options: options, Make: make, Seal: w.seal + s.view + strconv.FormatBool(s.pegs) + strconv.FormatBool(s.turned), Height: s.height(),
			Highlight: highlight, Window: window, Hidden: hidden, Tools: true, Turn: s.turned, OnPick: s.pick},
		app.Div().Class("switches").Body(
			app.Range(views).Slice(func(i int) app.UI {
				v := views[i].name
				return s.toggle(v, s.view == v || s.view == "" && i == 0, func() { s.view = v })
			}),
			s.toggle("Turned", s.turned, func() { s.turned = !s.turned }),
			s.toggle("Pegs", s.pegs, func() { s.pegs = !s.pegs }),
			w.saveButton("drawing", "Save drawing", "switch"),
		),
		s.levels(),
		s.explanation(),
		app.If(s.pegs, s.pegPanel()),
		app.Details().Class("layers").Body(
			app.Summary().Body(app.Span().Text(say("What is shown"))),
			app.Range(layers).Slice(func(i int) app.UI {
				l := layers[i]
				return app.Label().Class("check").Body(
					app.Input().Type("checkbox").Checked(!s.hidden[l]).OnChange(func(app.Context, app.Event) { s.hidden[l] = !s.hidden[l] }, l),
					app.Text(say(l)))
			}),
		),
		s.sizes(),
	)
}

// height of the drawing: what it needs, but a part or a turned plan fills the
// screen.
func (s *setOutScreen) height() float64 {
	if !app.IsClient || s.view != viewPad && !s.turned {
		return 0
	}
	_, high := app.Window().Size()
	return min(640, max(300, float64(high)-300))
}

// The views of the set-out, in plain words.
const (
	viewWhole   = "Whole"
	viewPad     = "Pad and post"
	viewSection = "Long section"
	viewFooting = "Steel footing"
	viewLeaf    = "Leaf"
)

type setOutView struct {
	name string
	make func(*plan.Plan, drawing.SceneOptions) *draw.Scene
}

// views are those that this site has something to show in.
func (s *setOutScreen) views() []setOutView {
	views := []setOutView{{viewWhole, nil}, {viewPad, nil}}
	for _, v := range []setOutView{{viewSection, drawing.SectionScene}, {viewFooting, drawing.FallingScene}, {viewLeaf, drawing.LeafScene}} {
		if v.make(s.w.plan(), s.w.sceneOptions(false)) != nil {
			views = append(views, v)
		}
	}
	return views
}

// levels lists the levels along the track, where the ground was levelled.
func (s *setOutScreen) levels() app.UI {
	rows := tables.Levels(s.w.plan())
	if s.view != viewSection || len(rows) < 2 {
		return app.Text("")
	}
	cells := func(row []string, cell func(string) app.UI) app.UI {
		return app.Tr().Body(app.Range(row).Slice(func(i int) app.UI { return cell(row[i]) }))
	}
	return app.Div().Class("table levels").TabIndex(0).Role("region").Aria("label", say("Levels along the track")).Body(app.Table().Body(
		app.THead().Body(cells(rows[0], func(c string) app.UI { return app.Th().Scope("col").Text(say(c)) })),
		app.TBody().Body(app.Range(rows[1:]).Slice(func(i int) app.UI {
			return cells(rows[i+1], func(c string) app.UI { return app.Td().Text(say(c)) })
		})),
	))
}

var layers = []string{drawing.LayerSite, drawing.LayerConcrete, drawing.LayerGate, drawing.LayerSizes}

func (s *setOutScreen) toggle(name string, on bool, do func()) app.UI {
	b := app.Button().Type("button").Class("switch").Aria("pressed", strconv.FormatBool(on)).Text(say(name)).
		OnClick(func(app.Context, app.Event) { do() }, name)
	if on {
		b = b.Class("here")
	}
	return b
}

func (s *setOutScreen) pick(ctx app.Context, field, id string) {
	if field != "" {
		s.picked = field
	} else {
		s.picked = id
	}
	s.Update()
}

// explanation says what was tapped.
func (s *setOutScreen) explanation() app.UI {
	w := s.w
	if s.picked == "" {
		return app.P().Class("quiet").Text(say("Tap a line or a size to see where it comes from."))
	}
	if f, ok := survey.FieldAt(s.picked); ok {
		return app.Div().Class("told").Body(
			app.H2().Text(say(f.Name)),
			app.P().Body(w.valueWords(f)),
			app.A().Class("wide").Href("/site/"+w.doc.ID+"/measure?field="+f.Path).Text(say("Measure it again")),
		)
	}
	id := s.picked
	if len(id) > 4 && id[:4] == "dim." {
		id = id[4:]
	}
	if f, ok := w.plan().Figure(id); ok {
		return app.Div().Class("told").Body(figureTold(w, f))
	}
	if o, ok := w.plan().Outline(id); ok {
		return app.Div().Class("told").Body(
			app.H2().Text(say(o.Name)),
			app.P().Text(w.outlineWords(o)),
		)
	}
	return app.Text("")
}

// figureTold is a figure with its formula, its source and what it rests on.
func figureTold(w *workspace, f plan.Figure) app.UI {
	sign := ""
	class := "voice-worked"
	if f.Assumed {
		sign, class = "~ ", "voice-assumed"
	}
	return app.Div().Body(
		app.H2().Text(say(f.Name)),
		app.P().Class("value "+class).Text(sign+w.write(text.Arg{Value: f.Value, Dimension: f.Dimension})),
		app.P().Class("how").Text(w.sentence(f.How)),
		app.P().Class("source").Text(sayWith("Source: {0}", say(f.Source))),
		app.If(f.Assumed, app.P().Class("source").Text(say("It rests on a value that was not measured."))),
		figureNotes(w, f.ID, f.FirstPass),
	)
}

// pegPanel goes through the pegs one at a time, in walking order.
func (s *setOutScreen) pegPanel() app.UI {
	w := s.w
	if len(w.plan().Pegs) == 0 {
		return app.P().Class("quiet").Text(say("Nothing to peg."))
	}
	if s.at >= len(w.plan().Pegs) {
		s.at = 0
	}
	g := w.plan().Pegs[s.at]
	tick := pegTick(g.Number)
	done := w.doc.Ticks[tick]
	return app.Section().Class("pegs").Aria("label", say("Pegs")).Body(
		app.Div().Class("peg-head").Body(
			iconButton(signLeft, "Peg before", s.at > 0, func(app.Context) { s.at-- }),
			app.H2().Text(sayWith("Peg {0} / {1} · {2}", strconv.Itoa(g.Number), strconv.Itoa(len(w.plan().Pegs)), say(g.Name))),
			iconButton(signRight, "Next peg", s.at < len(w.plan().Pegs)-1, func(app.Context) { s.at++ }),
		),
		app.Dl().Class("pairs").Body(
			pair("Along from the latch post", w.length(g.Chainage, true)),
			pair("Along from the run-back post", w.length(g.Chainage-w.plan().Opening, true)),
			pair("Out from the back of the posts", w.length(g.Offset, true)),
			app.If(g.Levelled, pair("Top of the concrete, level", w.length(g.Level, true))),
			pair("Check: straight from the latch post's corner", w.length(g.FromLatch, true)),
			pair("Check: straight from the run-back post's corner", w.length(g.FromRunBack, true)),
		),
		app.Button().Type("button").Class("wide").Aria("pressed", strconv.FormatBool(done)).OnClick(func(ctx app.Context, _ app.Event) {
			w.tick(ctx, tick, !done)
			if !done && s.at < len(w.plan().Pegs)-1 {
				s.at++
			}
		}, done, tick).Body(app.If(done, sign(signDone)), app.Text(say(map[bool]string{true: "Set", false: "It stands"}[done]))),
		app.If(len(w.plan().Diagonals) > 0, app.Details().Body(
			app.Summary().Body(app.Span().Text(say("Diagonals to check by"))),
			app.Dl().Class("pairs").Body(app.Range(w.plan().Diagonals).Slice(func(i int) app.UI {
				d := w.plan().Diagonals[i]
				return pairOf(strconv.Itoa(d.From)+" – "+strconv.Itoa(d.To), w.length(d.Length, true))
			})),
		)),
	)
}

func pair(name, value string) app.UI {
	return pairOf(say(name), value)
}

// pairOf is pair with a name that has been said.
func pairOf(name, value string) app.UI {
	return app.Div().Class("pair").Body(app.Dt().Text(name), app.Dd().Text(value))
}

// sizes lists every figure of the set-out, each of which opens to its reason.
func (s *setOutScreen) sizes() app.UI {
	w := s.w
	return app.Section().Class("figures").Body(
		app.H2().Text(say("Sizes worked out")),
		app.Range(w.plan().Figures).Slice(func(i int) app.UI { return figureRow(w, w.plan().Figures[i]) }),
	)
}

func figureRow(w *workspace, f plan.Figure) app.UI {
	mark, class := "", "voice-worked"
	if f.Assumed {
		mark, class = "~ ", "voice-assumed"
	}
	return app.Details().Class("figure").Body(
		app.Summary().Body(app.Span().Text(say(f.Name)), app.Span().Class("figure-value "+class).Text(mark+w.write(text.Arg{Value: f.Value, Dimension: f.Dimension}))),
		app.P().Class("how").Text(w.sentence(f.How)),
		app.P().Class("source").Text(sayWith("Source: {0}", say(f.Source))),
		figureNotes(w, f.ID, f.FirstPass),
	)
}
