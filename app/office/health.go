package office

import (
	"context"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/element"
	"pegpour/app/window"
)

// officeHealthScreen says how the yard is: its back-ups, how much it holds and how much
// it takes.
type officeHealthScreen struct {
	app.Compo
	o *Office

	read    bool
	backUps yardBackUps
	limits  yardLimits
}

// yardBackUps is how the back-ups are that the server makes by itself.
type yardBackUps struct {
	Kept         bool
	EverySeconds int64
	Keep         int
	Backups      []yardBackUp
	Late         bool
	Failed       string
	Damaged      int
}

type yardBackUp struct {
	Name, Made string
	Bytes      int64
}

// yardLimits are how much the yard takes, and how much is kept: in all under the device "".
type yardLimits struct {
	YardMegabytes   int       `json:"yardMegabytes"`
	DeviceMegabytes int       `json:"deviceMegabytes"`
	YardSites       int       `json:"yardSites"`
	DeviceSites     int       `json:"deviceSites"`
	Use             []yardUse `json:"use,omitempty"`
}

type yardUse struct {
	Device           string
	Megabytes, Sites int64
}

const (
	backUpsPath = "/api/v1/backups"
	limitsPath  = "/api/v1/limits"
)

// NewHealthScreen returns the screen.
func NewHealthScreen(o *Office) app.Composer { return &officeHealthScreen{o: o} }

// OnNav implements app.Navigator.
func (s *officeHealthScreen) OnNav(ctx app.Context) {
	s.o.enter(ctx, func(app.Context) { s.readAll() })
}

// OnDismount implements app.Dismounter.
func (s *officeHealthScreen) OnDismount() {
	s.o.told = ""
	s.o.w.Leave()
}

func (s *officeHealthScreen) readAll() {
	var backUps yardBackUps
	var limits yardLimits
	var names map[string]string
	s.o.ask(func(c context.Context) error {
		err := s.o.get(c, backUpsPath, &backUps)
		if err == nil {
			err = s.o.get(c, limitsPath, &limits)
		}
		if err == nil {
			names, _, err = s.o.readNames(c)
		}
		return err
	}, func(app.Context) {
		s.backUps, s.limits, s.o.names, s.read, s.o.problem = backUps, limits, names, true, ""
	})
}

// Render implements app.Composer.
func (s *officeHealthScreen) Render() app.UI {
	w := s.o.w
	if !s.read {
		return s.o.frame(officeHealth, app.If(s.o.problem == "", element.Status("p", "quiet", "status", w.Say("Opening…"))))
	}
	return s.o.frame(officeHealth,
		element.Region("section", "", w.Say("Back-ups"), append([]app.UI{element.Text("h2", "", w.Say("Back-ups"))}, s.kept()...)...),
		s.use(), s.taken())
}

// kept says how the back-ups are, the worst first.
func (s *officeHealthScreen) kept() (out []app.UI) {
	w, b := s.o.w, &s.backUps
	bad := func(words string) { out = append(out, element.Status("p", "error", "status", words)) }
	switch {
	case !b.Kept:
		bad(w.Say("The server makes no back-ups by itself. Whoever runs it sets backup-folder."))
		return out
	case len(b.Backups) == 0:
		bad(w.Say("There is no back-up yet."))
	case b.Late:
		bad(w.SayWith("The newest back-up is of {0}: it should be newer.", w.LocalTime(b.Backups[0].Made)))
	}
	if b.Failed != "" {
		bad(w.SayWith("The last one failed, {0}. The server's log says why.", w.LocalTime(b.Failed)))
	}
	if b.Damaged > 0 {
		bad(w.SayWith("Damage was found in the yard: {0} times. Whoever runs the server types: pegpour check", strconv.Itoa(b.Damaged)))
	}
	return append(out,
		element.Text("p", "quiet", w.SayWith(
			"Each one was restored into a second place and compared before it counts. One is made every {0} h; {1} are kept.",
			w.Decimal(float64(b.EverySeconds)/3600, 1), strconv.Itoa(b.Keep))),
		element.Box("ul", "past", app.Range(b.Backups).Slice(func(i int) app.UI {
			return element.Box("li", "done", element.Box("span", "",
				element.Text("strong", "", w.LocalTime(b.Backups[i].Made)), app.Text(" "),
				app.Text(w.SayWith("{0} MB", w.Decimal(float64(b.Backups[i].Bytes)/1e6, 1)))))
		})))
}

// use says which device sent how much.
func (s *officeHealthScreen) use() app.UI {
	w := s.o.w
	return element.Region("section", "", w.Say("What is kept"),
		element.Text("h2", "", w.Say("What is kept")),
		app.If(len(s.limits.Use) == 0, element.Text("p", "empty", w.Say("It was not counted yet: that is done once a day."))),
		element.Box("ul", "past", app.Range(s.limits.Use).Slice(func(i int) app.UI {
			u := &s.limits.Use[i]
			who := w.Say("In all")
			if u.Device != "" {
				who = s.o.nameOf(u.Device)
			}
			return element.Box("li", "done", element.Box("span", "",
				element.Text("strong", "", who), app.Text(" "),
				app.Text(w.SayWith("{0} MB, sites: {1}", strconv.FormatInt(u.Megabytes, 10), strconv.FormatInt(u.Sites, 10)))))
		})))
}

// fields are the limits with what they are called.
func (l *yardLimits) fields() []limitField {
	return []limitField{
		{"limit-yard-megabytes", "MB in all", &l.YardMegabytes}, {"limit-device-megabytes", "MB of one device", &l.DeviceMegabytes},
		{"limit-yard-sites", "Sites in all", &l.YardSites}, {"limit-device-sites", "Sites of one device", &l.DeviceSites},
	}
}

type limitField struct {
	id, words string
	value     *int
}

// taken shows and sets how much the yard takes.
func (s *officeHealthScreen) taken() app.UI {
	w, fields := s.o.w, s.limits.fields()
	return element.Region("section", "", w.Say("How much the yard takes"),
		element.Text("h2", "", w.Say("How much the yard takes")),
		element.Text("p", "quiet",
			w.Say("A phone says so from nine tenths on. What is beyond a limit is not lost: it waits on the phone.")),
		app.Elem("form").Class("office-add").OnSubmit(func(_ app.Context, e app.Event) {
			e.PreventDefault()
			s.set(func(f limitField) string { return window.ValueOf(f.id) })
		}).Body(
			app.Range(fields).Slice(func(i int) app.UI {
				return element.Box("div", "", element.Label(fields[i].id, w.Say(fields[i].words)),
					app.Input().ID(fields[i].id).Class("words").Type("number").Min(1).Value(*fields[i].value))
			}),
			app.Button().Type("submit").Class("wide").DataSet("do", "limits").Text(w.Say("Set limits"))))
}

// set sends the limits as they were typed.
func (s *officeHealthScreen) set(typed func(limitField) string) {
	o := s.o
	var next yardLimits
	o.problem, o.told = "", ""
	for _, f := range next.fields() {
		n, err := strconv.Atoi(strings.TrimSpace(typed(f)))
		if err != nil || n < 1 || n > 1_000_000_000 {
			o.problem = o.w.SayWith("{0}: enter a whole number, 1 to 1,000,000,000.", o.w.Say(f.words))
			return
		}
		*f.value = n
	}
	o.ask(func(c context.Context) error {
		_, err := o.send(c, "PUT", limitsPath, next, 200)
		return err
	}, func(app.Context) {
		o.told = o.w.Say("The limits are set.")
		s.readAll()
	})
}
