package app

import (
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/plan"
	"pegpour/engine/survey"
	"pegpour/engine/text"
	"pegpour/storage"
)

// pegButtons are the pegs as buttons, for those who would rather not aim.
func (s *networkScreen) pegButtons() app.UI {
	pegs := s.w.doc.Survey.Network.Pegs
	return app.Div().Class("switches").Role("group").Aria("label", say("Pegs")).Body(app.Range(pegs).Slice(func(i int) app.UI {
		name := pegs[i].Name
		on := len(s.picked) > 0 && s.picked[0] == name || len(s.picked) > 1 && s.picked[1] == name
		b := app.Button().Type("button").Class("switch").DataSet("peg", name).Aria("pressed", strconv.FormatBool(on)).Text(name).
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
	n := w.outlines().Network
	if n == nil || len(n.Tapes) == 0 {
		return app.Text("")
	}
	return app.Section().Body(
		app.H2().Text(say("Tapes")),
		app.If(!n.Problem.Empty(), app.P().Class("error").Text(w.sentence(n.Problem))),
		app.If(n.Problem.Empty() && n.TapeNext[0] != "", app.P().Class("error").Text(sayWith("Tape next: {0} – {1}", n.TapeNext[0], n.TapeNext[1]))),
		app.Table().Class("book").Body(
			app.THead().Body(app.Tr().Body(app.Th().Text(say("Tape")), app.Th().Text(say("Level")), app.Th().Text(say("Misses by")), app.Th().Text(say("Checked")))),
			app.TBody().Body(app.Range(n.Tapes).Slice(func(i int) app.UI { return s.tapeRow(&n.Tapes[i]) })),
		),
		app.P().Class("quiet").Text(s.judgement(n)),
	)
}

func (s *networkScreen) tapeRow(t *plan.TapeFit) app.UI {
	w := s.w
	from, to := t.From, t.To
	class, checked := "", say("no")
	switch {
	case t.Suspect:
		class, checked = "suspect", say("wrong?")
	case t.Checked:
		checked = "± " + w.length(t.SmallestFound, false)
	}
	missed := "–"
	if t.Used {
		missed = decimal(t.Residual, 1)
	}
	return app.Tr().Class(class).Body(
		app.Td().Body(app.Button().Type("button").Class("row-side").Text(from+" – "+to).OnClick(func(ctx app.Context, _ app.Event) {
			s.picked, s.part = []string{from, to}, "length"
			s.w.refresh(ctx)
			s.w.focusEntry()
		}, from, to)),
		app.Td().Class("voice-measured").Text(w.length(t.Level, false)), app.Td().Text(missed), app.Td().Text(checked))
}

func (s *networkScreen) judgement(n *plan.Network) string {
	switch {
	case len(n.Pegs) == 0:
		return ""
	case n.DegreesOfFreedom == 0:
		return say("No tape to spare: a slip would not show. Tape a diagonal.")
	}
	return sentences(sayCount(n.DegreesOfFreedom, "One tape to spare.", "{0} tapes to spare."),
		sayWith("Scatter against what tapes usually do: {0}.", decimal(n.UnitDeviation, 2)),
		say("Checked: the smallest slip that would show."))
}

// places lists where the pegs stand.
func (s *networkScreen) places() app.UI {
	w := s.w
	if w.outlines().Network == nil || len(w.outlines().Network.Pegs) == 0 {
		return app.Text("")
	}
	pegs := w.outlines().Network.Pegs
	return app.Section().Body(
		app.H2().Text(say("Where the pegs stand")),
		app.Table().Class("book").Body(
			app.THead().Body(app.Tr().Body(app.Th().Text(say("Peg")), app.Th().Text(say("Along")), app.Th().Text(say("Out")), app.Th().Text(say("Sure to, 95 %")))),
			app.TBody().Body(app.Range(pegs).Slice(func(i int) app.UI {
				p := &pegs[i]
				mark := ""
				if !p.Checked {
					mark = " " + say("unchecked")
				}
				return app.Tr().DataSet("place", p.Name).Body(app.Td().Text(p.Name), app.Td().Text(w.length(p.Chainage, false)), app.Td().Text(w.length(p.Offset, false)),
					app.Td().Text("± "+decimal(p.Major95, 1)+mark))
			})),
		),
	)
}

// gives lists what the survey takes from the network.
func (s *networkScreen) gives() app.UI {
	w := s.w
	if w.outlines().Network == nil || len(w.outlines().Network.Gives) == 0 {
		return app.Text("")
	}
	var rows []app.UI
	for _, g := range w.outlines().Network.Gives {
		if f, ok := survey.FieldAt(g.Path); ok && f.Numeric() {
			rows = append(rows, pair(g.Name, w.give(g, f.Dimension)))
		}
	}
	return app.Section().Body(app.H2().Text(say("Used in the plan")), app.Dl().Class("pairs").Body(rows...))
}

// give writes what the network gives, with its standard uncertainty.
func (w *workspace) give(g plan.Given, d text.Dimension) string {
	return w.write(text.Arg{Value: g.Value, Dimension: d}) + " ± " + decimal(g.Sigma, 1) + " mm"
}

func (w *workspace) pegIndex(name string) int {
	for i := range w.doc.Survey.Network.Pegs {
		if w.doc.Survey.Network.Pegs[i].Name == name {
			return i
		}
	}
	return -1
}

// begin puts the two posts down as the first pegs.
func (s *networkScreen) begin(ctx app.Context) {
	s.w.addPeg(ctx, survey.NetworkPeg{Name: "A", Role: survey.PegLatch, Along: survey.Measured(0, survey.ByEstimate), Offset: survey.Measured(0, survey.ByEstimate)})
	s.w.addPeg(ctx, survey.NetworkPeg{Name: "B", Role: survey.PegRunBack, Along: survey.Measured(s.w.plan().Opening, survey.ByEstimate), Offset: survey.Measured(0, survey.ByEstimate)})
	s.picked = []string{"A"}
	s.pick(ctx, "B")
}

func (w *workspace) addPeg(ctx app.Context, p survey.NetworkPeg) {
	if len(w.doc.Survey.Network.Pegs) >= survey.MaxNetworkPegs {
		return
	}
	e, err := storage.AddEntry(w.doc, "Add a peg", survey.NetworkPegs, p)
	w.commit(ctx, e, err)
}

func (w *workspace) addTape(ctx app.Context, from, to string) {
	if len(w.doc.Survey.Network.Tapes) >= survey.MaxNetworkTapes {
		return
	}
	e, err := storage.AddEntry(w.doc, "Tape between pegs", survey.NetworkTapes, survey.NetworkTape{From: from, To: to})
	w.commit(ctx, e, err)
}

// add puts a peg with the next free letter at a place of the sketch.
func (s *networkScreen) add(ctx app.Context, along, offset float64) {
	name := s.w.freePegName()
	s.w.addPeg(ctx, survey.NetworkPeg{Name: name, Along: survey.Measured(along, survey.ByEstimate), Offset: survey.Measured(offset, survey.ByEstimate)})
	if s.w.pegIndex(name) >= 0 {
		s.picked = []string{name}
	}
	s.w.refresh(ctx)
}

// addBeside puts a peg down without aiming: beside the last one.
func (s *networkScreen) addBeside(ctx app.Context) {
	pegs := s.w.doc.Survey.Network.Pegs
	if len(pegs) == 0 {
		s.begin(ctx)
		return
	}
	last := s.at(&pegs[len(pegs)-1])
	s.add(ctx, last.X+s.w.plan().Opening/5, last.Y+s.w.plan().Opening/5)
}

func (w *workspace) freePegName() string {
	for round := 0; ; round++ {
		for c := 'A'; c <= 'Z'; c++ {
			name := string(c)
			if round > 0 {
				name += strconv.Itoa(round)
			}
			if w.pegIndex(name) < 0 {
				return name
			}
		}
	}
}

func (s *networkScreen) removeTape(ctx app.Context, k int) {
	e, err := storage.RemoveEntry(s.w.doc, "Remove a tape", survey.NetworkTapes, k)
	s.picked = nil
	s.w.commit(ctx, e, err)
}

// removePeg takes a peg away with its tapes: one undo brings them back.
func (s *networkScreen) removePeg(ctx app.Context, name string) {
	s.picked = nil
	e, err := storage.RemovePeg(s.w.doc, name)
	s.w.commit(ctx, e, err)
}

// renamePeg gives a peg the name that was typed; its tapes follow.
func (s *networkScreen) renamePeg(ctx app.Context, from, to string) {
	e, err := storage.RenamePeg(s.w.doc, from, to)
	s.refused = ""
	if err != nil {
		s.refused = strings.ReplaceAll(say("“{0}” cannot be its name: it must have one of 1 to 12 letters that no other peg has."), "{0}", strings.TrimSpace(to))
	} else if name := strings.TrimSpace(to); len(s.picked) == 1 && s.picked[0] == from {
		s.picked = []string{name}
	}
	s.w.commit(ctx, e, err)
	s.w.refresh(ctx)
}
