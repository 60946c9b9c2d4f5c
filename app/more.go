package app

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"
)

// moreScreen holds what is not needed at every site.
type moreScreen struct {
	app.Compo
	w *workspace
}

func newMoreScreen() *moreScreen { return &moreScreen{w: current} }

// OnNav implements app.Navigator.
func (s *moreScreen) OnNav(ctx app.Context) { s.w.follow(ctx, nil) }

// OnDismount implements app.Dismounter.
func (s *moreScreen) OnDismount() { s.w.unfollow() }

// Render implements app.Composer.
func (s *moreScreen) Render() app.UI {
	w := s.w
	if w.doc == nil {
		return siteFrame(w, "more")
	}
	at := "/site/" + w.doc.ID
	return siteFrame(w, "more",
		app.A().Class("wide").Href(at+"/figures").Text(say("All figures of this site")),
		app.A().Class("wide").Href(at+"/rules").Text(say("Rules for this site only")),
		app.A().Class("wide").Href(w.fileHref("survey")).Attr("download", w.fileName("survey", "json")).Text(say("Save the survey as a file")),
		app.A().Class("wide").Href(w.fileHref("drawing")).Attr("download", w.fileName("set-out", "svg")).Text(say("Save the set-out drawing")),
		app.A().Class("wide").Href(w.fileHref("quantities")).Attr("download", w.fileName("quantities", "csv")).Text(say("Save the quantities as a table")),
		app.P().Class("quiet").Text(say("Everything stays on this phone. A saved file opens on any other.")),
	)
}
