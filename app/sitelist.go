package app

import (
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/element"
	"pegpour/app/language"
	"pegpour/app/sites"
	"pegpour/app/ui"
	"pegpour/app/window"
	"pegpour/app/yardlink"
	"pegpour/storage/replication"
)

// searchBox finds a site by name, address or client once there are many.
func (s *sitesScreen) searchBox() app.UI {
	w := s.w
	return app.If(len(w.Sites) > sites.SearchAbove || w.Query != "", app.Input().Type("search").Class("words").
		ID("search").
		Attr("autocomplete", "off").Attr("enterkeyhint", "search").Placeholder(w.Say("Find a site")).
		Aria("label", w.Say("Find a site by name, address or client")).
		OnInput(func(ctx app.Context, e app.Event) {
			w.Search(e.Get("target").Get("value").String())
		}))
}

// rest says how many sites match beyond those shown, and those put away.
func (s *sitesScreen) rest(found, more int) app.UI {
	w := s.w
	return element.Box("div", "list-rest",
		app.Elem("p").Class("quiet").Role("status").Aria("live", "polite").Text(s.tally(found, more)),
		app.If(more > 0,
			element.Doing("wide", "more-sites",
				w.SayCount(min(more, sites.Step), "Show one more", "Show {0} more"), func(app.Context, app.Event) { w.ShowMore() })),
		app.If(len(w.Away) > 0, element.Box("details", "away",
			element.Text("summary", "", w.SayCount(len(w.Away), "One site put away", "{0} sites put away")),
			app.Range(w.Away[:min(len(w.Away), 10*sites.Step)]).Slice(func(i int) app.UI {
				site := w.Away[i]
				return element.Box("div", "row",
					element.Text("span", "row-main", ui.SiteName(w.Speaker, site.Name)),
					app.Button().Type("button").Class("row-side").Text(w.Say("Bring back")).
						Aria("label", w.SayWith("Bring back {0}", ui.SiteName(w.Speaker, site.Name))).
						OnClick(func(ctx app.Context, _ app.Event) { w.BringBack(site.ID) }, site.ID),
					app.If(s.sure != site.ID, app.Button().Type("button").Class("row-side").DataSet("do", "delete").
						Text(w.Say("Delete for good")).
						Aria("label", w.SayWith("Delete {0} for good", ui.SiteName(w.Speaker, site.Name))).
						OnClick(func(app.Context, app.Event) { s.sure = site.ID }, site.ID)),
					app.If(s.sure == site.ID, element.Acting("div", "bar bar-stop bar-aside", "alert", "",
						element.Text("span", "", s.deleteWords(site.ID)),
						element.Button("", w.Say("Keep it"), func(app.Context, app.Event) { s.sure = "" }, site.ID),
						app.If(s.inYard(site.ID),
							element.Doing("", "delete-everywhere", w.Say("Delete everywhere"), func(app.Context, app.Event) {
								s.sure = ""
								w.DeleteForever(site.ID, w.Link.Client().Delete)
							}, site.ID)),
						element.Doing("", "delete-now", s.deleteHere(site.ID), func(app.Context, app.Event) {
							s.sure = ""
							w.DeleteForever(site.ID, nil)
						}, site.ID))))
			}))),
	)
}

// inYard reports whether the yard has something of a site, so that deleting it there is
// offered too.
func (s *sitesScreen) inYard(id string) bool {
	t := s.w.Link.Status.Sites[id]
	return s.w.Link.Status.Paired && t.Sent && t.State != replication.Gone
}

func (s *sitesScreen) deleteWords(id string) string {
	if s.inYard(id) {
		return s.w.Say("Everywhere: it goes from the yard and from every phone, and for some weeks an office can bring it back. From this phone only: what the yard has of it stays there, and can be brought here again.")
	}
	return s.w.Say("It goes from this device with its history and its photos, and cannot be brought back.")
}

func (s *sitesScreen) deleteHere(id string) string {
	if s.inYard(id) {
		return s.w.Say("From this phone only")
	}
	return s.w.Say("Delete for good")
}

// putAway is the bar that brings back what was put away last. It keeps its place on the
// screen, wherever the list stands.
func (s *sitesScreen) putAway() app.UI {
	w := s.w
	for i := range w.Away {
		if site := &w.Away[i]; site.ID == w.PutAwayLast {
			return element.Acting("div", "bar bar-fixed", "status", "",
				element.Text("span", "", w.SayWith("{0} is put away.", ui.SiteName(w.Speaker, site.Name))),
				app.Button().Type("button").Text(w.Say("Bring it back")).
					OnClick(func(ctx app.Context, _ app.Event) { w.BringBack(w.PutAwayLast) }))
		}
	}
	return app.Text("")
}

