//go:build js && wasm

// The least program that the shell can start: a page that shows what the shell
// knows and has one field, by which tests see that an edit survives a change of
// version. It measures, too, what the framework alone weighs.
package main

import (
	"pegpour/app/language"
	"pegpour/app/shell"

	goapp "github.com/maxence-charriere/go-app/v9/pkg/app"
)

func main() {
	goapp.RouteWithRegexp("^/.*", &page{})
	goapp.RunWhenOnBrowser()
}

type page struct {
	goapp.Compo

	address string
	offline shell.OfflineState
	before  string // the note as it was before the last change of version
	note    string

	speaker language.Speaker
	session goapp.BrowserStorage
}

// noteKey names the note in the tab's own storage, where a reload finds it.
const noteKey = "note"

func (p *page) OnMount(ctx goapp.Context) {
	p.offline = shell.Offline()
	ctx.SessionStorage().Get(noteKey, &p.before)
	p.note = p.before
	p.session = ctx.SessionStorage()
}

// WaitUntilSaved implements shell.Saver.
func (p *page) WaitUntilSaved() error { return p.session.Set(noteKey, p.note) }

func (p *page) OnNav(ctx goapp.Context) { p.address = ctx.Page().URL().Path }

func (p *page) OnAppUpdate(goapp.Context) { p.offline = shell.Offline() }

func (p *page) Render() goapp.UI {
	return goapp.Main().Body(
		&shell.UpdateNotice{Speaker: &p.speaker, Saver: p},
		goapp.H1().Text("Bare page"),
		goapp.P().DataSet("test", "version").Text(shell.Version()),
		goapp.P().DataSet("test", "address").Text(p.address),
		goapp.P().DataSet("test", "offline").Text(string(p.offline)),
		goapp.Label().For("note").Text("Note"),
		// Not Value(p.note): what is typed between an event and the next drawing
		// of the page would be overwritten by what the event had read.
		goapp.Input().ID("note").Type("text").DataSet("test", "note").Value(p.before).
			OnInput(func(ctx goapp.Context, _ goapp.Event) { p.note = ctx.JSSrc().Get("value").String() }),
		goapp.Button().Type("button").DataSet("test", "crash").Text("Stop the program").
			OnClick(func(goapp.Context, goapp.Event) { panic("stopped on purpose") }),
	)
}
