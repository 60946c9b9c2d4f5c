package app

import (
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/tables"
)

// pourDayScreen is the checklist of the pour day; its ticks stay with the site.
type pourDayScreen struct {
	app.Compo
	w *workspace
}

func newPourDayScreen() *pourDayScreen { return &pourDayScreen{w: current} }

// OnNav implements app.Navigator.
func (s *pourDayScreen) OnNav(ctx app.Context) { s.w.follow(ctx, nil) }

// OnDismount implements app.Dismounter.
func (s *pourDayScreen) OnDismount() { s.w.unfollow() }

// Render implements app.Composer.
func (s *pourDayScreen) Render() app.UI {
	w := s.w
	if w.doc == nil {
		return siteFrame(w, "more")
	}
	stages := tables.PourChecklist(w.plan(), &w.practice)
	return siteFrame(w, "more",
		app.Range(stages).Slice(func(i int) app.UI {
			stage := &stages[i]
			done := 0
			for k := range stage.Items {
				if w.doc.Ticks[stage.Items[k].Tick()] {
					done++
				}
			}
			return app.Section().Class("stage").Aria("label", say(stage.Name)).Body(
				app.H2().Body(app.Text(say(stage.Name)), app.Span().Class("stage-count").Text(strconv.Itoa(done)+" / "+strconv.Itoa(len(stage.Items)))),
				app.Range(stage.Items).Slice(func(k int) app.UI { return s.item(stage.Items[k]) }),
			)
		}),
		cautionList(w),
	)
}

func (s *pourDayScreen) item(item tables.ChecklistItem) app.UI {
	w := s.w
	name := item.Tick()
	on := w.doc.Ticks[name]
	return app.Label().Class("check").Class("check-item").Body(
		app.Input().Type("checkbox").DataSet("tick", name).Checked(on).OnChange(func(ctx app.Context, _ app.Event) {
			w.tick(ctx, name, !w.doc.Ticks[name])
		}, name),
		app.Span().Text(w.sentence(item.Words)),
	)
}
