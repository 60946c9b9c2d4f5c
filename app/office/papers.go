package office

import (
	"context"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/documents"
	"pegpour/app/element"
	"pegpour/app/fieldbook"
	"pegpour/app/window"
	"pegpour/storage/replication"
)

// documents makes what is handed out, from the version on the screen.
func (s *officeSiteScreen) documents() app.UI {
	if s.pending() {
		return element.Region("section", "", s.o.w.Say("Documents"),
			element.Text("h2", "", s.o.w.Say("Documents")),
			element.Text("p", "", s.o.w.Say("Send the correction first, or take it back: documents are made of what stands in the yard.")))
	}
	p, packs := s.papers, documents.Packs()
	return element.Region("section", "office-papers", s.o.w.Say("Documents"),
		element.Text("h2", "", s.o.w.Say("Documents")),
		element.Text("p", "quiet",
			s.o.w.Say("The same as the phone makes of this version, to the last byte. Print opens the sheets ready to print.")),
		app.Range(packs).Slice(func(i int) app.UI {
			k := packs[i]
			return element.Box("div", "office-pack",
				element.Text("span", "pack-name", s.o.w.Say(k.Name)),
				element.Text("span", "pack-what", s.o.w.Say(k.What)),
				app.If(k.Reader() != "", app.Button().Type("button").Class("switch").DataSet("print", k.ID).
					Disabled(p.Making != "").
					Aria("label", s.o.w.Say("Print")+", "+s.o.w.Say(k.Name)).Text(s.o.w.Say("Print")).
					OnClick(func(ctx app.Context, _ app.Event) { p.PrintSheet(k.Reader()) }, k.ID, s.reads)),
				app.Button().Type("button").Class("switch").DataSet("pack", k.ID).Disabled(p.Making != "").
					Aria("label", s.o.w.Say("Save")+", "+s.o.w.Say(k.Name)).Text(s.o.w.Say("Save")).
					OnClick(func(ctx app.Context, _ app.Event) { p.Make(k) }, k.ID, s.reads))
		}),
		element.Box("label", "check",
			app.Input().Type("checkbox").ID("pack-prices").Checked(p.Prices).
				OnChange(func(app.Context, app.Event) { p.Prices = !p.Prices }, s.reads),
			app.Text(s.o.w.Say("With prices, for owner and supplier"))),
		p.State(),
		app.If(!s.older(),
			element.Doing("wide", "export",
				s.o.w.Say("Save the site with its photos, to restore on a phone"), func(app.Context, app.Event) { s.export() })),
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
	return element.Region("section", "", w.Say("Photos and notes"),
		element.Text("h2", "", w.Say("Photos and notes")),
		element.Box("div", "photos", app.Range(w.Doc.Photos).Slice(func(i int) app.UI {
			p := &w.Doc.Photos[i]
			address, read := s.images[p.ID]
			words := p.Note
			if words == "" {
				words = w.Say("Photo without a note")
			}
			return app.Elem("figure").Class("office-photo").DataSet("photo", p.ID).Body(
				app.If(address != "", app.Img().Src(address).Alt(words)),
				app.If(read && address == "", element.Text("p", "quiet", w.Say("This photo has not come from the phone yet."))),
				element.Box("figcaption", "", app.Text(words),
					app.If(p.Taken != "", element.Text("span", "quiet", " "+w.LocalTime(p.Taken))),
					app.If(p.Origin != nil, element.Text("p", "quiet", fieldbook.OriginWords(w.Speaker, p)))))
		})),
		element.Box("ul", "list", app.Range(w.Doc.Notes).Slice(func(i int) app.UI {
			n := &w.Doc.Notes[i]
			return element.Box("li", "", app.Text(n.Text), element.Text("span", "quiet", " "+w.LocalTime(n.Written)))
		})),
	)
}
