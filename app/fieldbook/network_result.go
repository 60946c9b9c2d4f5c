package fieldbook

import (
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/language"
	"pegpour/app/ui"
	"pegpour/engine/plan"
	"pegpour/engine/survey"
	"pegpour/storage"
)

// pegButtons are the pegs as buttons, for those who would rather not aim.
func (s *networkScreen) pegButtons() app.UI {
	pegs := s.w.Doc.Survey.Network.Pegs
	return element.Acting("div", "switches", "group", s.w.Say("Pegs"), app.Range(pegs).Slice(func(i int) app.UI {
		name := pegs[i].Name
		on := len(s.picked) > 0 && s.picked[0] == name || len(s.picked) > 1 && s.picked[1] == name
		b := app.Button().Type("button").Class("switch").DataSet("peg", name).Aria("pressed", strconv.FormatBool(on)).
			Text(name).
			OnClick(func(ctx app.Context, _ app.Event) { s.pick(ctx, name) }, name)
		if on {
			b = b.Class("here")
		}
		return b
	}))
}

// tapes is the table of residuals.
func (s *networkScreen) tapes() app.UI {
	w := s.w
	n := w.Outlines().Network
	if n == nil || len(n.Tapes) == 0 {
		return app.Text("")
	}
	return element.Box("section", "",
		element.Text("h2", "", w.Say("Tapes")),
		app.If(!n.Problem.Empty(), element.Text("p", "error", w.Sentence(n.Problem))),
		app.If(n.Problem.Empty() && n.TapeNext[0] != "",
			element.Text("p", "error", w.SayWith("Tape next: {0} – {1}", n.TapeNext[0], n.TapeNext[1]))),
		table(app.Range(n.Tapes).Slice(func(i int) app.UI { return s.tapeRow(&n.Tapes[i]) }),
			w.Say("Tape"), w.Say("Level"), w.Say("Misses by"), w.Say("Checked")),
		element.Text("p", "quiet", s.judgement(n)),
	)
}

func (s *networkScreen) tapeRow(t *plan.TapeFit) app.UI {
	w := s.w
	from, to := t.From, t.To
	class, checked := "", w.Say("no")
	switch {
	case t.Suspect:
		class, checked = "suspect", w.Say("wrong?")
	case t.Checked:
		checked = "± " + w.Length(t.SmallestFound, false)
	}
	missed := "–"
	if t.Used {
		missed = w.Decimal(t.Residual, 1)
	}
	return element.Box("tr", class,
		element.Box("td", "", element.Button("row-side", from+" – "+to, func(ctx app.Context, _ app.Event) {
			s.picked, s.part = []string{from, to}, "length"
			s.w.Refresh(ctx)
			ui.FocusEntry(s.w)
		}, from, to)),
		element.Text("td", "voice-measured", w.Length(t.Level, false)), element.Text("td", "", missed), element.Text("td", "", checked))
}

func (s *networkScreen) judgement(n *plan.Network) string {
	switch {
	case len(n.Pegs) == 0:
		return ""
	case n.DegreesOfFreedom == 0:
		return s.w.Say("No tape to spare: a slip would not show. Tape a diagonal.")
	}
	return language.Sentences(s.w.SayCount(n.DegreesOfFreedom, "One tape to spare.", "{0} tapes to spare."),
		s.w.SayWith("Scatter against what tapes usually do: {0}.", s.w.Decimal(n.UnitDeviation, 2)),
		s.w.Say("Checked: the smallest slip that would show."))
}

// places lists where the pegs stand.
func (s *networkScreen) places() app.UI {
	w := s.w
	if w.Outlines().Network == nil || len(w.Outlines().Network.Pegs) == 0 {
		return app.Text("")
	}
	pegs := w.Outlines().Network.Pegs
	return element.Box("section", "",
		element.Text("h2", "", w.Say("Where the pegs stand")),
		table(app.Range(pegs).Slice(func(i int) app.UI {
			p := &pegs[i]
			mark := ""
			if !p.Checked {
				mark = " " + w.Say("unchecked")
			}
			return app.Elem("tr").DataSet("place", p.Name).
				Body(element.Text("td", "", p.Name),
					element.Text("td", "", w.Length(p.Chainage, false)),
					element.Text("td", "", w.Length(p.Offset, false)),
					element.Text("td", "", "± "+w.Decimal(p.Major95, 1)+mark))
		}), w.Say("Peg"), w.Say("Along"), w.Say("Out"), w.Say("Sure to, 95 %")))
}

// table is rows under their heads.
func table(rows app.UI, heads ...string) app.UI {
	return element.Box("table", "book",
		element.Box("thead", "", element.Box("tr", "",
			app.Range(heads).Slice(func(i int) app.UI { return element.Text("th", "", heads[i]) }))),
		element.Box("tbody", "", rows))
}

