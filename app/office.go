package app

import (
	"context"
	"encoding/json"
	"errors"
	"net/url"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/storage/replication"
)

// theOffice is the one of this page.
var theOffice = &office{w: current, names: map[string]string{}}

// office is what the screens of the office share: they show what stands in the
// yard, not what is on this device. It is touched on the UI goroutine only.
type office struct {
	w *workspace // the device: its store with the key to the yard, its shop rules

	looked  bool // whether this device has a key is known
	paired  bool
	device  replication.Device
	code    string // came with the address
	busy    bool   // signing in
	problem string // what went wrong last
	told    string // what was done last
	again   func(app.Context)

	names  map[string]string // devices of the yard by identity
	list   officeList
	line   *yardSite // of the site on the screen
	marked bool      // a mark is being changed
}

// lines are all lines on the page of one site.
func (o *office) lines(id string) []*yardSite {
	var all []*yardSite
	if o.line != nil && o.line.ID == id {
		all = append(all, o.line)
	}
	for _, s := range o.list.sites {
		if s.ID == id {
			all = append(all, s)
		}
	}
	return all
}

// yardSite is a line of the yard's list. The names are those of its API.
type yardSite struct {
	ID, Name, Address, Client, Surveyor string
	Changed, Received, Device, By       string
	Photos                              int
	Turn                                int64
	Heads                               []string
	Marks                               []yardMark

	thumb string
}

type yardMark struct{ Mark, At, Device, Tag string }

func (s *yardSite) mark(name string) *yardMark {
	for i := range s.Marks {
		if s.Marks[i].Mark == name {
			return &s.Marks[i]
		}
	}
	return nil
}

const (
	markQuoted = "quoted"
	markPoured = "poured"
)

// enter is called by each screen of the office when it is shown: it opens the
// store, finds out whether this device may come in, and then calls next.
func (o *office) enter(ctx app.Context, next func(app.Context)) {
	w := o.w
	w.screen, w.mounted = ctx, true
	o.again = next
	w.open(func(ctx app.Context) {
		if code := codeInAddress(ctx.Page().URL().Fragment); code != "" {
			// Used once; out of the address, so that it is in no history.
			o.code = code
			here := *ctx.Page().URL()
			here.Fragment = ""
			ctx.Page().ReplaceURL(&here)
		}
		if o.paired {
			next(ctx)
			return
		}
		o.ask(func(c context.Context) error {
			d, err := w.yard().Paired(c)
			w.dispatch(func(ctx app.Context) {
				o.looked, o.paired, o.device = true, err == nil && d.Role == "office", d
				if o.paired {
					next(ctx)
				}
			})
			return nil
		}, nil)
	})
}

// ask does something that waits for the yard, off the UI goroutine; then, which
// may be nil, is called when it went well.
func (o *office) ask(call func(context.Context) error, then func(app.Context)) {
	go func() {
		c, stop := context.WithTimeout(context.Background(), time.Minute)
		defer stop()
		err := call(c)
		o.w.dispatch(func(ctx app.Context) {
			if err != nil {
				o.fail(err)
				return
			}
			if then != nil {
				then(ctx)
			}
		})
	}()
}

// fail shows what went wrong; without a key that is taken, signing in is all
// there is to do.
func (o *office) fail(err error) {
	o.busy, o.told = false, ""
	o.problem = yardWords(err)
	if errors.Is(err, replication.ErrUnpaired) {
		if o.paired {
			o.problem = say("The yard no longer lets this browser in: its key was withdrawn. Sign in with a new code.")
		}
		o.paired, o.looked = false, true
	}
}

// get reads JSON from the yard.
func (o *office) get(c context.Context, path string, to any) error {
	answer, err := o.w.yard().Ask(c, replication.Request{Method: "GET", Path: path}, 200)
	if err != nil {
		return err
	}
	if json.Unmarshal(answer.Body, to) != nil {
		return replication.ErrGarbled
	}
	return nil
}

// post sends a form and reads the answer.
func (o *office) post(c context.Context, path string, form, to any) error {
	body, err := json.Marshal(form)
	if err != nil {
		return err
	}
	answer, err := o.w.yard().Ask(c, replication.Request{Method: "POST", Path: path, Body: body, Header: map[string]string{"Content-Type": "application/json"}}, 201)
	if err != nil {
		return err
	}
	if json.Unmarshal(answer.Body, to) != nil {
		return replication.ErrGarbled
	}
	return nil
}

func yardSitePath(id string) string { return "/api/v1/sites/" + url.PathEscape(id) }

// yardDevice is a device as the yard lists it.
type yardDevice struct{ ID, Name, Role, Created, Seen, Withdrawn string }

// readNames learns what the devices are called. A yard that does not say is
// shown with less.
func (o *office) readNames(c context.Context) (map[string]string, []yardDevice, error) {
	var all struct{ Devices []yardDevice }
	if err := o.get(c, "/api/v1/devices", &all); err != nil {
		return nil, nil, err
	}
	names := map[string]string{"yard": say("the yard, bringing versions together")}
	for _, d := range all.Devices {
		names[d.ID] = d.Name
	}
	return names, all.Devices, nil
}

// nameOf is what a device is called.
func (o *office) nameOf(device string) string {
	if name := o.names[device]; name != "" {
		return name
	}
	return say("a device no longer known")
}

// localTime writes a time of the yard or of a phone by this computer's clock.
func localTime(text string) string {
	t, err := time.Parse(time.RFC3339, text)
	if err != nil {
		return text
	}
	t = t.Local()
	return language.Date(t.Format(time.DateOnly)) + t.Format(" 15:04")
}

// changeMark sets a mark or takes it back, if it still stands as it is shown
// here; if not, it shows how it stands.
func (o *office) changeMark(id, name string) {
	lines := o.lines(id)
	if o.marked || len(lines) == 0 {
		return
	}
	site := lines[0]
	o.marked, o.problem, o.told = true, "", ""
	path := yardSitePath(id)
	request := replication.Request{Method: "PUT", Path: path + "/marks/" + name, Header: map[string]string{"If-None-Match": "*"}}
	if m := site.mark(name); m != nil {
		request.Method, request.Header = "DELETE", map[string]string{"If-Match": `"` + m.Tag + `"`}
	}
	go func() {
		c, stop := context.WithTimeout(context.Background(), time.Minute)
		defer stop()
		_, err := o.w.yard().Ask(c, request, 204)
		var now yardSite
		var refused *replication.AnswerError
		read := errors.New("not read")
		if err == nil || errors.As(err, &refused) {
			read = o.get(c, path, &now)
		}
		o.w.dispatch(func(app.Context) {
			o.marked = false
			if err != nil {
				o.fail(err)
			}
			if read == nil {
				for _, line := range o.lines(id) {
					line.Marks = now.Marks
				}
			}
			switch {
			case err != nil:
			case request.Method == "DELETE":
				o.told = say("The mark is taken back.")
			case name == markQuoted:
				o.told = say("Marked as quoted.")
			default:
				o.told = say("Marked as poured.")
			}
		})
	}()
}
