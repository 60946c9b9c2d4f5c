package office

import (
	"context"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/element"
	"pegpour/app/language"
	"pegpour/storage/replication"
)

// officeDevicesScreen says who may come in, lets more in, shuts others out, and
// shows what was done.
type officeDevicesScreen struct {
	app.Compo
	o    *Office
	gone bool

	devices []yardDevice
	people  []yardUser // who may come in
	person  string     // whose device a code is for, "" for nobody's
	read    bool
	sure    string // the device that is about to be shut out, or forgotten

	code    pairingCode
	until   time.Time       // when it ends, by this computer's clock
	before  map[string]bool // the devices when the code was made
	arrived string          // who came in with it
	made    int

	log  []yardEntry
	next int64
}

// pairingCode is a code as the yard makes it.
type pairingCode struct {
	Code, Link string
	Seconds    int
	Picture    []string

	role string
}

// yardEntry is a line of the yard's audit log.
type yardEntry struct {
	Number                               int64
	At, Device, Address, Action, Subject string
	By                                   string
	Times                                int
}

const auditStep = 50

// NewDevicesScreen returns the screen.
func NewDevicesScreen(o *Office) app.Composer { return &officeDevicesScreen{o: o} }

// OnNav implements app.Navigator.
func (s *officeDevicesScreen) OnNav(ctx app.Context) {
	s.o.told = ""
	s.o.enter(ctx, func(app.Context) { s.readAll() })
}

// OnDismount implements app.Dismounter.
func (s *officeDevicesScreen) OnDismount() {
	s.gone = true
	s.o.w.Leave()
}

// readAll reads the devices and the newest of the log.
func (s *officeDevicesScreen) readAll() {
	s.o.problem = ""
	s.readDevices(func() { s.readLog(false) })
}

func (s *officeDevicesScreen) readDevices(then func()) {
	var names map[string]string
	var all []yardDevice
	var users struct{ Users []yardUser }
	s.o.ask(func(c context.Context) error {
		err := s.o.get(c, usersPath, &users)
		if err == nil {
			names, all, err = s.o.readNames(c)
		}
		return err
	}, func(app.Context) {
		s.o.names, s.devices, s.read = names, all, true
		s.people = slices.DeleteFunc(users.Users, func(u yardUser) bool { return u.Withdrawn != "" })
		if then != nil {
			then()
		}
	})
}

func (s *officeDevicesScreen) readLog(on bool) {
	path := "/api/v1/audit?limit=" + strconv.Itoa(auditStep)
	if on {
		path += "&before=" + strconv.FormatInt(s.next, 10)
	}
	var page struct {
		Entries []yardEntry
		Next    int64
	}
	s.o.ask(func(c context.Context) error { return s.o.get(c, path, &page) }, func(app.Context) {
		if !on {
			s.log = nil
		}
		s.log = append(s.log, page.Entries...)
		s.next = page.Next
		if len(page.Entries) < auditStep {
			s.next = 0
		}
	})
}

// Render implements app.Composer.
func (s *officeDevicesScreen) Render() app.UI {
	o := s.o
	return o.frame(officeDevices,
		element.Region("section", "", s.o.w.Say("Let a device in"),
			element.Text("h2", "", s.o.w.Say("Let a device in")),
			element.Text("p", "quiet",
				s.o.w.Say("A code lets one device in, once, within ten minutes. A crew measures and sends; the office sees every site, corrects and prints, and lets others in.")),
			app.If(len(s.people) > 0, s.personChoice()),
			element.Box("div", "switches", s.codeButtons()...),
			s.codePanel(),
		),
		element.Region("section", "", s.o.w.Say("Devices"),
			element.Text("h2", "", s.o.w.Say("Devices")),
			app.If(!s.read && o.problem == "", element.Status("p", "quiet", "status", s.o.w.Say("Opening…"))),
			element.Box("ul", "office-devices", app.Range(s.devices).Slice(func(i int) app.UI { return s.device(&s.devices[i]) })),
			element.Doing("wide", "sign-out", s.o.w.Say("Sign this browser out"), func(ctx app.Context, _ app.Event) { s.o.signOut(ctx) }),
		),
		element.Region("section", "", s.o.w.Say("What was done"),
			element.Text("h2", "", s.o.w.Say("What was done")),
			element.Box("ol", "past", app.Range(s.log).Slice(func(i int) app.UI { return s.entry(&s.log[i]) })),
			app.If(s.next > 0, element.Button("wide", s.o.w.Say("Show more"), func(app.Context, app.Event) { s.readLog(true) })),
		),
	)
}

