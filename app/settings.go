package app

import (
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/keeping"
	"pegpour/app/shell"
	"pegpour/app/ui"
	"pegpour/engine/survey"
	"pegpour/storage"
)

// settingsScreen chooses how this phone speaks, looks and lies in the hand.
type settingsScreen struct {
	app.Compo
	w    *editing.Site
	list *keeping.Safety
}

func newSettingsScreen(w *editing.Site, list *keeping.Safety) *settingsScreen {
	return &settingsScreen{w: w, list: list}
}

// OnNav implements app.Navigator.
func (s *settingsScreen) OnNav(ctx app.Context) { s.list.Show(ctx) }

// OnDismount implements app.Dismounter.
func (s *settingsScreen) OnDismount() { s.w.Leave() }

// Render implements app.Composer.
func (s *settingsScreen) Render() app.UI {
	w := s.w
	if w.Shop == nil {
		return ui.PlainFrame(w.Device, w.Say("Settings"), "/", ui.Opening(w.Device))
	}
	return ui.PlainFrame(w.Device, w.Say("Settings"), "/", settingsPanel(w),
		element.Link("wide", "/rules", w.Say("Shop rules")),
		element.Link("wide", "/safe", w.Say("Keep safe: back-up and restore")))
}

// settingsPanel chooses units, colours, thumb and currency.
func settingsPanel(w *editing.Site) app.UI {
	choice := func(name string, setting storage.Setting, now string, options ...survey.Option) app.UI {
		id := "setting-" + string(setting)
		return element.Box("div", "setting",
			element.Label(id, w.Say(name)),
			app.Select().ID(id).OnChange(func(ctx app.Context, e app.Event) {
				edit, err := storage.SetSetting(w.Shop, setting, e.Get("target").Get("value").String())
				w.CommitShop(ctx, edit, err)
			}, setting).Body(app.Range(options).Slice(func(i int) app.UI {
				return app.Option().Value(options[i].Value).Selected(now == options[i].Value || now == "" && i == 0).
					Text(w.Say(options[i].Words))
			})),
		)
	}
	words := func(name string, setting storage.Setting, now string) app.UI {
		id := "setting-" + string(setting)
		return element.Box("div", "setting",
			element.Label(id, w.Say(name)),
			app.Input().ID(id).Type("text").Value(now).OnChange(func(ctx app.Context, e app.Event) {
				edit, err := storage.SetSetting(w.Shop, setting, strings.TrimSpace(e.Get("target").Get("value").String()))
				w.CommitShop(ctx, edit, err)
			}, setting),
		)
	}
	s := w.Shop.Settings
	return element.Box("section", "settings",
		element.Text("h2", "", w.Say("This phone")),
		choice("Lengths in", storage.SettingUnits, s.Units, survey.Option{Value: storage.UnitsMetric, Words: "Millimetres"},
			survey.Option{Value: storage.UnitsFeet, Words: "Feet and inches"}),
		languageChoice(w),
		choice("Colours", storage.SettingTheme, s.Theme,
			survey.Option{Value: storage.ThemeSystem, Words: "As the phone has it"},
			survey.Option{Value: storage.ThemeLight, Words: "Day"}, survey.Option{Value: storage.ThemeSun, Words: "Full sun"},
			survey.Option{Value: storage.ThemeDark, Words: "Night"}),
		choice("Thumb", storage.SettingHand, s.Hand, survey.Option{Value: survey.HandRight, Words: "Right"},
			survey.Option{Value: survey.HandLeft, Words: "Left"}),
		element.Text("p", "quiet", w.Say("A page that is pulled down at its top comes down to the thumb.")),
		choice("Keys", storage.SettingKeys, s.Keys, survey.Option{Value: storage.KeysFour, Words: "Four in a row"},
			survey.Option{Value: storage.KeysLarge, Words: "Large, for gloves"}),
		speakingWords(w),
		words("Currency", storage.SettingCurrency, s.Currency),
		words("Who measures", storage.SettingCrew, s.Crew),
	)
}

// speakingWords offers what the browser must fetch once to understand spoken numbers by
// itself. The page shows of it what holds, or nothing: see voice.js.
func speakingWords(w *editing.Site) app.UI {
	return element.Box("div", "speaking",
		app.Button().Type("button").Class("wide speaking-load").DataSet("do", "load-speech").
			Text(w.Say("Load the words for speaking numbers on this phone")),
		element.Status("p", "speaking-loading", "status", w.Say("The words for speaking are being loaded.")),
		element.Status("p", "error speaking-failed", "status",
			w.Say("The words for speaking could not be loaded: try again with signal.")),
		element.Text("p", "speaking-ready",
			w.Say("Numbers can be spoken: a microphone stands by the keys. What is said stays on this phone.")),
	)
}

// languageChoice chooses the language, each by its own name.
func languageChoice(w *editing.Site) app.UI {
	now := w.Shop.Settings.Language
	all := shell.Languages()
	return element.Box("div", "setting",
		element.Label("setting-language", w.Say("Language")),
		app.Select().ID("setting-language").OnChange(func(ctx app.Context, e app.Event) {
			edit, err := storage.SetSetting(w.Shop, storage.SettingLanguage, e.Get("target").Get("value").String())
			w.CommitShop(ctx, edit, err)
		}).Body(
			app.Option().Value("").Selected(now == "").Text(w.Say("As the phone has it")),
			app.Range(all).Slice(func(i int) app.UI {
				return app.Option().Value(all[i].Code).Lang(all[i].Code).Selected(now == all[i].Code).Text(all[i].Name)
			})),
		app.If(w.Missing(),
			element.Status("p", "error", "alert", w.Say("The words of this language could not be fetched: choose it again with signal."))),
	)
}
