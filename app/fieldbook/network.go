package fieldbook

import (
	"math"
	"slices"
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/ui"
	"pegpour/app/window"
	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/survey"
	"pegpour/storage"
)

// networkScreen is the tape network: pegs named on a sketch, tapes between
// pairs of them, and what comes of it.
type networkScreen struct {
	app.Compo
	w *editing.Site

	picked []string // names of one or two pegs
	part   string   // of the tape: length, rise, warmth, hung
	near   string   // what the sketch shows: "", latch, run-back
	sheet  *draw.Sheet
	// refused says why the name typed for a peg was not taken.
	refused string
}

// NewNetworkScreen returns the screen.
func NewNetworkScreen(w *editing.Site) app.Composer { return &networkScreen{w: w, part: "length"} }

// OnNav implements app.Navigator.
func (s *networkScreen) OnNav(ctx app.Context) { s.w.Follow(ctx, nil) }

// OnDismount implements app.Dismounter.
func (s *networkScreen) OnDismount() { s.w.Leave() }

// Render implements app.Composer.
func (s *networkScreen) Render() app.UI {
	w := s.w
	if w.Doc == nil {
		return ui.SiteFrame(w, "more")
	}
	return ui.SiteFrame(w, "more tool",
		s.sketch(),
		s.pegButtons(), // above what changes, so that they stay under the thumb
		s.asked(),
		element.Text("p", "quiet", s.caption()),
		element.Box("div", "switches",
			s.window("", "Whole"), s.window("latch", "Latch post"), s.window("run-back", "Run-back post"),
			element.Doing("switch", "add-peg", w.Say("Add a peg"), func(ctx app.Context, _ app.Event) { s.addBeside(ctx) }),
		),
		s.tapes(),
		s.places(),
		s.usedInPlan(),
	)
}

func (s *networkScreen) window(near, name string) app.UI {
	b := app.Button().Type("button").Class("switch").Aria("pressed", strconv.FormatBool(s.near == near)).
		Text(s.w.Say(name)).
		OnClick(func(app.Context, app.Event) { s.near = near }, near)
	if s.near == near {
		b = b.Class("here")
	}
	return b
}

// sketch draws pegs and tapes; a tap picks a peg or puts a new one there.
func (s *networkScreen) sketch() app.UI {
	w := s.w
	wide := window.Width()
	view := draw.Phone(wide, 180)
	view.Mirror, view.Window = w.Plan().Mirrored(), drawing.NetworkWindow(w.Plan(), &w.Doc.Survey, s.near)
	options := drawing.NetworkOptions{SceneOptions: w.SceneOptions(false), Picked: s.picked, Tape: s.tape()}
	sheet, err := draw.Layout(drawing.NetworkScene(&w.Doc.Survey, w.Plan(), options), view)
	if err != nil {
		return element.Text("p", "error", w.ErrorWords(err))
	}
	s.sheet = sheet
	return element.Box("figure", "drawing sketch",
		app.Elem("div").ID("sketch").Class("paper").OnClick(s.tap).
			Body(app.Raw("<div>"+string(draw.SVG(sheet, draw.Options{Screen: true, Prefix: "sketch"}))+"</div>")),
	)
}

func (s *networkScreen) caption() string {
	if k := drawing.EllipseScale(s.w.Plan()); k > 1 {
		return s.w.SayWith("Rings hold the peg with 95 %; drawn larger by {0}.", s.w.Decimal(k, 0))
	}
	return s.w.Say("Tap where a peg stands. Rough is good enough: the tapes put it right.")
}

// tap picks the peg under the finger, or puts a new one there.
func (s *networkScreen) tap(ctx app.Context, e app.Event) {
	if s.sheet == nil {
		return
	}
	at := ui.Tapped("sketch", s.sheet, e)
	best, reach := "", 26.0
	for i := range s.w.Doc.Survey.Network.Pegs {
		p := &s.w.Doc.Survey.Network.Pegs[i]
		q := s.sheet.ToSheet(s.at(p))
		if d := math.Hypot(q.X-at.X, q.Y-at.Y); d < reach {
			best, reach = p.Name, d
		}
	}
	if best != "" {
		s.pick(ctx, best)
		return
	}
	m := s.sheet.ToModel(at)
	s.add(ctx, math.Round(m.X/10)*10, math.Round(m.Y/10)*10)
}

// at is where a peg is drawn.
func (s *networkScreen) at(p *survey.NetworkPeg) draw.Point {
	if q, ok := s.w.Outlines().Network.Peg(p.Name); ok {
		return draw.Pt(q.Chainage, q.Offset)
	}
	return draw.Pt(p.Along.Size, p.Offset.Size)
}

// pick takes a peg: the second one makes a pair to tape.
func (s *networkScreen) pick(ctx app.Context, name string) {
	s.refused = ""
	switch {
	case len(s.picked) == 1 && s.picked[0] == name:
		s.picked = nil
	case len(s.picked) == 1:
		s.picked = append(s.picked, name)
		s.part = "length"
		if s.tape() < 0 {
			addTape(s.w, ctx, s.picked[0], name)
		}
	default:
		s.picked = []string{name}
	}
	s.w.Refresh(ctx)
	ui.FocusEntry(s.w)
}

// tape is the index of the tape between the two pegs picked, −1 for none.
func (s *networkScreen) tape() int {
	if len(s.picked) < 2 {
		return -1
	}
	return slices.IndexFunc(s.w.Doc.Survey.Network.Tapes, func(t survey.NetworkTape) bool {
		return t.From == s.picked[0] && t.To == s.picked[1] || t.From == s.picked[1] && t.To == s.picked[0]
	})
}