// personChoice asks whose the device is, which then comes in as that person does.
func (s *officeDevicesScreen) personChoice() app.UI {
	options := []app.UI{app.Option().Value("").Text(s.o.w.Say("Nobody's in particular")).Selected(s.person == "")}
	for _, u := range s.people {
		options = append(options, app.Option().Value(u.ID).Text(u.Name).Selected(s.person == u.ID))
	}
	return app.Div().Body(element.Label("code-person", s.o.w.Say("Whose device it is")),
		app.Select().ID("code-person").Class("words").Body(options...).OnChange(func(_ app.Context, e app.Event) {
			s.person = e.Get("target").Get("value").String()
			s.code, s.arrived = pairingCode{}, ""
		}))
}

func (s *officeDevicesScreen) codeButtons() []app.UI {
	for _, u := range s.people {
		if u.ID == s.person {
			return []app.UI{s.codeButton(u.Role, s.o.w.SayWith("Code for a device of {0}", u.Name))}
		}
	}
	return []app.UI{s.codeButton("crew", s.o.w.Say("Code for a crew's phone")),
		s.codeButton("office", s.o.w.Say("Code for an office")), s.codeButton("reader", s.o.w.Say("Code for a reader"))}
}

func (s *officeDevicesScreen) codeButton(role, words string) app.UI {
	return app.Button().Type("button").Class("wide").DataSet("code", role).Text(words).
		OnClick(func(ctx app.Context, _ app.Event) { s.makeCode(ctx, role) }, role, words)
}

// makeCode asks for a code and watches for the device that uses it.
func (s *officeDevicesScreen) makeCode(ctx app.Context, role string) {
	o := s.o
	o.problem, o.told, s.arrived, s.code = "", "", "", pairingCode{}
	address := app.Window().URL()
	form := map[string]string{"role": role, "address": (&url.URL{Scheme: address.Scheme, Host: address.Host}).String(),
		"person": s.person}
	var code pairingCode
	before := map[string]bool{} // as the yard has them: the list here may not be read yet
	o.ask(func(c context.Context) error {
		_, all, err := o.readNames(c)
		if err != nil {
			return err
		}
		for i := range all {
			before[all[i].ID] = true
		}
		return o.post(c, "/api/v1/codes", form, &code)
	}, func(ctx app.Context) {
		code.role = role
		s.code, s.until = code, time.Now().Add(time.Duration(code.Seconds)*time.Second)
		s.before = before
		s.made++
		s.readLog(false)
		s.tick(ctx, s.made, 0)
	})
}

// tick counts the time down and looks every few seconds who came in.
func (s *officeDevicesScreen) tick(ctx app.Context, made, n int) {
	if s.gone || made != s.made || s.code.Code == "" {
		return
	}
	if n%3 == 2 && time.Now().Before(s.until) {
		s.readDevices(func() {
			for _, d := range s.devices {
				if made == s.made && s.code.Code != "" && !s.before[d.ID] {
					s.arrived, s.code = d.Name, pairingCode{}
					s.readLog(false)
				}
			}
		})
	}
	ctx.After(time.Second, func(ctx app.Context) { s.tick(ctx, made, n+1) })
}

