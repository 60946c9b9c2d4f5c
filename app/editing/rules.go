package editing

import (
	"errors"
	"math"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/input"
	"pegpour/engine/practice"
	"pegpour/engine/text"
	"pegpour/engine/units"
	"pegpour/storage"
)

// ruleScale is how many engine units one unit on screen is, and its sign.
func (s *Site) ruleScale(r practice.Rule) (float64, string) {
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
		return 1, s.Shop.Settings.Currency
	}
	return 1, ""
}

// RuleUnit is the unit that stands beside the entry of a rule.
func (s *Site) RuleUnit(r practice.Rule) string {
	if r.Dimension == text.Length {
		if s.Feet() {
			return "ft in"
		}
		return "mm"
	}
	_, unit := s.ruleScale(r)
	return unit
}

// RuleText writes a value of a rule as one would type it.
func (s *Site) RuleText(r practice.Rule, v float64) string {
	if r.Dimension == text.Length {
		if s.Feet() {
			return s.Length(v, false)
		}
		return s.plainNumber(v, 1)
	}
	scale, _ := s.ruleScale(r)
	return s.plainNumber(v/scale, 3)
}

// RuleSize is a value of a rule with its unit.
func (s *Site) RuleSize(r practice.Rule, v float64) string {
	return strings.TrimSpace(s.RuleText(r, v) + " " + s.RuleUnit(r))
}

// plainNumber writes a number with no more decimals than it needs.
func (s *Site) plainNumber(v float64, most int) string {
	words := units.Decimal(v, most)
	if strings.Contains(words, ".") {
		words = strings.TrimRight(strings.TrimRight(words, "0"), ".")
	}
	return s.Number(words)
}

// RuleValue is the rule in force; own says that it was set here.
func (s *Site) RuleValue(r practice.Rule, site bool) (v float64, own bool) {
	if site {
		_, own = s.Doc.Practice[r.Key]
		return r.Of(s.Practice), own
	}
	if s.Shop == nil {
		return r.Default, false
	}
	if v, own = s.Shop.Rules[r.Key]; own {
		return v, true
	}
	return r.Default, false
}

// RuleBase is what a rule goes back to.
func (s *Site) RuleBase(r practice.Rule, site bool) float64 {
	if v, ok := s.Shop.RulesFor(s.Doc)[r.Key]; ok && site {
		return v
	}
	return r.Default
}

// RuleGiven reports whether a rule has a value: one of the prices, which nobody can
// guess, may have none.
func (s *Site) RuleGiven(r practice.Rule, site bool) bool {
	v, own := s.RuleValue(r, site)
	return own || v != r.Default || r.Default >= r.Low && r.Dimension != text.Money
}

// ReadRule reads what was typed for a rule; problem says what is wrong with it.
func (s *Site) ReadRule(r practice.Rule, words string) (v float64, problem string) {
	if v, problem = s.parseRule(r, words); problem == "" && r.Check(v) != nil {
		problem = s.SayWith("Read as {0}; allowed is {1} – {2}.", s.RuleSize(r, v), s.RuleText(r, r.Low),
			s.RuleText(r, r.High))
	}
	return v, problem
}

// SetRule reads and keeps a rule; it returns what is wrong with it.
func (s *Site) SetRule(ctx app.Context, r practice.Rule, words string, site bool) string {
	v, err := s.ReadRule(r, words)
	if err != "" {
		return err
	}
	if site {
		e, problem := storage.SetRule(s.Doc, r.Key, v, words)
		s.Commit(ctx, e, problem)
		return ""
	}
	e, problem := storage.SetShopRule(s.Shop, r.Key, v, words)
	s.CommitShop(ctx, e, problem)
	return ""
}

// RuleDraft is what was typed for a rule and is not kept as its value.
func (s *Site) RuleDraft(r practice.Rule, site bool) (words string, ok bool) {
	drafts := s.Shop.Drafts
	if site {
		drafts = s.Doc.Drafts
	}
	words, ok = drafts[practice.PracticePath+r.Key]
	return words, ok
}

// SetRuleDraft keeps what was typed for a rule beside its value; "" lets go of it.
func (s *Site) SetRuleDraft(ctx app.Context, r practice.Rule, words string, site bool) {
	if was, _ := s.RuleDraft(r, site); was == words {
		return
	}
	if site {
		e, err := storage.SetDraft(s.Doc, practice.PracticePath+r.Key, words)
		s.Commit(ctx, e, err)
		return
	}
	e, err := storage.SetShopDraft(s.Shop, r.Key, words)
	s.CommitShop(ctx, e, err)
}

// RefusedRules says which rules of the shop and of the site in hand cannot be used, what
// each was given as and what is allowed. They count as not given.
func (s *Site) RefusedRules() []string {
	_, err := s.Shop.Practice(s.Doc)
	var refused input.Refusals
	if !errors.As(err, &refused) {
		return nil
	}
	said := make([]string, len(refused))
	for i := range refused {
		e := &refused[i]
		r, known := practice.RuleByKey(strings.TrimPrefix(e.Path, practice.PracticePath))
		if !known {
			said[i] = s.SayWith("‘{0}’ is no rule that this program knows.", e.Text)
			continue
		}
		said[i] = s.SayWith("{0}: given is {1}, allowed is {2} – {3}.", s.SayName(r.Name), s.RuleText(r, e.Given),
			s.RuleText(r, r.Low), s.RuleSize(r, r.High))
	}
	return said
}

func (s *Site) parseRule(r practice.Rule, words string) (float64, string) {
	if r.Dimension == text.Length {
		v, err := units.Parse(words, s.Unit())
		if err != nil {
			return 0, s.misreadWords(err, s.lengthExample())
		}
		return v, ""
	}
	v, err := strconv.ParseFloat(strings.ReplaceAll(strings.TrimSpace(words), ",", "."), 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, s.Say("Not read: a number was expected.")
	}
	scale, _ := s.ruleScale(r)
	return v * scale, ""
}

// ClearRule takes back what was set here.
func (s *Site) ClearRule(ctx app.Context, r practice.Rule, site bool) {
	if site {
		e, err := storage.ClearRule(s.Doc, r.Key)
		s.Commit(ctx, e, err)
		return
	}
	e, err := storage.ClearShopRule(s.Shop, r.Key)
	s.CommitShop(ctx, e, err)
}