// usedInPlan lists what the survey takes from the network.
func (s *networkScreen) usedInPlan() app.UI {
	w := s.w
	if w.Outlines().Network == nil || len(w.Outlines().Network.Gives) == 0 {
		return app.Text("")
	}
	var rows []app.UI
	for _, g := range w.Outlines().Network.Gives {
		if f, ok := survey.FieldAt(g.Path); ok && f.Numeric() {
			rows = append(rows, ui.PairOf(w.SayName(g.Name), w.Give(g, f.Dimension)))
		}
	}
	return element.Box("section", "", element.Text("h2", "", w.Say("Used in the plan")), element.Box("dl", "pairs", rows...))
}

func pegIndex(w *editing.Site, name string) int {
	for i := range w.Doc.Survey.Network.Pegs {
		if w.Doc.Survey.Network.Pegs[i].Name == name {
			return i
		}
	}
	return -1
}

// begin puts the two posts down as the first pegs.
func (s *networkScreen) begin(ctx app.Context) {
	addPeg(s.w, ctx, survey.NetworkPeg{Name: "A", Role: survey.PegLatch, Along: survey.Measured(0, survey.ByEstimate),
		Offset: survey.Measured(0, survey.ByEstimate)})
	addPeg(s.w, ctx, survey.NetworkPeg{Name: "B", Role: survey.PegRunBack,
		Along: survey.Measured(s.w.Plan().Opening, survey.ByEstimate), Offset: survey.Measured(0, survey.ByEstimate)})
	s.picked = []string{"A"}
	s.pick(ctx, "B")
}

func addPeg(w *editing.Site, ctx app.Context, p survey.NetworkPeg) {
	if len(w.Doc.Survey.Network.Pegs) >= survey.MaxNetworkPegs {
		return
	}
	e, err := storage.AddEntry(w.Doc, "Add a peg", survey.NetworkPegs, p)
	w.Commit(ctx, e, err)
}

func addTape(w *editing.Site, ctx app.Context, from, to string) {
	if len(w.Doc.Survey.Network.Tapes) >= survey.MaxNetworkTapes {
		return
	}
	e, err := storage.AddEntry(w.Doc, "Tape between pegs", survey.NetworkTapes, survey.NetworkTape{From: from, To: to})
	w.Commit(ctx, e, err)
}

// add puts a peg with the next free letter at a place of the sketch.
func (s *networkScreen) add(ctx app.Context, along, offset float64) {
	name := freePegName(s.w)
	addPeg(s.w, ctx, survey.NetworkPeg{Name: name, Along: survey.Measured(along, survey.ByEstimate),
		Offset: survey.Measured(offset, survey.ByEstimate)})
	if pegIndex(s.w, name) >= 0 {
		s.picked = []string{name}
	}
	s.w.Refresh(ctx)
}

// addBeside puts a peg down without aiming: beside the last one.
func (s *networkScreen) addBeside(ctx app.Context) {
	pegs := s.w.Doc.Survey.Network.Pegs
	if len(pegs) == 0 {
		s.begin(ctx)
		return
	}
	last := s.at(&pegs[len(pegs)-1])
	s.add(ctx, last.X+s.w.Plan().Opening/5, last.Y+s.w.Plan().Opening/5)
}

func freePegName(w *editing.Site) string {
	for round := 0; ; round++ {
		for c := 'A'; c <= 'Z'; c++ {
			name := string(c)
			if round > 0 {
				name += strconv.Itoa(round)
			}
			if pegIndex(w, name) < 0 {
				return name
			}
		}
	}
}

func (s *networkScreen) removeTape(ctx app.Context, k int) {
	e, err := storage.RemoveEntry(s.w.Doc, "Remove a tape", survey.NetworkTapes, k)
	s.picked = nil
	s.w.Commit(ctx, e, err)
}

// removePeg takes a peg away with its tapes: one undo brings them back.
func (s *networkScreen) removePeg(ctx app.Context, name string) {
	s.picked = nil
	e, err := storage.RemovePeg(s.w.Doc, name)
	s.w.Commit(ctx, e, err)
}

// renamePeg gives a peg the name that was typed; its tapes follow.
func (s *networkScreen) renamePeg(ctx app.Context, from, to string) {
	e, err := storage.RenamePeg(s.w.Doc, from, to)
	s.refused = ""
	if err != nil {
		s.refused = s.w.SayWith("“{0}” cannot be its name: it must have one of 1 to 12 letters that no other peg has.",
			strings.TrimSpace(to))
	} else if name := strings.TrimSpace(to); len(s.picked) == 1 && s.picked[0] == from {
		s.picked = []string{name}
	}
	s.w.Commit(ctx, e, err)
	s.w.Refresh(ctx)
}
