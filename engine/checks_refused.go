package engine

import (
	"strings"

	"pegpour/engine/input"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/text"
)

// checkRefused says what could not be worked out, so that nothing stands for it.
func (d *designed) checkRefused(found *findings) {
	for i := range d.Plan.Refused {
		r := &d.Plan.Refused[i]
		found.add(plan.Check{Question: r.Code, Severity: r.Severity, Field: r.Field, What: r.Words,
			Consequence: text.Say("Where a figure is missing it is not nothing: what hangs on it was not looked at.")})
	}
}

// standsFor reports whether a default stands for a refused rule by which something is
// judged to hold: all but those of readings, prices and the looking for remedies.
func standsFor(refused input.Refusals) bool {
	for i := range refused {
		r, ok := practice.RuleByKey(strings.TrimPrefix(refused[i].Path, practice.PracticePath))
		if ok && !strings.Contains("How sure, Rates, Hours, Quote, Advice", r.Group) {
			return true
		}
	}
	return false
}

// doubt takes back what was found sound of strength and motion by a default that
// stands for a refused rule.
func (f *findings) doubt() {
	for i := range f.checks {
		c := &f.checks[i]
		family, _, _ := strings.Cut(string(c.Question), ".")
		if c.Severity == plan.Sound && strings.Contains("strength footing wall motion leaf hanging pair", family) {
			c.Severity = plan.Warning
			c.Consequence = text.Say("A rule was refused and its default stands in: by it this is in order, by the one that was meant it may not be.")
		}
	}
}
