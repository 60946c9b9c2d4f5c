package quoting

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/documents"
	"pegpour/app/editing"
)

// Screens gives site every address of the quote of a site, without the site's part of
// it, with its screen.
func Screens(w *editing.Site, press *documents.Press, site func(screen string, make func() app.Composer)) {
	site("quote", func() app.Composer { return newQuoteScreen(w, press) })
}
