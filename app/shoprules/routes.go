package shoprules

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/yardlink"
)

// Screens gives page every address of the shop with its screen, and site every address
// of a site, without the site's part of it.
func Screens(w *editing.Site, link *yardlink.Link, page, site func(screen string, make func() app.Composer)) {
	page("rules", func() app.Composer { return newRulesScreen(w, link, false) })
	page("rates", func() app.Composer { return newRatesScreen(w, link, false) })
	site("rules", func() app.Composer { return newRulesScreen(w, link, true) })
	site("rates", func() app.Composer { return newRatesScreen(w, link, true) })
}
