package app

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/building"
	"pegpour/app/documents"
	"pegpour/app/editing"
	"pegpour/app/fieldbook"
	"pegpour/app/keeping"
	"pegpour/app/ui"
	"pegpour/app/yardlink"
)

// site ties an address of a site to its screen.
func site(screen string, make func() app.Composer) {
	app.RouteWithRegexpFunc("^/site/[^/]+/"+screen+"$", make)
}

// Screens ties every address to its screen, but those of the office and of building,
// which are other programs'. It is called once, before the program starts.
func (p *Program) Screens() {
	app.RouteFunc("/", func() app.Composer { return newSitesScreen(p.safety) })
	app.RouteFunc("/settings", func() app.Composer { return newSettingsScreen(p.site, p.safety) })
	site("measure", func() app.Composer { return newMeasureScreen(p.site) })
	site("set-out", func() app.Composer { return newSetOutScreen(p.site) })
	site("pour", func() app.Composer { return newPourScreen(p.site) })
	site("watch", func() app.Composer { return newWatchScreen(p.site) })
	site("loads", func() app.Composer { return newLoadsScreen(p.site) })
	site("figures", func() app.Composer { return newFiguresScreen(p.site) })
	site("network", func() app.Composer { return fieldbook.NewNetworkScreen(p.site) })
	site("level-run", func() app.Composer { return fieldbook.NewLevelRunScreen(p.site) })
	site("slope", func() app.Composer { return fieldbook.NewSlopeScreen(p.site) })
	site("ways", func() app.Composer { return newWaysScreen(p.site) })
	site("more", func() app.Composer { return newMoreScreen(p.site, p.link) })
	site("versions", func() app.Composer { return keeping.NewVersionsScreen(p.site, p.link) })
	app.RouteFunc("/sync", func() app.Composer { return keeping.NewYardScreen(p.link) })
	app.RouteFunc("/safe", func() app.Composer { return keeping.NewSafeScreen(p.safety) })
	p.lost()
}

// page ties an address of the shop to its screen.
func page(screen string, make func() app.Composer) {
	at := "/" + screen
	app.RouteFunc(at, make)
}

// Tie gives its arguments every address of a room with its screen: first those of the
// shop, then those of a site.
type Tie = func(screen string, make func() app.Composer)

// BuildingScreens does the same for the program of building, which also has what is
// seldom looked up where one measures, what is shown and handed out, and photos. quotes, rules
// and passing are the screens of rooms that the phone's program does not import.
func (p *Program) BuildingScreens(quotes func(*editing.Site, *documents.Press, Tie),
	rules func(*editing.Site, *yardlink.Link, Tie, Tie), passing func(*editing.Site, *keeping.Safety, Tie, Tie)) {
	site("sources", func() app.Composer { return newSourcesScreen(p.site) })
	site("owner", func() app.Composer { return newOwnerScreen(p.site, p.press) })
	site("pack", func() app.Composer { return documents.NewPackScreen(p.site, p.press) })
	site("photos", func() app.Composer { return fieldbook.NewPhotosScreen(p.site) })
	site("overlay", func() app.Composer { return fieldbook.NewOverlayScreen(p.site) })
	site("past", func() app.Composer { return keeping.NewPastScreen(p.site, p.link) })
	page("learned", func() app.Composer { return building.NewLearnedScreen(p.site) })
	building.Screens(p.site, p.press, site)
	quotes(p.site, p.press, site)
	rules(p.site, p.link, page, site)
	passing(p.site, p.safety, page, site)
	p.lost()
}

// lost answers at every other address.
func (p *Program) lost() {
	app.RouteWithRegexpFunc("^/.*", func() app.Composer { return ui.NewLostScreen(p.site.Device) })
}
