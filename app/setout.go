package app

import (
	"slices"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/documents"
	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/ui"
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
	w *editing.Site

	view   string // viewWhole and so on
	turned bool
	pegs   bool
	at     int // index of the peg being set out
	hidden map[string]bool
	picked string
}

func newSetOutScreen(w *editing.Site) *setOutScreen {
	return &setOutScreen{w: w, hidden: map[string]bool{}}
}

// OnNav implements app.Navigator.
func (s *setOutScreen) OnNav(ctx app.Context) { s.w.Follow(ctx, nil) }

// OnDismount implements app.Dismounter.
func (s *setOutScreen) OnDismount() { s.w.Leave() }

// Render implements app.Composer.
func (s *setOutScreen) Render() app.UI {
	w := s.w
	if w.Doc == nil {
		return ui.SiteFrame(w, "set-out")
	}
	views := s.views()
	now := views[0]
	for _, v := range views {
		if v.key() == s.view {
			now = v
		}
	}
	options := w.SceneOptions(now.name == viewPad)
	canPeg := now.make == nil && len(w.Plan().Pegs) > 0
	pegging := s.pegs && canPeg
	if pegging {
		w.ShowPegs(&options)
	}
	var window draw.Box
	if now.name == viewPad {
		window = drawing.DetailWindows(w.Plan())[now.number]
	}
	options.Keyed = now.name == viewLeaf
	highlight := s.picked
	if pegging && s.at < len(w.Plan().Pegs) {
		highlight = "peg." + strconv.Itoa(w.Plan().Pegs[s.at].Number)
	}
	var hidden []string
	var shown []string // layers that this view has
	has := s.scene(now, options).Layers()
	for _, l := range layers {
		if s.hidden[l] {
			hidden = append(hidden, l)
		}
		if slices.Contains(has, l) {
			shown = append(shown, l)
		}
	}
	here, high, share := "set-out", s.height(), 0.0
	if pegging { // the peg in hand and its place are seen together
		here, high, share = "set-out pegging", 260, 0.3
	}
	return ui.SiteFrame(w, here,
		&ui.Drawing{Speaker: w.Speaker, Plan: now.plan(w), Options: options, Make: now.make,
			Seal: w.Seal + s.view + strconv.FormatBool(pegging) + strconv.FormatBool(s.turned), Height: high, Share: share,
			Highlight: highlight, Window: window, Hidden: hidden, Tools: true, Part: now.key(), Turn: s.turned, OnPick: s.pick},
		app.If(pegging, s.pegPanel()),
		app.If(now.name == viewWhole && !pegging && !s.turned, app.Range(views).Slice(func(i int) app.UI { return s.detail(&views[i], hidden) })),
		element.Acting("div", "views", "group", w.Say("What is drawn"),
			app.Range(views).Slice(func(i int) app.UI {
				v := &views[i]
				return s.toggle("view", w.SayName(v.side.Named(text.Name(v.name))), v.key() == now.key(), func() { s.view = v.key() })
			})),
		element.Box("div", "switches",
			s.toggle("toggle", w.Say("Turned"), s.turned, func() { s.turned = !s.turned }),
			app.If(canPeg, s.toggle("toggle", w.Say("Pegs"), s.pegs, func() {
				s.pegs = !s.pegs
				app.Window().ScrollToID("content")
			})),
		),
		app.If(now.make == nil, documents.SaveButton(w, "drawing", "Save drawing", "wide")), // it saves the plan
		app.If(now.name == viewSection, s.levels()),
		app.If(now.name == viewLeaf, s.cuts(now.plan(w))),
		s.explanation(),
		element.Box("details", "layers",
			element.Box("summary", "", element.Text("span", "", w.Say("What is shown"))),
			app.Range(shown).Slice(func(i int) app.UI {
				l := shown[i]
				return element.Box("label", "check",
					app.Input().Type("checkbox").Checked(!s.hidden[l]).
						OnChange(func(app.Context, app.Event) { s.hidden[l] = !s.hidden[l] }, l),
					app.Text(w.Say(l)))
			}),
		),
		s.sizes(),
	)
}

// detail is a pad with what stands on it, large under the whole, in which it is a speck.
func (s *setOutScreen) detail(v *setOutView, hidden []string) app.UI {
	if v.name != viewPad {
		return app.Text("")
	}
	w, share := s.w, 0.33
	if w.Plan().Pair != nil { // each side has one
		share = 0.21
	}
	return &ui.Drawing{Speaker: w.Speaker, Plan: w.Plan(), Options: w.SceneOptions(true), Seal: w.Seal, Height: 300, Share: share,
		ID: "drawing-pad" + strconv.Itoa(v.number), Window: drawing.DetailWindows(w.Plan())[v.number],
		Highlight: s.picked, Hidden: hidden, OnPick: s.pick}
}