// codePanel shows the code as a picture and as text, with the time that is left.
func (s *officeDevicesScreen) codePanel() app.UI {
	if s.arrived != "" {
		return app.Elem("p").Class("bar").Role("status").DataSet("arrived", s.arrived).
			Text(s.o.w.SayWith("{0} came in with the code.", s.arrived))
	}
	if s.code.Code == "" {
		return app.Text("")
	}
	left := time.Until(s.until).Round(time.Second)
	if left <= 0 {
		return element.Status("p", "bar", "status", s.o.w.Say("The code ran out unused. Make a new one."))
	}
	clock := strconv.Itoa(int(left.Minutes())) + ":" + strconv.Itoa(100 + int(left.Seconds())%60)[1:]
	whom := s.o.w.Say("For one crew's phone")
	switch s.code.role {
	case "office":
		whom = s.o.w.Say("For one office")
	case "reader":
		whom = s.o.w.Say("For one reader")
	}
	return element.Box("div", "code-panel",
		app.Raw(codePicture(s.code.Picture, s.o.w.Say("The code as a picture to scan with the phone's camera"))),
		element.Box("div", "",
			element.Text("p", "", whom),
			app.Elem("p").Class("code-text").Attr("translate", "no").DataSet("pairing", s.code.role).Text(s.code.Code),
			element.Box("p", "", app.Text(s.o.w.SayWith("Good for another {0}", clock))),
			element.Text("p", "quiet", s.o.w.Say("Scan the picture with the camera, or open this address on the device:")),
			app.Elem("p").Class("code-link").Attr("translate", "no").Text(s.code.Link)),
	)
}

// codePicture draws a QR code, dark on light in any theme, with the quiet zone
// of four modules that readers want.
func codePicture(rows []string, name string) string {
	const quiet = 4
	var b strings.Builder
	side := strconv.Itoa(len(rows) + 2*quiet)
	b.WriteString(`<svg class="code-picture" role="img" aria-label="` + name + `" viewBox="0 0 ` + side + ` ` + side +
		`" shape-rendering="crispEdges"><path fill="#fff" d="M0 0h` + side + `v` + side + `H0z"/><path fill="#000" d="`)
	for y, row := range rows {
		for x := 0; x < len(row); x++ {
			if row[x] != '1' {
				continue
			}
			from := x
			for x < len(row) && row[x] == '1' {
				x++
			}
			run := strconv.Itoa(x - from)
			b.WriteString("M" + strconv.Itoa(from+quiet) + " " + strconv.Itoa(y+quiet) + "h" + run + "v1h-" + run + "z")
		}
	}
	b.WriteString(`"/></svg>`)
	return b.String()
}

func (s *officeDevicesScreen) device(d *yardDevice) app.UI {
	id, name := d.ID, d.Name
	role := s.o.roleWords(d.Role)
	if d.By != "" {
		role += ", " + d.By
	}
	in := d.Withdrawn == ""
	when := s.o.w.SayWith("In since {0}, last seen {1}", s.o.w.LocalTime(d.Created), s.o.w.LocalTime(d.Seen))
	if !in {
		when = s.o.w.SayWith("Shut out since {0}", s.o.w.LocalTime(d.Withdrawn))
	}
	own := id == s.o.device.ID
	button := func(name, words string, do func()) app.UI {
		return app.Button().Type("button").DataSet("do", name).Text(words).OnClick(func(app.Context, app.Event) { do() }, id, name)
	}
	class := "office-device"
	if !in {
		class += " shut-out"
	}
	return app.Elem("li").Class(class).DataSet("device", id).Body(
		element.Box("div", "office-words",
			element.Box("span", "site-name", app.Text(name), app.Text(" "), element.Text("span", "chip", role),
				app.If(own, element.Text("span", "chip", s.o.w.Say("this browser")))),
			element.Text("span", "quiet", when)),
		app.If(in && d.Role == "crew", app.Input().Type("text").Class("words crew-of").ID("crew-"+id).Attr("autocomplete", "off").
			Aria("label", s.o.w.SayWith("Crew of {0}", name)).Placeholder(s.o.w.Say("no crew")).Value(d.Crew).
			OnChange(func(_ app.Context, e app.Event) { s.setCrew(id, e.Get("target").Get("value").String()) }, id)),
		app.If(in && !own && s.sure != id, app.Button().Type("button").Class("row-side").DataSet("withdraw", id).
			Aria("label", s.o.w.SayWith("Shut out: {0}", name)).
			Text(s.o.w.Say("Shut out")).OnClick(func(app.Context, app.Event) { s.sure = id }, id)),
		app.If(in && s.sure == id, element.Acting("div", "bar bar-stop", "alert", "",
			element.Text("span", "", s.o.w.SayWith("{0} comes in no more until it is paired anew. What it holds stays on it: its sites with their photos, and whoever unlocks the phone can read them. Only the lock of the phone, or its maker's way to erase it from afar, keeps them from a finder.",
				name)),
			app.Button().Type("button").Text(s.o.w.Say("Keep it in")).OnClick(func(app.Context, app.Event) { s.sure = "" }),
			app.Button().Type("button").DataSet("do", "withdraw").Text(s.o.w.Say("Shut out")).
				OnClick(func(app.Context, app.Event) { s.withdraw(id, name) }, id, name))),
		app.If(!in && s.sure != id, app.Button().Type("button").Class("row-side").DataSet("forget", id).
			Aria("label", s.o.w.SayWith("Delete what is kept of {0}", name)).
			Text(s.o.w.Say("Delete its record")).OnClick(func(app.Context, app.Event) { s.sure = id }, id)),
		app.If(!in && s.sure == id, element.Acting("div", "bar bar-stop", "alert", "",
			element.Text("span", "", s.o.w.Say("Its name and the addresses it came from are deleted. What it sent stays, as of a withdrawn device. This cannot be taken back.")),
			button("keep", s.o.w.Say("Keep it"), func() { s.sure = "" }),
			button("forget", s.o.w.Say("Delete its record"), func() { s.forget(id) }))),
	)
}