// tally says what a search found.
func (s *sitesScreen) tally(found, more int) string {
	if strings.TrimSpace(s.w.Query) == "" {
		return ""
	}
	if found == 0 {
		return s.w.SayWith("No site has ‘{0}’ in its name, address or client.", strings.TrimSpace(s.w.Query))
	}
	return s.w.SayCount(found+more, "One site of {1}", "{0} sites of {1}", strconv.Itoa(len(s.w.Sites)))
}

// yardTally is the line of the list of sites that leads to the yard.
func yardTally(w *yardlink.Link) app.UI {
	words := w.TallyWords()
	return app.A().Class("tally").Href("/sync").ID("tally").DataSet("waiting", strconv.Itoa(w.NotInYard())).
		Body(element.Text("span", "tally-name", w.Say("Yard")), element.Status("span", "tally-words", "status", words))
}

// yardLink stands in the bar of the list of sites, which does not scroll away:
// how many things are not in the yard yet.
func yardLink(w *yardlink.Link) app.UI {
	words, spoken := w.Say("Yard"), w.Say("Yard")
	if n := w.NotInYard(); w.Known && w.Status.Paired && n > 0 {
		words = w.SayWith("Yard: {0}", strconv.Itoa(n))
	}
	if tally := w.TallyWords(); tally != "" {
		spoken = w.SayWith("Yard: {0}", tally)
	}
	return app.A().Class("quiet-link").ID("yard-link").Href("/sync").Aria("label", spoken).Text(words)
}

// openFileButton reads a survey file that this or another phone saved.
func openFileButton(w *sites.List) app.UI {
	return element.Box("div", "",
		app.If(w.Unopened.Words != "", element.Acting("div", "error", "alert", "",
			element.Text("p", "", w.Unopened.Words),
			element.Box("details", "", element.Text("summary", "", w.Say("What was found")), element.Text("p", "", w.Unopened.Detail)))),
		fileInQuestion(w),
		openFileLabel(w),
		element.Link("wide", "/take", w.Say("Take from another phone")),
	)
}

// fileInQuestion asks what becomes of a file whose site is here already.
func fileInQuestion(w *sites.List) app.UI {
	q := w.InQuestion
	if q == nil {
		return app.Text("")
	}
	answer := func(name string, do func()) app.UI {
		return element.Button("wide", w.Say(name), func(app.Context, app.Event) { do() }, q)
	}
	here := w.Say("The one here cannot be read.")
	if q.Own {
		here = w.SayWith("Here: changed {0}.", w.LocalTime(q.Here))
		if q.Here > q.InFile {
			here = w.SayWith("Here: changed {0}, which is later.", w.LocalTime(q.Here))
		}
	}
	return app.Elem("section").Class("told").ID("file-in-question").Role("alert").Body(
		element.Text("h2", "", w.SayWith("{0} is on this phone already", ui.SiteName(w.Speaker, q.Name))),
		element.Text("p", "", language.Sentences(w.SayWith("In the file: changed {0}.", w.LocalTime(q.InFile)), here)),
		answer("Bring it in beside, as it was", w.BringBeside),
		app.If(q.Own, answer("Take over what is in the file", w.TakeOver)),
		app.If(q.Own, element.Text("p", "quiet", w.Say("Undo brings back what is here now."))),
		answer("Leave it", func() { w.InQuestion = nil }),
	)
}

func openFileLabel(w *sites.List) app.UI {
	return element.Box("label", "wide open-file",
		element.Text("span", "", w.Say("Open a saved survey")),
		app.Input().Type("file").Class("unseen").Accept(".json,application/json").DataSet("do", "open-file").
			OnChange(func(ctx app.Context, e app.Event) {
				files := e.Get("target").Get("files")
				if files.Length() == 0 {
					return
				}
				window.Await(files.Index(0).Call("text"), func(text app.Value) {
					words := text.String()
					w.Dispatch(func(app.Context) { w.WithStore(func(app.Context) { w.OpenFile(words) }) })
				}, func(app.Value) {
					w.Dispatch(func(app.Context) { w.Unopened.Words = w.Say("The file cannot be read.") })
				})
				e.Get("target").Set("value", "")
			}),
	)
}