// height of the drawing: what it needs, but a part or a turned plan fills the
// screen.
func (s *setOutScreen) height() float64 {
	if !app.IsClient || !strings.HasPrefix(s.view, viewPad) && !s.turned {
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
	name   string
	make   func(*plan.Plan, drawing.SceneOptions) *draw.Scene
	side   plan.Side // that it shows, of two leaves; a view of all has none
	number int
}

// key tells the views apart.
func (v *setOutView) key() string {
	if v.number > 0 {
		return v.name + "+"
	}
	return v.name
}

// plan is what is drawn: a side in its own frame, or all.
func (v *setOutView) plan(w *editing.Site) *plan.Plan {
	if v.make != nil {
		return v.side.Plan
	}
	return w.Plan()
}

// views are those that this site has something to show in.
func (s *setOutScreen) views() []setOutView {
	views := []setOutView{{name: viewWhole}}
	sides := s.w.Plan().Sides()
	for i, p := range sides {
		if p.Has(plan.PartPad) || p.Has(plan.PartGuidePost) || p.Has(plan.PartPostHole) {
			views = append(views, setOutView{viewPad, nil, p, i})
		}
	}
	for _, v := range []setOutView{{name: viewSection, make: drawing.SectionScene}, {name: viewFooting, make: drawing.FallingScene},
		{name: viewLeaf, make: drawing.LeafScene}} {
		for v.number, v.side = range sides {
			if v.make(v.side.Plan, s.w.SceneOptions(false)) != nil {
				views = append(views, v)
			}
		}
	}
	return views
}

// scene is what a view shows.
func (s *setOutScreen) scene(v setOutView, o drawing.SceneOptions) *draw.Scene {
	if v.make != nil {
		return v.make(v.side.Plan, o)
	}
	return drawing.SetOutScene(s.w.Plan(), o)
}

// levels lists the levels along the track, where the ground was levelled.
func (s *setOutScreen) levels() app.UI {
	rows := tables.Levels(s.w.Plan())
	if len(rows) < 2 {
		return app.Text("")
	}
	cells := func(row []text.Name, cell func(text.Name) app.UI) app.UI {
		return element.Box("tr", "", app.Range(row).Slice(func(i int) app.UI { return cell(row[i]) }))
	}
	label := s.w.Say("Levels along the track")
	if s.w.Plan().HangsFree() {
		label = s.w.Say("Levels under the leaf")
	}
	return app.Elem("div").Class("table levels").TabIndex(0).Role("region").Aria("label", label).
		Body(element.Box("table", "",
			element.Box("thead", "", cells(rows[0], func(c text.Name) app.UI { return app.Elem("th").Attr("scope", "col").Text(s.w.SayName(c)) })),
			element.Box("tbody", "", app.Range(rows[1:]).Slice(func(i int) app.UI {
				return cells(rows[i+1], func(c text.Name) app.UI { return element.Text("td", "", s.w.SayName(c)) })
			})),
		))
}

// cuts lists the members of the leaf by the numbers at them.
func (s *setOutScreen) cuts(p *plan.Plan) app.UI {
	w := s.w
	members := p.Leaf.Members
	return element.Box("dl", "pairs", app.Range(members).Slice(func(i int) app.UI {
		m := &members[i]
		return ui.PairOf(strconv.Itoa(i+1)+" · "+w.SayName(m.Mark),
			w.SayCount(m.Count, "one length {1}", "{0} lengths {1}", w.Length(m.Length, true)))
	}))
}

var layers = []string{drawing.LayerSite, drawing.LayerConcrete, drawing.LayerGate, drawing.LayerSizes}

func (s *setOutScreen) toggle(kind, said string, on bool, do func()) app.UI {
	b := app.Button().Type("button").Class(kind).Aria("pressed", strconv.FormatBool(on)).Text(said).
		OnClick(func(app.Context, app.Event) { do() }, said)
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
	if f, ok := survey.FieldAt(s.picked); ok {
		return element.Box("div", "told",
			element.Text("h2", "", w.SayName(f.Name)),
			element.Box("p", "", ui.ValueWords(w, f)),
			element.Link("wide", "/site/"+w.Doc.ID+"/measure?field="+f.Path, w.Say("Measure it again")),
		)
	}
	id := s.picked
	if len(id) > 4 && id[:4] == "dim." {
		id = id[4:]
	}
	if f, ok := w.Plan().Figure(id); ok {
		return element.Box("div", "told", ui.FigureTold(w, f))
	}
	if o, ok := w.Plan().Outline(id); ok {
		return element.Box("div", "told",
			element.Text("h2", "", w.SayName(o.Name)),
			element.Text("p", "", outlineWords(w, o)),
		)
	}
	return element.Text("p", "quiet", w.Say("Tap a line or a size to see where it comes from."))
}

// pegPanel goes through the pegs one at a time, in walking order.
func (s *setOutScreen) pegPanel() app.UI {
	w := s.w
	if len(w.Plan().Pegs) == 0 {
		return element.Text("p", "quiet", w.Say("Nothing to peg."))
	}
	if s.at >= len(w.Plan().Pegs) {
		s.at = 0
	}
	g := w.Plan().Pegs[s.at]
	tick := editing.PegTick(g.Number)
	done := w.Doc.Ticks[tick]
	return element.Region("section", "pegs", w.Say("Pegs"),
		element.Box("div", "peg-head",
			ui.IconButton(w.Speaker, ui.SignLeft, "Peg before", s.at > 0, func(app.Context) { s.at-- }),
			element.Text("h2", "", w.SayWith("Peg {0} / {1} · {2}", strconv.Itoa(g.Number), strconv.Itoa(len(w.Plan().Pegs)),
				w.SayName(g.Name))),
			ui.IconButton(w.Speaker, ui.SignRight, "Next peg", s.at < len(w.Plan().Pegs)-1, func(app.Context) { s.at++ }),
		),
		element.Box("dl", "pairs",
			ui.Pair(w.Speaker, "Along from the latch post", w.Length(g.Chainage, true)),
			beyondPost(w, g.Chainage-w.Plan().Opening),
			ui.Pair(w.Speaker, "Out from the back of the posts", w.Length(g.Offset, true)),
			app.If(g.Levelled, ui.Pair(w.Speaker, "Top of the concrete, level", w.Length(g.Level, true))),
		),
		app.Button().Type("button").Class("wide").Aria("pressed", strconv.FormatBool(done)).
			OnClick(func(ctx app.Context, _ app.Event) {
				w.Tick(ctx, tick, !done)
				if !done && s.at < len(w.Plan().Pegs)-1 {
					s.at++
				}
			}, done, tick).Body(app.If(done, ui.Sign(ui.SignDone)),
			app.Text(w.Say(map[bool]string{true: "Set", false: "It stands"}[done]))),
		element.Box("dl", "pairs",
			ui.Pair(w.Speaker, "Check: straight from the latch post's corner", w.Length(g.FromLatch, true)),
			ui.Pair(w.Speaker, "Check: straight from the run-back post's corner", w.Length(g.FromRunBack, true)),
		),
		app.If(len(w.Plan().Diagonals) > 0, element.Box("details", "",
			element.Box("summary", "", element.Text("span", "", w.Say("Diagonals to check by"))),
			element.Box("dl", "pairs", app.Range(w.Plan().Diagonals).Slice(func(i int) app.UI {
				d := w.Plan().Diagonals[i]
				return ui.PairOf(strconv.Itoa(d.From)+" – "+strconv.Itoa(d.To), w.Length(d.Length, true))
			})),
		)),
		element.Link("wide", "/site/"+w.Doc.ID+"/build/pegs", w.Say("Pegs as set: check them by tapes")),
		element.Link("wide", "/site/"+w.Doc.ID+"/build/boards", w.Say("Strings and profile boards")),
	)
}

// beyondPost is a stretch along the fence from the run-back post; before the post
// it is said so, with no minus.
func beyondPost(w *editing.Site, v float64) app.UI {
	if v <= -plan.Tolerance {
		return ui.Pair(w.Speaker, "Before the run-back post", w.Length(-v, true))
	}
	return ui.Pair(w.Speaker, "Along from the run-back post", w.Length(max(0, v), true))
}

// sizes lists every figure of the set-out, each of which opens to its reason.
func (s *setOutScreen) sizes() app.UI {
	w := s.w
	return element.Box("section", "figures",
		element.Text("h2", "", w.Say("Sizes worked out")),
		app.Range(w.Plan().Figures).Slice(func(i int) app.UI { return ui.FigureRow(w, w.Plan().Figures[i]) }),
	)
}

// outlineWords says how deep and how large a part is.
func outlineWords(w *editing.Site, o plan.Outline) string {
	low, high := o.Ring.Bounds()
	words := w.Length(high.X-low.X, true) + " × " + w.Length(high.Y-low.Y, true)
	if o.Depth > 0 {
		words += ", " + w.SayWith("deep {0}", w.Length(o.Deep(), true))
	}
	if o.Concrete {
		words += ", " + w.Write(text.Arg{Value: o.Area, Dimension: text.Area})
	}
	return words
}
