package office

import (
	"context"
	"encoding/json"
	"errors"
	"net/url"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/documents"
	"pegpour/app/editing"
	"pegpour/app/yardlink"
	"pegpour/storage/replication"
)

// Office is what the screens of the office share: they show what stands in the
// yard, not what is on this device. It is touched on the goroutine of the screens only.
type Office struct {
	w     *editing.Device // this one: its store with the key to the yard, its shop rules
	link  *yardlink.Link
	press *documents.Press

	looked bool // whether this device has a key is known
	paired bool
	reads  bool // it looks at every site and changes nothing
	// provider is the name of that at which people sign in, "" where there is none.
	provider string
	device   replication.Device
	code     string // came with the address
	busy     bool   // signing in
	problem  string // what went wrong last
	told     string // what was done last
	again    func(app.Context)

	names  map[string]string // devices of the yard by identity
	list   officeList
	line   *yardSite // of the site on the screen
	marked bool      // a mark is being changed
}

// New returns the office of a page.
func New(d *editing.Device, link *yardlink.Link, press *documents.Press) *Office {
	return &Office{w: d, link: link, press: press, names: map[string]string{}}
}

// lines are all lines on the page of one site.
func (o *Office) lines(id string) []*yardSite {
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
	Crews                               []string
	Far                                 string // name of its step; "" from a server of before

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
func (o *Office) enter(ctx app.Context, then func(app.Context)) {
	w := o.w
	w.Enter(ctx)
	next := func(ctx app.Context) {
		then(ctx)
		ctx.Defer(func(app.Context) { // on a phone the screens stand in a line that scrolls
			if here := app.Window().GetElementByID("office-here"); here.Truthy() {
				here.Call("scrollIntoView", map[string]any{"block": "nearest", "inline": "center"})
			}
		})
	}
	o.again = next
	w.WithStore(func(ctx app.Context) {
		if code := yardlink.CodeInAddress(ctx.Page().URL().Fragment); code != "" {
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
			d, err := o.link.Client().Paired(c)
			w.Dispatch(func(ctx app.Context) {
				o.looked = true
				o.admit(d, err)
				if o.paired {
					next(ctx)
					return
				}
				o.findProvider()
			})
			return nil
		}, nil)
	})
}

// admit notes whether this device may come in, as the yard said when it was paired.
func (o *Office) admit(d replication.Device, err error) {
	o.reads = err == nil && d.Role == "reader"
	o.paired, o.device = o.reads || err == nil && d.Role == "office", d
}

// findProvider asks whether people sign in at a provider of identities. A yard that does
// not say has none.
func (o *Office) findProvider() {
	var says struct{ Name string }
	go func() {
		c, stop := context.WithTimeout(context.Background(), time.Minute)
		defer stop()
		if o.link.Client().Look(c, "/api/v1/sign-in", &says) == nil {
			o.w.Dispatch(func(app.Context) { o.provider = says.Name })
		}
	}()
}

// ask does something that waits for the yard, off the goroutine of the screens; then, which
// may be nil, is called when it went well.
func (o *Office) ask(call func(context.Context) error, then func(app.Context)) {
	go func() {
		c, stop := context.WithTimeout(context.Background(), time.Minute)
		defer stop()
		err := call(c)
		o.w.Dispatch(func(ctx app.Context) {
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
func (o *Office) fail(err error) {
	o.busy, o.told = false, ""
	o.problem = yardlink.ErrorWords(o.w.Speaker, err)
	if errors.Is(err, replication.ErrUnpaired) {
		if o.paired {
			o.problem = o.w.Say("The yard no longer lets this browser in: its key was withdrawn. Sign in with a new code.")
		}
		o.paired, o.looked = false, true
	}
}

// get reads JSON from the yard.
func (o *Office) get(c context.Context, path string, to any) error {
	answer, err := o.link.Client().Ask(c, replication.Request{Method: "GET", Path: path}, 200)
	if err != nil {
		return err
	}
	if json.Unmarshal(answer.Body, to) != nil {
		return replication.ErrGarbled
	}
	return nil
}

// send sends a form, nil for none, and wants the status given.
func (o *Office) send(c context.Context, method, path string, form any, status int) (replication.Response, error) {
	r := replication.Request{Method: method, Path: path}
	if form != nil {
		body, err := json.Marshal(form)
		if err != nil {
			return replication.Response{}, err
		}
		r.Body, r.Header = body, map[string]string{"Content-Type": "application/json"}
	}
	return o.link.Client().Ask(c, r, status)
}

// post sends a form and reads the answer.
func (o *Office) post(c context.Context, path string, form, to any) error {
	answer, err := o.send(c, "POST", path, form, 201)
	if err == nil && json.Unmarshal(answer.Body, to) != nil {
		err = replication.ErrGarbled
	}
	return err
}

func yardSitePath(id string) string { return "/api/v1/sites/" + url.PathEscape(id) }

// yardDevice is a device as the yard lists it.
type yardDevice struct {
	ID, Name, Role, Created, Seen, Withdrawn, Ends, By, Crew string
	Scope                                                    []string
}

// readNames learns what the devices are called. A yard that does not say is
// shown with less.
func (o *Office) readNames(c context.Context) (map[string]string, []yardDevice, error) {
	var all struct{ Devices []yardDevice }
	if err := o.get(c, "/api/v1/devices", &all); err != nil {
		return nil, nil, err
	}
	names := map[string]string{"yard": o.w.Say("the yard, bringing versions together")}
	for _, d := range all.Devices {
		names[d.ID] = d.Name
	}
	return names, all.Devices, nil
}

// nameOf is what a device is called.
func (o *Office) nameOf(device string) string {
	if name := o.names[device]; name != "" {
		return name
	}
	return o.w.Say("a withdrawn device")
}

// changeMark sets a mark or takes it back, if it still stands as it is shown
// here; if not, it shows how it stands.
func (o *Office) changeMark(id, name string) {
	lines := o.lines(id)
	if o.marked || len(lines) == 0 {
		return
	}
	site := lines[0]
	o.marked, o.problem, o.told = true, "", ""
	path := yardSitePath(id)
	request := replication.Request{Method: "PUT", Path: path + "/marks/" + name,
		Header: map[string]string{"If-None-Match": "*"}}
	if m := site.mark(name); m != nil {
		request.Method, request.Header = "DELETE", map[string]string{"If-Match": `"` + m.Tag + `"`}
	}
	go func() {
		c, stop := context.WithTimeout(context.Background(), time.Minute)
		defer stop()
		_, err := o.link.Client().Ask(c, request, 204)
		var now yardSite
		var refused *replication.AnswerError
		read := errors.New("not read")
		if err == nil || errors.As(err, &refused) {
			read = o.get(c, path, &now)
		}
		o.w.Dispatch(func(app.Context) {
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
				o.told = o.w.Say("The mark is taken back.")
			case name == markQuoted:
				o.told = o.w.Say("Marked as quoted.")
			default:
				o.told = o.w.Say("Marked as poured.")
			}
		})
	}()
}
