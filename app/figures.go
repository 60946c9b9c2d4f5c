package app

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/survey"
)

// figuresScreen lists every field for those who want the list.
type figuresScreen struct {
	app.Compo
	w *workspace
}

func newFiguresScreen() *figuresScreen { return &figuresScreen{w: current} }

// OnNav implements app.Navigator.
func (s *figuresScreen) OnNav(ctx app.Context) { s.w.follow(ctx, nil) }

// OnDismount implements app.Dismounter.
func (s *figuresScreen) OnDismount() { s.w.unfollow() }

// Render implements app.Composer.
func (s *figuresScreen) Render() app.UI {
	w := s.w
	if w.doc == nil {
		return siteFrame(w, "measure")
	}
	measured := w.effective()
	var content []app.UI
	group := ""
	for _, f := range survey.Fields(&measured) {
		if !f.Needed(&measured) {
			continue
		}
		if f.Group != group {
			group = f.Group
			content = append(content, app.H2().Text(say(group)))
		}
		content = append(content, app.A().Class("figure-link").Href("/site/"+w.doc.ID+"/measure?field="+f.Path).Body(
			app.Span().Text(say(f.Name)), w.valueWords(f)))
	}
	return siteFrame(w, "measure", content...)
}
