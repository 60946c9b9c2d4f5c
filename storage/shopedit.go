package storage

import (
	"pegpour/engine/input"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

func onShop(s *Shop, label string) *edits {
	tree, err := s.checkedTree()
	return &edits{tree: tree, shape: shopShape, out: Edit{Label: label}, err: err}
}

// SetShopRule is SetRule for the shop.
func SetShopRule(s *Shop, key string, value float64, text string) (Edit, error) {
	return onShop(s, fieldName(practice.PracticePath+key).String()).rule("rules", key, value, text)
}

// ClearShopRule returns the edit that goes back to a rule's default.
func ClearShopRule(s *Shop, key string) (Edit, error) {
	return onShop(s, fieldName(practice.PracticePath+key).String()).clearRule("rules", key)
}

// SetShopDraft returns the edit that keeps what was typed for a rule while it
// cannot be read; empty text clears it.
func SetShopDraft(s *Shop, key, text string) (Edit, error) {
	b := onShop(s, fieldName(practice.PracticePath+key).String())
	b.setWords(joinPath("drafts", practice.PracticePath+key), text)
	return b.done()
}

// Setting names one of Settings.
type Setting string

// The settings.
const (
	SettingUnits    Setting = "units"
	SettingTheme    Setting = "theme"
	SettingLight    Setting = "light"
	SettingHand     Setting = "hand"
	SettingKeys     Setting = "keys"
	SettingLanguage Setting = "language"
	SettingCurrency Setting = "currency"
	SettingCrew     Setting = "crew"
	SettingFirm     Setting = "firm"
	SettingTerms    Setting = "terms"
	SettingOrigin   Setting = "origin"
)

// SetSetting returns the edit that changes a setting; an empty value goes back
// to the default. The error is an *engine.FieldError for a value that is none
// of the choices.
func SetSetting(s *Shop, name Setting, value string) (Edit, error) {
	var allowed []string
	switch name {
	case SettingUnits:
		allowed = []string{UnitsMetric, UnitsFeet}
	case SettingTheme:
		allowed = []string{ThemeSystem, ThemeLight, ThemeDark, ThemeSun}
	case SettingLight:
		allowed = []string{LightDay, LightNight}
	case SettingHand:
		allowed = []string{survey.HandRight, survey.HandLeft}
	case SettingKeys:
		allowed = []string{KeysFour, KeysLarge}
	case SettingOrigin:
		allowed = []string{OriginDropped, OriginKept}
	case SettingLanguage, SettingCurrency, SettingCrew, SettingFirm, SettingTerms:
	default:
		return Edit{}, &input.FieldError{Path: "settings." + string(name), Name: text.TypedName(string(name)), Reason: input.UnknownField}
	}
	ok := value == "" || allowed == nil
	for _, a := range allowed {
		ok = ok || a == value
	}
	if !ok {
		return Edit{}, &input.FieldError{Path: "settings." + string(name), Name: text.TypedName(string(name)), Reason: input.NotAChoice,
			Text: value, Allowed: allowed}
	}
	b := onShop(s, "Setting: "+string(name))
	b.setWords(joinPath("settings", string(name)), value)
	return b.done()
}

// TakeShopRules returns the edit by which a site keeps the shop's rules of now.
func TakeShopRules(d *Document, shop *Shop) (Edit, error) {
	b := onSite(d, "The shop's rules of now")
	if rules := shop.ForSite(); rules != nil {
		b.set("/shopRules", rules)
	} else {
		b.set("/shopRules", nil)
	}
	return b.done()
}
