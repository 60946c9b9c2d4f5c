package office

import (
	"context"
	"encoding/json"
	"net/url"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/element"
	"pegpour/app/window"
)

// officeUsersScreen says who the people are, which crews there are and what work they
// have, which other programs may come in and which are told of changes.
type officeUsersScreen struct {
	app.Compo
	o *Office

	read     bool
	users    []yardUser
	work     []yardWork
	rules    yardRules
	machines []yardDevice
	hooks    []yardHook
	dead     []yardDelivery // of the webhook that is looked at
	of       string
	secret   string // told once: a key, or what webhooks are signed with
	secretOf string
}

type yardUser struct {
	ID, Name, Email, Role, Withdrawn string
	SignsIn                          bool
	Devices                          int
}

type yardWork struct {
	Crew                 string
	None, Quoted, Poured int
}

type yardHook struct {
	ID, URL, Paused string
	Kinds           []string
	Waiting, Dead   int
}

type yardDelivery struct{ ID, Created, Said, Body string }

const (
	usersPath = "/api/v1/users"
	hooksPath = "/api/v1/webhooks"
)

// NewUsersScreen returns the screen.
func NewUsersScreen(o *Office) app.Composer { return &officeUsersScreen{o: o} }

// OnNav implements app.Navigator.
func (s *officeUsersScreen) OnNav(ctx app.Context) {
	s.o.enter(ctx, func(app.Context) { s.readAll() })
}

// OnDismount implements app.Dismounter.
func (s *officeUsersScreen) OnDismount() {
	s.o.told = ""
	s.o.w.Leave()
}

func (s *officeUsersScreen) readAll() {
	var users struct{ Users []yardUser }
	var crews struct{ Work []yardWork }
	var rules yardRules
	var hooks struct{ Webhooks []yardHook }
	var names map[string]string
	var all []yardDevice
	s.o.ask(func(c context.Context) error {
		err := s.o.get(c, usersPath, &users)
		for path, to := range map[string]any{"/api/v1/crews": &crews, rulesPath: &rules, hooksPath: &hooks} {
			if err == nil {
				err = s.o.get(c, path, to)
			}
		}
		if err == nil {
			names, all, err = s.o.readNames(c)
		}
		return err
	}, func(app.Context) {
		s.users, s.work, s.rules, s.hooks, s.o.names = users.Users, crews.Work, rules, hooks.Webhooks, names
		s.machines = nil
		for _, d := range all {
			if d.Role == "machine" && d.Withdrawn == "" {
				s.machines = append(s.machines, d)
			}
		}
		s.read, s.o.problem = true, ""
	})
}

// do sends a form to the yard, tells what was done and reads all anew.
func (s *officeUsersScreen) do(method, path string, form any, status int, told string, then func(body []byte)) {
	s.o.problem, s.o.told, s.secret = "", "", ""
	s.o.ask(func(c context.Context) error {
		answer, err := s.o.send(c, method, path, form, status)
		if err == nil && then != nil {
			s.o.w.Dispatch(func(app.Context) { then(answer.Body) })
		}
		return err
	}, func(app.Context) {
		s.o.told = told
		s.readAll()
	})
}

// Render implements app.Composer.
func (s *officeUsersScreen) Render() app.UI {
	w := s.o.w
	if !s.read {
		return s.o.frame(officeUsers, app.If(s.o.problem == "", element.Status("p", "quiet", "status", w.Say("Opening…"))))
	}
	return s.o.frame(officeUsers, s.people(), s.crews(), s.programs(), s.webhooks())
}

// roleWords is what a role is called.
func (o *Office) roleWords(role string) string {
	switch role {
	case "office":
		return o.w.Say("Office")
	case "reader":
		return o.w.Say("Reader")
	case "machine":
		return o.w.Say("Machine")
	}
	return o.w.Say("Crew")
}

func (s *officeUsersScreen) roles(id, chosen string, on app.EventHandler) app.UI {
	var options []app.UI
	for _, role := range []string{"crew", "office", "reader"} {
		options = append(options, app.Option().Value(role).Selected(role == chosen).Text(s.o.roleWords(role)))
	}
	e := app.Select().ID(id).Class("words").Aria("label", s.o.w.Say("Role")).Body(options...)
	if on != nil {
		e = e.OnChange(on, id)
	}
	return e
}