// forget has the yard delete what it keeps of a device that is shut out.
func (s *officeDevicesScreen) forget(id string) {
	s.o.problem, s.o.told = "", ""
	s.o.ask(func(c context.Context) error {
		_, err := s.o.link.Client().
			Ask(c, replication.Request{Method: "DELETE", Path: "/api/v1/devices/" + url.PathEscape(id) + "/record"}, 204)
		return err
	}, func(app.Context) {
		s.sure = ""
		s.o.told = s.o.w.Say("The record of the device is deleted.")
		s.readAll()
	})
}

// setCrew puts a device into a crew.
func (s *officeDevicesScreen) setCrew(id, crew string) {
	s.o.problem, s.o.told = "", ""
	s.o.ask(func(c context.Context) error {
		_, err := s.o.send(c, "PUT", "/api/v1/devices/"+url.PathEscape(id), map[string]string{"crew": crew}, 200)
		return err
	}, func(app.Context) {
		s.o.told = s.o.w.Say("Set.")
		s.readAll()
	})
}

func (s *officeDevicesScreen) withdraw(id, name string) {
	s.o.problem, s.o.told = "", ""
	s.o.ask(func(c context.Context) error {
		_, err := s.o.link.Client().
			Ask(c, replication.Request{Method: "DELETE", Path: "/api/v1/devices/" + url.PathEscape(id)}, 204)
		return err
	}, func(app.Context) {
		s.sure = ""
		s.o.told = s.o.w.SayWith("{0} is shut out.", name)
		s.readAll()
	})
}

func (s *officeDevicesScreen) entry(e *yardEntry) app.UI {
	who := s.o.w.Say("the command line")
	switch {
	case e.By != "":
		who = e.By
	case e.Device != "":
		who = s.o.nameOf(e.Device)
	case e.Address == "":
		who = s.o.w.Say("many strangers")
	case e.Address != "command line":
		who = s.o.w.SayWith("a stranger at {0}", e.Address)
	}
	subject := e.Subject
	if name := s.o.names[subject]; name != "" {
		subject = name
	}
	var site app.UI
	if siteAction(e.Action) {
		site = app.A().Class("quiet-link").Href("/office/site/"+url.PathEscape(e.Subject)).
			Aria("label", s.o.w.Say("Open the site")).Text(s.o.w.Say("Open"))
	}
	said := auditWords(s.o.w.Speaker, e.Action, who, subject)
	if e.Times > 1 {
		said = s.o.w.SayWith("{0}, {1} times within the hour", said, strconv.Itoa(e.Times))
	}
	words := element.Box("span", "", element.Text("strong", "", s.o.w.LocalTime(e.At)), app.Text(" "),
		app.Text(said))
	if site == nil {
		return element.Box("li", "done", words)
	}
	return element.Box("li", "done", words, site)
}

