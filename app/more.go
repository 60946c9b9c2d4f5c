package app

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/documents"
	"pegpour/app/editing"
	"pegpour/app/ui"
	"pegpour/app/yardlink"
	"pegpour/storage/replication"
)

// moreScreen holds what is not needed at every site.
type moreScreen struct {
	app.Compo
	w    *editing.Site
	link *yardlink.Link
}

func newMoreScreen(w *editing.Site, link *yardlink.Link) *moreScreen {
	return &moreScreen{w: w, link: link}
}

// OnNav implements app.Navigator.
func (s *moreScreen) OnNav(ctx app.Context) {
	s.w.Follow(ctx, func(app.Context) { s.link.Watch() })
}

// OnDismount implements app.Dismounter.
func (s *moreScreen) OnDismount() {
	s.link.Unwatch()
	s.w.Leave()
}

// Render implements app.Composer.
func (s *moreScreen) Render() app.UI {
	w := s.w
	if w.Doc == nil {
		return ui.SiteFrame(w, "more")
	}
	at := "/site/" + w.Doc.ID
	return ui.SiteFrame(w, "more",
		app.A().Class("tally").Href("/sync").ID("site-tally").
			Body(app.Span().Class("tally-name").Text(w.Say("Yard")), app.Span().Class("tally-words").Role("status").
				Text(s.link.SiteWords(w.Doc.ID))),
		app.If(s.link.Known && s.link.Status.Sites[w.Doc.ID].State == replication.Conflicts, app.A().Class("wide").
			Href(at+"/versions").Text(w.Say("Choose between the two versions"))),
		app.A().Class("wide").Href(at+"/network").Text(w.Say("Tape network: pegs and the tapes between them")),
		app.A().Class("wide").Href(at+"/level-run").Text(w.Say("Level run: the field book page")),
		app.A().Class("wide").Href(at+"/slope").Text(w.Say("Slope read with the phone")),
		app.A().Class("wide").Href(at+"/photos").Text(w.Say("Photos and notes")),
		app.A().Class("wide").Href(at+"/owner").Text(w.Say("Owner's view")),
		app.A().Class("wide").Href(at+"/pack").Text(w.Say("Documents to hand out")),
		app.A().Class("wide").Href(at+"/pour-day").Text(w.Say("Checklist of the pour day")),
		app.A().Class("wide").Href(at+"/ways").Text(w.Say("Ways to build")),
		app.A().Class("wide").Href(at+"/loads").Text(w.Say("Load cases")),
		app.A().Class("wide").Href(at+"/sources").Text(w.Say("How the numbers are checked")),
		app.A().Class("wide").Href(at+"/figures").Text(w.Say("All figures of this site")),
		app.A().Class("wide").Href(at+"/rules").Text(w.Say("Rules for this site only")),
		documents.SaveButton(w, "survey", "Save the survey as a file", "wide"),
		documents.SaveButton(w, "drawing", "Save the set-out drawing", "wide"),
		documents.SaveButton(w, "quantities", "Save the quantities as a table", "wide"),
		app.A().Class("wide").Href("/settings").Text(w.Say("Settings of this phone")),
		app.A().Class("wide").Href("/safe").Text(w.Say("Keep safe: back-up and restore")),
	)
}
