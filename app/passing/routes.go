package passing

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/keeping"
)

// Screens gives page every address of the shop with its screen, and site every address
// of a site, without the site's part of it.
func Screens(w *editing.Site, safety *keeping.Safety, page, site func(screen string, make func() app.Composer)) {
	page("show", func() app.Composer { return newShowScreen(w, true) })
	page("take", func() app.Composer { return newTakeScreen(safety) })
	site("show", func() app.Composer { return newShowScreen(w, false) })
}
