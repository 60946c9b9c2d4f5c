package office

import (
	"context"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/launch"
	"pegpour/app/ui"
	"pegpour/storage"
)

// OnGround returns the office of a page that shows nothing else.
func OnGround(g *launch.Ground) *Office {
	start := g.Device.Opened
	g.Device.Opened = func() {
		g.Device.Store.Watch(g.Device.ShopElsewhere)
		start()
	}
	g.Device.Prepare = func(c context.Context, store storage.Store) error {
		// Not waited for: Firefox asks the person, who may let the question stand.
		go store.Persist(context.WithoutCancel(c))
		return nil
	}
	return New(g.Device, g.Link, g.Press)
}

// Screens ties every address of the office to its screen. It is called once, before
// the program starts.
func (o *Office) Screens() {
	app.RouteFunc("/office", func() app.Composer { return NewListScreen(o) })
	app.RouteFunc("/office/devices", func() app.Composer { return NewDevicesScreen(o) })
	app.RouteFunc("/office/people", func() app.Composer { return NewUsersScreen(o) })
	app.RouteFunc("/office/rules", func() app.Composer { return NewRulesScreen(o) })
	app.RouteFunc("/office/health", func() app.Composer { return NewHealthScreen(o) })
	app.RouteFunc("/office/deleted", func() app.Composer { return NewDeletedScreen(o) })
	app.RouteWithRegexpFunc("^/office/site/[^/]+$", func() app.Composer { return NewSiteScreen(o) })
	app.RouteWithRegexpFunc("^/.*", func() app.Composer { return ui.NewLostScreen(o.w) })
}
