package app

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/storage/replication"
)

// moreScreen holds what is not needed at every site.
type moreScreen struct {
	app.Compo
	w *workspace
}

func newMoreScreen() *moreScreen { return &moreScreen{w: current} }

// OnNav implements app.Navigator.
func (s *moreScreen) OnNav(ctx app.Context) {
	s.w.follow(ctx, func(app.Context) { s.w.lookAtYard() })
}

// OnDismount implements app.Dismounter.
func (s *moreScreen) OnDismount() {
	s.w.lookAway()
	s.w.unfollow()
}

// Render implements app.Composer.
func (s *moreScreen) Render() app.UI {
	w := s.w
	if w.doc == nil {
		return siteFrame(w, "more")
	}
	at := "/site/" + w.doc.ID
	return siteFrame(w, "more",
		app.A().Class("tally").Href("/sync").ID("site-tally").Body(app.Span().Class("tally-name").Text(say("Yard")), app.Span().Class("tally-words").Role("status").Text(w.siteYardWords(w.doc.ID))),
		app.If(w.statused && w.status.Sites[w.doc.ID].State == replication.Conflicts, app.A().Class("wide").Href(at+"/versions").Text(say("Choose between the two versions"))),
		app.A().Class("wide").Href(at+"/network").Text(say("Tape network: pegs and the tapes between them")),
		app.A().Class("wide").Href(at+"/level-run").Text(say("Level run: the field book page")),
		app.A().Class("wide").Href(at+"/slope").Text(say("Slope read with the phone")),
		app.A().Class("wide").Href(at+"/photos").Text(say("Photos and notes")),
		app.A().Class("wide").Href(at+"/owner").Text(say("Owner's view")),
		app.A().Class("wide").Href(at+"/pack").Text(say("Documents to hand out")),
		app.A().Class("wide").Href(at+"/pour-day").Text(say("Checklist of the pour day")),
		app.A().Class("wide").Href(at+"/ways").Text(say("Ways to build")),
		app.A().Class("wide").Href(at+"/sources").Text(say("How the numbers are checked")),
		app.A().Class("wide").Href(at+"/figures").Text(say("All figures of this site")),
		app.A().Class("wide").Href(at+"/rules").Text(say("Rules for this site only")),
		w.saveButton("survey", "Save the survey as a file", "wide"),
		w.saveButton("drawing", "Save the set-out drawing", "wide"),
		w.saveButton("quantities", "Save the quantities as a table", "wide"),
		app.A().Class("wide").Href("/safe").Text(say("Keep safe: back-up and restore")),
	)
}
