package app

import (
	"bytes"
	"encoding/csv"
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/plan"
	"pegpour/engine/tables"
)

// packScreen makes the documents for everybody who has to do with the site.
type packScreen struct {
	app.Compo
	w    *workspace
	desk bool // files are saved, not shared

	prices bool
	making string // the pack being made
	left   int    // documents still to come
	made   []paper
	again  bool // the browser wants another tap before it shares
	failed string
}

func newPackScreen() *packScreen { return &packScreen{w: current} }

// OnNav implements app.Navigator.
func (s *packScreen) OnNav(ctx app.Context) { s.w.follow(ctx, nil) }

// OnDismount implements app.Dismounter.
func (s *packScreen) OnDismount() { s.w.unfollow() }

// pack is what one reader gets.
type pack struct {
	id, name, what string
	sheets         []string // readers of the sheets in it
	files          []string // kinds of makeFile and of packFile
}

var packs = []pack{
	{"all", "Everything", "All sheets, drawing, tables and the survey.", []string{"owner", "labourer", "steel", "supplier"}, []string{"drawing", "quantities", "cuts", "survey"}},
	{"owner", "Owner", "One page in plain words, and the picture.", []string{"owner"}, []string{"view"}},
	{"labourer", "Labourer", "Set-out, pegs, sections, pour list and checklist.", []string{"labourer"}, []string{"drawing"}},
	{"steel", "Steel shop", "The leaf with its lengths, posts and track.", []string{"steel"}, []string{"cuts"}},
	{"supplier", "Supplier", "Amounts to deliver, as sheet and table.", []string{"supplier"}, []string{"quantities"}},
}

// Render implements app.Composer.
func (s *packScreen) Render() app.UI {
	w := s.w
	if w.doc == nil {
		return siteFrame(w, "more")
	}
	return siteFrame(w, "more",
		app.H2().Text(say("Documents to hand out")),
		app.P().Class("quiet").Text(say("They are made on this phone, without signal. Each carries the date and the revision of the site.")),
		app.Range(packs).Slice(func(i int) app.UI {
			p := packs[i]
			return app.Div().Class("pack").Body(
				app.Button().Type("button").Class("wide").DataSet("pack", p.id).Disabled(s.making != "").OnClick(func(ctx app.Context, _ app.Event) { s.make(ctx, p) }, p.id).
					Body(app.Span().Class("pack-name").Text(say(p.name)), app.Span().Class("pack-what").Text(say(p.what))),
			)
		}),
		app.Label().Class("check").Body(
			app.Input().Type("checkbox").ID("pack-prices").Checked(s.prices).OnChange(func(app.Context, app.Event) { s.prices = !s.prices }),
			app.Text(say("With prices, for owner and supplier"))),
		s.state(),
		app.A().Class("wide").Href("/site/"+w.doc.ID+"/pour-day").Text(say("Checklist of the pour day")),
	)
}

// state says what is being made, what was made, and offers it once more.
func (s *packScreen) state() app.UI {
	switch {
	case s.failed != "":
		return app.P().Class("error").Role("alert").Text(sayWith("The documents could not be made: {0}", s.failed))
	case s.making != "":
		return app.P().Class("quiet").Role("status").Text(sayCount(s.left, "One document is being made.", "{0} documents are being made."))
	case len(s.made) == 0:
		return app.Text("")
	}
	return app.Section().Class("made").Aria("label", say("Made")).Body(
		app.H2().Text(sayCount(len(s.made), "One file is ready", "{0} files are ready")),
		app.If(s.again, app.P().Text(say("This phone wants one more tap before it shares."))),
		app.If(!s.desk && canShareHere(), app.Button().Type("button").Class("primary").DataSet("do", "share").
			OnClick(func(app.Context, app.Event) { s.share() }).Text(say("Share"))),
		app.Ul().Class("files").Body(app.Range(s.made).Slice(func(i int) app.UI {
			p := s.made[i]
			return app.Li().Body(app.Button().Type("button").Class("wide").DataSet("file", p.name).
				OnClick(func(app.Context, app.Event) { p.save() }, p.name+strconv.Itoa(s.w.designs)).Text(sayWith("Save {0}", p.name)))
		})),
	)
}

func canShareHere() bool {
	return app.IsClient && app.Window().Get("navigator").Get("canShare").Truthy()
}

// make makes all of a pack, then hands it out.
func (s *packScreen) make(ctx app.Context, p pack) {
	w := s.w
	s.making, s.failed, s.again = p.id, "", false
	s.left = len(p.sheets)
	base := fileBase(w.doc.Survey.Site.Name)
	papers := make([]paper, len(p.sheets))
	for _, kind := range p.files {
		f, err := w.packFile(kind)
		if err != nil {
			s.fail(err)
			return
		}
		if f.content != "" {
			papers = append(papers, paperOf(f.name, f.media, f.content))
		}
	}
	for i, reader := range p.sheets {
		o, err := w.orderFor(reader, s.prices)
		if err != nil {
			s.fail(err)
			return
		}
		w.print(o, func(ctx app.Context, pdf app.Value, err error) {
			if s.making != p.id {
				return // another of this pack has failed
			}
			if err != nil {
				s.fail(err)
				return
			}
			papers[i] = paperOf(base+"-"+reader+".pdf", "application/pdf", pdf)
			s.left--
			if s.left > 0 {
				return
			}
			s.making, s.made = "", papers
			s.share()
		})
	}
}

func (s *packScreen) fail(err error) { s.making, s.made, s.failed = "", nil, current.errorWords(err) }

func (s *packScreen) share() {
	s.again = false
	if s.desk {
		for _, p := range s.made {
			p.save()
		}
		return
	}
	s.w.handOut(siteName(s.w.doc.Survey.Site.Name), s.made, func(app.Context) { s.again = true })
}

// packFile makes a file of the kinds that only packs have, or one of makeFile.
func (w *workspace) packFile(kind string) (file, error) {
	base := fileBase(w.doc.Survey.Site.Name)
	switch kind {
	case "view":
		svg, err := ownerPicture(w.plan(), drawing.OwnerOptions{Open: 0.35, Figures: true, Say: say, Write: w.write}, 1200)
		return file{base + "-view.svg", "image/svg+xml", string(svg)}, err
	case "cuts":
		return w.cutFile(base)
	}
	return w.makeFile(kind)
}

// cutFile is the table for the steel shop.
func (w *workspace) cutFile(base string) (file, error) {
	text, err := csvOf(tables.Steel(w.plan()))
	return file{base + "-steel.csv", "text/csv", text}, err
}

// csvOf writes rows as a table that spreadsheets open.
func csvOf(rows [][]string) (string, error) {
	var b bytes.Buffer
	err := csv.NewWriter(&b).WriteAll(rows)
	return b.String(), err
}

// ownerPicture is the owner's view as a file of its own.
func ownerPicture(p *plan.Plan, o drawing.OwnerOptions, width float64) ([]byte, error) {
	scene, err := drawing.OwnerViewScene(p, o)
	if err != nil {
		return nil, err
	}
	view := draw.Phone(width, 0)
	view.Mirror = p.Mirrored()
	if wide := scene.Bounds().Width(); wide > 0 {
		view.Scale = (width - 16) / wide
	}
	return draw.Render(scene, view, draw.Options{Standalone: true})
}
