package app

import (
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/plan"
	"pegpour/engine/text"
)

// pourScreen is what to dig, pour and buy.
type pourScreen struct {
	app.Compo
	w *workspace
}

func newPourScreen() *pourScreen { return &pourScreen{w: current} }

// OnNav implements app.Navigator.
func (s *pourScreen) OnNav(ctx app.Context) { s.w.follow(ctx, nil) }

// OnDismount implements app.Dismounter.
func (s *pourScreen) OnDismount() { s.w.unfollow() }

// Render implements app.Composer.
func (s *pourScreen) Render() app.UI {
	w := s.w
	if w.doc == nil {
		return siteFrame(w, "pour")
	}
	q := &w.plan().Quantities
	p := w.practice
	return siteFrame(w, "pour",
		app.Div().Class("bigs").Body(
			s.big("How deep", "foot.depth"),
			s.big("Concrete to order", "concrete.order"),
			app.If(!q.ReadyMix, s.big("Bags", "concrete.bags")),
			s.big("Trailer loads of spoil", "dig.loads"),
		),
		app.P().Class("quiet").Text(s.supply()),
		app.H2().Text(say("Concrete by part")),
		app.Range(q.Parts).Slice(func(i int) app.UI {
			part := &q.Parts[i]
			return app.Details().Class("figure").Body(
				app.Summary().Body(app.Span().Text(say(part.Name)), app.Span().Class("figure-value").Text(w.write(text.Arg{Value: part.Volume, Dimension: text.Volume}))),
				app.P().Class("how").Text(w.sentence(part.How)),
			)
		}),
		app.Range(sumFigures).Slice(func(i int) app.UI {
			f, ok := w.plan().Figure(sumFigures[i])
			return app.If(ok, figureRow(w, f))
		}),
		app.H2().Text(say("To bring")),
		app.Dl().Class("pairs").Body(
			app.If(q.Mesh > 0, pair("Trench mesh", w.length(q.Mesh, true)+" · "+holes(sayCount(q.MeshSheets, "one length {1}", "{0} lengths {1}"), strconv.Itoa(q.MeshSheets), w.length(p.MeshSheet, true)))),
			app.If(q.SawCut > 0, pair("Saw cut", w.length(q.SawCut, true))),
			app.If(q.PaversLifted > 0, pair("Pavers to lift", w.write(text.Arg{Value: q.PaversLifted, Dimension: text.Area}))),
			app.If(q.Tinted > 0, pair("Tinted to match", w.write(text.Arg{Value: q.Tinted, Dimension: text.Volume}))),
			pair("Edge form, where the ground does not hold", w.length(q.Form, true)),
			pair("Track", w.length(q.Track, true)),
			pair("Track fixings", strconv.Itoa(q.Fixings)),
			app.If(q.Anchors > 0, pair("Sleeve anchors", strconv.Itoa(q.Anchors))),
			app.If(q.Conduit > 0, pair("Conduit, cast in before the pour", w.length(q.Conduit, true))),
		),
		app.H2().Text(say("Price basis")),
		s.prices(),
		w.saveButton("quantities", "Save the quantities as a table", "wide"),
		cautionList(w),
	)
}

var sumFigures = []string{"concrete.volume", "concrete.order", "concrete.bags", "concrete.batches", "dig.bank", "dig.loose", "dig.loads"}

func (s *pourScreen) big(name, id string) app.UI {
	w := s.w
	f, ok := w.plan().Figure(id)
	if !ok {
		return app.Text("")
	}
	mark, class := "", "voice-worked"
	if f.Assumed {
		mark, class = "~", "voice-assumed"
	}
	return app.Div().Class("big").Body(
		app.Span().Class("big-value "+class).DataSet("figure", id).Text(mark+w.write(text.Arg{Value: f.Value, Dimension: f.Dimension})),
		app.Span().Class("big-name").Text(say(name)),
	)
}

func (s *pourScreen) supply() string {
	for i := range s.w.plan().Checks {
		c := &s.w.plan().Checks[i]
		if c.Question == plan.QuestionSupply {
			return s.w.sentence(c.What)
		}
	}
	return ""
}

func (s *pourScreen) prices() app.UI {
	w := s.w
	q := &w.plan().Quantities
	return app.Div().Body(
		app.Dl().Class("pairs").Body(
			app.Range(q.Lines).Slice(func(i int) app.UI {
				l := &q.Lines[i]
				if l.Rate <= 0 {
					return app.Text("")
				}
				return pair(l.Name, w.money(l.Cost))
			}),
			app.If(q.Cost > 0, app.Div().Class("pair sum").Body(app.Dt().Text(say("Sum of what is priced")), app.Dd().Text(w.money(q.Cost)))),
		),
		app.If(len(q.Unpriced) > 0, app.P().Class("quiet").Body(
			app.Text(sayWith("Without a rate, and not in the sum: {0}.", joinWords(q.Unpriced))+" "),
			app.A().Href("/rules").Text(say("Set your rates")),
		)),
	)
}

func joinWords(list []string) string {
	out := ""
	for i, l := range list {
		if i > 0 {
			out += ", "
		}
		out += say(l)
	}
	return out
}

// cautionList shows the cautions that belong to this layout.
func cautionList(w *workspace) app.UI {
	return app.Section().Class("cautions").Aria("label", say("Cautions")).Body(
		app.H2().Text(say("Cautions")),
		app.Ul().Body(app.Range(w.plan().Cautions).Slice(func(i int) app.UI {
			return app.Li().Text(w.sentence(w.plan().Cautions[i].Words))
		})),
	)
}
