package editing

import (
	"context"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/storage"
)

// UseShop takes the shop's rules and settings as the store has them.
func (d *Device) UseShop(l storage.LoadedShop) {
	d.Shop, d.ShopRevision = l.Shop, l.Revision
	d.showSettings()
}

// CommitShop makes an edit of the shop at once on the screen and in the store.
func (d *Device) CommitShop(ctx app.Context, e storage.Edit, err error) {
	if err == nil && !e.Empty() {
		var next *storage.Shop
		if next, err = storage.ApplyShop(d.Shop, e); err == nil {
			d.Shop = next
			d.showSettings()
			d.store(storage.ShopID, func() (storage.Edit, error) { return e, nil }, func(c context.Context) error {
				shop, err := d.Store.CommitShop(c, e)
				if err == nil {
					d.Dispatch(func(app.Context) { d.ShopRevision = shop.Revision })
				}
				return err
			})
			if d.shopChanged != nil {
				d.shopChanged()
			}
		}
	}
	if err != nil {
		d.Fail(err)
	}
	d.Refresh(ctx)
}

// ShopElsewhere is called when something was changed, perhaps in another tab or by the
// yard: where that is the shop, its rules are taken over. An edit under way goes first.
func (d *Device) ShopElsewhere(id string) {
	if id != storage.ShopID {
		return
	}
	d.Dispatch(func(app.Context) {
		d.BackgroundOf(id, func(c context.Context) error {
			shop, err := d.Store.Shop(c)
			d.Dispatch(func(ctx app.Context) {
				if err != nil || d.WaitingOf(id) > 1 || shop.Revision == d.ShopRevision {
					return
				}
				d.UseShop(shop)
				if d.shopChanged != nil {
					d.shopChanged()
				}
				d.Refresh(ctx)
			})
			return nil
		})
	})
}

// showSettings puts the shop's settings onto the page and into what is said.
func (d *Device) showSettings() {
	settings := d.Shop.Settings
	d.Units, d.Currency = settings.Units, settings.Currency
	if app.IsClient {
		root := app.Window().Get("document").Get("documentElement")
		theme := ""
		switch settings.Theme {
		case storage.ThemeLight:
			theme = "day"
		case storage.ThemeDark:
			theme = "night"
		case storage.ThemeSun:
			theme = "sun"
		}
		root.Call("setAttribute", "data-theme", theme)
		root.Call("setAttribute", "data-thumb", settings.Hand)
		root.Call("setAttribute", "data-keys", settings.Keys)
	}
	d.Speak(settings.Language)
}
