package app

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/documents"
	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/ui"
	"pegpour/app/yardlink"
	"pegpour/engine/progress"
	"pegpour/storage/replication"
)

// moreScreen holds the screens of a site in the order of the job, with how far it is.
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
	at := "/site/" + w.Doc.ID + "/"
	taken := w.Survey()
	done := progress.All(&taken, w.Doc.Ticks)
	return ui.SiteFrame(w, "more tool",
		s.next(at, progress.Of(&taken, w.Doc.Ticks)),
		app.If(s.link.Known && s.link.Status.Sites[w.Doc.ID].State == replication.Conflicts,
			element.Link("wide", at+"versions", w.Say("Choose between the two versions"))),
		app.Range(phases).Slice(func(i int) app.UI {
			return element.Region("section", "phase", w.Say(phases[i].name),
				element.Text("h2", "", w.Say(phases[i].name)),
				element.Box("div", "tiles", app.Range(phases[i].tiles).Slice(func(k int) app.UI {
					t := phases[i].tiles[k]
					words := []app.UI{element.Text("span", "", w.Say(t.name))}
					if t.step != progress.New && done[t.step] {
						words = append(words, app.Elem("span").Class("tile-done").Attr("role", "img").Aria("label", w.Say("done")).
							Body(ui.Sign(ui.SignDone)))
					}
					return app.A().Class("tile").Href(at + t.at).Body(words...)
				})))
		}),
		element.Region("section", "phase", w.Say("This site and this phone"),
			element.Text("h2", "", w.Say("This site and this phone")),
			app.A().Class("tally").Href("/sync").ID("site-tally").
				Body(element.Text("span", "tally-name", w.Say("Yard")), element.Status("span", "tally-words", "status", s.link.SiteWords(w.Doc.ID))),
			element.Box("div", "tiles",
				element.Link("tile", at+"past", w.Say("Past states")),
				element.Link("tile", at+"show", w.Say("Show to another phone")),
				documents.SaveButton(w, "survey", "Save the survey as a file", "tile"),
				documents.SaveButton(w, "drawing", "Save the set-out drawing", "tile"),
				documents.SaveButton(w, "quantities", "Save the quantities as a table", "tile"),
				element.Link("tile", "/settings", w.Say("Settings of this phone")),
				element.Link("tile", "/safe", w.Say("Keep safe: back-up and restore")))),
	)
}

// next says how far the site is and leads to what comes next.
func (s *moreScreen) next(at string, step progress.Step) app.UI {
	w := s.w
	lead := nextOf[step]
	if step == progress.Measured && w.Stops() > 0 { // nobody pegs what cannot stand
		lead = tile{"watch", "look at what says stop", 0}
	}
	return element.Region("section", "next-step", w.Say("What is next"),
		element.Text("p", "how-far", w.SayWith("So far: {0}.", w.Say(step.Words()))),
		element.Link("primary", at+lead.at, w.SayWith("Next: {0}", w.Say(lead.name))))
}

// tile leads to a screen; with a step it shows when that is done.
type tile struct {
	at, name string
	step     progress.Step
}

// phases are the screens in the order of the job.
var phases = []struct {
	name  string
	tiles []tile
}{
	{"Measure¦part of the job", []tile{{"network", "Tape network", 0}, {"level-run", "Level run", 0}, {"slope", "Slope by phone", 0},
		{"photos", "Photos and notes", 0}, {"figures", "All figures", 0}, {"rules", "Rules for this site only", 0}}},
	{"Decide", []tile{{"ways", "Ways to build", 0}, {"owner", "Owner's view", 0}, {"loads", "Load cases", 0},
		{"quote", "Quote", 0}, {"pack", "Documents", 0}, {"sources", "How the numbers are checked", 0}}},
	{"Build", []tile{{"build/boards", "Strings and boards", 0}, {"build/pegs", "Pegs as set", progress.Pegged},
		{"build/forms", "Forms and depths", progress.Formed}, {"pour-day", "Checklist of the pour day", 0},
		{"build/pour", "The pour", progress.Poured}, {"build/poured", "As poured", progress.AsPoured}}},
	{"Hand over", []tile{{"build/hand-over", "Tests and signatures", progress.HandedOver}}},
}

// nextOf leads on from each step.
var nextOf = [progress.Steps]tile{
	progress.New:        {"measure", "measure up", 0},
	progress.Measured:   {"build/pegs", "set the pegs", 0},
	progress.Pegged:     {"build/forms", "read forms and depths", 0},
	progress.Formed:     {"build/pour", "note the pour", 0},
	progress.Poured:     {"build/poured", "measure what was poured", 0},
	progress.AsPoured:   {"build/hand-over", "test and hand over", 0},
	progress.Tested:     {"build/hand-over", "test and hand over", 0},
	progress.HandedOver: {"build/hand-over", "services", 0},
}
