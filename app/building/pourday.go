package building

import (
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/ui"
	"pegpour/engine/tables"
)

// pourDayScreen is the checklist of the pour day; its ticks stay with the site.
type pourDayScreen struct {
	app.Compo
	w *editing.Site

	problem string // why a photo was not taken
}

func newPourDayScreen(w *editing.Site) app.Composer { return &pourDayScreen{w: w} }

// OnNav implements app.Navigator.
func (s *pourDayScreen) OnNav(ctx app.Context) { s.w.Follow(ctx, nil) }

// OnDismount implements app.Dismounter.
func (s *pourDayScreen) OnDismount() { s.w.Leave() }

// Render implements app.Composer.
func (s *pourDayScreen) Render() app.UI {
	w := s.w
	if w.Doc == nil {
		return ui.SiteFrame(w, "more")
	}
	stages := tables.PourChecklist(w.Plan(), &w.Practice)
	now := tables.Open(stages, w.Doc.Ticks)
	missing := len(stages[0].Missing(w.Doc.Ticks, ui.Pictured(w.Doc)))
	return ui.SiteFrame(w, "more",
		app.If(s.problem != "", element.Status("p", "error", "alert", s.problem)),
		app.If(missing > 0, saysMissing(w, "p", "", missing)),
		app.Range(stages).Slice(func(i int) app.UI {
			stage := &stages[i]
			done := len(stage.Items) - stage.Unticked(w.Doc.Ticks)
			return app.Details().Class("stage").DataSet("stage", stage.ID).Aria("label", w.Say(stage.Name)).Open(i == now).Body(
				element.Box("summary", "", element.Box("h2", "", app.Text(w.Say(stage.Name)),
					element.Text("span", "stage-count", strconv.Itoa(done)+" / "+strconv.Itoa(len(stage.Items))))),
				app.Range(stage.Items).Slice(func(k int) app.UI { return ui.CheckItem(w, &stage.Items[k], func(words string) { s.problem = words }) }),
			)
		}),
		element.Link("wide", "/site/"+w.Doc.ID+"/build/forms", w.Say("Forms and depth")),
		element.Link("wide", "/site/"+w.Doc.ID+"/build/pour", w.Say("The pour")),
		cautions(w),
	)
}
