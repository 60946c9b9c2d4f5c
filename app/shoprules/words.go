package shoprules

import (
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/element"
	"pegpour/storage"
)

// words are the shop's words of a quote.
func (s *ratesScreen) words() []app.UI {
	w := s.w
	now := &w.Shop.Settings
	return []app.UI{
		s.word(storage.SettingCurrency, w.Say("Currency"), now.Currency, ""),
	}
}

// word is one of them, with what is said of it.
func (s *ratesScreen) word(setting storage.Setting, name, now, how string) app.UI {
	id := "setting-" + string(setting)
	return element.Box("div", "rate",
		element.Box("div", "rate-line", element.Label(id, name),
			element.Box("div", "rule-value", app.Input().ID(id).Type("text").Attr("autocomplete", "off").Value(now).
				OnChange(func(ctx app.Context, e app.Event) {
					edit, err := storage.SetSetting(s.w.Shop, setting, strings.TrimSpace(wordsOf(e)))
					s.w.CommitShop(ctx, edit, err)
				}, setting), element.Text("span", "unit", ""))),
		app.If(how != "", element.Text("p", "how", how)))
}
