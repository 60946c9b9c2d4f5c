package advice

import (
	"slices"
	"strings"

	"pegpour/engine"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// Try designs with a remedy's changes and reports whether the check it belongs
// to no longer stands as it did: gone, sound, or with no margin missing.
// Changes to what cannot be changed leave the plan as it was and clear nothing.
func Try(s survey.Survey, p practice.Practice, c plan.Check, r plan.Remedy) (after plan.Plan, clears bool) {
	made, clears := try(&s, &p, &c, r)
	return *made.Whole(), clears
}

func try(s *survey.Survey, p *practice.Practice, c *plan.Check, r plan.Remedy) (after *engine.Trial, clears bool) {
	changed, rules, ok := with(s, p, r.Changes)
	after = engine.Attempt(changed, rules)
	return after, ok && !slices.ContainsFunc(after.Plan.Checks, func(k plan.Check) bool {
		return k.Code == c.Code && k.Field == c.Field && k.Severity != plan.Sound
	})
}

// attempt designs with a remedy; ok says that no answer to the check's question
// is then a Stop or a Warning.
func attempt(s *survey.Survey, p *practice.Practice, c *plan.Check, r plan.Remedy) (after *engine.Trial, ok bool) {
	after, ok = try(s, p, c, r)
	return after, ok && !slices.ContainsFunc(after.Plan.Checks, func(k plan.Check) bool {
		return k.Severity != plan.Sound && k.Field == c.Field && k.Question == c.Question
	})
}

// With applies changes to copies of a survey and a practice; ok is false when
// one of them was refused.
func With(s survey.Survey, p practice.Practice, changes []plan.Change) (survey.Survey, practice.Practice, bool) {
	changed, rules, ok := with(&s, &p, changes)
	return *changed, *rules, ok
}

// with is [With]; what does not change is not copied.
func with(s *survey.Survey, p *practice.Practice, changes []plan.Change) (*survey.Survey, *practice.Practice, bool) {
	ok, changed, rules := true, s, p
	for _, c := range changes {
		if key, rule := strings.CutPrefix(c.Path, practice.PracticePath); rule {
			if rules == p {
				own := *p
				rules = &own
			}
			ok = rules.Set(key, c.Value) == nil && ok
			continue
		}
		if changed == s {
			own := s.Clone()
			changed = &own
		}
		f, found := survey.FieldAt(c.Path)
		switch {
		case !found:
			ok = false
		case f.Numeric():
			ok = f.SetValue(changed, survey.Measured(c.Value, survey.ByEstimate)) == nil && ok
		default:
			ok = f.SetWords(changed, c.Words) == nil && ok
		}
	}
	return changed, rules, ok
}
