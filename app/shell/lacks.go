package shell

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/language"
)

// Lacks says in words what this browser cannot do and what stands in for it,
// the gravest first. It is empty where nothing is missing, and outside a
// browser.
func Lacks(l *language.Speaker) []string {
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
	if w := offlineWords(l); w != "" {
		words = append(words, w)
	}
	// The object of a transaction has this property where the browser heeds it.
	if !has("IDBTransaction", "prototype") || !window.Get("Reflect").
		Call("has", window.Get("IDBTransaction").Get("prototype"), "durability").Bool() {
		words = append(words, l.Say(
			"This browser does not say when a change has reached the disk: a loss of power may take the last few seconds."))
	}
	if !has("BroadcastChannel") {
		words = append(words, l.Say("Pegpour open in two tabs does not keep them alike here: use one."))
	}
	if !has("navigator", "share") || !has("navigator", "canShare") {
		words = append(words, l.Say("Files cannot be handed to other apps from here: they are saved instead."))
	}
	if !has("DeviceOrientationEvent") {
		words = append(words, l.Say("There is no tilt sensor to read here: type the slope."))
	}
	return words
}

// offlineWords says why this copy would not start without signal, "" where it
// would, or where that is not known yet.
func offlineWords(l *language.Speaker) string {
	switch Offline() {
	case OfflineImpossible:
		return l.Say("This browser does not keep Pegpour for use without signal: it works only while its server is in reach.")
	case OfflineFailed:
		return l.Say("Pegpour could not be kept for use without signal this time. It is tried again when it is next opened with signal.")
	}
	return ""
}

// OfflineNotice stands on the list of sites where Pegpour would not start
// without signal: better said in the yard than found out on the drive.
type OfflineNotice struct {
	app.Compo

	Speaker *language.Speaker
}

// OnAppUpdate implements app.AppUpdater: the loader has found out.
func (n *OfflineNotice) OnAppUpdate(app.Context) {}

// Render implements app.Composer.
func (n *OfflineNotice) Render() app.UI {
	words := offlineWords(n.Speaker)
	if words == "" {
		return app.Elem("div").Class("no-notice")
	}
	return app.Elem("p").Class("bar").ID("not-kept").Role("status").Text(words)
}