// siteAction reports whether an entry's subject is a site.
func siteAction(action string) bool {
	return action == "exported" || action == "brought back" || action == "said whose a site is" ||
		strings.HasPrefix(action, "marked ") || strings.HasPrefix(action, "unmarked ")
}

// auditWords says who did what to whom.
func auditWords(l *language.Speaker, action, who, subject string) string {
	switch action {
	case "paired":
		role, name, _ := strings.Cut(subject, " ")
		if role == "office" {
			return l.SayWith("{0}: let in as an office, as {1}", who, name)
		}
		return l.SayWith("{0}: let in as a crew, as {1}", who, name)
	case "pairing refused":
		return l.SayWith("{0}: tried a code that is not good", who)
	case "left":
		return l.SayWith("{0}: signed out", who)
	case "withdrew":
		return l.SayWith("{0}: shut out {1}", who, subject)
	case "made a code":
		if subject == "office" {
			return l.SayWith("{0}: made a code for an office", who)
		}
		return l.SayWith("{0}: made a code for a crew", who)
	case "refused":
		return l.SayWith("{0}: was refused ({1})", who, subject)
	case "marked quoted":
		return l.SayWith("{0}: marked a site as quoted", who)
	case "unmarked quoted":
		return l.SayWith("{0}: took back that a site is quoted", who)
	case "marked poured":
		return l.SayWith("{0}: marked a site as poured", who)
	case "unmarked poured":
		return l.SayWith("{0}: took back that a site is poured", who)
	case "exported":
		return l.SayWith("{0}: saved a copy of a site", who)
	case "deleted":
		return l.SayWith("{0}: deleted a site", who)
	case "brought back":
		return l.SayWith("{0}: brought back a deleted site", who)
	case "purged":
		return l.SayWith("{0}: let a deleted site go before its time", who)
	case "forgot":
		return l.SayWith("{0}: deleted the record of a device", who)
	case "set a rule":
		if subject == "crews-apart" {
			return l.SayWith("{0}: set whether crews see one another's sites", who)
		}
		return l.SayWith("{0}: set for how long what is deleted is kept", who)
	case "changed the shop's rules":
		return l.SayWith("{0}: changed the shop rules", who)
	case "added a person":
		return l.SayWith("{0}: added a person", who)
	case "changed a person":
		return l.SayWith("{0}: gave a person another role", who)
	case "shut a person out":
		return l.SayWith("{0}: shut a person out", who)
	case "let a person in again":
		return l.SayWith("{0}: let a person in again", who)
	case "signed in":
		return l.SayWith("{0}: signed in", who)
	case "changed a device":
		return l.SayWith("{0}: said whose a device is", who)
	case "let a machine in":
		return l.SayWith("{0}: let another program in", who)
	case "added a webhook":
		return l.SayWith("{0}: added an address that is told of changes", who)
	case "deleted a webhook":
		return l.SayWith("{0}: deleted an address that is told of changes", who)
	case "paused a webhook":
		return l.SayWith("{0}: paused an address that is told of changes", who)
	case "went on with a webhook":
		return l.SayWith("{0}: went on telling an address", who)
	case "sent a delivery again":
		return l.SayWith("{0}: had something sent again", who)
	case "said whose a site is":
		return l.SayWith("{0}: said whose a site is", who)
	case "sign-in refused":
		return l.SayWith("{0}: was not let in at signing in", who)
	case "looked for a person":
		return l.SayWith("{0}: looked for a person's data", who)
	case "handed out a person's data":
		return l.SayWith("{0}: saved a person's data as a file", who)
	case "erased a person":
		return l.SayWith("{0}: took a person out of a site", who)
	case "backed up":
		return l.SayWith("{0}: took a back-up", who)
	}
	return l.SayWith("{0}: {1} {2}", who, action, subject)
}
