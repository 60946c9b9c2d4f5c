package app

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"
)

// lacks says in words what this browser cannot do and what stands in for it,
// the gravest first. It is empty where nothing is missing, and outside a
// browser.
func lacks() []string {
	if !app.IsClient {
		return nil
	}
	window := app.Window()
	has := func(path ...string) bool {
		v := window.Get(path[0])
		for _, name := range path[1:] {
			if !v.Truthy() {
				return false
			}
			v = v.Get(name)
		}
		return v.Truthy()
	}
	var words []string
	if w := offlineWords(); w != "" {
		words = append(words, w)
	}
	// The object of a transaction has this property where the browser heeds it.
	if !has("IDBTransaction", "prototype") || !window.Get("Reflect").Call("has", window.Get("IDBTransaction").Get("prototype"), "durability").Bool() {
		words = append(words, say("This browser does not say when a change has reached the disk: a loss of power may take the last few seconds."))
	}
	if !has("BroadcastChannel") {
		words = append(words, say("Pegpour open in two tabs does not keep them alike here: use one."))
	}
	if !has("navigator", "share") || !has("navigator", "canShare") {
		words = append(words, say("Files cannot be handed to other apps from here: they are saved instead."))
	}
	if !has("DeviceOrientationEvent") {
		words = append(words, say("There is no tilt sensor to read here: type the slope."))
	}
	return words
}

// offlineWords says why this copy would not start without signal, "" where it
// would, or where that is not known yet.
func offlineWords() string {
	switch Offline() {
	case OfflineImpossible:
		return say("This browser does not keep Pegpour for use without signal: it works only while its server is in reach.")
	case OfflineFailed:
		return say("Pegpour could not be kept for use without signal this time. It is tried again when it is next opened with signal.")
	}
	return ""
}

// offlineNotice stands on the list of sites where Pegpour would not start
// without signal: better said in the yard than found out on the drive.
type offlineNotice struct{ app.Compo }

// OnAppUpdate implements app.AppUpdater: the loader has found out.
func (n *offlineNotice) OnAppUpdate(app.Context) {}

// Render implements app.Composer.
func (n *offlineNotice) Render() app.UI {
	words := offlineWords()
	if words == "" {
		return app.Div().Class("no-notice")
	}
	return app.P().Class("bar").ID("not-kept").Role("status").Text(words)
}

// lacking lists what this browser cannot do.
func (s *safeScreen) lacking() app.UI {
	words := lacks()
	if len(words) == 0 {
		return app.Text("")
	}
	return app.Section().Class("safe").ID("lacks").Aria("label", say("What this browser cannot do")).Body(
		app.H2().Text(say("What this browser cannot do")),
		app.Ul().Class("list").Body(app.Range(words).Slice(func(i int) app.UI { return app.Li().Text(words[i]) })),
	)
}
