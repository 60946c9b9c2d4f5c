package office

import (
	"context"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/documents"
	"pegpour/app/fieldbook"
	"pegpour/app/window"
	"pegpour/storage/replication"
)

// documents makes what is handed out, from the version on the screen.
func (s *officeSiteScreen) documents() app.UI {
	if s.pending() {
		return app.Section().Aria("label", s.o.w.Say("Documents")).Body(
			app.H2().Text(s.o.w.Say("Documents")),
			app.P().Text(s.o.w.Say("Send the correction first, or take it back: documents are made of what stands in the yard.")))
	}
	p, packs := s.papers, documents.Packs()
	return app.Section().Class("office-papers").Aria("label", s.o.w.Say("Documents")).Body(
		app.H2().Text(s.o.w.Say("Documents")),
		app.P().Class("quiet").Text(
			s.o.w.Say("The same as the phone makes of this version, to the last byte. Print opens the sheets ready to print.")),
		app.Range(packs).Slice(func(i int) app.UI {
			k := packs[i]
			return app.Div().Class("office-pack").Body(
				app.Span().Class("pack-name").Text(s.o.w.Say(k.Name)),
				app.Span().Class("pack-what").Text(s.o.w.Say(k.What)),
				app.If(k.Reader() != "", app.Button().Type("button").Class("switch").DataSet("print", k.ID).
					Disabled(p.Making != "").
					Aria("label", s.o.w.Say("Print")+", "+s.o.w.Say(k.Name)).Text(s.o.w.Say("Print")).
					OnClick(func(ctx app.Context, _ app.Event) { p.PrintSheet(k.Reader()) }, k.ID, s.reads)),
				app.Button().Type("button").Class("switch").DataSet("pack", k.ID).Disabled(p.Making != "").
					Aria("label", s.o.w.Say("Save")+", "+s.o.w.Say(k.Name)).Text(s.o.w.Say("Save")).
					OnClick(func(ctx app.Context, _ app.Event) { p.Make(k) }, k.ID, s.reads))
		}),
		app.Label().Class("check").Body(
			app.Input().Type("checkbox").ID("pack-prices").Checked(p.Prices).
				OnChange(func(app.Context, app.Event) { p.Prices = !p.Prices }, s.reads),
			app.Text(s.o.w.Say("With prices, for owner and supplier"))),
		p.State(),
		app.If(!s.older(), app.Button().Type("button").Class("wide").DataSet("do", "export").
			Text(s.o.w.Say("Save the site with its photos, to restore on a phone")).
			OnClick(func(app.Context, app.Event) { s.export() })),
	)
}

// export saves a back-up of the site as the yard makes it.
func (s *officeSiteScreen) export() {
	var body []byte
	path, base := yardSitePath(s.id)+"/export", documents.FileBase(s.site.Doc.Survey.Site.Name)
	s.o.ask(func(c context.Context) error {
		answer, err := s.o.link.Client().Ask(c, replication.Request{Method: "GET", Path: path}, 200)
		body = answer.Body
		return err
	}, func(app.Context) {
		documents.NewPaper(base+".pegpour-backup", "application/x-ndjson",
			window.Bytes(body)).Save()
	})
}

// readPhotos reads the photos of the version on the screen, one by one.
func (s *officeSiteScreen) readPhotos() {
	for _, p := range s.site.Doc.Photos {
		if _, there := s.images[p.ID]; there {
			continue
		}
		var answer replication.Response
		id, site := p.ID, s.site
		s.o.ask(func(c context.Context) error {
			var err error
			answer, err = s.o.link.Client().Ask(c, replication.Request{Method: "GET", Path: "/api/v1/photos/" + id}, 200, 404)
			return err
		}, func(app.Context) {
			if s.gone || s.site != site {
				return
			}
			s.images[id] = ""
			if answer.Status == 200 {
				s.images[id] = window.AddressOf(window.Blob(answer.Header["content-type"], window.Bytes(answer.Body)))
			}
			s.readPhotos()
		})
		return
	}
}

// photos shows the pictures and notes of the site.
func (s *officeSiteScreen) photos() app.UI {
	w := s.site
	if len(w.Doc.Photos)+len(w.Doc.Notes) == 0 {
		return app.Text("")
	}
	return app.Section().Aria("label", w.Say("Photos and notes")).Body(
		app.H2().Text(w.Say("Photos and notes")),
		app.Div().Class("photos").Body(app.Range(w.Doc.Photos).Slice(func(i int) app.UI {
			p := &w.Doc.Photos[i]
			address, read := s.images[p.ID]
			words := p.Note
			if words == "" {
				words = w.Say("Photo without a note")
			}
			return app.Figure().Class("office-photo").DataSet("photo", p.ID).Body(
				app.If(address != "", app.Img().Src(address).Alt(words)),
				app.If(read && address == "", app.P().Class("quiet").Text(w.Say("This photo has not come from the phone yet."))),
				app.FigCaption().Body(app.Text(words),
					app.If(p.Taken != "", app.Span().Class("quiet").Text(" "+w.LocalTime(p.Taken))),
					app.If(p.Origin != nil, app.P().Class("quiet").Text(fieldbook.OriginWords(w.Speaker, p)))))
		})),
		app.Ul().Class("list").Body(app.Range(w.Doc.Notes).Slice(func(i int) app.UI {
			n := &w.Doc.Notes[i]
			return app.Li().Body(app.Text(n.Text), app.Span().Class("quiet").Text(" "+w.LocalTime(n.Written)))
		})),
	)
}
