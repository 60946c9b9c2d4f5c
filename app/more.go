package app

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/documents"
	"pegpour/app/editing"
	"pegpour/app/element"
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
			Body(element.Text("span", "tally-name", w.Say("Yard")), element.Status("span", "tally-words", "status", s.link.SiteWords(w.Doc.ID))),
		app.If(s.link.Known && s.link.Status.Sites[w.Doc.ID].State == replication.Conflicts,
			element.Link("wide", at+"/versions", w.Say("Choose between the two versions"))),
		element.Link("wide", at+"/network", w.Say("Tape network: pegs and the tapes between them")),
		element.Link("wide", at+"/level-run", w.Say("Level run: the field book page")),
		element.Link("wide", at+"/slope", w.Say("Slope read with the phone")),
		element.Link("wide", at+"/photos", w.Say("Photos and notes")),
		element.Link("wide", at+"/owner", w.Say("Owner's view")),
		element.Link("wide", at+"/pack", w.Say("Documents to hand out")),
		element.Link("wide", at+"/pour-day", w.Say("Checklist of the pour day")),
		element.Link("wide", at+"/ways", w.Say("Ways to build")),
		element.Link("wide", at+"/loads", w.Say("Load cases")),
		element.Link("wide", at+"/sources", w.Say("How the numbers are checked")),
		element.Link("wide", at+"/figures", w.Say("All figures of this site")),
		element.Link("wide", at+"/rules", w.Say("Rules for this site only")),
		element.Link("wide", at+"/past", w.Say("Past states: look, compare, take back")),
		documents.SaveButton(w, "survey", "Save the survey as a file", "wide"),
		documents.SaveButton(w, "drawing", "Save the set-out drawing", "wide"),
		documents.SaveButton(w, "quantities", "Save the quantities as a table", "wide"),
		element.Link("wide", "/settings", w.Say("Settings of this phone")),
		element.Link("wide", "/safe", w.Say("Keep safe: back-up and restore")),
	)
}
