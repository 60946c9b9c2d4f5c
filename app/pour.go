package app

import (
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/documents"
	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/language"
	"pegpour/app/ui"
	"pegpour/engine/plan"
	"pegpour/engine/text"
)

// pourScreen is what to dig, pour and buy.
type pourScreen struct {
	app.Compo
	w *editing.Site
}

func newPourScreen(w *editing.Site) *pourScreen { return &pourScreen{w: w} }

// OnNav implements app.Navigator.
func (s *pourScreen) OnNav(ctx app.Context) { s.w.Follow(ctx, nil) }

// OnDismount implements app.Dismounter.
func (s *pourScreen) OnDismount() { s.w.Leave() }

// Render implements app.Composer.
func (s *pourScreen) Render() app.UI {
	w := s.w
	if w.Doc == nil {
		return ui.SiteFrame(w, "pour")
	}
	q := &w.Plan().Quantities
	return ui.SiteFrame(w, "pour",
		element.Box("div", "bigs", append(ui.Depths(w),
			ui.BigFigure(w, "Concrete to order", "concrete.order"),
			app.If(!q.ReadyMix, ui.BigFigure(w, "Bags", "concrete.bags")),
			ui.BigFigure(w, "Trailer loads of spoil", "dig.loads"),
		)...),
		element.Text("p", "quiet", s.supply()),
		element.Text("h2", "", w.Say("Concrete by part")),
		app.Range(q.Parts).Slice(func(i int) app.UI {
			part := &q.Parts[i]
			return element.Box("details", "figure",
				element.Box("summary", "",
					element.Text("span", "", w.SayName(part.Name)),
					element.Text("span", "figure-value", w.Write(text.Arg{Value: part.Volume, Dimension: text.Volume}))),
				element.Text("p", "how", w.Sentence(part.How)),
			)
		}),
		app.Range(sumFigures).Slice(func(i int) app.UI {
			f, ok := w.Plan().Figure(sumFigures[i])
			return app.If(ok, ui.FigureRow(w, f))
		}),
		element.Text("h2", "", w.Say("To bring")),
		element.Box("dl", "pairs",
			app.If(q.Mesh > 0, ui.Pair(w.Speaker, "Trench mesh", s.mesh())),
			app.If(q.SawCut > 0, ui.Pair(w.Speaker, "Saw cut", w.Length(q.SawCut, true))),
			app.If(q.PaversLifted > 0,
				ui.Pair(w.Speaker, "Pavers to lift", w.Write(text.Arg{Value: q.PaversLifted, Dimension: text.Area}))),
			app.If(q.Tinted > 0, ui.Pair(w.Speaker, "Tinted to match",
				w.Write(text.Arg{Value: q.Tinted, Dimension: text.Volume}))),
			ui.Pair(w.Speaker, "Edge form, where the ground does not hold", w.Length(q.Form, true)),
			app.If(w.Plan().HangsFree(), ui.Pair(w.Speaker, "Carriages", "2")),
			app.If(!w.Plan().HangsFree(), ui.Pair(w.Speaker, "Track", w.Length(q.Track, true))),
			app.If(!w.Plan().HangsFree(), ui.Pair(w.Speaker, "Track fixings", strconv.Itoa(q.Fixings))),
			app.If(q.Anchors > 0, ui.Pair(w.Speaker, "Anchors", strconv.Itoa(q.Anchors))),
			app.If(q.Conduit > 0, ui.Pair(w.Speaker, "Conduit, cast in before the pour", w.Length(q.Conduit, true))),
		),
		element.Text("h2", "", w.Say("Price basis")),
		s.prices(),
		documents.SaveButton(w, "quantities", "Save the quantities as a table", "wide"),
		cautionList(w),
	)
}

var sumFigures = []string{"concrete.volume", "concrete.order", "concrete.bags", "concrete.batches", "dig.bank",
	"dig.loose", "dig.mass", "dig.loads"}

func (s *pourScreen) supply() string {
	for i := range s.w.Plan().Checks {
		c := &s.w.Plan().Checks[i]
		if c.Question == plan.QuestionSupply {
			return s.w.Sentence(c.What)
		}
	}
	return ""
}

func (s *pourScreen) prices() app.UI {
	w := s.w
	q := &w.Plan().Quantities
	return element.Box("div", "",
		element.Box("dl", "pairs",
			app.Range(q.Lines).Slice(func(i int) app.UI {
				l := &q.Lines[i]
				if l.Rate <= 0 {
					return app.Text("")
				}
				return ui.PairOf(w.SayName(l.Name), w.Money(l.Cost))
			}),
			app.If(q.Cost > 0,
				element.Box("div", "pair sum",
					element.Text("dt", "", w.Say("Sum of what is priced")),
					element.Text("dd", "", w.Money(q.Cost)))),
		),
		app.If(len(q.Unpriced) > 0, element.Box("p", "quiet",
			app.Text(w.SayWith("Without a rate, and not in the sum: {0}.", sayAll(w.Speaker, q.Unpriced))+" "),
			app.A().Href("/rules").Text(w.Say("Set your rates")),
		)),
	)
}

// mesh is how much mesh it takes, and in how many lengths it comes.
func (s *pourScreen) mesh() string {
	q, length := &s.w.Plan().Quantities, s.w.Length(s.w.Practice.MeshSheet, true)
	sheets := s.w.SayCount(q.MeshSheets, "one length {1}", "{0} lengths {1}", length)
	return strings.Join([]string{s.w.Length(q.Mesh, true), sheets}, " · ")
}

// sayAll says each of a list, with commas between.
func sayAll(l *language.Speaker, list []text.Name) string {
	said := make([]string, len(list))
	for i := range list {
		said[i] = l.SayName(list[i])
	}
	return strings.Join(said, ", ")
}

// cautionList shows the cautions that belong to this layout.
func cautionList(w *editing.Site) app.UI {
	return element.Region("section", "cautions", w.Say("Cautions"),
		element.Text("h2", "", w.Say("Cautions")),
		element.Box("ul", "", app.Range(w.Plan().Cautions).Slice(func(i int) app.UI {
			return element.Text("li", "", w.Sentence(w.Plan().Cautions[i].Words))
		})),
	)
}
