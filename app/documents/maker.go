package documents

import (
	"strconv"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/papers/order"
	"pegpour/app/ui"
	"pegpour/engine/refusal"
)

// Maker makes packs of a site, one at a time, and says how far it is.
type Maker struct {
	Prices bool   // on the sheets for owner and supplier
	Making string // the pack being made; "" while none is
	Asked  string // the pack that was asked for last

	w     *editing.Site
	press *Press
	desk  bool // files are saved, not shared

	left   int // documents still to come
	made   []Paper
	title  string // of the site they are of
	again  bool   // the browser wants another tap before it shares
	failed string
}

// NewMaker returns a Maker that shares what it makes, where the browser can.
func NewMaker(w *editing.Site, press *Press) *Maker { return &Maker{w: w, press: press} }

// NewDeskMaker returns a Maker that saves what it makes.
func NewDeskMaker(w *editing.Site, press *Press) *Maker {
	return &Maker{w: w, press: press, desk: true}
}

// State says what is being made, what was made, and offers it once more.
func (m *Maker) State() app.UI {
	switch {
	case m.failed != "":
		return element.Status("p", "error", "alert", m.w.SayWith("The documents could not be made: {0}", m.failed))
	case m.Making != "":
		return element.Status("p", "quiet", "status", m.w.SayCount(m.left, "One document is being made.", "{0} documents are being made."))
	case len(m.made) == 0:
		return app.Text("")
	}
	return element.Region("section", "made", m.w.Say("Made"),
		element.Text("h2", "", m.w.SayCount(len(m.made), "One file is ready", "{0} files are ready")),
		app.If(m.again, element.Text("p", "", m.w.Say("This phone wants one more tap before it shares."))),
		app.If(!m.desk && canShareHere(), app.Button().Type("button").Class("primary").DataSet("do", "share").
			OnClick(func(app.Context, app.Event) { m.share() }).Text(m.w.Say("Share"))),
		element.Box("ul", "files", app.Range(m.made).Slice(func(i int) app.UI {
			p := m.made[i]
			return element.Box("li", "", app.Button().Type("button").Class("wide").DataSet("file", p.Name).
				OnClick(func(app.Context, app.Event) { p.Save() }, p.Name+strconv.Itoa(m.w.Designs())).
				Text(m.w.SayWith("Save {0}", p.Name)))
		})),
	)
}

// Make makes all of a pack, then hands it out.
func (m *Maker) Make(p Pack) {
	w := m.w
	m.Making, m.Asked, m.failed, m.again = p.ID, p.ID, "", false
	base := FileBase(w.Doc.Survey.Site.Name)
	m.title = ui.SiteName(w.Speaker, w.Doc.Survey.Site.Name)
	printed := p.ordered(base)
	m.left = len(printed)
	papers := make([]Paper, len(printed))
	for _, kind := range p.files {
		if kind == order.Cuts || kind == order.Exchange {
			continue
		}
		f, err := file{}, error(nil)
		if kind == "view" {
			f, err = viewFile(w)
		} else {
			f, err = makeFile(w, kind)
		}
		if err != nil {
			m.fail(err)
			return
		}
		if f.content == "" {
			continue
		}
		papers = append(papers, NewPaper(f.name, f.media, f.content))
		if kind == "view" { // the owner's: whoever gets it opens a picture
			m.left++
			at := len(papers) - 1
			Rasterise(f.content, func(png app.Value) {
				w.Dispatch(func(app.Context) {
					if png != nil && png.Truthy() {
						papers[at] = NewPaper(f.pictureName(), "image/png", png)
					}
					m.oneMade(p, papers)
				})
			})
		}
	}
	for i, f := range printed {
		o, err := OrderFor(w, f.content, m.Prices)
		if err != nil {
			m.fail(err)
			return
		}
		m.press.Print(o, func(pdf app.Value, err error) {
			if m.Making != p.ID {
				return // another of this pack has failed
			}
			if err != nil {
				m.fail(err)
				return
			}
			papers[i] = NewPaper(f.name, f.media, pdf)
			m.oneMade(p, papers)
		})
	}
}

// oneMade notes that one more document of a pack is made, and hands the pack out with
// the last.
func (m *Maker) oneMade(p Pack, papers []Paper) {
	if m.left--; m.left > 0 || m.Making != p.ID {
		return
	}
	m.Making, m.made = "", papers
	m.share()
}

func (m *Maker) fail(err error) { m.Making, m.made, m.failed = "", nil, m.w.ErrorWords(err) }

func (m *Maker) share() {
	m.again = false
	if m.desk {
		for _, p := range m.made {
			p.Save()
		}
		return
	}
	HandOut(m.w.Turns, m.title, m.made, func(app.Context) { m.again = true })
}

// PrintSheet opens the sheets of one reader in a window of their own and asks
// the browser to print them. The window is opened at the press itself, since a
// browser opens none later.
func (m *Maker) PrintSheet(reader string) {
	w := m.w
	o, err := OrderFor(w, reader, m.Prices)
	if err != nil {
		m.fail(err)
		return
	}
	base, title := FileBase(w.Doc.Survey.Site.Name), ui.SiteName(w.Speaker, w.Doc.Survey.Site.Name)
	sheet := app.Window().Call("open", "about:blank", "_blank")
	m.Making, m.failed, m.left = "print", "", 1
	m.press.Print(o, func(pdf app.Value, err error) {
		m.Making = ""
		if err != nil {
			if sheet.Truthy() {
				sheet.Call("close")
			}
			m.fail(err)
			return
		}
		p := NewPaper(base+"-"+reader+".pdf", "application/pdf", pdf)
		m.made, m.title = []Paper{p}, title
		if !sheet.Truthy() {
			m.fail(refusal.Error("the browser opened no window; save it instead, or allow windows of this page"))
			m.made = []Paper{p}
			return
		}
		sheet.Get("location").Call("replace", p.Address())
		go func() {
			// The viewer of the browser says nowhere that it is ready.
			time.Sleep(printAfter)
			w.Dispatch(func(app.Context) { printWindow(sheet) })
		}()
	})
}

// printAfter is how long a browser gets to show a document before it is asked
// to print it.
const printAfter = time.Second

// printWindow asks a window to print; where the browser keeps it out of reach,
// the person does so there.
func printWindow(window app.Value) {
	defer func() { _ = recover() }()
	window.Call("focus")
	window.Call("print")
}