func (s *officeUsersScreen) people() app.UI {
	w := s.o.w
	return element.Region("section", "", w.Say("People"),
		element.Text("h2", "", w.Say("People")),
		element.Text("p", "quiet", w.Say("Whose device it is stands by name beside what is done with it. A crew measures and sends, a reader looks at every site and changes nothing. Who signs in at the provider stands here by itself; others are added here and pair with a code.")),
		element.Box("ul", "office-devices", app.Range(s.users).Slice(func(i int) app.UI { return s.user(&s.users[i]) })),
		app.Elem("form").Class("office-add").OnSubmit(func(_ app.Context, e app.Event) {
			e.PreventDefault()
			s.do("POST", usersPath, map[string]string{"name": window.ValueOf("user-name"), "email": window.ValueOf("user-email"),
				"role": window.ValueOf("user-role")}, 201, w.Say("The person is added."), nil)
		}).Body(
			s.entry("user-name", w.Say("Name")), s.entry("user-email", w.Say("Address of mail, for signing in")),
			s.roles("user-role", "crew", nil),
			app.Button().Type("submit").Class("wide").DataSet("do", "add-user").Text(w.Say("Add the person"))))
}

func (s *officeUsersScreen) entry(id, words string) app.UI {
	return app.Input().ID(id).Class("words").Type("text").Attr("autocomplete", "off").Placeholder(words).Aria("label", words)
}

func (s *officeUsersScreen) user(u *yardUser) app.UI {
	w, id, at := s.o.w, u.ID, usersPath+"/"+url.PathEscape(u.ID)
	state := w.SayCount(u.Devices, "one device", "{0} devices")
	class, out := "office-device", u.Withdrawn != ""
	if out {
		class, state = class+" shut-out", w.SayWith("Shut out since {0}", w.LocalTime(u.Withdrawn))
	}
	words, told := w.Say("Shut out"), w.SayWith("{0} is shut out.", u.Name)
	if out {
		words, told = w.Say("Let in again"), w.SayWith("{0} is let in again.", u.Name)
	}
	return app.Elem("li").Class(class).DataSet("user", id).Body(
		element.Box("div", "office-words", element.Text("span", "site-name", u.Name), element.Text("span", "", u.Email),
			element.Text("span", "quiet", state)),
		element.Box("div", "office-entry",
			s.roles("role-"+id, u.Role, func(_ app.Context, e app.Event) {
				s.do("PUT", at, map[string]string{"role": e.Get("target").Get("value").String()}, 200, w.Say("The role is changed."), nil)
			}),
			app.Button().Type("button").Class("row-side").DataSet("shut", id).Aria("label", words+": "+u.Name).Text(words).
				OnClick(func(app.Context, app.Event) {
					s.do("PUT", at, map[string]bool{"withdrawn": !out}, 200, told, nil)
				}, id, out)))
}

// crews is the work by crew and state, each count a way to the sites.
func (s *officeUsersScreen) crews() app.UI {
	w := s.o.w
	cell := func(crew, state string, n int) app.UI {
		if n == 0 {
			return element.Text("td", "", "–")
		}
		address := "/office?" + url.Values{"crew": {crew}, "state": {state}}.Encode()
		if crew == "" {
			address = "/office?" + url.Values{"state": {state}}.Encode()
		}
		return element.Box("td", "", element.Link("quiet-link", address, n))
	}
	return element.Region("section", "", w.Say("Work by crew"),
		element.Text("h2", "", w.Say("Work by crew")),
		app.If(len(s.work) > 0, element.Box("table", "work",
			element.Box("thead", "", element.Box("tr", "", element.Text("th", "", w.Say("Crew")),
				element.Text("th", "", w.Say("Measured")), element.Text("th", "", w.Say("Quoted")), element.Text("th", "", w.Say("Poured")))),
			element.Box("tbody", "", app.Range(s.work).Slice(func(i int) app.UI {
				at := &s.work[i]
				name := at.Crew
				if name == "" {
					name = w.Say("no crew")
				}
				return app.Elem("tr").DataSet("crew", at.Crew).Body(app.Elem("th").Attr("scope", "row").Text(name),
					cell(at.Crew, "none", at.None), cell(at.Crew, markQuoted, at.Quoted), cell(at.Crew, markPoured, at.Poured))
			})))),
		element.Text("p", "quiet", w.Say("A device is put into a crew under Devices. A site that is given to a crew goes from the phones of other crews at their next contact; what they had and the yard never got waits there for a person.")),
		app.Label().Class("office-check").Body(
			app.Input().ID("crews-apart").Type("checkbox").Checked(s.rules.CrewsApart).OnChange(func(_ app.Context, e app.Event) {
				s.do("PUT", rulesPath, map[string]bool{"crewsApart": e.Get("target").Get("checked").Bool()}, 200, w.Say("Set."), nil)
			}),
			element.Text("span", "", w.Say("A new site is its crew's alone: other crews do not see it"))))
}

