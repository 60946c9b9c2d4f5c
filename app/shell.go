package app

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"
)

// The page that loads the program (web/assets/loader.js) keeps what it knows
// about versions and about use without signal in one object of the window.
const shellObject = "pegpourShell"

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
	if !app.IsClient {
		return false
	}
	shell := app.Window().Get(shellObject)
	return shell.Truthy() && shell.Get("updateReady").Truthy()
}

func shellText(property string) string {
	if !app.IsClient {
		return ""
	}
	shell := app.Window().Get(shellObject)
	if !shell.Truthy() || !shell.Get(property).Truthy() {
		return ""
	}
	return shell.Get(property).String()
}
