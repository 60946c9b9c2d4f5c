package app

import (
	"context"
	"math"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
	"pegpour/engine/units"
	"pegpour/storage"
)

// ruleScale is how many engine units one unit on screen is, and its sign.
func (w *workspace) ruleScale(r practice.Rule) (float64, string) {
	switch r.Dimension {
	case text.Volume:
		if r.High <= 1e9 {
			return 1e6, "L"
		}
		return 1e9, "m³"
	case text.AngleOf:
		return math.Pi / 180, "°"
	case text.Mass:
		return 1, "kg"
	case text.MassPerArea:
		return 1, "kg/m²"
	case text.MassPerLength:
		return 1, "kg/m"
	case text.Force:
		return 1, "N"
	case text.Pressure:
		return 1, "Pa"
	case text.Stress:
		if r.High < 1 {
			return 1e-3, "kPa"
		}
		return 1, "MPa"
	case text.Grade, text.Fraction:
		return 0.01, "%"
	case text.Money:
		return 1, w.shop.Settings.Currency
	}
	return 1, ""
}

func (w *workspace) ruleUnit(r practice.Rule) string {
	if r.Dimension == text.Length {
		if w.feet() {
			return "ft in"
		}
		return "mm"
	}
	_, unit := w.ruleScale(r)
	return unit
}

func (w *workspace) ruleText(r practice.Rule, v float64) string {
	if r.Dimension == text.Length {
		if w.feet() {
			return w.length(v, false)
		}
		return plainNumber(v, 1)
	}
	scale, _ := w.ruleScale(r)
	return plainNumber(v/scale, 3)
}

// plainNumber writes a number with no more decimals than it needs.
func plainNumber(v float64, most int) string {
	text := units.Decimal(v, most)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return language.Number(text)
}

// ruleValue is the rule in force; own says that it was set here.
func (w *workspace) ruleValue(r practice.Rule, site bool) (v float64, own bool) {
	if site {
		_, own = w.doc.Practice[r.Key]
		return r.Of(w.practice), own
	}
	if w.shop == nil {
		return r.Default, false
	}
	if v, own = w.shop.Rules[r.Key]; own {
		return v, true
	}
	return r.Default, false
}

// ruleBase is what a rule goes back to.
func (w *workspace) ruleBase(r practice.Rule, site bool) float64 {
	if site {
		v, _ := w.ruleValue(r, false)
		return v
	}
	return r.Default
}

// setRule reads and keeps a rule; it returns what is wrong with it.
func (w *workspace) setRule(ctx app.Context, r practice.Rule, text string, site bool) string {
	v, err := w.parseRule(r, text)
	if err == "" && r.Check(v) != nil {
		err = sayWith("Read as {0}; allowed is {1} – {2}.", w.ruleText(r, v)+" "+w.ruleUnit(r), w.ruleText(r, r.Low), w.ruleText(r, r.High))
	}
	if err != "" {
		return err
	}
	if site {
		e, problem := storage.SetRule(w.doc, r.Key, v, text)
		w.commit(ctx, e, problem)
		return ""
	}
	e, problem := storage.SetShopRule(w.shop, r.Key, v, text)
	w.commitShop(ctx, e, problem)
	return ""
}

func (w *workspace) parseRule(r practice.Rule, words string) (float64, string) {
	if r.Dimension == text.Length {
		v, err := units.Parse(words, w.unit())
		if err != nil {
			return 0, w.misreadWords(err, w.lengthExample())
		}
		return v, ""
	}
	v, err := strconv.ParseFloat(strings.ReplaceAll(strings.TrimSpace(words), ",", "."), 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, say("Not read: a number was expected.")
	}
	scale, _ := w.ruleScale(r)
	return v * scale, ""
}

func (w *workspace) clearRule(ctx app.Context, r practice.Rule, site bool) {
	if site {
		e, err := storage.ClearRule(w.doc, r.Key)
		w.commit(ctx, e, err)
		return
	}
	e, err := storage.ClearShopRule(w.shop, r.Key)
	w.commitShop(ctx, e, err)
}

