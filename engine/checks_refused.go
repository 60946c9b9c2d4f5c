package engine

// checkRefused says what could not be worked out, so that nothing stands for it.
func (plan *Plan) checkRefused() {
	for i := range plan.Refused {
		r := &plan.Refused[i]
		plan.add(Check{Code: r.Code, Severity: r.Severity, Field: r.Field, What: r.Words,
			Consequence: say("Where a figure is missing it is not nothing: what hangs on it was not looked at.")})
	}
}
