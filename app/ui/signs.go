package ui

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/language"
)

// Sign draws a small line sign of our own.
func Sign(path string) app.UI {
	return app.Raw(`<svg class="sign" viewBox="0 0 24 24" aria-hidden="true" focusable="false"><path d="` + path +
		`"/></svg>`)
}

// The signs that are used more than once.
const (
	SignBack  = "M14 5l-7 7 7 7"
	SignUndo  = "M9 7L5 11l4 4M5 11h9a5 5 0 010 10h-3"
	SignRedo  = "M15 7l4 4-4 4M19 11h-9a5 5 0 000 10h3"
	SignAdd   = "M12 5v14M5 12h14"
	SignPlus  = "M12 6v12M6 12h12"
	SignMinus = "M6 12h12"
	SignLeft  = "M14 6l-6 6 6 6"
	SignRight = "M10 6l6 6-6 6"
	SignUp    = "M6 14l6-6 6 6"
	SignDown  = "M6 10l6 6 6-6"
	SignDone  = "M5 12l5 5 9-10"
	signWaits = "M12 5a7 7 0 100 14 7 7 0 000-14"
	// A box that something goes into, which it can be taken out of again.
	SignPutAway = "M3 4h18v5H3zM5 9v11h14V9M12 11v6M9 14l3 3 3-3"
	SignSave    = "M12 4v11M7 11l5 5 5-5M5 20h14"
	// Three sliders.
	SignSettings = "M4 7h6M14 7h6M12 5v4M4 12h10M18 12h2M16 10v4M4 17h2M10 17h10M8 15v4"
	SignErase    = "M9 6h11v12H9l-5-6zM12 10l5 4M17 10l-5 4"
)

// IconButton is a button with a sign and a spoken name.
func IconButton(l *language.Speaker, path, name string, enabled bool, do func(app.Context)) app.UI {
	return app.Button().Type("button").Class("icon").Aria("label", l.Say(name)).Title(l.Say(name)).Disabled(!enabled).
		OnClick(func(ctx app.Context, _ app.Event) { do(ctx) }, name).Body(Sign(path))
}
