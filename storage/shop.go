package storage

import (
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
	Changed  string            `json:"changed,omitempty"` // RFC 3339

	extra map[string]any
}

// Settings of the screens. Empty means the default, which comes first below.
type Settings struct {
	Units    string `json:"units,omitempty"`    // UnitsMetric or UnitsFeet
	Theme    string `json:"theme,omitempty"`    // ThemeSystem, ThemeLight, ThemeDark or ThemeSun
	Hand     string `json:"hand,omitempty"`     // engine.HandRight or engine.HandLeft: the thumb that holds the phone
	Language string `json:"language,omitempty"` // of the words, such as "de"; empty is the phone's own where there is a catalogue of it
	Currency string `json:"currency,omitempty"` // sign or code written before money
	Crew     string `json:"crew,omitempty"`     // who measures, for new sites
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

	OriginDropped = "dropped"
	OriginKept    = "kept"
)

// NewShop returns a shop with every default.
func NewShop() *Shop { return &Shop{Format: ShopFormat, Version: newest(ShopFormat)} }

// Practice returns the shop's practice with the site's own overrides on top.
// site may be nil. Overrides that are refused are left out; the error is an
// engine.Refusals.
func (s *Shop) Practice(site *Document) (practice.Practice, error) {
	p, err := practice.DefaultPractice().With(s.Rules)
	if site == nil {
		return p, err
	}
	p, err2 := p.With(site.Practice)
	if err2 != nil {
		return p, err2
	}
	return p, err
}
