package ui

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/shell"
)

// lostScreen stands at an address that no screen of this program has: one that
// leads nowhere, or for a moment one of the other program, which the page is then
// loaded anew for.
type lostScreen struct {
	app.Compo
	device *editing.Device
	leaves bool // the other program comes
	fault  string
}

// NewLostScreen returns the screen.
func NewLostScreen(d *editing.Device) app.Composer {
	return &lostScreen{device: d, leaves: shell.Elsewhere()}
}

// OnNav implements app.Navigator.
func (l *lostScreen) OnNav(ctx app.Context) {
	d := l.device
	d.Enter(ctx)
	if l.leaves = shell.Elsewhere(); !l.leaves {
		return
	}
	go func() {
		if err := d.WaitUntilSaved(); err != nil {
			d.Dispatch(func(app.Context) { l.fault = d.ErrorWords(err) })
			return
		}
		shell.LoadAnew()
	}()
}

// OnDismount implements app.Dismounter.
func (l *lostScreen) OnDismount() { l.device.Leave() }

// Render implements app.Composer.
func (l *lostScreen) Render() app.UI {
	d := l.device
	switch {
	case l.fault != "":
		return PlainFrame(d, d.Say("Pegpour"), "/", element.Status("p", "error", "alert", l.fault))
	case l.leaves:
		return PlainFrame(d, d.Say("Pegpour"), "/", Opening(d))
	}
	return PlainFrame(d, d.Say("Nothing here"), "/",
		element.Known("p", "lost", "empty", "", d.Say("This address leads nowhere. Your sites are one tap back.")))
}
