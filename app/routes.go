package app

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/documents"
	"pegpour/app/fieldbook"
	"pegpour/app/keeping"
	"pegpour/app/ui"
)

// Screens ties every address to its screen, but those of the office, which are
// another program's. It is called once, before the program starts.
func (p *Program) Screens() {
	site := func(screen string, make func() app.Composer) {
		app.RouteWithRegexpFunc("^/site/[^/]+/"+screen+"$", make)
	}
	app.RouteFunc("/", func() app.Composer { return newSitesScreen(p.safety) })
	app.RouteFunc("/rules", func() app.Composer { return newRulesScreen(p.site, p.safety, false) })
	app.RouteFunc("/settings", func() app.Composer { return newSettingsScreen(p.site, p.safety) })
	site("measure", func() app.Composer { return newMeasureScreen(p.site) })
	site("set-out", func() app.Composer { return newSetOutScreen(p.site) })
	site("pour", func() app.Composer { return newPourScreen(p.site) })
	site("watch", func() app.Composer { return newWatchScreen(p.site) })
	site("loads", func() app.Composer { return newLoadsScreen(p.site) })
	site("figures", func() app.Composer { return newFiguresScreen(p.site) })
	site("rules", func() app.Composer { return newRulesScreen(p.site, p.safety, true) })
	site("network", func() app.Composer { return fieldbook.NewNetworkScreen(p.site) })
	site("level-run", func() app.Composer { return fieldbook.NewLevelRunScreen(p.site) })
	site("slope", func() app.Composer { return fieldbook.NewSlopeScreen(p.site) })
	site("photos", func() app.Composer { return fieldbook.NewPhotosScreen(p.site) })
	site("overlay", func() app.Composer { return fieldbook.NewOverlayScreen(p.site) })
	site("owner", func() app.Composer { return newOwnerScreen(p.site, p.press) })
	site("pack", func() app.Composer { return documents.NewPackScreen(p.site, p.press) })
	site("pour-day", func() app.Composer { return newPourDayScreen(p.site) })
	site("ways", func() app.Composer { return newWaysScreen(p.site) })
	site("sources", func() app.Composer { return newSourcesScreen(p.site) })
	site("more", func() app.Composer { return newMoreScreen(p.site, p.link) })
	site("past", func() app.Composer { return keeping.NewPastScreen(p.site, p.link) })
	site("versions", func() app.Composer { return keeping.NewVersionsScreen(p.site, p.link) })
	app.RouteFunc("/sync", func() app.Composer { return keeping.NewYardScreen(p.link) })
	app.RouteFunc("/safe", func() app.Composer { return keeping.NewSafeScreen(p.safety) })
	app.RouteWithRegexpFunc("^/.*", func() app.Composer { return ui.NewLostScreen(p.site.Device) })
}
