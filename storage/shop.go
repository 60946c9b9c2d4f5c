package storage

import (
	"errors"
	"maps"
	"slices"

	"pegpour/engine/input"
	"pegpour/engine/practice"
)

// ShopFormat is what the shop's file says of itself.
const ShopFormat = "pegpour-shop"

// ShopID is the identity of the shop's own document in a store: pass it to
// Undo, Redo and History.
const ShopID = "shop"

// Shop is how one shop builds and how its screens are set. Like a Document it
// is changed by edits only and keeps what it does not know.
type Shop struct {
	Format  string `json:"format"`
	Version int    `json:"version"`
	// Rules holds the rules this shop overrides, by rule key.
	Rules map[string]float64 `json:"rules,omitempty"`
	// Drafts holds what was typed for a rule and refused, by "practice." and key.
	Drafts   map[string]string `json:"drafts,omitempty"`
	Settings Settings          `json:"settings,omitzero"`
	// Yard is the revision of the yard's rules on which Rules rest; 0: no yard has any.
	Yard    int64  `json:"yard,omitempty"`
	Changed string `json:"changed,omitempty"` // RFC 3339

	extra map[string]any
}

// Settings of the screens. Empty means the default, which comes first below.
type Settings struct {
	Units    string `json:"units,omitempty"`    // UnitsMetric or UnitsFeet
	Theme    string `json:"theme,omitempty"`    // ThemeSystem, ThemeLight, ThemeDark or ThemeSun
	Light    string `json:"light,omitempty"`    // LightDay or LightNight: how the owner's view is lit; empty is as the colours are
	Hand     string `json:"hand,omitempty"`     // engine.HandRight or engine.HandLeft: the thumb that holds the phone
	Keys     string `json:"keys,omitempty"`     // KeysFour or KeysLarge: the columns of the keypad
	Language string `json:"language,omitempty"` // of the words, such as "de"; empty is the phone's own where there is a catalogue of it
	Currency string `json:"currency,omitempty"` // sign or code written before money
	Crew     string `json:"crew,omitempty"`     // who measures, for new sites
	Firm     string `json:"firm,omitempty"`     // the name of the shop, on papers
	Terms    string `json:"terms,omitempty"`    // what the shop says under a quote
	Origin   string `json:"origin,omitempty"`   // OriginDropped or OriginKept: where and when new photos were taken
}

// Choices of Settings.
const (
	UnitsMetric = "metric"
	UnitsFeet   = "feet"

	ThemeSystem = "system"
	ThemeLight  = "light"
	ThemeDark   = "dark"
	ThemeSun    = "sun" // light, for a screen in full sun

	LightDay   = "day"
	LightNight = "night"

	KeysFour  = "four"
	KeysLarge = "large" // three columns for hands in gloves

	OriginDropped = "dropped"
	OriginKept    = "kept"
)

// NewShop returns a shop with every default.
func NewShop() *Shop { return &Shop{Format: ShopFormat, Version: newest(ShopFormat)} }

// RulesFor returns the shop's rules by which a site is designed: those that it keeps,
// or those of now. site may be nil.
func (s *Shop) RulesFor(site *Document) map[string]float64 {
	if site != nil && site.ShopRules != nil {
		return site.ShopRules.Rules
	}
	return s.Rules
}

// ForSite is what a site that is begun now keeps of the shop's rules: nil where they
// come from no yard, for then the site follows this device.
func (s *Shop) ForSite() *ShopRules {
	if s.Yard == 0 {
		return nil
	}
	return &ShopRules{s.Yard, maps.Clone(s.Rules)}
}

// Behind lists the rules that the shop has otherwise by now than the site keeps them,
// in the order of their keys.
func (s *Shop) Behind(site *Document) []string {
	if site.ShopRules == nil {
		return nil
	}
	return rulesApart(site.ShopRules.Rules, s.Rules)
}

// rulesApart lists the keys that two sets of rules have otherwise.
func rulesApart(a, b map[string]float64) []string {
	var keys []string
	for key := range a {
		if v, ok := b[key]; !ok || v != a[key] {
			keys = append(keys, key)
		}
	}
	for key := range b {
		if _, ok := a[key]; !ok {
			keys = append(keys, key)
		}
	}
	slices.Sort(keys)
	return keys
}

// Practice returns the shop's rules for the site with the site's own overrides on top.
// site may be nil. Overrides that are refused are left out; the error is an
// engine.Refusals.
func (s *Shop) Practice(site *Document) (practice.Practice, error) {
	p, err := practice.DefaultPractice().With(s.RulesFor(site))
	if site == nil {
		return p, err
	}
	p, own := p.With(site.Practice)
	var all, more input.Refusals
	errors.As(err, &all)
	errors.As(own, &more)
	return p, slices.Concat(all, more).OrNil()
}