func (s *officeUsersScreen) told(of string) app.UI {
	if s.secret == "" || s.secretOf != of {
		return app.Text("")
	}
	return element.Box("div", "code-panel", element.Box("div", "",
		element.Text("p", "", s.o.w.Say("This is told once: copy it now.")),
		app.Elem("p").Class("code-link").Attr("translate", "no").DataSet("secret", of).Text(s.secret)))
}

func (s *officeUsersScreen) programs() app.UI {
	w := s.o.w
	scopes := [][2]string{{"read", w.Say("reads sites and changes")}, {"write", w.Say("sends sites and photos")},
		{"mark", w.Say("sets marks")}, {"backup", w.Say("takes back-ups")}}
	return element.Region("section", "", w.Say("Other programs"),
		element.Text("h2", "", w.Say("Other programs")),
		element.Text("p", "quiet", w.Say("A key lets another program in, for what is ticked and nothing else. It ends when it was not used for half a year.")),
		element.Box("ul", "office-devices", app.Range(s.machines).Slice(func(i int) app.UI {
			m := s.machines[i]
			return app.Elem("li").Class("office-device").DataSet("machine", m.ID).Body(
				element.Box("div", "office-words", element.Text("span", "site-name", m.Name),
					element.Text("span", "", strings.Join(m.Scope, ", ")),
					element.Text("span", "quiet", w.SayWith("Last seen {0}", w.LocalTime(m.Seen)))),
				app.Button().Type("button").Class("row-side").Aria("label", w.SayWith("Shut out: {0}", m.Name)).Text(w.Say("Shut out")).
					OnClick(func(app.Context, app.Event) {
						s.do("DELETE", "/api/v1/devices/"+url.PathEscape(m.ID), nil, 204, w.SayWith("{0} is shut out.", m.Name), nil)
					}, m.ID))
		})),
		app.Elem("form").Class("office-add").OnSubmit(func(_ app.Context, e app.Event) {
			e.PreventDefault()
			s.addMachine(scopes)
		}, scopes).Body(s.entry("machine-name", w.Say("Name of the program")),
			app.Range(scopes).Slice(func(i int) app.UI {
				return app.Label().Class("office-check").Body(
					app.Input().ID("scope-"+scopes[i][0]).Type("checkbox").Checked(i == 0), element.Text("span", "", scopes[i][1]))
			}),
			app.Button().Type("submit").Class("wide").DataSet("do", "add-machine").Text(w.Say("Make a key"))),
		s.told("machine"))
}

func (s *officeUsersScreen) addMachine(scopes [][2]string) {
	scope := []string{}
	for _, sc := range scopes {
		if app.Window().GetElementByID("scope-" + sc[0]).Get("checked").Bool() {
			scope = append(scope, sc[0])
		}
	}
	s.do("POST", "/api/v1/machines", map[string]any{"name": window.ValueOf("machine-name"), "scope": scope}, 201,
		s.o.w.Say("The key is made."), func(body []byte) {
			var made struct{ Token string }
			_ = json.Unmarshal(body, &made)
			s.secret, s.secretOf = made.Token, "machine"
		})
}

func (s *officeUsersScreen) webhooks() app.UI {
	w := s.o.w
	return element.Region("section", "", w.Say("Addresses that are told of changes"),
		element.Text("h2", "", w.Say("Addresses that are told of changes")),
		element.Text("p", "quiet", w.Say("What changes is sent there, signed (webhooks). Where nobody answers it comes again for three days, then it waits here until somebody sends it again.")),
		element.Box("ul", "office-devices", app.Range(s.hooks).Slice(func(i int) app.UI { return s.hook(&s.hooks[i]) })),
		app.Elem("form").Class("office-add").OnSubmit(func(_ app.Context, e app.Event) {
			e.PreventDefault()
			s.do("POST", hooksPath, map[string]string{"url": window.ValueOf("hook-url")}, 201, w.Say("It is told of changes from now on."),
				func(body []byte) {
					var made struct{ Secret string }
					_ = json.Unmarshal(body, &made)
					s.secret, s.secretOf = made.Secret, "hook"
				})
		}).Body(s.entry("hook-url", "https://"),
			app.Button().Type("submit").Class("wide").DataSet("do", "add-hook").Text(w.Say("Add the address"))),
		s.told("hook"))
}

