package office

import (
	"context"
	"encoding/json"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/element"
	"pegpour/app/ui"
	"pegpour/app/window"
	"pegpour/storage/replication"
)

// finding is what the yard holds of a person, as it was looked for.
type finding struct {
	words string
	asked bool
	held  yardPerson
	sure  string // what is asked once more: the site's identity with what is to be done
}

// yardPerson is what the yard holds of a person.
type yardPerson struct {
	Sites []struct {
		Site, Name, Deleted string
		Places, Now         []string
	}
	Devices []yardDevice
}

const personPath = "/api/v1/person"

// askPerson sends a form about a person.
func (o *Office) askPerson(c context.Context, path string, form map[string]any) (replication.Response, error) {
	return o.send(c, "POST", personPath+path, form, 200)
}

// person is where what is held of a person is found, saved and taken out.
func (s *officeDeletedScreen) person() app.UI {
	w, f := s.o.w, &s.finding
	return element.Region("section", "", w.Say("A person's data"),
		element.Text("h2", "", w.Say("A person's data")),
		element.Text("p", "quiet",
			w.Say("Looks for a name or a telephone number in every version of every site. What is deleted here is gone at once and for good; only back-up files made before still hold it.")),
		app.Elem("form").Class("finder").OnSubmit(func(_ app.Context, e app.Event) {
			e.PreventDefault()
			s.findPerson(window.ValueOf("person-words"))
		}).Body(
			app.Input().ID("person-words").Class("words").Type("search").Attr("autocomplete", "off").
				Aria("label", w.Say("Name or telephone number")).Placeholder(w.Say("Name or telephone number")),
			app.Button().Type("submit").Class("wide finder-do").DataSet("do", "find-person").Text(w.Say("Find"))),
		app.If(f.asked && len(f.held.Sites)+len(f.held.Devices) == 0,
			element.Status("p", "quiet", "status", w.Say("The yard holds nothing of this person."))),
		app.If(f.asked && len(f.held.Sites) > 0,
			element.Doing("wide", "save-person", w.Say("Save all that is held as a file"), func(app.Context, app.Event) { s.savePerson() })),
		element.Box("ul", "office-devices",
			app.Range(f.held.Sites).Slice(func(i int) app.UI { return s.personSite(i) }),
			app.Range(f.held.Devices).Slice(func(i int) app.UI {
				return element.Box("li", "office-device", element.Text("span", "site-name", f.held.Devices[i].Name),
					element.Link("quiet-link", "/office/devices", w.Say("Devices")))
			})))
}

func (s *officeDeletedScreen) personSite(i int) app.UI {
	w, f, at := s.o.w, &s.finding, s.finding.held.Sites[i]
	name := ui.SiteName(w.Speaker, at.Name)
	where := w.SayCount(len(at.Now), "In one place of the newest version", "In {0} places of the newest version")
	if len(at.Now) == 0 {
		where = w.Say("In older versions only")
	}
	do := func(keep bool, words string) app.UI {
		key := at.Site + " delete"
		if keep {
			key = at.Site + " keep"
		}
		if f.sure == key {
			words = w.Say("For good: tap again")
		}
		return app.Button().Type("button").Class("row-side").DataSet("erase", key).Text(words).
			Aria("label", words+", "+name).OnClick(func(app.Context, app.Event) {
			if f.sure != key {
				f.sure = key
				return
			}
			s.erasePerson(at.Site, keep)
		}, key)
	}
	return app.Elem("li").Class("office-device").DataSet("person", at.Site).Body(
		element.Box("div", "office-words", element.Text("span", "site-name", name), element.Text("span", "", where)),
		app.If(at.Deleted == "", do(true, w.Say("Take the person out"))),
		do(false, w.Say("Delete the site")))
}

func (s *officeDeletedScreen) findPerson(words string) {
	var held yardPerson
	words = strings.TrimSpace(words)
	s.o.problem, s.o.told = "", ""
	s.o.ask(func(c context.Context) error {
		answer, err := s.o.askPerson(c, "", map[string]any{"words": words})
		if err == nil && json.Unmarshal(answer.Body, &held) != nil {
			err = replication.ErrGarbled
		}
		return err
	}, func(app.Context) { s.finding = finding{words: words, asked: true, held: held} })
}

func (s *officeDeletedScreen) savePerson() {
	var answer replication.Response
	words := s.finding.words
	s.o.ask(func(c context.Context) error {
		var err error
		answer, err = s.o.askPerson(c, "/export", map[string]any{"words": words})
		return err
	}, func(app.Context) {
		window.Save("person.json", window.Blob("application/json", window.Bytes(answer.Body)))
	})
}

// erasePerson takes the person out of a site for good, which without keep goes whole.
func (s *officeDeletedScreen) erasePerson(site string, keep bool) {
	words := s.finding.words
	s.finding.sure, s.o.problem, s.o.told = "", "", ""
	s.o.ask(func(c context.Context) error {
		_, err := s.o.askPerson(c, "/erase", map[string]any{"words": words, "site": site, "keep": keep})
		return err
	}, func(app.Context) {
		s.findPerson(words)
		s.readAll(false)
	})
}