// commitShop makes an edit of the shop at once on the screen and in the store.
func (w *workspace) commitShop(ctx app.Context, e storage.Edit, err error) {
	if err == nil && !e.Empty() {
		var next *storage.Shop
		if next, err = storage.ApplyShop(w.shop, e); err == nil {
			w.shop = next
			w.dress()
			w.background(func(c context.Context) error {
				shop, err := w.store.CommitShop(c, e)
				if err == nil {
					w.dispatch(func(app.Context) { w.shopRevision = shop.Revision })
				}
				return err
			})
			if w.doc != nil {
				w.design()
			}
		}
	}
	if err != nil {
		w.unsaved = storeWords(err)
	}
	w.refresh(ctx)
}

// dress puts the shop's settings onto the page.
func (w *workspace) dress() {
	if !app.IsClient {
		return
	}
	root := app.Window().Get("document").Get("documentElement")
	theme := ""
	switch w.shop.Settings.Theme {
	case storage.ThemeLight:
		theme = "day"
	case storage.ThemeDark:
		theme = "night"
	case storage.ThemeSun:
		theme = "sun"
	}
	root.Call("setAttribute", "data-theme", theme)
	root.Call("setAttribute", "data-thumb", w.shop.Settings.Hand)
	w.speak(w.shop.Settings.Language)
}

// settingsPanel chooses units, colours, thumb and currency.
func settingsPanel(w *workspace) app.UI {
	if w.shop == nil {
		return app.Text("")
	}
	choice := func(name string, setting storage.Setting, now string, options ...survey.Option) app.UI {
		id := "setting-" + string(setting)
		return app.Div().Class("setting").Body(
			app.Label().For(id).Text(say(name)),
			app.Select().ID(id).OnChange(func(ctx app.Context, e app.Event) {
				edit, err := storage.SetSetting(w.shop, setting, e.Get("target").Get("value").String())
				w.commitShop(ctx, edit, err)
			}, setting).Body(app.Range(options).Slice(func(i int) app.UI {
				return app.Option().Value(options[i].Value).Selected(now == options[i].Value || now == "" && i == 0).Text(say(options[i].Words))
			})),
		)
	}
	words := func(name string, setting storage.Setting, now string) app.UI {
		id := "setting-" + string(setting)
		return app.Div().Class("setting").Body(
			app.Label().For(id).Text(say(name)),
			app.Input().ID(id).Type("text").Value(now).OnChange(func(ctx app.Context, e app.Event) {
				edit, err := storage.SetSetting(w.shop, setting, strings.TrimSpace(e.Get("target").Get("value").String()))
				w.commitShop(ctx, edit, err)
			}, setting),
		)
	}
	s := w.shop.Settings
	return app.Section().Class("settings").Body(
		app.H2().Text(say("This phone")),
		choice("Lengths in", storage.SettingUnits, s.Units, survey.Option{Value: storage.UnitsMetric, Words: "Millimetres"}, survey.Option{Value: storage.UnitsFeet, Words: "Feet and inches"}),
		languageChoice(w),
		choice("Colours", storage.SettingTheme, s.Theme, survey.Option{Value: storage.ThemeSystem, Words: "As the phone has it"}, survey.Option{Value: storage.ThemeLight, Words: "Day"}, survey.Option{Value: storage.ThemeSun, Words: "Full sun"}, survey.Option{Value: storage.ThemeDark, Words: "Night"}),
		choice("Thumb", storage.SettingHand, s.Hand, survey.Option{Value: survey.HandRight, Words: "Right"}, survey.Option{Value: survey.HandLeft, Words: "Left"}),
		words("Currency", storage.SettingCurrency, s.Currency),
		words("Who measures", storage.SettingCrew, s.Crew),
	)
}

// applyRemedy makes a remedy's changes, as one edit.
func (w *workspace) applyRemedy(ctx app.Context, r plan.Remedy) {
	var edits []storage.Edit
	for _, c := range r.Changes {
		var e storage.Edit
		var err error
		if key, rule := strings.CutPrefix(c.Path, practice.PracticePath); rule {
			e, err = storage.SetRule(w.doc, key, c.Value, "")
		} else if f, ok := survey.FieldAt(c.Path); ok && f.Numeric() {
			e, err = storage.SetValue(w.doc, c.Path, survey.Measured(c.Value, survey.ByEstimate))
		} else {
			e, err = storage.SetWords(w.doc, c.Path, c.Words)
		}
		if err != nil {
			w.unsaved = storeWords(err)
			w.refresh(ctx)
			return
		}
		edits = append(edits, e)
	}
	w.commit(ctx, storage.Together(w.sentence(r.Words), edits...), nil)
}
