package app

import (
	"context"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/refusal"
	"pegpour/storage/replication"
)

// documents makes what is handed out, from the version on the screen.
func (s *officeSiteScreen) documents() app.UI {
	if s.pending() {
		return app.Section().Aria("label", say("Documents")).Body(
			app.H2().Text(say("Documents")),
			app.P().Text(say("Send the correction first, or take it back: documents are made of what stands in the yard.")))
	}
	p := &s.papers
	return app.Section().Class("office-papers").Aria("label", say("Documents")).Body(
		app.H2().Text(say("Documents")),
		app.P().Class("quiet").Text(say("The same as the phone makes of this version, to the last byte. Print opens the sheets ready to print.")),
		app.Range(packs).Slice(func(i int) app.UI {
			k := packs[i]
			return app.Div().Class("office-pack").Body(
				app.Span().Class("pack-name").Text(say(k.name)),
				app.Span().Class("pack-what").Text(say(k.what)),
				app.If(len(k.sheets) == 1, app.Button().Type("button").Class("switch").DataSet("print", k.id).Disabled(p.making != "").
					Aria("label", say("Print")+", "+say(k.name)).Text(say("Print")).
					OnClick(func(ctx app.Context, _ app.Event) { p.printSheet(k.sheets[0]) }, k.id, s.reads)),
				app.Button().Type("button").Class("switch").DataSet("pack", k.id).Disabled(p.making != "").
					Aria("label", say("Save")+", "+say(k.name)).Text(say("Save")).
					OnClick(func(ctx app.Context, _ app.Event) { p.make(ctx, k) }, k.id, s.reads))
		}),
		app.Label().Class("check").Body(
			app.Input().Type("checkbox").ID("pack-prices").Checked(p.prices).OnChange(func(app.Context, app.Event) { p.prices = !p.prices }, s.reads),
			app.Text(say("With prices, for owner and supplier"))),
		p.state(),
		app.If(!s.older(), app.Button().Type("button").Class("wide").DataSet("do", "export").Text(say("Save the site with its photos, to restore on a phone")).
			OnClick(func(app.Context, app.Event) { s.export() })),
	)
}

// export saves a back-up of the site as the yard makes it.
func (s *officeSiteScreen) export() {
	var body []byte
	s.o.ask(func(c context.Context) error {
		answer, err := s.o.w.yard().Ask(c, replication.Request{Method: "GET", Path: yardSitePath(s.id) + "/export"}, 200)
		body = answer.Body
		return err
	}, func(app.Context) {
		paperOf(fileBase(s.site.doc.Survey.Site.Name)+".pegpour-backup", "application/x-ndjson", bytesOf(body)).save()
	})
}

// bytesOf puts bytes into the page.
func bytesOf(data []byte) app.Value {
	bytes := app.Window().Get("Uint8Array").New(len(data))
	app.CopyBytesToJS(bytes, data)
	return bytes
}

// printSheet opens the sheets of one reader in a window of their own and asks
// the browser to print them. The window is opened at the press itself, since a
// browser opens none later.
func (s *packScreen) printSheet(reader string) {
	w := s.w
	o, err := w.orderFor(reader, s.prices)
	if err != nil {
		s.fail(err)
		return
	}
	window := app.Window().Call("open", "about:blank", "_blank")
	s.making, s.failed, s.left = "print", "", 1
	w.print(o, func(_ app.Context, pdf app.Value, err error) {
		s.making = ""
		if err != nil {
			if window.Truthy() {
				window.Call("close")
			}
			s.fail(err)
			return
		}
		p := paperOf(fileBase(w.doc.Survey.Site.Name)+"-"+reader+".pdf", "application/pdf", pdf)
		s.made = []paper{p}
		if !window.Truthy() {
			s.fail(refusal.Error("the browser opened no window; save it instead, or allow windows of this page"))
			s.made = []paper{p}
			return
		}
		window.Get("location").Call("replace", app.Window().Get("URL").Call("createObjectURL", p.file))
		go func() {
			// The viewer of the browser says nowhere that it is ready.
			time.Sleep(printAfter)
			w.dispatch(func(app.Context) { printWindow(window) })
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

// readPhotos reads the photos of the version on the screen, one by one.
func (s *officeSiteScreen) readPhotos() {
	for _, p := range s.site.doc.Photos {
		if _, there := s.images[p.ID]; there {
			continue
		}
		var answer replication.Response
		id, site := p.ID, s.site
		s.o.ask(func(c context.Context) error {
			var err error
			answer, err = s.o.w.yard().Ask(c, replication.Request{Method: "GET", Path: "/api/v1/photos/" + id}, 200, 404)
			return err
		}, func(app.Context) {
			if s.gone || s.site != site {
				return
			}
			s.images[id] = ""
			if answer.Status == 200 {
				blob := app.Window().Get("Blob").New(arrayOf(bytesOf(answer.Body)), map[string]any{"type": answer.Header["content-type"]})
				s.images[id] = app.Window().Get("URL").Call("createObjectURL", blob).String()
			}
			s.readPhotos()
		})
		return
	}
}

// photos shows the pictures and notes of the site.
func (s *officeSiteScreen) photos() app.UI {
	w := s.site
	if len(w.doc.Photos)+len(w.doc.Notes) == 0 {
		return app.Text("")
	}
	return app.Section().Aria("label", say("Photos and notes")).Body(
		app.H2().Text(say("Photos and notes")),
		app.Div().Class("photos").Body(app.Range(w.doc.Photos).Slice(func(i int) app.UI {
			p := &w.doc.Photos[i]
			address, read := s.images[p.ID]
			words := p.Note
			if words == "" {
				words = say("Photo without a note")
			}
			return app.Figure().Class("office-photo").DataSet("photo", p.ID).Body(
				app.If(address != "", app.Img().Src(address).Alt(words)),
				app.If(read && address == "", app.P().Class("quiet").Text(say("This photo has not come from the phone yet."))),
				app.FigCaption().Body(app.Text(words), app.If(p.Taken != "", app.Span().Class("quiet").Text(" "+localTime(p.Taken))), app.If(p.Origin != nil, app.P().Class("quiet").Text(originWords(p)))))
		})),
		app.Ul().Class("list").Body(app.Range(w.doc.Notes).Slice(func(i int) app.UI {
			n := &w.doc.Notes[i]
			return app.Li().Body(app.Text(n.Text), app.Span().Class("quiet").Text(" "+localTime(n.Written)))
		})),
	)
}
