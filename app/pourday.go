package app

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
}

func newPourDayScreen(w *editing.Site) *pourDayScreen { return &pourDayScreen{w: w} }

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
	return ui.SiteFrame(w, "more",
		app.Range(stages).Slice(func(i int) app.UI {
			stage := &stages[i]
			done := 0
			for k := range stage.Items {
				if w.Doc.Ticks[stage.Items[k].Tick()] {
					done++
				}
			}
			return element.Region("section", "stage", w.Say(stage.Name),
				element.Box("h2", "", app.Text(w.Say(stage.Name)),
					element.Text("span", "stage-count", strconv.Itoa(done)+" / "+strconv.Itoa(len(stage.Items)))),
				app.Range(stage.Items).Slice(func(k int) app.UI { return s.item(stage.Items[k]) }),
			)
		}),
		cautionList(w),
	)
}

func (s *pourDayScreen) item(item tables.ChecklistItem) app.UI {
	w := s.w
	name := item.Tick()
	on := w.Doc.Ticks[name]
	return app.Elem("label").Class("check").Class("check-item").Body(
		app.Input().Type("checkbox").DataSet("tick", name).Checked(on).OnChange(func(ctx app.Context, _ app.Event) {
			w.Tick(ctx, name, !w.Doc.Ticks[name])
		}, name),
		element.Text("span", "", w.Sentence(item.Words)),
	)
}