func (s *officeUsersScreen) hook(h *yardHook) app.UI {
	w, id, paused := s.o.w, h.ID, h.Paused != ""
	at := hooksPath + "/" + url.PathEscape(id)
	state := w.SayWith("{0} wait, {1} were given up", strconv.Itoa(h.Waiting), strconv.Itoa(h.Dead))
	words := w.Say("Pause")
	if paused {
		state, words = w.SayWith("Paused since {0}", w.LocalTime(h.Paused)), w.Say("Go on")
	}
	button := func(do, words string, on func()) app.UI {
		return app.Button().Type("button").Class("row-side").DataSet("do", do).Aria("label", words+": "+h.URL).Text(words).
			OnClick(func(app.Context, app.Event) { on() }, id, do, paused)
	}
	return app.Elem("li").Class("office-device").DataSet("hook", id).Body(
		element.Box("div", "office-words", element.Text("span", "site-name code-link", h.URL),
			element.Text("span", "", strings.Join(h.Kinds, ", ")), element.Text("span", "quiet", state)),
		element.Box("div", "office-entry",
			button("pause", words, func() { s.do("PUT", at, map[string]bool{"paused": !paused}, 200, w.Say("Set."), nil) }),
			app.If(h.Dead > 0, button("dead", w.Say("What was given up"), func() { s.readDead(id) })),
			button("drop", w.Say("Delete"), func() { s.do("DELETE", at, nil, 204, w.Say("It is told nothing more."), nil) })),
		app.If(s.of == id, element.Box("ul", "past", app.Range(s.dead).Slice(func(i int) app.UI {
			d := s.dead[i]
			return element.Box("li", "done",
				element.Box("span", "", element.Text("strong", "", w.LocalTime(d.Created)), app.Text(" "+d.Said)),
				element.Button("row-side", w.Say("Send again"), func(app.Context, app.Event) {
					s.of = ""
					s.do("POST", "/api/v1/deliveries/"+url.PathEscape(d.ID)+"/again", nil, 200, w.Say("It is sent again."), nil)
				}, d.ID))
		}))))
}

func (s *officeUsersScreen) readDead(id string) {
	var page struct{ Deliveries []yardDelivery }
	s.o.ask(func(c context.Context) error {
		return s.o.get(c, hooksPath+"/"+url.PathEscape(id)+"/deliveries?state=dead&limit=50", &page)
	}, func(app.Context) { s.dead, s.of = page.Deliveries, id })
}

// crews says whose the site is, and gives it to other crews.
func (s *officeSiteScreen) crews() app.UI {
	w, id := s.o.w, s.id
	if s.o.reads {
		return app.Text("")
	}
	return element.Region("section", "", w.Say("Crews of this site"),
		element.Label("site-crews", w.Say("Crews of this site, with commas between; empty: everybody's")),
		app.Input().ID("site-crews").Class("words").Type("text").Attr("autocomplete", "off").Value(strings.Join(s.o.line.Crews, ", ")).
			OnChange(func(_ app.Context, e app.Event) { s.setCrews(id, e.Get("target").Get("value").String()) }, id))
}

func (s *officeSiteScreen) setCrews(id, typed string) {
	o, crews := s.o, []string{}
	for _, c := range strings.Split(typed, ",") {
		if c = strings.TrimSpace(c); c != "" {
			crews = append(crews, c)
		}
	}
	o.problem, o.told = "", ""
	o.ask(func(c context.Context) error {
		_, err := o.send(c, "PUT", yardSitePath(id)+"/crews", map[string][]string{"crews": crews}, 204)
		return err
	}, func(app.Context) {
		if o.line != nil && o.line.ID == id {
			o.line.Crews = crews
		}
		o.told = o.w.Say("Set.")
	})
}
