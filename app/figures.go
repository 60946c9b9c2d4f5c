package app

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/ui"
	"pegpour/engine/survey"
)

// figuresScreen lists every field for those who want the list.
type figuresScreen struct {
	app.Compo
	w *editing.Site
}

func newFiguresScreen(w *editing.Site) *figuresScreen { return &figuresScreen{w: w} }

// OnNav implements app.Navigator.
func (s *figuresScreen) OnNav(ctx app.Context) { s.w.Follow(ctx, nil) }

// OnDismount implements app.Dismounter.
func (s *figuresScreen) OnDismount() { s.w.Leave() }

// Render implements app.Composer.
func (s *figuresScreen) Render() app.UI {
	w := s.w
	if w.Doc == nil {
		return ui.SiteFrame(w, "measure")
	}
	taken := w.Survey()
	var content []app.UI
	group := ""
	for _, f := range survey.Fields(&taken) {
		if !f.Needed(&taken) {
			continue
		}
		if f.Group != group {
			group = f.Group
			content = append(content, element.Text("h2", "", w.Say(group)))
		}
		content = append(content, app.A().Class("figure-link").Href("/site/"+w.Doc.ID+"/measure?field="+f.Path).Body(
			element.Text("span", "", w.SayName(f.Name)), ui.ValueWords(w, f)))
	}
	return ui.SiteFrame(w, "measure", content...)
}
