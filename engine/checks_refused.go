package engine

import (
	"pegpour/engine/plan"
	"pegpour/engine/text"
)

// checkRefused says what could not be worked out, so that nothing stands for it.
func (d *designed) checkRefused(found *findings) {
	for i := range d.plan.Refused {
		r := &d.plan.Refused[i]
		found.add(plan.Check{Question: r.Code, Severity: r.Severity, Field: r.Field, What: r.Words,
			Consequence: text.Say("Where a figure is missing it is not nothing: what hangs on it was not looked at.")})
	}
}