// next goes on to the next tape from the same peg.
func (s *networkScreen) next(ctx app.Context) {
	s.picked = s.picked[:min(1, len(s.picked))]
	s.w.Refresh(ctx)
}

func (s *networkScreen) back(ctx app.Context) {
	s.picked = nil
	s.w.Refresh(ctx)
}

// asked is the question in hand: the first pegs, a peg, or a tape.
func (s *networkScreen) asked() app.UI {
	w := s.w
	n := &w.Doc.Survey.Network
	switch {
	case len(n.Pegs) == 0:
		return element.Box("section", "question",
			element.Text("h2", "", w.Say("Name the pegs")),
			element.Text("p", "help",
				w.Say("Tape between pegs in any order, a few more than are needed: the one that is wrong then shows.")),
			element.Doing("primary", "two-posts", w.Say("Begin with the two posts"), func(ctx app.Context, _ app.Event) { s.begin(ctx) }),
		)
	case len(s.picked) == 0:
		return element.Text("p", "help", w.Say("Tap two pegs to tape between them. Tap one to say what it marks."))
	case len(s.picked) == 1:
		return s.pegAsked(s.picked[0])
	}
	k := s.tape()
	if k < 0 {
		return app.Text("")
	}
	f, _ := survey.FieldAt(survey.NetworkTapes + "." + strconv.Itoa(k) + "." + s.part)
	return element.Region("section", "question", w.Say("The question"),
		element.Known("h2", "asked", "", "", w.SayWith("{0} – {1}: {2}", s.picked[0], s.picked[1], w.Say(tapeParts[s.part]))),
		ui.NumberBox(w, f, s.back, s.next),
		element.Box("div", "switches",
			s.partButton("length"), s.partButton("rise"), s.partButton("warmth"), s.partButton("hung"),
			element.Button("switch", w.Say("Remove"), func(ctx app.Context, _ app.Event) { s.removeTape(ctx, k) }, k),
		),
	)
}

var tapeParts = map[string]string{"length": "as the tape says", "rise": "one end higher by",
	"warmth": "temperature of the tape, °C", "hung": "length that hung free"}

// tapeButtons are what the buttons for the parts of a tape show, and their
// names: these begin with what is shown, for those who speak to their phone.
var tapeButtons = map[string][2]string{
	"length": {"Tape", "Tape: as the tape says"},
	"rise":   {"Slope", "Slope: one end higher by"},
	"warmth": {"°C", "°C: temperature of the tape"},
	"hung":   {"Sag", "Sag: length that hung free"},
}

func (s *networkScreen) partButton(part string) app.UI {
	words := tapeButtons[part]
	b := app.Button().Type("button").Class("switch").Aria("pressed", strconv.FormatBool(s.part == part)).
		Aria("label", s.w.Say(words[1])).Text(s.w.Say(words[0])).
		OnClick(func(ctx app.Context, _ app.Event) {
			s.part = part
			ui.FocusEntry(s.w)
		}, part)
	if s.part == part {
		b = b.Class("here")
	}
	return b
}

// pegAsked asks what one peg marks.
func (s *networkScreen) pegAsked(name string) app.UI {
	w := s.w
	i := pegIndex(w, name)
	if i < 0 {
		return app.Text("")
	}
	at := survey.NetworkPegs + "." + strconv.Itoa(i) + "."
	role, _ := survey.FieldAt(at + "role")
	thing, _ := survey.FieldAt(at + "thing")
	chosen := role.Chosen(&w.Doc.Survey)
	return element.Box("section", "told",
		element.Known("h2", "asked", "", "", w.SayWith("Peg {0}", name)),
		element.Text("p", "help", w.Say("Tap the other peg of the tape.")),
		element.Box("label", "setting", app.Text(w.Say("Name")),
			app.Input().Type("text").Class("words").ID("peg-name").Aria("label", w.Say("Name of the peg")).
				Attr("autocomplete", "off").MaxLength(40).Value(name).
				OnChange(func(ctx app.Context, e app.Event) { s.renamePeg(ctx, name, e.Get("target").Get("value").String()) },
					name)),
		app.If(s.refused != "", element.Status("p", "error", "alert", s.refused)),
		element.Box("label", "setting whole", app.Text(w.Say("It marks")),
			app.Select().Aria("label", w.Say("What the peg marks")).DataSet("do", "role").
				OnChange(func(ctx app.Context, e app.Event) {
					edit, err := storage.SetWords(w.Doc, role.Path, e.Get("target").Get("value").String())
					w.Commit(ctx, edit, err)
				}, role.Path).Body(app.Range(role.Options).Slice(func(k int) app.UI {
				o := role.Options[k]
				return app.Option().Value(o.Value).Selected(o.Value == chosen).Text(w.Say(o.Words))
			}))),
		app.If(chosen == survey.PegCorner, element.Box("label", "setting", app.Text(w.Say("Corner of")),
			app.Input().Type("text").Class("words").Aria("label", w.Say("What it is a corner of")).
				Placeholder(w.Say("Tank, tree, pit")).Value(thing.Words(&w.Doc.Survey)).
				OnInput(func(ctx app.Context, e app.Event) { ui.TypeWords(w, ctx, thing, e.Get("target").Get("value").String()) },
					thing.Path))),
		element.Button("row-side", w.Say("Remove this peg and its tapes"), func(ctx app.Context, _ app.Event) { s.removePeg(ctx, name) }, name),
	)
}
