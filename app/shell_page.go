package app

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"
)

// Routes ties every address to its screen. It is called once, before the
// program starts.
func Routes() {
	app.RouteWithRegexp("^/.*", &barePage{})
}

// barePage stands in for the screens until they exist. It shows what the shell
// knows, and one field by which the tests see that an edit survives an update.
type barePage struct {
	app.Compo

	address string
	offline OfflineState
	note    string
}

const bareNoteKey = "bare-page-note"

func (p *barePage) OnMount(ctx app.Context) {
	ctx.SessionStorage().Get(bareNoteKey, &p.note)
	p.offline = Offline()
	BeforeUpdate = func() error { return ctx.SessionStorage().Set(bareNoteKey, p.note) }
}

func (p *barePage) OnNav(ctx app.Context) { p.address = ctx.Page().URL().Path }

func (p *barePage) OnAppUpdate(app.Context) { p.offline = Offline() }

func (p *barePage) Render() app.UI {
	offline := "Being put by for use without signal."
	switch p.offline {
	case OfflineReady:
		offline = "Kept on this device: starts without signal."
	case OfflineImpossible:
		offline = "This browser cannot keep it: works only with signal."
	case OfflineFailed:
		offline = "Could not be kept on this device this time."
	}
	return app.Main().Class("bare-page").Body(
		&UpdateNotice{},
		app.H1().Text("Pegpour"),
		app.P().Body(app.Text("Version "), app.Span().DataSet("test", "version").Text(Version())),
		app.P().Body(app.Text("Address "), app.Span().DataSet("test", "address").Text(p.address)),
		app.P().DataSet("test", "offline").Text(offline),
		app.Label().For("note").Text("Note"),
		app.Input().ID("note").Type("text").DataSet("test", "note").Value(p.note).
			OnInput(func(ctx app.Context, _ app.Event) { p.note = ctx.JSSrc().Get("value").String() }),
	)
}
