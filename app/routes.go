package app

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"
)

// Screens ties every address to its screen. It is called once, before the
// program starts.
func Screens() {
	site := func(screen string, make func() app.Composer) {
		app.RouteWithRegexpFunc("^/site/[^/]+/"+screen+"$", make)
	}
	app.RouteFunc("/", func() app.Composer { return newSitesScreen() })
	app.RouteFunc("/rules", func() app.Composer { return newRulesScreen(false) })
	site("measure", func() app.Composer { return newMeasureScreen() })
	site("set-out", func() app.Composer { return newSetOutScreen() })
	site("pour", func() app.Composer { return newPourScreen() })
	site("watch", func() app.Composer { return newWatchScreen() })
	site("figures", func() app.Composer { return newFiguresScreen() })
	site("rules", func() app.Composer { return newRulesScreen(true) })
	site("network", func() app.Composer { return newNetworkScreen() })
	site("level-run", func() app.Composer { return newLevelRunScreen() })
	site("slope", func() app.Composer { return newSlopeScreen() })
	site("photos", func() app.Composer { return newPhotosScreen() })
	site("overlay", func() app.Composer { return newOverlayScreen() })
	site("owner", func() app.Composer { return newOwnerScreen() })
	site("pack", func() app.Composer { return newPackScreen() })
	site("pour-day", func() app.Composer { return newPourDayScreen() })
	site("ways", func() app.Composer { return newWaysScreen() })
	site("sources", func() app.Composer { return newSourcesScreen() })
	site("more", func() app.Composer { return newMoreScreen() })
	site("versions", func() app.Composer { return newVersionsScreen() })
	app.RouteFunc("/sync", func() app.Composer { return newYardScreen() })
	app.RouteFunc("/safe", func() app.Composer { return newSafeScreen() })
	app.RouteFunc("/office", func() app.Composer { return newOfficeListScreen() })
	app.RouteFunc("/office/devices", func() app.Composer { return newOfficeDevicesScreen() })
	app.RouteWithRegexpFunc("^/office/site/[^/]+$", func() app.Composer { return newOfficeSiteScreen() })
	app.RouteWithRegexpFunc("^/.*", func() app.Composer { return &lostScreen{} })
}

// lostScreen stands at an address that leads nowhere.
type lostScreen struct{ app.Compo }

// Render implements app.Composer.
func (l *lostScreen) Render() app.UI {
	return plainFrame(say("Nothing here"), "/", app.P().Class("empty").Text(say("This address leads nowhere. Your sites are one tap back.")))
}
