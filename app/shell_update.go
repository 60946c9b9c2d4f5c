package app

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"
)

// BeforeUpdate saves the edit in progress. The screens set it. It is called on
// a goroutine of its own, may wait for the store, and returns once the edit is
// safe; an error stops the update and is shown. It may be nil.
var BeforeUpdate func() error

// UpdateNotice is a plain bar that says that a new version is ready and offers
// to change over. It shows nothing until then, and never changes over unasked.
type UpdateNotice struct {
	app.Compo

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
		return app.Div().Class("update-notice-none")
	}
	words := say("A new version is ready.")
	if n.saving {
		words = say("Saving, then changing over.")
	}
	if n.fault != "" {
		words = sayWith("Not changed over: the edit could not be saved ({0}).", n.fault)
	}
	return app.Aside().Class("update-notice").DataSet("test", "update-notice").Role("status").Body(
		app.Span().Text(words),
		app.Button().Type("button").DataSet("test", "update-now").
			Disabled(n.saving).Text(say("Update now")).OnClick(n.update),
	)
}

func (n *UpdateNotice) update(ctx app.Context, _ app.Event) {
	if n.saving {
		return
	}
	n.saving, n.fault = true, ""
	ctx.Async(func() {
		if BeforeUpdate != nil {
			if err := BeforeUpdate(); err != nil {
				ctx.Dispatch(func(app.Context) {
					n.saving, n.fault = false, current.errorWords(err)
				})
				return
			}
		}
		if shell := app.Window().Get(shellObject); shell.Truthy() {
			shell.Call("applyUpdate")
		}
	})
}
