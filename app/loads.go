package app

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/ui"
	"pegpour/engine/plan"
	"pegpour/engine/text"
)

// loadsScreen lists the load cases of a site.
type loadsScreen struct {
	app.Compo
	w *editing.Site
}

func newLoadsScreen(w *editing.Site) *loadsScreen { return &loadsScreen{w: w} }

// OnNav implements app.Navigator.
func (s *loadsScreen) OnNav(ctx app.Context) { s.w.Follow(ctx, nil) }

// OnDismount implements app.Dismounter.
func (s *loadsScreen) OnDismount() { s.w.Leave() }

// Render implements app.Composer.
func (s *loadsScreen) Render() app.UI {
	w := s.w
	if w.Doc == nil {
		return ui.SiteFrame(w, "watch")
	}
	var all []app.UI
	for _, side := range w.Plan().Sides() {
		all = append(all, s.side(&side)...)
	}
	return ui.SiteFrame(w, "watch",
		element.Text("h2", "", w.Say("Load cases")),
		element.Text("p", "", w.Say(plan.LoadCaseConvention)),
		app.Range(all).Slice(func(i int) app.UI { return all[i] }),
		element.Text("p", "first-pass", w.Say("A first pass, not a design: local codes and a licensed engineer decide.")),
	)
}

// side are the load cases of one leaf, and what could not be judged of it.
func (s *loadsScreen) side(side *plan.Side) (all []app.UI) {
	w, strength := s.w, side.Strength
	if strength == nil {
		strength = &plan.Strength{}
	}
	if side.Name != "" {
		all = append(all, element.Text("h2", "", w.SayName(side.Name)))
	}
	for i := range strength.Cases {
		all = append(all, s.loadCase(&strength.Cases[i]))
	}
	if len(strength.Cases) == 0 {
		all = append(all, element.Text("p", "quiet", w.Say("No load case could be worked out.")))
	}
	for i := range strength.Refused {
		if i == 0 {
			all = append(all, element.Text("h2", "", w.Say("What could not be judged")))
		}
		all = append(all, element.Text("p", "quiet", w.Sentence(strength.Refused[i].Words)))
	}
	return all
}

func (s *loadsScreen) loadCase(c *plan.LoadCase) app.UI {
	w := s.w
	forces := func(heading string, list []plan.CaseForce) app.UI {
		return app.If(len(list) > 0, element.Box("div", "", element.Text("h3", "", w.Say(heading)),
			element.Box("dl", "pairs", app.Range(list).Slice(func(k int) app.UI {
				return ui.PairOf(w.SayName(list[k].Name), w.Write(text.Newtons(list[k].Force)))
			}))))
	}
	source := w.SayWith("Factor 1. Source: {0}", w.Say(c.Source))
	if c.Safety > 0 {
		source = w.SayWith("Factor 1, {0} on the other side. Source: {1}", w.Decimal(c.Safety, 2), w.Say(c.Source))
	}
	return app.Elem("section").Class("load-case").DataSet("case", c.ID).Body(
		element.Text("h2", "", w.SayName(c.Name)),
		element.Text("p", "", w.Sentence(c.What)),
		forces("Acts on the leaf", c.Loads), forces("Is asked of what holds it", c.Forces),
		element.Text("p", "source", source),
	)
}
