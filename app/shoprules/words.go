package shoprules

import (
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/element"
	"pegpour/storage"
)

// How much of the shop's words a paper has room for.
const (
	mostSign  = 8
	mostName  = 60
	mostTerms = 1200
)

// words are the shop's words of a quote: its currency, its name and what it says under a
// quote.
func (s *ratesScreen) words() []app.UI {
	w := s.w
	now := &w.Shop.Settings
	keep := func(setting storage.Setting) app.EventHandler {
		return func(ctx app.Context, e app.Event) {
			edit, err := storage.SetSetting(w.Shop, setting, strings.TrimSpace(wordsOf(e)))
			w.CommitShop(ctx, edit, err)
		}
	}
	id := func(setting storage.Setting) string { return "setting-" + string(setting) }
	row := func(setting storage.Setting, name string, field app.UI) app.UI {
		return element.Box("div", "rate", element.Label(id(setting), name), field)
	}
	currency := app.Input().ID(id(storage.SettingCurrency)).Type("text").Attr("autocomplete", "off").MaxLength(mostSign).
		Value(now.Currency).OnChange(keep(storage.SettingCurrency), storage.SettingCurrency)
	firm := app.Input().ID(id(storage.SettingFirm)).Class("words").Type("text").Attr("autocomplete", "organization").
		MaxLength(mostName).Value(now.Firm).OnChange(keep(storage.SettingFirm), storage.SettingFirm)
	terms := app.Textarea().ID(id(storage.SettingTerms)).Class("words").Rows(4).MaxLength(mostTerms).Text(now.Terms).
		OnChange(keep(storage.SettingTerms), storage.SettingTerms)
	return []app.UI{
		element.Box("div", "rate", element.Box("div", "rate-line",
			element.Label(id(storage.SettingCurrency), w.Say("Currency")), element.Box("div", "rule-value", currency))),
		row(storage.SettingFirm, w.Say("Name of the shop, on papers"), firm),
		row(storage.SettingTerms, w.Say("What stands under a quote: payment, what is not in it"), terms),
	}
}
