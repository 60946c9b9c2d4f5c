// Package shell is what the page that loads the program (web/assets/loader.js) knows
// and does: versions, use without signal, the files of the languages, the list of
// sites that is there before the program.
package shell

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"
)

// object is where the loader keeps what it knows, a property of the window.
const object = "pegpourShell"

// Object is what the loader keeps; nil outside a browser and where no loader of
// ours has run.
func Object() app.Value {
	if !app.IsClient {
		return nil
	}
	if shell := app.Window().Get(object); shell.Truthy() {
		return shell
	}
	return nil
}

// OfflineState says whether this copy would start without any signal.
type OfflineState string

const (
	// OfflineUnknown stands until the loader has found out.
	OfflineUnknown OfflineState = ""
	// OfflinePreparing: the files are being put by.
	OfflinePreparing OfflineState = "preparing"
	// OfflineReady: everything needed is kept on this device.
	OfflineReady OfflineState = "ready"
	// OfflineImpossible: this browser, or a page opened without https, cannot
	// keep the app. It works only as long as its server is in reach.
	OfflineImpossible OfflineState = "impossible"
	// OfflineFailed: keeping the files did not work this time, for want of
	// room or of signal. It is tried again at the next start.
	OfflineFailed OfflineState = "failed"
)

// Zooms lets fingers enlarge and move the drawing in an element of the page, which then
// gets the event "zoomed" for each.
func Zooms(paper app.Value) {
	if shell := Object(); shell != nil && shell.Get("zooms").Truthy() { // a loader before this one has none
		shell.Call("zooms", paper)
	}
}

// Redraw makes changes of engine/draw in a picture of the page, where its loader can.
func Redraw(picture app.Value, changes string) bool {
	shell := Object()
	can := shell != nil && shell.Get("redraw").Truthy() // a loader before this one cannot
	if can && changes != "" {
		shell.Call("redraw", picture, changes)
	}
	return can
}

// Remind keeps a reminder of a name for a moment, in milliseconds since 1970, or
// forgets it where that is 0: words are what it says then on any screen, with no
// signal, seen the button that ends it, and address where it leads.
func Remind(name string, at int64, words, seen, address string) {
	if shell := Object(); shell != nil {
		shell.Call("remind", name, float64(at), words, seen, address)
	}
}

// RemindsAt is the moment of a reminder, 0 where there is none.
func RemindsAt(name string) int64 {
	if shell := Object(); shell != nil {
		return int64(shell.Call("remindsAt", name).Float())
	}
	return 0
}

// Version returns the version of the running copy, "" outside a browser.
func Version() string {
	return shellText("version")
}

// Offline returns whether this copy would start without signal. A change is
// told by the event of OnAppUpdate.
func Offline() OfflineState {
	return OfflineState(shellText("offline"))
}

// UpdateReady reports whether a newer version lies complete on this device,
// waiting to be asked for. A component hears of the change by implementing
// OnAppUpdate(app.Context).
func UpdateReady() bool {
	shell := Object()
	return shell != nil && shell.Get("updateReady").Truthy()
}

func shellText(property string) string {
	shell := Object()
	if shell == nil || !shell.Get(property).Truthy() {
		return ""
	}
	return shell.Get(property).String()
}

// Elsewhere reports whether the address of the page is one of another program than
// the one that runs. Loading the page anew brings that one.
func Elsewhere() bool {
	shell := Object()
	return shell != nil && shell.Get("elsewhere").Truthy() && shell.Call("elsewhere").Bool()
}

// LoadAnew loads the page anew.
func LoadAnew() { app.Window().Get("location").Call("reload") }

// KeepList has the page remember the list of sites as it stands there, for the
// moment before the program runs at the next start.
func KeepList() {
	if shell := Object(); shell != nil {
		shell.Call("keepList")
	}
}

// ForgetList has the page forget that list: something of it is there no more.
func ForgetList() {
	if shell := Object(); shell != nil && shell.Get("forgetList").Truthy() {
		shell.Call("forgetList")
	}
}
