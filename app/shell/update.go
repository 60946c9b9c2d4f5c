package shell

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/element"
	"pegpour/app/language"
)

// Saver saves the edit in progress.
type Saver interface {
	// WaitUntilSaved returns once the edit is safe; an error stops the update and
	// is shown. It is called on a goroutine of its own.
	WaitUntilSaved() error
}

// UpdateNotice is a plain bar that says that a new version is ready and offers
// to change over. It shows nothing until then, and never changes over unasked.
type UpdateNotice struct {
	app.Compo

	Speaker *language.Speaker
	Saver   Saver

	ready  bool
	saving bool
	fault  string
}

// OnMount shows the bar at once when the version was ready before.
func (n *UpdateNotice) OnMount(app.Context) {
	n.ready = UpdateReady()
}

// OnAppUpdate hears from the loader that a version became ready.
func (n *UpdateNotice) OnAppUpdate(app.Context) {
	n.ready = UpdateReady()
}

// Render draws the bar.
func (n *UpdateNotice) Render() app.UI {
	if !n.ready {
		return app.Elem("div").Class("update-notice-none")
	}
	words := n.Speaker.Say("A new version is ready.")
	if n.saving {
		words = n.Speaker.Say("Saving, then changing over.")
	}
	if n.fault != "" {
		words = n.Speaker.SayWith("Not changed over: the edit could not be saved ({0}).", n.fault)
	}
	return app.Elem("aside").Class("update-notice").DataSet("test", "update-notice").Role("status").Body(
		element.Text("span", "", words),
		app.Button().Type("button").DataSet("test", "update-now").
			Disabled(n.saving).Text(n.Speaker.Say("Update now")).OnClick(n.update),
	)
}

func (n *UpdateNotice) update(ctx app.Context, _ app.Event) {
	if n.saving {
		return
	}
	n.saving, n.fault = true, ""
	ctx.Async(func() {
		if err := n.Saver.WaitUntilSaved(); err != nil {
			ctx.Dispatch(func(app.Context) {
				n.saving, n.fault = false, n.Speaker.ErrorWords(err)
			})
			return
		}
		if shell := Object(); shell != nil {
			shell.Call("applyUpdate")
		}
	})
}
