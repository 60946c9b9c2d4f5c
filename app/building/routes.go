package building

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/documents"
	"pegpour/app/editing"
)

// Screens gives site every address of the building of a site, without the site's part
// of it, with its screen.
func Screens(w *editing.Site, press *documents.Press, site func(screen string, make func() app.Composer)) {
	site("build/boards", func() app.Composer { return newBoardsScreen(w) })
	site("build/pegs", func() app.Composer { return newPegsScreen(w) })
	site("pour-day", func() app.Composer { return newPourDayScreen(w) })
	site("build/forms", func() app.Composer { return newFormsScreen(w) })
	site("build/pour", func() app.Composer { return newPourScreen(w) })
	site("build/poured", func() app.Composer { return newPouredScreen(w) })
	site("build/hand-over", func() app.Composer { return newHandOverScreen(w, press) })
}
