package documents

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/ui"
)

// packScreen makes the documents for everybody who has to do with the site.
type packScreen struct {
	app.Compo
	w     *editing.Site
	maker *Maker
}

// NewPackScreen returns the screen.
func NewPackScreen(w *editing.Site, press *Press) app.Composer {
	return &packScreen{w: w, maker: NewMaker(w, press)}
}

// OnNav implements app.Navigator.
func (s *packScreen) OnNav(ctx app.Context) { s.w.Follow(ctx, nil) }

// OnDismount implements app.Dismounter.
func (s *packScreen) OnDismount() { s.w.Leave() }

// Render implements app.Composer.
func (s *packScreen) Render() app.UI {
	w := s.w
	if w.Doc == nil {
		return ui.SiteFrame(w, "more")
	}
	return ui.SiteFrame(w, "more",
		element.Text("h2", "", w.Say("Documents to hand out")),
		element.Text("p", "quiet",
			w.Say("They are made on this phone, without signal. Each carries the date and the revision of the site.")),
		app.Range(packs).Slice(func(i int) app.UI { return s.maker.Button(packs[i]) }),
		element.Box("label", "check",
			app.Input().Type("checkbox").ID("pack-prices").Checked(s.maker.Prices).
				OnChange(func(app.Context, app.Event) { s.maker.Prices = !s.maker.Prices }),
			app.Text(w.Say("With prices, for owner and supplier"))),
		element.Link("wide", "/site/"+w.Doc.ID+"/pour-day", w.Say("Checklist of the pour day")),
	)
}

// Button makes a pack at a tap, and says there how far it is.
func (m *Maker) Button(p Pack) app.UI {
	return element.Box("div", "pack",
		app.Button().Type("button").Class("wide").DataSet("pack", p.ID).Disabled(m.Making != "").
			OnClick(func(app.Context, app.Event) { m.Make(p) }, p.ID).
			Body(element.Text("span", "pack-name", m.w.Say(p.Name)), element.Text("span", "pack-what", m.w.Say(p.What))),
		app.If(m.Asked == p.ID, m.State()),
	)
}
