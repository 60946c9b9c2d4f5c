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
		app.Range(packs).Slice(func(i int) app.UI {
			p := packs[i]
			return element.Box("div", "pack",
				app.Button().Type("button").Class("wide").DataSet("pack", p.ID).Disabled(s.maker.Making != "").
					OnClick(func(ctx app.Context, _ app.Event) { s.maker.Make(p) }, p.ID).
					Body(element.Text("span", "pack-name", w.Say(p.Name)), element.Text("span", "pack-what", w.Say(p.What))),
				app.If(s.maker.Asked == p.ID, s.maker.State()),
			)
		}),
		element.Box("label", "check",
			app.Input().Type("checkbox").ID("pack-prices").Checked(s.maker.Prices).
				OnChange(func(app.Context, app.Event) { s.maker.Prices = !s.maker.Prices }),
			app.Text(w.Say("With prices, for owner and supplier"))),
		element.Link("wide", "/site/"+w.Doc.ID+"/pour-day", w.Say("Checklist of the pour day")),
	)
}
